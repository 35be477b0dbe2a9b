"""By a teacher, in sentences: motors called one to six, sockets by letter, the mount a named direction; all at once; it
asks before it remembers."""

from craft import rotation
from engine import Ask, Console as Base, Refused, among, number

HELP = """You can say:
  who are you
  tell me everything
  where are the motors
  plug motor one into socket A
  unplug motor one
  turn motor one forwards, or backwards
  how do the propellers turn
  propellers turn inwards, or outwards
  where does the board point
  board points ahead, right, back or left; add -flipped where it lies on its face
  what do you feel
  spin motor one at 5 percent for 500 milliseconds
  stop
  remember
  start again"""
NAMES = ["one", "two", "three", "four", "five", "six"]


class Console(Base):
    pads = list("ABCDEFGH")
    seats = {name + flip: (yaw, 0, roll) for flip, roll in (("", 0), ("-flipped", 180))
             for name, yaw in (("ahead", 0), ("right", 90), ("back", 180), ("left", 270))}
    unmounted = ["ahead"]
    numbering = {"quad-x": ["front-right", "rear-right", "rear-left", "front-left"],
                 "hex-x": ["front-right", "right", "rear-right", "rear-left", "left", "front-left"]}

    def banner(self):
        return ["Hello, this is Linden. Say help if you do not know what to say."]

    def prompt(self):
        return "? "

    def refusal(self, why):
        return [f"Sorry, {why}."]

    def mount_told(self):
        return rotation(*self.seats[self.running.mount[0]])

    def do(self, line):
        match line.split():
            case ["help"]:
                return HELP.split("\n")
            case ["who", "are", "you"]:
                return ["I am Linden, version 6, and I live on board number 4411."]
            case ["tell", "me", "everything"]:
                return [f"Dial number {n} stands at {n * 29 % 200}." for n in range(30)] + [
                    *self.motors_told(), self.props_told(), self.board_told()]
            case ["where", "are", "the", "motors"]:
                return self.motors_told()
            case ["plug", "motor", motor, "into", "socket", pad]:
                return self.plug(self.named(motor), self.pad(pad))
            case ["unplug", "motor", motor]:
                self.put(self.named(motor), None)
                return [f"Motor {motor} is unplugged."]
            case ["turn", "motor", motor, way]:
                self.reverse(self.named(motor), among(way, ("forwards", "backwards")) == 1)
                return [f"Motor {motor} now turns {way}."]
            case ["how", "do", "the", "propellers", "turn"]:
                return [self.props_told()]
            case ["propellers", "turn", "inwards" | "outwards" as way]:
                self.stored.props = way.removesuffix("wards")
                return [self.props_told()]
            case ["where", "does", "the", "board", "point"]:
                return [self.board_told()]
            case ["board", "points", seat]:
                among(seat, self.seats)
                self.stored.mount = [seat]
                return [self.board_told()]
            case ["what", "do", "you", "feel"]:
                felt = "I feel {:.2f} g towards my front, {:.2f} g towards my right and {:.2f} g towards my belly."
                return [felt.format(*(-part for part in self.craft.down()))]
            case ["spin", "motor", motor, "at", percent, "percent", "for", ms, "milliseconds"]:
                self.spin(self.named(motor), number(percent, 0, 100) / 100, number(ms, 1, 5000) / 1000)
                return [f"Motor {motor} spins."]
            case ["stop"]:
                self.stop()
                return ["All motors have stopped."]
            case ["remember"]:
                return [Ask("Shall I remember all of this (yes or no)? ", self.remembered)]
            case ["start", "again"]:
                self.restart()
                return ["See you soon."]
        raise Refused("I do not understand")

    def named(self, text):
        return among(text, NAMES[:len(self.motors)])

    def plug(self, motor, pad):
        if self.motor_on(pad) not in (None, motor):
            raise Refused(f"socket {pad} is taken by motor {NAMES[self.motor_on(pad)]}")
        self.put(motor, pad)
        return [f"Motor {NAMES[motor]} is in socket {pad}."]

    def remembered(self, answer):
        if answer != "yes":
            return ["Then I do not."]
        self.keep()
        return ["I shall remember it."]

    def motors_told(self):
        for motor, pad in enumerate(self.stored.pads):
            way = "backwards" if motor in self.stored.backward else "forwards"
            where = f"is plugged into socket {pad}" if pad else "is not plugged in"
            yield f"Motor {NAMES[motor]} {where} and turns {way}."

    def props_told(self):
        return f"The propellers turn {self.stored.props}wards."

    def board_told(self):
        return f"The board points {self.stored.mount[0]}."

    @staticmethod
    def map_name(motor):
        return NAMES[motor]

    map_words = {"motor": "2", "pin": "7"}
    sheet = {
        "help": "help", "identify": "who are you", "whole-configuration": "tell me everything",
        "list-map": "where are the motors",
        "assign-pin": lambda v: f"plug motor {NAMES[v.motor - 1]} into socket {v.pin}",
        "free-pin": lambda v: f"unplug motor {NAMES[v.motor - 1]}", "read-turn": "where are the motors",
        "set-turn": lambda v: f"turn motor {NAMES[v.motor - 1]} {'backwards' if v.backward else 'forwards'}",
        "read-props": "how do the propellers turn", "set-props": lambda v: f"propellers turn {v.props}wards",
        "read-mount": "where does the board point", "set-mount": lambda v: f"board points {v.mount}",
        "sense": "what do you feel", "stop-command": "stop",
        "spin-command": lambda v: f"spin motor {NAMES[v.motor - 1]} at {v.strength} percent for {v.ms} milliseconds",
        "keep": "remember", "restarts": "start again"}
