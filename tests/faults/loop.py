"""One thread, one clock: timers, and descriptors that are waited for."""

import heapq
import itertools
import select
import time

now = time.monotonic


class Loop:
    def __init__(self):
        self.timers = []
        self.count = itertools.count()
        self.readers = {}
        self.writers = {}
        self.latest = 0.0  # the most by which a timer was late: how busy the machine was

    def at(self, when, call):
        heapq.heappush(self.timers, (when, next(self.count), call))

    def after(self, seconds, call):
        self.at(now() + seconds, call)

    def run(self, until, limit):
        """Until that is true; False where the time is over first."""
        end = now() + limit
        while not until():
            moment = now()
            if moment >= end:
                return False
            while self.timers and self.timers[0][0] <= moment:
                when, _, call = heapq.heappop(self.timers)
                self.latest = max(self.latest, moment - when)
                call()
            due = min(self.timers[0][0] if self.timers else end, end)
            self.wait(0.0 if until() else max(0.0, due - now()))
        return True

    def wait(self, seconds):
        reading, writing, _ = select.select(list(self.readers), list(self.writers), [], min(seconds, 1.0))
        for descriptor in reading:
            if descriptor in self.readers:
                self.readers[descriptor]()
        for descriptor in writing:
            if descriptor in self.writers:
                self.writers[descriptor]()
