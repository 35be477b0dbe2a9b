"""By somebody who likes brackets: forms that may go on over lines, nested answers, motors by letter, pins by port, the
mount as three angles in a list; all at once, and the restart stays on the same port."""

import re

from engine import Console as Base, Refused, among, number

HELP = """(get info)                       who is this
(get all)                        every setting
(get motors)                     their ports and spins
(get props) (get mount) (get accel)
(set (motor M port) P)           P is pa0..pa3, pb0..pb3 or nil
(set (motor M spin) S)           S is normal or reverse
(set (props) D)                  D is inward or outward
(set (mount) (ROLL PITCH YAW))   in degrees
(run M PERMILLE MS)              spins a motor
(stop)                           stops all of them
(save)                           writes the settings to flash
(boot)                           starts anew"""
LETTERS = "abcdef"


class Console(Base):
    pads = [f"p{bank}{n}" for bank in "ab" for n in range(4)]
    eol, open_marks, restarts = "\n", "(", "same"
    limits = (30, 80, 1000)
    numbering = {"quad-x": ["front-left", "front-right", "rear-right", "rear-left"],
                 "hex-x": ["front-left", "front-right", "right", "rear-right", "rear-left", "left"]}

    def banner(self):
        return ["; fennel 1.3, (help) for help"]

    def prompt(self):
        return "fennel=> "

    def refusal(self, why):
        return [f'(error "{why}")']

    def do(self, line):
        match " ".join(re.findall(r"[()]|[^\s()]+", line)).split():
            case ["(", "help", ")"]:
                return HELP.split("\n")
            case ["(", "get", what, ")"]:
                return self.told(what)
            case ["(", "set", "(", "motor", motor, "port", ")", pad, ")"]:
                self.put(self.lettered(motor), None if pad == "nil" else self.pad(pad))
            case ["(", "set", "(", "motor", motor, "spin", ")", way, ")"]:
                self.reverse(self.lettered(motor), among(way, ("normal", "reverse")) == 1)
            case ["(", "set", "(", "props", ")", way, ")"]:
                self.stored.props = ("in", "out")[among(way, ("inward", "outward"))]
            case ["(", "set", "(", "mount", ")", "(", roll, pitch, yaw, ")", ")"]:
                self.stored.mount = [number(angle, -180, 360) for angle in (yaw, pitch, roll)]
            case ["(", "run", motor, share, ms, ")"]:
                self.spin(self.lettered(motor), number(share, 0, 1000) / 1000, number(ms, 1, 5000) / 1000)
            case ["(", "stop", ")"]:
                self.stop()
            case ["(", "save", ")"]:
                self.keep()
            case ["(", "boot", ")"]:
                self.restart()
                return []
            case _:
                raise Refused("no such form")
        return ["t"]

    def lettered(self, text):
        return among(text, LETTERS[:len(self.motors)])

    def told(self, what):
        yaw, pitch, roll = self.stored.mount
        parts = {
            "info": ['(info (name "fennel") (version "1.3.0") (board "umbel-f7") (id "5e01c9"))'],
            "motors": ["(motors", *(f"  (motor {LETTERS[m]} (port {pad or 'nil'}) (spin {self.way(m)}))"
                                    for m, pad in enumerate(self.stored.pads)), ")"],
            "props": [f"(props {self.stored.props}ward)"],
            "mount": [f"(mount (roll {roll}) (pitch {pitch}) (yaw {yaw}))"],
            "accel": ["(accel (x {:.3f}) (y {:.3f}) (z {:.3f}))".format(*(-part for part in self.craft.down()))]}
        if what == "all":
            tuning = [f"(gain {n} {n * 19 % 83 / 10})" for n in range(30)]
            return [*parts["info"], *tuning, *parts["motors"], *parts["props"], *parts["mount"]]
        if what not in parts:
            raise Refused("nothing called " + what)
        return parts[what]

    def way(self, motor):
        return "reverse" if motor in self.stored.backward else "normal"

    @staticmethod
    def map_name(motor):
        return LETTERS[motor]

    map_words = {"motor": "2", "pin": "4"}
    sheet = {
        "help": "(help)", "identify": "(get info)", "whole-configuration": "(get all)", "list-map": "(get motors)",
        "assign-pin": lambda v: f"(set (motor {LETTERS[v.motor - 1]} port) {v.pin})",
        "free-pin": lambda v: f"(set (motor {LETTERS[v.motor - 1]} port) nil)", "read-turn": "(get motors)",
        "set-turn": lambda v: f"(set (motor {LETTERS[v.motor - 1]} spin) {'reverse' if v.backward else 'normal'})",
        "read-props": "(get props)", "set-props": lambda v: f"(set (props) {v.props}ward)", "read-mount": "(get mount)",
        "set-mount": lambda v: f"(set (mount) ({v.roll} {v.pitch} {v.yaw}))", "sense": "(get accel)",
        "stop-command": "(stop)", "spin-command": lambda v: f"(run {LETTERS[v.motor - 1]} {v.strength} {v.ms})",
        "keep": "(save)", "restarts": "(boot)"}
