#!/usr/bin/env python3
"""From SIGKILL of the real program in mid-spin to the hidden craft's motor standing still, with every core busy.

The program, its guard, a console on a pseudo-terminal (tests/faults): a spin without an end of its own. Exits 1 where
a limit is missed, or a motor is left on.

    kill_times.py PROGRAM [RUNS [BUSY]]     300 runs and as many busy processes as there are cores, unless said otherwise
"""

import multiprocessing
import os
import random
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "../faults"))

import cell  # noqa: E402
import faults  # noqa: E402

MEDIAN_LIMIT, MOST_LIMIT = 2.0, 30.0  # ms


def busy():
    while True:
        pass


def main():
    program = os.path.abspath(sys.argv[1])
    runs = int(sys.argv[2]) if len(sys.argv) > 2 else 300
    others = int(sys.argv[3]) if len(sys.argv) > 3 else os.cpu_count()
    load = [multiprocessing.Process(target=busy, daemon=True) for _ in range(others)]
    for each in load:
        each.start()
    times, left_on, none_turned = [], 0, 0
    try:
        while len(times) + left_on < runs:
            fault = faults.ended_by("sigkill", faults.Fault(), random.uniform(0.02, 0.25))
            result = cell.run(program, cell.Cell("sigkill", "check", "sedge", "machine"), fault)
            if not result.runs or fault.ended is None:
                none_turned += 1  # a machine too busy: the guard took the program for hung before the spin
                continue
            off = result.runs[-1].off
            left_on += off is None
            if off is not None and off > fault.ended:
                times.append((off - fault.ended) * 1000)
    finally:
        for each in load:
            each.terminate()
    times.sort()
    median, most = times[len(times) // 2], times[-1]
    good = median < MEDIAN_LIMIT and most < MOST_LIMIT and left_on == 0
    print(f"killed to still: {runs} runs, {others} busy processes, median {median:.2f} ms, most {most:.2f} ms (limits: "
          f"median {MEDIAN_LIMIT:.0f}, most {MOST_LIMIT:.0f}), left on {left_on}, not counted {none_turned}: {'kept' if good else 'MISSED'}")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
