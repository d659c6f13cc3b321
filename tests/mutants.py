#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Does the suite notice?  Small faults, one at a time, held against the tests.

    mutants.py [COUNT [SEED [ROOM ...]]]    COUNT faults (500), as many of each
                                            room of lib/ and of cli/
    mutants.py again [ROOM ...]             those that nobody noticed, with the
                                            tests and the code as they are now

Works in .build/mutants: all is built there once, and a fault is compiled alone: one
of the library is put before it by LD_PRELOAD, with one of the command what has its
file is linked again elsewhere. The tests of its file and room, and
those that have killed most for their time, come first, and the first that fails
ends it. 500 take about an hour of a core. What became of each fault goes into
.build/mutants/log, one line of JSON each; begun again, it goes on behind them. A
fault may live through SW_MUTANT_SECONDS (20) of tests. With SW_BUILT=1 it builds
nothing: for a second one beside the first, of other rooms. A fault that changes
nothing the compiler sees is no fault; others that change nothing stand with the
reason in tests/mutants.csv. Not among them: words, what frees memory (tests/memory
looks for that), whole numbers.
"""
import collections
import csv
import functools
import hashlib
import json
import os
import random
import re
import resource
import shlex
import shutil
import signal
import subprocess
import sys

SOURCE = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
WORK = os.path.join(SOURCE, ".build/mutants")
COPY, BUILD, COSTS = f"{WORK}/source", f"{WORK}/build", f"{WORK}/costs"
OWN = f"{WORK}/{os.getpid()}" # several may run, each with rooms of its own
ROOMS = ["quantity", "solve", "records", "chemistry", "assess", "formulate",
         "stock", "decide", "cli"]
# CPU seconds of tests that a fault may live through before it counts as not
# noticed; of one test; the share to be noticed.
MANY, LONGEST = float(os.environ.get("SW_MUTANT_SECONDS", 20)), 10.0
WANTED = 0.95
# What a fault makes of a line of code: each place of the pattern is one.
SWAPS = [(r"\bfmin\(", "fmax("), (r"\bfmax\(", "fmin("),
         (r" < ", " <= "), (r" <= ", " < "), (r" > ", " >= "),
         (r" >= ", " > "), (r" < ", " > "), (r" == ", " != "),
         (r" != ", " == "), (r" && ", " || "), (r" \|\| ", " && "),
         (r" \+ ", " - "), (r" - ", " + "), (r" \* ", " / "),
         (r"\btrue\b", "false"), (r"\bfalse\b", "true")]
NUMBER = re.compile(r"(?<![\w.])\d+\.\d+(e[-+]?\d+)?(?![\w.])")
HEAD = re.compile(r"^\w[\w *]*?(\w+)\(") # of a function
STATEMENT = re.compile(r"^\s+[\w>.*\[\]-]+( [-+*/]?= .*|\(.*\));$")
# What frees is seen by the tests of memory, which are not among these.
PLAIN = re.compile(r"^\s*(#|/\*|\*|//|case |return;|break;|(\w+_)?free\(|SW_FREE\(|va_end\(|"
                   r".*\bsw_fail_memory)")
# What the copy is built with, so that one file can be put before the library.
PATCHES = [("CMakeLists.txt", "VISIBILITY_PRESET hidden",
            "VISIBILITY_PRESET default"),
           ("lib/CMakeLists.txt", "saltwright_internal STATIC EXCLUDE_FROM_ALL",
            "saltwright_internal SHARED EXCLUDE_FROM_ALL")]
# These link what they test otherwise, or test no code.
NOT_THESE = re.compile(r"every_call|scarcity|trials|memory|structure|tables|consumer|"
                       r"cli_(embedding|manual|readme)|headers|fuzz")


def run(command, seconds=None, **kind):
    """Exit status of a command that may use so much of a CPU, or None."""
    def limit():
        signal.signal(signal.SIGINT, signal.SIG_DFL) # as tests of it need it
        if seconds:
            most = int(seconds) + 1
            resource.setrlimit(resource.RLIMIT_CPU, (most, most + 1))
    try:
        return subprocess.run(command, capture_output=True, check=False,
                              preexec_fn=limit, timeout=1800, **kind).returncode
    except subprocess.TimeoutExpired:
        return None


def sum_of(path):
    with open(path, "rb") as file:
        return hashlib.sha256(file.read()).hexdigest()


def faults(path):
    """(line, new text) of every fault that can be put into a file."""
    with open(path, encoding="utf-8") as file:
        lines = file.read().split("\n")
    comment = False
    for number, line in enumerate(lines):
        loop = re.match(r" +(for \(.*)?\w+ < .*; \w+\+\+\)", line)
        begins, ends = "/*" in line, "*/" in line
        if comment or PLAIN.match(line) or '"' in line or begins:
            comment = (comment or begins) and not ends
            continue
        for pattern, by in SWAPS:
            for found in re.finditer(pattern, line):
                if loop and by == " <= ":
                    continue # past the end: that is for the sanitizers
                yield number, line[:found.start()] + by + line[found.end():]
        for found in NUMBER.finditer(line):
            other = repr(float(found.group()) * 1.25 or 1.0)
            yield number, line[:found.start()] + other + line[found.end():]
        if STATEMENT.match(line):
            yield number, re.match(r"\s*", line).group() + ";"


@functools.lru_cache(maxsize=None)
def lines_of(path):
    with open(f"{COPY}/{path}", encoding="utf-8") as file:
        return file.read().split("\n")


# What a fault is known by, as lines move: in the log and in tests/mutants.csv.
KEY = ("file", "function", "line", "fault")


def key_of(row):
    return tuple(row[name] for name in KEY)


class Fault:
    def __init__(self, room, path, number, text):
        self.room, self.path, self.number = room, path, number
        self.lines, self.text = lines_of(path), text
        heads = filter(None, map(HEAD.match, reversed(self.lines[:number])))
        self.function = next((head.group(1) for head in heads), "")

    def key(self):
        return (self.path, self.function, self.lines[self.number].strip(),
                self.text.strip())

    def code(self):
        lines = self.lines
        return "\n".join(lines[:self.number] + [self.text] +
                         lines[self.number + 1:])


# A fault as a library to put before the other and as programs instead of those
# of the build.
Mutant = collections.namedtuple("Mutant", "library programs")
NONE = Mutant("", {})
COMMAND = f"{BUILD}/cli/saltwright"


def wrapped(word):
    """A program of the build that a test starts, as one with the fault in it."""
    if not word.startswith(f"{BUILD}/") or not os.path.isfile(word):
        return word
    path = f"{WORK}/with/{os.path.basename(word)}"
    if not os.path.exists(path):
        os.makedirs(f"{WORK}/with", exist_ok=True)
        with open(f"{path}.{os.getpid()}", "w", encoding="utf-8") as file:
            file.write(f'#!/bin/sh\nLD_PRELOAD=$MUTANT exec "{word}" "$@"\n')
        os.chmod(f"{path}.{os.getpid()}", 0o755)
        os.rename(f"{path}.{os.getpid()}", path)
    return path


def fewer(word):
    """Of a number of random problems, as many as soon show what is wrong."""
    return str(min(int(word), 25)) if word.isdigit() else word


def cases_of(test):
    """The parts of a test that can be run alone: names, arguments of each."""
    if test != "cli_golden":
        return [(test, [])]
    cases = sorted(n[:-4] for n in os.listdir(f"{COPY}/tests/cli/golden")
                   if n.endswith(".cmd"))
    return [(f"golden_{case}", [case]) for case in cases]


class Suites:
    """The tests of the copy, each with what it costs and has noticed."""

    def __init__(self):
        listed = json.loads(subprocess.run(
            ["ctest", "--test-dir", BUILD, "--show-only=json-v1", "-LE",
             "bench"], check=True, capture_output=True).stdout)
        self.of, self.rooms, self.cost = {}, {}, {}
        self.sound = set()
        self.tried, self.kills = collections.Counter(), collections.Counter()
        for test in listed["tests"]:
            if "command" not in test or NOT_THESE.search(test["name"]):
                continue
            kind = {p["name"]: p["value"] for p in test["properties"]}
            test["command"][1:] = map(fewer, test["command"][1:])
            room = re.search(r"/tests/(\w+)/", " ".join(test["command"]))
            for name, more in cases_of(test["name"]):
                self.of[name] = (test["command"] + more, kind)
                self.rooms[name] = room.group(1) if room else "other"
        if os.path.exists(COSTS):
            with open(COSTS, encoding="utf-8") as file:
                self.cost = json.load(file)
        for row in read_log().values():
            if row["outcome"] == "noticed":
                self.count(row["by"], row["room"], row["file"], True)

    def count(self, name, room, path, noticed):
        for place in (room, path):
            self.tried[name, place] += 1
            self.kills[name, place] += noticed

    def fits(self, name):
        """Whether it is short, and passes where there is no fault: found out
        when it is first asked for."""
        if name not in self.cost:
            start = resource.getrusage(resource.RUSAGE_CHILDREN)
            passed = self.passes(name, NONE, LONGEST)
            end = resource.getrusage(resource.RUSAGE_CHILDREN)
            self.cost[name] = (end.ru_utime - start.ru_utime + end.ru_stime -
                               start.ru_stime) if passed else LONGEST + 1
            with open(COSTS, "w", encoding="utf-8") as file:
                json.dump(self.cost, file, indent=0)
        return self.cost[name] <= LONGEST

    def passes(self, name, mutant, seconds):
        command, kind = self.of[name]
        more = dict(word.split("=", 1) for word in kind.get("ENVIRONMENT", []))
        if "SALTWRIGHT" in more: # the script would take part in faults
            more["SALTWRIGHT"] = f"{WORK}/saltwright" if mutant.library else \
                mutant.programs.get(COMMAND, COMMAND)
        elif command[0].startswith(BUILD):
            more["LD_PRELOAD"] = mutant.library
        command = [mutant.programs.get(command[0], command[0]),
                   *map(wrapped, command[1:])]
        return run(command, seconds, cwd=kind["WORKING_DIRECTORY"],
                   env={**os.environ, "CK_FORK": "no", **more,
                        "MUTANT": mutant.library}) == 0

    def is_of(self, name, fault):
        """Whether it has a word of its name from the file's, by its stem."""
        words = os.path.basename(fault.path)[:-2].split("_")
        return any(word.startswith(of[:5]) for word in name.split("_")
                   for of in words)

    def chance(self, name, fault):
        """How likely it notices a fault there."""
        at = os.path.basename(fault.path)[:-2]
        first = 0.9 if name == at else 0.6 if self.is_of(name, fault) else \
            0.3 if self.rooms[name] == fault.room else 0.05
        chances = [((self.kills[name, place] + first) /
                    (self.tried[name, place] + 1))
                   for place in (fault.room, fault.path)]
        return sum(chances) / 2

    def who_notices(self, fault, mutant):
        """The first that does, and the CPU seconds of those that did not."""
        spent = 0.0
        for name in sorted(self.of, key=lambda n: (
                self.cost.get(n, 1) + 0.02) / self.chance(n, fault)):
            program = self.of[name][0][0]
            if program.startswith(BUILD) and program not in mutant.programs and \
                    "cli" in (fault.room, self.rooms[name]):
                continue # has nothing of the file
            if name == "cli_faults" and mutant.library:
                continue # puts a library of its own before the other
            if spent + self.cost.get(name, 0) > MANY or not self.fits(name):
                continue
            noticed = not self.passes(name, mutant, 5 * self.cost[name] + 5)
            if noticed:
                # It may fail without the fault, or as others are at work.
                if not self.passes(name, NONE, 5 * self.cost[name] + 5):
                    if name not in self.sound:
                        self.cost[name] = LONGEST + 1
                    continue
                self.sound.add(name)
            self.count(name, fault.room, fault.path, noticed)
            if noticed:
                return name, spent
            spent += self.cost[name]
        return None, spent


