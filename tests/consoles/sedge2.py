"""Things with a dot and a value, answered in braces, one a line: motors are letters, a pin that is given to one motor is swapped
with what it had, angles are set one by one with their unit, a time is in seconds. A star in the prompt: something is not saved."""

import random
import re

from engine import Console as Base, Refused, number
from loop import now

COUNTS = 4096  # of one g


def shown(value):
    return f"{value:g}" if isinstance(value, float) else str(value)


class Console(Base):
    pads = [f"J{n}" for n in range(1, 9)]
    eol = "\n\r"
    takes_props = False
    boot = 0.4
    limits = (4, 10, 100)
    numbering = {"quad-x": ["rear-right", "rear-left", "front-left", "front-right"],
                 "hex-x": ["rear-right", "rear-left", "left", "front-left", "front-right", "right"]}

    def banner(self):
        return ['{"event":"boot","reason":"reset"}']

    def prompt(self):
        return "sedge*> " if self.stored != self.kept else "sedge> "

    def refusal(self, why):
        return ['{"ok":false,"why":"%s"}' % why]

    def lettered(self, text):
        if len(text) != 1 or not 0 <= ord(text) - ord("a") < len(self.motors):
            raise Refused(f"no motor {text}")
        return ord(text) - ord("a")

    def do(self, line):
        line = re.sub(r"\s*([=?.])\s*", r"\1", line) if "=" in line else line
        if found := re.fullmatch(r"(\w+)\.(\w+)=(\S+)", line):
            return self.put_value(*found.groups())
        if found := re.fullmatch(r"(\w+)\?", line):
            return self.ask_value(found[1])
        match line.split():
            case ["drive", motor, level, seconds]:
                if not level.endswith("%") or not seconds.endswith("s"):
                    raise Refused("drive MOTOR LEVEL% SECONDSs")
                self.spin(self.lettered(motor), number(level[:-1], 0, 100, float) / 100, number(seconds[:-1], 0.05, 10, float))
                return ['{"ok":true,"drive":"%s"}' % motor]
            case ["rest"]:
                self.stop()
                return ['{"ok":true}']
            case ["save"]:
                return self.save()
            case ["reboot"]:
                self.restart()
                return ['{"ok":true}']
        raise Refused("what?")

    def save(self):
        yield 0.3
        self.keep()
        yield '{"ok":true,"slot":0}'

    def put_value(self, thing, name, value):
        if thing == "board":
            if name not in ("yaw", "pitch", "roll"):
                raise Refused(f"board has no {name}")
            self.stored.mount[("yaw", "pitch", "roll").index(name)] = number(value.removesuffix("deg"), -360, 360)
        elif name == "pin":
            motor, pin = self.lettered(thing), self.pad(value)
            other = self.motor_on(pin)
            if other is not None:
                self.put(other, self.stored.pads[motor])
            self.put(motor, pin)
        elif name == "flip":
            if value not in ("true", "false"):
                raise Refused("true or false")
            self.reverse(self.lettered(thing), value == "true")
        else:
            raise Refused(f"{thing} has no {name}")
        return ['{"ok":true}']

    def told(self, motor):
        return '{"motor":"%s","flip":%s,"pin":"%s","hz":%d}' % (
            chr(ord("a") + motor), ("false", "true")[motor in self.stored.backward], self.stored.pads[motor], 480 - motor % 2 * 80)

    def ask_value(self, thing):
        match thing:
            case "about":
                return ['{"board":"sedge-mini","fw":"marsh","fw_ver":"1.12.0-rc3","uid":"5e06aa10"}']
            case "motors":
                return [self.told(motor) for motor in self.motors]
            case "board":
                return ['{"yaw":"%sdeg","pitch":"%sdeg","roll":"%sdeg"}' % tuple(shown(angle) for angle in self.stored.mount)]
            case "imu":
                acc = [round(-COUNTS * a + random.uniform(-12, 12)) for a in self.craft.down()]
                rates = [round(16.4 * a + random.uniform(-4, 4)) for a in self.craft.rates()]
                return ['{"t":%d,"ax":%d,"ay":%d,"az":%d,"gx":%d,"gy":%d,"gz":%d}' % (now() * 1000 % 10 ** 6, *acc, *rates)]
            case "all":
                knobs = ['{"knob":%d,"value":%g}' % (n, n * 17 % 64 / 8) for n in range(self.tells_everything)]
                return [*knobs, *self.ask_value("motors"), *self.ask_value("board")]
        return [self.told(self.lettered(thing))]

    map_words = {"motor": "1", "pin": "1", "turn": "1"}
    map_name = staticmethod(lambda motor: chr(ord("a") + motor))
    sheet = {
        "identify": "about?", "whole-configuration": "all?", "list-map": "motors?",
        "assign-pin": lambda v: f"{'abcdef'[v.motor - 1]}.pin={v.pin}",
        "read-turn": "motors?", "set-turn": lambda v: f"{'abcdef'[v.motor - 1]}.flip={('false', 'true')[v.backward]}",
        "read-mount": "board?", "set-yaw": lambda v: f"board.yaw={v.yaw}deg", "set-pitch": lambda v: f"board.pitch={v.pitch}deg",
        "set-roll": lambda v: f"board.roll={v.roll}deg", "sense": "imu?", "stop-command": "rest",
        "spin-command": lambda v: f"drive {'abcdef'[v.motor - 1]} {v.strength}% {float(v.ms) / 1000:g}s",
        "keep": "save", "restarts": "reboot"}
