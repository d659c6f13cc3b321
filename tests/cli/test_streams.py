# SPDX-License-Identifier: GPL-3.0-or-later
"""Files, streams and exit codes, also where something is wrong with them."""
import os
import stat
import subprocess
import tempfile
import unittest

from runner import (BASIL, COMMAND, SOURCE, WELL, run, run_json,
                    written)

PLENTY = "x" * 100000


def example(name):
    with open(os.path.join(SOURCE, "examples", name),
              encoding="utf-8") as file:
        return file.read()


class Streams(unittest.TestCase):
    def refused(self, code, words, *arguments, **options):
        done = run(*arguments, **options)
        self.assertEqual((done.returncode, done.stdout), (code, ""),
                         done.stderr)
        self.assertIn(words, done.stderr)
        self.assertLess(len(done.stderr), 4000)

    def test_a_dash_is_standard_input(self):
        piped = run("formulate", "--water", "-", *BASIL[2:], "--format",
                    "csv", input=example("well.csv"))
        named = run("formulate", *BASIL, "--format", "csv")
        self.assertEqual(piped.returncode, named.returncode)
        self.assertEqual(
            [line for line in piped.stdout.split("\n")
             if line.startswith("recipe")],
            [line for line in named.stdout.split("\n")
             if line.startswith("recipe")])

    def test_a_sample_can_be_chosen_from_standard_input(self):
        done = run("audit", "--water", "-:town",
                   input=example("waters.csv"))
        self.assertIn("water  town (standard input)", done.stdout)

    def test_standard_input_serves_one_file(self):
        self.refused(2, "one file only", "formulate", "--water", "-",
                     "--target", "-", "--shelf", "examples/straights.csv")

    def test_a_missing_file_is_named(self):
        self.refused(3, "absent.csv: error: cannot open: No such file",
                     "audit", "--water", "absent.csv")

    def test_a_directory_is_no_file(self):
        self.refused(3, "examples: error: is a directory", "audit", "--water",
                     "examples")

    def test_standard_input_that_cannot_be_read_is_called_so(self):
        for redirection, words in (("<.", "is a directory"),
                                   ("<&-", "Bad file descriptor")):
            done = subprocess.run(
                ["bash", "-c", f'"$0" audit --water - {redirection}', COMMAND],
                capture_output=True, text=True, check=False)
            self.assertEqual((done.returncode, done.stdout), (3, ""))
            self.assertTrue(done.stderr.startswith("standard input"))
            self.assertIn(words, done.stderr)

    def test_a_mistake_in_a_file_has_its_place(self):
        with written("parameter,value,unit\nCa,4O,mg/L\n") as water:
            self.refused(3, f"{water.name}:2:4: error: ", "audit", "--water",
                         water.name)

    def test_an_empty_file_is_refused(self):
        with written("") as water:
            self.refused(3, water.name, "audit", "--water", water.name)

    def test_bytes_that_are_no_text_are_refused(self):
        done = run("audit", "--water", "-", text=False,
                   input=bytes(range(256)) * 40)
        self.assertEqual(done.returncode, 3)
        self.assertEqual(done.stdout, b"")
        for byte in set(done.stderr):
            self.assertTrue(byte >= 32 or byte == 10)

    def test_a_sample_must_be_named_and_be_there(self):
        self.refused(2, "choose one as examples/waters.csv:SAMPLE from: well",
                     "formulate", *BASIL[2:], "--water", "examples/waters.csv")
        self.refused(2, 'no sample "lake"', "audit", "--water",
                     "examples/waters.csv:lake")

    def test_a_file_whose_name_has_a_colon_is_found(self):
        with tempfile.TemporaryDirectory() as folder:
            name = os.path.join(folder, "lab:2.csv")
            with open(name, "w", encoding="utf-8") as file:
                file.write(example("well.csv"))
            self.assertLessEqual(run("audit", "--water", name).returncode, 1)

    def test_a_full_device_is_an_internal_failure(self):
        for arguments in (["--help"], ["--version"], ["catalogue"],
                          ["formulate", *BASIL],
                          ["catalogue", "--output", "/dev/full"]):
            with open("/dev/full", "w", encoding="utf-8") as full:
                done = run(*arguments, stdout=full)
            self.assertEqual(done.returncode, 4, arguments)
            self.assertIn("cannot write: No space left", done.stderr)

    def test_a_closed_standard_output_is_an_internal_failure(self):
        done = subprocess.run(["bash", "-c", '"$0" catalogue >&-', COMMAND],
                              capture_output=True, text=True, check=False)
        self.assertEqual(done.returncode, 4)
        self.assertIn("cannot write", done.stderr)

    def test_output_is_written_whole_and_replaces(self):
        with tempfile.TemporaryDirectory() as folder:
            name = os.path.join(folder, "result.csv")
            with open(name, "w", encoding="utf-8") as file:
                file.write("old")
            os.chmod(name, 0o640)
            done = run("catalogue", "--format", "csv", "--output", name)
            self.assertEqual((done.returncode, done.stdout), (0, ""))
            with open(name, encoding="utf-8", newline="") as file:
                self.assertEqual(file.read(),
                                 run("catalogue", "--format", "csv",
                                     text=False).stdout.decode())
            self.assertEqual(stat.S_IMODE(os.stat(name).st_mode), 0o640)
            self.assertEqual(os.listdir(folder), ["result.csv"])

    def test_output_that_cannot_be_written_leaves_nothing(self):
        with tempfile.TemporaryDirectory() as folder:
            name = os.path.join(folder, "absent", "result")
            self.refused(2, "no such folder", "catalogue", "--output", name)
            self.refused(2, "is a directory", "catalogue", "--output", folder)
            self.refused(4, "cannot write", "catalogue", "--output",
                         "/proc/result")
            self.assertEqual(os.listdir(folder), [])

    def test_no_output_takes_the_place_of_an_input(self):
        with tempfile.TemporaryDirectory() as folder:
            water = os.path.join(folder, "water.csv")
            link = os.path.join(folder, "link.csv")
            with open(water, "w", encoding="utf-8") as file:
                file.write(example("well.csv"))
            os.symlink(water, link)
            for source in water, link, water + ":well":
                for output in water, link:
                    self.refused(2, "would overwrite what --water reads",
                                 "audit", "--water", source, "--output",
                                 output)
            with open(water, encoding="utf-8") as file:
                self.assertEqual(file.read(), example("well.csv"))

    def test_two_outputs_take_two_files(self):
        with tempfile.TemporaryDirectory() as folder:
            one = os.path.join(folder, "page.html")
            other = os.path.join(folder, ".", "page.html")
            self.refused(2, "name the same file", "formulate", *BASIL,
                         "--sheet", one, "--output", other)
            self.assertEqual(os.listdir(folder), [])

    def test_a_link_stays_a_link_and_what_it_leads_to_is_replaced(self):
        with tempfile.TemporaryDirectory() as folder:
            target = os.path.join(folder, "result.txt")
            link = os.path.join(folder, "link.txt")
            with open(target, "w", encoding="utf-8") as file:
                file.write("old")
            os.symlink(target, link)
            run("audit", *WELL, "--output", link)
            self.assertTrue(os.path.islink(link))
            with open(target, encoding="utf-8") as file:
                self.assertIn("alkalinity", file.read())

    def test_a_link_to_nothing_stays_a_link_and_makes_what_it_names(self):
        with tempfile.TemporaryDirectory() as folder:
            os.mkdir(os.path.join(folder, "in"))
            first = os.path.join(folder, "first.html")
            os.symlink("in/second.html", first)
            os.symlink("../page.html", os.path.join(folder, "in/second.html"))
            page = os.path.join(folder, "page.html")
            self.refused(2, "name the same file", "formulate", *BASIL,
                         "--sheet", first, "--output", page)
            self.assertEqual(
                run("formulate", *BASIL, "--sheet", first).returncode, 0)
            self.assertTrue(os.path.islink(first))
            self.assertTrue(os.path.isfile(page) and not os.path.islink(page))
            self.assertEqual(sorted(os.listdir(folder)),
                             ["first.html", "in", "page.html"])
            os.symlink("round", os.path.join(folder, "round"))
            self.refused(2, "expected a name", "audit", *WELL, "--output",
                         os.path.join(folder, "round"))

    def test_nothing_is_written_when_an_input_is_wrong(self):
        with tempfile.TemporaryDirectory() as folder:
            name = os.path.join(folder, "result")
            self.refused(3, "absent.csv", "formulate", "--water",
                         "absent.csv", *BASIL[2:], "--output", name)
            self.assertEqual(os.listdir(folder), [])

    def test_exit_codes_tell_met_from_unmet(self):
        self.assertEqual(run("catalogue").returncode, 0)
        with written("parameter,target,min,max\nMo,5,,\n") as target:
            done = run("formulate", *WELL, "--target", target.name,
                       "--shelf", "examples/premix.csv")
        self.assertEqual(done.returncode, 1)
        with written("parameter,target,min,max\nMg,40,,\n") as target:
            done = run("formulate", *WELL, "--target", target.name,
                       "--shelf", "examples/straights.csv")
        self.assertEqual(done.returncode, 0)

    def test_wrong_values_of_options_are_refused(self):
        for option, value in (("--volume", "400"), ("--volume", "-1L"),
                              ("--volume", "nanL"), ("--volume", ""),
                              ("--temperature", "99"),
                              ("--temperature", "warm"),
                              ("--meter-temperature", "4C"),
                              ("--share", "60"), ("--share", "60,40"),
                              ("--share", "nan"), ("--amounts", "stone"),
                              ("--format", ""), ("--objective", "best")):
            self.refused(2, option, "formulate", *BASIL, option, value)

    def test_what_contradicts_itself_is_refused(self):
        self.refused(2, "given twice", "formulate", *BASIL, "--target", "x")
        self.refused(2, "needs", "formulate", *BASIL, "--volume")
        self.refused(2, "takes no value", "check", *BASIL, "--top-up=yes")
        self.refused(2, "nothing to check", "check", *BASIL)
        self.refused(2, "exclude each other", "check", *BASIL, "--recipe",
                     "examples/recipe.csv", "--dose", "boric acid=1mg/L")
        self.refused(2, "--share says", "check", *BASIL, "--water",
                     "examples/town.csv", "--recipe", "examples/recipe.csv")
        self.refused(2, "takes options only", "formulate", *BASIL, "more")
        self.refused(2, "exactly one --water", "formulate", *BASIL, "--water",
                     "examples/town.csv", "--read-as", "SO4=SO4-S")

    def test_tanks_that_make_no_sense_are_refused(self):
        for option, value in (("--factor", "0.5"), ("--factor", "many"),
                              ("--factor", "nan"), ("--store", "20"),
                              ("--store", "20,"), ("--store", "20,5,1")):
            self.refused(2, option, "stock", *BASIL, "--tank", "50gal",
                         option, value)
        self.refused(2, "--factor 5000", "stock", *BASIL, "--tank", "9L",
                     "--factor", "5000")
        self.refused(2, "--tank", "stock", *BASIL)
        self.refused(2, "--tank", "stock", *BASIL, "--tank", "big")

    def test_no_tank_takes_the_volume_of_another(self):
        stock = ["stock", *BASIL]
        self.refused(2, "tank A has no volume", *stock, "--tank", "B=50L")
        self.refused(2, "tank B has no volume", *stock, "--tank", "A=50L")
        self.refused(2, "tank C has no volume", *stock, "--third-tank",
                     "--tank", "A=50L", "--tank", "B=50L")
        own = run_json(*stock, "--tank", "A=50L", "--tank", "B=100L")
        self.assertEqual([t["volume_l"] for t in own["stock"]["tanks"]],
                         [50, 100])
        with tempfile.NamedTemporaryFile("w+", suffix=".csv") as stocks:
            stocks.write("tank,product,amount,unit\n"
                         "B,magnesium sulfate,1000,g\n")
            stocks.flush()
            check = ["check", *BASIL, "--stocks", stocks.name, "--tank"]
            self.refused(2, "tank B has no volume", *check, "A=50L")
            self.assertIn("  B     50 L", run(*check, "B=50L").stdout)

    def test_doses_that_make_no_sense_are_refused(self):
        for dose in ("", "=", "Base", "Base=", "=2g/L", "Base=g/L", "Base=2",
                     "Base\n=2g/L"):
            self.refused(2, "--dose", "check", *BASIL, "--dose", dose)
        self.refused(2, "no such salt", "check", *BASIL, "--dose",
                     "no such salt=2g/L")
        self.refused(2, "parsec", "check", *BASIL, "--dose",
                     "boric acid=2 parsec")
        self.refused(2, "kilogram", "check", *BASIL, "--dose",
                     "boric acid=1e308 g/L")

    def test_volumes_that_nobody_mixes_are_refused(self):
        for volume in ("1e-300L", "0.5mL", "1e6m3"):
            self.refused(2, "1 mL to", "formulate", *BASIL, "--volume",
                         volume)

    def test_huge_arguments_are_refused_in_few_words(self):
        self.refused(2, "xxx", PLENTY)
        self.refused(2, "xxx", "formulate", "--" + PLENTY)
        self.refused(2, "xxx", "formulate", *BASIL, "--format", PLENTY)
        self.refused(2, "volume", "formulate", *BASIL, "--volume", PLENTY)
        self.refused(2, "xxx", "formulate", *BASIL, "--water",
                     "examples/town.csv", "--share", PLENTY)
        self.refused(2, "xxx", "check", *BASIL, "--dose", PLENTY)
        self.refused(3, "too long", "audit", "--water", PLENTY)
        self.refused(2, "error: ", "catalogue", PLENTY)

    def test_what_is_read_otherwise_is_asked_about_no_more(self):
        lines = example("town.csv").replace("EC,0.133,mS/cm",
                                            "EC,0.133,uS/cm")
        with written(lines) as file:
            for command in ["audit"], ["formulate", *BASIL[2:]]:
                asked = run(*command, "--water", file.name)
                told = run(*command, "--water", file.name, "--read-as",
                           "EC=[mS/cm]")
                self.assertIn("is a unit wrong", asked.stderr)
                self.assertNotIn("does not go with",
                                 told.stderr + told.stdout)

    def test_a_reading_can_be_taken_as_another(self):
        done = run("audit", *WELL, "--read-as", "SO4=SO4-S", "--format",
                   "csv")
        self.assertIn("water.components,well,S,62,mg/L", done.stdout)
        self.refused(2, "--read-as", "audit", *WELL, "--read-as", "Xy=Ca")


if __name__ == "__main__":
    unittest.main()
