# SPDX-License-Identifier: GPL-3.0-or-later
"""Several stages in one target: each is the run of that stage alone."""
import csv
import html
import io
import json
import re
import unittest

import test_json
from runner import run, run_json, written
from test_sheet import Tags, sheet

COMMON = ["formulate", "--water", "examples/town.csv", "--target",
          "examples/pepper-stages.csv", "--shelf", "examples/straights.csv"]
NAMES = ["young plants", "flowering", "full harvest"]


class Stages(unittest.TestCase):
    def test_json_keeps_the_schema(self):
        test_json.Json.valid(self, run_json(*COMMON))
        test_json.Json.valid(self, run_json(*COMMON, "--to-ec", "1.6"))


    def test_stages_that_are_not_to_be_mixed_have_no_table(self):
        water = "Ca=80mg/L,Mg=10mg/L,Na=20mg/L,Cl=60mg/L,pH=7.4"
        done = run("formulate", "--water", water, *COMMON[3:])
        self.assertEqual(done.returncode, 1)
        self.assertIn("Do not mix this yet", done.stdout)
        self.assertIn("not to be mixed yet, so no amounts", done.stdout)
        for table in ("Measure out", "Finished solutions", "Wear "):
            self.assertNotIn(table, done.stdout)
    def test_each_run_is_that_of_the_stage_alone(self):
        report = run_json(*COMMON)
        self.assertEqual([s["name"] for s in report["stages"]], NAMES)
        for stage in report["stages"]:
            alone = run_json(*COMMON, "--stage", stage["name"])
            for key in ("recipe", "components", "finished", "measures", "notes"):
                self.assertEqual(stage[key], alone[key])

    def test_tables_side_by_side_are_in_the_units_of_the_volume(self):
        """A gallon is 3.785411784 L, an ounce 28.349523125 g."""
        grams_in = {"oz": 28.349523125, "lb": 16 * 28.349523125, "g": 1}
        waters = ["compare", *COMMON[1:3], "--water", "examples/well.csv",
                  "--target", "examples/basil.csv", *COMMON[5:]]
        for tool, first, name in ((COMMON, "young plants", "calcium nitrate"),
                                  (waters, "well", "potassium nitrate")):
            data = run_json(*tool, "--volume", "300gal")
            runs = data.get("stages", data.get("runs"))
            recipe = [r for r in runs if r["name"] == first][0]["recipe"]
            grams = [p["g_per_l"] * 300 * 3.785411784
                     for p in recipe if p["product"] == name][0]
            for options, units in (([], "oz|lb"), (["--amounts", "us"], "oz|lb"),
                                   (["--amounts", "metric"], "g")):
                text = run(*tool, "--volume", "300gal", *options).stdout
                table = text.split("Measure out for")[1]
                head, cells = (re.split("  +", re.search(
                    f"^ +{word} .*", table, re.M).group().strip())
                    for word in ("product", name))
                amount, unit = cells[head.index(first)].split()
                self.assertRegex(unit, f"^({units})$", (tool[0], options))
                self.assertAlmostEqual(float(amount) * grams_in[unit] / grams,
                                       1, delta=0.01)

    def test_csv_has_the_stage_first(self):
        rows = list(csv.reader(io.StringIO(
            run(*COMMON, "--format", "csv").stdout)))
        self.assertEqual(rows[0][0], "stage")
        self.assertEqual(list(dict.fromkeys(r[0] for r in rows[1:])),
                         ["", *NAMES])

    def test_an_ec_is_reached_in_every_stage(self):
        for stage in run_json(*COMMON, "--to-ec", "1.6")["stages"]:
            self.assertAlmostEqual(stage["finished"]["ec_ms_per_cm"], 1.6,
                                   places=3)

    def test_what_another_stage_names_stays_bounded_where_it_is_not(self):
        head = "parameter,target,stage\n"
        rows = "N,150,{0}\nCa,100,{0}\n"
        shelf = ("product,label\nodd,NO3-N 10; K 28; Mo 1\n"
                 "calcium,Ca 20; Cl 35\n")
        with written(shelf) as products:
            def molybdenum(text, *options):
                with written(text) as target:
                    report = run_json(*COMMON[:4], target.name, "--shelf",
                                      products.name, *options)
                return [[c["finished_mg_per_l"] for c in run["components"]
                         if c["component"] == "Mo"][0]
                        for run in report.get("stages", [report])]
            alone = molybdenum(head + rows.format(""))
            both = head + rows.format("a") + rows.format("b") + "Mo,9,a\n"
            self.assertLess(alone[0], 1)
            self.assertGreater(molybdenum(both)[0], 5)
            self.assertEqual(molybdenum(both)[1:], alone)
            self.assertEqual(molybdenum(both, "--stage", "b"), alone)

    def test_every_command_takes_a_stage(self):
        for command, *options in (("check", "--recipe", "examples/recipe.csv"),
                                  ("stock", "--tank", "200L"), ("compare",),
                                  ("batch",),
                                  ("renew", "--holds", "600L", "--volume",
                                   "1000L", "--solution",
                                   "examples/return.csv:late")):
            given = [command, *COMMON[1:], *options]
            done = run(*given)
            self.assertEqual((done.returncode, done.stdout), (2, ""))
            self.assertIn('--stage "young plants"', done.stderr)
            done = run(*given, "--stage", "young plants")
            self.assertLessEqual(done.returncode, 1, done.stderr)

    def test_one_sheet_holds_the_weights_of_every_stage(self):
        done, text = sheet(*COMMON)
        page = Tags(text)
        self.assertEqual((done.returncode, page.open), (0, []))
        parts = text.split('<div class="stage worker">')
        self.assertEqual(len(parts), len(NAMES) + 1)
        for name, part in zip(NAMES, parts[1:]):
            self.assertIn(f"<h1>{name}</h1>", part)
            alone = run_json(*COMMON, "--stage", name)
            for item in alone["recipe"]:
                # "... in 1 L: pour in 99.5 mL" where a scale is too coarse
                self.assertRegex(part, f">{re.escape(item['product'])}(<| in )")
            self.assertEqual(part.count("<h2>Mix in this order"), 1)
        self.assertEqual(text.count("<h2>Safety</h2>"), 1)

    def test_the_dangers_of_every_stage_are_said_first(self):
        rows = ("parameter,target,min,max,stage\n"
                "N,150,,,steep\npH,4.2,4.1,4.3,steep\nCa,90,,,steep\n"
                "N,150,,,usual\npH,5.8,5.5,6.2,usual\n")
        with written(rows) as target:
            done, page = sheet(*COMMON[:4], target.name, *COMMON[5:])
            alone = run_json(*COMMON[:4], target.name, *COMMON[5:],
                             "--stage", "steep")
        notes = {severity: [n["text"] for n in alone["notes"]
                            if n["severity"] == severity and
                            not n["code"].startswith("caution-") and
                            n["code"] != "improbable"]  # said while reading
                 for severity in ("danger", "warning")}
        self.assertIn("A pH of 4.2 harms roots", notes["danger"][0])
        head = " ".join(done.stdout.split("Measure out")[0].split())
        self.assertRegex(
            head, "^STOP. Danger: do not mix these, and do not give them to a "
            r"crop: steep. Result pH 4\.2 \(.*line 3.*\) is "
            ".*Stages steep ")
        glance, steep, usual = page.split('<div class="stage worker">')
        for text in notes["danger"]:
            self.assertIn(text, head)
            for part in (glance, steep):
                self.assertIn(html.escape(text), part)
        for text in notes["warning"]:
            self.assertIn(text, " ".join(done.stdout.split()))
            self.assertIn(html.escape(text), steep)
        parts = (glance, steep, usual.split("Safety")[0])
        self.assertEqual([part.count("do not mix these") for part in parts],
                         [1, 0, 0])
        self.assertEqual([part.count(">STOP<") for part in parts],
                         [len(alone["recipe"]) + 1, 1, 0])
        self.assertEqual([part.count("<h2>Mix in this") for part in parts],
                         [0, 0, 1])

    def test_a_stage_whose_limits_conflict_gets_the_nearest_recipe(self):
        rows = ("parameter,target,min,max,stage\nCa,,,5,a\nN,150,140,,a\n"
                "Ca,150,,,b\nMg,,200,,a\nS,,,10,a\nCl,,,1,a\n"
                "NO3-N,,,1,a\n")
        with written(rows) as target:
            arguments = [*COMMON[:4], target.name, *COMMON[5:]]
            done, text = sheet(*arguments)
            report = json.loads(run(*arguments, "--format", "json").stdout)
        self.assertEqual(done.returncode, 1)
        self.assertIn("gave way to", text)
        self.assertEqual([s["all_met"] for s in report["stages"]],
                         [False, True])
        test_json.Json.valid(self, report)

    def test_a_chart_is_of_one_stage(self):
        done, text = sheet(*COMMON, suffix=".svg")
        self.assertEqual((done.returncode, text), (1, None))
        self.assertIn("--stage", done.stderr)

    def test_no_line_is_wider_than_a_terminal(self):
        for line in run(*COMMON).stdout.splitlines():
            self.assertLessEqual(len(line), 80, line)


if __name__ == "__main__":
    unittest.main()