class Bench:
    """Builds the copy, and one fault after the other."""

    def __init__(self):
        os.makedirs(OWN)
        if "SW_BUILT" not in os.environ:
            self.build()
        with open(f"{BUILD}/compile_commands.json", encoding="utf-8") as file:
            self.commands = {os.path.relpath(c["file"], COPY):
                             shlex.split(c["command"]) for c in json.load(file)
                             if " -o tests/" not in c["command"]}
        self.links = [self.link_of(target) for target in (
            "cli/saltwright", *(f"tests/cli/test_{name}" for name in
                                ("chart", "complain", "escape", "figure", "interrupt", "ordered",
                                 "safe")))]

    @staticmethod
    def build():
        shutil.rmtree(COPY, ignore_errors=True)
        shutil.copytree(SOURCE, COPY,
                        ignore=shutil.ignore_patterns(".build", ".git"))
        for path, old, new in PATCHES:
            with open(f"{COPY}/{path}", encoding="utf-8") as file:
                text = file.read()
            assert old in text, (path, old)
            with open(f"{COPY}/{path}", "w", encoding="utf-8") as file:
                file.write(text.replace(old, new))
        with open(f"{WORK}/saltwright", "w", encoding="utf-8") as file:
            file.write(f'#!/bin/sh\nLD_PRELOAD=$MUTANT exec {COMMAND} "$@"\n')
        os.chmod(f"{WORK}/saltwright", 0o755)
        launcher = ["-DCMAKE_C_COMPILER_LAUNCHER=ccache"] if shutil.which(
            "ccache") else []
        for command in (["cmake", "-G", "Ninja", "-S", COPY, "-B", BUILD,
                         "-DCMAKE_BUILD_TYPE=Release", *launcher],
                        ["ninja", "-C", BUILD, "-j1"]):
            subprocess.run(command, check=True, stdout=subprocess.DEVNULL)

    @staticmethod
    def link_of(target):
        """The words of the command that links it."""
        lines = subprocess.run(["ninja", "-C", BUILD, "-t", "commands", target],
                               check=True, capture_output=True, text=True).stdout
        words = shlex.split(lines.splitlines()[-1])
        return [word for word in words if word not in (":", "&&")]

    def compiled(self, path, code):
        """The object of a file with this code, and a sum of it, or None."""
        command = [word for word in self.commands[path]
                   if not word.endswith("ccache")]
        out, text = f"{OWN}/mutant.o", f"{OWN}/{os.path.basename(path)}"
        with open(text, "w", encoding="utf-8") as file:
            file.write(code)
        command[command.index("-o") + 1] = out
        command[command.index("-c") + 1] = text
        if run([*command, "-w", "-g0", "-iquote",
                os.path.dirname(f"{COPY}/{path}")], cwd=BUILD):
            return None
        return sum_of(out)

    def is_changed(self, fault):
        """Whether the fault can be compiled, and to something else."""
        command = self.commands[fault.path]
        was = sum_of(f"{BUILD}/{command[command.index('-o') + 1]}")
        return self.compiled(fault.path, fault.code()) not in (None, was)

    def mutant(self, fault):
        """The object compiled last, as something that tests can be held against."""
        out, programs = f"{OWN}/mutant.o", {}
        if fault.room != "cli":
            library = f"{OWN}/mutant.so"
            subprocess.run(["gcc", "-shared", "-o", library, out], check=True)
            return Mutant(library, {})
        its = fault.path[len("cli"):] + ".o"
        for link in self.links:
            if not any(word.endswith(its) for word in link):
                continue
            at = link.index("-o") + 1
            program = f"{OWN}/{os.path.basename(link[at])}"
            words = [out if word.endswith(its) else word for word in link]
            words[at] = program
            subprocess.run(words, check=True, cwd=BUILD)
            programs[f"{BUILD}/{link[at]}"] = program
        return Mutant("", programs)


