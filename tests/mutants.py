#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Does the suite notice?  Small faults put into a room of the library, one at a
time, each built and held against the room's suites.

    mutants.py ROOM [COUNT [SEED]]      COUNT faults of lib/ROOM (20)

Works in a copy under .build/mutants, so that nothing here is touched.  Lists the
faults that nobody notices; a fault that changes nothing is for a person to tell.
Not among what tests/run.sh does: it takes a quarter of a minute a fault.
"""
import os
import random
import re
import shutil
import subprocess
import sys

SOURCE = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
COPY = os.path.join(SOURCE, ".build/mutants")
# What a fault makes of a line of code: each place of the pattern is one.
SWAPS = [(r"\bfmin\(", "fmax("), (r"\bfmax\(", "fmin("),
         (r" < ", " <= "), (r" <= ", " < "), (r" > ", " >= "),
         (r" >= ", " > "), (r" < ", " > "), (r" == ", " != "),
         (r" != ", " == "), (r" && ", " || "), (r" \|\| ", " && "),
         (r" \+ ", " - "), (r" - ", " + "), (r" \* ", " / "),
         (r"\btrue\b", "false"), (r"\bfalse\b", "true")]
NUMBER = re.compile(r"(?<![\w.])\d+\.\d+(e[-+]?\d+)?(?![\w.])")
STATEMENT = re.compile(r"^\s+[\w>.*\[\]-]+( [-+*/]?= .*|\(.*\));$")
PLAIN = re.compile(r"^\s*(#|/\*|\*|//|case |return;|break;)")


def faults(path):
    """(line, new text) of every fault that can be put into a file."""
    with open(path, encoding="utf-8") as file:
        lines = file.read().split("\n")
    comment = False
    for number, line in enumerate(lines):
        begins, ends = "/*" in line, "*/" in line
        if comment or PLAIN.match(line) or '"' in line or begins:
            comment = (comment or begins) and not ends
            continue
        for pattern, by in SWAPS:
            for found in re.finditer(pattern, line):
                yield number, line[:found.start()] + by + line[found.end():]
        for found in NUMBER.finditer(line):
            other = repr(float(found.group()) * 1.25 or 1.0)
            yield number, line[:found.start()] + other + line[found.end():]
        if STATEMENT.match(line):
            yield number, re.match(r"\s*", line).group() + ";"


def build_and_test(suites):
    """Whether the fault is noticed: a suite fails, or never ends."""
    built = subprocess.run(["ninja", "-C", f"{COPY}/build", *suites],
                           capture_output=True, check=False)
    if built.returncode:
        return None # no program at all, or a warning: no fault to notice
    for suite in suites:
        found = [os.path.join(at, suite)
                 for at, _, names in os.walk(f"{COPY}/build/tests")
                 if suite in names]
        try:
            done = subprocess.run(found[0], capture_output=True, timeout=400,
                                  check=False, env={**os.environ})
        except subprocess.TimeoutExpired:
            return True
        if done.returncode:
            return True
    return False


def main():
    room = sys.argv[1]
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 20
    dice = random.Random(int(sys.argv[3]) if len(sys.argv) > 3 else 1)
    shutil.copytree(SOURCE, f"{COPY}/source", dirs_exist_ok=True,
                    ignore=shutil.ignore_patterns(".build", ".git"))
    subprocess.run(["cmake", "-G", "Ninja", "-S", f"{COPY}/source", "-B",
                    f"{COPY}/build", "-DCMAKE_BUILD_TYPE=Release",
                    "-DCMAKE_C_FLAGS_RELEASE=-O1"],
                   check=True, capture_output=True)
    suites = sorted(name[:-2] for name in os.listdir(f"{SOURCE}/tests/{room}")
                    if re.match(r"test_\w+\.c$", name))
    assert build_and_test(suites) is False, "the suites fail as they are"
    folder = f"{COPY}/source/lib/{room}"
    every = [(name, *fault) for name in sorted(os.listdir(folder))
             if name.endswith(".c") for fault in faults(f"{folder}/{name}")]
    noticed = tried = 0
    for name, number, text in dice.sample(every, min(count, len(every))):
        with open(f"{folder}/{name}", encoding="utf-8") as file:
            before = file.read()
        lines = before.split("\n")
        with open(f"{folder}/{name}", "w", encoding="utf-8") as file:
            file.write("\n".join(lines[:number] + [text] + lines[number + 1:]))
        outcome = build_and_test(suites)
        with open(f"{folder}/{name}", "w", encoding="utf-8") as file:
            file.write(before)
        if outcome is None:
            continue
        tried += 1
        noticed += outcome
        if not outcome:
            print(f"lib/{room}/{name}:{number + 1}: "
                  f"{lines[number].strip()}  ->  {text.strip()}", flush=True)
    print(f"{room}: {noticed} of {tried} noticed, of {len(every)} there are")


if __name__ == "__main__":
    main()
