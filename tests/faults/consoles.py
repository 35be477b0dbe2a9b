"""Five consoles, each written out by hand, none by interpreting a profile.

A console is fed byte by byte, echoes (where it does), and answers whole lines. It may be entered with a word,
which is lost with the cable; its settings and motors are not.
"""

import re

from craft import TURNS


class Refused(Exception):
    pass


def whole(text, least, most):
    if not re.fullmatch(r"-?\d+", text) or not least <= int(text) <= most:
        raise Refused(text)
    return int(text)


class Console:
    echo = True
    ends, ignored = 0x0D, 0x0A  # the byte that ends a line, and the one that is passed over
    line_end = "\r\n"  # as the tool is to send it
    eol = "\r\n"
    prompt = ""
    entered_with = None
    longest_line = 200
    at_once = True  # settings take effect at once
    spin_starts = stop_line = None  # patterns: the beginning of a spin, the whole line that stops all

    def __init__(self, craft):
        self.craft = craft
        # Right would be each motor at its place; the first two are swapped.
        pins = [craft.pin_at(place) for place in self.places]
        pins[0], pins[1] = pins[1], pins[0]
        self.stored = {"pins": pins, "backward": set(), "props": "in", "mount": [0, 0, 0]}
        self.kept = self.stored
        self.before = dict(self.copy(self.stored))
        self.restarting = False
        self.boot()

    @staticmethod
    def copy(settings):
        return {"pins": list(settings["pins"]), "backward": set(settings["backward"]), "props": settings["props"],
                "mount": list(settings["mount"])}

    def boot(self):
        self.stored = self.copy(self.kept)
        self.running = self.stored if self.at_once else self.copy(self.stored)
        self.restarting = False
        self.plugged()

    def plugged(self):
        """What the cable takes with it."""
        self.line = b""
        self.entered = self.entered_with is None
        self.menu = []

    def keep(self):
        self.kept = self.copy(self.stored)

    # What this console does with bytes.
    def feed(self, byte):
        """Its echo, and the line that this byte ended, or None."""
        if byte == self.ends:
            line, self.line = self.line.decode("ascii", "replace"), b""
            return (self.eol if self.echo and self.entered else ""), line
        if byte == self.ignored or byte < 0x20 or len(self.line) >= self.longest_line:
            return "", None
        self.line += bytes([byte])
        return (chr(byte) if self.echo and self.entered else ""), None

    def hear(self, line):
        """The whole answer to a line, prompt included."""
        if not self.entered:
            self.entered = line.strip() == self.entered_with
            return self.prompt if self.entered else ""
        if not line.strip():
            return self.now_prompt()
        lines = self.said_to(line.strip())
        return "".join(said + self.eol for said in lines) + ("" if self.restarting else self.now_prompt())

    def now_prompt(self):
        return self.prompt

    def said_to(self, line):
        try:
            return self.do(line)
        except Refused as refused:
            return [self.refusal(str(refused))]

    # What all of them can do with the craft.
    def spin(self, motor, strength, seconds=None):
        pin = self.running["pins"][motor]
        if pin is None:
            raise Refused("no pin")
        self.craft.drive(pin, strength, seconds)

    def stop(self, motor=None):
        self.craft.halt(None if motor is None else [self.running["pins"][motor]])

    def turn_seen(self, pin):
        turn = TURNS[self.craft.place[pin]]
        reversed_ = self.running["pins"].index(pin) in self.running["backward"]
        return {"cw": "ccw", "ccw": "cw"}[turn] if reversed_ else turn

    def motor(self, text, first=1):
        return whole(text, first, first + 3) - first

    def pin(self, text):
        if text not in self.craft.place:
            raise Refused(text)
        return text

    def is_spin(self, text):
        return re.match(self.spin_starts, text) is not None

    def is_stop(self, line):
        return re.fullmatch(self.stop_line, line.strip()) is not None


