# SPDX-License-Identifier: GPL-3.0-or-later
"""The manual page: well formed, complete, and its examples run."""
import os
import re
import shlex
import subprocess
import unittest

from runner import SOURCE, run

PAGE = os.path.join(SOURCE, "cli/saltwright.1")


def page():
    with open(PAGE, encoding="utf-8") as file:
        return file.read()


def examples():
    for block in re.findall(r"^\.Bd -literal.*?\n(.*?)^\.Ed", page(),
                            re.S | re.M):
        yield block.replace("\\e\n", "\n").replace("\n    ", " ").strip()


class Manual(unittest.TestCase):
    def test_mandoc_finds_nothing_to_say(self):
        done = subprocess.run(["mandoc", "-T", "lint", "-W", "warning", PAGE],
                              capture_output=True, text=True, check=False)
        self.assertEqual((done.stdout, done.returncode), ("", 0))

    def test_every_example_runs(self):
        found = list(examples())
        self.assertGreater(len(found), 4)
        for example in found:
            words = shlex.split(example)
            self.assertEqual(words[:2], ["$", "saltwright"])
            done = run(*words[2:])
            self.assertIn(done.returncode, (0, 1), example + done.stderr)
            self.assertGreater(len(done.stdout), 500)
            self.assertNotIn("error:", done.stderr)

    def test_every_example_uses_another_command_or_option(self):
        self.assertEqual(len(set(examples())), len(list(examples())))

    def test_it_names_every_command(self):
        listed = re.findall(r"^  ([a-z]+)  ", run("--help").stdout, re.M)
        self.assertIn("formulate", listed)
        for command in listed:
            self.assertIn(f".It Cm {command}\n", page())


if __name__ == "__main__":
    unittest.main()
