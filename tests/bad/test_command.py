#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Every bad file through the command, as SALTWRIGHT names it.

Exit status 3, nothing on standard output, and one complaint that names file,
line, column and defect as expected.txt has them.  Whatever the file holds,
nothing but text may reach the terminal.
"""
import itertools
import os
import subprocess
import unicodedata
import unittest

HERE = os.path.dirname(os.path.abspath(__file__))
SOURCE = os.path.dirname(os.path.dirname(HERE))
GOOD = {"water": "examples/town.csv", "target": "examples/basil.csv",
        "shelf": "examples/straights.csv", "recipe": "examples/recipe.csv"}


# The readers meet every file in test_bad too; where each run is slow, the
# command gets one in so many.
EVERY = int(os.environ.get("SW_ONE_IN", "1"))


def cases():
    """(file, place or "", message) of lines of expected.txt."""
    with open(os.path.join(HERE, "expected.txt"), encoding="utf-8") as file:
        for row in itertools.islice(file, 0, None, EVERY):
            name, _, place, message = row.rstrip("\n").split("\t")
            if os.path.isfile(os.path.join(HERE, name)):
                yield name, "" if place.startswith("0:") else place, message


def run(name):
    """`check` with the bad file in the place of the good one of its kind."""
    files = dict(GOOD, **{name.split("-")[0]: "tests/bad/" + name})
    words = [os.environ["SALTWRIGHT"], "check"]
    if "stocks" in files:
        del files["recipe"]
        words += ["--tank", "200L"]
    for kind, path in files.items():
        words += ["--" + kind, path]
    return subprocess.run(words, cwd=SOURCE, check=False, timeout=60,
                          stdin=subprocess.DEVNULL, capture_output=True)


def flat(text):
    """Without the ends of lines that fit it to a terminal."""
    return " ".join(text.split())


class BadFiles(unittest.TestCase):
    def test_every_bad_file_is_refused_in_its_own_words(self):
        found = list(cases())
        self.assertGreater(EVERY * len(found), 150)
        for name, place, message in found:
            with self.subTest(name):
                done = run(name)
                said = done.stderr.decode("utf-8")
                self.assertEqual(done.returncode, 3, said)
                self.assertEqual(done.stdout, b"")
                self.assertIn(f"tests/bad/{name}:{place}", said)
                self.assertIn(flat(message)[:100], flat(said))

    def test_nothing_but_text_reaches_the_terminal(self):
        for name, _, _ in cases():
            with self.subTest(name):
                said = run(name).stderr.decode("utf-8")
                odd = [c for c in said
                       if unicodedata.category(c) in ("Cc", "Cf", "Zl", "Zp")
                       and c != "\n"]
                self.assertEqual(odd, [])


if __name__ == "__main__":
    unittest.main()
