"""Letters that ask on, in words that say what is set now; a dot gives up a question; saving asks whether one is sure."""

from engine import Ask, Console as Base, Refused, among, number

LETTERS = """i  who am I
l  list motors
p  put a motor on a pin
r  reverse a motor
b  blades
m  show mounting
o  change mounting
a  accelerometer
s  spin a motor
x  stop everything
k  keep and restart
e  everything"""


class Console(Base):
    pads = [f"G{n}" for n in range(1, 9)]
    unasked = "."
    numbering = {"quad-x": ["rear-right", "front-right", "rear-left", "front-left"],
                 "hex-x": ["front-right", "rear-right", "front-left", "rear-left", "right", "left"]}

    def prompt(self):
        return "gorse: "

    def refusal(self, why):
        return ["** " + why]

    def asks(self, *questions, then):
        """One after the other; each a text, or a function of the answers so far."""
        def go_on(given, rest):
            if not rest:
                return then(*given)
            text = rest[0](*given) if callable(rest[0]) else rest[0]

            def answered(line):
                if line == ".":
                    return ["given up"]
                return go_on([*given, line], rest[1:])

            return iter([Ask(text, answered)])
        return go_on([], questions)

    def do(self, line):
        stored = self.stored
        match line:
            case "?":
                return LETTERS.split("\n")
            case "i":
                return ["Gorse 4 running thorn v0.9.1 (G-31415)"]
            case "e":
                return [f"({n}) {n * 3 % 80}" for n in range(30)] + self.rows()
            case "l":
                return self.rows()
            case "p":
                return self.asks("Motor? ", lambda m: f"Pin for motor {m} (now {stored.pads[self.motor(m)] or 'none'})? ",
                                then=self.put_asked)
            case "r":
                return self.asks("Motor? ", lambda m: f"Reversed (now {self.way(self.motor(m))})? ", then=self.reverse_asked)
            case "b":
                return self.asks(f"Blades in or out (now {stored.props})? ", then=self.props_asked)
            case "m":
                return ["Mounted yaw {}, pitch {}, roll {}".format(*stored.mount)]
            case "o":
                return self.asks(*(f"{name} (now {was})? " for name, was in zip(("Yaw", "Pitch", "Roll"), stored.mount)),
                                then=self.mount_asked)
            case "a":
                return ["Felt: {:.2f} ahead, {:.2f} right, {:.2f} down".format(*(-a for a in self.craft.down()))]
            case "s":
                return self.asks("Motor? ", "Power in %? ", "Milliseconds? ", then=self.spin_asked)
            case "x":
                self.stop()
                return ["Everything stands still"]
            case "k":
                return self.asks("Sure? y/n ", then=self.keep_asked)
        raise Refused("? lists the letters")

    def way(self, motor):
        return "yes" if motor in self.stored.backward else "no"

    def rows(self):
        return [f"Motor {m + 1} on {pad or 'none'}, reversed: {self.way(m)}" for m, pad in enumerate(self.stored.pads)]

    def put_asked(self, motor, pad):
        self.put(self.motor(motor), None if pad == "none" else self.pad(pad))
        return [f"Motor {motor} on {pad}"]

    def reverse_asked(self, motor, way):
        self.reverse(self.motor(motor), among(way, ("no", "yes")) == 1)
        return [f"Motor {motor} reversed: {way}"]

    def props_asked(self, way):
        self.stored.props = ("in", "out")[among(way, ("in", "out"))]
        return ["Blades " + way]

    def mount_asked(self, *angles):
        self.stored.mount = [number(angle, -180, 360) for angle in angles]
        return self.do("m")

    def spin_asked(self, motor, percent, ms):
        self.spin(self.motor(motor), number(percent, 0, 100) / 100, number(ms, 1, 9999) / 1000)
        return [f"Motor {motor} spins"]

    def keep_asked(self, sure):
        if sure == "y":
            self.keep()
            self.restart()
        return ["Kept" if sure == "y" else "Not kept"]

    map_words = {"motor": "2", "pin": "4"}
    sheet = {
        "help": "?", "identify": "i", "whole-configuration": "e", "list-map": "l",
        "assign-pin": lambda v: f"p ; {v.motor} ; {v.pin}", "free-pin": lambda v: f"p ; {v.motor} ; none",
        "read-turn": "l", "set-turn": lambda v: f"r ; {v.motor} ; {'yes' if v.backward else 'no'}", "read-props": "b ; .", "set-props": lambda v: f"b ; {v.props}",
        "read-mount": "m", "set-mount": lambda v: f"o ; {v.yaw} ; {v.pitch} ; {v.roll}", "sense": "a",
        "stop-command": "x", "spin-command": lambda v: f"s ; {v.motor} ; {v.strength} ; {v.ms}", "keep": "k ; y"}
