"""A person who knows one console, and sits before the program on `--machine` with the craft in their hands."""

import importlib
import json
import os
import re
import subprocess
import sys
import time

HERE = os.path.dirname(os.path.abspath(__file__))
ABILITIES = {"identify", "whole-configuration", "list-map", "assign-pin", "free-pin", "read-props", "props-in-command",
             "props-out-command", "read-turn", "set-turn-cw", "set-turn-ccw", "read-mount", "set-yaw", "set-pitch",
             "set-roll", "set-numbers", "turn-around", "sense", "stop-command", "spin-command", "keep", "restarts", "leave", "help"}
MOST_QUESTIONS = 150
PATIENCE = 240  # seconds without a word from the program


def asked_for(text):
    found = re.search(r"about the (\w+) motor", text)
    return found[1] if found else None


class Values(dict):
    __getattr__ = dict.__getitem__


class Person:
    def __init__(self, name, folder, seed, frame, props):
        self.kind = importlib.import_module(name.split("-")[0]).Console
        self.frame, self.props, self.folder = frame, props, folder
        self.home = os.path.join(folder, "home")
        os.makedirs(self.home, exist_ok=True)
        self.devices = os.path.join(folder, f"devices{seed}")
        command = [sys.executable, os.path.join(HERE, "process.py"), name, self.devices, str(seed), frame]
        self.craft = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        self.typed = self.points = self.questions = 0
        self.seconds = self.longest = 0.0
        self.log, self.said, self.missing, self.stuck, self.first_look = [], [], [], [], None
        self.codes = []
        self.pointed = self.misread = 0
        self.question = ""
        while not self.truth()["awake"]:  # whoever plugs it in waits until it is up
            time.sleep(0.1)
        time.sleep(1.0 if "-" in name else 0.2)

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.craft.stdin.close()
        self.craft.wait(10)

    def does(self, **what):
        self.craft.stdin.write(json.dumps(what) + "\n")
        self.craft.stdin.flush()
        return json.loads(self.craft.stdout.readline())

    def truth(self):
        return self.does(do="see", props=self.props)

    # Before the program.
    def sits_before(self, command):
        away = ("XDG_", "ARMWISE", "NO_COLOR", "ACCESSIBLE")
        environment = {key: value for key, value in os.environ.items() if not key.startswith(away)}
        environment |= {"HOME": self.home, "ARMWISE_DEVICES": self.devices, "LANG": "C.UTF-8"}
        self.log.append("$ " + " ".join(command))
        self.asked, self.same, self.questions = None, 0, 0
        began = time.monotonic()
        program = subprocess.Popen([*command, "--machine"], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                                   stderr=subprocess.STDOUT, text=True, env=environment)
        for line in program.stdout:
            self.hears(program, line)
        self.seconds = time.monotonic() - began
        return program.wait()

    def hears(self, program, line):
        try:
            told = json.loads(line)
        except ValueError:
            self.log.append("!! " + line.rstrip())
            return
        if told["type"] != "ask":
            if told.get("text"):
                self.said.append(told["text"])
                text = told["text"].replace("\n", " / ")
                self.log.append(f"{told.get('level', told['type'])}: {text}")
            return
        self.questions += 1
        answer = self.answers(told) if self.questions <= MOST_QUESTIONS else None
        self.log.append(f"? {told['id']}: {told['text']} {told.get('values') or ''} "
                        f"{'[' + told['suggestion'] + ']' if told.get('suggestion') else ''}")
        answer = answer or {"id": "stop"}
        self.log.append("    > " + " ".join(answer.values()))
        try:
            program.stdin.write(json.dumps({"id": told["id"], **answer}) + "\n")
            program.stdin.flush()
        except BrokenPipeError:
            pass

    def last_words(self):
        return " ".join(" ".join(self.said[-2:]).split())[-240:]

    def notes(self):
        found = [f"{self.misread} tables shown were not what is set"] * (self.misread > 0)
        found += [f"{what} left out" for what in dict.fromkeys(self.missing)]
        return found + list(dict.fromkeys(self.stuck)) + (["more questions than anybody answers"]
                                                          if self.questions > MOST_QUESTIONS else [])

    # Questions.
    def answers(self, told):
        kind, asked = told["kind"], told["id"]
        given = told.get("choices", {}).get("answer", [])
        if kind == "text":
            return {"answer": self.types(told)}
        if kind == "pose":
            sides = (pose for pose in ("nose-down", "right-side-down") if pose.replace("-", " ") in told["text"])
            self.does(do="hold", pose=next(sides, "level") if asked == "turn-right" else told["pose"])
            if asked == "turn-right":
                self.does(do="turn", after=0.6)
            return {"answer": "ready"}
        if kind == "spin":
            return self.saw()
        if asked in ("edge", "lid", "nose-half", "from-above", "hand", "strip"):
            return {"answer": self.of_the_spin(asked, told)}
        if asked == "spin-seen":
            seen = self.does(do="moved")
            self.longest = max(self.longest, seen["longest"])
            self.moved = seen["moved"]
            return {"answer": "yes" if len(seen["moved"]) == 1 and seen["still"] else "no"}
        if asked == "effect-seen":
            before = [arm for arm, _ in self.moved]
            self.saw()
            arms = [arm for arm, _ in self.moved]
            return {"answer": "unsure" if not arms else "same" if arms == before else "other"}
        if asked == "by-hand":
            self.stuck.append("by hand what the console can do: " + told["text"])
            return None
        if asked == "restart":
            self.does(do="restart")
            return {"answer": "yes"}
        if kind == "typed-word":
            return {"answer": told["word"]}
        if kind == "go":
            self.does(do="moved")
            return {"answer": "spin"}
        if kind == "confirm":
            return {"answer": "yes" if self.agrees(told) else "no"}
        return {"answer": self.chooses(told, list(given))}

    def of_the_spin(self, asked, told):
        if asked in ("hand", "strip"):
            self.saw()
        if asked == "from-above":
            return "yes"
        if len(self.moved) != 1:
            return {"nose-half": "no", "hand": "no", "strip": "still"}.get(asked, "unsure")
        (arm, turn), = self.moved
        if asked in ("hand", "strip") and arm != told["arm"]:
            return "no" if asked == "hand" else "still"
        toward = "nose" if (turn == "cw") == ("left" in arm) else "tail"  # where no arm lies on the nose
        return {"edge": toward, "strip": toward, "lid": "closing" if turn == "cw" else "opening", "hand": "yes",
                "nose-half": "yes" if arm.startswith("front") else "no"}[asked]

    def saw(self):
        seen = self.does(do="moved")
        self.longest = max(self.longest, seen["longest"])
        self.moved = seen["moved"]
        if len(seen["moved"]) != 1:
            return {"seen": "several" if seen["moved"] else "none"}
        return {"arm": seen["moved"][0][0], "turn": seen["moved"][0][1]}

    def chooses(self, told, given):
        self.question = told["text"]
        asked, text = told["id"], told["text"]
        if asked == "frame":
            return self.frame
        if asked == "numbering":
            return self.kind.numbering[self.frame][int(re.search(r"motor (\d+)", text)[1]) - 1]
        if asked == "props-now":
            return self.truth()["props"]
        if asked.startswith("point-"):
            return self.points_in_map(asked, told["choices"]["answer"])
        if asked.endswith("-word"):
            return self.points_at(told["choices"]["answer"], asked)
        wanted = {"all-opposite": "reverse", "arrow": "unknown", "display": "none", "mount": "nearest", "lean": "exact",
                  "props": self.props, "turn-now": "ccw", "sense-mount": "board",
                  "mount-list": "own" if hasattr(self.kind, "seats") else "skip"}
        wanted |= getattr(self.kind, "answers", {})
        if asked in wanted and wanted[asked] in given:
            return wanted[asked]
        if "none" in given:
            return "none"
        self.stuck.append(f"a choice: {asked}: {text} {given}")
        return given[0]

    def points_at(self, labels, asked):
        self.points += 1
        known = self.word_now(asked.removesuffix("-word"))
        for key, label in labels.items():
            if known in label.partition(" (in ")[0].split(" / "):
                return key
        self.stuck.append(f"{asked}: {known} is not among {labels}")
        return list(labels)[-1]

    def points_in_map(self, asked, labels):
        """A line about the motor asked for, or the part of it: they know which word it stands in."""
        angle = next((name for name in ("yaw", "pitch", "roll") if asked == "point-" + name or f"about {name}?" in self.question), None)
        if angle:
            self.points += 1
            if asked == "point-line":
                return str(1 + self.kind.angle_lines.index(angle))
            return next((key for key, label in labels.items() if re.fullmatch(r"-?\d+", label)), "none")
        axis = next((name for name in "xyz" if asked == "point-" + name or f"about {name}?" in self.question), None)
        if axis and hasattr(self.kind, "reading_lines"):
            self.points += 1
            if asked == "point-line":
                return next(key for key in labels if labels[key].startswith(self.kind.reading_lines["xyz".index(axis)]))
            return next((key for key, label in labels.items() if re.fullmatch(r"-?\d+", label)), "none")
        motor = {"first": 0, "second": 1, "third": 2}.get(asked_for(self.question), self.pointed)
        self.pointed = motor
        known = {"motor": self.kind.map_name(motor), "pin": self.truth()["pads"][motor]}
        if asked == "point-turn":
            now = self.truth()["backward"][motor]
            known["turn"] = self.words("turn", backward=(now, not now))[0]
        self.points += 1
        if asked == "point-other":
            return next((key for key, label in labels.items() if not any(
                re.search(rf"(?<![A-Za-z0-9]){re.escape(pad)}(?![A-Za-z0-9])", label)
                for pad in self.truth()["pads"])), "none")
        if asked == "point-line":
            for key in sorted(labels, key=lambda key: (len(key), key)):
                words = labels[key].split()
                numbers = {blank: int(self.kind.map_words[blank]) - 1 for blank in known}
                if all(number < len(words) and re.search(rf"(?<![A-Za-z0-9]){re.escape(known[blank])}(?![A-Za-z0-9])",
                                                         words[number]) for blank, number in numbers.items()):
                    return key
            # Nobody counts words: it is where both can be seen.
            seen = [key for key in labels if all(re.search(rf"(?<![A-Za-z0-9]){re.escape(each)}(?![A-Za-z0-9])", labels[key])
                                                 for each in known.values())]
            if seen:
                return seen[0]
            # A record of several lines: its heading, with the rest below it.
            shows = {blank: [int(key) for key, label in labels.items() if key.isdigit() and
                             re.search(rf"(?<![A-Za-z0-9]){re.escape(each)}(?![A-Za-z0-9])", label)]
                     for blank, each in known.items()}
            for line in shows["motor"]:
                if all(any(line <= there <= line + 8 for there in lines) for lines in shows.values()):
                    return str(line)
        else:
            blank = asked.removeprefix("point-")
            for key in sorted(labels, key=lambda key: (len(key), key)):
                if re.match(self.kind.map_words.get(blank, "0") + r"\D*$", key) and labels[key] == known.get(blank):
                    return key
            seen = [key for key in labels if labels[key] == known.get(blank)]
            if seen:
                return seen[0]
        self.stuck.append(f"{asked}: {known} is not among {labels}")
        return "none"

    def words(self, ability, **either):
        """The words in which two commands differ that set the one thing and the other."""
        sheet = self.kind.sheet.get("set-" + ability)
        if sheet is None:
            return None, None
        (key, values), = either.items()
        texts = [re.split(r"[\s=;(),\"!?]+", sheet(Values(self.meant("", {}, ""), **{key: value}))) for value in values]
        return next(((one, other) for one, other in zip(*texts) if one != other), (None, None))

    def word_now(self, ability):
        now = self.truth()
        match ability:
            case "props":
                return self.words("props", props=(now["props"], {"in": "out", "out": "in"}[now["props"]]))[0]
            case "turn":
                return self.words("turn", backward=(now["backward"][-1], not now["backward"][-1]))[0]
        return str(now["mount"][0])

    def agrees(self, told):
        """Looks at what is said to have been read; the rest is for the program to know."""
        if told["id"].endswith("-word"):
            word = told["text"].split(" Is it ")[-1].partition(" (in ")[0]
            return self.word_now(told["id"].removesuffix("-word")) in word.split(" / ")
        if told["id"] != "right":
            return True
        if re.search(r"stop motor .* alone\?", told["text"]):
            return "stop-each" in self.kind.sheet
        if told["text"].startswith("Nothing was sent yet"):
            return False  # its menus' answers are typed behind the command
        if found := re.search(r'another word for props (in|out)\. Is it "(.*)"', told["text"]):
            return found[2] == self.words("props", props=(found[1], {"in": "out", "out": "in"}[found[1]]))[0]
        if found := re.search(r'I read "(.*?)" \(in .*Is that the prop direction', told["text"]):
            return found[1] == self.word_now("props")
        if found := re.search(r"I read (.*?) \(in .*Is that which way they turn", told["text"]):
            return set(found[1].split(" / ")) <= set(self.words("turn", backward=(False, True)))
        read = re.findall(r'motor (\d+)(?: \(written "([^"]*)"\))? on pin (\S+?)[,.]? ', told["text"] + " ")
        if not read:
            return True
        right = {int(number): pin for number, _, pin in read} == dict(enumerate(self.truth()["pads"], 1))
        if right:
            self.codes = [written or number for number, written, _ in sorted(read, key=lambda each: int(each[0]))]
        else:
            self.misread += 1
        return right

    # What is typed.
    def types(self, told):
        asked, suggestion = told["id"], told.get("suggestion", "")
        if asked == "strength-limits":
            limits = " ".join(str(limit) for limit in self.kind.limits)
            self.same = self.same + 1 if asked == self.asked else 0
            self.asked = asked
            if self.same < 2:
                return re.sub(r"[^\d .,]", "", limits) if self.same else limits
            self.stuck.append("strength-limits: " + self.last_words())
            return "skip"
        if asked == "mount-codes":
            return " ".join(f"{code}={','.join(map(str, angles))}" for code, angles in self.kind.seats.items())
        if asked == "pin-now":
            return self.truth()["pads"][int(re.search(r"motor (\d+)", told["text"])[1]) - 1]
        if asked == "highest-pin":
            return self.kind.pads[-1]
        if asked in ("name", "craft"):
            return suggestion or "it"
        ability = re.sub(r"-(again|next)$", "", asked)
        if asked == "echo-word" and asked in self.kind.sheet:
            return self.kind.sheet[asked](Values(told["values"]))
        if asked == "again-next" and "out" in self.kind.sheet:
            return self.kind.sheet["out"]
        if asked.endswith("-next") and re.search(r"\(yes or no\)|\(yes/no\)", told["text"]):
            return "no" if asked == "again-next" else "yes"
        if ability not in ABILITIES:
            self.stuck.append(f"a question: {asked}: {told['text']}")
            return suggestion or "skip"
        self.same = self.same + 1 if asked == self.asked else 0
        self.asked = asked
        wanted = self.would_type(ability, told)
        if "Type the word" in told["text"] and wanted:
            if ability.startswith("set-turn"):
                return next(word for word in self.words("turn", backward=(False, True)) if word != self.word_now("turn"))
            way = self.props_meant(ability)
            return self.words("props", props=(way, {"in": "out", "out": "in"}[way]))[0]
        if asked.endswith("-next"):
            self.stuck.append(f"{asked}: {told['text']}")
            return "skip"
        if wanted is None or self.same > 2:
            if wanted is not None:
                self.missing.append(ability)
                self.stuck.append(f"{ability} asked again and again; last word: {self.last_words()}")
            return "skip"
        if suggestion and " ".join(suggestion.split()) == " ".join(wanted.split()):
            return suggestion
        self.typed += 1
        return wanted

    def would_type(self, ability, told):
        sheet, values = self.kind.sheet, told.get("values", {})
        known = {"turn-around": "set-turn", "set-turn-cw": "set-turn", "set-turn-ccw": "set-turn", "props-in-command": "set-props",
                 "props-out-command": "set-props"}.get(ability, ability)
        if known in ("set-yaw", "set-pitch", "set-roll") and known not in sheet:
            known = "set-mount"
        if known == "stop-command" and "stop-each" in sheet and "motor" in values:
            known = "stop-each"
        typed = sheet.get(known)
        if known == "set-numbers" and typed is None:
            return told.get("suggestion")  # their own console's list of commands says so
        return typed(self.meant(ability, values, told["text"])) if callable(typed) else typed

    def meant(self, ability, values, text):
        """What the question is about, in the person's own terms; what it does not say is as it is now."""
        now = self.truth()
        found = re.search(r'motor (?!only)([\w-]+)(?: \(written "([^"]*)"\))?', text)
        motor = self.motor_called(values.get("motor") or (found and (found[2] or found[1])) or "1")
        is_pin = now["pads"][motor - 1]
        backward = now["backward"][motor - 1]
        angles = dict(zip(("yaw", "pitch", "roll"), now["mount"] if len(now["mount"]) == 3 else (0, 0, 0)))
        angles.update({name: values[name] for name in angles if name in values})
        return Values(motor=motor, pin=values.get("pin", is_pin), is_pin=is_pin, is_backward=backward,
                      backward=not backward if ability == "turn-around" else self.way_meant(values, backward), props=self.props_meant(ability),
                      mount=self.seat_called(values.get("mount"), now["mount"][0]), strength=values.get("strength", self.kind.limits[1]),
                      ms=values.get("milliseconds", "1000"), **angles,
                      **{name: value for name, value in values.items() if name in ("qw", "qx", "qy", "qz") or name[0] == "m" and name[1:].isdigit()})

    def seat_called(self, code, now):
        """As their list has it: a number, or a word."""
        return next((seat for seat in getattr(self.kind, "seats", {}) if str(seat) == code), now if code is None else code)

    def motor_called(self, code):
        """Which motor the program means by a name, after those that it has read out of the map."""
        if code in self.codes:
            return self.codes.index(code) + 1
        return int(code) if code.isdigit() and 0 < int(code) <= len(self.truth()["pads"]) else 1

    def way_meant(self, values, now):
        if "turn" not in values:
            return now
        straight, reversed_ = self.words("turn", backward=(False, True))
        return {straight: False, reversed_: True}.get(values["turn"], now)

    def props_meant(self, ability):
        return {"props-in-command": "in", "props-out-command": "out"}.get(ability, self.truth()["props"])
