"""A real interpreter on a terminal of its own, with a few commands defined in it that play a craft.

Its bytes pass between the port and that terminal. What its commands ask of the craft comes on descriptor 3, a line, and is
answered on 4, lines up to a single dot.
"""

import fcntl
import os
import pty
import signal
import struct
import subprocess
import tempfile
import termios

from engine import Console, Refused


class Real(Console):
    way_out = unasked = ""
    columns = 80
    start = None
    program = script = None  # what is run, "{}" being the file that the script is in
    starts = {}  # what has been typed before anybody is there
    begun = False

    def power_up(self):
        self.process = None
        super().power_up()

    def wake(self):
        self.awake = True
        self.far, near = pty.openpty()
        fcntl.ioctl(near, termios.TIOCSWINSZ, struct.pack("HHHH", 24, self.columns, 0, 0))
        self.asked_by, asking = os.pipe()
        answered, self.answering = os.pipe()
        with tempfile.NamedTemporaryFile("w", suffix=".rc", delete=False) as file:
            file.write(self.script)

        def its_terminal():
            os.setsid()
            fcntl.ioctl(near, termios.TIOCSCTTY, 0)
            high = [fcntl.fcntl(each, fcntl.F_DUPFD, 20) for each in (asking, answered)]
            os.dup2(high[0], 3)
            os.dup2(high[1], 4)

        environment = {"PATH": os.environ["PATH"], "HOME": "/nonexistent", "TERM": "vt100", "LANG": "C.UTF-8"}
        self.process = subprocess.Popen([word.format(file.name) for word in self.program], stdin=near, stdout=near,
                                        stderr=near, env=environment, preexec_fn=its_terminal, close_fds=False)
        for each in (near, asking, answered):
            os.close(each)
        self.loop.readers[self.far] = self.said
        self.loop.readers[self.asked_by] = self.asked
        self.unasked_yet = ""
        if self.start and not self.begun:  # nobody types at its restarts
            self.begun = True
            self.loop.after(0.5, lambda: self.feed(self.starts[self.start]))

    def feed(self, text):
        if self.process is not None:
            os.write(self.far, text.encode())

    def said(self):
        try:
            data = os.read(self.far, 65536)
        except OSError:
            self.loop.readers.pop(self.far, None)
            return
        self.say(data.decode("utf-8", "replace"))

    def asked(self):
        data = os.read(self.asked_by, 65536).decode()
        if not data:
            self.loop.readers.pop(self.asked_by, None)
            return
        self.unasked_yet += data
        while "\n" in self.unasked_yet:
            line, self.unasked_yet = self.unasked_yet.split("\n", 1)
            self.count += 1
            try:
                lines = list(self.do(line))
            except Refused as refused:
                lines = ["! " + str(refused)]
            os.write(self.answering, "".join(each + "\n" for each in [*lines, "."]).encode())
            if self.gone:
                self.restarted()
                return

    def leave(self):
        self.awake = False
        if self.process is None:
            return
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()
        for each in (self.far, self.asked_by):
            self.loop.readers.pop(each, None)
            os.close(each)
        os.close(self.answering)
        self.process = None
