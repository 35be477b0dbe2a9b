"""The console's port: a pseudo-terminal, the folders that stand for /dev and /sys, and a fault in between."""

import os
import pty
import shutil
import termios
import tty

from loop import now

FILLING = {True: (b"z" * 62 + b"\r\n") * 1024, False: b"z" * 65536}


class Tree:
    def __init__(self, root):
        self.root = os.path.abspath(root)
        self.name = None
        os.makedirs(os.path.join(self.root, "dev"), exist_ok=True)

    def path(self, *parts):
        return os.path.join(self.root, *parts)

    def appear(self, name, serial, terminal):
        interface = self.path("sys/devices/2-4/2-4:1.0")
        os.makedirs(interface)
        facts = {"idVendor": "1209", "idProduct": "0004", "serial": serial, "manufacturer": "Fault Bench",
                 "product": "Console", "2-4:1.0/bInterfaceNumber": "00"}
        for file, text in facts.items():
            with open(self.path("sys/devices/2-4", file), "w", encoding="ascii") as out:
                out.write(text + "\n")
        os.makedirs(self.path("sys/class/tty", name))
        os.symlink(interface, self.path("sys/class/tty", name, "device"))
        os.symlink(terminal, self.path("dev", name))
        self.name = name

    def vanish(self):
        os.unlink(self.path("dev", self.name))
        shutil.rmtree(self.path("sys/class/tty", self.name))
        shutil.rmtree(self.path("sys/devices/2-4"))
        self.name = None


class Port:
    serial = "FB0001"

    def __init__(self, loop, folder, console, fault):
        self.loop, self.console, self.craft, self.fault = loop, console, console.craft, fault
        self.tree = Tree(folder)
        self.start = now()
        self.log = []  # (seconds from the start, what, text)
        self.blocked = []  # [from, to]: when no way led to the motors
        self.armed = False
        self.filling = None  # bytes without end that are said besides, and how many of them are left
        self.filling_left = 0
        self.far = self.near = None
        self.plug()

    def note(self, what, text=""):
        self.log.append((round(now() - self.start, 4), what, text))

    # Ways to the motors.
    def block(self):
        if not self.blocked or self.blocked[-1][1] is not None:
            self.blocked.append([now(), None])

    def unblock(self):
        if self.blocked and self.blocked[-1][1] is None:
            self.blocked[-1][1] = now()

    # The cable.
    def plug(self, name="ttyACM0", serial=serial):
        self.far, self.near = pty.openpty()
        tty.setraw(self.near, termios.TCSANOW)
        os.set_blocking(self.far, False)
        self.out = bytearray()
        self.due = 0.0
        self.console.plugged()
        self.reads(True)
        self.tree.appear(name, serial, os.ttyname(self.near))
        self.note("plugged", name)
        if serial == self.serial:
            self.unblock()

    def unplug(self):
        if self.far is None:
            return
        self.reads(False)
        self.loop.writers.pop(self.far, None)
        self.tree.vanish()
        os.close(self.near)
        os.close(self.far)
        self.far = self.near = None
        self.note("unplugged")
        self.block()

    def reads(self, on):
        if on:
            self.loop.readers[self.far] = self.readable
        else:
            self.loop.readers.pop(self.far, None)

    # From the tool.
    def readable(self):
        data = os.read(self.far, 65536)
        self.note("came", data.decode("ascii", "backslashreplace"))
        self.take(self.fault.comes(self, data) if self.armed else data)

    def take(self, data):
        for byte in data:
            if self.far is None or self.console.restarting:
                return
            if self.armed and not self.fault.hears(self, byte):
                continue
            echo, line = self.console.feed(byte)
            self.say(self.fault.echoes(echo) if self.armed else echo)
            if line is not None:
                self.hear(line)

    def hear(self, line):
        kind = "spin" if self.console.is_spin(line) else "stop" if self.console.is_stop(line) else ""
        self.note("line", line)
        if self.armed and not self.fault.lets(self, kind, line):
            return
        before = len(self.craft.runs)
        answer = self.console.hear(line)
        spun = len(self.craft.runs) > before
        if spun:
            self.note("turns", f"{self.craft.runs[-1].pin} at {self.craft.runs[-1].strength:g}")
        if self.armed:
            answer = self.fault.answers(kind, answer)
        self.say(answer)
        if spun and self.armed:
            self.fault.spins(self)
        if self.console.restarting:
            self.loop.after(0.05, self.restart)

    def restart(self):
        self.craft.halt()
        self.unplug()
        self.console.boot()
        self.loop.after(0.4, self.plug)

    # To the tool.
    def say(self, text):
        if not text or self.far is None:
            return
        if self.log[-1][1] == "said" and len(text) == 1:
            when, what, before = self.log[-1]
            self.log[-1] = (when, what, before + text)
        else:
            self.note("said", text)
        delay = self.fault.delay if self.armed else 0.0
        if delay or self.due > now():
            self.due = max(self.due, now() + delay)
            far = self.far
            self.loop.at(self.due, lambda: self.far == far and self.send(text))
        else:
            self.send(text)

    def send(self, text):
        self.out += text.encode("latin-1")
        self.loop.writers[self.far] = self.writable

    def fill(self, with_line_ends, size):
        self.filling, self.filling_left = FILLING[with_line_ends], size
        self.loop.writers[self.far] = self.writable

    def writable(self):
        try:
            if self.out:
                del self.out[: os.write(self.far, self.out)]
            elif self.filling_left > 0:
                self.filling_left -= os.write(self.far, self.filling[: self.filling_left])
        except BlockingIOError:
            pass
        if not self.out and self.filling_left <= 0:
            self.loop.writers.pop(self.far, None)
