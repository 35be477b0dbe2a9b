"""What goes wrong between the tool and the console, from the first spin of the moment that is looked at.

`allowance`: by how much a motor may outlast the time of its spin, or the moment from which a way to it exists
again, whichever is later (seconds).
"""

import os
import re
import signal

from consoles import CONSOLES
from craft import Craft
from loop import now

KNOCK = 0.1  # into the spin, where something happens by itself


class Fault:
    allowance = 0.5
    lasts = 0.0  # how long after the spin it may still have an effect
    settles = True  # the console gets over it
    ends_by = None  # the signal, or the person's key, that ends the program besides
    patience = 75.0  # how long a whole session may take
    delay = 0.0  # of all that the console says
    way_out = None  # what the profile has to know for it: open.abandon

    def __init__(self):
        self.struck = None

    def once(self):
        """True at the first call only."""
        first = self.struck is None
        self.struck = self.struck or now()
        return first

    def comes(self, port, data):  # what the tool wrote; returned: what reaches the console
        return data

    def hears(self, port, byte):
        return True

    def lets(self, port, kind, line):  # False: the line is not heard
        return True

    def echoes(self, echo):
        return echo

    def answers(self, kind, answer):
        return answer

    def spins(self, port):  # a motor has begun to turn
        self.once()


class StopLost(Fault):
    def __init__(self, times):
        super().__init__()
        self.left = times
        self.settles = times < 100
        self.patience = 75.0 if self.settles else 150.0
        self.allowance = 0.5 + 0.4 * times if self.settles else 0.5

    def lets(self, port, kind, line):
        if kind != "stop" or self.struck is None or self.left <= 0:
            return True
        self.left -= 1
        if not self.settles:
            port.block()
        return False


class StopEndLost(Fault):
    allowance = 0.9
    lost = False

    def hears(self, port, byte):
        console = port.console
        stop = console.is_stop(console.line.decode("ascii", "replace"))
        if self.struck is None or self.lost or byte != console.ends or not stop:
            return True
        self.lost = True
        return False


class StopReplyLost(Fault):
    lost = False

    def answers(self, kind, answer):
        if kind != "stop" or self.struck is None or self.lost:
            return answer
        self.lost = True
        return ""


class Deaf(Fault):
    allowance = 1.0

    def __init__(self, seconds):
        super().__init__()
        self.lasts = seconds
        self.deaf = False

    def spins(self, port):
        if self.once():
            port.loop.after(KNOCK, lambda: self.set(port, True))
            port.loop.after(KNOCK + self.lasts, lambda: self.set(port, False))

    def set(self, port, deaf):
        self.deaf = deaf
        port.note("deaf" if deaf else "hears again")
        (port.block if deaf else port.unblock)()

    def hears(self, port, byte):
        return not self.deaf


class Unread(Deaf):
    def set(self, port, deaf):
        super().set(port, deaf)
        self.deaf = False
        port.reads(not deaf)


class Late(Fault):
    patience = 200.0

    def __init__(self, seconds):
        super().__init__()
        self.seconds = self.lasts = seconds

    def lets(self, port, kind, line):
        if kind == "spin" and self.once():
            self.delay = self.seconds
        return True


class Cable(Fault):
    allowance = 2.0

    def __init__(self, seconds, name="ttyACM0", serial="FB0001", at=KNOCK):
        super().__init__()
        self.seconds, self.name, self.serial, self.at = seconds, name, serial, at
        self.lasts = seconds or 0.0
        self.settles = seconds is not None and serial == "FB0001"
        self.patience = 75.0 if self.settles else 150.0

    def spins(self, port):
        if not self.once():
            return
        port.loop.after(self.at, port.unplug)
        if self.seconds is not None:
            port.loop.after(self.at + self.seconds, lambda: port.plug(self.name, self.serial))


