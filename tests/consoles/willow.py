"""Menus with a path in the prompt: every command may be typed from anywhere with its path, words may be cut short, tables have
headers. It sleeps until Enter is pressed, asks before it saves or restarts, and moves a pad away from whoever had it."""

import random

from engine import Ask, Console as Base, Refused, number
from craft import rotation

SEATS = {f"{arrow}-{face}": (yaw, 0, roll) for face, roll in (("up", 0), ("down", 180))
         for arrow, yaw in (("fwd", 0), ("right", 90), ("aft", 180), ("left", 270))}
MENUS = {"board": {"print": "", "set": "facing=SIDE", "sides": ""},
         "frame": {"print": "", "set": "props=inward|outward"},
         "outputs": {"print": "", "set": "N [pad=PAD|none] [dir=fwd|rev]", "spin": "N level=L% time=Tms", "stop": "[N]"},
         "sensors": {"print": ""},
         "system": {"about": "", "export": "", "restart": "[yes]", "save": "[yes]", "uptime": ""}}
ROOT = {"help": "", "quit": "", "up": ""}


def short(word, choices, what="command"):
    """The one choice that begins so."""
    found = [word] if word in choices else [each for each in choices if each.startswith(word)]
    if len(found) != 1:
        raise Refused(f"{'ambiguous' if found else 'no such'} {what} \"{word}\"")
    return found[0]


def unit(text, mark, most):
    return number(text.removesuffix(mark), 0, most)