class Tarn(Console):
    """A verb, then its arguments; what ends a line is CR, LF is passed over."""

    prompt = "tarn> "
    places = ["rear-right", "front-left", "front-right", "rear-left"]
    highest = 0.12
    stop_typed = "halt every motor"
    limits = "4 12 100"
    spin_starts, stop_line = r"spin", r"halt every motor"

    def refusal(self, why):
        return "no: " + why

    def spin_typed(self, motor, strength, ms):
        return f"spin motor {motor} at {strength} for {ms}"

    def do(self, line):
        words = line.split()
        match words:
            case ["who", "are", "you"]:
                return ["board tarn-mini running pond 3.1.4", "serial T-77"]
            case ["say", word]:
                return ["said " + word]
            case ["tell", "everything"]:
                knobs = [f"knob {n} is {n * 31 % 700}" for n in range(40)]
                return knobs + self.do("tell wiring") + self.do("tell turning")
            case ["tell", "wiring"]:
                return [f"motor {n} drives {pin or 'nothing'}" for n, pin in enumerate(self.stored["pins"], 1)]
            case ["wire", "motor", motor, "to", pin]:
                self.stored["pins"][self.motor(motor)] = None if pin == "nothing" else self.pin(pin)
                return [f"motor {motor} now drives {pin}"]
            case ["tell", "props"]:
                return ["props sweep " + self.stored["props"] + "ward"]
            case ["sweep", "props", ("inward" | "outward") as way]:
                self.stored["props"] = way[:-4]
                return []
            case ["tell", "turning"]:
                way = {True: "flipped", False: "clockwise"}
                return [f"motor {n + 1} turns {way[n in self.stored['backward']]}" for n in range(4)]
            case ["turn", "motor", motor, ("clockwise" | "flipped") as way]:
                change = self.stored["backward"].add if way == "flipped" else self.stored["backward"].discard
                change(self.motor(motor))
                return [f"motor {motor} now turns {way}"]
            case ["tell", "mount"]:
                return ["mounted at yaw {} pitch {} roll {}".format(*self.stored["mount"])]
            case ["mount", "at", "yaw", yaw, "pitch", pitch, "roll", roll]:
                self.stored["mount"] = [whole(angle, -180, 180) for angle in (yaw, pitch, roll)]
                return []
            case ["spin", "motor", motor, "at", strength, "for", ms]:
                seconds = whole(ms, 1, 99999) / 1000
                self.spin(self.motor(motor), whole(strength, 0, 100) / 100, seconds)
                return [f"motor {motor} spins at {strength}"]
            case ["halt", "motor", motor]:
                self.stop(self.motor(motor))
                return [f"motor {motor} halted"]
            case ["halt", "every", "motor"]:
                self.stop()
                return ["every motor halted"]
            case ["tell", "feel"]:
                return ["feels x 0 y 0 z -1", "turns x 0 y 0 z 0"]
            case ["keep", "it"]:
                self.keep()
                return ["kept"]
            case ["start", "over"]:
                self.restarting = True
                return []
            case ["goodbye"]:
                return []
        raise Refused(line)


