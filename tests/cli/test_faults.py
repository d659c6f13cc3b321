#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Commands with an allocation failing, once or from then on, whosever it is.

    SALTWRIGHT=... test_faults.py FAULT_LIBRARY [EACH]

Each run must end as if nothing had happened, or with exit status 4 and words of
memory, and leave no file.  EACH allocations are lost of every command (2), the
same ones each time; "all" loses every one, which takes a day.
"""
import os
import random
import subprocess
import sys
import tempfile

BASIL = ["--target", "examples/basil.csv", "--shelf", "examples/straights.csv"]
COMMANDS = [
    ["formulate", "--water", "examples/well.csv", *BASIL, "--scale", "1g",
     "--sheet", "SHEET"],
    ["formulate", "--water", "examples/well.csv", *BASIL, "--why"],
    ["check", "--water", "examples/well.csv", *BASIL, "--recipe",
     "examples/recipe.csv"],
    ["stock", "--water", "examples/town.csv", *BASIL, "--tank", "200L"],
    ["compare", "--water", "examples/well.csv", "--water", "examples/town.csv",
     *BASIL, "--purified", "typical", "--blend"],
    ["renew", "--solution", "examples/return.csv:late", "--holds", "900L",
     "--volume", "1000L", "--water", "examples/town.csv", *BASIL],
]


def run(program, library, command, folder, **fault):
    """Exit status, output, complaints and files left of one run."""
    before = set(os.listdir(folder))
    words = [f"{folder}/sheet.html" if word == "SHEET" else word
             for word in command]
    done = subprocess.run([program, *words], capture_output=True,
                          env={**os.environ, "LD_PRELOAD": library, **fault},
                          check=False, timeout=600)
    left = set(os.listdir(folder)) - before
    for name in left:
        os.remove(f"{folder}/{name}")
    return done.returncode, done.stdout, done.stderr, left


def is_sound(plenty, scarce):
    """As in plenty, or out of memory with nothing left behind."""
    if scarce == plenty:
        return True
    status, _, complaints, left = scarce
    return status == 4 and b"memory" in complaints and not left


def main():
    program = os.environ["SALTWRIGHT"]
    library = os.path.abspath(sys.argv[1])
    each = sys.argv[2] if len(sys.argv) > 2 else "2"
    runs = wrong = 0
    with tempfile.TemporaryDirectory() as folder:
        count = f"{folder}/count"
        for command in COMMANDS:
            dice = random.Random(1)
            open(count, "w").close()
            run(program, library, command, folder, FAULT_COUNT=count)
            plenty = run(program, library, command, folder)
            with open(count, encoding="ascii") as file:
                made = int(file.read())
            lost = range(1, made + 1) if each == "all" else sorted(
                dice.sample(range(1, made + 1), min(int(each), made)))
            for nth in lost:
                for kind in ({}, {"FAULT_STICKY": "1"}):
                    scarce = run(program, library, command, folder,
                                 FAULT_NTH=str(nth), **kind)
                    runs += 1
                    if not is_sound(plenty, scarce):
                        wrong += 1
                        print(f"{command[0]}, allocation {nth} of {made}"
                              f"{' and on' if kind else ''}: exit {scarce[0]}, "
                              f"{scarce[2][-200:]}, left {scarce[3]}")
    print(f"{runs} runs, {wrong} wrong")
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
