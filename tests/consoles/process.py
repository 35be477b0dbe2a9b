#!/usr/bin/env python3
"""One console as a process of its own, behind a pseudo-terminal.

    process.py NAME DIR SEED FRAME

NAME may be bash or python with what is to be found there: bash-30 (columns), python-open, -half, -busy.

DIR/dev/ttyACM0 leads to it. Standard input and output are the eyes and hands of the person before the craft: one JSON
object a line, {"do": …}, and an answer to each.
"""

import codecs
import importlib
import json
import os
import pty
import random
import select
import sys
import termios
import tty

HERE = os.path.dirname(os.path.abspath(__file__))
sys.path[:0] = [HERE, os.path.join(HERE, "..", "faults")]

from craft import Craft, back, rotation, times  # noqa: E402
from loop import Loop, now  # noqa: E402
from port import Tree  # noqa: E402

# How the craft is held; those of the board alone begin with its name.
POSES = {"level": (0, 0, 0), "nose-down": (0, -90, 0), "nose-up": (0, 90, 0), "right-side-down": (0, 0, 90),
         "left-side-down": (0, 0, -90), "upside-down": (0, 0, 180), "arrow-down": (0, -90, 0), "right-edge-down": (0, 0, 90)}


class Port:
    def __init__(self, name, folder, seed, frame, loop):
        name, *found = name.split("-")
        kind = importlib.import_module(name).Console
        for each in found:
            setattr(kind, *(("columns", int(each)) if each.isdigit() else ("start", each)))
        self.loop, self.tree = loop, Tree(folder)
        self.out = bytearray()
        self.noise, self.lot = 0.0, random.Random()
        self.seen, self.held = 0, "level"
        craft = Craft.hidden(loop, f"{name} {seed}", frame, kind.pads, kind.mounts)
        self.far = self.near = None
        self.console = kind(craft, loop, frame, self.say, random.Random(f"{name} {seed} set"))
        self.craft = craft
        self.console.restarted = self.look_after
        self.plug()
        loop.readers[0] = self.told
        self.commands = ""

    def plug(self):
        self.far, self.near = pty.openpty()
        self.letters = codecs.getincrementaldecoder("utf-8")("replace")  # the bytes of a letter may come apart
        tty.setraw(self.near, termios.TCSANOW)
        os.set_blocking(self.far, False)
        self.loop.readers[self.far] = self.readable
        self.tree.appear("ttyACM0", "TC0001", os.ttyname(self.near))

    def unplug(self):
        self.loop.readers.pop(self.far, None)
        self.loop.writers.pop(self.far, None)
        self.tree.vanish()
        os.close(self.near)
        os.close(self.far)
        self.far = self.near = None
        self.out.clear()

    def readable(self):
        self.console.feed(self.letters.decode(self.spoiled(os.read(self.far, 65536))))
        self.look_after()

    def look_after(self):
        if self.console.gone:
            self.console.gone = False
            self.loop.after(0.05, lambda: self.restart(self.console.restarts != "same"))

    def restart(self, closes):
        console = self.console
        self.craft.halt()
        console.leave()
        if not closes:
            return console.power_up()
        if self.far is not None:
            self.unplug()
        console.fresh()

        def come_back():
            self.plug()
            console.power_up()

        return self.loop.after(console.away, come_back)

    def say(self, text):
        if text and self.far is not None:
            self.out += self.spoiled(text.encode())
            self.loop.writers[self.far] = self.writable

    def spoiled(self, data):
        """Of so many bytes one is lost, comes twice, or has a bit flipped."""
        if not self.noise:
            return data
        out = bytearray()
        for byte in data:
            what = self.lot.choice("lost twice flipped".split()) if self.lot.random() < self.noise else ""
            out += {"lost": b"", "twice": bytes([byte, byte]), "flipped": bytes([byte ^ 1 << self.lot.randrange(8)]),
                    "": bytes([byte])}[what]
        return bytes(out)

    def writable(self):
        try:
            del self.out[: os.write(self.far, self.out[:4096])]
        except BlockingIOError:
            return
        if not self.out:
            self.loop.writers.pop(self.far, None)

    # The person's hands and eyes.
    def told(self):
        data = os.read(0, 65536).decode()
        if not data:
            sys.exit()
        self.commands += data
        while "\n" in self.commands:
            line, self.commands = self.commands.split("\n", 1)
            print(json.dumps(self.obey(json.loads(line))), flush=True)

    def obey(self, order):
        craft, console = self.craft, self.console
        match order["do"]:
            case "hold":
                board = order["pose"].startswith("board-")
                held = rotation(*POSES[order["pose"].removeprefix("board-")])
                craft.attitude = times(held, back(craft.mount)) if board else held
            case "turn":
                self.loop.after(order.get("after", 0.5), lambda: setattr(craft, "rate", order.get("rate", 90.0)))
                self.loop.after(order.get("after", 0.5) + order.get("for", 1.0), lambda: setattr(craft, "rate", 0.0))
            case "moved":
                new, self.seen = craft.runs[self.seen :], len(craft.runs)
                longest = max((run.lasted() for run in new), default=0)
                return {"moved": console.what_moved(new), "still": not craft.turning(), "longest": longest}
            case "wipe":
                console.wipe()
                self.restart(True)
            case "restart":
                self.restart(True)
            case "noise":
                self.noise, self.lot = order["rate"], random.Random(order["seed"])
            case "type":
                console.feed(order["text"])
            case "see":
                return {"awake": console.awake, "wrong": console.wrongs(order["props"]), "turning": len(craft.turning()),
                        "pads": console.stored.pads, "mount": console.stored.mount, "props": console.stored.props,
                        "backward": [console.is_backward(motor) for motor in console.motors],
                        "changed": console.stored != console.kept}
        return {}


if __name__ == "__main__":
    loop_ = Loop()
    Port(*sys.argv[1:5], loop_)
    loop_.run(lambda: False, 3600)
