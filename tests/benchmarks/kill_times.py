#!/usr/bin/env python3
"""From SIGKILL of the real program in mid-spin to the hidden craft's motor standing still, with every core busy.

The program, its guard, a console on a pseudo-terminal (tests/faults): a spin without an end of its own. Exits 1 where
a limit is missed, or a motor is left on.

    kill_times.py PROGRAM [RUNS [BUSY]]     300 runs and as many busy processes as there are cores, unless said otherwise
"""

import concurrent.futures
import math
import multiprocessing
import os
import random
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "../faults"))

import cell  # noqa: E402
import faults  # noqa: E402

MEDIAN_LIMIT, MOST_LIMIT = 2.0, 30.0  # ms
AT_ONCE = 4


def busy():
    while True:
        pass


def one_kill(program, after):
    """Milliseconds from the kill to a motor that stands still; infinite where it was left on; None where none turned."""
    fault = faults.ended_by("sigkill", faults.Fault(), after)
    result = cell.run(program, cell.Cell("sigkill", "check", "sedge", "machine"), fault)
    if not result.runs or fault.ended is None:
        return None  # a machine too busy: the guard took the program for hung before the spin
    off = result.runs[-1].off
    if off is None:
        return math.inf
    return (off - fault.ended) * 1000 if off > fault.ended else None


def main():
    program = os.path.abspath(sys.argv[1])
    runs = int(sys.argv[2]) if len(sys.argv) > 2 else 300
    others = int(sys.argv[3]) if len(sys.argv) > 3 else os.cpu_count()
    load = [multiprocessing.Process(target=busy, daemon=True) for _ in range(others)]
    for each in load:
        each.start()
    times, asked = [], 0
    try:
        # A session mostly waits on its way to the spin, so some are on theirs while others are killed.
        with concurrent.futures.ProcessPoolExecutor(AT_ONCE) as pool:
            while len(times) < runs and asked < 2 * runs:
                kills = [pool.submit(one_kill, program, random.uniform(0.02, 0.25)) for _ in range(runs - len(times))]
                asked += len(kills)
                times += [each.result() for each in kills if each.result() is not None]
    finally:
        for each in load:
            each.terminate()
    times.sort()
    left_on = times.count(math.inf)
    median, most = times[len(times) // 2], times[-1]
    good = median < MEDIAN_LIMIT and most < MOST_LIMIT
    print(f"killed to still: {len(times)} runs, {others} busy processes, median {median:.2f} ms, most {most:.2f} ms (limits: "
          f"median {MEDIAN_LIMIT:.0f}, most {MOST_LIMIT:.0f}), left on {left_on}, not counted {asked - len(times)}: "
          f"{'kept' if good else 'MISSED'}")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
