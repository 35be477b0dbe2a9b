"""Paths, values in quotes, motors from zero; the prompt is the path that was spoken of last."""

import re

from engine import Console as Base, Refused, among, number

HELP = """ls PATH            lists what is below a path
put PATH VALUE     sets a value
run PATH PART MS   runs an output: part of its full power, milliseconds
halt               halts all outputs
commit             makes it last
reboot             boots again
about              who I am"""


class Console(Base):
    pads = [f"{letter}{n}" for letter in "AB" for n in range(1, 6)]
    limits = (0.03, 0.08, 1)
    open_marks = '"'
    numbering = {"quad-x": ["front-left", "rear-right", "rear-left", "front-right"],
                 "hex-x": ["right", "left", "front-left", "rear-right", "front-right", "rear-left"]}
    here = "/"

    def prompt(self):
        return "+ " if self.open_text else f"{self.here}> "

    def refusal(self, why):
        return ["cannot: " + why]

    def tree(self):
        yield from (("about/board", "cairn-t"), ("about/firmware", "scree"), ("about/version", "5.0.2"))
        for motor, pad in enumerate(self.stored.pads):
            yield f"out/{motor}/pin", pad or ""
            yield f"out/{motor}/rate", 400
            yield f"out/{motor}/turn", "rev" if motor in self.stored.backward else "fwd"
        yield "blades/sweep", self.stored.props + "ward"
        yield from ((f"seat/{name}", self.stored.mount[n]) for n, name in enumerate(("yaw", "pitch", "roll")))
        yield from ((f"acc/{'xyz'[n]}", f"{-a:.3f}") for n, a in enumerate(self.craft.down()))
        yield from ((f"tune/{n}", n * 13 % 70) for n in range(30))

    def ls(self, path):
        found = [f"/{name} " + (f'"{value}"' if isinstance(value, str) and name[:3] != "acc" else str(value))
                 for name, value in self.tree() if f"/{name}/".startswith(path.rstrip("/") + "/")]
        if not found:
            raise Refused("no " + path)
        self.here = path.rstrip("/") or "/"
        return found

    def do(self, line):
        words = re.findall(r'"[^"]*"|\S+', line)
        match words:
            case ["help"]:
                return HELP.split("\n")
            case ["about"]:
                return self.ls("/about")
            case ["ls", path]:
                return self.ls(path)
            case ["put", path, value]:
                self.set(path.strip("/").split("/"), value)
                self.here = path.rpartition("/")[0]
                return [f"{path} {value}"]
            case ["run", path, part, ms] if path.startswith("/out/"):
                self.spin(self.motor(path[5:], 0), number(part, 0, 1, float), number(ms, 1, 9999) / 1000)
                return [f"{path} runs"]
            case ["halt"]:
                self.stop()
                return ["halted"]
            case ["commit"]:
                self.keep()
                return ["committed"]
            case ["reboot"]:
                self.restart()
                return []
        raise Refused(line)

    def set(self, path, value):
        text = value[1:-1] if value[0] == '"' else None
        match path:
            case ["out", motor, "pin"] if text is not None:
                self.put(self.motor(motor, 0), self.pad(text) if text else None)
            case ["out", motor, "turn"]:
                self.reverse(self.motor(motor, 0), among(text, ("fwd", "rev")) == 1)
            case ["blades", "sweep"]:
                self.stored.props = ("in", "out")[among(text, ("inward", "outward"))]
            case ["seat", name]:
                self.stored.mount[among(name, ("yaw", "pitch", "roll"))] = number(value, -180, 360)
            case _:
                raise Refused("no " + "/".join(path))

    map_name = staticmethod(lambda motor: str(motor))
    sheet = {
        "help": "help", "identify": "about", "whole-configuration": "ls /", "list-map": "ls /out",
        "assign-pin": lambda v: f'put /out/{v.motor - 1}/pin "{v.pin}"', "free-pin": lambda v: f'put /out/{v.motor - 1}/pin ""',
        "read-turn": "ls /out",
        "set-turn": lambda v: f'put /out/{v.motor - 1}/turn "{"rev" if v.backward else "fwd"}"',
        "read-props": "ls /blades", "set-props": lambda v: f'put /blades/sweep "{v.props}ward"', "read-mount": "ls /seat",
        "set-mount": lambda v: "".join(f"put /seat/{name} {v[name]} ; " for name in ("yaw", "pitch", "roll"))[:-3],
        "set-yaw": lambda v: f"put /seat/yaw {v.yaw}", "set-pitch": lambda v: f"put /seat/pitch {v.pitch}",
        "set-roll": lambda v: f"put /seat/roll {v.roll}", "sense": "ls /acc", "stop-command": "halt",
        "spin-command": lambda v: f"run /out/{v.motor - 1} {v.strength} {v.ms}", "keep": "commit", "restarts": "reboot"}
