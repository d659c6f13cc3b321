# SPDX-License-Identifier: GPL-3.0-or-later
"""Inputs that nobody names: a client's folder, the house shelf, what is
assumed; readings in place of a file."""
import json
import os
import re
import subprocess
import tempfile
import unittest

from runner import COMMAND, SOURCE, run

TOLD = "Ca=104mg/L, Mg=27 mg/L, alkalinity=300mg/L CaCO3, SO4=62mg/L, pH=7.3"


class Folder(unittest.TestCase):
    def setUp(self):
        self.made = tempfile.TemporaryDirectory()
        self.folder = self.made.name
        self.addCleanup(self.made.cleanup)

    def path(self, *names):
        return os.path.join(self.folder, *names)

    def write(self, name, text):
        os.makedirs(os.path.dirname(self.path(name)), exist_ok=True)
        with open(self.path(name), "w", encoding="utf-8") as file:
            file.write(text)

    def here(self, *words, folder="", **environment):
        """As runner.run, from the folder."""
        return subprocess.run(
            [os.path.abspath(COMMAND), *words], cwd=self.path(folder),
            capture_output=True, encoding="utf-8", check=False, timeout=60,
            stdin=subprocess.DEVNULL,
            env={**os.environ, "NO_COLOR": "1", "HOME": self.folder,
                 "XDG_CONFIG_HOME": self.path("settings"), **environment})

    def test_a_folder_is_laid_out_and_nothing_in_it_overwritten(self):
        self.write("client/water.csv", "mine\n")
        done = self.here("start", "client", "--format", "json")
        self.assertEqual(done.returncode, 0, done.stderr)
        files = {row["file"]: row["kept"]
                 for row in json.loads(done.stdout)["files"]}
        self.assertEqual(len(files), 6)
        for name, kept in files.items():
            self.assertEqual(kept, name == "client/water.csv")
            self.assertTrue(os.path.isfile(self.path(name)), name)
        with open(self.path("client/water.csv"), encoding="utf-8") as file:
            self.assertEqual(file.read(), "mine\n")
        for name, of in (("water", "well"), ("target", "basil"),
                         ("shelf", "straights")):
            with open(self.path("client/example", name + ".csv"), "rb") as one, \
                    open(os.path.join(SOURCE, "examples", of + ".csv"),
                         "rb") as other:
                self.assertEqual(one.read(), other.read())
        done = self.here("formulate", folder="client/example")
        self.assertEqual(done.returncode, 0, done.stderr)
        self.assertIn("shelf.csv (found in this folder)", done.stdout)

    def test_many_waters_name_the_shelf_that_is_assumed(self):
        self.write("water.csv", "sample,Ca [mg/L],pH,alkalinity [meq/L]\n"
                                "a,40,7.2,2\nb,50,7.3,2.5\n")
        done = self.here("batch", "--target", "lettuce", "--format", "csv")
        self.assertLessEqual(done.returncode, 1, done.stderr)
        self.assertEqual(len(done.stdout.splitlines()), 3)
        self.assertIn("common straights: note: assumed: calcium nitrate "
                      "15.5-0-0, ", done.stderr)

    def test_what_is_blank_is_told_of_all_files_and_what_is_filled_in_used(self):
        self.here("start", ".")
        done = self.here("formulate")
        self.assertEqual((done.returncode, done.stdout), (3, ""))
        self.assertIn("water.csv: error: ", done.stderr)
        self.assertIn("target.csv: error: nothing is filled in", done.stderr)
        for name, blank, filled in (
                ("water.csv", "\nCa,,", "\nCa,80,"),
                ("water.csv", "\npH,,", "\npH,7.4,"),
                ("water.csv", "\nalkalinity,,", "\nalkalinity,200,"),
                ("target.csv", "\nCa,,", "\nCa,120,"),
                ("target.csv", "\nNO3-N,,", "\nNO3-N,100,")):
            with open(self.path(name), encoding="utf-8") as file:
                text = file.read()
            self.assertEqual(text.count(blank), 1, (name, blank))
            self.write(name, text.replace(blank, filled))
        done = self.here("formulate", "--format", "json")
        self.assertEqual(done.returncode, 0, done.stderr)
        row = {row["component"]: row
               for row in json.loads(done.stdout)["components"]}
        self.assertEqual(row["Ca"]["water_mg_per_l"], 80)
        self.assertAlmostEqual(row["Ca"]["finished_mg_per_l"], 120, delta=2.4)
        self.assertIn("ask for nothing: NH4-N, ", done.stderr)

    def test_all_that_is_missing_is_told_at_once(self):
        done = self.here("stock")
        self.assertEqual((done.returncode, done.stdout), (2, ""))
        for name in ("water", "target", "tank"):
            self.assertIn(f"stock needs --{name} ", done.stderr)
        self.assertEqual(done.stderr.count("Try: "), 1)
        self.assertIn("saltwright start FOLDER", done.stderr)

    def test_two_tanks_are_assumed_no_base_that_neither_bears(self):
        soft = "Ca=1mg/L,Na=1mg/L,pH=6,EC=0.02mS/cm,alkalinity=5mg/L CaCO3"
        for third in ([], ["--third-tank"]):
            report = json.loads(self.here(
                "stock", "--water", soft, "--target", "hoagland", "--tank",
                "100L", "--factor", "100", "--format", "json",
                *third).stdout)
            self.assertEqual("potassium bicarbonate" in
                             report["asked"]["assumed"], bool(third))
            self.assertEqual(report["stock"]["outcome"], "optimal")

    def test_shelves_are_found_in_their_order(self):
        given = ["formulate", "--water", TOLD, "--target", "lettuce",
                 "--format", "json"]
        asked = json.loads(self.here(*given).stdout)["asked"]
        self.assertEqual(asked["shelf"], "common straights")
        self.assertIn("calcium nitrate 15.5-0-0, ", asked["assumed"])
        self.assertIn("nitric acid 38 %", asked["assumed"])
        self.write("settings/saltwright/shelf.csv",
                   "product\npotassium nitrate\nmonopotassium phosphate\n")
        asked = json.loads(self.here(*given).stdout)["asked"]
        self.assertEqual(asked["shelf"],
                         self.path("settings/saltwright/shelf.csv"))
        self.assertNotIn("assumed", asked)
        self.write("shelf.csv", "product\npotassium nitrate\n")
        self.assertEqual(json.loads(self.here(*given).stdout)["asked"]["shelf"],
                         "shelf.csv")
        self.write("own.csv", "product\npotassium nitrate\n")
        done = self.here(*given, "--shelf", "own.csv")
        self.assertEqual(json.loads(done.stdout)["asked"]["shelf"], "own.csv")

    def test_what_is_there_and_is_no_file_is_not_taken_for_nothing(self):
        given = ["formulate", "--water", TOLD, "--target", "lettuce"]
        self.write("settings/saltwright/other.csv", "")
        for name in ("settings/saltwright/shelf.csv", "shelf.csv"):
            for make, words in (
                    (lambda at: os.symlink("nowhere", at), "cannot open"),
                    (lambda at: os.symlink(os.path.basename(at), at),
                     "cannot open"),
                    (os.mkfifo, "is no file"), (os.mkdir, "is no file")):
                make(self.path(name))
                done = self.here(*given)
                self.assertEqual((done.returncode, done.stdout), (3, ""))
                self.assertIn(f"shelf.csv: error: {words}", done.stderr)
                if os.path.isdir(self.path(name)):
                    os.rmdir(self.path(name))
                else:
                    os.unlink(self.path(name))
        self.assertLessEqual(self.here(*given).returncode, 1)

    def test_settings_are_sought_in_whole_paths_alone(self):
        self.write("home/.config/saltwright/shelf.csv",
                   "product\npotassium nitrate\n")
        given = ["formulate", "--water", TOLD, "--target", "lettuce",
                 "--format", "json"]
        for home, found in (("home", False), (self.path("home"), True)):
            done = self.here(*given, HOME=home, XDG_CONFIG_HOME="settings")
            self.assertEqual("assumed" in json.loads(done.stdout)["asked"],
                             not found, home)

    def test_units_that_the_laid_out_report_offers_are_taken(self):
        self.here("start", "client")
        with open(self.path("client", "water.csv"), encoding="utf-8") as file:
            lines = file.read().splitlines()
        tried = 0
        for comment, row in zip(lines, lines[1:] + [""]):
            if not comment.startswith(("# mg/L", "# uS/cm")):
                continue
            row = row if "," in row and row[0] != "#" else "alkalinity,,"
            for unit in re.split(r",| or | \(= |\)|: ", comment[2:].split(";")[0]):
                unit = unit.strip()
                if unit and not unit.startswith(("at 25", "degrees")):
                    done = run("audit", "--water",
                               f"pH=7,{row.split(',')[0]}=1 {unit}")
                    self.assertLessEqual(done.returncode, 1,
                                         f"{row} {unit}: {done.stderr}")
                    tried += 1
        self.assertGreater(tried, 15)

    def test_a_folder_without_a_name_is_refused(self):
        done = self.here("start", "")
        self.assertEqual(done.returncode, 2)
        self.assertIn("expected the name of one folder", done.stderr)

    def test_nobody_has_more_than_the_recipe_names(self):
        """Checked, or a target: the words given stay; what is advised is not
        said to be there."""
        hard = "Ca=40mg/L, alkalinity=150mg/L CaCO3, pH=7.4"
        done = self.here("check", "--water", hard, "--target", "lettuce",
                         "--dose", "Epsom salt=0.2g/L", "--format", "json")
        report = json.loads(done.stdout)
        self.assertEqual([row["product"] for row in report["recipe"]],
                         ["Epsom salt"])
        advised = [note["text"] for note in report["notes"]
                   if "would do it" in note["text"]]
        self.assertIn(len(advised), (3, 4))
        self.assertNotIn("on the shelf", done.stdout)
        done = self.here("formulate", "--water", hard, "--target-of",
                         "calcium nitrate 15.5-0-0=0.7g/L, MKP=0.2g/L",
                         "--format", "json")
        self.assertEqual([row["product"]
                          for row in json.loads(done.stdout)["bag"]],
                         ["calcium nitrate 15.5-0-0", "MKP"])
        done = self.here("formulate", "--water", hard, "--target-of",
                         "calcium nitrate=0.7g/L")
        self.assertIn("(calcium nitrate 15.5-0-0)", done.stderr)

    def test_a_sample_is_asked_of_the_file_that_holds_several(self):
        for name, rows in (("drain", "a,6,110\nb,6,120\n"),
                           ("feed", "f,6,100\n")):
            self.write(name + ".csv", "sample,pH,Ca [mg/L]\n" + rows)
        done = self.here("audit", "--solution", "drain.csv", "--feed",
                         "feed.csv")
        self.assertEqual(done.returncode, 2)
        self.assertIn("--solution drain.csv gives 2", done.stderr)
        self.assertIn("such as --solution drain.csv:a", done.stderr)

    def test_one_fault_of_many_lines_is_told_once(self):
        self.write("water.csv", "sample,pH,Ca [mg/L]\n" + 90 * "a,6,110\n")
        done = self.here("audit", "--water", "water.csv")
        self.assertEqual(done.returncode, 3)
        self.assertEqual(len(done.stderr.splitlines()), 1, done.stderr)
        self.assertIn("water.csv:3:1: error: ", done.stderr)
        self.assertIn("in 89 lines, the last of them 91", done.stderr)


