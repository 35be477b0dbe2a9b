#!/usr/bin/env python3
"""Whole sessions of the real program on its practice craft, by people who err.

    erring_sessions.py PROGRAM [--sessions N] [--wrong P] [--systematic N] [--sure P] [--at-once N] [--show]

N sessions each with another hidden wiring, each answer wrong with probability P by lot; and of each kind of person who
errs the same way throughout, N sessions. Kept wrong: what the record says of a pin is not what was seen turning when
that pin was spun last. Nothing here knows what the program believes.
"""

import argparse
import concurrent.futures
import json
import os
import random
import subprocess
import tempfile

PROFILE = os.path.join(os.path.dirname(os.path.abspath(__file__)), "../../fixtures/profiles/tarn.json")
KINDS = {"from below": "b", "left for right": "l", "front for rear": "f", "nose toward oneself": "lf",
         "from below and left for right": "bl", "answers the check as planned": "p"}
PLAIN = {"frame": "quad-x", "props": "in", "battery": "yes", "all-opposite": "reverse", "arrow": "unknown",
         "display": "none", "plan": "yes", "keep": "yes", "craft": "erring"}


def swapped(arm, one, other):
    return arm.replace(one, "?").replace(other, one).replace("?", other)


def mirrored(arm, kind):
    if "l" in kind:
        arm = swapped(arm, "left", "right")
    return swapped(arm, "front", "rear") if "f" in kind else arm


def against(turn):
    return {"cw": "ccw", "ccw": "cw"}[turn]


class Person:
    def __init__(self, seed, wrong, kind):
        self.lot, self.wrong, self.kind = random.Random(seed), wrong, kind
        self.moving, self.truths, self.planned, self.errors = [], [], {}, 0

    def errs(self):
        slip = self.lot.random() < self.wrong
        self.errors += slip
        return slip

    def look(self, checking):
        arm, turn = self.moving[0]["arm"], self.moving[0]["turn"]
        turn = against(turn) if "b" in self.kind else turn
        if checking and "p" in self.kind:
            turn = self.planned[arm]
        arm = mirrored(arm, self.kind)
        if self.errs():
            if self.lot.random() < 0.5:
                turn = against(turn)
            else:
                which, right = self.lot.random(), arm
                if which < 0.85:
                    arm = mirrored(arm, "l" if which < 0.7 else "f")
                while arm == right:
                    arm = self.lot.choice(list(self.planned or ["front-left", "front-right", "rear-left", "rear-right"]))
        return {"arm": arm, "turn": turn}

    def flies(self):
        arm, turn = self.moving[0]["arm"], self.moving[0]["turn"]
        toward = "nose" if (turn == "cw") == ("left" in arm) else "tail"
        toward = swapped(toward, "nose", "tail") if "f" in self.kind else toward
        return swapped(toward, "nose", "tail") if self.errs() else toward

    def lid(self, checking):
        arm, turn = self.moving[0]["arm"], self.moving[0]["turn"]
        turn = against(turn) if "b" in self.kind else turn
        if "p" in self.kind and checking:
            turn = self.planned[arm]
        return "closing" if (turn == "cw") != self.errs() else "opening"

    def answer(self, asked):
        name = asked["id"]
        if asked["kind"] == "spin":
            self.truths.append((self.moving[0]["arm"], self.moving[0]["turn"]))
            return self.look(name == "prove")
        if name in ("hand", "strip"):
            self.truths.append((self.moving[0]["arm"], self.moving[0]["turn"]))
            there = mirrored(self.moving[0]["arm"], self.kind) == asked["arm"]
            if name == "hand":
                return {"answer": "yes" if there != self.errs() else "no"}
            if there:
                return {"answer": self.flies()}
            return {"answer": self.lot.choice(["nose", "tail"]) if self.errs() else "still"}
        if name == "edge":
            return {"answer": self.flies()}
        if name == "lid":
            return {"answer": self.lid(bool(self.planned))}
        if name == "nose-half":
            return {"answer": "yes" if ("front" in self.moving[0]["arm"]) != self.errs() else "no"}
        if name == "from-above":
            return {"answer": "yes" if ("b" in self.kind) == self.errs() else "no"}
        if asked["kind"] == "typed-word":
            return {"answer": asked["word"]}
        if asked["kind"] == "go":
            return {"answer": "spin"}
        return {"answer": PLAIN[name]} if name in PLAIN else None


