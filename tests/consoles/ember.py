"""Calls with brackets and quotes; no prompt: an answer ends in a word; an open bracket goes on on the next line."""

import ast

from engine import Console as Base, Refused, among, number

HELP = """pins()                 every motor's pad
pin(motor, "pad")      puts a motor on a pad
dir(motor[, way])      1 or -1: way it turns
blades(["way"])        "in" or "out"
seat([yaw, pitch, roll])  how the board sits
accel()                accelerometer
spin(motor, part, ms)  spins a motor
stop()                 stops them all
save()                 keeps it
reboot()               reboots
id()                   who
all()                  everything"""


class Console(Base):
    pads = [f"C{n}" for n in range(1, 9)]
    limits = (0.03, 0.08, 1)
    open_marks = "(\""
    numbering = {"quad-x": ["front-left", "front-right", "rear-left", "rear-right"],
                 "hex-x": ["front-left", "front-right", "left", "right", "rear-left", "rear-right"]}

    def prompt(self):
        return ".. " if self.open_text else ""

    def refusal(self, why):
        return ["error: " + why, "failed"]

    def do(self, line):
        try:
            call = ast.parse(line.replace("\n", " "), mode="eval").body
            name, given = call.func.id, [ast.literal_eval(each) for each in call.args]
        except (SyntaxError, ValueError, AttributeError):
            raise Refused("cannot read that") from None
        return [*self.call(name, given), "done"]

    def index(self, motor):
        return self.motor(str(motor))

    def call(self, name, given):
        stored = self.stored
        match [name, *given]:
            case ["help"]:
                return HELP.split("\n")
            case ["id"]:
                return ['{"board": "ember-2", "firmware": "coal", "version": "1.4.2", "serial": "E-88"}']
            case ["all"]:
                return [f"k[{n}] = {n * 5 % 90}" for n in range(30)] + self.call("pins", []) + self.call("seat", [])
            case ["pins"]:
                return ["[" + ", ".join(f'"{pad}"' if pad else "None" for pad in stored.pads) + "]"]
            case ["pin", motor, pad]:
                self.put(self.index(motor), None if pad is None else self.pad(pad))
            case ["dir", motor]:
                return [str(-1 if self.index(motor) in stored.backward else 1)]
            case ["dir", motor, (1 | -1) as way]:
                self.reverse(self.index(motor), way == -1)
            case ["blades"]:
                return [f'"{stored.props}"']
            case ["blades", way]:
                stored.props = ("in", "out")[among(way, ("in", "out"))]
            case ["seat"]:
                return ["({}, {}, {})".format(*stored.mount)]
            case ["seat", *angles] if len(angles) == 3:
                stored.mount = [number(str(angle), -180, 360) for angle in angles]
            case ["accel"]:
                return ["[" + ", ".join(f"{-a:.3f}" for a in self.craft.down()) + "]"]
            case ["spin", motor, part, ms]:
                self.spin(self.index(motor), number(part, 0, 1, float), number(ms, 1, 9999) / 1000)
            case ["stop"]:
                self.stop()
            case ["save"]:
                self.keep()
            case ["reboot"]:
                self.restart()
            case _:
                raise Refused("no " + name)
        return []

    sheet = {
        "help": "help()", "identify": "id()", "whole-configuration": "all()", "list-map": "pins()",
        "assign-pin": lambda v: f'pin({v.motor}, "{v.pin}")', "free-pin": lambda v: f"pin({v.motor}, None)",
        "read-turn": lambda v: f"dir({v.motor})", "set-turn": lambda v: f"dir({v.motor}, {-1 if v.backward else 1})",
        "read-props": "blades()", "set-props": lambda v: f'blades("{v.props}")', "read-mount": "seat()",
        "set-mount": lambda v: f"seat({v.yaw}, {v.pitch}, {v.roll})", "sense": "accel()", "stop-command": "stop()",
        "spin-command": lambda v: f"spin({v.motor}, {v.strength}, {v.ms})", "keep": "save()", "restarts": "reboot()"}
