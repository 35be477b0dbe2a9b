#!/usr/bin/env python3
"""A console written by hand, with no profile behind it.

The tool and the practice craft read the same templates, so a mistake in those would not show between
them. This console shares nothing with either: its grammar stands in the code below, and the tool is taught
it by byhand.profile.json like that of any stranger.

    byhand_console.py --dir DIR --wiring out-1=front-left:cw,out-2=rear-right:ccw,... [--spare out-9]
                      [--serial TEXT] [--away SECONDS] [--store-nothing] [--typed LINE]... [--asks]
                      [--start SECONDS]

DIR/dev/ttyACM0 leads to it, DIR/sys tells its USB numbers; after a restart it is ttyACM1, and so on. On
standard output, one JSON object a line: {"ready": "/…/ttyACM0"}, {"turning": [{"place": …, "turn": …}]}
whenever that changes, {"stored": {"legs": …, "sweep": …, "ways": …}}, {"away": true}. Ends on SIGTERM and
when its standard input ends, where that is a pipe; there, a line "replug" takes its power away for a moment.

--typed: somebody has typed this line before, and stored nothing. --asks: it asks before it stores. --start: so
long it starts up after each restart, and a key stops it in its boot loader.

Only Python's standard library is used.
"""

import argparse
import json
import os
import select
import shutil
import signal
import stat
import sys
import termios
import time
import tty

PROMPT = "heath % "
LETTERS = "ABCDEFGHIJKLMNOP"
LOWEST, HIGHEST, LONGEST = 30, 100, 5000
OTHER_WAY = {"cw": "ccw", "ccw": "cw"}


class Stop(Exception):
    pass


def tell(**facts):
    print(json.dumps(facts), flush=True)


class Tree:
    """The folders that stand for /dev and /sys."""

    def __init__(self, root, serial):
        self.root = os.path.abspath(root)
        self.serial = serial
        self.name = None
        os.makedirs(os.path.join(self.root, "dev"), exist_ok=True)

    def appear(self, name, terminal):
        device = os.path.join(self.root, "sys", "devices", "3-1")
        interface = os.path.join(device, "3-1:1.0")
        os.makedirs(interface, exist_ok=True)
        facts = {"idVendor": "1209", "idProduct": "0003", "serial": self.serial,
                 "manufacturer": "Hand Made", "product": "Heath Console"}
        for file_name, text in facts.items():
            with open(os.path.join(device, file_name), "w", encoding="ascii") as file:
                file.write(text + "\n")
        with open(os.path.join(interface, "bInterfaceNumber"), "w", encoding="ascii") as file:
            file.write("00\n")
        port = os.path.join(self.root, "sys", "class", "tty", name)
        os.makedirs(port)
        os.symlink(interface, os.path.join(port, "device"))
        os.symlink(terminal, os.path.join(self.root, "dev", name))
        self.name = name

    def vanish(self):
        if self.name is None:
            return
        os.unlink(os.path.join(self.root, "dev", self.name))
        shutil.rmtree(os.path.join(self.root, "sys", "class", "tty", self.name))
        shutil.rmtree(os.path.join(self.root, "sys", "devices", "3-1"))
        self.name = None


class Board:
    """Settings, motors and what is soldered where."""

    def __init__(self, wiring, spare, store_nothing):
        self.wiring = wiring
        self.outs = list(wiring) + spare
        self.letters = LETTERS[:len(wiring)]
        self.stored = {
            "legs": dict(zip(self.letters, self.outs)),
            "sweep": "over-nose",
            "ways": {letter: "plain" for letter in self.letters},
        }
        self.store_nothing = store_nothing
        self.whirling = {}
        self.shown = []
        self.start()

    def start(self):
        self.now = json.loads(json.dumps(self.stored))
        self.whirling.clear()

    def store(self):
        if not self.store_nothing:
            self.stored = json.loads(json.dumps(self.now))
        tell(stored=self.stored)

    def turning(self):
        moment = time.monotonic()
        seen = []
        for letter, until in self.whirling.items():
            out = self.now["legs"][letter]
            if until > moment and out in self.wiring:
                place, turn = self.wiring[out]
                if self.now["ways"][letter] == "backward":
                    turn = OTHER_WAY[turn]
                seen.append({"place": place, "turn": turn})
        return seen

    def show(self):
        seen = self.turning()
        if seen != self.shown:
            self.shown = seen
            tell(turning=seen)


