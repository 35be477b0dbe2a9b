"""Answers with a status code first, as a mail server does: no prompt, no echo, lines end with a line feed. Ways are kept by pin
as +1 and -1, angles are hundredths of a degree, a run has a length of its own and says when it is over."""

import random
import re

from engine import Console as Base, Refused, number

PROPS = {"1": "in", "2": "out"}
RUN_SECONDS = 1.2
HELP = ["ACCL      acceleration and rates", "ANGL      how the board is mounted; ANGL yaw pitch roll (0.01 deg)",
        "BOOT      start again", "CONF      all settings", "HELP      this list", "IDEN      who is this",
        "LINK n p  put output n on pin p; - is no pin", "NOOP      nothing", "OUTS      outputs and their pins",
        "PROP      rotor pattern; PROP 1 (in), PROP 2 (out)", f"RUN n l   run output n at l of 1000, {RUN_SECONDS:g} s",
        "SENS      sense of the pins; SENS p +1|-1", "STOP      all outputs to rest", "STOR      write settings"]


class Console(Base):
    pads = list("ABCDEFGH")
    echo, ends, ignored = False, "\n", "\r"
    at_once = False
    turns_by_pad = True
    spin_seconds_typed = False
    boot = 0.5
    limits = (40, 90, 1000)
    numbering = {"quad-x": ["front-left", "front-right", "rear-right", "rear-left"],
                 "hex-x": ["front-left", "front-right", "right", "rear-right", "rear-left", "left"]}

    def banner(self):
        return ["220 thorn ready"]

    def prompt(self):
        return ""

    def hear(self, line):
        super().hear(line) if line.strip() else self.say("500 empty line" + self.eol)

    def refusal(self, why):
        return [why if re.match(r"[45]\d\d ", why) and "within" not in why else "501 " + why]

    @staticmethod
    def several(code, lines):
        return [f"{code}-{line}" for line in lines] + [f"{code} end"]

    def do(self, line):
        stored = self.stored
        verb, *given = line.upper().split()
        match verb, given:
            case "NOOP", []:
                return ["200 ok"]
            case "HELP", []:
                return self.several(214, HELP)
            case "IDEN", []:
                return self.several(201, ["board thorn-h7 rev C", "firmware bramble 3.1.4", "serial 0047-12-9A"])
            case "CONF", []:
                knobs = [f"k{n:02} {n * 37 % 211}" for n in range(self.tells_everything)]
                return self.several(202, [*knobs, *self.outs(), *self.senses(), *self.board(), *self.rotors()])
            case "OUTS", []:
                return self.several(210, self.outs())
            case "LINK", [motor, pin]:
                return self.link(self.motor(motor), None if pin == "-" else self.pad(pin))
            case "SENS", []:
                return self.several(211, self.senses())
            case "SENS", [pin, sense]:
                if sense not in ("+1", "1", "-1"):
                    raise Refused("sense is +1 or -1")
                self.reverse(self.pad(pin), sense == "-1")
                return ["200 ok"]
            case "ANGL", []:
                return self.several(212, self.board())
            case "ANGL", [*angles] if len(angles) == 3:
                stored.mount[:] = [number(angle, -36000, 36000) / 100 for angle in angles]
                return ["200 ok"]
            case "PROP", []:
                return self.several(213, self.rotors())
            case "PROP", [way]:
                if way not in PROPS:
                    raise Refused("pattern is 1 or 2")
                stored.props = PROPS[way]
                return ["200 ok"]
            case "ACCL", []:
                return self.several(230, self.felt())
            case "RUN", [motor, level]:
                return self.run(self.motor(motor), number(level, 0, 1000) / 1000)
            case "STOP", []:
                self.stop()
                return ["250 at rest"]
            case "STOR", []:
                self.keep()
                return [0.4, "200 stored, counts after BOOT"]
            case "BOOT", []:
                self.restart()
                return ["221 booting"]
        raise Refused("500 unknown verb" if verb not in (each.split()[0] for each in HELP) else "501 wrong arguments")

    def link(self, motor, pin):
        other = self.motor_on(pin) if pin else None
        if other not in (None, motor):
            raise Refused(f"409 pin {pin} is taken by output {other + 1}")
        self.put(motor, pin)
        return ["200 ok"]

    def run(self, motor, level):
        if self.running.pads[motor] is None:
            raise Refused("409 no pin")
        self.spin(motor, level, RUN_SECONDS)
        run = self.craft.runs[-1]

        def over():
            if self.awake and run.off and run.off >= run.bound:  # not where it was stopped
                self.say(f"250 output {motor + 1} at rest{self.eol}")

        self.loop.after(RUN_SECONDS + 0.01, over)
        return [f"150 output {motor + 1} running"]

    def outs(self):
        return [f"out {motor + 1} pin {pin or '-'} pwm {400 - 50 * (motor % 2)}" for motor, pin in enumerate(self.stored.pads)]

    def senses(self):
        return [f"pin {pin} sense {'-1' if pin in self.stored.backward else '+1'}" for pin in self.pads]

    def board(self):
        return ["yaw {} pitch {} roll {}".format(*(round(100 * angle) for angle in self.stored.mount))]

    def rotors(self):
        return ["pattern " + next(code for code, way in PROPS.items() if way == self.stored.props)]

    def felt(self):
        acc = [-1000 * a + random.uniform(-4, 4) for a in self.craft.down()]
        rates = [a + random.uniform(-0.3, 0.3) for a in self.craft.rates()]
        return ["acc {:+.0f} {:+.0f} {:+.0f} mg".format(*acc), "rate {:+.1f} {:+.1f} {:+.1f} dps".format(*rates), "temp 31.4 C"]

    map_words = {"motor": "2", "pin": "4"}
    sheet = {
        "identify": "IDEN", "whole-configuration": "CONF", "help": "HELP", "list-map": "OUTS",
        "assign-pin": lambda v: f"LINK {v.motor} {v.pin}", "free-pin": lambda v: f"LINK {v.motor} -",
        "read-turn": "SENS", "set-turn": lambda v: f"SENS {v.pin} {('+1', '-1')[v.backward]}",
        "read-props": "PROP", "set-props": lambda v: f"PROP {('in', 'out').index(v.props) + 1}",
        "read-mount": "ANGL",
        "set-mount": lambda v: "ANGL {} {} {}".format(*(round(100 * float(a)) for a in (v.yaw, v.pitch, v.roll))),
        "sense": "ACCL", "stop-command": "STOP", "spin-command": lambda v: f"RUN {v.motor} {v.strength}",
        "keep": "STOR", "restarts": "BOOT"}