class CableInCommand(Cable):
    """Half of the command gets through."""

    def spins(self, port):
        pass

    def comes(self, port, data):
        text = data.decode("ascii", "replace")
        if port.console.is_spin(text) and self.once():
            port.loop.after(0, port.unplug)
            port.loop.after(self.seconds, lambda: port.plug(self.name, self.serial))
            return data[: len(data) // 2]
        return data


class Flood(Fault):
    def __init__(self, with_line_ends):
        super().__init__()
        self.with_line_ends = with_line_ends

    def spins(self, port):
        if self.once():
            port.loop.after(KNOCK, lambda: port.fill(self.with_line_ends, 100_000_000))


class Intruder(Fault):
    """Another program writes to the port."""

    allowance = 0.9
    lasts = 2.0

    def __init__(self, text, every, times):
        super().__init__()
        self.text, self.every, self.times = text, every, times

    def spins(self, port):
        if self.once():
            for time in range(self.times):
                port.loop.after(0.05 + time * self.every, lambda: self.write(port))

    def write(self, port):
        if port.far is not None:
            port.note("intruder", self.text)
            port.take(self.text.replace("\n", port.console.line_end).encode())


class Continuation(Fault):
    """Something is half typed: each line is only more of it, until an empty one or Ctrl-C comes."""

    allowance = 0.9
    within = False

    def spins(self, port):
        if self.once():
            self.within = True

    def hears(self, port, byte):
        if self.within and byte == 3:
            self.leave(port)
            return False
        return True

    def leave(self, port):
        self.within = False
        port.say(port.console.eol + port.console.now_prompt())

    def lets(self, port, kind, line):
        if not self.within:
            return True
        if line.strip():
            port.say("... ")
        else:
            self.leave(port)
        return False


class OpenBracket(Continuation):
    """The same from the start, in whatever leaves a bracket or a quote open; and only Ctrl-C gets out."""

    way_out = "\x03"

    def lets(self, port, kind, line):
        if not self.within:
            self.within = line.count("(") > line.count(")") or line.count('"') % 2 == 1
        if self.within:
            port.say("... ")
        return not self.within


class EchoDoubled(Fault):
    def echoes(self, echo):
        return "".join(2 * letter for letter in echo)


class Nuls(Fault):
    def answers(self, kind, answer):
        return "\0".join(answer)


class SpinByte(Fault):
    """One byte of the spin command is lost, doubled or flipped."""

    def __init__(self, what, index, bit=0):
        super().__init__()
        self.what, self.index, self.bit = what, index, bit
        self.meant = None  # as the tool wrote it
        self.shadow = None  # a console that hears what was meant
        self.wrong = None  # whether what is said can be told from what should have been
        self.over = False  # the command was sent, and the next spin is another
        self.said, self.should = "", ""

    def comes(self, port, data):
        # A later one may come in one piece with what spoils the line before it.
        lines = re.split(r"[\r\n]+", data.decode("ascii", "replace"))
        spins = any(port.console.is_spin(line) for line in (lines[:1] if self.meant is None else lines))
        if self.meant is None:
            if not spins:
                return data
            self.meant = b""
            self.shadow = copy_of(port.console)
        elif spins or self.over:
            self.over = True
            return data
        came = bytearray()
        for byte in data:
            came += self.changed(byte) if len(self.meant) == self.index else bytes([byte])
            self.meant += bytes([byte])
            echo, line = self.shadow.feed(byte)
            self.should += echo + (self.shadow.hear(line) if line is not None else "")
        return bytes(came)

    def changed(self, byte):
        self.once()
        return {"lost": b"", "doubled": bytes([byte, byte]), "flipped": bytes([byte ^ 1 << self.bit])}[self.what]

    def echoes(self, echo):
        self.said += echo if self.meant is not None else ""
        return echo

    def answers(self, kind, answer):
        self.said += answer if self.meant is not None else ""
        return answer

    def spins(self, port):
        if self.wrong is None and self.struck is not None and not self.over:
            # An empty line more is no other command.
            only_an_empty_line = self.what == "doubled" and self.meant[self.index] == port.console.ends
            self.wrong = self.said != self.should and not only_an_empty_line


def copy_of(console):
    class NoClock:
        @staticmethod
        def at(_when, _call):
            pass

    shadow = CONSOLES[type(console).__name__.lower()](Craft(NoClock))
    shadow.stored, shadow.running = console.stored, console.running
    shadow.menu, shadow.entered, shadow.line = list(console.menu), console.entered, console.line
    return shadow


ENDINGS = {"sigkill": signal.SIGKILL, "sigstop": signal.SIGSTOP, "sigterm": signal.SIGTERM, "sighup": signal.SIGHUP,
           "sigquit": signal.SIGQUIT, "sigabrt": signal.SIGABRT, "stop-key": "a key"}


def ended_by(ending, fault, after=0.2):
    """The same fault, in which the program is ended so long after the spin began."""
    fault.ends_by, fault.ended = ENDINGS[ending], None
    spins = fault.spins

    def end(port):
        fault.ended = now()
        if ending == "stop-key":
            port.person.stops()
        elif port.person.process.poll() is None:
            os.kill(port.person.process.pid, fault.ends_by)

    def spins_and_ends(port):
        if fault.struck is None:
            port.loop.after(after, lambda: end(port))
        spins(port)

    fault.spins = spins_and_ends
    return fault


def named():
    """Each fault by its name: how it is made."""
    faults = {
        "none": Fault,
        "stop-lost-1": lambda: StopLost(1),
        "stop-lost-3": lambda: StopLost(3),
        "stop-lost-all": lambda: StopLost(1000),
        "stop-end-lost": StopEndLost,
        "stop-reply-lost": StopReplyLost,
        "cable-never-back": lambda: Cable(None),
        "cable-other-serial": lambda: Cable(1, serial="FB0002"),
        "cable-in-command": lambda: Cable(1, at=0.0),
        "cable-in-half-command": lambda: CableInCommand(1),
        "flood-lines": lambda: Flood(True),
        "flood": lambda: Flood(False),
        "intruder-at": lambda: Intruder("AT\n", 0.3, 6),
        "intruder-line-ends": lambda: Intruder("\n", 0.2, 10),
        "half-typed": lambda: Intruder("xyz", 0.15, 3),
        "continuation": Continuation,
        "open-bracket": OpenBracket,
        "echo-doubled": EchoDoubled,
        "nuls": Nuls,
    }
    for ending in ENDINGS:
        for fault in ("none", "stop-lost-3", "deaf-3", "cable-2", "cable-2-renamed"):
            faults[f"{ending}+{fault}"] = lambda ending=ending, fault=fault: ended_by(ending, made(fault))
    for seconds in (1, 2, 3, 4, 6):
        faults[f"deaf-{seconds}"] = lambda seconds=seconds: Deaf(seconds)
    for seconds in (3, 6):
        faults[f"unread-{seconds}"] = lambda seconds=seconds: Unread(seconds)
    for seconds in (1, 1.5, 2, 2.5, 3, 10):
        faults[f"late-{seconds}"] = lambda seconds=seconds: Late(seconds)
    for seconds in (0.3, 0.6, 1, 1.5, 2, 5, 10):
        faults[f"cable-{seconds}"] = lambda seconds=seconds: Cable(seconds)
        faults[f"cable-{seconds}-renamed"] = lambda seconds=seconds: Cable(seconds, name="ttyACM1")
    return faults


def made(name, seed=0):
    """Also spin-lost-7, spin-doubled-7, spin-flipped-7."""
    if name.startswith("spin-"):
        _, what, index = name.split("-")
        return SpinByte(what, int(index), (int(index) * 5 + seed) % 7)
    return named()[name]()
