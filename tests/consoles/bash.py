"""bash with readline: shell functions that play a craft."""

from engine import Refused, among, number
from real import Real

NAMES = ("normal", "reversed")
WORDS = "whoami_ everything pins pin turns turn blades seat feel spin halt keep reboot"


class Console(Real):
    program = ["bash", "--noprofile", "--rcfile", "{}", "-i"]
    starts = {"half": "pin 3", "open": 'pin 3 "\r', "busy": "while :; do echo tick; read -t 0.3 <> <(:); done\r"}
    numbering = {"quad-x": ["rear-right", "front-right", "rear-left", "front-left"],
                 "hex-x": ["rear-right", "front-right", "rear-left", "front-left", "right", "left"]}
    script = r"""PS1='bench \$ '
tell() { printf '%s\n' "$*" >&3; while IFS= read -r -u 4 line && [ "$line" != . ]; do printf '%s\n' "$line"; done; }
""" + "\n".join(f"{word}() {{ tell {word} \"$@\"; }}" for word in WORDS.split()) + "\n"

    def do(self, line):
        stored = self.stored
        match line.split():
            case ["whoami_"]:
                return ["board=shell-1 firmware=dash-of-salt version=0.3 serial=B-1"]
            case ["everything"]:
                return [f"knob{n}={n * 7 % 80}" for n in range(30)] + self.do("pins") + self.do("seat")
            case ["pins"]:
                return [f"motor {m + 1} pin {pad or 'none'}" for m, pad in enumerate(stored.pads)]
            case ["pin", motor, pad]:
                self.put(self.motor(motor), None if pad == "none" else self.pad(pad))
            case ["turns"]:
                return [f"motor {m + 1} {('normal', 'reversed')[m in stored.backward]}" for m in self.motors]
            case ["turn", motor, way]:
                self.reverse(self.motor(motor), among(way, ("normal", "reversed")) == 1)
            case ["blades"]:
                return ["blades " + stored.props]
            case ["blades", way]:
                stored.props = ("in", "out")[among(way, ("in", "out"))]
            case ["seat"]:
                return ["yaw {} pitch {} roll {}".format(*stored.mount)]
            case ["seat", *angles] if len(angles) == 3:
                stored.mount = [number(angle, -180, 360) for angle in angles]
            case ["feel"]:
                return ["x {:.2f} y {:.2f} z {:.2f}".format(*(-a for a in self.craft.down()))]
            case ["spin", motor, percent, ms]:
                self.spin(self.motor(motor), number(percent, 0, 100) / 100, number(ms, 1, 9999) / 1000)
                return [f"motor {motor} spins"]
            case ["halt"]:
                self.stop()
                return ["halted"]
            case ["keep"]:
                self.keep()
                return ["kept"]
            case ["reboot"]:
                self.restart()
            case _:
                raise Refused(line)
        return []

    map_words = {"motor": "2", "pin": "4"}
    sheet = {
        "identify": "whoami_", "whole-configuration": "everything", "list-map": "pins",
        "assign-pin": lambda v: f"pin {v.motor} {v.pin}", "free-pin": lambda v: f"pin {v.motor} none",
        "read-turn": "turns", "set-turn": lambda v: f"turn {v.motor} {NAMES[v.backward]}",
        "read-props": "blades", "set-props": lambda v: f"blades {v.props}", "read-mount": "seat",
        "set-mount": lambda v: f"seat {v.yaw} {v.pitch} {v.roll}", "sense": "feel", "stop-command": "halt",
        "echo-word": lambda v: f"echo {v.word}", "spin-command": lambda v: f"spin {v.motor} {v.strength} {v.ms}", "keep": "keep", "restarts": "reboot"}
