"""One cell of the matrix: a fault, at a moment, on a console, before a front end. The real program, its real guard."""

import json
import os
import re
import shutil
import signal
import tempfile
from dataclasses import dataclass, field

import faults
from consoles import CONSOLES
from craft import Craft
from loop import Loop, now
from person import PEOPLE
from port import Port

MOMENTS = ("check", "proof", "teach")
SPIN = {"check": 0.3, "proof": 0.3, "teach": 1.0}  # seconds; the last is the program's own
AT_ONCE = 0.1  # once an echo or a confirmation is wrong
LEAVING = 0.5
WORD_WITHIN = 1.5  # of the end of a spin whose motor turns on
PROFILES = os.path.join(os.path.dirname(os.path.abspath(__file__)), "../../fixtures/profiles")


@dataclass(frozen=True)
class Cell:
    fault: str
    moment: str
    console: str
    front: str
    seed: int = 0

    def __str__(self):
        return f"{self.fault},{self.moment},{self.console},{self.front}"


@dataclass
class Result:
    cell: Cell
    status: int = 0
    failures: list = field(default_factory=list)
    longest: float = 0.0  # seconds that a motor turned
    runs: list = field(default_factory=list)
    late: float = 0.0  # by how much the machine was late
    struck: bool = False
    over_highest: bool = False
    log: list = field(default_factory=list)
    raw: str = ""


def command_for(program, cell, folder, way_out):
    profile = os.path.join(PROFILES, cell.console + ".json")
    if cell.moment != "teach":
        if way_out is not None:
            with open(profile, encoding="utf-8") as file:
                known = json.load(file)
            known["open"]["abandon"] = way_out
            profile = os.path.join(folder, cell.console + ".json")
            with open(profile, "w", encoding="utf-8") as file:
                json.dump(known, file)
        return [program, "bench", "--profile", profile, "--frame", "quad-x", "--props", "in", "--leave-mount",
                "--spin-time", "300", "--craft", "fault bench", "--output", os.path.join(folder, "record.json")]
    with open(profile, encoding="utf-8") as file:
        draft = json.load(file)
    del draft["spin"]
    half_taught = os.path.join(folder, "draft.json")
    with open(half_taught, "w", encoding="utf-8") as file:
        json.dump(draft, file)
    return [program, "teach", "--from", half_taught, "--name", cell.console, "--frame", "quad-x"]


def environment_for(folder):
    away = ("XDG_", "ARMWISE", "NO_COLOR", "ACCESSIBLE")
    kept = {name: value for name, value in os.environ.items() if not name.startswith(away)}
    return {**kept, "HOME": os.path.join(folder, "home"), "ARMWISE_DEVICES": os.path.join(folder, "devices"),
            "TERM": "xterm-256color", "LANG": "C.UTF-8"}


def run(program, cell, fault=None):
    folder = tempfile.mkdtemp(prefix="armwise-fault-")
    os.mkdir(os.path.join(folder, "home"))
    loop = Loop()
    fault = fault or faults.made(cell.fault, cell.seed)
    port = Port(loop, os.path.join(folder, "devices"), CONSOLES[cell.console](Craft(loop)), fault)
    command = command_for(program, cell, folder, fault.way_out)
    person = PEOPLE[cell.front](loop, port, command, environment_for(folder), cell.moment)
    port.person = person
    try:
        result = Result(cell)
        if not loop.run(person.ended, fault.patience):
            result.failures.append("did not end")
            os.kill(person.process.pid, signal.SIGKILL)
            person.process.wait()
        ended = now()
        result.status = person.process.returncode
        loop.run(lambda: False, 0.1)  # what is still on its way to the screen
        # The guard may still have something to do; so may a cable that is on its way back.
        rest = max(0.0, (fault.struck or 0) + fault.lasts - now()) + fault.allowance + 1.5
        loop.run(lambda: not port.craft.turning(), rest)
        judge(result, cell, port, person, ended)
        result.late, result.runs = loop.latest, port.craft.runs
        result.log, result.raw = port.log, person.raw
        return result
    finally:
        if port.far is not None:
            port.unplug()
        shutil.rmtree(folder, ignore_errors=True)


