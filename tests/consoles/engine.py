"""What all consoles of a craft have in common: settings, motors, restarts, and bytes that become lines.

A console is a subclass: its grammar (`do`), its prompt, and its `sheet`, what a person knows of it. `do` yields what it
says: a text is a line, a number is a pause in seconds, an Ask is a question in place of the prompt; Refused refuses.
"""

import copy
from dataclasses import dataclass

from craft import FRAMES, OTHER, apart, rotation, wanted


class Refused(Exception):
    pass


@dataclass
class Ask:
    """A question in place of the prompt; `then` is given the answer, and says what `do` says."""

    text: str
    then: object


class Raw(str):
    """Said as it stands, without a line end."""


@dataclass
class Settings:
    pads: list  # of each motor, or None
    backward: set  # motors, or pads where the console keeps it by pad
    props: str
    mount: list


def number(text, least, most, kind=int):
    try:
        value = kind(text)
    except ValueError:
        raise Refused(f"{text} is no number") from None
    if not least <= value <= most:
        raise Refused(f"{text} is not within {least} to {most}")
    return value


def among(text, choices):
    """The place of a text in a list."""
    if text not in choices:
        raise Refused(f"unknown {text}")
    return list(choices).index(text)


class Console:
    pads = [f"P{n}" for n in range(1, 9)]
    mounts = [rotation(yaw, 0, roll) for yaw in (0, 90, 180, 270) for roll in (0, 180)]
    echo, ends, ignored, eol = True, "\r", "\n", "\r\n"
    enter_repeats = False  # an empty line does the last one again
    open_marks = ""  # brackets and quotes that go on on the next line until they are closed
    way_out = "\x03"  # the key that gives up what is half typed
    unasked = "\x03"  # what gives up a question
    unmounted = [0, 0, 0]  # the set mount of a board fresh from the box
    at_once = True  # a setting takes effect at once
    turns_by_pad = False
    restarts = "port"  # closes the port; "same": on the same port; "hand": only by hand
    away, boot = 0.4, 0.3  # seconds without a port, and until the prompt comes
    loader = None  # what a key in the start-up brings: a loader which knows no craft
    takes_props = True
    numbering = {"quad-x": ["rear-right", "front-right", "rear-left", "front-left"],
                 "hex-x": ["rear-right", "front-right", "rear-left", "front-left", "right", "left"]}
    map_words = {"motor": "1", "pin": "2"}  # which words of a line of the map they stand in
    limits = (3, 8, 100)  # strengths: lowest, highest, full
    spin_seconds_typed = True
    tells_everything = 30  # lines of knobs that are no concern of anybody here

    def __init__(self, craft, loop, frame, say, lot):
        self.craft, self.loop, self.say = craft, loop, say
        self.frame = frame
        wired = list(craft.place)
        lot.shuffle(wired)
        keys = wired if self.turns_by_pad else range(len(wired))
        self.kept = Settings(wired, {key for key in keys if lot.random() < 0.5}, lot.choice(("in", "out")),
                             list(self.unmounted))
        self.factory = Settings(list(wired), set(), "in", list(self.unmounted))
        self.wired = wired
        self.gone = False
        self.power_up()

    # Power, and the cable.
    def power_up(self):
        self.stored = copy.deepcopy(self.kept)
        self.running = self.stored if self.at_once else copy.deepcopy(self.kept)
        self.awake = False
        self.spoiled = False
        self.fresh()
        self.loop.after(self.boot, self.wake)

    def leave(self):
        self.awake = False

    def fresh(self):
        self.line, self.last, self.ask, self.busy, self.waiting = "", "", None, None, ""
        self.open_text = ""
        self.status, self.count = "ok", 0

    def wake(self):
        self.awake = True
        for line in self.banner():
            self.say(line + self.eol)
        self.say(self.now_prompt())

    def banner(self):
        return []

    def wipe(self):
        self.kept = copy.deepcopy(self.factory)

    def keep(self):
        self.kept = copy.deepcopy(self.stored)

    def restart(self):
        """From the console's own command: its port looks for it."""
        self.gone = True

    # Bytes.
    def feed(self, text):
        for letter in text:
            if self.gone:
                return
            if not self.awake:
                self.early(letter)
            elif self.busy is not None:
                self.waiting += letter
            else:
                self.letter(letter)

    def early(self, _letter):
        if self.loader and not self.spoiled:
            self.spoiled = True
            self.say(self.loader + self.eol)

    def letter(self, letter):
        if letter == self.ends:
            line, self.line = self.line, ""
            self.say(self.echo_of_end() if self.echo else "")
            self.hear(line)
        elif letter in (self.way_out, self.unasked) and letter < " ":
            self.line, self.open_text, self.ask = "", "", None
            self.say(self.eol + self.now_prompt())
        elif letter in ("\b", "\x7f"):
            self.line = self.line[:-1]
            self.say(self.echo_of(letter) if self.echo else "")
        elif letter >= " " and len(self.line) < 200:
            self.line += letter
            self.say(self.echo_of(letter) if self.echo else "")

    def echo_of(self, letter):
        return letter if letter >= " " else "\b \b"

    def echo_of_end(self):
        return self.eol

    def hear(self, line):
        if self.ask is not None:
            ask, self.ask = self.ask, None
            return self.go_on(self.guarded(ask.then, line.strip()))
        line = self.open_text + line
        if self.is_open(line):
            self.open_text = line + "\n"
            return self.say(self.now_prompt())
        self.open_text = ""
        if not line.strip():
            if not self.enter_repeats or not self.last:
                return self.say(self.now_prompt())
            line = self.last
        self.last = line
        self.count += 1
        self.status = "ok"
        return self.go_on(self.guarded(self.do, line.strip()))

    def is_open(self, line):
        return any(line.count(mark) % 2 if mark in "\"'" else line.count(mark) > line.count(")]}"["([{".index(mark)])
                   for mark in self.open_marks)

    def guarded(self, what, line):
        try:
            yield from what(line) or ()
        except Refused as refused:
            self.status = "no"
            yield from self.refusal(str(refused))

    def refusal(self, why):
        return ["no: " + why]

    def go_on(self, saying):
        for said in saying:
            if isinstance(said, (int, float)):
                self.busy = saying
                self.loop.after(said, lambda: self.busy is saying and self.wake_up(saying))
                return
            if isinstance(said, Ask):
                self.ask = said
                self.say(said.text)
                self.busy = None
                return
            self.say(said if isinstance(said, Raw) else said + self.eol)
        self.busy = None
        if not self.gone:
            self.say(self.now_prompt())

    def wake_up(self, saying):
        self.busy = None
        self.go_on(saying)
        waiting, self.waiting = self.waiting, ""
        self.feed(waiting)

    def now_prompt(self):
        return self.prompt()

    def prompt(self):
        return "> "

    def do(self, line):
        raise Refused(line)

    # What all of them can do with the craft.
    @property
    def motors(self):
        return range(len(FRAMES[self.frame]))

    def motor(self, text, first=1):
        return number(text, first, first + len(self.motors) - 1) - first

    def pad(self, text):
        return self.pads[among(text, self.pads)]

    def put(self, motor, pad):
        self.stored.pads[motor] = pad

    def motor_on(self, pad):
        return self.stored.pads.index(pad) if pad in self.stored.pads else None

    def reverse(self, key, on):
        (self.stored.backward.add if on else self.stored.backward.discard)(key)

    def is_backward(self, motor):
        return (self.stored.pads[motor] if self.turns_by_pad else motor) in self.stored.backward

    def spin(self, motor, strength, seconds=None):
        pad = self.running.pads[motor]
        if pad is None:
            raise Refused("no pin")
        self.craft.drive(pad, strength, seconds)

    def stop(self, motor=None):
        self.craft.halt(None if motor is None else [self.running.pads[motor]])

    def turns(self, pad):
        """Which way the motor on a pad turns, as it runs; on a pad that no motor has, as soldered."""
        running = self.running
        key = pad if self.turns_by_pad else running.pads.index(pad) if pad in running.pads else None
        return OTHER[self.craft.solder[pad]] if key in running.backward else self.craft.solder[pad]

    # The truth, for the person who sits before the craft.
    def mount_told(self):
        return rotation(*self.running.mount)

    def wrongs(self, props, now_numbering=None):
        """What is not as it should be, in words."""
        wrong = []
        places = now_numbering or self.numbering[self.frame]
        for motor, place in enumerate(places):
            pad = self.craft.pin_at(place)
            if self.running.pads[motor] != pad:
                wrong.append(f"motor {motor + 1} is on {self.running.pads[motor]}, not {pad}")
            elif self.turns(pad) != wanted(self.frame, place, props):
                wrong.append(f"motor {motor + 1} turns the wrong way")
        if self.takes_props and self.running.props != props:
            wrong.append("props " + self.running.props)
        if apart(self.mount_told(), self.craft.mount) > 2:
            wrong.append(f"mount off by {apart(self.mount_told(), self.craft.mount):.0f} degrees")
        if self.kept != self.stored:
            wrong.append("not kept")
        return wrong

    def what_moved(self, runs):
        moved = {self.craft.place[run.pin]: self.turns(run.pin) for run in runs if run.pin in self.craft.place}
        return sorted(moved.items())

    @staticmethod
    def map_name(motor):
        """As the map calls it."""
        return str(motor + 1)

    # What a person knows of it: question id -> what they type, or a function of the values asked for.
    sheet = {}

