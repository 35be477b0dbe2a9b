"""Registers in hexadecimal: a motor's pad and its reversing bit share one with other bits; the mount is another's low bits."""

from engine import Console as Base, Refused, number

from craft import rotation

SEATS = [(0, 0, 0), (90, 0, 0), (180, 0, 0), (270, 0, 0), (0, 0, 180), (90, 0, 180), (180, 0, 180), (270, 0, 180)]
RATE, FILTER = 0x0300, 0x60


class Console(Base):
    pads = [f"{n:X}" for n in range(1, 16)]
    mounts = [rotation(*angles) for angles in SEATS]
    unmounted = [0]
    numbering = {"quad-x": ["rear-right", "rear-left", "front-right", "front-left"],
                 "hex-x": ["rear-right", "rear-left", "front-right", "front-left", "left", "right"]}

    def prompt(self):
        return "@ "

    def refusal(self, why):
        return ["?"]

    def mount_told(self):
        return rotation(*SEATS[self.running.mount[0]])

    def registers(self):
        stored = self.stored
        held = {0x10 + n: n * 7 % 256 for n in range(16)}
        for motor, pad in enumerate(stored.pads):
            held[0x20 + motor] = int(pad or "0", 16) | (0x8000 if motor in stored.backward else 0) | RATE
        held[0x30] = stored.mount[0] | FILTER
        held[0x31] = int(stored.props == "out")
        return held

    def value(self, text, most):
        try:
            return number(int(text, 16), 0, most)
        except ValueError:
            raise Refused(text) from None

    def do(self, line):
        held = self.registers()
        match line.split():
            case ["v"]:
                return ["iris r7 petal 1.0 I0007"]
            case ["d"]:
                return [f"{at:02X}: {value:04X}" for at, value in held.items()]
            case ["d", first, last]:
                return [f"{at:02X}: {value:04X}" for at, value in held.items()
                        if self.value(first, 255) <= at <= self.value(last, 255)]
            case ["w", at, value]:
                at, value = self.value(at, 255), self.value(value, 0xFFFF)
                self.write(at, value)
                return [f"{at:02X}: {value:04X}"]
            case ["g"]:
                return ["g " + " ".join(f"{round(-2048 * a) & 0xFFFF:04X}" for a in self.craft.down())]
            case ["t", motor, strength, ms]:
                self.spin(self.motor(motor), self.value(strength, 255) / 255, number(ms, 1, 9999) / 1000)
                return [f"t {motor}"]
            case ["t", "0"]:
                self.stop()
                return ["t 0"]
            case ["s"]:
                self.keep()
                return ["s"]
            case ["z"]:
                self.restart()
                return []
        raise Refused(line)

    def write(self, at, value):
        stored = self.stored
        if at - 0x20 in self.motors:
            pad = f"{value & 0xFF:X}"
            self.put(at - 0x20, self.pad(pad) if pad != "0" else None)
            self.reverse(at - 0x20, bool(value & 0x8000))
        elif at == 0x30:
            stored.mount = [value & 7]
        elif at == 0x31:
            stored.props = "out" if value else "in"
        else:
            raise Refused("?")

    limits = ("08", "14", "FF")
    map_name = staticmethod(lambda motor: f"{0x20 + motor:X}")
    sheet = {
        "identify": "v", "whole-configuration": "d", "list-map": "d 20 27",
        "assign-pin": lambda v: f"w {0x1F + v.motor:02X} {int(v.pin, 16) | RATE | (0x8000 if v.is_backward else 0):04X}",
        "free-pin": lambda v: f"w {0x1F + v.motor:02X} {RATE | (0x8000 if v.is_backward else 0):04X}",
        "read-turn": "d 20 27",
        "set-turn": lambda v: f"w {0x1F + v.motor:02X} {int(v.is_pin, 16) | RATE | (0x8000 if v.backward else 0):04X}",
        "read-props": "d 31 31", "set-props": lambda v: f"w 31 {int(v.props == 'out'):04X}", "read-mount": "d 30 30",
        "set-mount": lambda v: f"w 30 {v.mount | FILTER:04X}", "sense": "g", "stop-command": "t 0",
        "spin-command": lambda v: f"t {v.motor} {v.strength} {v.ms}", "keep": "s", "restarts": "z"}
    seats = dict(enumerate(SEATS))
