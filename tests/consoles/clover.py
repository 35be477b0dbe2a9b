"""One JSON object a line, both ways: "cmd" says what, the other keys are its values, and a command without values asks. What is
told comes an object a line, and "ok" or "error" ends it. No echo, no prompt. Axes: x ahead, y left, z up; m/s2 and deg/s."""

import json
import random

from engine import Console as Base, Refused, among, number

DIRECTIONS, ANGLES = ("normal", "reversed"), ("yaw", "pitch", "roll")
KEYS = {"help": "", "info": "", "dump": "", "motors": "", "motor": "n pin dir", "props": "way", "mount": "yaw pitch roll",
        "imu": "", "run": "n power ms", "stop": "n", "save": "", "restart": ""}


class Console(Base):
    pads = [f"{port}{n}" for port in "CE" for n in range(5, 10)]
    echo, ends, ignored, eol = False, "\n", "\r", "\n"
    unmounted = [0.0, 0.0, 0.0]
    boot = 0.5
    limits = (0.04, 0.09, 1)
    numbering = {"quad-x": ["front-right", "rear-right", "rear-left", "front-left"],
                 "hex-x": ["front-left", "front-right", "right", "rear-right", "rear-left", "left"]}

    def banner(self):
        return [json.dumps({"clover": "2.3", "ready": True})]

    def prompt(self):
        return ""

    def refusal(self, why):
        return [json.dumps({"error": why})]

    def do(self, line):
        try:
            given = json.loads(line)
        except ValueError:
            raise Refused("not JSON") from None
        command = given.pop("cmd", None) if isinstance(given, dict) else None
        if command not in list(KEYS):
            raise Refused('"cmd" is one of ' + " ".join(KEYS))
        for key in given:
            if key not in KEYS[command].split():
                raise Refused(f"{command} knows no {key}")
        for said in getattr(self, "on_" + command)(**given) or ():
            yield json.dumps(said) if isinstance(said, dict) else said
        yield json.dumps({"ok": True})

    def on_help(self):
        return [{"cmd": command, "keys": keys.split()} for command, keys in KEYS.items()]

    def on_info(self):
        return [{"board": "clover-h7", "firmware": "2.3.0", "serial": "CL-004417"}]

    def on_dump(self):
        knobs = [{"knob": n, "value": n * 23 % 60 / 4} for n in range(self.tells_everything)]
        return [*self.on_motors(), *knobs, *self.on_props(), *self.on_mount()]

    def on_motors(self):
        return [{"n": m + 1, "pin": pin, "dir": DIRECTIONS[m in self.stored.backward], "hz": 400 - 80 * (m % 2)}
                for m, pin in enumerate(self.stored.pads)]

    def on_motor(self, n=None, pin="", dir=""):
        motor = self.motor(str(n))
        if pin not in ("", None) and self.motor_on(self.pad(pin)) not in (None, motor):
            raise Refused(f"{pin} is in use")
        if dir:
            self.reverse(motor, among(dir, DIRECTIONS) == 1)
        if pin != "":
            self.put(motor, pin)
        return [self.on_motors()[motor]]

    def on_props(self, way=""):
        if way:
            self.stored.props = ("in", "out")[among(way, ("in", "out"))]
        return [{"props": self.stored.props}]

    def on_mount(self, **angles):
        for name, angle in angles.items():
            self.stored.mount[ANGLES.index(name)] = number(str(angle), -360, 360, float)
        return [dict(zip(ANGLES, self.stored.mount))]

    def on_imu(self):
        x, y, z = (round(-9.81 * a + random.uniform(-0.04, 0.04), 2) for a in self.craft.down())
        p, q, r = (round(a + random.uniform(-0.2, 0.2), 1) for a in self.craft.rates())
        return [{"acc": [x, -y, -z], "gyro": [p, -q, -r], "temp": 31.5}]

    def on_run(self, n=0, power=0, ms=0):
        self.spin(self.motor(str(n)), number(str(power), 0, 1, float), number(str(ms), 1, 9999) / 1000)

    def on_stop(self, n=None):
        self.stop(None if n is None else self.motor(str(n)))

    def on_save(self):
        yield 0.3
        self.keep()

    def on_restart(self):
        self.restart()

    map_words = {"motor": "2", "pin": "4", "turn": "6"}
    sheet = {
        "help": '{"cmd": "help"}', "identify": '{"cmd": "info"}', "whole-configuration": '{"cmd": "dump"}',
        "list-map": '{"cmd": "motors"}',
        "assign-pin": lambda v: f'{{"cmd": "motor", "n": {v.motor}, "pin": "{v.pin}"}}',
        "free-pin": lambda v: f'{{"cmd": "motor", "n": {v.motor}, "pin": null}}', "read-turn": '{"cmd": "motors"}',
        "set-turn": lambda v: f'{{"cmd": "motor", "n": {v.motor}, "dir": "{DIRECTIONS[v.backward]}"}}',
        "read-props": '{"cmd": "props"}', "set-props": lambda v: f'{{"cmd": "props", "way": "{v.props}"}}',
        "read-mount": '{"cmd": "mount"}',
        "set-mount": lambda v: f'{{"cmd": "mount", "yaw": {v.yaw}, "pitch": {v.pitch}, "roll": {v.roll}}}',
        "sense": '{"cmd": "imu"}', "stop-command": '{"cmd": "stop"}',
        "stop-each": lambda v: f'{{"cmd": "stop", "n": {v.motor}}}',
        "spin-command": lambda v: f'{{"cmd": "run", "n": {v.motor}, "power": {v.strength}, "ms": {v.ms}}}',
        "keep": '{"cmd": "save"}', "restarts": '{"cmd": "restart"}'}
