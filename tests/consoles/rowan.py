"""Answers in elements with attributes, several a line; words with = in any order; the mount is three settings of an element;
saving restarts it by itself, and the boot phase refuses all."""

import re

from engine import Console as Base, Refused, among, number


class Console(Base):
    pads = [f"{bank}.{n}" for bank in "ab" for n in range(4)]
    boot = 0.7
    limits = (20, 70, 1000)
    numbering = {"quad-x": ["rear-left", "front-left", "front-right", "rear-right"],
                 "hex-x": ["rear-left", "left", "front-left", "front-right", "right", "rear-right"]}

    def banner(self):
        return ['<hello name="rowan"/>']

    def prompt(self):
        return "rowan:: "

    def refusal(self, why):
        return [f'<no why="{why}"/>']

    def do(self, line):
        stored = self.stored
        words = line.split()
        given = dict(word.split("=", 1) for word in words[1:] if "=" in word)
        if len(given) != len(words) - 1:
            raise Refused("words")
        match words[0], given:
            case "who", {}:
                return ['<board kind="rowan-4"/><firmware name="berry" version="5.2.0"/><serial no="RW55"/>']
            case "all", {}:
                return [f'<leaf n="{n}" is="{n * 19 % 80}"/>' for n in range(30)] + self.outs() + self.board()
            case "outs", {}:
                return self.outs()
            case "out", {"n": motor, **rest} if rest:
                return self.out(self.motor(motor, 0), rest)
            case "props", {} if not given:
                return [f'<props sweep="{stored.props}"/>']
            case "props", {"sweep": way}:
                stored.props = ("in", "out")[among(way, ("in", "out"))]
                return ["<ok/>"]
            case "board", rest if set(rest) <= {"yaw", "pitch", "roll"}:
                for name, angle in rest.items():
                    stored.mount[("yaw", "pitch", "roll").index(name)] = number(angle, -180, 360)
                return ["<ok/>"] if rest else self.board()
            case "felt", {}:
                return ['<felt x="{:.0f}" y="{:.0f}" z="{:.0f}"/>'.format(*(-1000 * a for a in self.craft.down()))]
            case "turn", {"n": motor, "level": level, "ms": ms}:
                self.spin(self.motor(motor, 0), number(level, 0, 1000) / 1000, number(ms, 1, 9999) / 1000)
                return [f'<turning n="{motor}"/>']
            case "still", {}:
                self.stop()
                return ["<still/>"]
            case "keep", {}:
                self.keep()
                self.restart()
                return ["<kept/>"]
        raise Refused(words[0])

    def out(self, motor, rest):
        if not set(rest) <= {"pad", "rev"}:
            raise Refused("words")
        if "pad" in rest:
            self.put(motor, None if rest["pad"] == "none" else self.pad(rest["pad"]))
        if "rev" in rest:
            self.reverse(motor, among(rest["rev"], ("no", "yes")) == 1)
        return ["<ok/>"]

    def outs(self):
        rows = [f'<out rev="{("no", "yes")[m in self.stored.backward]}" n="{m}" pad="{pad or "none"}" rate="{400 if m % 3 else 50}"/>'
                for m, pad in enumerate(self.stored.pads)]
        return ["".join(rows[at:at + 2]) for at in range(0, len(rows), 2)]

    def board(self):
        return ['<board yaw="{}" pitch="{}" roll="{}"/>'.format(*self.stored.mount)]

    map_words = {"motor": "1", "pin": "1"}
    map_name = staticmethod(lambda motor: str(motor))
    sheet = {
        "identify": "who", "whole-configuration": "all", "list-map": "outs",
        "assign-pin": lambda v: f"out n={v.motor - 1} pad={v.pin}", "free-pin": lambda v: f"out n={v.motor - 1} pad=none",
        "read-turn": "outs", "set-turn": lambda v: f"out n={v.motor - 1} rev={('no', 'yes')[v.backward]}",
        "read-props": "props", "set-props": lambda v: f"props sweep={v.props}", "read-mount": "board",
        "set-mount": lambda v: f"board yaw={v.yaw} pitch={v.pitch} roll={v.roll}", "sense": "felt", "stop-command": "still",
        "spin-command": lambda v: f"turn n={v.motor - 1} level={v.strength} ms={v.ms}", "keep": "keep"}