class Sedge(Console):
    """name = value; entered with a word; motors from zero; a spin has no end of its own; saving restarts."""

    ends, ignored, line_end, eol = 0x0A, 0x0D, "\n", "\n"
    prompt, entered_with = "# ", "edit"
    places = ["front-left", "rear-right", "rear-left", "front-right"]
    highest = 0.12
    stop_typed = "test.* = stop"
    limits = "0.04 0.12 1"
    spin_starts, stop_line = r"test\.\d ", r"test\.\* *= *stop"

    def refusal(self, why):
        return "!! " + why

    def spin_typed(self, motor, strength, _ms):
        return f"test.{motor} = {strength}"

    def do(self, line):
        name, equals, value = (part.strip() for part in line.partition("="))
        return self.set(name, value) if equals else self.get(name)

    def get(self, name):
        table = {"about": {"board": "sedge-6", "firmware": "reed", "version": "0.8", "serial": "S-5512"},
                 "output": {n: pin or "none" for n, pin in enumerate(self.stored["pins"])},
                 "direction": {pin: "reversed" if n in self.stored["backward"] else "normal"
                               for n, pin in enumerate(self.stored["pins"]) if pin},
                 "mount": dict(zip(("yaw", "pitch", "roll"), self.stored["mount"])),
                 "felt": {"accel.x": 0, "accel.y": 0, "accel.z": 9.80665, "gyro.x": 0, "gyro.y": 0, "gyro.z": 0},
                 "props": {"outward": "on" if self.stored["props"] == "out" else "off"},
                 "trim": {n: n * 17 % 90 for n in range(40)}}
        if name == "*":
            return [line for group in table for line in self.get(group + ".*")]
        group, _, key = name.partition(".")
        if group == "note":
            return [f"{name} = (unset)"]
        shown = {f"{group}.{k}": v for k, v in table.get(group, {}).items() if key in ("*", str(k))}
        if not shown:
            raise Refused(name)
        return [f"{k} = {v}" for k, v in shown.items()]

    def set(self, name, value):
        group, _, key = name.partition(".")
        if group == "test":
            if value == "stop":
                self.stop(None if key == "*" else self.motor(key, 0))
            elif not re.fullmatch(r"\d*\.?\d+", value) or float(value) > 1:
                raise Refused(value)
            else:
                self.spin(self.motor(key, 0), float(value))
        elif group == "output":
            self.put(self.motor(key, 0), None if value == "none" else self.pin(value))
        elif group == "direction" and value in ("normal", "reversed"):
            motor = self.stored["pins"].index(self.pin(key))
            (self.stored["backward"].add if value == "reversed" else self.stored["backward"].discard)(motor)
        elif name == "props.outward" and value in ("on", "off"):
            self.stored["props"] = "out" if value == "on" else "in"
        elif group == "mount" and key in ("yaw", "pitch", "roll"):
            self.stored["mount"][("yaw", "pitch", "roll").index(key)] = whole(value, -1800, 1800)
        elif (name, value) == ("save", "yes"):
            self.keep()
            self.restarting = True
            return ["save = done"]
        elif (name, value) == ("edit", "off"):
            self.entered = False
            return []
        else:
            raise Refused(name)
        return [f"{name} = {value}"]

    def put(self, motor, pin):
        if pin is not None and pin in self.stored["pins"] and self.stored["pins"].index(pin) != motor:
            raise Refused(pin + " is taken")
        self.stored["pins"][motor] = pin

    def now_prompt(self):
        return self.prompt if self.entered else ""


