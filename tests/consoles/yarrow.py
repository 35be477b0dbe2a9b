"""One sheet of cells: a row a motor, tables with borders, a cell is set by its address, an empty one is free. Directions are
arrows, the seat is where the USB socket points and which way the chips face; a pin is swapped; saving asks whether one is sure."""

import random
import re

from engine import Ask, Console as Base, Refused, among, number
from craft import rotation

SEATS = {f"{usb}/{face}": (yaw, 0, roll) for face, roll in (("up", 0), ("down", 180))
         for usb, yaw in (("rear", 0), ("left", 90), ("front", 180), ("right", 270))}
ARROWS, SWEEPS = ("->", "<-"), ("toward", "away")
HELP = ["show            the whole sheet", "show 1-8        some rows: 1-8 motors, 11 craft, 12 seat, 21-22 sensors, 31 about",
        "B2              one cell", "B2=K4           sets it; B2= empties it", "                C1-C8 -> as wired, <- reversed",
        "                B11 toward, away: the blades at the nose", "                B12 rear/up: USB socket, chips",
        "spin 2 8% 900ms", "halt", "save", "restart"]


def bordered(rows):
    widths = [max(map(len, column)) for column in zip(*rows)]
    rule = "+" + "".join("-" * (width + 2) + "+" for width in widths)
    lines = ["| " + " | ".join(f"{cell:{width}}" for cell, width in zip(row, widths)) + " |" for row in rows]
    return [rule, lines[0], rule, *lines[1:], rule]


class Console(Base):
    pads = [f"K{n}" for n in range(1, 11)]
    seats = SEATS
    mounts = [rotation(*angles) for angles in SEATS.values()]
    unmounted = ["rear/up"]
    away, boot = 1.2, 0.5
    limits = (4, 10, 100)
    numbering = {"quad-x": ["rear-left", "rear-right", "front-left", "front-right"],
                 "hex-x": ["rear-left", "rear-right", "left", "right", "front-left", "front-right"]}

    def banner(self):
        return ["", "YARROW  every setting a cell  (help)", ""]

    def prompt(self):
        return "cell? "

    def refusal(self, why):
        return [f"#! {why}"]

    def mount_told(self):
        return rotation(*SEATS[self.running.mount[0]])

    def rows(self):
        stored = self.stored
        rows = {motor + 1: [f"m{motor + 1}", pad or "", ARROWS[motor in stored.backward], f"{360 + 40 * (motor % 3)}"]
                for motor, pad in enumerate(stored.pads)}
        rows[11] = ["blades", SWEEPS[stored.props == "out"], "", ""]
        rows[12] = ["seat", stored.mount[0], "", ""]
        rows[21] = ["accel", *(f"{-a + random.uniform(-0.004, 0.004):.3f}" for a in self.craft.down())]
        rows[22] = ["gyro", *(f"{a + random.uniform(-0.2, 0.2):.1f}" for a in self.craft.rates())]
        rows[31] = ["yarrow-b", "umbel", "2.0.6", "Y-5583"]
        return rows | {41 + n: [f"tune{n}", str(n * 19 % 77), "", ""] for n in range(self.tells_everything)}

    def do(self, line):
        if found := re.fullmatch(r"show(?: (\d+)(?:-(\d+))?)?", line):
            first, last = int(found[1] or 1), int(found[2] or found[1] or 99)
            rows = [[str(at), *row] for at, row in self.rows().items() if first <= at <= last]
            if not rows:
                raise Refused("no such rows")
            return bordered([["", *"ABCD"], *rows])
        if found := re.fullmatch(r"([A-D])(\d+)(?: *(=) *(\S*))?", line, re.IGNORECASE):
            column, row = "ABCD".index(found[1].upper()), int(found[2])
            if row not in self.rows():
                raise Refused(f"no row {row}")
            if found[3]:
                self.set(column, row, found[4])
            return [f"{found[1].upper()}{row}: {self.rows()[row][column]}"]
        if found := re.fullmatch(r"spin (\d+) (\d+)% (\d+)ms", line):
            self.spin(self.motor(found[1]), number(found[2], 0, 100) / 100, number(found[3], 1, 9999) / 1000)
            return [f"m{found[1]} spins"]
        match line:
            case "help":
                return HELP
            case "halt":
                self.stop()
                return ["halted"]
            case "save":
                return [Ask("overwrite the saved sheet (y/n)? ", self.save)]
            case "restart":
                self.restart()
                return ["restarting"]
        raise Refused(f"neither a cell nor a command: {line}")

    def save(self, answer):
        if answer.lower() not in ("y", "yes"):
            raise Refused("not saved")
        yield 0.3
        self.keep()
        yield "sheet saved"

    def set(self, column, row, value):
        stored, motor = self.stored, row - 1
        match column, row:
            case 1, _ if motor in self.motors:
                pad = self.pad(value.upper()) if value else None
                other = self.motor_on(pad) if pad else None
                if other is not None:
                    self.put(other, stored.pads[motor])
                self.put(motor, pad)
            case 2, _ if motor in self.motors:
                self.reverse(motor, among(value, ARROWS) == 1)
            case 1, 11:
                stored.props = ("in", "out")[among(value, SWEEPS)]
            case 1, 12:
                among(value, SEATS)
                stored.mount[:] = [value]
            case _:
                raise Refused("cell is locked")

    map_words = {"motor": "4", "pin": "6", "turn": "8"}
    map_name = staticmethod(lambda motor: f"m{motor + 1}")
    sheet = {
        "help": "help", "identify": "show 31", "whole-configuration": "show", "list-map": "show 1-8",
        "assign-pin": lambda v: f"B{v.motor}={v.pin}", "free-pin": lambda v: f"B{v.motor}=",
        "read-turn": "show 1-8", "set-turn": lambda v: f"C{v.motor}={ARROWS[v.backward]}",
        "read-props": "B11", "set-props": lambda v: f"B11={SWEEPS[v.props == 'out']}",
        "read-mount": "B12", "set-mount": lambda v: f"B12={v.mount}", "sense": "show 21-22", "stop-command": "halt",
        "spin-command": lambda v: f"spin {v.motor} {v.strength}% {v.ms}ms", "keep": "save ; y", "restarts": "restart"}
