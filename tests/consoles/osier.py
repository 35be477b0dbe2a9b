"""Questions end in ? and orders in !; what is asked of the motors is answered in blocks, a motor's number on a line and its
pad on one below; the spin takes its time first; it prints while it saves, and restarts only by hand."""

import re

from engine import Console as Base, Refused, among, number


class Console(Base):
    pads = [f"K{n}" for n in range(1, 10)]
    ends, ignored, eol = "\n", "\r", "\r\n"
    restarts = "hand"
    limits = (4, 9, 100)
    numbering = {"quad-x": ["front-right", "rear-right", "rear-left", "front-left"],
                 "hex-x": ["front-right", "right", "rear-right", "rear-left", "left", "front-left"]}

    def prompt(self):
        return "] "

    def refusal(self, why):
        return ["(eh?)"]

    def do(self, line):
        stored = self.stored
        if not line or line[-1] not in "?!":
            raise Refused(line)
        match [*re.split(r"\s+", line[:-1]), line[-1]]:
            case ["what", "?"]:
                return ["all?                      everything", "me?                       board and firmware",
                        "motors?                   each motor: its pad, and whether it is crossed",
                        "motor NUMBER on PAD!      gives it another pad; \"nothing\" takes it off",
                        "motor NUMBER crossed!     turns it the other way; uncrossed! back",
                        "fans?                     in or out; fans in! and fans out! set it",
                        "seat?                     how the board sits; seat YAW PITCH ROLL! sets it",
                        "pull?                     the accelerometer", "halt!                     stops all motors",
                        "for MS spin NUMBER at PERCENT!   spins one", "remember!                 keeps it all"]
            case ["me", "?"]:
                return ["osier, wand 0.9 (O-31)"]
            case ["all", "?"]:
                return [f"withy {n}: {n * 13 % 70}" for n in range(30)] + list(self.do("motors?"))
            case ["motors", "?"]:
                return [line for m in self.motors for line in
                        (f"motor {m + 1}", f"  on {stored.pads[m] or 'nothing'}",
                         f"  {'crossed' if m in stored.backward else 'uncrossed'}")]
            case ["motor", motor, "on", pad, "!"]:
                self.put(self.motor(motor), None if pad == "nothing" else self.pad(pad))
                return ["(done)"]
            case ["motor", motor, ("crossed" | "uncrossed") as way, "!"]:
                self.reverse(self.motor(motor), way == "crossed")
                return ["(done)"]
            case ["fans", "?"]:
                return [f"fans {stored.props}"]
            case ["fans", way, "!"]:
                stored.props = ("in", "out")[among(way, ("in", "out"))]
                return ["(done)"]
            case ["seat", "?"]:
                return ["seat {} {} {}".format(*stored.mount)]
            case ["seat", *angles, "!"] if len(angles) == 3:
                stored.mount = [number(angle, -180, 360) for angle in angles]
                return ["(done)"]
            case ["pull", "?"]:
                return ["pull " + " ".join(f"{-a:.3f}" for a in self.craft.down())]
            case ["halt", "!"]:
                self.stop()
                return ["(all still)"]
            case ["for", ms, "spin", motor, "at", percent, "!"]:
                self.spin(self.motor(motor), number(percent, 0, 100) / 100, number(ms, 1, 9999) / 1000)
                return [f"(motor {motor} spins)"]
            case ["remember", "!"]:
                self.keep()
                return ["(writing)", 0.3, "(written)"]
        raise Refused(line)

    map_words = {"motor": "2", "pin": "2"}
    sheet = {
        "help": "what?", "identify": "me?", "whole-configuration": "all?", "list-map": "motors?",
        "assign-pin": lambda v: f"motor {v.motor} on {v.pin}!", "free-pin": lambda v: f"motor {v.motor} on nothing!",
        "read-turn": "motors?", "set-turn": lambda v: f"motor {v.motor} {'crossed' if v.backward else 'uncrossed'}!",
        "read-props": "fans?", "set-props": lambda v: f"fans {v.props}!", "read-mount": "seat?",
        "set-mount": lambda v: f"seat {v.yaw} {v.pitch} {v.roll}!", "sense": "pull?", "stop-command": "halt!",
        "spin-command": lambda v: f"for {v.ms} spin {v.motor} at {v.strength}!", "keep": "remember!"}
