"""It talks: sentences, motors by letter, sockets by colour, the mount as where an arrow points; it asks before it turns
a motor, before it sleeps, and before it takes a socket from another motor. Typed lines are not repeated."""

from engine import Ask, Console as Base, Refused, number, rotation

HELP = """You can say:
  hello                            and I tell you who I am
  tell me everything               all that I know
  where are the motors             the socket of each, and which way round it turns
  plug A into red                  motor A on the red socket; I swap if you like
  unplug A                         motor A on no socket
  turn A backwards (or forwards)   the other way round, or not
  how do the props turn            seen at the nose
  props turn inwards (or outwards)
  where does the arrow point       how I am mounted
  arrow left                       ahead, right, behind, left; or with me on my back: left-flipped
  what do you feel                 my accelerometer
  try A at 10 for 500 ms           motor A with 10 percent
  stop                             every motor
  remember                         all this, for good
  sleep                            and wake up again
  goodbye"""
ASPECTS = ("ahead", "right", "behind", "left")


class Console(Base):
    pads = ["red", "orange", "yellow", "green", "blue", "violet", "grey", "white", "black"]
    seats = {name + tail: (90 * n, 0, roll) for tail, roll in (("", 0), ("-flipped", 180))
             for n, name in enumerate(ASPECTS)}
    unmounted = ["ahead"]
    echo = False
    numbering = {"quad-x": ["front-left", "front-right", "rear-left", "rear-right"],
                 "hex-x": ["front-left", "front-right", "left", "right", "rear-left", "rear-right"]}

    def banner(self):
        return ["Good day, I am Mallow. Say help if you are lost."]

    def prompt(self):
        return "You: "

    def refusal(self, why):
        return [f"Sorry, {why}."]

    def mount_told(self):
        return rotation(*self.seats[self.running.mount[0]])

    @staticmethod
    def map_name(motor):
        return "ABCDEF"[motor]

    def letter_of(self, text):
        if text not in [self.map_name(motor) for motor in self.motors]:
            raise Refused(f"I have no motor {text}")
        return "ABCDEF".index(text)

    def colour(self, text):
        if text not in self.pads:
            raise Refused(f"I have no {text} socket")
        return text

    def sure(self, question, deed):
        """Asks, and does it for a yes."""
        return [Ask(question + " (yes or no) ", lambda said: deed() if said in ("yes", "y") else ["Then I leave it."])]

    def do(self, line):
        stored = self.stored
        match line.split():
            case ["help"]:
                return HELP.split("\n")
            case ["hello"]:
                return ["Hello! I am Mallow the second, my program is 5.3, and I was born as number 2-1180."]
            case ["tell", "me", "everything"]:
                lines = [f"Habit {n} is {n * 11 % 70}." for n in range(30)]
                return lines + self.motors_told() + [self.props_told(), self.arrow_told()]
            case ["where", "are", "the", "motors"]:
                return self.motors_told()
            case ["plug", motor, "into", colour]:
                return self.plug(self.letter_of(motor), self.colour(colour))
            case ["unplug", motor]:
                self.put(self.letter_of(motor), None)
                return [f"Motor {motor} is on no socket now."]
            case ["turn", motor, "backwards" | "forwards" as way]:
                self.reverse(self.letter_of(motor), way == "backwards")
                return [f"All right, motor {motor} turns {way}."]
            case ["how", "do", "the", "props", "turn"]:
                return [self.props_told()]
            case ["props", "turn", "inwards" | "outwards" as way]:
                stored.props = way.removesuffix("wards")
                return [self.props_told()]
            case ["where", "does", "the", "arrow", "point"]:
                return [self.arrow_told()]
            case ["arrow", where]:
                if where not in self.seats:
                    raise Refused(f"I do not know where {where} is")
                stored.mount = [where]
                return [self.arrow_told()]
            case ["what", "do", "you", "feel"]:
                x, y, z = self.craft.down()
                return [f"I feel {z:.2f} g from below, {-x:.2f} g along the arrow and {y:.2f} g to its left."]
            case ["try", motor, "at", percent, "for", ms, "ms"]:
                return self.trial(self.letter_of(motor), number(percent, 0, 100), number(ms, 1, 5000))
            case ["stop"]:
                self.stop()
                return ["Every motor stands still."]
            case ["remember"]:
                self.keep()
                return ["I will remember all of it."]
            case ["sleep"]:
                return self.sure("Shall I sleep and wake up again?", self.nap)
            case ["goodbye"]:
                return ["Goodbye!"]
        raise Refused(f"I do not know what \"{line}\" means")

    def plug(self, motor, colour):
        other = self.motor_on(colour)
        if other in (None, motor):
            return self.swap(motor, colour, None)
        return self.sure(f"Motor {self.map_name(other)} is on {colour}. Shall I swap them?",
                         lambda: self.swap(motor, colour, other))

    def swap(self, motor, colour, other):
        before = self.stored.pads[motor]
        self.put(motor, colour)
        if other is not None:
            self.put(other, before)
        return [f"Motor {self.map_name(motor)} is on the {colour} socket now."]

    def trial(self, motor, percent, ms):
        if self.running.pads[motor] is None:
            raise Refused(f"motor {self.map_name(motor)} is on no socket")

        def turn():
            self.spin(motor, percent / 100, ms / 1000)
            return [f"Motor {self.map_name(motor)} turns."]
        return self.sure("Are the propellers off?", turn)

    def nap(self):
        self.restart()
        return ["Good night."]

    def motors_told(self):
        return [f"Motor {self.map_name(m)} is on {f'the {pad} socket' if pad else 'no socket'}"
                f" and turns {('forwards', 'backwards')[m in self.stored.backward]}."
                for m, pad in enumerate(self.stored.pads)]

    def props_told(self):
        return f"The props turn {self.stored.props}wards."

    def arrow_told(self):
        return f"My arrow points {self.stored.mount[0]}."

    map_words = {"motor": "2", "pin": "6"}
    sheet = {
        "help": "help", "identify": "hello", "whole-configuration": "tell me everything",
        "list-map": "where are the motors", "assign-pin": lambda v: f"plug {'ABCDEF'[v.motor - 1]} into {v.pin}",
        "free-pin": lambda v: f"unplug {'ABCDEF'[v.motor - 1]}", "read-turn": "where are the motors",
        "set-turn": lambda v: f"turn {'ABCDEF'[v.motor - 1]} {('forwards', 'backwards')[v.backward]}",
        "read-props": "how do the props turn", "set-props": lambda v: f"props turn {v.props}wards",
        "read-mount": "where does the arrow point", "set-mount": lambda v: f"arrow {v.mount}",
        "sense": "what do you feel", "stop-command": "stop",
        "spin-command": lambda v: f"try {'ABCDEF'[v.motor - 1]} at {v.strength} for {v.ms} ms",
        "keep": "remember", "restarts": "sleep", "leave": "goodbye"}
