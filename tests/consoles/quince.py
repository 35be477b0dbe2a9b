"""A bench monitor of the old school: two letters, commas, capitals only, columns filled up with noughts, numbers in hex
unless a point follows, numbered refusals, a list of seats on the printed card, no help."""

from engine import Console as Base, Refused, rotation

ERRORS = {"command": "?01 COMMAND", "number": "?02 NUMBER", "range": "?03 RANGE", "port": "?04 PORT"}


def value(text, least, most):
    """Hex, or decimal with a point behind it."""
    try:
        told = int(text[:-1], 10) if text.endswith(".") else int(text, 16)
    except ValueError:
        raise Refused("number") from None
    if not least <= told <= most:
        raise Refused("range")
    return told


class Console(Base):
    pads = [f"{port:02X}" for port in range(0xE0, 0xF4, 2)]
    seats = {str(code): (90 * (code % 4), 0, 180 * (code // 4)) for code in range(8)}
    unmounted = [0]
    takes_props = False
    restarts = "same"
    numbering = {"quad-x": ["front-left", "front-right", "rear-right", "rear-left"],
                 "hex-x": ["front-left", "front-right", "right", "rear-right", "rear-left", "left"]}

    def banner(self):
        return ["", "QUINCE MONITOR R4", "32K  OK"]

    def prompt(self):
        return "QM/"

    def echo_of(self, letter):
        return super().echo_of(letter).upper()

    def refusal(self, why):
        return [ERRORS[why]]

    def mount_told(self):
        return rotation(*self.seats[str(self.running.mount[0])])

    def channel(self, text):
        return value(text, 1, len(self.motors)) - 1

    def port(self, text):
        if text not in self.pads:
            raise Refused("port")
        return text

    def do(self, line):
        stored = self.stored
        command, _, rest = line.upper().partition(" ")
        match [command, *(part.strip() for part in rest.split(",") if part.strip())]:
            case ["ID"]:
                return ["QUINCE MONITOR R4   ROM 2.6   UNIT 00C471"]
            case ["DP"]:
                rows = range(0, 64, 8)
                return [f"{at:04X}  " + " ".join(f"{n * 29 % 251:02X}" for n in range(at, at + 8)) for at in rows] \
                    + [""] + self.channels() + [""] + self.seat()
            case ["CL"]:
                return self.channels()
            case ["CA", channel, "00"]:
                self.put(self.channel(channel), None)
            case ["CA", channel, port]:
                self.put(self.channel(channel), self.port(port))
            case ["CR", channel, "+" | "-" as way]:
                self.reverse(self.channel(channel), way == "-")
            case ["MT"]:
                return self.seat()
            case ["MT", seat]:
                stored.mount = [value(seat, 0, 7)]
            case ["AX"]:
                counts = [round(-1024 * share) for share in self.craft.down()]
                rates = [round(16 * rate) for rate in self.craft.rates()]
                return ["      X       Y       Z", "A " + "  ".join(f"{count:+06d}" for count in counts),
                        "G " + "  ".join(f"{rate:+06d}" for rate in rates)]
            case ["RN", channel, drive, ms]:
                self.run(self.channel(channel), value(drive, 0, 100) / 100, value(ms, 1, 9999) / 1000)
            case ["HA"]:
                self.stop()
            case ["WP"]:
                return self.burn()
            case ["RS"]:
                self.restart()
            case _:
                raise Refused("command")
        return []

    def run(self, channel, strength, seconds):
        if self.running.pads[channel] is None:
            raise Refused("port")
        self.spin(channel, strength, seconds)

    def channels(self):
        rows = [f"  {m + 1:02X}    {pad or '00'}    {'-' if m in self.stored.backward else '+'}   {m * 17 % 40:04X}"
                for m, pad in enumerate(self.stored.pads)]
        return ["CHAN  PORT  ROT  TRIM", *rows, f"{len(rows):02X} CHANNELS"]

    def seat(self):
        return [f"SEAT  {self.stored.mount[0]}"]

    def burn(self):
        yield "BURN 2000-20FF"
        yield 0.2
        self.keep()
        yield "SUM 7B"

    map_words = {"motor": "1", "pin": "2"}

    @staticmethod
    def map_name(motor):
        return f"{motor + 1:02X}"

    sheet = {
        "help": None, "identify": "ID", "whole-configuration": "DP", "list-map": "CL",
        "assign-pin": lambda v: f"CA {v.motor:02X},{v.pin}", "free-pin": lambda v: f"CA {v.motor:02X},00",
        "read-turn": "CL", "set-turn": lambda v: f"CR {v.motor:02X},{'+-'[v.backward]}",
        "read-props": None, "read-mount": "MT", "set-mount": lambda v: f"MT {v.mount}", "sense": "AX",
        "stop-command": "HA", "spin-command": lambda v: f"RN {v.motor:02X},{v.strength}.,{v.ms}.",
        "keep": "WP", "restarts": "RS"}