class Told(unittest.TestCase):
    """Readings on the command line are those of the same lab report."""

    def audited(self, *waters):
        done = run("audit", "--water", *waters, "--format", "json")
        self.assertLessEqual(done.returncode, 1, done.stderr)
        return json.loads(done.stdout)["water"]

    def test_they_are_read_as_a_report_is(self):
        told = self.audited(TOLD)
        contents = told["components"]
        self.assertEqual(told["ph"], 7.3)
        self.assertAlmostEqual(told["alkalinity_meq_per_l"], 5.995, delta=0.005)
        self.assertEqual((contents["Ca"], contents["Mg"]), (104, 27))
        # 62 mg/L of SO4, by IUPAC weights.
        self.assertAlmostEqual(contents["S"], 62 * 32.06 / 96.056, delta=0.01)
        commas = self.audited("Ca=104,5 mg/L; Fe=<0,05 mg/L; pH=7,3")
        self.assertEqual(commas["components"]["Ca"], 104.5)
        self.assertEqual(commas["ph"], 7.3)

    def test_a_reading_has_no_line_of_its_own(self):
        done = run("audit", "--water", TOLD.replace("pH=7.3", "pH=4.1"))
        self.assertIn("pH 4.1 is outside", done.stderr)
        self.assertNotIn("column", done.stderr + done.stdout)

    def test_what_cannot_be_read_is_said_with_what_to_write(self):
        for told, words in (("Ca=80,5mg/L, pH=7", "semicolons"),
                            ("Ca=mg/L", "such as"), ("=80mg/L", "such as"),
                            ("Ca=80", "mg/L"), ("nitrate=5mg/L", "NO3-N"),
                            ("Ca=80furlong", "furlong"), ("Ca=80mg/L;", ""),
                            ("Xx=80mg/L", "Xx")):
            done = run("audit", "--water", told)
            if words:
                self.assertEqual((done.returncode, done.stdout), (2, ""), told)
                self.assertIn("--water", done.stderr)
                self.assertIn(words, done.stderr)
            else:
                self.assertLessEqual(done.returncode, 1, done.stderr)


if __name__ == "__main__":
    unittest.main()
