"""The prompt carries the status and is the only refusal; a table with a header and rules; help; nearly all is silent."""

from engine import Console as Base, Refused, among, number

HELP = """  about              board and firmware
  dump               everything that is set
  wires              which motor is on which pin
  wire MOTOR PIN     puts a motor on a pin, - takes it off
  flips              which motors are flipped
  flip MOTOR yes|no  turns a motor the other way round
  sweep [in|out]     how the propellers sweep in front
  mount              how the board is mounted: yaw, pitch, roll
  mount Y P R        tells it
  feel               the accelerometer, in g
  run MOTOR PERCENT MS  spins a motor
  halt               stops all motors
  save               saves it all
  restart            starts anew
  bye                leaves"""


class Console(Base):
    def prompt(self):
        return self.status + "> "

    def refusal(self, why):
        return []

    def do(self, line):
        match line.split():
            case ["help"]:
                return HELP.split("\n")
            case ["about"]:
                return ["alder-3 board, firmware catkin 2.1.0, serial A-7719"]
            case ["dump"]:
                return [f"knob {n} {n * 37 % 500}" for n in range(30)] + self.table()
            case ["wires"]:
                return self.table()
            case ["wire", motor, pad]:
                self.put(self.motor(motor), None if pad == "-" else self.pad(pad))
            case ["flips"]:
                return [f" {m + 1} | {'yes' if m in self.stored.backward else 'no'}" for m in self.motors]
            case ["flip", motor, way]:
                self.reverse(self.motor(motor), among(way, ("no", "yes")) == 1)
            case ["sweep"]:
                return [" sweep | " + self.stored.props]
            case ["sweep", "in" | "out" as way]:
                self.stored.props = way
            case ["mount"]:
                return [" yaw | pitch | roll", "-----+-------+-----", " {:3} | {:5} | {:4}".format(*self.stored.mount)]
            case ["mount", *angles] if len(angles) == 3:
                self.stored.mount = [number(angle, -180, 360) for angle in angles]
            case ["feel"]:
                return [" x     | y     | z"] + [" | ".join(f"{-a:5.2f}" for a in self.craft.down())]
            case ["run", motor, percent, ms]:
                self.spin(self.motor(motor), number(percent, 0, 100) / 100, number(ms, 1, 9999) / 1000)
            case ["halt"]:
                self.stop()
                return ["all halted"]
            case ["save"]:
                self.keep()
                return ["saved"]
            case ["restart"]:
                self.restart()
            case ["bye"]:
                return ["bye"]
            case _:
                raise Refused(line)
        return []

    def table(self):
        rows = [f" {m + 1:5} | {pad or '-':3} |   400 | {'yes' if pad else 'no'}" for m, pad in enumerate(self.stored.pads)]
        return [" motor | pin | limit | in use", "-------+-----+-------+-------", *rows]

    map_words = {"motor": "1", "pin": "3"}
    sheet = {
        "help": "help", "identify": "about", "whole-configuration": "dump", "list-map": "wires",
        "assign-pin": lambda v: f"wire {v.motor} {v.pin}", "free-pin": lambda v: f"wire {v.motor} -",
        "read-turn": "flips", "set-turn": lambda v: f"flip {v.motor} {'yes' if v.backward else 'no'}",
        "read-props": "sweep", "set-props": lambda v: f"sweep {v.props}", "read-mount": "mount",
        "set-mount": lambda v: f"mount {v.yaw} {v.pitch} {v.roll}", "sense": "feel", "stop-command": "halt",
        "spin-command": lambda v: f"run {v.motor} {v.strength} {v.ms}", "keep": "save", "restarts": "restart",
        "leave": "bye"}
