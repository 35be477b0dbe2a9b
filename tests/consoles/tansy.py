"""A structured one of these days: sections of keys and typed values, quoted texts, fractions, units, a status line with
a code after each answer; a pin in use has to be set free first; the prompt tells whether anything is not yet kept."""

import re

from engine import Console as Base, Refused, number

HELP = """show                          everything
show drives|frame|mount|imu|node   one part of it
set drive.N.output = "NAME"   the output of a drive
set drive.N.invert = BOOL     true: the other way round
unset drive.N.output          gives the output free
set frame.props = "NAME"      "inward" or "outward", as seen in front
set mount = { roll = R, pitch = P, yaw = Y }   degrees
spin drive.N level=0.0..1.0 for=Nms
halt                          all drives
commit                        to flash
reboot"""
SWEEPS = {"in": "inward", "out": "outward"}


class Console(Base):
    pads = [f"{bank}:{n}" for bank in ("left", "right") for n in range(5)]
    limits = (0.03, 0.08, 1.0)
    eol = "\n"
    numbering = {"quad-x": ["front-right", "rear-right", "rear-left", "front-left"],
                 "hex-x": ["front-right", "right", "rear-right", "rear-left", "left", "front-left"]}

    def banner(self):
        return ["# tansy node, 3 cores up, flash ok", "# type help"]

    def prompt(self):
        return f"tansy ({'clean' if self.kept == self.stored else 'changed'}) $ "

    def refusal(self, why):
        return [f"error = \"{why}\"", "-- 4 rejected"]

    def do(self, line):
        yield from self.answer(" ".join(line.split()))
        if not self.gone:
            yield "-- 0 done"

    def answer(self, line):
        stored = self.stored
        parts = {"node": self.node, "drives": self.drives, "frame": self.props, "mount": self.angles, "imu": self.imu}
        if line == "help":
            return HELP.split("\n")
        if line == "show":
            tuning = [f"gain{n} = {n * 7 % 31 / 10}" for n in range(30)]
            return [*self.node(), "[tuning]", *tuning, *self.drives(), *self.props(), *self.angles()]
        if (found := re.fullmatch(r"show (\w+)", line)) and found[1] in parts:
            return parts[found[1]]()
        if found := re.fullmatch(r'set drive\.(\w+)\.output ?= ?"(.*)"', line):
            self.give(self.motor(found[1]), self.output(found[2]))
        elif found := re.fullmatch(r"unset drive\.(\w+)\.output", line):
            self.put(self.motor(found[1]), None)
        elif found := re.fullmatch(r"set drive\.(\w+)\.invert ?= ?(true|false)", line):
            self.reverse(self.motor(found[1]), found[2] == "true")
        elif found := re.fullmatch(r'set frame\.props ?= ?"(in|out)ward"', line):
            stored.props = found[1]
        elif found := re.fullmatch(r"set mount ?= ?\{ ?roll ?= ?(\S+), ?pitch ?= ?(\S+), ?yaw ?= ?(\S+?) ?\}", line):
            stored.mount = [number(found[n], -180, 360) for n in (3, 2, 1)]
        elif found := re.fullmatch(r"spin drive\.(\w+) level=(\S+) for=(\d+)ms", line):
            self.spin(self.motor(found[1]), number(found[2], 0, 1, float), number(found[3], 1, 5000) / 1000)
        elif line == "halt":
            self.stop()
        elif line == "commit":
            self.keep()
        elif line == "reboot":
            self.restart()
        else:
            raise Refused("cannot parse: " + line.replace('"', "'"))
        return []

    def output(self, name):
        if name not in self.pads:
            raise Refused("no output " + name)
        return name

    def give(self, motor, pad):
        if self.motor_on(pad) not in (None, motor):
            raise Refused(f"{pad} belongs to drive.{self.motor_on(pad) + 1}")
        self.put(motor, pad)

    def node(self):
        return ["[node]", 'board = "tansy-m"', 'firmware = "0.19.4"', 'serial = "t19-00382"']

    def drives(self):
        for motor, pad in enumerate(self.stored.pads):
            yield f"[drive.{motor + 1}]"
            yield f'output = "{pad or ""}"'
            yield f"invert = {'true' if motor in self.stored.backward else 'false'}"
            yield f"limit = {0.9 - motor / 100:.2f}"

    def props(self):
        return ["[frame]", f'props = "{SWEEPS[self.stored.props]}"', "arms = " + str(len(self.motors))]

    def angles(self):
        return ["mount = {{ roll = {2}, pitch = {1}, yaw = {0} }}".format(*self.stored.mount)]

    def imu(self):
        shown = {"accel": [-9.81 * share for share in self.craft.down()],
                 "gyro": [rate * 0.0174533 for rate in self.craft.rates()]}
        return ["[imu]", *(f"{name} = [{', '.join(f'{part:.3f}' for part in parts)}]" for name, parts in shown.items()),
                "temperature = 31.5"]

    map_words = {"motor": "1", "pin": "3"}
    sheet = {
        "help": "help", "identify": "show node", "whole-configuration": "show", "list-map": "show drives",
        "assign-pin": lambda v: f'set drive.{v.motor}.output = "{v.pin}"',
        "free-pin": lambda v: f"unset drive.{v.motor}.output", "read-turn": "show drives",
        "set-turn": lambda v: f"set drive.{v.motor}.invert = {'true' if v.backward else 'false'}",
        "read-props": "show frame", "set-props": lambda v: f'set frame.props = "{SWEEPS[v.props]}"',
        "read-mount": "show mount",
        "set-mount": lambda v: f"set mount = {{ roll = {v.roll}, pitch = {v.pitch}, yaw = {v.yaw} }}",
        "sense": "show imu", "stop-command": "halt",
        "spin-command": lambda v: f"spin drive.{v.motor} level={v.strength} for={v.ms}ms",
        "keep": "commit", "restarts": "reboot"}
