#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Runs the sessions that README.md shows and compares what they print.

A session is a ```console block: `$ ` begins a command (a `\\` at its end
goes on), the rest is what it prints, exactly; a line `...` stands for any
lines.  The commands run beside a copy of the examples.  With --write
the README gets the output as it is now, to be read before it is committed.
"""
import os
import re
import shutil
import subprocess
import sys
import tempfile
import unittest

from runner import COMMAND, SOURCE

README = os.path.join(SOURCE, "README.md")
PICTURES = ["basil-page.svg", "basil-chart.svg"]
BLOCK = re.compile(r"^```console\n(.*?)^```", re.S | re.M)


def run(command, folder):
    """Exit status and everything printed, as on a terminal of 80 columns."""
    tools = os.path.join(folder, "bin")
    done = subprocess.run(
        ["bash", "-c", command], cwd=folder, text=True, check=False,
        stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT, timeout=60,
        env={**os.environ, "PATH": tools + ":" + os.environ["PATH"],
             "COLUMNS": "80", "NO_COLOR": "1"})
    return done.returncode, done.stdout


def split(block):
    """The commands of a block, each with the lines it is to print."""
    steps, goes_on = [], False
    for line in block.splitlines():
        if line.startswith("$ "):
            steps.append((line[2:], []))
        elif goes_on:
            steps[-1] = (steps[-1][0] + "\n" + line, [])
        else:
            steps[-1][1].append(line)
            continue
        goes_on = line.endswith("\\")
    return steps


def matches(expected, printed):
    """Whether `printed` is `expected`, where `...` stands for any lines."""
    pattern = "".join(r"(?:.*\n)*?" if line.strip() == "..." else
                      re.escape(line.rstrip()) + "\n" for line in expected)
    text = "".join(line.rstrip() + "\n" for line in printed.splitlines())
    return re.fullmatch(pattern, text) is not None


def draw(folder):
    """The pictures of the README, by the script that the examples run."""
    subprocess.run(["bash", os.path.join(SOURCE, "examples/pictures.sh"), folder],
                   check=True, timeout=60,
                   env={**os.environ, "SALTWRIGHT": os.path.abspath(COMMAND)})


class Examples:
    """A folder with a copy of the examples and the command on the path."""

    def __enter__(self):
        self.folder = tempfile.TemporaryDirectory()
        name = self.folder.name
        shutil.copytree(os.path.join(SOURCE, "examples"),
                        os.path.join(name, "examples"))
        os.mkdir(os.path.join(name, "bin"))
        os.symlink(os.path.abspath(COMMAND),
                   os.path.join(name, "bin", "saltwright"))
        return name

    def __exit__(self, *_):
        self.folder.cleanup()


class Readme(unittest.TestCase):
    def test_each_session_prints_what_is_shown(self):
        with open(README, encoding="utf-8") as file:
            blocks = BLOCK.findall(file.read())
        self.assertGreater(len(blocks), 0)
        with Examples() as folder:
            for command, expected in sum(map(split, blocks), []):
                status, printed = run(command, folder)
                self.assertLessEqual(status, 1, command + "\n" + printed)
                self.assertTrue(matches(expected, printed),
                                f"$ {command}\n{printed}")

    def test_the_pictures_are_of_today(self):
        with tempfile.TemporaryDirectory() as folder:
            draw(folder)
            for name in PICTURES:
                with open(os.path.join(folder, name), encoding="utf-8") as new, \
                        open(os.path.join(SOURCE, "examples", name),
                             encoding="utf-8") as old:
                    self.assertEqual(new.read(), old.read(), name)

    def test_a_wrong_line_does_not_match(self):
        self.assertTrue(matches(["a", "...", "c"], "a\nb\nb\nc\n"))
        self.assertTrue(matches(["a", "..."], "a\n"))
        self.assertFalse(matches(["a", "...", "c"], "a\nb\nd\n"))
        self.assertFalse(matches(["a"], "a\nb\n"))
        self.assertFalse(matches(["1.5"], "1,5\n"))


def label(line):
    """What a line begins with, up to its next column."""
    return re.split(r"  +", line.strip())[0]


def afresh(expected, printed):
    """What a session with `...` shows today: each stretch between them from the
    line that begins alike, to as many blank lines as it had, or else lines."""
    stretches, result = [[]], []
    for line in expected:
        if line == "...":
            stretches.append([])
        else:
            stretches[-1].append(line)
    left = printed.splitlines()
    for index, stretch in enumerate(stretches):
        result += ["..."] if index else []
        while stretch and left and label(left[0]) != label(stretch[0]):
            left.pop(0)
        blanks, count = stretch.count(""), len(stretch)
        if stretch and stretch[-1] == "":
            ends = [i + 1 for i, line in enumerate(left) if not line.strip()]
            count = ends[blanks - 1] if len(ends) >= blanks else len(left)
        result += left[:count]
        left = left[count:]
    return result


def write():
    """Puts today's output into the README, and draws its pictures."""
    draw(os.path.join(SOURCE, "examples"))
    with open(README, encoding="utf-8") as file:
        text = file.read()
    with Examples() as folder:
        def renew(found):
            lines = []
            for command, expected in split(found.group(1)):
                printed = run(command, folder)[1]
                expected = afresh(expected, printed) \
                    if "..." in expected else printed.splitlines()
                lines += ["$ " + command, *(e.rstrip() for e in expected)]
            return "```console\n" + "\n".join(lines) + "\n```"
        text = BLOCK.sub(renew, text)
    with open(README, "w", encoding="utf-8") as file:
        file.write(text)


if __name__ == "__main__":
    if "--write" in sys.argv:
        write()
    else:
        unittest.main()
