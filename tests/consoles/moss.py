"""Forth-like at the edges: the answer follows the echo on its line and ends in ok; no prompt; an empty line does the
last command again; indices in brackets."""

import re

from engine import Console as Base, Refused, among, number


class Console(Base):
    pads = [f"S{n}" for n in range(1, 9)]
    enter_repeats = True
    limits = (30, 80, 1000)
    numbering = {"quad-x": ["rear-left", "front-right", "rear-right", "front-left"],
                 "hex-x": ["rear-left", "front-right", "rear-right", "front-left", "right", "left"]}

    def prompt(self):
        return ""

    def echo_of_end(self):
        return " "

    def hear(self, line):
        before = self.count
        super().hear(line)
        if self.count == before:
            self.say("ok" + self.eol)

    def refusal(self, why):
        return [why + " ?"]

    def do(self, line):
        lines = list(self.answer(line))
        return [*lines[:-1], (lines[-1] + " " if lines else "") + "ok"]

    def answer(self, line):
        stored = self.stored
        match re.split(r"[ =]+", line):
            case ["me"]:
                return ["moss/spore 1.6 #4411"]
            case ["dump"]:
                return ["", *(f"lichen[{n}] {n * 7 % 90}" for n in range(30)), *self.rows()]
            case ["pins"]:
                return ["", *self.rows()]
            case [place, pad] if place.startswith("pin["):
                self.put(self.index(place), None if pad == "none" else self.pad(pad))
                return []
            case [place] if place.startswith("way["):
                return ["-" if self.index(place) in stored.backward else "+"]
            case [place, way] if place.startswith("way["):
                self.reverse(self.index(place), among(way, "+-") == 1)
                return []
            case ["blade"]:
                return [stored.props]
            case ["blade", way]:
                stored.props = ("in", "out")[among(way, ("in", "out"))]
                return []
            case ["lie"]:
                return ["{} {} {}".format(*stored.mount)]
            case ["lie", *angles] if len(angles) == 3:
                stored.mount = [number(angle, -180, 360) for angle in angles]
                return []
            case ["acc"]:
                return [" ".join(f"{-a:.2f}" for a in self.craft.down())]
            case ["whirl", motor, permille, ms]:
                self.spin(self.motor(motor, 0), number(permille, 0, 1000) / 1000, number(ms, 1, 9999) / 1000)
                return []
            case ["quiet"]:
                self.stop()
                return ["quiet"]
            case ["hold"]:
                self.keep()
                return ["held"]
            case ["anew"]:
                self.restart()
                return []
        raise Refused(line)

    def index(self, place):
        found = re.fullmatch(r"\w+\[(\d+)\]", place)
        return self.motor(found[1] if found else place, 0)

    def rows(self):
        return [f"pin[{m}]={pad or 'none'}" for m, pad in enumerate(self.stored.pads)]

    map_name = staticmethod(lambda motor: str(motor))
    sheet = {
        "identify": "me", "whole-configuration": "dump", "list-map": "pins",
        "assign-pin": lambda v: f"pin[{v.motor - 1}]={v.pin}", "free-pin": lambda v: f"pin[{v.motor - 1}]=none",
        "read-turn": lambda v: f"way[{v.motor - 1}]", "set-turn": lambda v: f"way[{v.motor - 1}]={'-' if v.backward else '+'}",
        "read-props": "blade", "set-props": lambda v: f"blade={v.props}", "read-mount": "lie",
        "set-mount": lambda v: f"lie {v.yaw} {v.pitch} {v.roll}", "sense": "acc", "stop-command": "quiet",
        "spin-command": lambda v: f"whirl {v.motor - 1} {v.strength} {v.ms}", "keep": "hold", "restarts": "anew"}