def faults_in(room, path):
    if os.path.exists(f"{COPY}/{path}"):
        for fault in faults(f"{COPY}/{path}"):
            yield Fault(room, path, *fault)


def all_faults(room):
    """Those of a room, shuffled as the seed has it."""
    top = "cli" if room == "cli" else f"lib/{room}"
    for at, _, names in sorted(os.walk(f"{COPY}/{top}")):
        for name in sorted(names):
            path = os.path.relpath(os.path.join(at, name), COPY)
            if name.endswith(".c"):
                yield from faults_in(room, path)


def read_log():
    """What became of each fault, the last word on it."""
    outcomes = {}
    if os.path.exists(f"{WORK}/log"):
        with open(f"{WORK}/log", encoding="utf-8") as file:
            for line in file:
                row = json.loads(line)
                outcomes[key_of(row)] = row
    return outcomes


def read_equivalents():
    with open(f"{SOURCE}/tests/mutants.csv", encoding="utf-8") as file:
        return set(map(key_of, csv.DictReader(file)))


def hold(bench, suites, fault):
    """One fault against the tests; a row for the log."""
    row = dict(zip(KEY, fault.key()), room=fault.room, number=fault.number + 1)
    if not bench.is_changed(fault):
        return {**row, "outcome": "nothing"}
    noticed, spent = suites.who_notices(fault, bench.mutant(fault))
    return {**row, "outcome": "noticed" if noticed else "survived",
            "by": noticed, "seconds": round(spent, 2)}


