"""Pads first, with lamps among them; a motor is given away by giving it to another pad; sentences; the mount is four
numbers in four settings, a quaternion."""

import math

from engine import Console as Base, Refused, among, number


class Console(Base):
    pads = [f"pad-{letter}" for letter in "abcdefghi"]
    unmounted = [1.0, 0.0, 0.0, 0.0]
    takes_props = False
    numbering = {"quad-x": ["front-right", "front-left", "rear-left", "rear-right"],
                 "hex-x": ["front-right", "front-left", "left", "rear-left", "rear-right", "right"]}

    def prompt(self):
        return "What now? "

    def refusal(self, why):
        return [f"I do not understand {why}."]

    def mount_told(self):
        w, x, y, z = self.running.mount
        size = math.sqrt(w * w + x * x + y * y + z * z) or 1
        w, x, y, z = (part / size for part in (w, x, y, z))
        return [[1 - 2 * (y * y + z * z), 2 * (x * y - w * z), 2 * (x * z + w * y)],
                [2 * (x * y + w * z), 1 - 2 * (x * x + z * z), 2 * (y * z - w * x)],
                [2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)]]

    def use(self, pad):
        spare = [name for name in self.pads if name not in self.wired]
        motor = self.motor_on(pad)
        return f"motor {motor + 1}" if motor is not None else {spare[0]: "the tail lamp", spare[2]: "a buzzer"}.get(pad, "nothing")

    def do(self, line):
        stored = self.stored
        match line.split():
            case ["commands"]:
                return ["who is this                       board and firmware", "tell all                          everything",
                        "tell pads                         what each pad drives", "let PAD drive motor NUMBER        changes it",
                        "tell turns                        which motors are reversed", "let motor NUMBER turn back|on     changes it",
                        "tell seat                         four numbers", "let seat W|X|Y|Z be NUMBER        one of them",
                        "tell weight                       accelerometer", "try motor NUMBER at PERCENT       spins it, 1 s",
                        "peace                             stops every motor", "keep all                          saves",
                        "wake anew                         restarts"]
            case ["who", "is", "this"]:
                return ["Nettle five, firmware sting 8.2, number N-5."]
            case ["tell", "all"]:
                return [f"Leaf {n} has {n * 3 % 50} hairs." for n in range(30)] + self.do("tell pads") + self.do("tell seat")
            case ["tell", "pads"]:
                return [f"{pad} drives {self.use(pad)}." for pad in self.pads]
            case ["let", pad, "drive", "motor", motor]:
                motor, pad = self.motor(motor), self.pad(pad)
                if self.motor_on(pad) is None and self.use(pad) != "nothing":
                    raise Refused("that, the pad is in use")
                if self.motor_on(pad) is not None:
                    self.put(self.motor_on(pad), None)
                self.put(motor, pad)
                return [f"{pad} drives motor {motor + 1}."]
            case ["tell", "turns"]:
                return [f"Motor {m + 1} turns {('on', 'back')[m in stored.backward]}." for m in self.motors]
            case ["let", "motor", motor, "turn", way]:
                self.reverse(self.motor(motor), among(way, ("on", "back")) == 1)
                return [f"Motor {motor} turns {way}."]
            case ["tell", "seat"]:
                return [f"Seat {name} is {value:.4f}." for name, value in zip("wxyz", stored.mount)]
            case ["let", "seat", name, "be", value]:
                stored.mount[among(name, "wxyz")] = number(value, -1, 1, float)
                return [f"Seat {name} is {float(value):.4f}."]
            case ["tell", "weight"]:
                return ["It weighs {:.3f} ahead, {:.3f} right, {:.3f} down.".format(*self.craft.down())]
            case ["try", "motor", motor, "at", percent]:
                self.spin(self.motor(motor), number(percent, 0, 100) / 100, 1.0)
                return [f"Motor {motor} turns for a second."]
            case ["peace"]:
                self.stop()
                return ["Peace."]
            case ["keep", "all"]:
                self.keep()
                return ["Kept."]
            case ["wake", "anew"]:
                self.restart()
                return ["Until then."]
        raise Refused(line)

    map_words = {"motor": "4", "pin": "1"}
    sheet = {
        "help": "commands", "identify": "who is this", "whole-configuration": "tell all", "list-map": "tell pads",
        "assign-pin": lambda v: f"let {v.pin} drive motor {v.motor}", "free-pin": None, "read-turn": "tell turns",
        "set-turn": lambda v: f"let motor {v.motor} turn {('on', 'back')[v.backward]}", "read-props": None,
        "read-mount": "tell seat", "set-mount": None, "sense": "tell weight", "stop-command": "peace",
        "spin-command": lambda v: f"try motor {v.motor} at {v.strength}", "keep": "keep all", "restarts": "wake anew"}
    spin_seconds_typed = False
