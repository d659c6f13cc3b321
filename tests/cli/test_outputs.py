# SPDX-License-Identifier: GPL-3.0-or-later
"""What a run writes: all of it or nothing, and no earlier file is lost."""
import os
import signal
import subprocess
import tempfile
import unittest

from runner import BASIL, COMMAND, SOURCE, run

TRADE = ["--trade-off", "cost"]
STAGES = ["--water", "examples/town.csv", "--target",
          "examples/pepper-stages.csv", "--shelf", "examples/straights.csv"]
OLD = "what an earlier run has written\n"


def closed_pipe():
    """The writing end of a pipe that nobody reads."""
    reader, writer = os.pipe()
    os.close(reader)
    return writer


class Outputs(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = folder.name

    def path(self, name):
        return os.path.join(self.folder, name)

    def old(self, name):
        """A file of that name, written before."""
        with open(self.path(name), "w", encoding="utf-8") as file:
            file.write(OLD)
        return self.path(name)

    def nothing_done(self, done, *old):
        """It failed in words, and only the `old` files are there, unharmed."""
        self.assertEqual((done.returncode, done.stdout or ""), (4, ""))
        self.assertRegex(done.stderr,
                         "^[^\n]+: error: cannot write: [^\n]+\n$")
        self.assertEqual(sorted(os.listdir(self.folder)), sorted(old))
        for name in old:
            with open(self.path(name), encoding="utf-8") as file:
                self.assertEqual(file.read(), OLD)

    def test_one_that_cannot_be_written_keeps_back_the_others(self):
        self.nothing_done(run("formulate", *BASIL, "--output", "/dev/full",
                              "--sheet", self.old("old.svg")), "old.svg")
        # Kernels' own folders take no files; without one, /sys is a plain one.
        folders = [f for f in ("/sys", "/proc") if os.path.ismount(f)]
        self.assertTrue(folders)
        for folder in folders:
            bad = os.path.join(folder, "x.svg")
            self.nothing_done(run("formulate", *BASIL, "--output", bad,
                                  "--sheet", self.path("old.svg")), "old.svg")
            self.nothing_done(run("formulate", *BASIL, "--sheet", bad,
                                  "--output", self.path("old.svg")), "old.svg")
            self.nothing_done(run("formulate", *BASIL, "--sheet", bad),
                              "old.svg")

    def test_a_curve_and_a_sheet_are_kept_back_too(self):
        for command, given, options in (
                ("formulate", BASIL, [*TRADE, "--curve", self.path("c.svg")]),
                ("formulate", STAGES, ["--sheet", self.path("s.html")]),
                ("stock", [*BASIL, "--tank", "50gal"],
                 ["--sheet", self.path("t.html")]),
                ("compare", BASIL, ["--sheet", self.path("w.html")])):
            self.nothing_done(run(command, *given, *options, "--output",
                                  "/dev/full"))

    def test_a_full_standard_output_keeps_back_the_files(self):
        self.old("old.svg")
        for name in "old.svg", "new.svg":
            with open("/dev/full", "w", encoding="utf-8") as full:
                done = run("formulate", *BASIL, "--sheet", self.path(name),
                           stdout=full)
            self.nothing_done(done, "old.svg")

    def test_a_file_that_may_not_grow_so_large_is_taken_back(self):
        # A build that counts branches writes its counts at the end, into
        # files that may not grow either: nowhere.
        nowhere = {"LLVM_PROFILE_FILE": "/dev/null"}
        done = subprocess.run(
            ["bash", "-c", 'ulimit -f 1; "$0" "$@"', COMMAND, "formulate",
             *BASIL, "--sheet", self.old("old.svg")], cwd=SOURCE,
            env={**os.environ, **nowhere},
            capture_output=True, text=True, check=False)
        self.nothing_done(done, "old.svg")
        self.assertIn("File too large", done.stderr)

    def test_no_output_takes_the_place_of_what_is_redirected_in(self):
        with open(self.old("old.csv"), encoding="utf-8") as water:
            for name in "-", "-:well":
                done = run("audit", "--water", name, "--output",
                           self.path("old.csv"), stdin=water)
                self.assertEqual((done.returncode, done.stdout), (2, ""))
                self.assertIn("would overwrite what --water reads",
                              done.stderr)

    def test_no_file_is_taken_for_a_closed_standard_stream(self):
        done = subprocess.run(
            ["bash", "-c", '"$0" "$@" <&- >&-', COMMAND, "formulate", *BASIL,
             "--sheet", self.path("new.svg")], cwd=SOURCE,
            stderr=subprocess.PIPE, text=True, check=False)
        self.nothing_done(done)
        done = subprocess.run(
            ["bash", "-c", '"$0" "$@" <&- 2>&-', COMMAND, "catalogue",
             "--output", self.path("new.txt")], check=False)
        self.assertEqual(done.returncode, 0)
        self.assertGreater(os.path.getsize(self.path("new.txt")), 500)

    def test_a_reader_that_leaves_ends_it_quietly_and_leaves_nothing(self):
        for arguments in (["catalogue"], ["--help"],
                          ["formulate", *BASIL, "--sheet",
                           self.path("new.svg")]):
            done = run(*arguments, stdout=closed_pipe(),
                       ends_by=signal.SIGPIPE, preexec_fn=lambda: signal.signal(
                           signal.SIGPIPE, signal.SIG_DFL))
            self.assertEqual((done.returncode, done.stderr),
                             (-signal.SIGPIPE, ""))
        self.assertEqual(os.listdir(self.folder), [])

    def test_a_reader_that_leaves_is_told_where_its_signal_is_ignored(self):
        done = run("formulate", *BASIL, "--sheet", self.old("old.svg"),
                   stdout=closed_pipe(), restore_signals=False)
        self.nothing_done(done, "old.svg")

    def test_what_is_wrong_with_an_input_keeps_back_every_file(self):
        for options in (["--sheet", self.path("new.svg")],
                        ["--output", self.path("new.txt"), *TRADE, "--curve",
                         self.path("new.svg")]):
            done = run("formulate", *BASIL[:4], "--shelf", "absent.csv",
                       *options)
            self.assertEqual((done.returncode, done.stdout), (3, ""))
            self.assertEqual(os.listdir(self.folder), [])

    def test_all_are_written_and_nothing_else_is_left(self):
        names = ["c.svg", "o.txt", "s.html"]
        self.old("s.html")
        self.old("o.txt")
        done = run("formulate", *BASIL, *TRADE, "--output",
                   self.path("o.txt"), "--sheet", self.path("s.html"),
                   "--curve", self.path("c.svg"))
        self.assertEqual((done.returncode, done.stdout), (0, ""))
        self.assertEqual(sorted(os.listdir(self.folder)), names)
        for name in names:
            self.assertGreater(os.path.getsize(self.path(name)), len(OLD))

    def test_a_batch_keeps_its_rows_where_a_water_is_left_out(self):
        water = self.path("water.csv")
        with open(water, "w", encoding="utf-8") as file:
            file.write("sample,Ca [mg/L],alkalinity [mg/L CaCO3],pH\n"
                       "good,40,100,7.2\nbrine,300000,100,7.2\n")
        done = run("batch", "--water", water, *BASIL[2:], "--format", "csv",
                   "--output", self.path("rows.csv"))
        self.assertEqual((done.returncode, done.stdout), (3, ""))
        self.assertIn("water.csv: brine: error: 300 g/L of solutes",
                      done.stderr)
        self.assertIn("brine: error: this water is left out", done.stderr)
        with open(self.path("rows.csv"), encoding="utf-8") as file:
            self.assertEqual([line[:4] for line in file],
                             ["samp", "good", "brin"])


if __name__ == "__main__":
    unittest.main()
