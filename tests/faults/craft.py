"""A hidden craft on a battery: its motors turn until they are told to stop, whatever happens to the USB cable.

Axes (ISO 1151-1): x to the nose, y to the right, z down; angles in degrees, applied yaw, pitch, roll (Z-Y'-X'').
"""

import math
import random
from dataclasses import dataclass
from typing import Optional

from loop import now

# Clockwise from the nose. Common practice, no source: neighbours turn against each other, and props in is
# counter-clockwise at the front right.
FRAMES = {"quad-x": ["front-right", "rear-right", "rear-left", "front-left"],
          "hex-x": ["front-right", "right", "rear-right", "rear-left", "left", "front-left"]}
OTHER = {"cw": "ccw", "ccw": "cw"}
PLACES = ["front-left", "front-right", "rear-left", "rear-right"]


def wanted(frame, place, props):
    turn = ("ccw", "cw")[FRAMES[frame].index(place) % 2]
    return turn if props == "in" else OTHER[turn]


TURNS = {place: wanted("quad-x", place, "in") for place in PLACES}


def rotation(yaw, pitch, roll):
    (cy, sy), (cp, sp), (cr, sr) = ((math.cos(math.radians(a)), math.sin(math.radians(a))) for a in (yaw, pitch, roll))
    return [[cy * cp, cy * sp * sr - sy * cr, cy * sp * cr + sy * sr],
            [sy * cp, sy * sp * sr + cy * cr, sy * sp * cr - cy * sr],
            [-sp, cp * sr, cp * cr]]


def turned(matrix, vector):
    return [sum(m * v for m, v in zip(row, vector)) for row in matrix]


def times(left, right):
    return [[sum(row[k] * right[k][n] for k in range(3)) for n in range(3)] for row in left]


def back(matrix):
    return [list(row) for row in zip(*matrix)]


def apart(left, right):
    """The angle between two rotations."""
    trace = sum(turned(back(left), column)[n] for n, column in enumerate(back(right)))
    return math.degrees(math.acos(max(-1.0, min(1.0, (trace - 1) / 2))))


@dataclass
class Run:
    """A motor that turned, or turns: its pin, how strongly (1 is full), from when to when."""

    pin: str
    strength: float
    on: float
    off: Optional[float] = None
    bound: Optional[float] = None

    def lasted(self):
        return (self.off or now()) - self.on


class Craft:
    def __init__(self, loop):
        self.loop = loop
        # As no console numbers its motors, so that there is something to change on each.
        self.place = {"P1": "front-right", "P2": "rear-left", "P3": "rear-right", "P4": "front-left"}
        self.solder = {pin: TURNS[place] for pin, place in self.place.items()}
        self.mount = self.attitude = rotation(0, 0, 0)
        self.rate = 0.0  # degrees a second, about the vertical, to the right
        self.runs = []

    @classmethod
    def hidden(cls, loop, seed, frame, pads, mounts):
        """Wires and screws by lot: on which of the pads, soldered which way round, mounted how."""
        lot = random.Random(seed)
        craft = cls(loop)
        craft.place = dict(zip(lot.sample(pads, len(FRAMES[frame])), FRAMES[frame]))
        craft.solder = {pin: lot.choice(("cw", "ccw")) for pin in craft.place}
        craft.mount = lot.choice(mounts)
        return craft

    def pin_at(self, place):
        return next(pin for pin, where in self.place.items() if where == place)

    def down(self):
        """Where down is, in the board's own axes."""
        return turned(back(times(self.attitude, self.mount)), [0, 0, 1])

    def rates(self):
        return [self.rate * share for share in self.down()]

    def turning(self):
        return [run for run in self.runs if run.off is None]

    def drive(self, pin, strength, seconds=None):
        self.halt([pin])
        run = Run(pin, strength, now())
        self.runs.append(run)
        if seconds is not None:
            run.bound = run.on + seconds
            self.loop.at(run.bound, lambda: self.end(run))

    @staticmethod
    def end(run):
        if run.off is None:
            run.off = now()

    def halt(self, pins=None):
        for run in self.turning():
            if pins is None or run.pin in pins:
                self.end(run)