class Fell(Console):
    """A menu of numbered choices; the map is kept by pin; a spin has no end of its own."""

    ends, ignored, line_end = 0x0D, 0x0A, "\r"
    prompt = "choice> "
    places = ["rear-left", "rear-right", "front-left", "front-right"]
    highest = 0.12
    stop_typed = "x"
    limits = "1040 1120 2000"
    spin_starts, stop_line = r"4[\r]?$", r"x"

    def refusal(self, why):
        return why

    def spin_typed(self, motor, strength, _ms):
        return f"4 ; {motor} ; {strength}"

    def is_spin(self, text):
        return not self.menu and super().is_spin(text)

    def now_prompt(self):
        prompts = {(): "choice> ", ("1",): "wiring> ", ("1", "2"): "which pin> ", ("1", "3"): "which pin> ",
                   ("3",): "which picture> ", ("4",): "which motor> ", ("5",): "which motor> "}
        if len(self.menu) == 2 and self.menu[0] == "4":
            return "pulse> "
        if len(self.menu) == 3:
            return "which motor> "
        return prompts[tuple(self.menu)]

    def do(self, line):
        if line == "x":
            self.menu = []
            self.stop()
            return ["All motors stand still"]
        menu, self.menu = self.menu, self.menu[:1] if self.menu[:1] == ["1"] else []
        try:
            return self.choose(menu, line)
        except (Refused, ValueError):
            if menu and menu != ["1"]:
                return ["not possible: " + line]
            raise Refused("no choice " + line) from None

    def code(self, text):
        return whole(text, 101, 104) - 101

    def choose(self, menu, line):
        match menu:
            case []:
                return self.top(line)
            case ["1"]:
                return self.wiring(line)
            case ["1", "2"]:
                self.menu = ["1", "2", self.pin(line)]
            case ["1", "2", pin]:
                pins = self.stored["pins"]
                self.stored["pins"] = [None if was == pin else was for was in pins]
                self.stored["pins"][self.code(line)] = pin
            case ["1", "3"]:
                self.stored["pins"] = [None if was == self.pin(line) else was for was in self.stored["pins"]]
            case ["3"]:
                self.stored["mount"] = [whole(line, 1, 12), 0, 0]
            case ["4"]:
                self.code(line)
                self.menu = ["4", line]
            case ["4", code]:
                pulse = whole(line, 1000, 2000)
                self.spin(self.code(code), (pulse - 1000) / 1000)
                return [f"Motor {code} gets {line} us"]
            case ["5"]:
                self.stop(self.code(line))
                return [f"Motor {line} stands still"]
        return []

    def top(self, line):
        match line:
            case "0":
                return []
            case "1" | "3" | "4" | "5":
                self.menu = [line]
                return []
            case "2":
                return [f"The board lies as in picture {self.stored['mount'][0] or 1}"]
            case "6":
                return [f"Item {n} holds {n * 13 % 400}" for n in range(40)] + self.table()
            case "7":
                return ["This is a fell-4 with cairn 12"]
            case "8":
                self.restarting = True
                return []
            case "9":
                self.keep()
                return ["Settings stored"]
            case "10":
                return ["Pull 0 0 -1000 mg", "Turn 0 0 0 tenths"]
        raise Refused(line)

    def table(self):
        owner = {pin: 101 + n for n, pin in enumerate(self.stored["pins"])}
        return [f"Pin {pin} belongs to {owner.get(pin, 'nobody')}" for pin in self.craft.place]

    def wiring(self, line):
        if line == "0":
            self.menu = []
            return []
        if line == "1":
            return self.table()
        if line in ("2", "3"):
            self.menu = ["1", line]
            return []
        raise Refused(line)


class Brook(Console):
    """Short words in, one line of JSON out; no prompt, no echo."""

    echo = False
    ends, ignored, line_end, eol = 0x0A, 0x0D, "\n", "\n"
    places = ["rear-right", "front-left", "rear-left", "front-right"]
    highest = 0.12
    stop_typed = "stop"
    limits = "80 240 2000"
    spin_starts, stop_line = r"spin", r"stop"

    def refusal(self, why):
        return '{"re":"no","why":"' + why.replace('"', "'") + '"}'

    def spin_typed(self, motor, strength, ms):
        return f"spin {motor} {strength} {ms}"

    def do(self, line):
        return ['{"re":' + self.one(line.split(), line) + "}"]

    def one(self, words, line):
        match words:
            case ["ping", word]:
                return f'"pong","word":"{word}"'
            case ["id"]:
                return '"id","board":"brook-1","firmware":"rill","version":"7","serial":"B-90"'
            case ["recite"]:
                return '"recite","kept":[' + ",".join(str(n * 7 % 50) for n in range(60)) + "]"
            case ["seats"]:
                pins = enumerate(self.stored["pins"], 1)
                return '"seats","all":[' + ",".join(f'{{"m":{n},"pin":"{pin}"}}' for n, pin in pins) + "]"
            case ["seats", motor, pin]:
                self.stored["pins"][self.motor(motor)] = self.pin(pin)
                return f'"ok","m":{motor},"pin":"{pin}"'
            case ["props"]:
                return '"props","out":' + ("true" if self.stored["props"] == "out" else "false")
            case ["props", ("true" | "false") as out]:
                self.stored["props"] = "out" if out == "true" else "in"
                return f'"ok","out":{out}'
            case ["turn", motor]:
                return f'"turn","m":{motor},"way":{-1 if self.motor(motor) in self.stored["backward"] else 1}'
            case ["turn", motor, ("1" | "-1") as way]:
                change = self.stored["backward"].add if way == "-1" else self.stored["backward"].discard
                change(self.motor(motor))
                return f'"ok","m":{motor},"way":{way}'
            case ["mount"]:
                return '"mount","roll":{},"pitch":{},"yaw":{}'.format(*self.stored["mount"])
            case ["mount", roll, pitch, yaw]:
                self.stored["mount"] = [float(angle) for angle in (roll, pitch, yaw)]
                return f'"ok","roll":{roll},"pitch":{pitch},"yaw":{yaw}'
            case ["spin", motor, counts, ms]:
                seconds = whole(ms, 1, 99999) / 1000
                self.spin(self.motor(motor), whole(counts, 0, 2000) / 2000, seconds)
                return f'"ok","m":{motor},"counts":{counts}'
            case ["stop"]:
                self.stop()
                return '"ok","still":"all"'
            case ["stop", motor]:
                self.stop(self.motor(motor))
                return f'"ok","still":{motor}'
            case ["sense"]:
                return '"sense","acc":[0,0,1000],"gyro":[0,0,0]'
            case ["keep"]:
                self.keep()
                return '"ok","kept":true'
            case ["boot"]:
                self.restarting = True
                return '"ok","boot":true'
        raise Refused(line)


