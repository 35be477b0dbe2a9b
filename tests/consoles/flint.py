"""Words with =, one question a motor, decimal commas, no echo; power has to be taken away for a restart."""

import re

from engine import Console as Base, Refused, among, number


def comma(value):
    return f"{value}".replace(".", ",")


class Console(Base):
    pads = [f"D{n}" for n in range(1, 9)]
    echo, ends, ignored = False, "\n", "\r"
    limits = ("0,03", "0,08", "1,0")
    restarts = "hand"
    numbering = {"quad-x": ["rear-left", "rear-right", "front-left", "front-right"],
                 "hex-x": ["left", "rear-left", "rear-right", "right", "front-left", "front-right"]}

    def prompt(self):
        return "? "

    def refusal(self, why):
        return ["- " + why]

    def decimal(self, text, least, most):
        if not re.fullmatch(r"-?\d+(,\d+)?", text):
            raise Refused(text)
        return number(text.replace(",", "."), least, most, float)

    def do(self, line):
        verb, *words = line.split()
        given = dict(word.split("=", 1) for word in words if "=" in word)
        return self.obey(verb, [word for word in words if "=" not in word], given)

    def obey(self, verb, plain, given):
        stored = self.stored
        match verb, plain, given:
            case "show", ["self"], {}:
                return ["self board=flint-7 firmware=spall version=3.3 serial=F0031"]
            case "show", ["all"], {}:
                return [f"knob n={n} v={comma(n * 1.5)}" for n in range(30)] + [
                    self.row(m) for m in self.motors] + self.obey("show", ["seat"], {})
            case "show", [], {"motor": motor}:
                return [self.row(self.motor(motor))]
            case "show", ["blades"], {}:
                return ["blades sweep=" + stored.props]
            case "show", ["seat"], {}:
                return ["seat yaw={} pitch={} roll={}".format(*(comma(float(a)) for a in stored.mount))]
            case "show", ["acc"], {}:
                return ["acc " + " ".join(f"{n}={comma(f'{-9.81 * a:.2f}')}" for n, a in zip("xyz", self.craft.down()))]
            case "set", [], {"motor": motor, "pad": pad}:
                self.put(self.motor(motor), None if pad == "off" else self.pad(pad))
                return ["+"]
            case "set", [], {"motor": motor, "sense": sense}:
                self.reverse(self.motor(motor), among(sense, ("norm", "rev")) == 1)
                return ["+"]
            case "set", ["blades"], {"sweep": way}:
                stored.props = ("in", "out")[among(way, ("in", "out"))]
                return ["+"]
            case "set", ["seat"], {"yaw": yaw, "pitch": pitch, "roll": roll}:
                stored.mount = [self.decimal(angle, -180, 360) for angle in (yaw, pitch, roll)]
                return ["+"]
            case "run", [], {"motor": motor, "power": power, "ms": ms}:
                self.spin(self.motor(motor), self.decimal(power, 0, 1), number(ms, 1, 9999) / 1000)
                return ["+"]
            case "stop", [], {}:
                self.stop()
                return ["+ stopped"]
            case "store", [], {}:
                self.keep()
                return ["+ stored"]
        raise Refused(f"{verb}?")

    def row(self, m):
        sense = "rev" if m in self.stored.backward else "norm"
        return f"motor={m + 1} pad={self.stored.pads[m] or 'off'} sense={sense} limit=400"

    sheet = {
        "identify": "show self", "whole-configuration": "show all", "list-map": lambda v: f"show motor={v.motor}",
        "assign-pin": lambda v: f"set motor={v.motor} pad={v.pin}", "free-pin": lambda v: f"set motor={v.motor} pad=off",
        "read-turn": lambda v: f"show motor={v.motor}",
        "set-turn": lambda v: f"set motor={v.motor} sense={'rev' if v.backward else 'norm'}",
        "read-props": "show blades", "set-props": lambda v: f"set blades sweep={v.props}", "read-mount": "show seat",
        "set-mount": lambda v: "set seat yaw={} pitch={} roll={}".format(*(comma(a) for a in (v.yaw, v.pitch, v.roll))),
        "sense": "show acc", "stop-command": "stop",
        "spin-command": lambda v: f"run motor={v.motor} power={comma(v.strength)} ms={v.ms}", "keep": "store"}
