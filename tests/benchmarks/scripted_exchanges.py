#!/usr/bin/env python3
"""The round trips of exchanges.cpp as people script them today: with python3-pexpect and python3-serial.

    scripted_exchanges.py PORT COMMAND PROMPT COUNT     prints JSON, times in seconds

pexpect waits 50 ms before each line that it sends unless it is told not to; it is told not to here.
"""

import json
import os
import sys
import termios
import time
import tty

IN_ONE_TURN = 50


def summary(times):
    times = sorted(times)
    return {"median": times[len(times) // 2], "p99": times[int(0.99 * (len(times) - 1))]}


def by_pexpect(port, command, prompt):
    import pexpect.fdpexpect

    descriptor = os.open(port, os.O_RDWR | os.O_NOCTTY)
    tty.setraw(descriptor, termios.TCSANOW)
    child = pexpect.fdpexpect.fdspawn(descriptor, timeout=5)
    child.delaybeforesend = None

    def exchange():
        child.send(command)
        child.expect_exact(prompt)

    return exchange


def by_serial(port, command, prompt):
    import serial

    line = serial.Serial(port, 115200, timeout=5)

    def exchange():
        line.write(command.encode())
        line.read_until(prompt.encode())

    return exchange


def main():
    port, command, prompt, count = sys.argv[1], sys.argv[2] + "\r\n", sys.argv[3], int(sys.argv[4])
    ways = {"pexpect": by_pexpect, "serial": by_serial}
    exchanges = {}
    for name, make in ways.items():
        try:
            exchanges[name] = make(port, command, prompt)
        except ImportError:
            print(f"python3-{name} is not installed", file=sys.stderr)
    times = {name: [] for name in exchanges}
    for _ in range(0, count, IN_ONE_TURN):
        for name, exchange in exchanges.items():
            for _ in range(IN_ONE_TURN):
                start = time.perf_counter()
                exchange()
                times[name].append(time.perf_counter() - start)
    print(json.dumps({name: summary(found) for name, found in times.items()}))


main()