class Moor(Console):
    """Two letters and commas, no echo; what is set is stored, and takes effect after the restart."""

    echo = False
    at_once = False
    ends, ignored = 0x0A, 0x0D
    prompt = "moor:"
    places = ["rear-left", "front-right", "rear-right", "front-left"]
    highest = 0.12
    stop_typed = "ST"
    limits = "40 120 1000"
    spin_starts, stop_line = r"SP", r"ST"

    def refusal(self, why):
        return "-ERR " + why

    def spin_typed(self, motor, strength, ms):
        return f"SP,{motor},{strength},{ms}"

    def do(self, line):
        match [word.strip() for word in line.split(",")]:
            case ["EC", word]:
                return ["+EC " + word]
            case ["ID"]:
                return ["+ID moor-2 heather 2.2 M-31"]
            case ["RA"]:
                return [f"+RA {n} {n * 11 % 60}" for n in range(40)]
            case ["WL"]:
                return ["+WL " + " ".join(f"{n}:{pin or '-'}" for n, pin in enumerate(self.stored["pins"], 1))]
            case ["WM", motor, pin]:
                self.stored["pins"][self.motor(motor)] = None if pin == "-" else self.pin(pin)
                return [f"+WM {motor}:{pin}"]
            case ["PD"]:
                return ["+PD " + self.stored["props"].upper()]
            case ["PD", ("IN" | "OUT") as way]:
                self.stored["props"] = way.lower()
                return ["+PD " + way]
            case ["TL"]:
                way = {True: "B", False: "F"}
                return ["+TL " + " ".join(f"{n + 1}:{way[n in self.stored['backward']]}" for n in range(4))]
            case ["TM", motor, ("F" | "B") as way]:
                (self.stored["backward"].add if way == "B" else self.stored["backward"].discard)(self.motor(motor))
                return [f"+TM {motor}:{way}"]
            case ["OR"]:
                return [f"+OR {self.stored['mount'][0]}"]
            case ["OR", code]:
                self.stored["mount"][0] = whole(code, 0, 40)
                return ["+OR " + code]
            case ["SP", motor, strength, ms]:
                seconds = whole(ms, 1, 99999) / 1000
                self.spin(self.motor(motor), whole(strength, 0, 1000) / 1000, seconds)
                return [f"+SP {motor} {strength}"]
            case ["ST"]:
                self.stop()
                return ["+ST ALL"]
            case ["ST", motor]:
                self.stop(self.motor(motor))
                return [f"+ST {motor}"]
            case ["AC"]:
                return ["+AC 0 0 -1000"]
            case ["SV"]:
                self.keep()
                return ["+SV"]
            case ["RS"]:
                self.restarting = True
                return []
            case ["QT"]:
                return []
        raise Refused(line)


CONSOLES = {"tarn": Tarn, "sedge": Sedge, "fell": Fell, "brook": Brook, "moor": Moor}
