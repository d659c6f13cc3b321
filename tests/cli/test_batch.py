# SPDX-License-Identifier: GPL-3.0-or-later
"""Many waters: the same rows however they are worked on, in memory that does not
grow with them; rows that cannot be used; what a row says of what it misses.

Environment, for counts that CI has no time for:
    SW_BATCH_WATERS=1000000   waters whose memory is measured (520)
    SW_BATCH_STOPS=50         moments at which Ctrl-C comes (2)
"""
import csv
import io
import json
import math
import os
import random
import re
import shutil
import signal
import subprocess
import tempfile
import time
import unittest

from runner import COMMAND, SOURCE, run, written

WATERS = int(os.environ.get("SW_BATCH_WATERS", "520"))
STOPS = int(os.environ.get("SW_BATCH_STOPS", "2"))
HEAD = ("sample,pH,alkalinity [mg/L CaCO3],Ca [mg/L],Mg [mg/L],Na [mg/L],"
        "Cl [mg/L],SO4 [mg/L],NO3-N [mg/L]\n")
AIM = ["--target", "examples/basil.csv", "--shelf", "examples/straights.csv"]
# More than is worked on at once, 256, so that there are two lots.
SOME = 262
MEMORY_KB = 30 * 1024
# A sanitizer keeps what was freed, to find who uses it.
with open(COMMAND, "rb") as command:
    SANITIZED = b"__asan_init" in command.read()


def waters(count, seed=1, bad=()):
    """Invented wells, no two of them the same."""
    draw = random.Random(seed)
    rows = []
    for i in range(count):
        ca, mg = draw.uniform(10, 130), draw.uniform(2, 40)
        na, cl = draw.uniform(3, 90), draw.uniform(3, 120)
        cell = "x?" if i in bad else f"{ca:.1f}"
        rows.append(f"w{i},{draw.uniform(6.5, 8.2):.1f},"
                    f"{2.2 * ca + 3.5 * mg:.0f},{cell},{mg:.1f},{na:.1f},"
                    f"{cl:.1f},{draw.uniform(3, 90):.1f},"
                    f"{draw.uniform(0, 9):.2f}\n")
    return HEAD + "".join(rows)


def peak_kb(*arguments):
    """The most memory that a run has held, and its exit status."""
    child = subprocess.Popen([COMMAND, *arguments], cwd=SOURCE,
                             stdout=subprocess.DEVNULL,
                             stderr=subprocess.DEVNULL)
    _, status, used = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    return used.ru_maxrss, child.returncode


