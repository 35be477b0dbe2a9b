"""Settings are made in a mode that is entered and left, several commands to a line with ; between, and count after write and
reset. The prompt counts; what is done is not answered; a motor turns until it is halted, or five seconds. Axes: y left, z up."""

import random

from engine import Console as Base, Raw, Refused, among, number

LONGEST = 5.0


class Console(Base):
    pads = ["4", "5", "6", "7", "12", "13", "14", "15"]
    at_once = False
    boot, away = 0.8, 0.6
    limits = (10, 22, 255)
    spin_seconds_typed = False
    unmounted = [0.0, 0.0, 0.0]
    numbering = {"quad-x": ["rear-left", "rear-right", "front-right", "front-left"],
                 "hex-x": ["rear-left", "rear-right", "right", "front-right", "front-left", "left"]}

    def banner(self):
        return ["", "fen boot 1.0", "ram ok, flash ok, imu ok", ""]

    def fresh(self):
        super().fresh()
        self.config = False

    def prompt(self):
        return f"fen:{self.count:04}{'#' if self.config else '>'} "

    def letter(self, letter):
        if letter == self.way_out:
            self.config = False
        super().letter(letter)

    def refusal(self, why):
        return ["% " + why]

    def do(self, line):
        for part in line.split(";"):
            if part.strip():
                yield from self.one(part.lower().split()) or ()

    def one(self, words):
        match words:
            case ["end"]:
                if not self.config:
                    raise Refused("not in config")
                self.config = False
                return []
            case ["config"]:
                self.config = True
                return []
            case ["show", what]:
                return self.show(what)
            case ["motor" | "props" | "orient", *_]:
                if not self.config:
                    raise Refused(f"'{words[0]}' belongs to config")
                return self.setting(words)
            case ["jog" | "write" | "reset", *_] if self.config:
                raise Refused("leave config first (end)")
            case ["jog", motor, duty]:
                self.spin(self.motor(motor), number(duty, 0, 255) / 255, LONGEST)
                return []
            case ["halt"]:
                self.stop()
                return []
            case ["halt", motor]:
                self.stop(self.motor(motor))
                return []
            case ["write"]:
                return self.write()
            case ["reset"]:
                self.restart()
                return []
        raise Refused(f"unknown: {' '.join(words)}")

    def setting(self, words):
        match words:
            case ["motor", motor, "out", "none"]:
                self.put(self.motor(motor), None)
            case ["motor", motor, "out", pin]:
                self.put(self.motor(motor), self.pad(pin))
            case ["motor", motor, "forward" | "reversed" as way]:
                self.reverse(self.motor(motor), way == "reversed")
            case ["props", way]:
                self.stored.props = ("in", "out")[among(way, ("inward", "outward"))]
            case ["orient", yaw, pitch, roll]:
                self.stored.mount[:] = [number(angle, -360, 360, float) for angle in (yaw, pitch, roll)]
            case _:
                raise Refused(f"incomplete: {' '.join(words)}")
        return []

    def write(self):
        used = [pin for pin in self.stored.pads if pin]
        twice = sorted({pin for pin in used if used.count(pin) > 1}, key=int)
        if twice:
            raise Refused(f"not written, used twice: out {', '.join(twice)}")
        yield Raw("writing ")
        for _ in range(4):
            yield 0.1
            yield Raw(".")
        self.keep()
        yield " ok"

    def show(self, what):
        stored = self.stored
        match what:
            case "version":
                return ["fen controller, model F2", "  software  : mire 2.4 (stable)", "  unit      : 77120431", "  up        : 311 s"]
            case "motors":
                return [f"  motor {m + 1} : out {pin or 'none'}, {('forward', 'reversed')[m in stored.backward]}, slew {20 + m % 2 * 5} %/s"
                        for m, pin in enumerate(stored.pads)]
            case "frame":
                return [f"  arms  : {len(self.motors)}", f"  props : {stored.props}ward", "  span  : 220 mm"]
            case "board":
                return ["  orient : yaw {:.1f} deg, pitch {:.1f} deg, roll {:.1f} deg".format(*stored.mount), "  supply : 5.02 V"]
            case "imu":
                x, y, z = (-9.81 * a + random.uniform(-0.04, 0.04) for a in self.craft.down())
                p, q, r = (a + random.uniform(-0.2, 0.2) for a in self.craft.rates())
                return [f"  accel : x {x:+.2f}, y {-y:+.2f}, z {-z:+.2f} m/s2", f"  gyro  : x {p:+.1f}, y {-q:+.1f}, z {-r:+.1f} deg/s"]
            case "all":
                knobs = [f"  trim {n:2} : {n * 7 % 50 - 20:+d} %" for n in range(self.tells_everything)]
                return [*self.show("motors"), *knobs, *self.show("frame"), *self.show("board")]
        raise Refused(f"show what? '{what}'")

    map_words = {"motor": "2", "pin": "5", "turn": "6"}
    sheet = {
        "identify": "show version", "whole-configuration": "show all", "list-map": "show motors",
        "assign-pin": lambda v: f"config; motor {v.motor} out {v.pin}; end",
        "free-pin": lambda v: f"config; motor {v.motor} out none; end",
        "read-turn": "show motors", "set-turn": lambda v: f"config; motor {v.motor} {('forward', 'reversed')[v.backward]}; end",
        "read-props": "show frame", "set-props": lambda v: f"config; props {v.props}ward; end",
        "out": "end", "read-mount": "show board", "set-mount": lambda v: f"config; orient {v.yaw} {v.pitch} {v.roll}; end",
        "sense": "show imu", "stop-command": "halt", "stop-each": lambda v: f"halt {v.motor}",
        "spin-command": lambda v: f"jog {v.motor} {v.strength}", "keep": "write", "restarts": "reset"}