def session(program, seed, wrong, kind, sure):
    person = Person(seed, wrong, kind)
    with tempfile.TemporaryDirectory(prefix="armwise-erring-") as home:
        record = os.path.join(home, "record.json")
        away = ("XDG_", "ARMWISE", "NO_COLOR", "ACCESSIBLE")
        environment = {key: value for key, value in os.environ.items() if not key.startswith(away)} | {"HOME": home}
        command = [program, "bench", "--machine", "--practice", "--profile", PROFILE, "--seed", str(seed), "--baud", "0",
                   "--spin-time", "200", "--leave-mount", "--sure", str(sure), "-o", record]
        bench = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True,
                                 env=environment)
        asked = questions = 0
        last = ""
        for line in bench.stdout:
            said = json.loads(line)
            last = said.get("text", last)
            if said.get("doing") == "spin":
                person.moving = []
            elif said.get("doing") == "practice" and said["moving"]:
                person.moving = said["moving"]
            for view in said.get("views", []):
                if said["type"] == "plan":
                    person.planned = {arm: at["wanted"] for arm, at in view["arms"].items() if at.get("wanted")}
            if said["type"] != "ask":
                continue
            questions += said["id"] in ("spin", "prove", "edge", "lid", "nose-half", "from-above", "hand", "strip")
            asked += 1
            answer = person.answer(said) if asked < 400 else None
            bench.stdin.write(json.dumps({"id": said["id"], **answer} if answer else {"id": "stop"}) + "\n")
            bench.stdin.flush()
        status = bench.wait()
        result = {"seed": seed, "status": status, "spins": len(person.truths), "questions": questions, "errors": person.errors,
                  "last": last, "wrong": False}
        if status == 0:
            with open(record, encoding="utf-8") as file:
                kept = json.load(file)
            spun = [spin["pin"] for spin in kept["spins"] if spin.get("question", "hand") in ("hand", "strip")]
            assert len(spun) == len(person.truths), (spun, person.truths)
            truth = dict(zip(spun, person.truths))  # the last one counts
            result["wrong"] = any(kept["wiring"][pin] != " ".join(seen) for pin, seen in truth.items()) or len(truth) != 4
        return result


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("program")
    parser.add_argument("--sessions", type=int, default=200)
    parser.add_argument("--wrong", type=float, default=0.05)
    parser.add_argument("--systematic", type=int, default=20)
    parser.add_argument("--sure", type=float, default=1e-4)
    parser.add_argument("--at-once", type=int, default=4)
    parser.add_argument("--show", action="store_true")
    given = parser.parse_args()
    runs = [(f"{100 * given.wrong:g} % of answers wrong", given.wrong, "", given.sessions)]
    runs += [(name, 0.0, kind, given.systematic) for name, kind in KINDS.items()]
    print("| person | kept wrong | gave up | spins: mean | most | questions: mean | answers wrong |")
    print("| --- | ---: | ---: | ---: | ---: | ---: | ---: |")
    with concurrent.futures.ThreadPoolExecutor(given.at_once) as pool:
        for name, wrong, kind, count in runs:
            if count == 0:
                continue
            todo = [pool.submit(session, given.program, seed, wrong, kind, given.sure) for seed in range(1, count + 1)]
            done = [each.result() for each in todo]
            n = len(done)
            for each in done:
                if given.show or each["wrong"] or each["status"] != 0:
                    print("  ", each, flush=True)
            print(f"| {name} | {sum(d['wrong'] for d in done)} of {n} | {sum(d['status'] != 0 for d in done)} | "
                  f"{sum(d['spins'] for d in done) / n:.1f} | {max(d['spins'] for d in done)} | "
                  f"{sum(d['questions'] for d in done) / n:.1f} | {sum(d['errors'] for d in done)} |", flush=True)


if __name__ == "__main__":
    main()
