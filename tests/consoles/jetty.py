"""A motor is chosen, and what follows is about it: several whole commands for one thing. They answer nothing at all.
No word stops all motors; a spin turns until it is stopped. It starts anew on the same port."""

from engine import Console as Base, Refused, among, number


class Console(Base):
    pads = [f"B{n}" for n in range(1, 9)]
    echo = False
    restarts, boot = "same", 0.8
    chosen = 0
    numbering = {"quad-x": ["front-right", "rear-left", "front-left", "rear-right"],
                 "hex-x": ["front-right", "rear-left", "front-left", "rear-right", "left", "right"]}

    def banner(self):
        return ["jetty up", "planks 8"]

    def prompt(self):
        return "% "

    def refusal(self, why):
        return ["no such thing: " + why]

    def do(self, line):
        stored = self.stored
        match line.split():
            case ["name"]:
                return ["jetty 8 mooring 2.0 J-8"]
            case ["print"]:
                return [f"tide{n} {n * 3 % 40}" for n in range(30)] + self.do("list") + self.do("seat")
            case ["list"]:
                return [f"{m + 1}:{pad or 'off'}{'-' if m in stored.backward else '+'}" for m, pad in enumerate(stored.pads)]
            case ["motor", motor]:
                self.chosen = self.motor(motor)
            case ["pad", pad]:
                self.put(self.chosen, None if pad == "off" else self.pad(pad))
            case ["turn", way]:
                self.reverse(self.chosen, among(way, ("+", "-")) == 1)
            case ["drive", percent]:
                self.spin(self.chosen, number(percent, 0, 100) / 100)
            case ["rest"]:
                self.stop(self.chosen)
            case ["sweep"]:
                return [stored.props]
            case ["sweep", way]:
                stored.props = ("in", "out")[among(way, ("in", "out"))]
            case ["seat"]:
                return ["y{} p{} r{}".format(*stored.mount)]
            case ["yaw" | "pitch" | "roll" as name, angle]:
                stored.mount[("yaw", "pitch", "roll").index(name)] = number(angle, -180, 360)
            case ["acc"]:
                return [f"{name}{-1000 * a:+.0f}" for name, a in zip("xyz", self.craft.down())]
            case ["store"]:
                self.keep()
            case ["boot"]:
                self.restart()
            case _:
                raise Refused(line)
        return []

    map_words = {"motor": "1", "pin": "1"}
    sheet = {
        "identify": "name", "whole-configuration": "print", "list-map": "list",
        "assign-pin": lambda v: f"motor {v.motor} ; pad {v.pin}", "free-pin": lambda v: f"motor {v.motor} ; pad off",
        "read-turn": "list", "set-turn": lambda v: f"motor {v.motor} ; turn {'-' if v.backward else '+'}",
        "read-props": "sweep", "set-props": lambda v: f"sweep {v.props}", "read-mount": "seat",
        "set-mount": lambda v: f"yaw {v.yaw} ; pitch {v.pitch} ; roll {v.roll}", "set-yaw": lambda v: f"yaw {v.yaw}",
        "set-pitch": lambda v: f"pitch {v.pitch}", "set-roll": lambda v: f"roll {v.roll}", "sense": "acc",
        "stop-command": "motor 1 ; rest ; motor 2 ; rest ; motor 3 ; rest ; motor 4 ; rest",
        "stop-each": lambda v: f"motor {v.motor} ; rest", "spin-command": lambda v: f"motor {v.motor} ; drive {v.strength}", "keep": "store", "restarts": "boot"}
    spin_seconds_typed = False
