"""Who sits before the program: on `--machine`, or on a real terminal of its own. Answers whatever is asked,
says truly what turned, and has had enough at the second question after the fault."""

import fcntl
import json
import os
import pty
import re
import subprocess
import termios
import time

from loop import now

ENOUGH = 2  # questions after the fault
MOST_QUESTIONS = 60
SETTLES = 0.06  # seconds without output: then a screen waits for a key
ESCAPES = re.compile(r"\x1b\[[0-9;?]*[ -/]*[@-~]|\x1b\][^\a]*\a|\x1b[=>]")
PLAN = "Write these changes?"
IN_OTHER_WORDS = {"away from the craft: which way": "edge", "like a jar lid": "lid", "on the craft's nose": "nose-half",
                  "looking at the craft from above": "from-above"}
KEY_OF = {"nose": "1", "tail": "2", "closing": "1", "opening": "2", "unsure": "3", "yes": "y", "no": "n"}
ARM_KEYS = {"front-left": "qw", "front-right": "op", "rear-left": "as", "rear-right": "kl"}  # ccw, cw


class Person:
    front = None

    def __init__(self, loop, port, command, environment, moment):
        self.loop, self.port, self.moment = loop, port, moment
        self.console, self.craft = port.console, port.craft
        self.said = []  # (when, level, text)
        self.raw = ""  # all that came, as it came
        self.after_fault = self.questions = self.seen = 0
        self.open = True
        self.environment = environment
        if moment != "proof":
            port.armed = True
        self.process = self.start(command)

    # What happened since the last time that they were asked.
    def moved(self):
        new, self.seen = self.craft.runs[self.seen :], len(self.craft.runs)
        places = {self.craft.place[run.pin] for run in new}
        if len(places) != 1:
            return None if not places else "several"
        return places.pop()

    def of_the_spin(self, asked, arm=None):
        """What is said of the last spin in other words (of a quad-x); None where nothing of that is asked."""
        if asked in ("strip", "hand"):
            self.last = self.moved()
        if asked == "from-above":
            return "yes"
        place = getattr(self, "last", None)
        known = place not in (None, "several")
        cw = known and self.console.turn_seen(self.craft.pin_at(place)) == "cw"
        toward = "nose" if known and cw == ("left" in place) else "tail"
        return {"edge": toward if known else "unsure", "lid": "closing" if cw else "opening" if known else "unsure",
                "nose-half": "yes" if known and "front" in place else "no", "hand": "yes" if place == arm else "no",
                "strip": toward if place == arm else "still"}.get(asked)

    def shown_in_other_words(self, shown):
        return next((self.of_the_spin(asked) for words, asked in IN_OTHER_WORDS.items() if words in shown), None)

    def has_had_enough(self):
        self.questions += 1
        self.after_fault += self.port.fault.struck is not None
        self.port.note("asked")
        return self.after_fault >= ENOUGH or self.questions > MOST_QUESTIONS

    def plan_is_accepted(self):
        self.port.armed = True

    def text_for(self, text, suggestion=""):
        """What is typed where a command, limits or a name are asked for; `text`: the question's own words."""
        if "stops all motors" in text:
            return self.console.stop_typed
        if "lowest that turns" in text:
            return self.console.limits
        spin = re.search(r'spins motor (\d+)(?: \(written "(\d+)"\))? at throttle (\S+) \(for (\d+) ms', text)
        if spin:
            motor, written, strength, ms = spin.groups()
            return self.console.spin_typed(written or motor, strength, ms)
        return suggestion or "skip"

    def ended(self):
        return not self.open and self.process.poll() is not None

    def take_output(self, descriptor, size=65536):
        try:
            data = os.read(descriptor, size)
        except OSError:
            data = b""
        if not data:
            self.open = False
            self.loop.readers.pop(descriptor, None)
        text = data.decode("utf-8", "replace")
        self.raw += text
        return text


class MachinePerson(Person):
    front = "machine"

    def start(self, command):
        process = subprocess.Popen(command + ["--machine"], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                                   stderr=subprocess.STDOUT, env=self.environment, start_new_session=True)
        self.output = process.stdout.fileno()
        self.unread = ""
        self.loop.readers[self.output] = self.readable
        return process

    def readable(self):
        self.unread += self.take_output(self.output)
        while "\n" in self.unread:
            line, self.unread = self.unread.split("\n", 1)
            try:
                self.line(json.loads(line))
            except ValueError:
                self.said.append((now(), "danger", line))

    def line(self, line):
        if line["type"] == "ask":
            self.write({"id": "stop"} if self.has_had_enough() else self.answer(line))
        elif line["type"] != "progress":
            self.said.append((now(), line.get("level", line["type"]), line.get("text", "")))

    def stops(self):
        self.write({"id": "stop"})

    def write(self, line):
        try:
            self.process.stdin.write((json.dumps(line) + "\n").encode())
            self.process.stdin.flush()
        except BrokenPipeError:
            pass

    def answer(self, question):
        asked, kind = question["id"], question["kind"]
        given = question.get("choices", {}).get("answer")
        if asked == "plan":
            self.plan_is_accepted()
        if kind == "spin":
            place = self.last = self.moved()
            if place in (None, "several"):
                return {"id": asked, "seen": place or "none"}
            return {"id": asked, "arm": place, "turn": self.console.turn_seen(self.craft.pin_at(place))}
        if (words := self.of_the_spin(asked, question.get("arm"))) is not None:
            return {"id": asked, "answer": words}
        if kind == "text":
            return {"id": asked, "answer": self.text_for(question["text"], question.get("suggestion", ""))}
        if asked == "turn-now":
            return {"id": asked, "answer": "cw"}
        return {"id": asked, "answer": list(given)[0] if given else "yes"}


