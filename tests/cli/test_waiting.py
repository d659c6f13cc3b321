# SPDX-License-Identifier: GPL-3.0-or-later
"""What takes long: it says so on a terminal, and Ctrl-C ends a search with the
best it has; files are whole or absent."""
import os
import pty
import re
import select
import signal
import subprocess
import tempfile
import time
import unittest

from runner import COMMAND, SOURCE, written

# So many salts for so few nutrients that the search for whole steps of a coarse
# scale does not end soon.
SHELF = "product\n" + "\n".join([
    "calcium nitrate tetrahydrate", "calcium chloride dihydrate",
    "potassium nitrate", "magnesium nitrate hexahydrate", "ammonium nitrate",
    "ammonium sulfate", "monopotassium phosphate", "monoammonium phosphate",
    "potassium sulfate", "magnesium sulfate heptahydrate",
    "potassium chloride", "urea", "ammonium chloride",
    "magnesium chloride hexahydrate", "diammonium phosphate",
    "dipotassium phosphate", "sodium nitrate", "manganese sulfate monohydrate",
    "zinc sulfate heptahydrate", "copper sulfate pentahydrate", "boric acid",
    "iron DTPA 11 %", "sodium molybdate dihydrate"]) + "\n"


class Waiting(unittest.TestCase):
    def setUp(self):
        self.shelf = written(SHELF)
        self.addCleanup(self.shelf.close)

    def begun(self, command, *more):
        """Its standard error a terminal."""
        master, slave = pty.openpty()
        child = subprocess.Popen(
            [COMMAND, command, "--target", "examples/basil.csv", *more],
            cwd=SOURCE, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
            stderr=slave, encoding="utf-8",
            env=dict(os.environ, TERM="xterm", NO_COLOR="1", PAGER=""))
        os.close(slave)
        return child, master

    def searching(self, *more):
        """A search of an hour."""
        return self.begun(
            "formulate", "--water", "examples/town.csv", "--shelf",
            self.shelf.name, "--scale-step", "10g", "--fine-step", "0.1g",
            "--volume", "1000L", "--equal-within", "0", "--search-time",
            "3600s", *more)

    def said_until(self, master, text):
        """What stands on the terminal once `text` does."""
        said = b""
        end = time.monotonic() + 60
        while text not in said and time.monotonic() < end:
            if select.select([master], [], [], 1)[0]:
                said += os.read(master, 4096)
        self.assertIn(text, said)
        return said

    def test_a_long_search_is_told_and_ends_with_the_best_so_far(self):
        with tempfile.TemporaryDirectory() as folder:
            sheet = os.path.join(folder, "mix.html")
            child, master = self.searching("--sheet", sheet)
            said = self.said_until(master, b" s; Ctrl-C stops")
            self.assertRegex(said, rb"\rsaltwright formulate: \d+ s; Ctrl-C")
            child.send_signal(signal.SIGINT)
            out, _ = child.communicate(timeout=60)
            if b"\r\x1b[K" not in said: # of one of two searches, or of both
                said += self.said_until(master, b"\r\x1b[K")
            if b"so far follows" not in said:
                said += self.said_until(master, b"so far follows")
            os.close(master)
            self.assertIn(child.returncode, (0, 1))
            self.assertIn("The search was cut short", out[:300])
            self.assertIn("\nRecipe for 1000 L", out[:2000])
            self.assertIn(b"what was found so far follows", said)
            with open(sheet, encoding="utf-8") as file:
                self.assertTrue(file.read().rstrip().endswith("</html>"))
            self.assertEqual(os.listdir(folder), ["mix.html"])

    def test_a_signal_to_end_ends_it_and_leaves_no_file(self):
        with tempfile.TemporaryDirectory() as folder:
            child, master = self.searching(
                "--output", os.path.join(folder, "result"))
            self.said_until(master, b" s; Ctrl-C stops")
            child.send_signal(signal.SIGTERM)
            child.communicate(timeout=60)
            os.close(master)
            self.assertEqual(child.returncode, -signal.SIGTERM)
            self.assertEqual(os.listdir(folder), [])

    def seasons(self, count):
        rows = "".join(f"w{i},7.{i % 10},{40 + i % 60},{5 + i % 17},"
                       f"{60 + i % 97}\n" for i in range(count))
        file = written("sample,pH,Ca [mg/L],Mg [mg/L],"
                       "alkalinity [mg/L CaCO3]\n" + rows)
        self.addCleanup(file.close)
        return file.name

    def test_what_is_judged_together_has_no_part_to_show(self):
        child, master = self.begun(
            "recipes", "--water", self.seasons(48), "--shelf",
            "examples/straights.csv")
        time.sleep(1)
        child.send_signal(signal.SIGINT)
        out, _ = child.communicate(timeout=60)
        self.said_until(master, b"nothing to show")
        os.close(master)
        self.assertEqual((child.returncode, out), (-signal.SIGINT, ""))

    def test_many_waters_end_with_the_rows_there_are(self):
        with tempfile.TemporaryDirectory() as folder:
            place = os.path.join(folder, "rows.csv")
            child, master = self.begun(
                "batch", "--water", self.seasons(3000), "--shelf",
                "examples/straights.csv", "--format", "csv", "--output",
                place)
            told = self.said_until(master, b" s left), ")
            child.send_signal(signal.SIGINT)
            child.communicate(timeout=60)
            said = self.said_until(master, b" waters;").decode()
            os.close(master)
            self.assertEqual(os.listdir(folder), ["rows.csv"])
            with open(place, encoding="utf-8") as file:
                out = file.read()
        self.assertRegex(told, rb"batch: \d+ done, \d+ a second, \d+ % "
                               rb"\(about \d+ s left\), ")
        self.assertEqual(child.returncode, 1)
        done = int(re.search(r"after (\d+) waters", said).group(1))
        self.assertGreater(done, 0)
        self.assertEqual(len(re.findall(r"^w\d+,", out, re.M)), done)


if __name__ == "__main__":
    unittest.main()
