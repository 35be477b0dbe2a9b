"""By a system administrator: a noun, a verb, then key=value; tables with a header; each setting is written as it is
made, so that there is nothing to save, and holds after a reset, which closes the port."""

from engine import Console as Base, Refused, among, number

HELP = """system info                  version and serial
system export                all settings
system reset                 restarts; settings take effect then
motor ls                     all motors
motor set ID out=OUT         output t1.1 to t3.3, or none
motor set ID dir=fwd|rev     direction
motor test ID DUTY MS        duty 0 to 255
motor off                    stops all
props show                   direction of the propellers
props set dir=in|out
board show                   how the board is mounted
board set yaw=N              likewise pitch, roll; degrees
imu show                     accelerations and rates"""
ANGLES = ("yaw", "pitch", "roll")


class Console(Base):
    pads = [f"t{timer}.{channel}" for timer in (1, 2, 3) for channel in (1, 2, 3)]
    at_once = False
    limits = (8, 20, 255)

    def prompt(self):
        return "[vetch] % "

    def refusal(self, why):
        return [f"vetch: {why} (try 'help')"]

    def do(self, line):
        match line.replace("=", " = ").split():
            case ["help"]:
                return HELP.split("\n")
            case ["system", "info"]:
                return ["vetch release 22.4 build 771", "serial VT-220-0914"]
            case ["system", "export"]:
                rates = [f"rate set r{n}={n * 41 % 120}" for n in range(30)]
                return [*rates, *self.motor_table(), *self.props(), *self.board()]
            case ["system", "reset"]:
                self.restart()
                return ["resetting"]
            case ["motor", "ls"]:
                return self.motor_table()
            case ["motor", "set", motor, "out", "=", pad]:
                self.output(self.motor(motor), None if pad == "none" else self.pad(pad))
            case ["motor", "set", motor, "dir", "=", way]:
                self.reverse(self.motor(motor), among(way, ("fwd", "rev")) == 1)
            case ["motor", "test", motor, duty, ms]:
                self.spin(self.motor(motor), number(duty, 0, 255) / 255, number(ms, 1, 10000) / 1000)
            case ["motor", "off"]:
                self.stop()
            case ["props", "show"]:
                return self.props()
            case ["props", "set", "dir", "=", "in" | "out" as way]:
                self.stored.props = way
            case ["board", "show"]:
                return self.board()
            case ["board", "set", "yaw" | "pitch" | "roll" as name, "=", angle]:
                self.stored.mount[ANGLES.index(name)] = number(angle, -180, 360)
            case ["imu", "show"]:
                return self.imu()
            case _:
                raise Refused("bad command")
        self.keep()
        return []

    def output(self, motor, pad):
        user = self.motor_on(pad) if pad else None
        if user not in (None, motor):
            raise Refused(f"{pad}: in use by motor {user + 1}")
        self.put(motor, pad)

    def motor_table(self):
        yield "ID  OUT   DIR  MAX  STATE"
        for motor, pad in enumerate(self.stored.pads):
            way = "rev" if motor in self.stored.backward else "fwd"
            yield f"{motor + 1:<3} {pad or 'none':5} {way:4} 240  idle"

    def props(self):
        return ["PROPS  DIR", f"all    {self.stored.props}"]

    def board(self):
        return ["ANGLE  DEG", *(f"{name:6} {angle}" for name, angle in zip(ANGLES, self.stored.mount))]

    def imu(self):
        yield "AXIS  ACC(m/s2)  RATE(deg/s)"
        for axis, part, rate in zip("xyz", self.craft.down(), self.craft.rates()):
            yield f"{axis:5} {-9.81 * part:9.2f}  {rate:11.1f}"

    angle_lines = ["ANGLE", *ANGLES]  # of what `board show` says
    reading_lines = ["x", "y", "z"]
    map_words = {"motor": "1", "pin": "2"}
    sheet = {
        "help": "help", "identify": "system info", "whole-configuration": "system export", "list-map": "motor ls",
        "assign-pin": lambda v: f"motor set {v.motor} out={v.pin}",
        "free-pin": lambda v: f"motor set {v.motor} out=none", "read-turn": "motor ls",
        "set-turn": lambda v: f"motor set {v.motor} dir={'rev' if v.backward else 'fwd'}",
        "read-props": "props show", "set-props": lambda v: f"props set dir={v.props}", "read-mount": "board show",
        "set-yaw": lambda v: f"board set yaw={v.yaw}", "set-pitch": lambda v: f"board set pitch={v.pitch}",
        "set-roll": lambda v: f"board set roll={v.roll}", "sense": "imu show", "stop-command": "motor off",
        "spin-command": lambda v: f"motor test {v.motor} {v.strength} {v.ms}", "restarts": "system reset"}
