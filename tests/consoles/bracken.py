"""A log that takes commands: the time and a part of the craft stand before every line, and its parts say things of their own at
any time, also into what is half typed. No prompt: the last line of an answer says done or failed. What is set counts after a boot."""

import random
import re

from engine import Console as Base, Refused, among, number
from loop import now

CHATTER = ["gps no fix, 0 sats", "baro 1009.6 hPa 31.2 C", "bat 5.02 V", "link idle", "mem 41 % free", "gps no fix, 1 sats"]
DIRECTIONS = ("normal", "inverted")
HELP = ["mot list                 pins and directions", "mot pin mN PIN           - is no pin", "mot dir mN normal|inverted",
        "mot test mN POWER SEC    of 1000", "mot stop [mN]", "craft props [in|out]", "imu align [YAW PITCH ROLL]", "imu read",
        "sys id|dump|save|boot", "log on|off               what comes unasked"]


class Console(Base):
    pads = [f"t{timer}/c{channel}" for timer in (1, 3, 8) for channel in range(1, 5)]
    at_once = False
    away, boot = 0.5, 0.6
    limits = (45, 95, 1000)
    numbering = {"quad-x": ["rear-right", "rear-left", "front-right", "front-left"],
                 "hex-x": ["right", "rear-right", "rear-left", "left", "front-left", "front-right"]}

    def power_up(self):
        self.since = now()
        super().power_up()

    def stamped(self, line):
        return f"{now() - self.since:010.3f} {line}"

    def banner(self):
        since = self.since
        self.loop.after(random.uniform(1, 3), lambda: self.chatter(since))
        self.logs = True
        return [self.stamped("sys bracken frond 0.31"), self.stamped("imu calibrated"), self.stamped("cmd ready")]

    def chatter(self, since):
        if not self.awake or since != self.since:
            return
        if self.logs:
            self.say((self.eol if self.line else "") + self.stamped(random.choice(CHATTER)) + self.eol + self.line)
        self.loop.after(random.uniform(1.5, 7), lambda: self.chatter(since))

    def prompt(self):
        return ""

    def refusal(self, why):
        return [self.stamped(f"cmd failed: {why}")]

    def do(self, line):
        for said in self.answer(line):
            yield self.stamped(said) if isinstance(said, str) else said
        yield self.stamped("cmd done")

    def named(self, text):
        found = re.fullmatch(r"m(\d)", text)
        if not found:
            raise Refused(f"{text} is no motor")
        return self.motor(found[1], 0)

    def answer(self, line):
        stored = self.stored
        match line.split():
            case ["help"]:
                return [f"cmd {each}" for each in HELP]
            case ["mot", "list"]:
                return self.listed()
            case ["mot", "pin", motor, pin]:
                self.put(self.named(motor), None if pin == "-" else self.pad(pin))
                return ["mot takes effect after boot"]
            case ["mot", "dir", motor, way]:
                self.reverse(self.named(motor), among(way, DIRECTIONS) == 1)
                return ["mot takes effect after boot"]
            case ["mot", "test", motor, power, seconds]:
                self.spin(self.named(motor), number(power, 0, 1000) / 1000, number(seconds, 0.05, 15, float))
                return [f"mot {motor} up"]
            case ["mot", "stop", *motor] if len(motor) < 2:
                self.stop(self.named(motor[0]) if motor else None)
                return ["mot down"]
            case ["craft", "props", *way] if len(way) < 2:
                if way:
                    stored.props = ("in", "out")[among(way[0], ("in", "out"))]
                return [f"craft props {stored.props}"]
            case ["imu", "align", *angles] if len(angles) in (0, 3):
                if angles:
                    stored.mount[:] = [number(angle, -180, 360, float) for angle in angles]
                return ["imu align {:g} {:g} {:g}".format(*stored.mount)]
            case ["imu", "read"]:
                acc = [9.81 * a + random.uniform(-0.04, 0.04) for a in self.craft.down()]
                rates = [a + random.uniform(-0.2, 0.2) for a in self.craft.rates()]
                return ["imu pull {:.2f} {:.2f} {:.2f} m/s2".format(*acc), "imu rate {:.1f} {:.1f} {:.1f} deg/s".format(*rates)]
            case ["sys", "id"]:
                return ["sys board bracken-5", "sys firmware frond 0.31", "sys serial 60-B1-07"]
            case ["sys", "dump"]:
                knobs = [f"tune k{n} {n * 43 % 71}" for n in range(self.tells_everything)]
                return [*self.listed(), *knobs, *self.answer("craft props"), *self.answer("imu align")]
            case ["sys", "save"]:
                return self.save()
            case ["sys", "boot"]:
                self.restart()
                return ["sys going down"]
            case ["log", way]:
                self.logs = among(way, ("off", "on")) == 1
                return []
        raise Refused("what? (help)")

    def listed(self):
        return [f"mot m{m} pin {pin or '-'} dir {DIRECTIONS[m in self.stored.backward]} limit {900 + 20 * (m % 2)}"
                for m, pin in enumerate(self.stored.pads)]

    def save(self):
        yield "sys erasing"
        yield 0.3
        yield "sys writing"
        yield 0.3
        self.keep()

    map_words = {"motor": "3", "pin": "5", "turn": "7"}
    map_name = staticmethod(lambda motor: f"m{motor}")
    sheet = {
        "help": "help", "identify": "sys id", "whole-configuration": "sys dump", "list-map": "mot list",
        "assign-pin": lambda v: f"mot pin m{v.motor - 1} {v.pin}", "free-pin": lambda v: f"mot pin m{v.motor - 1} -",
        "read-turn": "mot list", "set-turn": lambda v: f"mot dir m{v.motor - 1} {DIRECTIONS[v.backward]}",
        "read-props": "craft props", "set-props": lambda v: f"craft props {v.props}",
        "read-mount": "imu align", "set-mount": lambda v: f"imu align {v.yaw} {v.pitch} {v.roll}", "sense": "imu read",
        "stop-command": "mot stop", "stop-each": lambda v: f"mot stop m{v.motor - 1}",
        "spin-command": lambda v: f"mot test m{v.motor - 1} {v.strength} {float(v.ms) / 1000:g}",
        "keep": "sys save", "restarts": "sys boot"}