class ScreenPerson(Person):
    """On a terminal that is the program's own: what is typed is seen by its modes, which are to be left as they
    were."""

    def start(self, command):
        self.output, self.terminal = pty.openpty()
        self.modes = termios.tcgetattr(self.terminal)
        fcntl.ioctl(self.terminal, termios.TIOCSWINSZ, b"\x32\0\x78\0\0\0\0\0")
        process = subprocess.Popen(command + self.options, stdin=self.terminal, stdout=self.terminal,
                                   stderr=self.terminal, env=self.environment, start_new_session=True,
                                   preexec_fn=lambda: fcntl.ioctl(0, termios.TIOCSCTTY, 0))
        self.loop.readers[self.output] = self.readable
        self.shown = ""  # since the last key
        self.changed = now()
        self.looking = False
        self.open = False  # it is the process that ends
        return process

    def readable(self):
        text = self.take_output(self.output)
        self.shown += text
        self.changed = now()
        plain = ESCAPES.sub("", text)
        if plain.strip():
            level = "danger" if "pull the battery" in " ".join(plain.split()).lower() else "info"
            self.said.append((now(), level, plain))
        if not self.looking:
            self.looking = True
            self.loop.after(SETTLES, self.look)

    def look(self):
        if now() - self.changed < SETTLES:
            self.loop.after(SETTLES, self.look)
            return
        self.looking = False
        keys = self.keys(" ".join(ESCAPES.sub("", self.shown).replace("\r", "\n").split()))
        if keys is None:
            return
        self.shown = ""
        os.write(self.output, (self.stop if self.has_had_enough() else keys).encode())

    def stops(self):
        os.write(self.output, b"\x03")

    def modes_changed(self):
        # After a kill the guard restores it, a moment after the program is gone.
        deadline = time.monotonic() + 0.5
        while termios.tcgetattr(self.terminal)[:4] != self.modes[:4]:
            if time.monotonic() > deadline:
                return True
            time.sleep(0.02)
        return False


def last_of(shown, patterns):
    """The pattern that fits last, and how: what stands on a screen before it has been answered."""
    found = [(match.end(), name, match) for name, pattern in patterns.items() for match in re.finditer(pattern, shown)]
    return max(found, key=lambda each: each[0])[1:] if found else (None, None)


class TerminalPerson(ScreenPerson):
    front, options, stop = "terminal", [], "\x03"
    asks = {"space": r"Space (?:ready|take it now|spins (?!it))", "arm": r"Space back to the spin", "confirm": r"\by (?:yes|write)\b",
            "word": r'Type "([^"]+)"\.', "other": r"\? help"}

    # Every question is drawn whole, and has the key for help in its last line, or a line to type in after that.
    def keys(self, shown):
        """Nothing where no key is waited for."""
        if not re.search(r"\? (Enter )?help", shown):
            return None
        if shown.endswith(">"):
            if word := re.search(self.asks["word"], shown):
                return word.group(1)
            if re.search("Enter (sends|takes) it Tab ", shown):  # which puts there what is proposed
                return "\t\r"
            return (self.text_for(shown) if re.search("Enter (sends|takes) it", shown) else "") + "\r"
        if words := self.shown_in_other_words(shown):
            return KEY_OF[words]
        for asked in ("arm", "space", "confirm"):
            if not re.search(self.asks[asked], shown):
                continue
            if asked == "arm":
                place = self.last = self.moved()
                if place in (None, "several"):
                    return "5" if place is None else "0"
                return ARM_KEYS[place][self.console.turn_seen(self.craft.pin_at(place)) == "cw"]
            if PLAN in shown:
                self.plan_is_accepted()
            return " " if asked == "space" else "y"
        return "1"


class PlainPerson(ScreenPerson):
    front, options, stop = "plain", ["--plain"], "stop\r"
    asks = {"arm": r"Answer with the arm,[^.]*\.", "confirm": r"Answer yes, no, [^.]*\.", "ready": r"Answer ready, [^.]*\.",
            "choose": r"Answer (?!with|yes|ready)([^ ,]+), [^.]*\.", "word": r'Type "([^"]+)" exactly[^.]*\.',
            "go": r"Type spin to spin [^.]*\.", "text": r"Type it[^.]*\."}

    def keys(self, shown):
        asked, match = last_of(shown, self.asks)
        if asked is None or match.end() < len(shown):
            return None
        if PLAN in shown:
            self.plan_is_accepted()
        if words := self.shown_in_other_words(shown[: match.start()][-300:]):
            return words + "\r"
        if asked == "arm":
            place = self.last = self.moved()
            if place in (None, "several"):
                return (place or "none") + "\r"
            return f"{place} {self.console.turn_seen(self.craft.pin_at(place))}\r"
        if asked in ("choose", "word"):
            return match.group(1) + "\r"
        if asked == "text":
            text = "=" if '= for "' in match.group() else self.text_for(shown[: match.start()])
            return (f'"{text}"' if text == "stop" else text) + "\r"
        return {"confirm": "yes\r", "ready": "ready\r", "go": "spin\r"}[asked]


PEOPLE = {"machine": MachinePerson, "terminal": TerminalPerson, "plain": PlainPerson}
