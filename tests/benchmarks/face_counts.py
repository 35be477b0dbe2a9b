#!/usr/bin/env python3
"""What a person has to read, press and sit through in a whole bench session of a quad, counted on a real terminal
(tmux) against a practice craft.

    face_counts.py PROGRAM [COLUMNSxROWS] [--pictures FOLDER] [--show]

Everything is answered as it is seen; what is asked is read in the session's log, by id. --show prints each line that is
read before the first spin. A line counts as read when it appears; one that stays and only
runs on (numbers, arcs, words behind its first ones) does not count again, but for those words. A silence is a time in which nothing on the screen changes while nobody is asked.
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
POSES = {"quarter turn": "turning-right", "upside down": "upside-down", "nose straight down": "nose-down",
         "right side straight down": "right-side-down", "nose straight up": "nose-up",
         "left side straight down": "left-side-down", "level": "level"}


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


def words_in(text):
    return len(re.findall(r"[A-Za-z][A-Za-z'-]+", text))


class Counts:
    def __init__(self, show):
        self.show = show
        self.words = self.lines = self.keys = 0
        self.keys_of = collections.Counter()
        self.before_spin = None
        self.plan = 0
        self.silence = 0.0
        self.silent_at = ""
        self.known = collections.Counter()

    def read(self, text):
        lines = collections.Counter(re.sub(r"[\d|/\\#.-]+", "", line).strip() for line in text.splitlines())
        gone = [line for line in self.known - lines if re.search(r"[A-Za-z]{2}", line)]
        for line in (lines - self.known).elements():
            if not re.search(r"[A-Za-z]{2}", line):
                continue
            before = max((os.path.commonprefix([line, old]) for old in gone), key=len, default="")
            before = before if len(before) >= 12 else ""
            words = words_in(line) - words_in(before)
            if self.before_spin is None and self.show:
                print(f"{words:4} {'+' if before else ' '} {line}")
            self.lines += not before
            self.words += words
        self.known = lines


class Log:
    """What is asked, by its id: the words on the screen may change."""

    def __init__(self, file):
        self.file, self.at, self.asked, self.text, self.number = file, 0, None, "", 0
        self.is_done = False

    def look(self):
        if not os.path.exists(self.file):
            return
        with open(self.file, encoding="utf-8") as log:
            log.seek(self.at)
            for line in log:
                if not line.endswith("\n"):
                    break
                self.at += len(line.encode())
                event = json.loads(line)
                if event.get("event") == "asked":
                    (self.asked, self.text), = [(key, event[key]) for key in event if key not in ("at", "event")]
                    self.number += 1
                elif event.get("event") == "answered":
                    self.asked = None
                self.is_done = self.is_done or "done" in event


class Session:
    def __init__(self, program, columns, rows, home, pictures, show):
        self.rows, self.pictures = rows, pictures
        folder = os.path.join(home, "devices")
        self.practice = subprocess.Popen([program, "practice", "--profile", PROFILE, "--directory", folder, "--seed", "7"],
                                         stdout=subprocess.PIPE, text=True)
        while "ready" not in self.practice.stdout.readline():
            pass
        self.craft = Craft(folder)
        self.counts = Counts(show)
        environment = dict(os.environ, HOME=home, ARMWISE_DEVICES=folder, TERM="screen-256color", LC_ALL="C.UTF-8")
        for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "NO_COLOR", "ACCESSIBLE", "TMUX"):
            environment.pop(name, None)
        self.log = Log(os.path.join(home, "log"))
        self.terminal = Terminal(columns, rows, [program, "bench", "--profile", PROFILE, "--log-file", self.log.file],
                                 environment)
        self.answered = 0
        self.last = self.held_to = None

    def keys_for(self, asked, screen):
        seen = self.craft.seen()
        if asked == "go":
            held = re.search(r"(?:above|to) the (\S+) motor", self.log.text)
            self.held_to = held and held.group(1)
            return ["Space"]
        self.last = seen or self.last
        if asked in ("spin", "prove"):
            return [PAIRS[self.last[0]][self.last[1] == "cw"]] if seen else ["5"]
        if asked in ("edge", "lid", "nose-half", "from-above", "hand", "strip"):
            place, turn = self.last
            toward = "Up" if (turn == "cw") == ("left" in place) else "Down"
            there = place == self.held_to
            return [{"edge": toward, "lid": "c" if turn == "cw" else "o", "nose-half": "y" if "front" in place else "n",
                     "from-above": "y", "hand": "y" if there else "n", "strip": toward if there else "5"}[asked]]
        if asked in ("pose", "turn-right"):
            return ["Space"] if "Space ready" in screen else []
        if asked == "props-off":
            return [*"props off"]
        return ["Enter"] if re.search(r"\bEnter \w", screen) else ["y"] if re.search(r"\by ", screen) else ["1"]

    def answer(self, asked, screen):
        counts = self.counts
        if asked == "go" and counts.before_spin is None:
            counts.before_spin = (counts.words, counts.lines, counts.keys)
        if asked == "plan":
            counts.plan = len([line for line in screen.splitlines() if line.strip()])
        if self.pictures:
            with open(os.path.join(self.pictures, f"{self.answered:02}-{asked}.ans"), "w", encoding="utf-8") as file:
                file.write(self.terminal.colours())
        self.answered += 1
        if asked in ("pose", "turn-right"):
            self.craft.hold(POSES[next(words for words in POSES if words in self.log.text)])
        keys = self.keys_for(asked, screen)
        counts.keys += len(keys)
        counts.keys_of[asked] += len(keys)
        self.terminal.type(keys)

    def run(self, limit=180):
        counts, last, changed = self.counts, "", time.monotonic()
        done, begun = 0, time.monotonic()
        while not self.terminal.is_over() and time.monotonic() - begun < limit:
            self.craft.look()
            self.log.look()
            text = self.terminal.text()
            screen = "\n".join(text.rstrip().splitlines()[-self.rows:])
            now = time.monotonic()
            if text != last:
                last, changed = text, now
                counts.read(text)
            if self.log.asked and self.log.number > done and now - changed > 0.1:
                done = self.log.number
                self.answer(self.log.asked, screen)
                changed = time.monotonic()
            elif not self.log.asked and now - changed > counts.silence:
                counts.silence, counts.silent_at = now - changed, screen.strip()[-200:]
            time.sleep(0.08)
        self.log.look()
        return counts

    def end(self):
        self.terminal.end()
        self.practice.terminate()
        self.practice.wait()


def main():
    arguments = sys.argv[1:]
    pictures = arguments.pop(arguments.index("--pictures") + 1) if "--pictures" in arguments else None
    show = "--show" in arguments
    arguments = [one for one in arguments if one not in ("--pictures", "--show")]
    columns, rows = (int(n) for n in (arguments[1] if len(arguments) > 1 else "80x24").split("x"))
    with tempfile.TemporaryDirectory() as home:
        session = Session(os.path.abspath(arguments[0]), columns, rows, home, pictures, show)
        try:
            counts = session.run()
            text, is_done = session.terminal.text(), session.log.is_done
        finally:
            session.end()
    words, lines, keys = counts.before_spin or (0, 0, 0)
    print(f"before the first spin: {words} words, {lines} lines, {keys} keys")
    print(f"whole session: {counts.words} words, {counts.lines} lines, {counts.keys} keys")
    print("keys by question: " + ", ".join(f"{asked} {keys}" for asked, keys in counts.keys_of.items() if keys))
    print(f"the plan: {counts.plan} lines")
    print(f"longest silence: {counts.silence:.1f} s, at: ...{' '.join(counts.silent_at.split())[-100:]}")
    print("finished" if is_done else "NOT FINISHED:\n" + text[-1500:])
    return int(not is_done)


if __name__ == "__main__":
    sys.exit(main())