class Console:
    def __init__(self, board, serial, asks=False):
        self.board = board
        self.serial = serial
        self.restart = False
        self.asks = asks
        self.prompt = PROMPT

    def answer(self, line):
        if self.prompt != PROMPT:
            self.prompt = PROMPT
            return self.written() if line.strip() in ("y", "yes") else ["(left as it was)"]
        words = line.split()
        if not words:
            return []
        handler = getattr(self, "on_" + words[0], None) if words[0].isalpha() else None
        if handler is None:
            return [f"(cannot: {words[0]} is not understood)"]
        try:
            return handler(words[1:])
        except (IndexError, ValueError, KeyError):
            return ["(cannot: that is not how it is said)"]

    def letter(self, text):
        letter = text.upper()
        if letter not in self.board.letters or len(letter) != 1:
            raise KeyError(text)
        return letter

    @staticmethod
    def nothing_more(words):
        if words:
            raise ValueError(words)

    def on_say(self, words):
        return ["(said " + " ".join(words) + ")"]

    def on_self(self, words):
        self.nothing_more(words)
        return [f"(self: heath-2 with moss 0.9.1, number {self.serial})"]

    def on_legs(self, words):
        self.nothing_more(words)
        return [f"({letter} goes to {out or 'nowhere'})" for letter, out in self.board.now["legs"].items()]

    def on_leg(self, words):
        legs = self.board.now["legs"]
        letter = self.letter(words[0])
        if words[1:] == ["off"]:
            legs[letter] = None
            return [f"(leg {letter} is free)"]
        _, out = words[1:]
        if words[1] != "to" or out not in self.board.outs:
            return [f"(cannot: there is no {out})"]
        for other, taken in legs.items():
            if taken == out and other != letter:
                return [f"(cannot: {out} is taken by {other})"]
        legs[letter] = out
        return [f"(leg {letter} is on {out})"]

    def on_sweep(self, words):
        if words:
            if words[0] not in ("over-nose", "off-nose"):
                return ["(cannot: over-nose or off-nose)"]
            self.board.now["sweep"] = words[0]
        return [f"(the blades sweep {self.board.now['sweep']})"]

    def on_ways(self, words):
        self.nothing_more(words)
        return ["(ways: " + ", ".join(f"{a}={w}" for a, w in self.board.now["ways"].items()) + ")"]

    def on_way(self, words):
        letter = self.letter(words[0])
        if words[1] not in ("plain", "backward"):
            return ["(cannot: plain or backward)"]
        self.board.now["ways"][letter] = words[1]
        return [f"(way of {letter} is {words[1]})"]

    def on_whirl(self, words):
        letter, strength, length = self.letter(words[0]), int(words[1]), int(words[2])
        if not LOWEST <= strength <= HIGHEST or not 1 <= length <= LONGEST:
            return ["(cannot: too much or too little)"]
        if self.board.now["legs"][letter] is None:
            return [f"(cannot: {letter} goes nowhere)"]
        self.board.whirling[letter] = time.monotonic() + length / 1000
        return [f"({letter} whirls with {strength})"]

    def on_still(self, words):
        if words:
            letter = self.letter(words[0])
            self.board.whirling.pop(letter, None)
            return [f"({letter} is still)"]
        self.board.whirling.clear()
        return ["(all is still)"]

    def on_all(self, words):
        self.nothing_more(words)
        lines = [f"tune.{number:03} {number * 37 % 1000}" for number in range(1, 101)]
        lines += self.on_legs([]) + self.on_sweep([]) + self.on_ways([])
        return lines + [f"tune.{number:03} {number * 37 % 1000}" for number in range(101, 201)]

    def on_store(self, words):
        self.nothing_more(words)
        if self.asks:
            self.prompt = "write them? y/n "
            return []
        return self.written()

    def written(self):
        self.board.store()
        return ["(stored)"]

    def on_again(self, words):
        self.nothing_more(words)
        self.restart = True
        return []