def judge(result, cell, port, person, ended):
    fault, craft, console = port.fault, port.craft, port.console
    slack = min(port.loop.latest, 0.1)
    result.struck = fault.struck is not None
    result.longest = max((each.lasted() for each in craft.runs), default=0.0)
    fail = result.failures.append
    no_more = fault.ends_by in (signal.SIGKILL, signal.SIGSTOP)  # the program itself can do nothing any more
    if result.status == -signal.SIGKILL and "did not end" not in result.failures and not no_more:
        fail("killed")
    if not result.struck and cell.fault not in ("echo-doubled", "nuls") and not cell.fault.startswith("spin-"):
        fail("never came so far")
    for each in craft.runs:
        judge_run(fail, each, cell, port, person, slack)
    wrong = getattr(fault, "wrong", None)
    result.over_highest = any(each.strength > console.highest + 1e-9 for each in craft.runs)
    if result.over_highest and console.echo:
        fail("above the highest")
    if wrong:
        lasted = next(each.lasted() for each in craft.runs if each.on >= fault.struck)
        if lasted > AT_ONCE + slack:
            fail(f"wrong for {lasted * 1000:.0f} ms")
    if fault.ends_by not in (signal.SIGKILL, signal.SIGSTOP, signal.SIGQUIT, signal.SIGABRT):
        judge_words(fail, result, person, craft, ended)
    # A program that is killed here was its session's leader: the kernel hangs the terminal up, and the guard's restoring
    # of it races with that. Under a shell, which leads the session, there is no such race.
    hung_up = fault.ends_by in (signal.SIGKILL, signal.SIGSTOP)
    if person.front != "machine" and not hung_up and person.modes_changed():
        fail("terminal changed")
    changed = console.running["pins"] != console.before["pins"] or console.kept["pins"] != console.before["pins"]
    if result.status in (1, 5) and changed:
        fail(f"status {result.status}, but the settings are changed")


def judge_run(fail, run_, cell, port, person, slack):
    spin_over = run_.on + SPIN[cell.moment]
    off = run_.off or now()
    # A way that came back late: from then on.
    due = spin_over
    for begin, end in port.blocked:
        if begin < off and (end or now()) > run_.on:
            due = max(due, end if end is not None else off)
    allowed = port.fault.allowance if port.fault.struck and off > port.fault.struck else 0.5
    if run_.off is None and due < off:
        fail("left on")
    elif off > due + allowed + slack:
        fail(f"{(off - due) * 1000:.0f} ms too long")
    if port.fault.ends_by is not None:
        return
    told = [when for when, level, _ in person.said if level == "danger" and when > run_.on]
    if off > spin_over + WORD_WITHIN + slack and (not told or told[0] > spin_over + WORD_WITHIN + slack):
        fail("no word while it turned on")


def judge_words(fail, result, person, craft, ended):
    last_question = max((when for when, what, _ in person.port.log if what == "asked"), default=0) + person.port.start
    # A terminal's last screen, with its question, is written once more behind the last words.
    since = min(last_question, ended - LEAVING)
    last_words = " ".join(text for when, _, text in person.said if when >= since)
    if result.status != 0 and len(re.findall(r"[a-z]{2,}", last_words.lower())) < 5:
        fail("ended without a word")
    on_at_the_end = any(each.on < ended and (each.off or now()) > ended for each in craft.runs)
    if on_at_the_end and not re.search(r"battery", last_words):
        fail("ended with a motor on and did not say so")
    for when, _, text in person.said:
        turning = any(each.on < when < (each.off or now()) for each in craft.runs)
        if turning and re.search(r"no motor turns|all motors are still|has been stopped", " ".join(text.split())):
            fail("said that none turned")
    dangers = "may be turning" in " ".join(text for _, _, text in person.said)
    if dangers and person.front != "machine" and "\a" not in person.raw:
        fail("no bell")
