"""The time in the prompt; signs outside ASCII; units glued to the numbers; one line for all."""

import re
import time

from engine import Console as Base, Refused, among, number

SIGNS = ("↻", "↺")


def signed(value, unit="°"):
    return f"{value}{unit}".replace("-", "−")


class Console(Base):
    limits = ("3%", "8%", "100%")
    turn_words = SIGNS
    numbering = {"quad-x": ["front-right", "rear-right", "rear-left", "front-left"],
                 "hex-x": ["front-right", "right", "rear-right", "rear-left", "left", "front-left"]}

    def prompt(self):
        return time.strftime("%H:%M:%S $ ")

    def refusal(self, why):
        return ["¿" + why + "?"]

    def angle(self, text):
        if not text.endswith("°"):
            raise Refused(text)
        return number(text[:-1].replace("−", "-"), -180, 360)

    def sized(self, text, unit, most):
        if not text.endswith(unit):
            raise Refused(text)
        return number(text[: -len(unit)], 0, most)

    def do(self, line):
        m, stored = self.motors, self.stored
        match line.split():
            case ["?who"]:
                return ["dune·2 · sand v1.12 · nº D-4410"]
            case ["?all"]:
                return [f"k{n} {signed(n * 7 % 90 - 45, '%')}" for n in range(30)] + [*self.do("?wiring"), *self.do("?seat")]
            case ["?wiring"]:
                return ["   ".join(f"M{n + 1} → {stored.pads[n] or '∅'}" for n in m)]
            case ["?turns"]:
                return [", ".join(f"M{n + 1} {SIGNS[n in stored.backward]}" for n in m)]
            case ["?blades"]:
                return [f"blades {stored.props}ward"]
            case ["?seat"]:
                return ["seat " + " ".join(signed(a) for a in stored.mount)]
            case ["?feel"]:
                return [" ".join(signed(f"{-9.80665 * a:.2f}", "m/s²") for a in self.craft.down())]
            case [motor, ":=", pad] if motor[0] == "M":
                self.put(self.motor(motor[1:]), None if pad == "∅" else self.pad(pad))
                return [f"{motor} → {pad}"]
            case [motor, sign] if re.match(r"M\d", motor):
                self.reverse(self.motor(motor[1:]), among(sign, SIGNS) == 1)
                return [f"{motor} {sign}"]
            case ["blades", way]:
                stored.props = ("in", "out")[among(way, ("inward", "outward"))]
                return [f"blades {way}"]
            case ["seat", *angles] if len(angles) == 3:
                stored.mount = [self.angle(angle) for angle in angles]
                return self.do("?seat")
            case ["spin", motor, part, ms]:
                self.spin(self.motor(motor[1:]), self.sized(part, "%", 100) / 100, self.sized(ms, "ms", 9999) / 1000)
                return [f"{motor} {part}"]
            case ["still"]:
                self.stop()
                return ["all still"]
            case ["remember"]:
                self.keep()
                return ["remembered"]
            case ["again"]:
                self.restart()
                return ["…"]
        raise Refused(line)

    sheet = {
        "identify": "?who", "whole-configuration": "?all", "list-map": "?wiring",
        "assign-pin": lambda v: f"M{v.motor} := {v.pin}", "free-pin": lambda v: f"M{v.motor} := ∅",
        "read-turn": "?turns", "set-turn": lambda v: f"M{v.motor} {SIGNS[v.backward]}",
        "read-props": "?blades", "set-props": lambda v: f"blades {v.props}ward", "read-mount": "?seat",
        "set-mount": lambda v: "seat " + " ".join(signed(a) for a in (v.yaw, v.pitch, v.roll)), "sense": "?feel",
        "stop-command": "still", "spin-command": lambda v: f"spin M{v.motor} {str(v.strength).rstrip('%')}% {v.ms}ms",
        "keep": "remember", "restarts": "again"}