def put(row):
    with open(f"{WORK}/log", "a", encoding="utf-8") as file:
        file.write(json.dumps(row) + "\n")
    if row["outcome"] == "survived":
        print(f"{row['file']}:{row['number']}: {row['line']}  ->  "
              f"{row['fault']}", flush=True)


def sample(bench, suites, rooms, each, seed):
    """`each` faults of every room, a room after the other, by turns."""
    same = read_equivalents()
    outcomes = read_log()
    queues = {}
    for room in rooms:
        queues[room] = list(all_faults(room))
        random.Random(f"{seed} {room}").shuffle(queues[room])
    counts = collections.Counter()
    while any(queues[r] and counts[r] < each for r in rooms):
        for room in rooms:
            if not queues[room] or counts[room] >= each:
                continue
            fault = queues[room].pop()
            row = outcomes.get(fault.key())
            if fault.key() in same:
                row = {"room": room, "outcome": "same"}
            elif not row:
                row = hold(bench, suites, fault)
                put(row)
            counts[room] += row["outcome"] != "nothing"
            yield row


def again(bench, suites, rooms):
    same = read_equivalents()
    for key, row in read_log().items():
        if row["outcome"] != "survived" or row["room"] not in rooms or \
                key in same:
            continue
        for fault in faults_in(row["room"], row["file"]):
            if fault.key() == key:
                row = hold(bench, suites, fault)
                break
        else:
            row = {**row, "outcome": "nothing"} # that line is gone
        put(row)
        yield row


def main():
    words = sys.argv[1:]
    bench = Bench()
    suites = Suites()
    if words[:1] == ["again"]:
        rows = list(again(bench, suites, words[1:] or ROOMS))
    else:
        count = int(words[0]) if words else 500
        rooms = words[2:] or ROOMS
        rows = list(sample(bench, suites, rooms, -(-count // len(rooms)),
                           words[1] if len(words) > 1 else "1"))
    share = 1.0
    for room in [*ROOMS, None]:
        of = collections.Counter(r["outcome"] for r in rows
                                 if room in (r["room"], None))
        held = of["noticed"] + of["survived"]
        if held:
            share = of["noticed"] / held
            print(f"{room or 'all'}: {held + of['same']} tried, {of['same']} "
                  f"change nothing, {of['noticed']} noticed, "
                  f"{of['survived']} not: {100 * share:.1f} %")
    sys.exit(share < WANTED)


if __name__ == "__main__":
    main()