class Console(Base):
    pads = ["PA0", "PA3", "PB1", "PB4", "PC6", "PC7", "PC8", "PC9"]
    seats = SEATS
    mounts = [rotation(*angles) for angles in SEATS.values()]
    unmounted = ["fwd-up"]
    restarts = "same"
    boot = 0.6
    limits = (4, 9, 100)
    numbering = {"quad-x": ["front-right", "front-left", "rear-left", "rear-right"],
                 "hex-x": ["front-right", "front-left", "left", "rear-left", "rear-right", "right"]}

    def fresh(self):
        super().fresh()
        self.path, self.opened = "", False

    def wake(self):
        self.awake = True
        self.say(self.eol + "willow is up. Press Enter to begin." + self.eol)

    def letter(self, letter):
        if self.opened:
            super().letter(letter)
        elif letter == self.ends:
            self.opened = True
            self.say(self.eol + "willow console, ? for help" + self.eol + self.prompt())

    def prompt(self):
        return f"willow /{self.path}> "

    def now_prompt(self):
        return self.prompt() if self.opened else ""

    def refusal(self, why):
        return [f"error: {why}"]

    def mount_told(self):
        return rotation(*SEATS[self.running.mount[0]])

    def do(self, line):
        words = line.split()
        path = self.path
        if words[0].startswith("/"):
            path = ""
            words[:1] = [word for word in words[0].split("/") if word]
        if words and not path and words[0] not in ROOT and words[0] != "?" and words[0] != "..":
            path = short(words.pop(0), [*MENUS, *ROOT], "menu")
            if path in ROOT:
                words.insert(0, path)
                path = ""
        if not words:
            self.path = path
            return []
        if words[0] in ("?", "help"):
            return self.help(path)
        if words[0] in ("..", "up"):
            self.path = ""
            return []
        if words[0] == "quit":
            self.path, self.opened = "", False
            return ["bye", "Press Enter to begin."]
        name = short(words[0], MENUS[path]) if path else short(words[0], ROOT)
        given, plain = {}, []
        for word in words[1:]:
            key, equals, value = word.partition("=")
            if equals:
                given[key] = value
            else:
                plain.append(word)
        return getattr(self, f"{path}_{name}")(plain, given)

    def help(self, path):
        return [f"  /{menu} {name} {about}".rstrip() for menu in ([path] if path else MENUS)
                for name, about in MENUS[menu].items()] + [f"  {name}" for name in ROOT]

    @staticmethod
    def fits(plain, given, most=0, least=0, keys=(), needed=False):
        if not least <= len(plain) <= most:
            raise Refused("value missing" if len(plain) < least else f"not expected: {plain[most]}")
        given = {short(key, keys, "property"): value for key, value in given.items()}
        if needed and len(given) != len(keys):
            raise Refused("value missing: " + " ".join(key for key in keys if key not in given))
        return given

    def board_print(self, plain, given):
        self.fits(plain, given)
        return ["  facing: " + self.stored.mount[0], "  vdd: 3.29V", "  temp: 34C"]

    def board_sides(self, plain, given):
        self.fits(plain, given)
        return ["  " + "  ".join(SEATS), "  (where the arrow points, and which face is up)"]

    def board_set(self, plain, given):
        self.stored.mount[0] = short(self.fits(plain, given, keys=("facing",), needed=True)["facing"], SEATS, "side")

    def frame_print(self, plain, given):
        self.fits(plain, given)
        return [f"  arms: {len(self.motors)}", f"  props: {self.stored.props}ward"]

    def frame_set(self, plain, given):
        way = self.fits(plain, given, keys=("props",), needed=True)["props"]
        self.stored.props = short(way, ("inward", "outward"), "value").removesuffix("ward")

    def outputs_print(self, plain, given):
        self.fits(plain, given)
        rows = [f"{m + 1:>3}  {pad or 'none':6}{('fwd', 'rev')[m in self.stored.backward]:6}{400 + 20 * (m % 3)}Hz   "
                f"{'run' if pad in [run.pin for run in self.craft.turning()] else 'idle'}"
                for m, pad in enumerate(self.stored.pads)]
        return ["  #  PAD   DIR   RATE    STATE", *rows]

    def outputs_set(self, plain, given):
        given = self.fits(plain, given, 1, 1, ("pad", "dir"))
        motor = self.motor(plain[0])
        if not given:
            raise Refused("nothing to set")
        if "dir" in given:
            self.reverse(motor, short(given["dir"], ("fwd", "rev"), "value") == "rev")
        if "pad" not in given:
            return []
        pad = None if given["pad"] == "none" else self.pad(given["pad"])
        loser = self.motor_on(pad) if pad else None
        if loser is not None and loser != motor:
            self.put(loser, None)
        self.put(motor, pad)
        return [f"note: {pad} taken from {loser + 1}"] if loser not in (None, motor) else []

    def outputs_spin(self, plain, given):
        given = self.fits(plain, given, 1, 1, ("level", "time"), needed=True)
        self.spin(self.motor(plain[0]), unit(given["level"], "%", 100) / 100, unit(given["time"], "ms", 10000) / 1000)
        return [f"spinning {plain[0]}"]

    def outputs_stop(self, plain, given):
        self.fits(plain, given, 1)
        self.stop(self.motor(plain[0]) if plain else None)
        return ["stopped"]

    def sensors_print(self, plain, given):
        self.fits(plain, given)
        acc = [-a + random.uniform(-0.004, 0.004) for a in self.craft.down()]
        rates = [a + random.uniform(-0.2, 0.2) for a in self.craft.rates()]
        return ["  SENSOR  X        Y        Z        UNIT", "  accel   {:<+9.3f}{:<+9.3f}{:<+9.3f}g".format(*acc),
                "  gyro    {:<+9.2f}{:<+9.2f}{:<+9.2f}deg/s".format(*rates), "  baro    1009.6   -        -        hPa"]

    def system_about(self, plain, given):
        self.fits(plain, given)
        return ["  board: willow-quad r2", "  firmware: catkin 0.9.7", "  serial: W-00318-K", "  built: with care"]

    def system_uptime(self, plain, given):
        self.fits(plain, given)
        return ["  4m12s"]

    def system_export(self, plain, given):
        self.fits(plain, given)
        stored = self.stored
        return [f"# {n} of {self.tells_everything}: tune{n}={n * 13 % 90}%" for n in range(1, self.tells_everything + 1)] + [
            f"/outputs set {m + 1} pad={pad or 'none'} dir={('fwd', 'rev')[m in stored.backward]}"
            for m, pad in enumerate(stored.pads)] + [f"/frame set props={stored.props}ward", f"/board set facing={stored.mount[0]}"]

    def sure(self, plain, given, question, then):
        self.fits(plain, given, 1)
        if plain:
            return then() if plain[0] in ("y", "yes") else ["not done"]
        return [Ask(f"{question} [y/N] ", lambda answer: then() if answer.lower() in ("y", "yes") else ["not done"])]

    def system_save(self, plain, given):
        def then():
            yield "writing..."
            yield 0.5
            self.keep()
            yield "done"
        return self.sure(plain, given, "overwrite what is stored?", then)

    def system_restart(self, plain, given):
        def then():
            self.restart()
            return ["restarting"]
        return self.sure(plain, given, "restart now?", then)

    map_words = {"motor": "1", "pin": "2", "turn": "3"}
    sheet = {
        "identify": "/system about", "whole-configuration": "/system export", "help": "?", "list-map": "/outputs print",
        "assign-pin": lambda v: f"/outputs set {v.motor} pad={v.pin}", "free-pin": lambda v: f"/outputs set {v.motor} pad=none",
        "read-turn": "/outputs print", "set-turn": lambda v: f"/outputs set {v.motor} dir={('fwd', 'rev')[v.backward]}",
        "read-props": "/frame print", "set-props": lambda v: f"/frame set props={v.props}ward",
        "read-mount": "/board print", "set-mount": lambda v: f"/board set facing={v.mount}",
        "sense": "/sensors print", "stop-command": "/outputs stop", "stop-each": lambda v: f"/outputs stop {v.motor}",
        "spin-command": lambda v: f"/outputs spin {v.motor} level={v.strength}% time={v.ms}ms",
        "keep": "/system save yes", "restarts": "/system restart yes", "leave": "quit"}
