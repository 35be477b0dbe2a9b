"""Flags in decimal: of an output's number bit 0 clear means reversed, bits 1 to 5 are its pad, and bits 6 and 9 are none of
our business. The mount is a quaternion on one line, x y z w, from craft to board; the readings follow it."""

import math

from craft import back, turned
from engine import Console as Base, Refused, number

OTHERS = 0x240


class Console(Base):
    pads = [str(n) for n in range(1, 25)]
    unmounted = [0.0, 0.0, 0.0, 1.0]
    takes_props = False

    def prompt(self):
        return "lupin$ "

    def refusal(self, why):
        return ["cannot: " + why]

    def mount_told(self):
        x, y, z, w = self.running.mount
        size = math.sqrt(w * w + x * x + y * y + z * z) or 1
        w, x, y, z = (part / size for part in (w, x, y, z))
        return back([[1 - 2 * (y * y + z * z), 2 * (x * y - w * z), 2 * (x * z + w * y)],
                     [2 * (x * y + w * z), 1 - 2 * (x * x + z * z), 2 * (y * z - w * x)],
                     [2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)]])

    def flags(self, motor):
        return OTHERS | int(self.stored.pads[motor] or 0) << 1 | (motor not in self.stored.backward)

    def do(self, line):
        stored = self.stored
        match line.split():
            case ["who"]:
                return ["board lupin7 firmware bloom version 3.1 serial L77"]
            case ["dump"]:
                return [f"knob {n} = {n * 13 % 97}" for n in range(30)] + self.do("outs") + self.do("seat")
            case ["outs"]:
                return [f"out {m + 1} = {self.flags(m)}" for m in self.motors]
            case ["out", motor, flags]:
                motor, flags = self.motor(motor), number(flags, 0, 65535)
                self.put(motor, self.pad(str(flags >> 1 & 31)))
                self.reverse(motor, not flags & 1)
                return [f"out {motor + 1} = {self.flags(motor)}"]
            case ["seat"]:
                return ["seat " + " ".join(f"{part:.4f}" for part in stored.mount)]
            case ["seat", *parts]:
                if len(parts) != 4:
                    raise Refused("four numbers")
                parts = [number(part, -1, 1, float) for part in parts]
                if abs(sum(part * part for part in parts) - 1) > 0.01:
                    raise Refused("that is no turn")
                stored.mount = parts
                return self.do("seat")
            case ["acc"]:
                x, y, z = turned(self.mount_told(), self.craft.down())
                return [f"acc {-1000 * x:.0f} {-1000 * y:.0f} {-1000 * z:.0f}"]
            case ["spin", motor, percent, ms]:
                self.spin(self.motor(motor), number(percent, 0, 100) / 100, number(ms, 1, 9999) / 1000)
                return [f"spinning {motor}"]
            case ["halt"]:
                self.stop()
                return ["halted"]
            case ["store"]:
                self.keep()
                return ["stored"]
            case ["boot"]:
                self.restart()
                return ["bye"]
        raise Refused(line)

    map_words = {"motor": "2", "pin": "4"}
    sheet = {
        "identify": "who", "whole-configuration": "dump", "list-map": "outs",
        "assign-pin": lambda v: f"out {v.motor} {OTHERS | int(v.pin) << 1 | (not v.is_backward)}",
        "free-pin": None, "read-turn": "outs", "read-props": None, "read-mount": "seat",
        "set-turn": lambda v: f"out {v.motor} {OTHERS | int(v.is_pin) << 1 | (not v.backward)}",
        "set-numbers": lambda v: f"seat {v.qx} {v.qy} {v.qz} {v.qw}", "sense": "acc", "stop-command": "halt",
        "spin-command": lambda v: f"spin {v.motor} {v.strength} {v.ms}", "keep": "store", "restarts": "boot"}
    answers = {"mount-form": "w-last"}
