#!/usr/bin/env python3
"""From a key that is pressed while a motor turns to the moment at which the practice craft's motor stands still.

The program itself, with its full-screen front end, on a pseudo-terminal; the practice craft in a process of its
own, on another. What is measured is thus a little more than the way of the stop to the wire: the controller's
reading of it, and its telling an onlooker, come on top. Exits 1 where the limit is missed.

    key_times.py PROGRAM [RUNS]     100 unless said otherwise
"""

import json
import os
import pty
import random
import select
import socket
import subprocess
import sys
import tempfile
import time

LIMIT_MS = 100.0
PATIENCE = 20.0  # seconds, for anything that must come
SPIN_MS = "3000"


class Screen:
    """The program on a terminal, and what it has written there."""

    def __init__(self, command, environment):
        self.process, self.terminal = pty.fork()
        if self.process == 0:
            os.execvpe(command[0], command, environment)
        self.text = ""

    def read(self, within):
        if not select.select([self.terminal], [], [], within)[0]:
            return False
        try:
            self.text += os.read(self.terminal, 65536).decode(errors="replace")
        except OSError:
            return False
        return True

    def see(self, words):
        """Which of the words came first since the last call."""
        until = time.monotonic() + PATIENCE
        while time.monotonic() < until:
            found = [(self.text.find(word), word) for word in words if word in self.text]
            if found:
                at, word = min(found)
                self.text = self.text[at + len(word) :]
                return word
            self.read(0.1)
        sys.exit(f"waited for {words}, saw: {self.text[-2000:]}")

    def type(self, keys):
        os.write(self.terminal, keys.encode())

    def end(self):
        self.type("\x03")
        until = time.monotonic() + PATIENCE
        while time.monotonic() < until and self.read(0.5):
            pass
        os.close(self.terminal)
        os.waitpid(self.process, 0)


class Craft:
    """The motors, as somebody sees them who looks on."""

    def __init__(self, folder):
        self.socket = socket.socket(socket.AF_UNIX, socket.SOCK_STREAM)
        self.socket.connect(os.path.join(folder, "onlooker"))
        self.unread = b""

    def next_sight(self):
        while b"\n" not in self.unread:
            if not select.select([self.socket], [], [], PATIENCE)[0]:
                sys.exit("the practice craft shows nothing")
            self.unread += self.socket.recv(65536)
        line, self.unread = self.unread.split(b"\n", 1)
        return json.loads(line)

    def wait_until(self, turns):
        while True:
            sight = self.next_sight()
            if "turning" in sight and bool(sight["turning"]) == turns:
                return time.monotonic()


def started_bench(program, folder, home):
    environment = dict(os.environ, HOME=home, ARMWISE_DEVICES=folder, TERM="xterm-256color")
    for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "NO_COLOR", "ACCESSIBLE"):
        environment.pop(name, None)
    command = [program, "bench", "--profile", "tarn", "--frame", "quad-x", "--props", "in", "--craft", "a craft"]
    return Screen(command + ["--leave-mount", "--spin-time", SPIN_MS], environment)


def get_to_the_spins(screen):
    while True:
        asked = screen.see(["props off\"", "onnected?", "arrow on the board", "Which side",
                            "Space spins"])
        if asked == "Space spins":
            screen.type(" ")
            return
        board = asked in ("arrow on the board", "Which side")
        screen.type("props off\r" if asked.startswith("props off") else "1" if board else "y")


def main():
    program = os.path.abspath(sys.argv[1])
    runs = int(sys.argv[2]) if len(sys.argv) > 2 else 100
    times = []
    with tempfile.TemporaryDirectory() as home:
        folder = os.path.join(home, "devices")
        practice = subprocess.Popen(
            [program, "practice", "--directory", folder, "--seed", "7"], stdout=subprocess.PIPE, text=True
        )
        while "ready" not in practice.stdout.readline():
            pass
        craft = Craft(folder)
        screen = started_bench(program, folder, home)
        get_to_the_spins(screen)
        while len(times) < runs:
            craft.wait_until(turns=True)
            until = time.monotonic() + random.uniform(0.05, 0.4)
            while time.monotonic() < until:
                screen.read(until - time.monotonic())
            pressed = time.monotonic()
            screen.type(" ")
            times.append((craft.wait_until(turns=False) - pressed) * 1000)
            screen.see(["Space back to the spin"])
            screen.type(" ")
            get_to_the_spins(screen)  # after some spins of one motor the safety word is asked for again
        screen.end()
        practice.terminate()
        practice.wait()
    times.sort()
    good = times[-1] < LIMIT_MS
    print(
        f"key to stop: {len(times)} runs, median {times[len(times) // 2]:.2f} ms, least {times[0]:.2f} ms, "
        f"most {times[-1]:.2f} ms (limit: most {LIMIT_MS:.0f}): {'kept' if good else 'MISSED'}"
    )
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
