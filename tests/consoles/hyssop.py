"""A shell of its own for each part of the craft: its name enters it, back leaves it, and each knows only its own commands; stop
works in all. The prompt says where one is; what is done is not answered. A taken output is refused; a time is in seconds."""

import random

from engine import Console as Base, Refused, among, number

HELP = {"": ["motors    outputs and test", "frame     propellers", "board     how it is mounted, sensors",
             "system    settings, restart"],
        "motors": ["list", "output MOTOR OUTPUT|none", "reverse MOTOR yes|no", "test MOTOR PERCENT SECONDS"],
        "frame": ["show", "blades in|out"],
        "board": ["show", "yaw DEGREES", "pitch DEGREES", "roll DEGREES", "read      accelerometer and gyro"],
        "system": ["info", "dump", "save", "reboot"]}
ANYWHERE = ["stop      all motors", "back      leaves this shell", "help"]
ANGLES = ["yaw", "pitch", "roll"]


class Console(Base):
    pads = [f"pwm{n}" for n in range(1, 10)]
    unmounted = [0.0, 0.0, 0.0]
    boot, away = 0.5, 0.6
    limits = (4, 10, 100)
    numbering = {"quad-x": ["front-left", "front-right", "rear-left", "rear-right"],
                 "hex-x": ["left", "front-left", "front-right", "right", "rear-right", "rear-left"]}

    def fresh(self):
        super().fresh()
        self.shell = ""

    def banner(self):
        return ["", "hyssop 1.2 - type help", ""]

    def prompt(self):
        return f"hyssop:{self.shell}> " if self.shell else "hyssop> "

    def letter(self, letter):
        if letter == self.way_out:
            self.shell = ""
        super().letter(letter)

    def refusal(self, why):
        return ["error: " + why]

    def do(self, line):
        stored, words = self.stored, line.split()
        match [self.shell, *words]:
            case [shell, "help"]:
                return [f"  {each}" for each in HELP[shell] + ANYWHERE]
            case [_, "stop"]:
                self.stop()
                return ["motors stopped"]
            case [_, "back"]:
                self.shell = ""
            case ["", "motors" | "frame" | "board" | "system" as shell]:
                self.shell = shell
            case ["motors", "list"]:
                return self.outputs()
            case ["motors", "output", motor, output]:
                self.connect(self.motor(motor), None if output == "none" else self.pad(output))
            case ["motors", "reverse", motor, way]:
                self.reverse(self.motor(motor), among(way, ("no", "yes")) == 1)
            case ["motors", "test", motor, percent, seconds]:
                self.spin(self.motor(motor), number(percent, 0, 100) / 100, number(seconds, 0.05, 10, float))
            case ["frame", "show"]:
                return self.frame_told()
            case ["frame", "blades", way]:
                stored.props = ("in", "out")[among(way, ("in", "out"))]
            case ["board", "show"]:
                return self.board_told()
            case ["board", "yaw" | "pitch" | "roll" as name, degrees]:
                stored.mount[ANGLES.index(name)] = number(degrees, -360, 360, float)
            case ["board", "read"]:
                acc = [-a + random.uniform(-0.004, 0.004) for a in self.craft.down()]
                rates = [a + random.uniform(-0.2, 0.2) for a in self.craft.rates()]
                return ["accel  {:7.3f} {:7.3f} {:7.3f} g".format(*acc), "gyro   {:7.1f} {:7.1f} {:7.1f} deg/s".format(*rates)]
            case ["system", "info"]:
                return ["board     hyssop-mini", "firmware  1.2.4", "serial    0x3F09A1"]
            case ["system", "dump"]:
                knobs = [f"gain {n} = {n * 31 % 48 / 16:.4f}" for n in range(self.tells_everything)]
                return [*self.outputs(), *knobs, *self.frame_told(), *self.board_told()]
            case ["system", "save"]:
                return self.save()
            case ["system", "reboot"]:
                self.restart()
                return ["rebooting"]
            case _:
                raise Refused(f"{words[0]}? try help")
        return []

    def connect(self, motor, output):
        taken = output and self.motor_on(output)
        if taken not in (None, motor):
            raise Refused(f"{output} is used by motor {taken + 1}")
        self.put(motor, output)

    def outputs(self):
        backward = self.stored.backward
        return [f"motor {m + 1}   output {output or 'none':5}  reversed {('no', 'yes')[m in backward]:4} {400 + m % 3 * 20} Hz"
                for m, output in enumerate(self.stored.pads)]

    def frame_told(self):
        return [f"arms    {len(self.motors)}", f"blades  {self.stored.props}"]

    def board_told(self):
        return [f"{name:6} {angle:6.1f}" for name, angle in zip(ANGLES, self.stored.mount)]

    def save(self):
        yield 0.3
        self.keep()
        yield "saved"

    map_words = {"motor": "2", "pin": "4", "turn": "6"}
    sheet = {
        "help": "help", "identify": "system ; info ; back", "whole-configuration": "system ; dump ; back",
        "list-map": "motors ; list ; back", "assign-pin": lambda v: f"motors ; output {v.motor} {v.pin} ; back",
        "free-pin": lambda v: f"motors ; output {v.motor} none ; back", "read-turn": "motors ; list ; back",
        "set-turn": lambda v: f"motors ; reverse {v.motor} {('no', 'yes')[v.backward]} ; back",
        "read-props": "frame ; show ; back", "set-props": lambda v: f"frame ; blades {v.props} ; back",
        "read-mount": "board ; show ; back",
        "set-mount": lambda v: f"board ; yaw {v.yaw} ; pitch {v.pitch} ; roll {v.roll} ; back",
        "set-yaw": lambda v: f"board ; yaw {v.yaw} ; back", "set-pitch": lambda v: f"board ; pitch {v.pitch} ; back",
        "set-roll": lambda v: f"board ; roll {v.roll} ; back", "sense": "board ; read ; back", "stop-command": "stop",
        "spin-command": lambda v: f"motors ; test {v.motor} {v.strength} {float(v.ms) / 1000:g} ; back",
        "keep": "system ; save ; back", "restarts": "system ; reboot"}
