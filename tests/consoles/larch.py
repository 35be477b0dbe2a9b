"""Two thousand lines, and a pager; each change asks whether one is sure; a key in the start-up stops in its loader."""

from engine import Ask, Console as Base, Refused, among, number

PAGE = 40
HELP = ["show NAME.              all settings that begin so", "set NAME VALUE          changes one, asks first",
        "test m1 PERCENT MS      spins a motor", "test off                stops them", "save                    makes it last",
        "reset                   boots anew", "show                    everything"]


class Console(Base):
    pads = [f"L{n}" for n in range(1, 9)]
    boot, loader = 0.9, "loader 1.1: stopped"
    numbering = {"quad-x": ["front-left", "front-right", "rear-left", "rear-right"],
                 "hex-x": ["front-left", "front-right", "left", "right", "rear-left", "rear-right"]}

    def early(self, letter):
        super().early(letter)
        if self.spoiled:
            self.running = self.stored = self.factory

    def banner(self):
        return ["larch: settings loaded"] if not self.spoiled else []

    def prompt(self):
        return "loader# " if self.spoiled else "larch=> "

    def refusal(self, why):
        return ["Rejected: " + why]

    def settings(self):
        stored = self.stored
        yield from (("board.name", "larch-k"), ("board.firmware", "cone-1.9"), ("board.serial", "L00219"))
        yield from ((f"pad_of_m{m + 1}", pad or "none") for m, pad in enumerate(stored.pads))
        yield from ((f"way_of_m{m + 1}", ("straight", "crossed")[m in stored.backward]) for m in self.motors)
        yield "fan.way", stored.props
        yield from ((f"sit.{n}", a) for n, a in zip(("yaw", "pitch", "roll"), stored.mount))
        yield from ((f"acc.{n}", f"{-a:.3f}") for n, a in zip("xyz", self.craft.down()))
        yield from ((f"tune.{n}", n * 17 % 900) for n in range(2000))

    def paged(self, lines):
        if len(lines) <= PAGE:
            return lines
        def more(line):
            return [] if line == "q" else self.paged(lines[PAGE:])
        return [*lines[:PAGE], Ask("-- more, Enter or q --", more)]

    def do(self, line):
        if self.spoiled:
            raise Refused(line)
        match line.split():
            case ["help"]:
                return HELP
            case ["show"]:
                return self.paged([f"{name} {value}" for name, value in self.settings()])
            case ["show", start]:
                found = [f"{name} {value}" for name, value in self.settings() if name.startswith(start)]
                return self.paged(found) if found else self.refuse(start)
            case ["set", name, value]:
                if name not in dict(self.settings()):
                    raise Refused(name)
                self.set(name, value, False)
                return [Ask(f"{name} becomes {value}. Sure? y/n ", lambda sure: self.set(name, value, True, sure))]
            case ["test", "off"]:
                self.stop()
                return ["All off"]
            case ["test", motor, percent, ms]:
                self.spin(self.motor(motor[1:]), number(percent, 0, 100) / 100, number(ms, 1, 9999) / 1000)
                return [f"{motor} on"]
            case ["save"]:
                self.keep()
                return ["Saved"]
            case ["reset"]:
                self.restart()
                return []
        raise Refused(line)

    @staticmethod
    def refuse(what):
        raise Refused(what)

    def set(self, name, value, really, sure="y"):
        if sure != "y":
            return ["Left as it was"]
        stored = self.stored
        if name.startswith("pad_of_m"):
            pad = None if value == "none" else self.pad(value)
            change = lambda: self.put(self.motor(name[8:]), pad)
        elif name.startswith("way_of_m"):
            way = among(value, ("straight", "crossed"))
            change = lambda: self.reverse(self.motor(name[8:]), way == 1)
        elif name == "fan.way":
            way = among(value, ("in", "out"))
            change = lambda: setattr(stored, "props", value)
        elif name.startswith("sit."):
            angle = number(value, -180, 360)
            change = lambda: stored.mount.__setitem__(("yaw", "pitch", "roll").index(name[4:]), angle)
        else:
            raise Refused(name + " cannot be set")
        if really:
            change()
        return [f"{name} {value}"]

    sheet = {
        "help": "help", "identify": "show board.", "whole-configuration": "show", "list-map": "show pad_of_m",
        "assign-pin": lambda v: f"set pad_of_m{v.motor} {v.pin} ; y", "free-pin": lambda v: f"set pad_of_m{v.motor} none ; y",
        "read-turn": "show way_of_m",
        "set-turn": lambda v: f"set way_of_m{v.motor} {'crossed' if v.backward else 'straight'} ; y",
        "read-props": "show fan.", "set-props": lambda v: f"set fan.way {v.props} ; y", "read-mount": "show sit.",
        "set-mount": lambda v: " ; ".join(f"set sit.{n} {v[n]} ; y" for n in ("yaw", "pitch", "roll")),
        "set-yaw": lambda v: f"set sit.yaw {v.yaw} ; y", "set-pitch": lambda v: f"set sit.pitch {v.pitch} ; y",
        "set-roll": lambda v: f"set sit.roll {v.roll} ; y", "sense": "show acc.", "stop-command": "test off",
        "spin-command": lambda v: f"test m{v.motor} {v.strength} {v.ms}", "keep": "save", "restarts": "reset"}
