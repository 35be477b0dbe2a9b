#!/usr/bin/env python3
"""What a person has to read, press and sit through in a whole bench session of a quad, counted on a real terminal
(tmux) against a practice craft.

    face_counts.py PROGRAM [COLUMNSxROWS] [--pictures FOLDER]

Everything is answered as it is seen. A line counts as read when it appears; one that only runs on (numbers, arcs) does
not count again. A silence is a time in which nothing on the screen changes while nobody is asked.
"""

import collections
import json
import os
import re
import socket
import subprocess
import sys
import tempfile
import time

PROFILE = os.path.join(os.path.dirname(os.path.abspath(__file__)), "../../fixtures/profiles/tarn.json")
PAIRS = {"front-left": "qw", "front-right": "op", "rear-left": "as", "rear-right": "kl"}
DIGITS = {"front-left": "7", "front-right": "9", "rear-left": "1", "rear-right": "3"}
OTHER_WORDS = {"edge": r"outer edge move", "lid": r"like a jar lid", "half": r"on the craft's nose",
               "above": r"looking at the craft from above", "hand": r"under your hand", "strip": r"strip flicked"}
WAITS = [  # what stands on a screen that waits, and what is pressed then
    ("go", r"Space\s+spins(?!\s+it)"),
    ("arm", r"Space spin again|Which arm\?"),
    ("turn", r"Which way did it turn\?"),
    ("nose", r"away from you\?"),
    ("word", r'Type\s+"props\s+off"'),
    ("pose", r"Space ready|Space take it now"),
    ("name", r"is this craft called"),
    ("list", r"Press its key|Enter quad-x|Enter in|\? help"),
]


class Terminal:
    def __init__(self, columns, rows, command, environment):
        self.name = f"face-{os.getpid()}"
        self.tmux("new-session", "-d", "-x", str(columns), "-y", str(rows), *command, environment=environment)
        self.tmux("set-option", "-g", "remain-on-exit", "on")

    def tmux(self, *arguments, environment=None):
        return subprocess.run(["tmux", "-L", self.name, "-f", "/dev/null", *arguments], env=environment, text=True,
                              capture_output=True, check=False).stdout

    def text(self):
        return self.tmux("capture-pane", "-p", "-S", "-")

    def colours(self):
        return self.tmux("capture-pane", "-p", "-e")

    def is_over(self):
        return self.tmux("display-message", "-p", "#{pane_dead}").strip() != "0"

    def type(self, keys):
        for key in keys:
            self.tmux("send-keys", *([key] if len(key) > 1 else ["-l", key]))

    def end(self):
        self.tmux("kill-server")


class Craft:
    """What turns, as somebody sees it who looks on."""

    def __init__(self, folder):
        self.socket = socket.socket(socket.AF_UNIX, socket.SOCK_STREAM)
        self.socket.connect(os.path.join(folder, "onlooker"))
        self.socket.setblocking(False)
        self.unread = b""
        self.turned = []

    def look(self):
        try:
            self.unread += self.socket.recv(65536)
        except BlockingIOError:
            pass
        while b"\n" in self.unread:
            line, self.unread = self.unread.split(b"\n", 1)
            self.turned += [(one["place"], one["turn"]) for one in json.loads(line).get("turning", [])]

    def seen(self):
        self.look()
        seen, self.turned = self.turned, []
        return seen[-1] if seen else None

    def hold(self, pose):
        self.socket.send((json.dumps({"pose": pose}) + "\n").encode())


class Counts:
    def __init__(self):
        self.words = self.lines = self.keys = 0
        self.before_spin = None
        self.plan = 0
        self.silence = 0.0
        self.silent_at = ""
        self.known = collections.Counter()

    def read(self, text):
        lines = collections.Counter(re.sub(r"[\d|/\\#.-]+", "", line).strip() for line in text.splitlines())
        for line in (lines - self.known).elements():
            if re.search(r"[A-Za-z]{2}", line):
                self.lines += 1
                self.words += len(re.findall(r"[A-Za-z][A-Za-z'-]+", line))
        self.known = lines


def last_screen(text, rows):
    lines = text.rstrip().splitlines()
    return "\n".join(lines[-rows:])


def waiting_for(screen):
    if "? help" in screen and any(re.search(words, " ".join(screen.split())) for words in OTHER_WORDS.values()):
        return "words"
    found = [(max(match.start() for match in re.finditer(pattern, screen)), name) for name, pattern in WAITS
             if re.search(pattern, screen)]
    order = [name for name, _ in WAITS]
    if not found:
        return "yes" if re.search(r"\by yes|\by write|\by: yes", screen) else None
    if "? help" not in screen and not screen.rstrip().endswith(">"):
        return None
    if re.search(r"\by yes|\by write|\by: yes\s+n: no[^\n]*>\s*$", screen):
        return "yes"
    best = max(found, key=lambda each: (each[0] if "Press its key" in screen or ": help" in screen else 0,
                                        -order.index(each[1])))
    return best[1]


