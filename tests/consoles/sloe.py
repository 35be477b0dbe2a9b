"""Settings by name: a name alone tells its value, a name and a value set it, and list shows those that begin so, in two columns
under a heading. An answer ends in ok, or one line says what was bad. No prompt. Axes: x ahead, y left, z up, +1 at rest."""

import random

from engine import Console as Base, Refused, among, number

ANGLES, SWITCH = ("yaw", "pitch", "roll"), ("off", "on")
HELP = ["NAME            tells a setting", "NAME VALUE      changes it", "list [NAME]     all that begin so",
        "spin MOTOR % MS runs one: spin motor1 10 500", "stop            all motors", "save            to flash",
        "reset           starts again"]


class Console(Base):
    pads = [f"{bank}{n}" for bank in "XY" for n in range(1, 6)]
    boot, away = 0.7, 0.5
    limits = (3, 9, 100)
    numbering = {"quad-x": ["rear-left", "front-left", "front-right", "rear-right"],
                 "hex-x": ["rear-right", "right", "front-right", "front-left", "left", "rear-left"]}

    def banner(self):
        return ["sloe, firmware 0.9.4", "ok"]

    def prompt(self):
        return ""

    def refusal(self, why):
        return [f"bad: {why}"]

    def settings(self):
        stored = self.stored
        named = {"about.board": "sloe-30", "about.firmware": "0.9.4", "about.serial": "7F-1160"}
        for motor, pin in enumerate(stored.pads):
            named |= {f"motor{motor + 1}.pin": pin or "none", f"motor{motor + 1}.invert": SWITCH[motor in stored.backward],
                      f"motor{motor + 1}.limit": 95 - motor % 2 * 5}
        named["props.spin"] = stored.props
        named |= {f"board.{name}": angle for name, angle in zip(ANGLES, stored.mount)}
        x, y, z = (-a + random.uniform(-0.004, 0.004) for a in self.craft.down())
        named |= {f"accel.{axis}": f"{felt:.3f}" for axis, felt in (("x", x), ("y", -y), ("z", -z))}
        return named | {f"filter.k{n}": n * 11 % 37 for n in range(self.tells_everything)}

    def do(self, line):
        yield from self.answer(line.split())
        yield "ok"

    def answer(self, words):
        named = self.settings()
        match words:
            case ["help"]:
                return HELP
            case ["list", *start] if len(start) < 2:
                found = {name: value for name, value in named.items() if name.startswith("".join(start))}
                if not found:
                    raise Refused(f"name {start[0]}")
                return [f"{'NAME':16}VALUE", *(f"{name:16}{value}" for name, value in found.items())]
            case ["spin", motor, percent, ms]:
                self.spin(self.named(motor), number(percent, 0, 100) / 100, number(ms, 1, 9999) / 1000)
            case ["stop"]:
                self.stop()
            case ["save"]:
                return self.save()
            case ["reset"]:
                self.restart()
            case [name] if name in named:
                return [str(named[name])]
            case [name, value] if name in named:
                self.change(name, value)
            case _:
                raise Refused(f"name {words[0]}")
        return []

    def named(self, text):
        return among(text, [f"motor{m + 1}" for m in self.motors])

    def change(self, name, value):
        stored, (thing, what) = self.stored, name.split(".")
        match what:
            case "pin":
                self.put(self.named(thing), None if value == "none" else self.pad(value))
            case "invert":
                self.reverse(self.named(thing), among(value, SWITCH) == 1)
            case "spin":
                stored.props = ("in", "out")[among(value, ("in", "out"))]
            case "yaw" | "pitch" | "roll":
                stored.mount[ANGLES.index(what)] = number(value, -180, 360)
            case _:
                raise Refused(f"{name} cannot be changed")

    def save(self):
        yield 0.3
        self.keep()

    map_name = staticmethod(lambda motor: f"motor{motor + 1}")
    sheet = {
        "help": "help", "identify": "list about", "whole-configuration": "list", "list-map": "list motor",
        "assign-pin": lambda v: f"motor{v.motor}.pin {v.pin}", "free-pin": lambda v: f"motor{v.motor}.pin none",
        "read-turn": "list motor", "set-turn": lambda v: f"motor{v.motor}.invert {SWITCH[v.backward]}",
        "read-props": "props.spin", "set-props": lambda v: f"props.spin {v.props}", "read-mount": "list board",
        "set-mount": lambda v: " ; ".join(f"board.{name} {v[name]}" for name in ANGLES),
        "set-yaw": lambda v: f"board.yaw {v.yaw}", "set-pitch": lambda v: f"board.pitch {v.pitch}",
        "set-roll": lambda v: f"board.roll {v.roll}", "sense": "list accel", "stop-command": "stop",
        "spin-command": lambda v: f"spin motor{v.motor} {v.strength} {v.ms}", "keep": "save", "restarts": "reset"}
