"""python3's own prompt: functions that play a craft; what they give back is shown as Python shows it."""

import ast

from engine import Refused, among, number
from real import Real

NAMES = "who everything pins pin turn blades seat feel spin halt keep reboot".split()


class Console(Real):
    program = ["python3", "-i", "-q", "{}"]
    starts = {"half": "pin(3", "open": 'pin(3, "P4"\r', "busy": "while True: __import__('time').sleep(0.3)\r\r"}
    limits = (0.03, 0.08, 1)
    numbering = {"quad-x": ["front-left", "front-right", "rear-right", "rear-left"],
                 "hex-x": ["front-left", "front-right", "right", "rear-right", "rear-left", "left"]}
    script = """import os as _os
_out, _in = _os.fdopen(3, "w", buffering=1), _os.fdopen(4)
def _tell(name, *given):
    print(repr([name, *given]), file=_out)
    answer = ""
    for line in _in:
        if line == ".\\n":
            break
        answer += line
    if answer.startswith("! "):
        raise ValueError(answer[2:].strip())
    return eval(answer) if answer else None
""" + "\n".join(f"def {name}(*given): return _tell('{name}', *given)" for name in NAMES) + "\n"

    def do(self, line):
        given = ast.literal_eval(line)
        return [repr(answer) for answer in [self.call(given)] if answer is not None]

    def call(self, given):
        stored = self.stored
        match given:
            case ["who"]:
                return {"board": "worm-9", "firmware": "ring", "version": "3.0.1", "serial": "W-909"}
            case ["everything"]:
                return {**{f"knob{n}": n * 7 % 80 for n in range(30)}, **self.call(["pins"])}
            case ["pins"]:
                return {m + 1: pad for m, pad in enumerate(stored.pads)}
            case ["pin", motor, pad]:
                self.put(self.motor(str(motor)), None if pad is None else self.pad(pad))
            case ["turn", motor]:
                return ("on", "back")[self.motor(str(motor)) in stored.backward]
            case ["turn", motor, way]:
                self.reverse(self.motor(str(motor)), among(way, ("on", "back")) == 1)
            case ["blades"]:
                return stored.props
            case ["blades", "in" | "out" as way]:
                stored.props = way
            case ["seat"]:
                return tuple(stored.mount)
            case ["seat", *angles] if len(angles) == 3:
                stored.mount = [number(str(angle), -180, 360) for angle in angles]
            case ["feel"]:
                return tuple(round(-a, 3) for a in self.craft.down())
            case ["spin", motor, part, ms]:
                self.spin(self.motor(str(motor)), number(part, 0, 1, float), number(ms, 1, 9999) / 1000)
            case ["halt"]:
                self.stop()
                return "halted"
            case ["keep"]:
                self.keep()
                return "kept"
            case ["reboot"]:
                self.restart()
            case _:
                raise Refused("cannot " + given[0])
        return None

    sheet = {
        "identify": "who()", "whole-configuration": "everything()", "list-map": "pins()",
        "assign-pin": lambda v: f'pin({v.motor}, "{v.pin}")', "free-pin": lambda v: f"pin({v.motor}, None)",
        "read-turn": lambda v: f"turn({v.motor})", "set-turn": lambda v: f'turn({v.motor}, "{("on", "back")[v.backward]}")',
        "read-props": "blades()", "set-props": lambda v: f'blades("{v.props}")', "read-mount": "seat()",
        "set-mount": lambda v: f"seat({v.yaw}, {v.pitch}, {v.roll})", "sense": "feel()", "stop-command": "halt()",
        "echo-word": lambda v: f'"{v.word}"', "spin-command": lambda v: f"spin({v.motor}, {v.strength}, {v.ms})", "keep": "keep()", "restarts": "reboot()"}