class SameRows(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        # the last of a lot of 256, and one of the next, which is done before
        cls.text = waters(SOME, bad={255, 260})
        cls.file = written(cls.text)
        cls.done = cls.batch(cls.file.name, "csv", "1")

    @classmethod
    def tearDownClass(cls):
        cls.file.close()

    @staticmethod
    def batch(file, form, jobs, **options):
        return run("batch", "--water", file, *AIM, "--format", form, "--jobs",
                   jobs, **options)

    def test_a_row_for_each_water_in_order(self):
        rows = list(csv.DictReader(io.StringIO(self.done.stdout)))
        self.assertEqual([r["sample"] for r in rows],
                         [f"w{i}" for i in range(SOME)])

    def test_rows_are_the_same_by_two_threads_from_standard_input(self):
        told = self.batch("-", "ndjson", "2", input=self.text)
        self.assertEqual(told.returncode, 3, told.stderr)
        self.assertEqual(re.findall(r":(\d+):\d+: error", told.stderr),
                         ["257", "262"])
        rows = [json.loads(line) for line in told.stdout.splitlines()]
        table = list(csv.DictReader(io.StringIO(self.done.stdout)))
        self.assertEqual(len(rows), len(table))
        for row, cells in zip(rows, table):
            self.assertEqual(row["sample"], cells["sample"])
            for name, amount in row.get("g_per_l", {}).items():
                self.assertTrue(math.isclose(
                    amount, float(cells[name + " [g/L]"]), rel_tol=1e-9))

    def test_rows_are_the_same_in_parts_with_the_head_before_each(self):
        lines = self.text.splitlines(keepends=True)[1:]
        joined = []
        for start in (0, 90, 251):
            end = {0: 90, 90: 251, 251: SOME}[start]
            part = self.batch("-", "csv", "2",
                              input=HEAD + "".join(lines[start:end]))
            joined += part.stdout.splitlines()[bool(start):]

        def told(table):  # the line in the file is another
            return [row[:row.index("failed") + 1] if "failed" in row else row
                    for row in csv.reader(table)]
        self.assertEqual(told(joined), told(self.done.stdout.splitlines()))

    def test_what_lacks_is_told_of_a_sample_as_of_a_file(self):
        with written("sample,Ca [mg/L],alkalinity [mg/L CaCO3]\na,80,200\n"
                     "b,90,210\n") as file:
            for water in (file.name, f"{file.name}:b",
                          "Ca=80mg/L,alkalinity=200mg/L CaCO3"):
                done = run("batch", "--water", water, *AIM)
                self.assertIn("not reported, so taken as 0: Mg, Na, Cl",
                              done.stderr, water)

    def test_a_bad_row_is_told_with_its_place_and_ends_nothing(self):
        self.assertEqual(self.done.returncode, 3)
        for line in (257, 262):
            self.assertIn(f"{self.file.name}:{line}:", self.done.stderr)
        self.assertIn(f"2 of {SOME} waters could not be used",
                      self.done.stderr)
        bad = [r for r in csv.DictReader(io.StringIO(self.done.stdout))
               if r["outcome"] == "failed"]
        self.assertEqual([r["sample"] for r in bad], ["w255", "w260"])
        self.assertIn(f"{self.file.name}:257:", bad[0]["reason"])
        self.assertIn("'x?' is not a value", bad[0]["reason"])

    def test_text_gives_the_head_again_and_says_the_rest_once(self):
        text = self.batch(self.file.name, "text", "2").stdout
        self.assertEqual(text.count("A recipe for each water\n"), 2)
        self.assertEqual(text.count("\nHow far the amounts range\n"), 1)
        self.assertEqual(text.count("\nSafety\n"), 1)


class Rows(unittest.TestCase):
    def test_the_first_bad_row_ends_a_strict_run(self):
        with written(waters(9, bad={4})) as file:
            done = run("batch", "--water", file.name, *AIM, "--format", "csv",
                       "--strict")
        self.assertEqual(done.returncode, 3)
        self.assertIn(f"{file.name}:6:", done.stderr)
        self.assertEqual([line.split(",")[0]
                          for line in done.stdout.splitlines()],
                         ["sample", "w0", "w1", "w2", "w3"])

    def test_what_keeps_the_head_from_being_read_leaves_no_result(self):
        done = run("batch", "--water", "-", *AIM, "--format", "csv",
                   input="sample,Calcum [mg/L]\nw,40\n")
        self.assertEqual((done.returncode, done.stdout), (3, ""))

    def test_a_break_in_the_file_leaves_the_rows_before_it(self):
        done = run("batch", "--water", "-", *AIM, "--format", "ndjson",
                   input=waters(260) + 'late,7,"\n')
        self.assertEqual(done.returncode, 3)
        self.assertEqual(len(done.stdout.splitlines()), 260)
        self.assertIn("standard input:262:", done.stderr)
        self.assertIn("the result ends after 260 waters", done.stderr)

    def test_a_footnote_alone_behind_the_rows_read_ahead_is_asked_about(self):
        """Those it is of are gone: it may not pass for one of no reading."""
        for count in (254, 255, 256):
            done = run("batch", "--water", "-", *AIM, "--format", "ndjson",
                       input=waters(count) + "All are given as CaCO3\n")
            self.assertEqual(done.returncode, 3, count)
            self.assertIn(f"standard input:{count + 2}:", done.stderr)

    def test_a_slow_pipe_gives_the_rows_there_are_when_stopped(self):
        child = subprocess.Popen(
            [COMMAND, "batch", "--water", "-", *AIM, "--format", "ndjson"],
            cwd=SOURCE, stdin=subprocess.PIPE, stdout=subprocess.PIPE,
            stderr=subprocess.PIPE)
        child.stdin.write((waters(3) + "late,7").encode())
        child.stdin.flush()
        time.sleep(1.5)
        child.send_signal(signal.SIGINT)
        out, said = child.stdout.read(), child.stderr.read()
        child.communicate(timeout=60)
        self.assertEqual(child.returncode, 1, said)
        self.assertEqual([json.loads(line)["sample"]
                          for line in out.decode().splitlines()],
                         ["w0", "w1", "w2"])
        self.assertIn("after 3 waters", said.decode())

    def test_the_table_says_why_and_what_to_heed(self):
        rows = ("cloudy,7.6,205,94,18,27,41,82,2,0.32\n"
                "salty,7.9,22,50,20,560,1050,100,5,0\n"
                "soft,5.6,1,0.8,0.2,1,1.6,1.5,0.1,0\n")
        head = HEAD.replace("\n", ",Fe [mg/L]\n")
        with written(head + rows) as wells:
            given = ["--water", wells.name, *AIM]
            table = run("batch", *given).stdout.split("\n\n")[0]
            alone = run("formulate", "--water", wells.name + ":cloudy",
                        *AIM).stdout
        self.assertIn("The feed may cloud", alone)
        cloudy, salty, soft = (
            " ".join(part.split())
            for part in re.split(r"\n  (?:cloudy|salty|soft) ", table)[1:])
        self.assertIn("The feed may cloud", cloudy)
        self.assertIn("no recipe keeps: Na max 60 mg/L", salty)
        self.assertIn("Short: P", soft)
        self.assertIn("the shelf has no base", soft)

    def test_a_row_says_what_is_missed_and_what_purified_water_would_do(self):
        rows = [
            "plain,7.2,100,40,10,10,15,20,2", "salty,7.5,200,80,20,150,220,60,2",
            "hard,7.5,720,290,40,20,30,160,2"]
        with written(HEAD + "\n".join(rows) + "\n") as file:
            done = run("batch", "--water", file.name, *AIM, "--format",
                       "ndjson")
            plain, salty, hard = map(json.loads, done.stdout.splitlines())
            self.assertEqual(done.returncode, 1)
            self.assertNotIn("reason", plain)
            self.assertNotIn("purified_share", plain)
            self.assertIn("no recipe keeps: Na max 60 mg/L", salty["reason"])
            self.assertIn("Ca over: water alone brings 290 mg/L",
                          hard["reason"])
            for row in (salty, hard):
                self.check_share(file.name, row)

    def test_a_sample_without_a_reading_is_told_wherever_it_stands(self):
        """With a date beside its name or none; the others are served."""
        for head, name in (("sample,", "may"),
                           ("sample,date,", "may,2026-05-01")):
            more = name[3:].replace("05", "04")
            text = (head + HEAD.split(",", 1)[1] +
                    f"jan{more},7.2,245,88,18,14,26,38,3\n{name},,,,,,,,\n"
                    f"jun{more},7.3,250,90,18,14,26,38,3\n")
            said = name.replace(",", " ")
            with written(text) as file:
                done = run("batch", "--water", file.name, *AIM, "--format",
                           "ndjson")
                rows = [json.loads(line) for line in done.stdout.splitlines()]
                self.assertEqual([row["outcome"] for row in rows],
                                 ["optimal", "failed", "optimal"])
                self.assertEqual(rows[1]["sample"], said)
                self.assertIn("has no reading", rows[1]["reason"])
                for command in (["recipes", *AIM], ["audit"]):
                    other = run(*command, "--water", file.name)
                    self.assertLessEqual(other.returncode, 1, other.stderr)
                    self.assertIn("left out, without a single reading: "
                                  f"{said};", other.stderr)

    def check_share(self, file, row):
        """With that share every target is met, with a percent less not."""
        percent = round(100 * row["purified_share"])
        purified = "pH=5.8, EC=0.02mS/cm, alkalinity=5mg/L CaCO3"
        with open(os.path.join(SOURCE, "reference", "purified_water.csv"),
                  encoding="utf-8") as table:
            purified = ", ".join(f"{r['parameter']}={r['value']}{r['unit']}"
                                 for r in csv.DictReader(table))
        for more, status in ((0, 0), (-1, 1)):
            done = run("formulate", "--water", f"{file}:{row['sample']}",
                       "--water", purified, "--share",
                       f"{100 - percent - more},{percent + more}", *AIM,
                       "--format", "json")
            self.assertEqual(done.returncode, status, (row, more))


@unittest.skipIf(SANITIZED, "memory is counted without sanitizers")
class Memory(unittest.TestCase):
    def test_it_does_not_grow_with_the_waters(self):
        with written(waters(40)) as few, written(waters(WATERS)) as many:
            base, _ = peak_kb("batch", "--water", few.name, *AIM, "--format",
                              "csv", "--jobs", "2")
            peak, _ = peak_kb("batch", "--water", many.name, *AIM, "--format",
                              "csv", "--jobs", "2")
        self.assertLess(peak, MEMORY_KB)
        self.assertLess(peak, base + 6 * 1024)

    def test_nor_with_those_that_cannot_be_used(self):
        with written(HEAD + "well,7,100,x,1,1,1,1,1\n" * 6000) as many:
            for form in ("text", "json"):
                peak, status = peak_kb("batch", "--water", many.name, *AIM,
                                       "--format", form, "--jobs", "2")
                self.assertEqual(status, 3)
                self.assertLess(peak, MEMORY_KB)


class Stopping(unittest.TestCase):
    def test_rows_are_whole_whenever_it_is_stopped(self):
        with written(waters(20000)) as file:
            for turn in range(STOPS):
                with tempfile.TemporaryDirectory() as folder:
                    self.stop(file.name, folder, turn)

    def stop(self, file, folder, turn):
        draw = random.Random(turn)
        place = os.path.join(folder, "rows.csv") if turn % 2 else None
        child = subprocess.Popen(
            [COMMAND, "batch", "--water", file, *AIM, "--format", "csv",
             "--jobs", str(1 + turn % 3),
             *(["--output", place] if place else [])],
            cwd=SOURCE, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
            stderr=subprocess.PIPE)
        time.sleep(draw.uniform(0.0, 1.2))
        child.send_signal(signal.SIGINT)
        out, said = (text.decode() for text in child.communicate(timeout=60))
        self.assertIn(child.returncode, (1, -signal.SIGINT), said)
        self.assertLess(len(out.splitlines()), 19000, "it was not stopped")
        left = os.listdir(folder)
        if child.returncode < 0:  # it had not begun
            self.assertEqual((out, left), ("", []))
            return
        self.assertEqual(left, ["rows.csv"] if place else [])
        if place:
            with open(place, encoding="utf-8", newline="") as rows:
                out = rows.read()
        self.assertTrue(out.endswith("\r\n"))
        table = list(csv.reader(io.StringIO(out)))
        self.assertEqual([row[0] for row in table[1:]],
                         [f"w{i}" for i in range(len(table) - 1)])
        self.assertEqual({len(row) for row in table}, {len(table[0])})
        self.assertIn(f"after {len(table) - 1} waters", said)


@unittest.skipUnless(shutil.which("parallel"), "GNU parallel is not here")
class Parallel(unittest.TestCase):
    def test_rows_are_the_same_under_gnu_parallel(self):
        text = waters(24)
        given = ["batch", "--water", "-", *AIM, "--format", "ndjson"]
        whole = run(*given, input=text).stdout
        done = subprocess.run(
            ["parallel", "--will-cite", "--pipe", "--header", ":",
             "--keep-order", "-j2", "--block", "1k", COMMAND, *given, "--jobs",
             "1"], cwd=SOURCE, input=text, capture_output=True,
            encoding="utf-8", check=False, timeout=60)
        self.assertEqual(done.stdout, whole, done.stderr)


class Region(unittest.TestCase):
    def test_the_example_of_a_region_accounts_for_every_well(self):
        with tempfile.TemporaryDirectory() as folder:
            done = subprocess.run(
                ["bash", "examples/region.sh", "24", folder], cwd=SOURCE,
                capture_output=True, encoding="utf-8", check=False, timeout=60)
        self.assertEqual((done.returncode, done.stderr), (0, ""))
        self.assertIn("24 invented wells; 0 could not be used.", done.stdout)
        shares = re.findall(r": +([0-9.]+) %", done.stdout)
        self.assertEqual(len(shares), 3)
        self.assertAlmostEqual(sum(map(float, shares)), 100.0, delta=0.2)


if __name__ == "__main__":
    unittest.main()
