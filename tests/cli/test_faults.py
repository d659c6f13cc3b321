#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Commands with an allocation or a call about a file failing, once or from then
on, whosever it is, or with a signal at such a call.

    SALTWRIGHT=... test_faults.py FAULT_LIBRARY [EACH [COMMAND ...]]

Each run must end as if nothing had happened, or with the exit status and the
words of what failed, and its files be all of this run or all of an earlier one.
Ten times EACH allocations are lost of every command (2), once and from then on;
EACH calls fail, each in three ways, or of two quick commands six times as many,
the same ones each time, and every one in every way of the quickest; "all" takes
every one of all commands.  COMMANDs are those
tried: all.
"""
import errno
import os
import random
import signal
import subprocess
import sys
import tempfile

BASIL = ["--target", "examples/basil.csv", "--shelf", "examples/straights.csv"]
WELL = ["--water", "examples/well.csv"]
PAIR = ["--output", "FOLDER/result.txt", "--sheet", "FOLDER/sheet.html"]
RENEW = ["renew", "--solution", "examples/return.csv:late", "--holds", "900L",
         "--volume", "1000L", "--water", "examples/town.csv", *BASIL]
COMPARE = ["compare", *WELL, "--water", "examples/town.csv", *BASIL]
MEMORY = [
    ["formulate", *WELL, *BASIL, "--scale", "1g", *PAIR[2:]],
    ["formulate", *WELL, *BASIL, "--why", "--format", "json"],
    ["check", *WELL, *BASIL, "--recipe", "examples/recipe.csv", *PAIR],
    ["stock", "--water", "examples/town.csv", *BASIL, "--tank", "200L"],
    [*COMPARE, "--purified", "typical", "--blend"],
    [*RENEW, *PAIR[:2]],
    ["audit", *WELL, "--format", "csv"],
    ["recipes", *COMPARE[1:]],
    ["catalogue", "--format", "json"],
]
FILES = [
    ["start", "FOLDER", "--output", "FOLDER/result.txt"],
    ["catalogue", *PAIR[:2]],
    ["audit", *WELL, *PAIR[:2]],
    ["formulate", *WELL, *BASIL, *PAIR],
    ["formulate", *WELL, *BASIL, *PAIR, "--trade-off", "cost", "--curve",
     "FOLDER/curve.svg"],
    ["check", *WELL, *BASIL, "--recipe", "examples/recipe.csv", *PAIR],
    ["stock", *WELL, *BASIL, "--tank", "200L", *PAIR],
    [*COMPARE, *PAIR],
    [*RENEW, *PAIR[:2]],
    ["recipes", *COMPARE[1:], *PAIR[:2]],
    ["batch", *WELL, "--water", "examples/town.csv", *BASIL, *PAIR[:2]],
]
OLD = {"result.txt", "sheet.html"}
OLD_TEXT = b"what an earlier run has written\n"
# A call that fails and all after it, as of a device that is gone; one, as a full,
# a broken or a slow device makes it, or a file whose owner nobody else may give
# away; a signal.
GONE = {"FAULT_ERROR": str(errno.EIO), "FAULT_STICKY": "1"}
FAULTS = [{"FAULT_ERROR": str(error)} for error in (
    errno.ENOSPC, errno.EIO, errno.EINTR, errno.EPERM)] + [
    {"FAULT_SIGNAL": str(int(number))} for number in (
        signal.SIGINT, signal.SIGTERM, signal.SIGHUP)]


class Run:
    """One command in a folder with results of an earlier one."""

    def __init__(self, command, **fault):
        with tempfile.TemporaryDirectory() as folder:
            count = f"{folder}.count"
            for name in OLD:
                with open(f"{folder}/{name}", "wb") as file:
                    file.write(OLD_TEXT)
                if os.geteuid() == 0: # else there is no other owner
                    os.chown(f"{folder}/{name}", 1, 1)
                os.chmod(f"{folder}/{name}", 0o604)
            words = [word.replace("FOLDER", folder) for word in command]
            done = subprocess.run(
                [os.environ["SALTWRIGHT"], *words], capture_output=True,
                env={**os.environ, "LD_PRELOAD": LIBRARY, "NO_COLOR": "1",
                     "FAULT_COUNT": count, **fault}, check=False, timeout=600)
            self.status = done.returncode
            self.output = done.stdout.replace(folder.encode(), b"FOLDER")
            self.words = done.stderr.replace(folder.encode(), b"FOLDER")
            self.files, self.modes = {}, set()
            for at, _, names in os.walk(folder):
                for name in names:
                    path = os.path.join(at, name)
                    with open(path, "rb") as file:
                        self.files[os.path.relpath(path, folder)] = \
                            file.read().replace(folder.encode(), b"FOLDER")
                    if name in OLD:
                        info = os.stat(path)
                        self.modes.add((info.st_mode & 0o7777, info.st_uid))
            self.made = self.called = 0
            if os.path.exists(count):
                with open(count, encoding="ascii") as file:
                    self.made, self.called = map(int, file.read().split())
                os.remove(count)

    def is_as(self, plenty):
        return (self.status, self.output, self.words, self.files) == (
            plenty.status, plenty.output, plenty.words, plenty.files)

    def left_alone(self):
        """Only the files of before, and what it says it has left."""
        ours = {name: text for name, text in self.files.items()
                if name.encode() not in self.words or name in OLD}
        told = self.files.keys() - ours.keys()
        return ours == dict.fromkeys(OLD, OLD_TEXT) or told

    def took_every_owner(self):
        return self.modes <= {(0o604, 1 if os.geteuid() == 0
                               else os.geteuid())}


def files_are_sound(plenty, faulty, fault):
    """The files of this run, or those of before; never some of each."""
    if not faulty.took_every_owner():
        return False
    if "FAULT_SIGNAL" in fault:
        return stops_early(plenty, faulty) or faulty.status in (
            -int(fault["FAULT_SIGNAL"]), plenty.status) and (
            faulty.left_alone() or faulty.files == plenty.files)
    return faulty.is_as(plenty) or (
        faulty.status in (3, 4) and b"error: " in faulty.words and
        faulty.left_alone()) or (
        faulty.files.items() >= plenty.files.items() and
        b": error: cannot " in faulty.words)


def stops_early(plenty, faulty):
    """Many waters from the keyboard: some of the rows, and it says so."""
    return (faulty.status == 1 and b"stopped from the keyboard" in faulty.words
            and faulty.files.keys() == plenty.files.keys()
            and len(faulty.files["result.txt"].splitlines()) > 1
            and OLD_TEXT not in faulty.files["result.txt"])


def chosen(count, each):
    """Some of 1 to `count`, the same ones each time."""
    if each == "all":
        return range(1, count + 1)
    return sorted(random.Random(1).sample(range(1, count + 1),
                                          min(int(each), count)))


class Losing:
    """What a command says and leaves in a folder of its own, and what each of
    its children does that did not end as out of memory."""

    def __init__(self, command, **fault):
        here = os.path.join(os.getcwd(), "examples/")
        words = [word.replace("FOLDER/", "").replace("examples/", here)
                 for word in command]
        with tempfile.TemporaryDirectory() as folder:
            done = subprocess.run(
                [os.environ["SALTWRIGHT"], *words], capture_output=True,
                cwd=folder, check=False,
                env={**os.environ, "LD_PRELOAD": LIBRARY, "NO_COLOR": "1",
                     "FAULT_COUNT": f"{folder}/count", **fault})
            self.said = {"1": done.stdout, "2": done.stderr}
            files = left_in(folder)
            self.made = int(files.pop("count").split()[0])
            self.end = (done.returncode, 0, {**self.said, **files})
            self.odd = {}
            for entry in os.scandir(folder):
                if entry.is_dir():
                    nth, status, leaks = map(int, entry.name.split("-"))
                    self.odd[nth] = (status >> 8 or -status, leaks,
                                     left_in(entry))


def left_in(folder):
    """The files straight below it."""
    texts = {}
    for entry in os.scandir(folder):
        if entry.is_file():
            with open(entry, "rb") as file:
                texts[entry.name] = file.read()
    return texts


def lose_memory(command, each):
    """From every allocation on a child of the command goes without it, and ends
    as out of memory, or as if nothing had happened; no memory is lost.  Where it
    is the C library that has none, for its locale, it may read bytes, as where
    there is no such locale."""
    plenty = Losing(command)
    ends = (plenty.end, Losing(command, FAULT_LOCALE="1").end)
    assert plenty.made > 500, "the library was not loaded"
    step = 1 if each == "all" else plenty.made // (10 * int(each))
    for kind in {}, {"FAULT_STICKY": "1"}:
        scarce = Losing(command, FAULT_EACH="1", FAULT_STEP=str(step),
                        FAULT_FROM="1", **kind)
        assert (scarce.end, scarce.made) == (plenty.end, plenty.made), (
            command, scarce.made, plenty.made, scarce.end[2]["2"])
        for nth in range(1, plenty.made + 1, step):
            status, leaks, texts = scarce.odd.get(nth, plenty.end)
            if status == -signal.SIGALRM: # a lock: without its parent, then
                alone = Losing(command, FAULT_NTH=str(nth), **kind)
                status, leaks, texts = alone.end
                if status == 4 and b"memory" in texts["2"] and \
                        texts.keys() == {"1", "2"}:
                    status, leaks, texts = plenty.end
            yield ((status, leaks, texts) in ends, command,
                   f"allocation {nth} of {plenty.made} {kind}",
                   Ended(status, leaks, texts))


class Ended:
    """How a child did, for a complaint."""

    def __init__(self, status, leaks, texts):
        self.status, self.modes = status, f"{leaks} leaks"
        self.words, self.files = texts["2"], texts


def break_files(command, each):
    plenty = Run(command)
    assert plenty.called > 8, "the library was not loaded"
    short = Run(command, FAULT_SHORT="1")
    yield short.is_as(plenty), command, "short reads and writes", short
    quickest = command[0] == "catalogue"
    unheard = 0
    if quickest:
        each = "all"
    elif each != "all" and command[0] in ("start", "batch"):
        each = 6 * int(each)
    dice = random.Random(1)
    for nth in chosen(plenty.called, each):
        for fault in [GONE] + (FAULTS if each == "all"
                               else dice.sample(FAULTS, 2)):
            faulty = Run(command, FAULT_CALL=str(nth), **fault)
            unheard += fault == FAULTS[1] and faulty.is_as(plenty)
            yield (files_are_sound(plenty, faulty, fault), command,
                   f"call {nth} of {plenty.called} {fault}", faulty)
    if quickest: # where link fails rename serves; any other is told
        yield unheard == 1, command, f"{unheard} errors are not told", plenty


def main():
    each = sys.argv[2] if len(sys.argv) > 2 else "2"
    wanted = set(sys.argv[3:])
    runs = wrong = 0
    for commands, tried in (FILES, break_files), (MEMORY, lose_memory):
        for command in commands:
            if wanted and command[0] not in wanted:
                continue
            for sound, of, what, done in tried(command, each):
                runs += 1
                if not sound:
                    wrong += 1
                    print(f"{of[0]}, {what}: exit {done.status}, "
                          f"{done.words[-200:]}, files {sorted(done.files)}, "
                          f"{done.modes}", flush=True)
    print(f"{runs} runs, {wrong} wrong")
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    LIBRARY = os.path.abspath(sys.argv[1])
    main()
