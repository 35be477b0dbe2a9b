"""Words in no language; the line is drawn anew at each key; the mount is a name; answers come late, and saving prints
dots; it starts anew on the same port."""

from engine import Console as Base, Raw, Refused, among, number

from craft import rotation

SEATS = {"pell": (0, 0, 0), "corb": (90, 0, 0), "dwist": (180, 0, 0), "snarl": (270, 0, 0),
         "upell": (0, 0, 180), "ucorb": (90, 0, 180), "udwist": (180, 0, 180), "usnarl": (270, 0, 180)}


class Console(Base):
    pads = [f"gol{letter}" for letter in "abcdefgh"]
    mounts = [rotation(*angles) for angles in SEATS.values()]
    restarts, boot = "same", 1.2
    numbering = {"quad-x": ["front-left", "rear-left", "rear-right", "front-right"],
                 "hex-x": ["front-left", "left", "rear-left", "rear-right", "right", "front-right"]}

    unmounted = ["pell"]

    def banner(self):
        return ["", "*** heron, plumage 6.2 ***", "wading"]

    def prompt(self):
        return "hrn) "

    def refusal(self, why):
        return ["vask! " + why]

    def echo_of(self, letter):
        return f"\r\x1b[K{self.prompt()}{self.line}"

    def mount_told(self):
        return rotation(*SEATS[self.running.mount[0]])

    def do(self, line):
        yield 0.6
        yield from self.answer(line.split())

    def answer(self, words):
        stored = self.stored
        match words:
            case ["ubi"]:
                yield "heron-b plumage 6.2 H-0042"
            case ["omna"]:
                yield from (f"trin {n} {n * 9 % 70}" for n in range(30))
                yield from self.answer(["tak"])
            case ["tak"]:
                yield from (f"ru{m + 1} sits {pad or 'nix'}" for m, pad in enumerate(stored.pads))
            case ["tak", motor, pad]:
                self.put(self.motor(motor.removeprefix("ru")), None if pad == "nix" else self.pad(pad))
                yield f"{motor} sits {pad}"
            case ["wen"]:
                yield from (f"ru{m + 1} {('zib', 'zob')[m in stored.backward]}" for m in self.motors)
            case ["wen", motor, way]:
                self.reverse(self.motor(motor.removeprefix("ru")), among(way, ("zib", "zob")) == 1)
                yield f"{motor} {way}"
            case ["fal"]:
                yield {"in": "fal hup", "out": "fal hop"}[stored.props]
            case ["fal", way]:
                stored.props = ("in", "out")[among(way, ("hup", "hop"))]
                yield f"fal {way}"
            case ["sed"]:
                yield f"sed {stored.mount[0]}"
            case ["sed", name]:
                stored.mount = [list(SEATS)[among(name, SEATS)]]
                yield f"sed {name}"
            case ["grav"]:
                yield "grav {:.3f} {:.3f} {:.3f}".format(*(-a for a in self.craft.down()))
            case ["vurl", motor, percent, ms]:
                self.spin(self.motor(motor.removeprefix("ru")), number(percent, 0, 100) / 100, number(ms, 1, 9999) / 1000)
                yield f"{motor} vurls"
            case ["hest"]:
                self.stop()
                yield "hested"
            case ["nid"]:
                for _ in range(5):
                    yield Raw(".")
                    yield 0.25
                self.keep()
                yield " nidded"
            case ["nov"]:
                self.restart()
                yield "novving"
            case _:
                raise Refused(" ".join(words))

    map_words = {"motor": "1", "pin": "3"}
    sheet = {
        "identify": "ubi", "whole-configuration": "omna", "list-map": "tak",
        "assign-pin": lambda v: f"tak ru{v.motor} {v.pin}", "free-pin": lambda v: f"tak ru{v.motor} nix",
        "read-turn": "wen", "set-turn": lambda v: f"wen ru{v.motor} {('zib', 'zob')[v.backward]}",
        "read-props": "fal", "set-props": lambda v: f"fal {'hup' if v.props == 'in' else 'hop'}", "read-mount": "sed",
        "set-mount": lambda v: f"sed {v.mount}", "sense": "grav", "stop-command": "hest",
        "spin-command": lambda v: f"vurl ru{v.motor} {v.strength} {v.ms}", "keep": "nid", "restarts": "nov"}
    seats = SEATS
