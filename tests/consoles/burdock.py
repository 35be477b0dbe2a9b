"""From a control cabinet: no prompt, no echo, no help; terminals by number, keys and values, the turn by terminal, the
mount a position out of the manual's list; what is set holds after the power was off and on, which is done by hand."""

from craft import rotation
from engine import Console as Base, Refused, among, number


class Console(Base):
    pads = [str(n) for n in range(11, 19)]
    echo, restarts, at_once, turns_by_pad = False, "hand", False, True
    seats = {1: (0, 0, 0), 2: (90, 0, 0), 3: (180, 0, 0), 4: (270, 0, 0),
             5: (0, 0, 180), 6: (90, 0, 180), 7: (180, 0, 180), 8: (270, 0, 180)}
    unmounted = [1]

    def banner(self):
        return ["BURDOCK READY"]

    def prompt(self):
        return ""

    def refusal(self, why):
        return ["ER " + why.upper()]

    def mount_told(self):
        return rotation(*self.seats[self.running.mount[0]])

    def do(self, line):
        match line.upper().split():
            case ["ID?"]:
                return ["TYPE=BURDOCK FC2", "REV=4.07", "SN=0088213"]
            case ["ALL?"]:
                tuning = [f"P{n:03}={n * 53 % 999}" for n in range(30)]
                return [*tuning, *self.terminals(), *self.props(), *self.position()]
            case ["TB?"]:
                return self.terminals()
            case ["PROPS?"]:
                return self.props()
            case ["POS?"]:
                return self.position()
            case ["ACC?"]:
                felt = zip("XYZ", self.craft.down())
                return [" ".join(f"A{axis}={-1000 * part:+05.0f}" for axis, part in felt)]
            case ["MOT", motor, "TB", pad]:
                self.move(self.motor(motor, 0), None if pad == "OFF" else self.pad(pad))
            case ["DIR", pad, way]:
                self.reverse(self.pad(pad), among(way, ("NORM", "INV")) == 1)
            case ["PROPS", way]:
                among(way, ("IN", "OUT"))
                self.stored.props = way.lower()
            case ["POS", seat]:
                self.stored.mount = [number(seat, 1, 8)]
            case ["JOG", "OFF"]:
                self.stop()
            case ["JOG", motor, percent, ms]:
                self.spin(self.motor(motor, 0), number(percent, 0, 100) / 100, number(ms, 1, 9999) / 1000)
            case ["STORE"]:
                self.keep()
            case _:
                raise Refused("command")
        return ["OK"]

    def move(self, motor, pad):
        """A terminal feeds one motor: whichever was there before is off."""
        before = self.motor_on(pad)
        if before is not None:
            self.put(before, None)
        self.put(motor, pad)

    def terminals(self):
        for pad in self.pads:
            motor = self.motor_on(pad)
            turn = "INV" if pad in self.stored.backward else "NORM"
            yield f"TB={pad} MOT={'OFF' if motor is None else motor} DIR={turn} LIM=95"

    def props(self):
        return ["PROPS=" + self.stored.props.upper()]

    def position(self):
        return [f"POS={self.stored.mount[0]}"]

    @staticmethod
    def map_name(motor):
        return str(motor)

    map_words = {"motor": "2", "pin": "1"}
    sheet = {
        "identify": "ID?", "whole-configuration": "ALL?", "list-map": "TB?",
        "assign-pin": lambda v: f"MOT {v.motor - 1} TB {v.pin}", "free-pin": lambda v: f"MOT {v.motor - 1} TB OFF",
        "read-turn": "TB?", "set-turn": lambda v: f"DIR {v.is_pin} {'INV' if v.backward else 'NORM'}",
        "read-props": "PROPS?", "set-props": lambda v: f"PROPS {v.props.upper()}",
        "read-mount": "POS?", "set-mount": lambda v: f"POS {v.mount}", "sense": "ACC?",
        "stop-command": "JOG OFF", "spin-command": lambda v: f"JOG {v.motor - 1} {v.strength} {v.ms}",
        "keep": "STORE"}
