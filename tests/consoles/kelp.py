"""A table of several columns of which some are equal; a motor is a letter, a number from 0 or 11 and up, as the place
has it; turns are kept by pad; what is set takes effect after the restart."""

from engine import Console as Base, Refused, among, number


class Console(Base):
    pads = [f"{n}" for n in range(1, 9)]
    ends, ignored, eol = "\n", "\r", "\n"
    at_once = False
    turns_by_pad = True
    limits = (1040, 1080, 2000)
    numbering = {"quad-x": ["rear-right", "front-left", "front-right", "rear-left"],
                 "hex-x": ["rear-right", "front-left", "front-right", "rear-left", "right", "left"]}

    def prompt(self):
        return "kelp# "

    def refusal(self, why):
        return ["ERR(" + why + ")"]

    def do(self, line):
        stored = self.stored
        match line.split():
            case ["help"]:
                return ["map                    the table of motors", "assign MOTOR PAD       motor A, B, ... onto a pad",
                        "flips                  pads that turn the other way", "flip PAD 0|1           one of them",
                        "sit [Y P R]            mounting in tenths of a degree", "fan [in|out]           blades",
                        "pulse N US MS          spin; the first motor is 0", "calm                   stops all",
                        "g                      accelerometer", "write                  save", "boot                   restart",
                        "id                     who", "cat                    all of it"]
            case ["id"]:
                return ["kelp/tidal 4.4/K-19"]
            case ["cat"]:
                return [f"p{n}\t{n * 11 % 90}" for n in range(30)] + self.table() + self.do("flips") + self.do("sit")
            case ["map"]:
                return self.table()
            case ["assign", motor, pad]:
                self.put(self.lettered(motor), None if pad == "-" else self.pad(pad))
                return ["done"]
            case ["flips"]:
                return [f"pad{pad}={int(pad in stored.backward)}" for pad in self.pads]
            case ["flip", pad, way]:
                self.reverse(self.pad(pad), among(way, ("0", "1")) == 1)
                return ["done"]
            case ["sit"]:
                return ["sit\t" + "\t".join(str(a * 10) for a in stored.mount)]
            case ["sit", *angles] if len(angles) == 3:
                stored.mount = [number(angle, -1800, 3600) / 10 for angle in angles]
                stored.mount = [int(angle) for angle in stored.mount]
                return ["done"]
            case ["fan"]:
                return ["fan\t" + stored.props]
            case ["fan", way]:
                stored.props = ("in", "out")[among(way, ("in", "out"))]
                return ["done"]
            case ["pulse", motor, us, ms]:
                self.spin(self.motor(motor, 0), (number(us, 1000, 2000) - 1000) / 1000, number(ms, 1, 9999) / 1000)
                return ["done"]
            case ["calm"]:
                self.stop()
                return ["calm"]
            case ["g"]:
                return ["g\t" + "\t".join(f"{-a:.2f}" for a in self.craft.down())]
            case ["write"]:
                self.keep()
                return ["written"]
            case ["boot"]:
                self.restart()
                return []
        raise Refused(line)

    def lettered(self, text):
        return among(text, "ABCDEF"[: len(self.motors)])

    def table(self):
        return ["mot\ttim\tpad\tgrp\tdma"] + [
            f"{'ABCDEF'[m]}\t{1 + m // 2}\t{pad or '-'}\t{1 + m // 2}\t1" for m, pad in enumerate(self.stored.pads)]

    map_words = {"motor": "1", "pin": "3"}
    map_name = staticmethod(lambda motor: "ABCDEF"[motor])
    sheet = {
        "help": "help", "identify": "id", "whole-configuration": "cat", "list-map": "map",
        "assign-pin": lambda v: f"assign {'ABCDEF'[v.motor - 1]} {v.pin}",
        "free-pin": lambda v: f"assign {'ABCDEF'[v.motor - 1]} -", "read-turn": "flips",
        "set-turn": lambda v: f"flip {v.is_pin} {int(v.backward)}", "read-props": "fan",
        "set-props": lambda v: f"fan {v.props}", "read-mount": "sit",
        "set-mount": lambda v: f"sit {10 * int(v.yaw)} {10 * int(v.pitch)} {10 * int(v.roll)}", "sense": "g",
        "stop-command": "calm", "spin-command": lambda v: f"pulse {v.motor - 1} {v.strength} {v.ms}", "keep": "write",
        "restarts": "boot"}