class Port:
    """One life of the pseudo-terminal: echo, lines, answers."""

    def __init__(self, console, start=0.0):
        self.console = console
        self.started_at = time.monotonic() + start if start else None
        self.stopped = False
        self.far, self.near = os.openpty()
        tty.setraw(self.near, termios.TCSANOW)
        os.set_blocking(self.far, False)
        self.line = b""
        self.unsent = b"any key stops the start\r\n" if start else self.awake()

    @staticmethod
    def awake():
        return b"heath is awake\r\n" + PROMPT.encode()

    def time_to_start(self):
        """Until it has started; None once it has, or where it never will."""
        if self.started_at is None:
            return None
        left = self.started_at - time.monotonic()
        if left > 0:
            return left
        self.started_at = None
        self.unsent += self.awake()
        return None

    def terminal(self):
        return os.ttyname(self.near)

    def close(self):
        os.close(self.near)
        os.close(self.far)

    def read(self):
        for byte in os.read(self.far, 1024):
            if self.console.restart or self.stopped:
                return
            if self.started_at is not None:
                self.started_at = None
                self.stopped = True
                self.unsent += b"boot loader:"
                return
            if byte == 0x0D:
                self.unsent += b"\r\n"
                text, self.line = self.line.decode("ascii", "replace"), b""
                for answer in self.console.answer(text):
                    self.unsent += answer.encode("ascii", "replace") + b"\r\n"
                if not self.console.restart:
                    self.unsent += self.console.prompt.encode()
            elif byte >= 0x20 and len(self.line) < 200:
                self.line += bytes([byte])
                self.unsent += bytes([byte])

    def write(self):
        sent = os.write(self.far, self.unsent[:512])
        self.unsent = self.unsent[sent:]


def serve(port, console, watch_input):
    """Until a restart is asked for and the last answer is out."""
    while not (console.restart and not port.unsent):
        console.board.show()
        soonest = min([until - time.monotonic() for until in console.board.whirling.values()], default=3600)
        starts_in = port.time_to_start()
        if starts_in is not None:
            soonest = min(soonest, starts_in)
        readers = [port.far] + ([sys.stdin] if watch_input else [])
        writers = [port.far] if port.unsent else []
        wait = soonest if soonest > 0 else 3600
        readable, writable, _ = select.select(readers, writers, [], max(wait, 0.001))
        if sys.stdin in readable:
            told = os.read(sys.stdin.fileno(), 1024)
            if not told:
                raise Stop
            if told.strip() == b"replug":
                return
        if port.far in writable:
            port.write()
        if port.far in readable:
            port.read()


def pause(seconds, watch_input):
    """For as long as the controller is away; its owner may leave meanwhile."""
    end = time.monotonic() + seconds
    while (left := end - time.monotonic()) > 0:
        readable, _, _ = select.select([sys.stdin] if watch_input else [], [], [], left)
        if readable and not os.read(sys.stdin.fileno(), 1024):
            raise Stop


def stop(_number, _frame):
    raise Stop


def parse_wiring(text):
    wiring = {}
    for item in text.split(","):
        out, end = item.split("=")
        place, turn = end.split(":")
        if turn not in OTHER_WAY:
            raise argparse.ArgumentTypeError(f"{turn} is no turn")
        wiring[out] = (place, turn)
    return wiring


def main():
    parser = argparse.ArgumentParser(description="A console written by hand.")
    parser.add_argument("--dir", required=True)
    parser.add_argument("--wiring", required=True, type=parse_wiring)
    parser.add_argument("--spare", action="append", default=[])
    parser.add_argument("--serial", default="HEATH0001")
    parser.add_argument("--away", type=float, default=0.5)
    parser.add_argument("--store-nothing", action="store_true")
    parser.add_argument("--typed", action="append", default=[])
    parser.add_argument("--asks", action="store_true")
    parser.add_argument("--start", type=float, default=0.0)
    options = parser.parse_args()
    signal.signal(signal.SIGTERM, stop)
    signal.signal(signal.SIGINT, stop)
    watch_input = stat.S_ISFIFO(os.fstat(sys.stdin.fileno()).st_mode)
    tree = Tree(options.dir, options.serial)
    board = Board(options.wiring, options.spare, options.store_nothing)
    for line in options.typed:
        Console(board, options.serial).answer(line)
    number = 0
    try:
        while True:
            console = Console(board, options.serial, options.asks)
            port = Port(console, options.start if number else 0.0)
            tree.appear(f"ttyACM{number}", port.terminal())
            tell(ready=os.path.join(tree.root, "dev", f"ttyACM{number}"))
            try:
                serve(port, console, watch_input)
            finally:
                board.whirling.clear()
                board.show()
                tree.vanish()
                port.close()
            tell(away=True)
            board.start()
            number += 1
            pause(options.away, watch_input)
    except Stop:
        return 0


if __name__ == "__main__":
    sys.exit(main())
