"""A tree of nodes, a line for each with its whole path, plugs first and lamps among them, ways round per plug, tenths
of degrees, deeds with a "!"; what is set holds from the next power-up, and that is by hand."""

from engine import Console as Base, Refused, among, number

HELP = """PATH            shows what lies there and below
PATH = VALUE    sets a node
PATH! ...       does something
at PATH         goes there; a path without a leading / is counted from there
deeds: /sys/store!   /motor/N/jog! PERCENT MS   /motor/stop!
Settings hold from the next power-up. /out/X/drives takes m1, m2 ... or none."""


class Console(Base):
    pads = [f"J{n}{side}" for n in range(1, 6) for side in "ab"]
    at_once = False
    turns_by_pad = True
    restarts = "hand"
    numbering = {"quad-x": ["rear-left", "front-left", "front-right", "rear-right"],
                 "hex-x": ["rear-left", "left", "front-left", "front-right", "right", "rear-right"]}
    angle_lines = ["pitch", "roll", "yaw"]
    reading_lines = [f"/imu/{axis}/mg" for axis in "xyz"]
    here = "/"

    def fresh(self):
        super().fresh()
        self.here = "/"

    def banner(self):
        return ["juniper controller", "? for help"]

    def prompt(self):
        return self.here + " : "

    def refusal(self, why):
        return ["!! " + why]

    def nodes(self):
        """All of the tree, by path."""
        stored = self.stored
        tree = {"/sys/type": "JUNIPER-12", "/sys/build": "7.0-r2", "/sys/serial": "06-4419-B"}
        tree |= {f"/loop/k{n:02}": n * 53 % 800 for n in range(1, 31)}
        spare = [pad for pad in self.pads if pad not in self.wired]
        for n, pad in enumerate(self.pads):
            motor = self.motor_on(pad)
            lamp = "lamp" if pad == spare[0] else "none"
            tree[f"/out/{pad}/drives"] = f"m{motor + 1}" if motor is not None else lamp
            tree[f"/out/{pad}/sense"] = "rev" if pad in stored.backward else "fwd"
            tree[f"/out/{pad}/ma"] = n * 3 % 7
        tree |= {"/frame/arms": len(self.motors), "/frame/props": ("in", "out").index(stored.props)}
        tree |= {"/board/mount/" + name: 10 * stored.mount[("yaw", "pitch", "roll").index(name)]
                 for name in self.angle_lines}
        for axis, share, rate in zip("xyz", self.craft.down(), self.craft.rates()):
            tree[f"/imu/{axis}/mg"] = round(-1000 * share)
            tree[f"/imu/{axis}/rate"] = round(10 * rate)
        return tree

    def path(self, text):
        return "/" + (text if text.startswith("/") else self.here + "/" + text).replace("//", "/").strip("/")

    def do(self, line):
        path, sign, value = line.partition("=")
        words = line.split()
        if line == "?":
            return HELP.split("\n")
        if words[0] == "at" and len(words) == 2:
            self.here = self.inside(self.path(words[1]))
            return []
        if words[0].endswith("!"):
            return self.deed(self.path(words[0][:-1]).split("/")[1:], words[1:])
        if sign:
            return self.set(self.path(path.strip()), value.strip())
        return self.show(self.path(line))

    def inside(self, path):
        if not self.below(path):
            raise Refused("no node " + path)
        return path

    def below(self, path):
        return {name: value for name, value in self.nodes().items() if (name + "/").startswith(path.rstrip("/") + "/")}

    def show(self, path):
        self.inside(path)
        return [f"{name:20} {value}" for name, value in self.below(path).items()]

    def set(self, path, value):
        stored = self.stored
        match path.split("/")[1:]:
            case ["out", pad, "drives"]:
                self.drive(self.pad(pad), value)
            case ["out", pad, "sense"]:
                self.reverse(self.pad(pad), among(value, ("fwd", "rev")) == 1)
            case ["frame", "props"]:
                stored.props = ("in", "out")[number(value, 0, 1)]
            case ["board", "mount", "yaw" | "pitch" | "roll" as name]:
                stored.mount[("yaw", "pitch", "roll").index(name)] = number(value, -1800, 3600) // 10
            case _:
                self.inside(path)
                raise Refused("read only")
        return self.show(path)

    def drive(self, pad, value):
        if value == "none":
            if self.motor_on(pad) is not None:
                self.put(self.motor_on(pad), None)
            return
        motor = among(value, [f"m{m + 1}" for m in self.motors])
        if self.motor_on(pad) not in (None, motor):
            self.put(self.motor_on(pad), None)
        self.put(motor, pad)

    def deed(self, path, given):
        match path, given:
            case ["sys", "store"], []:
                self.keep()
                return ["stored, 1 block"]
            case ["motor", "stop"], []:
                self.stop()
                return ["stopped"]
            case ["motor", motor, "jog"], [percent, ms]:
                self.spin(self.motor(motor), number(percent, 0, 100) / 100, number(ms, 10, 5000) / 1000)
                return ["jog"]
        raise Refused("no deed")

    map_words = {"motor": "2", "pin": "1"}

    @staticmethod
    def map_name(motor):
        return f"m{motor + 1}"

    sheet = {
        "help": "?", "identify": "/sys", "whole-configuration": "/", "list-map": "/out",
        "assign-pin": lambda v: f"/out/{v.pin}/drives = m{v.motor}",
        "free-pin": lambda v: f"/out/{v.is_pin}/drives = none",
        "read-turn": "/out", "set-turn": lambda v: f"/out/{v.is_pin}/sense = {('fwd', 'rev')[v.backward]}",
        "read-props": "/frame/props", "set-props": lambda v: f"/frame/props = {('in', 'out').index(v.props)}",
        "read-mount": "/board/mount",
        "set-yaw": lambda v: f"/board/mount/yaw = {10 * int(v.yaw)}",
        "set-pitch": lambda v: f"/board/mount/pitch = {10 * int(v.pitch)}",
        "set-roll": lambda v: f"/board/mount/roll = {10 * int(v.roll)}",
        "sense": "/imu", "stop-command": "/motor/stop!",
        "spin-command": lambda v: f"/motor/{v.motor}/jog! {v.strength} {v.ms}", "keep": "/sys/store!",
        "restarts": None}
