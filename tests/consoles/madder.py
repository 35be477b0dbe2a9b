"""A letter and its values, commas between: o,2,14. A letter alone asks; tables are rows with commas under a heading, what is set
is told as its new row, and ! with a number refuses. Motors count from 0; the mount is one of eight; raw sensor counts."""

import random

from engine import Console as Base, Refused, among, number
from craft import rotation

SEATS = [(yaw, 0, roll) for roll in (0, 180) for yaw in (0, 90, 180, 270)]
G, DEGREE = 2048, 16.4  # sensor counts of each
HELP = ["v              version", "o              outputs: motor,out,sense,rate",
        "o,MOTOR,OUT    puts a motor on an out, 0 is none", "s,MOTOR,N|R    normal or reversed sense",
        "b  b,I  b,O    blades in, blades out",
        "m  m,CODE      mount: quarter turns to the right, and 4 more where it hangs upside down",
        "i              sensors, raw: ax,ay,az,gx,gy,gz", "t,MOTOR,%,MS   test", "x  x,MOTOR     stop",
        "a              all settings", "w              write", "r              restart"]


class Console(Base):
    pads = [str(n) for n in range(11, 20)]
    seats = dict(enumerate(SEATS))
    mounts = [rotation(*angles) for angles in SEATS]
    unmounted = [0]
    boot = 0.4
    limits = (5, 12, 100)
    numbering = {"quad-x": ["front-right", "front-left", "rear-left", "rear-right"],
                 "hex-x": ["front-right", "front-left", "left", "rear-left", "rear-right", "right"]}

    def banner(self):
        return ["madder 3.1.0"]

    def prompt(self):
        return ": "

    def refusal(self, why):
        return [f"!{3 if 'within' in why else 2 if 'unknown' in why or 'number' in why else 1} {why}"]

    def mount_told(self):
        return rotation(*SEATS[self.running.mount[0]])

    def row(self, motor):
        return f"{motor},{self.stored.pads[motor] or 0},{'NR'[motor in self.stored.backward]},{480 - motor % 2 * 80}"

    def do(self, line):
        stored = self.stored
        match line.replace(" ", "").split(","):
            case ["?"]:
                return HELP
            case ["v"]:
                return ["madder,4,3.1.0,20881"]
            case ["o"]:
                return ["motor,out,sense,rate", *map(self.row, self.motors)]
            case ["o", motor, out]:
                motor = self.motor(motor, 0)
                self.put(motor, None if out == "0" else self.pad(out))
                return [self.row(motor)]
            case ["s", motor, sense]:
                motor = self.motor(motor, 0)
                self.reverse(motor, among(sense, ("N", "R")) == 1)
                return [self.row(motor)]
            case ["b"]:
                return [f"blades,{stored.props[0].upper()}"]
            case ["b", way]:
                stored.props = ("in", "out")[among(way, ("I", "O"))]
                return self.do("b")
            case ["m"]:
                return [f"mount,{stored.mount[0]}"]
            case ["m", code]:
                stored.mount[:] = [number(code, 0, 7)]
                return self.do("m")
            case ["i"]:
                acc = [round(-G * a + random.uniform(-8, 8)) for a in self.craft.down()]
                rates = [round(DEGREE * a + random.uniform(-4, 4)) for a in self.craft.rates()]
                return [",".join(map(str, acc + rates))]
            case ["t", motor, percent, ms]:
                self.spin(self.motor(motor, 0), number(percent, 0, 100) / 100, number(ms, 1, 9999) / 1000)
                return [f"test,{motor}"]
            case ["x", *motor] if len(motor) < 2:
                self.stop(self.motor(motor[0], 0) if motor else None)
                return ["stopped"]
            case ["a"]:
                knobs = [f"k{n},{n * 29 % 200}" for n in range(self.tells_everything)]
                return [*map(self.row, self.motors), *self.do("b"), *self.do("m"), *knobs]
            case ["w"]:
                return self.write()
            case ["r"]:
                self.restart()
                return []
        raise Refused("what? (? helps)")

    def write(self):
        yield 0.4
        self.keep()
        yield "written"

    map_words = {"motor": "1", "pin": "2", "turn": "3"}
    map_name = staticmethod(lambda motor: str(motor))
    sheet = {
        "help": "?", "identify": "v", "whole-configuration": "a", "list-map": "o",
        "assign-pin": lambda v: f"o,{v.motor - 1},{v.pin}", "free-pin": lambda v: f"o,{v.motor - 1},0",
        "read-turn": "o", "set-turn": lambda v: f"s,{v.motor - 1},{'NR'[v.backward]}", "read-props": "b",
        "set-props": lambda v: f"b,{v.props[0].upper()}", "read-mount": "m", "set-mount": lambda v: f"m,{v.mount}", "sense": "i",
        "stop-command": "x", "stop-each": lambda v: f"x,{v.motor - 1}",
        "spin-command": lambda v: f"t,{v.motor - 1},{v.strength},{v.ms}", "keep": "w", "restarts": "r"}
