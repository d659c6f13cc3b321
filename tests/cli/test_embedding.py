#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The program of README.md: 20 lines at most, compiled and run as it stands.

What it prints is the command's own recipe.  EMBED holds the compiler, the
folders of the headers and the library, parted by `|`.
"""
import os
import re
import subprocess
import tempfile
import unittest

from runner import BASIL, SOURCE, run_json

COMPILER, *INCLUDES, LIBRARY = os.environ["EMBED"].split("|")


class Embedding(unittest.TestCase):
    def setUp(self):
        with open(os.path.join(SOURCE, "README.md"), encoding="utf-8") as file:
            programs = re.findall(r"^```c\n(.*?)^```", file.read(), re.S | re.M)
        self.assertEqual(len(programs), 1)
        self.program = programs[0]

    def test_it_is_short(self):
        self.assertLessEqual(self.program.count("\n"), 20)

    def test_it_gives_the_recipe_of_the_command(self):
        with tempfile.TemporaryDirectory() as folder:
            path = os.path.join(folder, "embedding")
            subprocess.run([COMPILER, "-std=c17", "-Wall", "-Wextra", "-Werror",
                            "-x", "c", "-", "-x", "none", "-o", path,
                            *(f"-I{include}" for include in INCLUDES), LIBRARY,
                            f"-Wl,-rpath,{os.path.dirname(LIBRARY)}"],
                           input=self.program, text=True, check=True)
            done = subprocess.run([path], cwd=SOURCE, text=True, check=True,
                                  stdout=subprocess.PIPE)
        printed = dict(line.rsplit(",", 1) for line in
                       done.stdout.splitlines())
        used = {name: float(g) for name, g in printed.items() if float(g)}
        recipe = {row["product"]: row["g_per_l"]
                  for row in run_json("formulate", *BASIL)["recipe"]}
        self.assertEqual(set(used), set(recipe))
        for name, g_per_l in used.items():
            self.assertAlmostEqual(g_per_l / recipe[name], 1, delta=1e-4)


if __name__ == "__main__":
    unittest.main()
