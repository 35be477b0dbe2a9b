"""A hidden craft on a battery: its motors turn until they are told to stop, whatever happens to the USB cable."""

from dataclasses import dataclass
from typing import Optional

from loop import now

PLACES = ["front-left", "front-right", "rear-left", "rear-right"]
# Props in, common practice for an x of four, no source: diagonal pairs alike.
TURNS = {"front-left": "cw", "front-right": "ccw", "rear-left": "ccw", "rear-right": "cw"}


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
        self.place = {"P1": "rear-left", "P2": "front-right", "P3": "rear-right", "P4": "front-left"}
        self.runs = []

    def pin_at(self, place):
        return next(pin for pin, where in self.place.items() if where == place)

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
