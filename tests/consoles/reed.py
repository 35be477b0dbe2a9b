"""Settings in a numbered list: ?N asks, N=VALUE sets; saving and restarting are settings too. No echo and no prompt: each answer
begins with what was typed, ends in OK or ERR, and every line has a checksum behind it. Zero power stops; angles in 0.1 degrees."""

import random
import re
from functools import reduce

from engine import Console as Base, Refused, number

PINS, SENSES, PROPS, MOUNT, FELT, STORE, RESTART, KNOBS = 10, 20, 30, 40, 50, 90, 91, 100
IDLE, FULL = 1000, 2000  # microseconds
HELP = ["?            the whole list", "?N  ?N-M     one setting, or some", "N=VALUE      sets one",
        "mN US MS     motor N, microseconds, ms", "mN 1000      stops it; m0 is all"]


def checked(line):
    return f"{line} *{reduce(lambda sum_, byte: sum_ ^ byte, line.encode(), 0):02X}"


class Console(Base):
    pads = [str(n) for n in range(1, 13)]
    echo = False
    away, boot = 0.7, 0.4
    limits = (1050, 1110, FULL)
    numbering = {"quad-x": ["front-left", "rear-left", "rear-right", "front-right"],
                 "hex-x": ["rear-right", "right", "front-right", "front-left", "left", "rear-left"]}

    def banner(self):
        return [checked("reed up")]

    def prompt(self):
        return ""

    def settings(self):
        """Of each number: the value, what it is, and the least and most that it may be set to."""
        stored = self.stored
        listed = {0: (418, "board type"), 1: (211, "firmware release"), 2: (90177, "serial number")}
        for motor, pin in enumerate(stored.pads):
            listed[PINS + motor] = int(pin or 0), f"pin of motor {motor + 1}", 0, len(self.pads)
        for motor in self.motors:
            listed[SENSES + motor] = int(motor in stored.backward), f"motor {motor + 1} reversed", 0, 1
        listed[PROPS] = int(stored.props == "out"), "props turn outward", 0, 1
        for n, name in enumerate(("yaw", "pitch", "roll")):
            listed[MOUNT + n] = round(10 * stored.mount[n]), f"board {name}, 0.1 deg", -1800, 3599
        acc = [round(-1000 * a + random.uniform(-4, 4)) for a in self.craft.down()]
        rates = [round(10 * a + random.uniform(-2, 2)) for a in self.craft.rates()]
        for n, axis in enumerate("xyz"):
            listed[FELT + n] = acc[n], f"acceleration {axis}, mg"
            listed[FELT + 3 + n] = rates[n], f"rate {axis}, 0.1 deg/s"
        listed[STORE] = 0, "1 stores all", 1, 1
        listed[RESTART] = 0, "1 restarts", 1, 1
        listed |= {KNOBS + n: (n * 41 % 97, f"gain {n}", 0, 255) for n in range(self.tells_everything)}
        return dict(sorted(listed.items()))

    def do(self, line):
        """All that is said about a line, each with its checksum."""
        try:
            lines = list(self.answer(line))
        except Refused as refused:
            lines = [f"{line}: ERR {refused}"]
        else:
            lines = [f"{line}:", *lines, "OK"] if lines else [f"{line}: OK"]
        if line == f"{STORE}=1":
            yield 0.5
        yield from map(checked, lines)

    def answer(self, line):
        listed = self.settings()
        if line == "help":
            return HELP
        if found := re.fullmatch(r"\?(?:(\d+)(?:-(\d+))?)?", line):
            first, last = int(found[1] or 0), int(found[2] or found[1] or 999)
            lines = [f"{n} {held[0]} {held[1]}" for n, held in listed.items() if first <= n <= last]
            if not lines:
                raise Refused("no such setting")
            return lines
        if found := re.fullmatch(r"(\d+) *= *(-?\d+)", line):
            held = listed.get(int(found[1]))
            if held is None:
                raise Refused("no such setting")
            if len(held) < 4:
                raise Refused("read only")
            self.set(int(found[1]), number(found[2], *held[2:]))
            return []
        if found := re.fullmatch(r"m(\d+) (\d+)(?: (\d+))?", line):
            self.run(number(found[1], 0, len(self.motors)) - 1, number(found[2], IDLE, FULL), found[3])
            return []
        raise Refused("syntax, try help")

    def set(self, at, value):
        stored = self.stored
        if at - PINS in self.motors:
            pin = str(value) if value else None
            if pin and self.motor_on(pin) not in (None, at - PINS):
                raise Refused(f"pin taken by motor {self.motor_on(pin) + 1}")
            self.put(at - PINS, pin)
        elif at - SENSES in self.motors:
            self.reverse(at - SENSES, value == 1)
        elif at == PROPS:
            stored.props = ("in", "out")[value]
        elif at in range(MOUNT, MOUNT + 3):
            stored.mount[at - MOUNT] = value / 10
        elif at == STORE:
            self.keep()
        elif at == RESTART:
            self.restart()

    def run(self, motor, us, ms):
        if us == IDLE:
            return self.stop(None if motor < 0 else motor)
        if motor < 0 or ms is None:
            raise Refused("one motor, and a time")
        return self.spin(motor, (us - IDLE) / (FULL - IDLE), number(ms, 1, 9999) / 1000)

    map_words = {"motor": "6", "pin": "2"}
    sheet = {
        "help": "help", "identify": "?0-2", "whole-configuration": "?", "list-map": "?10-17",
        "assign-pin": lambda v: f"{9 + v.motor}={v.pin}", "free-pin": lambda v: f"{9 + v.motor}=0",
        "read-turn": "?20-27", "set-turn": lambda v: f"{19 + v.motor}={int(v.backward)}",
        "read-props": "?30", "set-props": lambda v: f"30={int(v.props == 'out')}", "read-mount": "?40-42",
        "set-mount": lambda v: " ; ".join(f"{40 + n}={round(10 * float(a))}" for n, a in enumerate((v.yaw, v.pitch, v.roll))),
        "set-yaw": lambda v: f"40={round(10 * float(v.yaw))}", "set-pitch": lambda v: f"41={round(10 * float(v.pitch))}",
        "set-roll": lambda v: f"42={round(10 * float(v.roll))}", "sense": "?50-55", "stop-command": "m0 1000",
        "stop-each": lambda v: f"m{v.motor} 1000", "spin-command": lambda v: f"m{v.motor} {v.strength} {v.ms}",
        "keep": "90=1", "restarts": "91=1"}
