"""A counter in the prompt; bare numbers, pad first, in one column with empty places and lamps; a motor is given away by
giving it to another pad; angles in hexadecimal; no help."""

from engine import Console as Base, Refused, number


class Console(Base):
    pads = [str(n) for n in range(9)]
    limits = (3, 8, 100)
    numbering = {"quad-x": ["front-left", "front-right", "rear-right", "rear-left"],
                 "hex-x": ["front-left", "front-right", "right", "rear-right", "rear-left", "left"]}

    def prompt(self):
        return f"[{self.count}] "

    def refusal(self, why):
        return ["E " + why]

    def other(self, pad):
        """What else the pad does, where no motor is on it."""
        spare = [name for name in self.pads if name not in self.wired]
        return {spare[0]: 31, spare[1]: 12}.get(pad, 0)

    def slots(self):
        return [f"{pad} {self.other(pad) if self.motor_on(pad) is None else self.motor_on(pad) + 1}" for pad in self.pads]

    def angle(self, text):
        try:
            return number(int(text, 16), 0, 359)
        except ValueError:
            raise Refused("hex") from None

    def do(self, line):
        match line.split():
            case ["ver"]:
                return ["birch 9 / bark 0.7.3 / 00A1F3"]
            case ["all"]:
                return [f"k {n} {n * 91 % 300}" for n in range(40)] + self.slots()
            case ["slot"]:
                return self.slots()
            case ["slot", pad, motor]:
                pad, motor = self.pad(pad), number(motor, 0, len(self.motors))
                if self.other(pad):
                    raise Refused("used")
                if self.motor_on(pad) is not None:
                    self.put(self.motor_on(pad), None)
                if motor:
                    self.put(motor - 1, pad)
                return [f"{pad} {motor}"]
            case ["way"]:
                return [f"{m + 1} {int(m in self.stored.backward)}" for m in self.motors]
            case ["way", motor, "0" | "1" as way]:
                self.reverse(self.motor(motor), way == "1")
                return [f"{motor} {way}"]
            case ["aim"]:
                return ["{:03X} {:03X} {:03X}".format(*(a % 360 for a in self.stored.mount))]
            case ["aim", *angles] if len(angles) == 3:
                self.stored.mount = [self.angle(angle) for angle in angles]
                return ["{:03X} {:03X} {:03X}".format(*self.stored.mount)]
            case ["blade"]:
                return [str(int(self.stored.props == "out"))]
            case ["blade", "0" | "1" as way]:
                self.stored.props = ("in", "out")[int(way)]
                return [way]
            case ["acc"]:
                return [" ".join(str(round(-1000 * a)) for a in self.craft.down())]
            case ["go", motor, percent, ms]:
                self.spin(self.motor(motor), number(percent, 0, 100) / 100, number(ms, 1, 9999) / 1000)
                return [f"{motor} {percent}"]
            case ["off"]:
                self.stop()
                return ["0"]
            case ["save"]:
                self.keep()
                self.restart()
                return ["1"]
        raise Refused(line.split()[0])

    map_words = {"motor": "2", "pin": "1"}
    sheet = {
        "identify": "ver", "whole-configuration": "all", "list-map": "slot",
        "assign-pin": lambda v: f"slot {v.pin} {v.motor}", "free-pin": lambda v: f"slot {v.pin} 0",
        "read-turn": "way", "set-turn": lambda v: f"way {v.motor} {int(v.backward)}",
        "read-props": "blade", "set-props": lambda v: f"blade {int(v.props == 'out')}", "read-mount": "aim",
        "set-mount": lambda v: "aim {:03X} {:03X} {:03X}".format(*(int(a) % 360 for a in (v.yaw, v.pitch, v.roll))),
        "sense": "acc", "stop-command": "off", "spin-command": lambda v: f"go {v.motor} {v.strength} {v.ms}",
        "keep": "save"}
