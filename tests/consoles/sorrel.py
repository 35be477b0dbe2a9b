"""A table that lies on its side: a column a motor, a line for the pads and one for the turns; a counter stands in the
prompt, the pad comes before the motor in what is typed, and it asks back before it restarts."""

from engine import Ask, Console as Base, Refused, among, number


class Console(Base):
    pads = [f"T{n}" for n in range(1, 9)]
    limits = (0.02, 0.09, 1)
    numbering = {"quad-x": ["front-left", "rear-left", "front-right", "rear-right"],
                 "hex-x": ["front-left", "left", "rear-left", "front-right", "right", "rear-right"]}

    def prompt(self):
        return f"({self.count % 7}) sorrel $ "

    def refusal(self, why):
        return ["what is " + why + "?"]

    def do(self, line):
        stored = self.stored
        match line.split():
            case ["commands"]:
                return ["table             all motors", "hang PAD MOTOR    puts the motor on the pad", "unhang MOTOR      takes it off",
                        "bend MOTOR +|-    + as it is wired, - reversed", "rotors            how the propellers sweep",
                        "rotors in|out     sets that", "lie               how the board lies", "lie Y/P/R         sets that",
                        "tilt              accelerometer", "whirr MOTOR PART MS   spins a motor", "hush              stops all motors",
                        "store             keeps it", "renew             restarts", "name              who this is",
                        "everything        all settings"]
            case ["name"]:
                return ["sorrel-2 / dock 7.1 / S0091"]
            case ["everything"]:
                return [f"stem-{n} {n * 31 % 60}" for n in range(30)] + self.table() + self.do("lie")
            case ["table"]:
                return self.table()
            case ["hang", pad, motor]:
                self.put(self.named(motor), self.pad(pad))
                return []
            case ["unhang", motor]:
                self.put(self.named(motor), None)
                return []
            case ["bend", motor, way]:
                self.reverse(self.named(motor), among(way, ("+", "-")) == 1)
                return []
            case ["rotors"]:
                return [f"rotors: {stored.props}"]
            case ["rotors", way]:
                stored.props = ("in", "out")[among(way, ("in", "out"))]
                return []
            case ["lie"]:
                return ["lie {}/{}/{}".format(*stored.mount)]
            case ["lie", angles] if angles.count("/") == 2:
                stored.mount = [number(angle, -180, 360) for angle in angles.split("/")]
                return []
            case ["tilt"]:
                return ["tilt {:.2f}/{:.2f}/{:.2f}".format(*(-a for a in self.craft.down()))]
            case ["whirr", motor, part, ms]:
                self.spin(self.named(motor), number(part, 0, 1, float), number(ms, 1, 9999) / 1000)
                return []
            case ["hush"]:
                self.stop()
                return ["hushed"]
            case ["store"]:
                self.keep()
                return ["stored"]
            case ["renew"]:
                return [Ask("renew now? (yes) ", lambda sure: self.renew(sure))]
        raise Refused(line)

    def renew(self, sure):
        if sure != "yes":
            return ["not renewed"]
        self.restart()
        return []

    def named(self, motor):
        return self.motor(motor.removeprefix("m"))

    def table(self):
        stored = self.stored
        columns = [(f"m{m + 1}", pad or "--", "-" if m in stored.backward else "+") for m, pad in enumerate(stored.pads)]
        return ["     " + "".join(f"{name:5}" for name, _, _ in columns), "pad  " + "".join(f"{pad:5}" for _, pad, _ in columns),
                "bend " + "".join(f"{way:5}" for _, _, way in columns)]

    map_name = staticmethod(lambda motor: f"m{motor + 1}")
    sheet = {
        "help": "commands", "identify": "name", "whole-configuration": "everything", "list-map": "table",
        "assign-pin": lambda v: f"hang {v.pin} m{v.motor}", "free-pin": lambda v: f"unhang m{v.motor}", "read-turn": "table",
        "set-turn": lambda v: f"bend m{v.motor} {'-' if v.backward else '+'}", "read-props": "rotors",
        "set-props": lambda v: f"rotors {v.props}", "read-mount": "lie", "set-mount": lambda v: f"lie {v.yaw}/{v.pitch}/{v.roll}",
        "sense": "tilt", "stop-command": "hush", "spin-command": lambda v: f"whirr m{v.motor} {v.strength} {v.ms}",
        "keep": "store", "restarts": "renew ; yes"}
