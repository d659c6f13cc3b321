# SPDX-License-Identifier: GPL-3.0-or-later
"""What a run writes: all of it or nothing, and no earlier file is lost.

SW_SIGNALS=N ends N runs at random moments (8)."""
import csv
import os
import pty
import random
import signal
import stat
import subprocess
import tempfile
import time
import unittest

from runner import BASIL, COMMAND, SOURCE, WELL, run

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

    def test_no_output_takes_the_place_of_what_any_option_reads(self):
        """Of each option of the list whose argument holds a FILE."""
        with open(os.path.join(SOURCE, "cli/io/options.csv"),
                  encoding="utf-8") as file:
            reads = {row["name"]: row["argument"]
                     for row in csv.DictReader(file)
                     if "FILE" in row["argument"]
                     and row["name"] not in ("output", "sheet", "curve")}
        self.assertLess({"water", "shelf", "label", "recipe", "stocks",
                         "target-of", "make-up"}, set(reads))
        takers = {"recipe": "check", "stocks": "check", "solution": "audit",
                  "feed": "audit", "purified": "compare"}
        named = self.old("in=put.csv")
        for name, argument in sorted(reads.items()):
            command = takers.get(name, "stock")
            required = {"water": WELL[1], "target": BASIL[3],
                        **({"tank": "50gal"} if command == "stock" else {})}
            required.pop("target" if name == "target-of" else name, None)
            values = [named]
            if ":SAMPLE" in argument:
                values.append(named + ":well")
            if "=]FILE" in argument:
                values.append("leaf=" + named)
            for value in values:
                done = run(command, f"--{name}={value}", "--output", named,
                           *(f"--{k}={v}" for k, v in required.items()))
                self.assertEqual((done.returncode, done.stdout), (2, ""), name)
                self.assertIn(f"would overwrite what --{name} reads",
                              done.stderr)
        with open(named, encoding="utf-8") as file:
            self.assertEqual(file.read(), OLD)

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
        self.assertIn("1 of 2 waters could not be used", done.stderr)
        with open(self.path("rows.csv"), encoding="utf-8") as file:
            self.assertEqual([line[:4] for line in file],
                             ["samp", "good", "brin"])

    def test_a_name_as_long_as_names_may_be_is_written(self):
        name = "n" * 251 + ".svg"
        for _ in "new", "again":
            done = run("formulate", *BASIL, "--sheet", self.path(name))
            self.assertEqual((done.returncode, done.stderr), (0, ""))
        self.assertEqual(os.listdir(self.folder), [name])

    def test_a_file_that_cannot_be_replaced_is_written_over(self):
        """It belongs to somebody else who lets us write, in a folder like
        /tmp, or the folder takes no more names."""
        page = self.old("page.html")
        if os.geteuid() == 0:
            os.chmod(self.folder, 0o1777)
            os.chown(page, 1, 1)
            os.chmod(page, 0o666)
            with tempfile.TemporaryDirectory() as open_to_all:
                # Nobody may be let into the folder of the build.
                os.chmod(open_to_all, 0o755)
                program = os.path.join(open_to_all, os.path.basename(COMMAND))
                subprocess.run(["cp", COMMAND, open_to_all], check=True)
                # Where a build counts branches, the other may not write them.
                env = dict(os.environ, LLVM_PROFILE_FILE="/dev/null")
                self.write_over(page, [program], env=env, user=65534, group=65534,
                                extra_groups=[], cwd=open_to_all)
        else:
            os.chmod(self.folder, 0o555)
            self.write_over(page, [COMMAND])
            os.chmod(self.folder, 0o755)

    def write_over(self, page, program, **who):
        before = os.stat(page)
        done = subprocess.run([*program, "catalogue", "--output", page],
                              capture_output=True, check=False, **who)
        self.assertEqual((done.returncode, done.stderr), (0, b""))
        after = os.stat(page)
        self.assertEqual((before.st_ino, before.st_uid, before.st_mode),
                         (after.st_ino, after.st_uid, after.st_mode))
        self.assertGreater(after.st_size, len(OLD))
        with open("/dev/full", "w", encoding="utf-8") as full:
            done = subprocess.run([*program, "start", self.folder, "--output",
                                   "/dev/full"], stdout=full, check=False,
                                  stderr=subprocess.PIPE, **who)
        self.assertEqual(done.returncode, 4)
        self.assertEqual(os.stat(page).st_size, after.st_size)
        self.assertEqual([n for n in os.listdir(self.folder) if "." in n],
                         ["page.html"])

    def test_the_owner_of_a_file_stays_its_owner(self):
        if os.geteuid() != 0:
            self.skipTest("nobody else can make what is another's")
        page = self.old("page.html")
        os.chown(page, 1, 2)
        os.chmod(page, 0o640)
        run("catalogue", "--output", page)
        after = os.stat(page)
        self.assertEqual((after.st_uid, after.st_gid, stat.S_IMODE(
            after.st_mode)), (1, 2, 0o640))
        self.assertGreater(after.st_size, len(OLD))

    def all_or_none(self, *names):
        """The files of `names` are all of before, or all new."""
        self.assertEqual(sorted(os.listdir(self.folder)), sorted(names))
        old = set()
        for name in names:
            with open(self.path(name), encoding="utf-8") as file:
                old.add(file.read() == OLD)
        self.assertEqual(len(old), 1)
        return old.pop()

    def test_a_signal_at_any_moment_leaves_no_mixture(self):
        pair = ["--output", self.old("o.txt"), "--sheet", self.old("s.svg")]
        dice = random.Random(1)
        seen = []
        begun = time.monotonic()
        run("formulate", *BASIL, *pair)
        takes = time.monotonic() - begun
        for _ in range(int(os.environ.get("SW_SIGNALS", "8"))):
            ends = dice.choice([signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
            self.old("o.txt")
            self.old("s.svg")
            child = subprocess.Popen([COMMAND, "formulate", *BASIL, *pair],
                                     cwd=SOURCE, stderr=subprocess.DEVNULL)
            time.sleep(dice.uniform(0, 1.2 * takes))
            child.send_signal(ends)
            self.assertIn(child.wait(60), (0, -ends))
            seen.append(self.all_or_none("o.txt", "s.svg"))
        print(f"{seen.count(True)} of {len(seen)} ended before their files "
              "were written")

    def test_who_waits_for_a_reader_can_be_ended(self):
        """A pipe that nobody reads, and one that nobody has opened."""
        os.mkfifo(self.path("pipe"))
        for result in [], ["--output", self.path("pipe")]:
            for ends in signal.SIGINT, signal.SIGTERM, signal.SIGHUP:
                with subprocess.Popen(
                        [COMMAND, "catalogue", "--format", "json", *result],
                        cwd=SOURCE, stdout=subprocess.PIPE) as child:
                    self.wait_until_asleep(child)
                    child.send_signal(ends)
                    self.assertEqual(child.wait(60), -ends)
        sheet = ["--sheet", self.old("s.svg")]
        with subprocess.Popen([COMMAND, "formulate", *BASIL, *sheet,
                               "--output", self.path("pipe")], cwd=SOURCE,
                              ) as child:
            self.wait_until_asleep(child)
            child.terminate()
            self.assertEqual(child.wait(60), -signal.SIGTERM)
        os.remove(self.path("pipe"))
        self.assertTrue(self.all_or_none("s.svg"))

    def wait_until_asleep(self, child):
        """Waiting for something else than the processor, twice seen."""
        asleep, end = 0, time.monotonic() + 60
        while asleep < 3 and time.monotonic() < end:
            time.sleep(0.05)
            with open(f"/proc/{child.pid}/stat", encoding="ascii") as file:
                asleep = asleep + 1 if ") S " in file.read() else 0
        self.assertEqual(asleep, 3)

    def test_who_hangs_up_while_reading_has_the_files(self):
        master, slave = pty.openpty()
        child = subprocess.Popen(
            [COMMAND, "formulate", *BASIL, "--sheet", self.old("s.svg")],
            cwd=SOURCE, stdin=subprocess.DEVNULL, stdout=slave,
            env=dict(os.environ, TERM="xterm", PAGER="cat >/dev/null; sleep 9"),
            start_new_session=True)
        os.close(slave)
        self.wait_until_asleep(child)
        os.killpg(child.pid, signal.SIGHUP)
        self.assertEqual(child.wait(60), -signal.SIGHUP)
        os.close(master)
        self.assertFalse(self.all_or_none("s.svg"))


if __name__ == "__main__":
    unittest.main()
