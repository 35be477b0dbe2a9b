"""One list in brackets a command, one or more lists an answer, with names that begin with a colon; a list goes on on the next
line until it is closed. No prompt: a line says that it is ready. How the board lies is three letters: where its x, y, z point."""

import random

from engine import Console as Base, Refused, among, number
from craft import back, rotation


def pointing(angles):
    """Where the board's own axes point: front, right, down, and their opposites."""
    return "".join("frdblu"[n + 3 * (axis[n] < 0)] for axis in back(rotation(*angles))
                   for n in [max(range(3), key=lambda at: abs(axis[at]))])


SEATS = {pointing(angles): angles for roll in (0, 180) for yaw in (0, 90, 180, 270) for angles in [(yaw, 0, roll)]}
WORDS = ['(show all)                 what is set', '(show board)               how it lies: its x, y, z point to f b l r u d',
         '(show craft) (show motors) (show sensors) (show version)',
         '(set board :axes frd)      frd is as the arrow on it says', '(set craft :blades WAY)    inward, outward',
         '(set motor N :pin PIN :wind WAY)   either or both; nil is no pin; straight, crossed',
         '(run N PART SECONDS)       a part of 1', '(rest) (rest N)            stops all, or one', '(save) (restart) (words)']


class Console(Base):
    pads = [f"q{n}" for n in range(1, 10)]
    seats = SEATS
    unmounted = ["frd"]
    open_marks = "("
    boot = 0.5
    limits = (0.04, 0.09, 1)
    numbering = {"quad-x": ["rear-left", "front-left", "rear-right", "front-right"],
                 "hex-x": ["left", "rear-left", "front-left", "right", "rear-right", "front-right"]}

    def banner(self):
        return ["; aspen, leaf 4.2"]

    def prompt(self):
        return "" if self.open_text else "(ready)" + self.eol

    def refusal(self, why):
        return [f'(error "{why}")']

    def mount_told(self):
        return rotation(*SEATS[self.running.mount[0]])

    def do(self, line):
        if not line.startswith("(") or not line.endswith(")") or line.count("(") + line.count(")") != 2:
            raise Refused("one list, please")
        match line[1:-1].split():
            case ["words"]:
                return WORDS
            case ["show", what]:
                return self.show(what)
            case ["set", "motor", motor, *pairs] if pairs:
                return self.set_motor(self.motor(motor), pairs)
            case ["set", "craft", ":blades", way]:
                self.stored.props = ("in", "out")[among(way, ("inward", "outward"))]
                return self.show("craft")
            case ["set", "board", ":axes", axes]:
                among(axes, SEATS)
                self.stored.mount[:] = [axes]
                return self.show("board")
            case ["run", motor, part, seconds]:
                self.spin(self.motor(motor), number(part, 0, 1, float), number(seconds, 0.05, 20, float))
                return [f"(running {motor})"]
            case ["rest", *motor] if len(motor) < 2:
                self.stop(self.motor(motor[0]) if motor else None)
                return ["(resting)"]
            case ["save"]:
                return self.save()
            case ["restart"]:
                self.restart()
                return ["(until then)"]
        raise Refused("I do not know how to do that")

    def save(self):
        yield 0.3
        self.keep()
        yield "(saved :bytes 612)"

    def set_motor(self, motor, pairs):
        given = dict(zip(pairs[::2], pairs[1::2]))
        if len(pairs) % 2 or not set(given) <= {":pin", ":wind"}:
            raise Refused("a motor has :pin and :wind")
        pad = None if given.get(":pin") in (None, "nil") else self.pad(given[":pin"])
        crossed = ":wind" in given and among(given[":wind"], ("straight", "crossed")) == 1
        if ":pin" in given:
            self.put(motor, pad)
        if ":wind" in given:
            self.reverse(motor, crossed)
        return [self.told(motor)]

    def told(self, motor):
        stored = self.stored
        wind = ("straight", "crossed")[motor in stored.backward]
        return f"(motor {motor + 1} :pin {stored.pads[motor] or 'nil'} :hz {400 + motor % 2 * 80} :wind {wind})"

    def show(self, what):
        match what:
            case "version":
                return ["(board aspen-m :revision c)", "(firmware leaf :version 4.2)", "(serial 77-0412)"]
            case "motors":
                return [self.told(motor) for motor in self.motors]
            case "craft":
                return [f"(craft :arms {len(self.motors)} :blades {self.stored.props}ward)"]
            case "board":
                return [f"(board :axes {self.stored.mount[0]} :volts 5.03)"]
            case "sensors":
                acc = [-a + random.uniform(-0.004, 0.004) for a in self.craft.down()]
                rates = [a + random.uniform(-0.2, 0.2) for a in self.craft.rates()]
                return ["(accel :x {:.3f} :y {:.3f} :z {:.3f} :in g)".format(*acc),
                        "(gyro :x {:.1f} :y {:.1f} :z {:.1f} :in deg/s)".format(*rates)]
            case "all":
                knobs = [f"(gain {n} {n * 23 % 61 / 10})" for n in range(self.tells_everything)]
                return [*self.show("motors"), *knobs, *self.show("craft"), *self.show("board")]
        raise Refused(f"there is no {what}")

    map_words = {"motor": "2", "pin": "4", "turn": "8"}
    sheet = {
        "help": "(words)", "identify": "(show version)", "whole-configuration": "(show all)", "list-map": "(show motors)",
        "assign-pin": lambda v: f"(set motor {v.motor} :pin {v.pin})", "free-pin": lambda v: f"(set motor {v.motor} :pin nil)",
        "read-turn": "(show motors)",
        "set-turn": lambda v: f"(set motor {v.motor} :wind {('straight', 'crossed')[v.backward]})",
        "read-props": "(show craft)", "set-props": lambda v: f"(set craft :blades {v.props}ward)",
        "read-mount": "(show board)", "set-mount": lambda v: f"(set board :axes {v.mount})", "sense": "(show sensors)",
        "stop-command": "(rest)", "stop-each": lambda v: f"(rest {v.motor})",
        "spin-command": lambda v: f"(run {v.motor} {v.strength} {float(v.ms) / 1000:g})",
        "keep": "(save)", "restarts": "(restart)"}
