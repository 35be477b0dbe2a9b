"""German, with umlauts and decimal commas. Settings are changed in a draft that is opened, taken over as a whole or thrown away;
the prompt says how many changes are open. The draft is refused where a pin stands in it twice. Storing asks whether one is sure."""

import copy
import random

from engine import Ask, Console as Base, Refused, among, number

AXES = ("roll", "nick", "gier")
TURNS, SWEEPS = ("normal", "verkehrt"), {"in": "innen", "out": "außen"}
HELP = ["zeige motoren | schrauben | lage | fühler | gerät | alles", "ändern                 öffnet einen Entwurf",
        "drehe MOTOR PROZENT MS", "halt                   alle Motoren", "speichern", "neustart", "Im Entwurf:",
        "motor MOTOR anschluss BUCHSE | kein", "motor MOTOR lauf normal | verkehrt", "schrauben innen | außen",
        "lage roll | nick | gier GRAD", "übernehmen             und schließen", "verwerfen"]


def drafted(*lines):
    return " ; ".join(("ändern", *lines, "übernehmen"))


def comma(value, digits):
    return f"{value:+.{digits}f}".replace(".", ",")


class Console(Base):
    pads = [f"B{n}" for n in range(1, 10)]
    boot = 0.6
    limits = (5, 11, 100)
    numbering = {"quad-x": ["front-left", "rear-right", "front-right", "rear-left"],
                 "hex-x": ["front-left", "rear-right", "front-right", "rear-left", "left", "right"]}

    def fresh(self):
        super().fresh()
        self.draft, self.changes = None, 0

    def banner(self):
        return ["Teasel 2, Fassung 1.8.3", "Selbstprüfung in Ordnung", ""]

    def prompt(self):
        return "Bereit> " if self.draft is None else f"Entwurf ({self.changes})> "

    def letter(self, letter):
        if letter == self.way_out:
            self.draft = None
        super().letter(letter)

    def refusal(self, why):
        for english, german in (("is not within", "liegt nicht in"), (" to ", " bis "), ("is no number", "ist keine Zahl"),
                                ("unknown", "unbekannt:")):
            why = why.replace(english, german)
        return [f"Fehler: {why}"]

    def do(self, line):
        words = line.lower().split()
        match words:
            case ["hilfe"]:
                return HELP
            case ["zeige", what]:
                return self.show(what, self.draft or self.stored)
            case ["halt"]:
                self.stop()
                return ["Alle Motoren stehen."]
            case ["ändern" | "drehe" | "speichern" | "neustart", *_] if self.draft:
                raise Refused("erst den Entwurf schließen")
            case ["motor" | "schrauben" | "lage" | "übernehmen" | "verwerfen", *_] if not self.draft:
                raise Refused("nur im Entwurf, siehe ändern")
            case ["ändern"]:
                self.draft, self.changes = copy.deepcopy(self.stored), 0
                return []
            case ["drehe", motor, percent, ms]:
                self.spin(self.motor(motor), number(percent, 0, 100) / 100, number(ms, 1, 9999) / 1000)
                return [f"Motor {motor} dreht."]
            case ["speichern"]:
                return [Ask("Einstellungen überschreiben (ja/nein)? ", self.save)]
            case ["neustart"]:
                self.restart()
                return ["Bis gleich."]
            case ["übernehmen"]:
                return self.take_over()
            case ["verwerfen"]:
                self.draft = None
                return ["Nichts geändert."]
        self.change(words)
        self.changes += 1
        return []

    def change(self, words):
        draft = self.draft
        match words:
            case ["motor", motor, "anschluss", pin]:
                draft.pads[self.motor(motor)] = None if pin == "kein" else self.pad(pin.upper())
            case ["motor", motor, "lauf", way]:
                motor, backward = self.motor(motor), among(way, TURNS) == 1
                (draft.backward.add if backward else draft.backward.discard)(motor)
            case ["schrauben", way]:
                draft.props = ("in", "out")[among(way, SWEEPS.values())]
            case ["lage", axis, degrees]:
                draft.mount[2 - among(axis, AXES)] = number(degrees, -180, 360)
            case _:
                raise Refused(f"verstehe nicht: {' '.join(words)}")

    def take_over(self):
        draft, self.draft = self.draft, None
        used = [pin for pin in draft.pads if pin]
        twice = sorted({pin for pin in used if used.count(pin) > 1})
        if twice:
            raise Refused(f"Anschluss {', '.join(twice)} doppelt belegt, nichts geändert")
        vars(self.stored).update(vars(draft))
        return [f"{self.changes} {'Änderung' if self.changes == 1 else 'Änderungen'} übernommen."]

    def save(self, answer):
        if answer.lower() != "ja":
            return ["Nicht gespeichert."]
        self.keep()
        return [0.4, "Gespeichert."]

    def show(self, what, of):
        match what:
            case "gerät":
                return ["Gerät Teasel 2", "Fassung 1.8.3", "Nummer 40-771-ß"]
            case "motoren":
                return [f"Motor {m + 1}: Anschluss {pin or 'kein'}, Lauf {TURNS[m in of.backward]}, {400 - m % 2 * 50} Hz"
                        for m, pin in enumerate(of.pads)]
            case "schrauben":
                return [f"Schrauben: {SWEEPS[of.props]}", f"Arme: {len(self.motors)}"]
            case "lage":
                return [f"{axis.title()}: {of.mount[2 - n]}°" for n, axis in enumerate(AXES)]
            case "fühler":
                acc = [comma(-a + random.uniform(-0.004, 0.004), 3) for a in self.craft.down()]
                rates = [comma(a + random.uniform(-0.2, 0.2), 1) for a in self.craft.rates()]
                return ["Beschleunigung in g: {}  {}  {}".format(*acc), "Drehrate in °/s: {}  {}  {}".format(*rates)]
            case "alles":
                knobs = [f"Regler {n:02}: {comma(n * 17 % 40 / 8, 2)}" for n in range(self.tells_everything)]
                return [*self.show("motoren", of), *knobs, *self.show("schrauben", of), *self.show("lage", of)]
        raise Refused(f"unknown {what}")

    angle_lines = ["roll", "pitch", "yaw"]
    map_words = {"motor": "2", "pin": "4", "turn": "6"}
    sheet = {
        "help": "hilfe", "identify": "zeige gerät", "whole-configuration": "zeige alles", "list-map": "zeige motoren",
        "assign-pin": lambda v: drafted(f"motor {v.motor} anschluss {v.pin}"),
        "free-pin": lambda v: drafted(f"motor {v.motor} anschluss kein"), "read-turn": "zeige motoren",
        "set-turn": lambda v: drafted(f"motor {v.motor} lauf {TURNS[v.backward]}"),
        "read-props": "zeige schrauben", "set-props": lambda v: drafted(f"schrauben {SWEEPS[v.props]}"),
        "read-mount": "zeige lage",
        "set-mount": lambda v: drafted(f"lage gier {v.yaw}", f"lage nick {v.pitch}", f"lage roll {v.roll}"),
        "set-yaw": lambda v: drafted(f"lage gier {v.yaw}"), "set-pitch": lambda v: drafted(f"lage nick {v.pitch}"),
        "set-roll": lambda v: drafted(f"lage roll {v.roll}"), "sense": "zeige fühler", "stop-command": "halt",
        "spin-command": lambda v: f"drehe {v.motor} {v.strength} {v.ms}", "keep": "speichern ; ja", "restarts": "neustart"}
