"""Numbers first, then the word that takes them off the stack, several to a line; the prompt says how many lie there. It answers
in columns of numbers and no words. A pad that is given to one motor is gone from the other. It starts anew on the same port."""

import random
import re

from engine import Console as Base, Refused, number

WORDS = {"wire": 2, "wiring": 0, "cross": 2, "blades": 1, "blades?": 0, "lie": 3, "lie?": 0, "feel": 0, "whirl": 3,
         "calm": 0, "burn": 0, "cold": 0, "who": 0, "all": 0, "words": 0}
TOLD = ["motor pad wire        -1 is no pad", "wiring                motor, pad, crossed, hertz",
        "motor flag cross      1 is crossed", "flag blades           0 in, 1 out", "blades?", "yaw pitch roll lie    degrees", "lie?",
        "feel                  acceleration, 4096 is 1 g; rates, 16 is 1 deg/s", "motor power ms whirl  of 255",
        "calm                  nothing whirls", "burn                  into flash", "cold                  a cold start",
        "who all words"]


class Console(Base):
    pads = [str(n) for n in range(12)]
    restarts, boot = "same", 0.7
    limits = (9, 21, 255)
    numbering = {"quad-x": ["front-right", "front-left", "rear-right", "rear-left"],
                 "hex-x": ["front-right", "front-left", "right", "left", "rear-right", "rear-left"]}

    def fresh(self):
        super().fresh()
        self.stack = []

    def banner(self):
        return ["hazel 3 / nut 1.14"]

    def prompt(self):
        return f"<{len(self.stack)}> "

    def letter(self, letter):
        if letter == self.way_out:
            self.stack = []
        super().letter(letter)

    def refusal(self, why):
        self.stack = []
        return [f"? {why}"]

    def do(self, line):
        for word in line.lower().split():
            if re.fullmatch(r"-?\d{1,6}", word):
                if len(self.stack) == 16:
                    raise Refused("full")
                self.stack.append(int(word))
                continue
            if word not in WORDS:
                raise Refused(word)
            takes = WORDS[word]
            if len(self.stack) < takes:
                raise Refused(f"{word} takes {takes}")
            given = self.stack[len(self.stack) - takes:]
            del self.stack[len(self.stack) - takes:]
            yield from getattr(self, "do_" + word.replace("?", "_now"))(*given) or ()

    def do_wire(self, motor, pad):
        motor, pad = self.motor(motor, 0), None if pad == -1 else self.pad(str(pad))
        loser = self.motor_on(pad) if pad else None
        if loser is not None:
            self.put(loser, None)
        self.put(motor, pad)

    def do_wiring(self):
        return [f"{motor:4}{pad or -1:>4}{int(motor in self.stored.backward):4}{400 + motor % 3 * 40:5}"
                for motor, pad in enumerate(self.stored.pads)]

    def do_cross(self, motor, flag):
        self.reverse(self.motor(motor, 0), bool(number(flag, 0, 1)))

    def do_blades(self, flag):
        self.stored.props = ("in", "out")[number(flag, 0, 1)]

    def do_blades_now(self):
        return [f"{('in', 'out').index(self.stored.props):4}"]

    def do_lie(self, *angles):
        self.stored.mount[:] = [number(angle, -180, 359) for angle in angles]

    def do_lie_now(self):
        return ["{:4}{:5}{:5}".format(*self.stored.mount)]

    def do_feel(self):
        acc = [round(-4096 * a + random.uniform(-15, 15)) for a in self.craft.down()]
        rates = [round(16 * a + random.uniform(-4, 4)) for a in self.craft.rates()]
        return ["{:7}{:7}{:7}".format(*row) for row in (acc, rates)]

    def do_whirl(self, motor, power, ms):
        self.spin(self.motor(motor, 0), number(power, 0, 255) / 255, number(ms, 1, 9999) / 1000)

    def do_calm(self):
        self.stop()

    def do_burn(self):
        yield 0.4
        self.keep()

    def do_cold(self):
        self.restart()

    def do_who(self):
        return ["hazel 3 / nut 1.14 / 20771"]

    def do_all(self):
        return [*self.do_wiring(), *self.do_blades_now(), *self.do_lie_now(),
                *(f"{n:4}{n * 29 % 83:6}" for n in range(100, 100 + self.tells_everything))]

    def do_words(self):
        return TOLD

    map_words = {"motor": "1", "pin": "2", "turn": "3"}
    map_name = staticmethod(lambda motor: str(motor))
    sheet = {
        "help": "words", "identify": "who", "whole-configuration": "all", "list-map": "wiring",
        "assign-pin": lambda v: f"{v.motor - 1} {v.pin} wire", "free-pin": lambda v: f"{v.motor - 1} -1 wire",
        "read-turn": "wiring", "set-turn": lambda v: f"{v.motor - 1} {int(v.backward)} cross",
        "read-props": "blades?", "set-props": lambda v: f"{int(v.props == 'out')} blades", "read-mount": "lie?",
        "set-mount": lambda v: f"{v.yaw} {v.pitch} {v.roll} lie", "sense": "feel", "stop-command": "calm",
        "spin-command": lambda v: f"{v.motor - 1} {v.strength} {v.ms} whirl", "keep": "burn", "restarts": "cold"}