class Session:
    def __init__(self, program, columns, rows, home, pictures):
        self.rows, self.pictures = rows, pictures
        folder = os.path.join(home, "devices")
        self.practice = subprocess.Popen([program, "practice", "--profile", PROFILE, "--directory", folder, "--seed", "7"],
                                         stdout=subprocess.PIPE, text=True)
        while "ready" not in self.practice.stdout.readline():
            pass
        self.craft = Craft(folder)
        self.counts = Counts()
        environment = dict(os.environ, HOME=home, ARMWISE_DEVICES=folder, TERM="screen-256color", LC_ALL="C.UTF-8")
        for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "NO_COLOR", "ACCESSIBLE", "TMUX"):
            environment.pop(name, None)
        self.terminal = Terminal(columns, rows, [program, "bench", "--profile", PROFILE], environment)
        self.answered = 0

    def press(self, keys):
        self.counts.keys += len(keys)
        self.terminal.type(keys)

    def keys_for(self, asked, screen):
        if asked == "words":
            which = next(name for name, words in OTHER_WORDS.items() if re.search(words, " ".join(screen.split())))
            seen = self.craft.seen()
            if which in ("hand", "strip"):
                self.last = seen or self.last
            place, turn = self.last
            toward = "Up" if (turn == "cw") == ("left" in place) else "Down"
            there = place == self.held_to
            return [{"edge": toward, "lid": "c" if turn == "cw" else "o", "half": "y" if "front" in place else "n",
                     "above": "y", "hand": "y" if there else "n", "strip": toward if there else "5"}[which]]
        if asked == "go":
            held = re.search(r"(?:well above|paper to) the (\S+) motor", " ".join(screen.split()))
            self.held_to = held.group(1) if held else None
            self.craft.seen()
        if asked == "arm":
            seen = self.last = self.craft.seen()
            if seen is None:
                return ["5"]
            place, turn = seen
            if "Space spin again" in screen:
                return [PAIRS[place][turn == "cw"]]
            self.turn = turn
            return [DIGITS[place]]
        if asked == "turn":
            return ["Right" if self.turn == "cw" else "Left"]
        if asked == "pose":
            words = {"level": r"level", "nose-down": r"nose at the floor", "upside-down": r"upside down",
                     "right-side-down": r"right side at the floor", "nose-up": r"nose at the ceiling",
                     "left-side-down": r"left side at the floor",
                     "turning-right": r"quarter turn"}
            flat = " ".join(screen.split())
            name = max(words, key=lambda each: max([m.start() for m in re.finditer(words[each], flat)], default=-1))
            self.craft.hold(name)
            return [] if "take it now" in screen else ["Space"]
        if asked == "word":
            return list("props off") + ["Enter"]
        if asked == "name":
            return ["Enter"] if "Enter quad-x" in screen else ["Tab", "Enter"]
        if asked == "list":
            return ["Enter"] if "Enter " in screen else ["1"]
        return {"go": ["Space"], "nose": ["y"], "yes": ["y"]}[asked]

    def keep(self, asked, screen):
        self.answered += 1
        if self.pictures:
            with open(os.path.join(self.pictures, f"{self.answered:02}-{asked}.ans"), "w") as file:
                file.write(self.terminal.colours())

    def run(self, limit=180):
        counts, last, changed = self.counts, "", time.monotonic()
        done, begun = "", time.monotonic()
        while not self.terminal.is_over() and time.monotonic() - begun < limit:
            self.craft.look()
            text = self.terminal.text()
            screen = last_screen(text, self.rows)
            if text != last:
                last, changed = text, time.monotonic()
                done = ""
                counts.read(text)
            elif time.monotonic() - changed > counts.silence and not done:
                counts.silence, counts.silent_at = time.monotonic() - changed, screen.strip()[-200:]
            asked = waiting_for(screen)
            if asked and done != screen and time.monotonic() - changed > 0.1:
                if asked == "go" and counts.before_spin is None:
                    counts.before_spin = (counts.words, counts.lines, counts.keys)
                if re.search(r"Write these changes|May these changes", screen):
                    counts.plan = len([line for line in screen.splitlines() if line.strip()])
                self.keep(asked, screen)
                self.press(self.keys_for(asked, screen))
                done, changed = screen, time.monotonic()
            time.sleep(0.08)
        self.keep("end", "")
        return counts

    def end(self):
        self.terminal.end()
        self.practice.terminate()
        self.practice.wait()


def main():
    arguments = sys.argv[1:]
    pictures = arguments.pop(arguments.index("--pictures") + 1) if "--pictures" in arguments else None
    arguments = [one for one in arguments if one != "--pictures"]
    columns, rows = (int(n) for n in (arguments[1] if len(arguments) > 1 else "80x24").split("x"))
    with tempfile.TemporaryDirectory() as home:
        session = Session(os.path.abspath(arguments[0]), columns, rows, home, pictures)
        try:
            counts = session.run()
            text = session.terminal.text()
        finally:
            session.end()
    words, lines, keys = counts.before_spin or (0, 0, 0)
    print(f"before the first spin: {words} words, {lines} lines, {keys} keys")
    print(f"whole session: {counts.words} words, {counts.lines} lines, {counts.keys} keys")
    print(f"the plan: {counts.plan} lines")
    print(f"longest silence: {counts.silence:.1f} s, at: ...{' '.join(counts.silent_at.split())[-100:]}")
    print("finished" if re.search(r"sheet|Done and proven", text) else "NOT FINISHED:\n" + text[-1500:])
    return 0


if __name__ == "__main__":
    sys.exit(main())
