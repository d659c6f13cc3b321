# SPDX-License-Identifier: GPL-3.0-or-later
"""Which water: screen, JSON, CSV and sheet tell the same story."""
import csv
import io
import json
import os
import re
import shutil
import tempfile
import unittest
import xml.etree.ElementTree

from runner import SOURCE, run, run_json, written
from test_sheet import SVG, Tags, sheet

COMMON = ["--target", "examples/basil.csv", "--shelf",
          "examples/straights.csv"]
PAIR = ["compare", "--water", "examples/well.csv", "--water",
        "examples/town.csv", "--purified", "typical", "--blend", *COMMON]


def charts_of(text):
    return [xml.etree.ElementTree.fromstring(chart)
            for chart in re.findall(r"<svg.*?</svg>", text, re.S)]


class Waters(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.json = run_json(*PAIR)
        cls.text = run(*PAIR).stdout
        cls.done, cls.page = sheet(*PAIR)

    def test_every_format_gives_the_same_verdict(self):
        verdict = self.json["choice"]["verdict"]
        rows = list(csv.reader(io.StringIO(run(
            *PAIR, "--format", "csv").stdout)))
        told = {row[3]: row[4] for row in rows if row[:3] == ["", "choice", ""]}
        self.assertEqual(told["verdict"], verdict)
        self.assertEqual(told["use"], self.json["choice"]["use"])
        self.assertIn(verdict, " ".join(self.text.split()))
        self.assertIn(verdict, "".join(Tags(self.page).texts))

    def test_a_blend_is_poured_by_name_and_volume(self):
        """Right before the mark too, where the additions go in."""
        given = ["--water", "examples/well.csv", "--water",
                 "examples/town.csv", "--share", "25,75", *COMMON]
        mix = ["formulate", *given, "--volume", "2000L"]
        said = run_json(*mix)
        brief = " ".join(run(*mix, "--brief").stdout.split())
        steps = {step["kind"]: step["text"] for step in said["steps"]}
        self.assertEqual([water["volume_l"] for water in said["waters"]],
                         [500, 1500])
        self.assertIn("25 % well, 75 % town, that is 500 L of well and 1500 L "
                      "of town.", brief)
        self.assertIn("It takes 375 L of well and 1125 L of town; water for "
                      "the buckets comes out of it.", steps["fill"])
        self.assertIn("125 L of well and 375 L of town", steps["top up"])
        self.assertNotIn("It takes", run("formulate", *given[2:4], *COMMON,
                                         "--format", "json").stdout)

    def test_injectors_and_tanks_get_the_blend(self):
        given = ["stock", "--water", "examples/well.csv", "--water",
                 "examples/town.csv", "--share", "25,75", *COMMON, "--tank",
                 "100L", "--third-tank"]
        mixed = "The injectors are fed with mixed water: 25 % well, 75 % town"
        for make_up in ([], ["--make-up", "examples/town.csv"]):
            said = run_json(*given, *make_up)["steps"]
            fills = [step["text"] for step in said if step["kind"] == "fill"]
            self.assertIn(mixed, said[-1]["text"])
            self.assertIn(mixed, " ".join(run(*given, *make_up,
                                              "--brief").stdout.split()))
            for text in fills:
                self.assertEqual("It takes 18.8 L of well and 56.2 L of town"
                                 in text, not make_up, text)

    def test_two_waters_of_one_name_are_told_apart(self):
        with tempfile.TemporaryDirectory() as folder:
            twin = os.path.join(folder, "well.csv")
            shutil.copy(os.path.join(SOURCE, "examples/well.csv"), twin)
            given = ["compare", "--water", "examples/well.csv", "--water"]
            report = run_json(*given, twin, *COMMON)
            done = run(*given, "examples/well.csv", *COMMON)
        self.assertEqual([r["name"] for r in report["runs"]],
                         ["well (examples/well.csv)", f"well ({twin})"])
        self.assertEqual(done.returncode, 2)
        self.assertIn("'well (examples/well.csv)' is given twice", done.stderr)

    def test_names_alike_in_front_head_columns_that_differ(self):
        head = "sample,pH,alkalinity [mg/L CaCO3],Ca [mg/L]\n"
        names = ["Well 3, drawn 12.03.2026", "Well 3, drawn 01.06.2026",
                 "Well 3, drawn before the long drought of summer, at noon"]
        rows = [f'"{name}",7.5,{150 + 40 * i},{60 + 20 * i}\n'
                for i, name in enumerate(names)]
        for count in (2, 3):
            with written(head + "".join(rows[:count])) as water:
                text = run("compare", "--water", water.name,
                           *COMMON).stdout
            for title in ("Criteria\n", "Measure out for "):
                table = text.split("\n" + title, 1)[1]
                heads = re.split(r"\n  (?:safety limits|calcium nitrate)",
                                 table)[0].split(".\n")[-1]
                words = " ".join(heads.split())
                for name in names[:count]:
                    for word in name.split():
                        self.assertIn(word, words.split())

    def test_the_verdict_stands_first(self):
        self.assertRegex(self.text, r"\AWhich water\n  Use town: ")

    def test_what_to_know_before_mixing_is_told_of_each_water(self):
        waters = ("sample,Ca [mg/L],Mg [mg/L],Na [mg/L],Cl [mg/L],pH,"
                  "alkalinity [mg/L CaCO3],hardness [mg/L CaCO3]\n"
                  "north,80,10,20,60,7.4,,\nsouth,80,10,20,60,7.4,170,900\n"
                  "east,80,10,20,60,7.4,170,\nwest,80,10,20,60,7.4,,\n")
        missing = ("Do not mix this yet: the water's alkalinity is not known, "
                   "so nobody knows the acid that it needs.")
        with written(waters) as file:
            for command in ("compare", "recipes"):
                text = run(command, "--water", file.name, *COMMON).stdout
                head = " ".join(text.split("\n\n")[0].split())
                with self.subTest(command):
                    self.assertEqual(head.count("Do not mix"), 1, head)
                    self.assertIn(missing, head)
                    self.assertNotIn("east: ", head)
                    if command == "recipes":
                        self.assertIn("Left out until this is settled: north, "
                                      "west. The recipes below are for the "
                                      "other waters. Do not mix this", head)
                        self.assertIn("One recipe serves all 2 samples.", head)
                        continue
                    self.assertIn("north, west: " + missing, head)
                    self.assertIn("south: The water report contradicts itself "
                                  "on hardness.", head)
            rows = " ".join(run("batch", "--water", file.name,
                                *COMMON).stdout.split())
            self.assertEqual(rows.count(missing), 2, rows)
            one = ["formulate", "--water", file.name + ":north", *COMMON]
            _, page = sheet(*one)
            for text in (run(*one).stdout, run(*one, "--brief").stdout, page):
                self.assertIn(missing[:44], text.replace("&#39;", "'"))

    def test_what_reading_a_water_found_is_told_with_its_row(self):
        waters = ("sample,Ca [mg/L],Mg [mg/L],Na [mg/L],Cl [mg/L],pH,"
                  "alkalinity [mg/L CaCO3],EC [mS/cm],hardness [mg/L CaCO3]\n"
                  "false,80,10,20,60,7.4,170,5,\nsound,80,10,20,60,7.4,170,,\n"
                  "odd,80,10,20,60,7.4,170,,900\nlacking,80,10,20,60,7.4,,,\n")
        said = {"false": "does not go with the cations", "odd": "is a metal",
                "lacking": "not reported, so taken as 0"}
        with written(waters) as file:
            done = run("batch", "--water", file.name, *COMMON, "--format",
                       "json")
            runs = {row["sample"]: row for row in
                    json.loads(done.stdout)["runs"]}
            for name, row in runs.items():
                self.assertEqual([w for w in row["warnings"]
                                  if said.get(name, "(") in w] != [],
                                 name in said, (name, row["warnings"]))
            head = run("formulate", "--water", file.name + ":false",
                       *COMMON).stdout.split("\n\n")[0]
            self.assertIn("is far from what the", " ".join(head.split()))
            self.assertNotIn("improbable", head)
            brief = run("formulate", "--water", file.name + ":odd", *COMMON,
                        "--brief").stdout
        self.assertLessEqual(len(brief.splitlines()), 26, brief)

    def test_a_water_of_no_share_is_not_spoken_of(self):
        waters = ("sample,Ca [mg/L],Mg [mg/L],Na [mg/L],Cl [mg/L],pH,"
                  "NO3-N [mg/L],S [mg/L],alkalinity [mg/L CaCO3]\n"
                  "idle,80,10,20,60,7.4,2,9,\nused,80,10,20,60,7.4,2,9,170\n")
        with written(waters) as file:
            given = ["formulate", "--water", file.name + ":idle", "--water",
                     file.name + ":used", *COMMON, "--share"]
            one, both = (run(*given, share).stdout.split("\n\n")[0]
                         for share in ("0,100", "50,50"))
        for words, text in ((False, one), (True, both)):
            self.assertEqual("not known" in text or "lacks" in text, words,
                             text)

    def test_alkalinity_that_is_not_reported_is_not_taken_as_none(self):
        with written("sample,Ca [mg/L],pH\nidle,80,7.4\n") as file:
            done = run("formulate", "--water", file.name, *COMMON)
        self.assertNotIn("is taken as 0", " ".join(done.stdout.split()))
        self.assertIn("neither the acid", " ".join(done.stdout.split()))
        for line in done.stderr.splitlines():
            self.assertEqual(line.count(file.name), 1, line)

    def test_a_conductivity_at_other_degrees_is_told_as_such(self):
        for head, cold in (("EC (18 °C) [uS/cm]", True),
                           ("EC at 18 °C [uS/cm]", True),
                           ("Leitfähigkeit bei 15 °C [uS/cm]", True),
                           ("EC (20 °C) [uS/cm]", False),
                           ("EC (25 °C) [uS/cm]", False)):
            with written(f"sample,pH,{head},alkalinity [mg/L CaCO3]\n"
                         "a,7.4,700,170\n") as file:
                done = run("audit", "--water", file.name, "--format", "json")
            water = json.loads(done.stdout)["water"]
            self.assertEqual("ec_ms_per_cm" in water, not cold, head)
            self.assertEqual("a conductivity at other degrees than 25 or 20, "
                             f"so not read: {head}" in done.stderr, cold, head)

    def test_a_misspelt_reading_gives_no_names_to_samples(self):
        for head, near in (("Ça [mg/L]", "did you mean Ca"),
                           ("Calcuim", "did you mean Ca"), ("Well", ""),
                           ("Lab no.", "")):
            with written(f"{head},Mg [mg/L],pH\n80,10,7.2\n90,12,7.3\n"
                         ) as file:
                done = run("audit", "--water", file.name)
            # without an alkalinity no acid is known: 1
            self.assertEqual(done.returncode, 3 if near else 1, head)
            self.assertIn(near, done.stderr)

    def test_words_of_the_trade_for_alkalinity_and_hardness_are_read(self):
        for given, told in (("m-value=3.4mmol/L", 3.4),
                            ("hardness=14°eH,alkalinity=3meq/L", 3.0)):
            report = run_json("audit", "--water", "pH=7.4," + given)
            self.assertAlmostEqual(report["water"]["alkalinity_meq_per_l"],
                                   told)

    def test_one_limit_that_is_met_is_told_as_one(self):
        text = run("audit", "--water", "NO3-N=5mg/L, Zn=0.05mg/L").stdout
        self.assertIn("The water meets one limit it could be held against.",
                      " ".join(text.split()))

    def test_a_report_that_cannot_be_true_opens_with_that(self):
        ions = "Mg=5mg/L, Na=5mg/L, Cl=10mg/L, SO4=50mg/L, "
        salt = "Ca=50mg/L, pH=7, alkalinity=100mg/L CaCO3, EC=%smS/cm"
        far = re.compile(r"Do not mix this yet: the EC reported \((\S+) mS/cm,"
                         r" as told\) is far from what the reported ions give "
                         r"\(0\.\d+ mS/cm\), so something is missing or wrong\. "
                         r"Have the analysis repeated(; or, since the charges)?")
        for more, ec, said in (("", "5", True), (ions, "5", True),
                               ("", "0.4", False), (ions, "0.33", False),
                               (ions, "0.1", True)):
            water = ["--water", more + salt % ec]
            heads = [run(command, *water, *COMMON).stdout.split("\n\n")[0]
                     for command in ("formulate", "recipes")]
            for head in heads:
                with self.subTest(water, head=head):
                    found = far.search(" ".join(head.split()))
                    self.assertEqual(bool(found), said)
                    if said:
                        self.assertEqual(float(found[1]), float(ec))
                        self.assertEqual(bool(found[2]), bool(more))
            audit = run("audit", *water).stdout
            self.assertEqual("1 fails" in audit.split("\n\n")[0], said, audit)

    def test_an_alkalinity_that_the_charges_deny_is_told_with_its_acid(self):
        """All of 300 mg/L CaCO3 balance the well of the examples."""
        path = os.path.join(SOURCE, "examples/well.csv")
        with open(path, encoding="utf-8") as file:
            report = file.read()
        ph = "parameter,target\npH,5.8\n"
        for told, acid, code in ((60, None, 1), (240, "of nitric", 1),
                                 (370, "less", 1), (300, None, 0)):
            water = report.replace("alkalinity,300", f"alkalinity,{told}")
            with written(water) as file, written(ph) as target:
                given = ["formulate", "--water", file.name, "--brief"]
                recipe = run(*given, *COMMON)
                alone = run(*given, "--target", target.name, *COMMON[2:])
            for done in (recipe, alone):
                first = " ".join(done.stdout.split())[:600]
                with self.subTest(told=told, first=first):
                    self.assertEqual(done.returncode, code)
                    self.assertEqual("Have the alkalinity measured" in first,
                                     told != 300)
                    self.assertEqual("nitric acid 38 % " in done.stdout,
                                     told != 60)
                    # 370 is the bicarbonate of 303
                    self.assertEqual("alkalinity holds bicarbonate" in first,
                                     told == 370)
            self.assertIn(acid or "", recipe.stdout)

    def test_an_impossible_ph_sizes_nothing(self):
        for ph, alkalinity, stops in ((4.0, 200, True), (5.0, 200, True),
                                      (4.0, 0, False), (6.5, 200, False)):
            water = ["--water", f"Ca=80mg/L, Mg=10mg/L, Na=10mg/L, Cl=15mg/L, "
                     f"S=10mg/L, pH={ph}, alkalinity={alkalinity}mg/L CaCO3"]
            text = " ".join(run("formulate", *water, *COMMON).stdout.split())
            with self.subTest(ph=ph, alkalinity=alkalinity):
                self.assertEqual("contradict each other" in
                                 text.split("What to change")[0], stops, text)
                if stops:
                    self.assertTrue(text.startswith("STOP. Danger: "), text)
                    self.assertNotIn("formulate can size", text)
                    self.assertNotIn("Recipe for", text)

    def test_a_dangerous_feed_is_never_to_be_used(self):
        target = "parameter,target,min,max\nN,150,,\npH,4.2,4.1,4.3\n"
        with written(target) as file:
            given = ["--water", "examples/town.csv", "--water",
                     "examples/well.csv", "--target", file.name, *COMMON[2:]]
            done, page = sheet("compare", *given)
            told = run_json("compare", *given)
            batch = run("batch", *given)
            rows = run_json("batch", *given)["runs"]
            lines = list(csv.DictReader(io.StringIO(
                run("batch", *given, "--format", "csv").stdout)))
        choice, words = told["choice"], " ".join(done.stdout.split())
        self.assertEqual((done.returncode, batch.returncode), (1, 1))
        self.assertTrue(choice["verdict"].startswith("None may be used"))
        self.assertIn(choice["least_harmful"], ("town", "well"))
        self.assertNotIn("use", choice)
        self.assertEqual([c["dangerous"] for c in choice["candidates"]],
                         [True, True])
        self.assertIn(choice["verdict"], words)
        self.assertNotIn("use it:", words)
        self.assertIn('<p class="result unmet">None may be', page)
        danger = "A pH of 4.2 harms roots: do not give this to a crop."
        for text in (words, page, " ".join(batch.stdout.split())):
            self.assertEqual(text.count(danger), 2)
        self.assertEqual(batch.stdout.count("do not use\n"), 2)
        self.assertNotIn("optimal", batch.stdout)
        for row, line in zip(rows, lines):
            self.assertEqual((row["outcome"], row["all_met"]),
                             ("optimal", True))
            self.assertIn(danger, row["dangers"][0])
            self.assertEqual(line["dangers"], " ".join(row["dangers"]))

    def test_the_mix_is_that_of_formulate(self):
        alone = run_json("formulate", "--water", "examples/well.csv",
                         "--water", "examples/town.csv", *COMMON)
        shares = {w["sample"]: w["share"] for w in alone["waters"]}
        for water in self.json["blend"]["waters"]:
            self.assertAlmostEqual(water["share"],
                                   shares.get(water["water"], 0), places=6)
            self.assertLessEqual(water["lowest_share"], water["share"])
            self.assertGreaterEqual(water["highest_share"], water["share"])

    def test_purified_water_is_said_to_be_typical(self):
        self.assertIn("as reverse osmosis usually gives it", self.text)
        self.assertIn("as reverse osmosis usually gives it", self.page)

    @staticmethod
    def is_unclear(row):
        """Missed by less than a meter can tell."""
        if "measure" not in row:
            return False
        finished = row.get("finished")
        past = max(row["min"] - finished, finished - row["max"])
        return past <= {"pH": 0.1, "EC": 0.04 * finished}[row["measure"]]

    def test_figures_of_the_choice_are_those_of_the_runs(self):
        for run_, told in zip(self.json["runs"],
                              self.json["choice"]["candidates"]):
            rows = run_["components"] + run_.get("measures", [])
            missed = sum(r.get("verdict") in ("short", "over") and
                         not self.is_unclear(r) for r in rows)
            self.assertEqual(told["values"]["targets_clearly_missed"], missed)
            self.assertEqual(run_["name"], told["name"])

    def test_text_and_sheet_tell_the_estimates_of_the_runs(self):
        finished = [run_["finished"] for run_ in self.json["runs"]]
        expected = {
            "EC, 90 % range": [f"{f['ec_low_ms_per_cm']:.2f} to "
                                  f"{f['ec_high_ms_per_cm']:.2f}"
                                  for f in finished],
            "osmotic pressure, kPa": [f"{f['osmotic_pressure_kpa']:.0f}"
                                      for f in finished]}
        for name, cells in expected.items():
            row = re.search(rf"^  {name} +(.*)$", self.text, re.M)
            self.assertEqual(re.split("  +", row.group(1)), cells)
            row = re.search(rf"{name}</th>(.*?)</tr>", self.page)
            self.assertEqual(re.findall(">([^<]+)</td>", row.group(1)), cells)

    def test_a_price_of_the_water_is_added(self):
        priced = run_json(*PAIR, "--water-price", "1,2,4")
        for before, after, price in zip(
                self.json["choice"]["candidates"],
                priced["choice"]["candidates"], (1, 2, 4)):
            self.assertAlmostEqual(after["values"]["cost_per_m3"] - price,
                                   before["values"]["cost_per_m3"], places=9)

    def test_purified_water_pays_below_its_break_even(self):
        """Soft water whose acid is a source of phosphorus: no reason to buy
        purified water at any price."""
        water = ("parameter,value,unit\npH,7.6,\nEC,0.3,mS/cm\n"
                 "alkalinity,70,mg/L CaCO3\nCa,28,mg/L\nMg,7,mg/L\n"
                 "Na,15,mg/L\nK,2,mg/L\nCl,18,mg/L\nSO4,26,mg/L\n"
                 "NO3-N,1,mg/L\n")
        target = ("parameter,target,min,max\nN,190,,\nNH4-N:N,,,0.1\nP,45,,\n"
                  "K,300,,\nCa,190,,\nMg,50,,\nS,80,,150\nFe,2.5,,\n"
                  "pH,5.8,5.8,5.8\n")
        shelf = ("product,formula,label,price,price_unit\n"
                 "calcium nitrate,,NO3-N 14.4; NH4-N 1.1; Ca 19,0.6,/kg\n"
                 "potassium nitrate,KNO3,,1.2,/kg\nMKP,KH2PO4,,2,/kg\n"
                 "SOP,K2SO4,,1,/kg\nEpsom,MgSO4.7H2O,,0.4,/kg\n"
                 "phosphoric acid 75 %,,,6.5,/L\niron chelate,,Fe-DTPA 10,9,/kg"
                 "\npotassium bicarbonate,,,3,/kg\n")
        with written(water) as w, written(target) as t, written(shelf) as s:
            given = ["compare", "--water", w.name, "--purified", "typical",
                     "--target", t.name, "--shelf", s.name]
            free = run_json(*given)["choice"]
            dear = run_json(*given, "--water-price", "1.9,60")["choice"]
            pays = dear["candidates"][1]["pays_below_per_m3"]
            cheap = run_json(*given, "--water-price",
                             f"1.9,{0.8 * pays:.3f}")["choice"]
            costly = run_json(*given, "--water-price",
                              f"1.9,{1.2 * pays:.3f}")["choice"]
        self.assertNotEqual(free["use"], "purified")
        self.assertFalse(free["priced"])
        self.assertIn("Break-even: purified", free["verdict"])
        self.assertAlmostEqual(
            free["candidates"][1]["pays_below_per_m3"], pays - 1.9, 6)
        self.assertNotEqual(dear["use"], "purified")
        self.assertIn(f"purified pays below {pays:.2f} per 1000 L",
                      dear["verdict"])
        self.assertEqual(cheap["use"], "purified")
        self.assertNotEqual(costly["use"], "purified")
        for made in (free, dear):
            values = [c["values"]["acid_and_base_meq_per_l"]
                      for c in made["candidates"]]
            self.assertGreater(values[0], 0.5 + values[1])

    def test_the_sheet_is_one_file_without_script_or_network(self):
        page = Tags(self.page)
        self.assertEqual(page.open, [])
        self.assertFalse({"script", "link", "img", "iframe", "a", "form",
                          "object"} & set(page.tags))
        self.assertNotRegex(self.page, r"(?<!=\")https?:|@import|"
                                       r"url\((?!#)|\son\w+=")
        self.assertEqual(self.done.stdout, self.text)

    def test_each_chart_says_in_words_what_it_shows(self):
        charts = charts_of(self.page)
        self.assertEqual(len(charts), 3)
        for chart in charts:
            self.assertEqual(chart.get("role"), "img")
            self.assertTrue(chart.find(SVG + "title").text)
            for name in ("well", "town", "purified"):
                self.assertIn(name, chart.find(SVG + "desc").text)

    def test_no_mark_lies_outside_its_chart(self):
        for chart in charts_of(self.page):
            _, _, width, height = map(float, chart.get("viewBox").split())
            for mark in chart.iter(SVG + "rect"):
                if mark.get("x") is None:
                    continue
                x, y, w, h = (float(mark.get(k))
                              for k in ("x", "y", "width", "height"))
                self.assertTrue(0 <= x <= x + w <= width)
                self.assertTrue(0 <= y <= y + h <= height + 0.5)

    def test_a_chart_alone_stands_in_a_file(self):
        _, text = sheet(*PAIR, suffix=".svg")
        root = xml.etree.ElementTree.fromstring(text)
        self.assertEqual(root.tag, SVG + "svg")
        self.assertEqual(root.find(SVG + "title").text, "Criteria")

    def test_a_hostile_name_changes_nothing_but_itself(self):
        hostile = "</bdi><script>alert(1)</script>\u202e'& %s"
        with tempfile.TemporaryDirectory() as folder:
            waters = os.path.join(folder, "waters.csv")
            with open(os.path.join(SOURCE, "examples/waters.csv"),
                      encoding="utf-8") as stream:
                text = stream.read()
            with open(waters, "w", encoding="utf-8") as stream:
                stream.write(text.replace("\ntown;", f"\n{hostile};"))
            strange = sheet("compare", "--water", waters, "--blend", *COMMON)
            plain = sheet("compare", "--water", "examples/waters.csv",
                          "--blend", *COMMON)
        self.assertEqual(Tags(strange[1]).tags, Tags(plain[1]).tags)
        self.assertNotIn("\u202e", strange[0].stdout + strange[1])

    def test_no_line_is_wider_than_a_terminal(self):
        for line in self.text.splitlines():
            self.assertLessEqual(len(line), 80, line)


class Misread(unittest.TestCase):
    """One figure of the well's report, and what is told to be misread."""

    def told(self, old, new):
        with open("examples/well.csv", encoding="utf-8") as file:
            lines = file.read()
        self.assertIn(old, lines)
        with written(lines.replace(old, new)) as report:
            done = run("formulate", "--water", report.name, *COMMON, "--brief")
        text = " ".join(done.stdout.split())
        return "may be misread" in text, "to take it so" in text

    def test_a_mistyped_figure_is_no_misreading_of_another(self):
        for old, new in (("alkalinity,300", "alkalinity,150"),
                         ("Ca,104", "Ca,52"), ("TDS,470", "TDS,4700"),
                         ("TDS,470", "TDS,47"), ("SO4,62", "SO4,124")):
            self.assertEqual(self.told(old, new), (False, False), new)

    def test_how_to_take_it_so_is_told_where_nothing_else_explains_it(self):
        self.assertEqual(self.told("Na,21", "Na,93"), (True, False))
        for old, new in (("alkalinity,300", "alkalinity,6"),
                         ("SO4,62", "SO4-S,62"), ("EC,788,uS", "EC,788,mS")):
            self.assertEqual(self.told(old, new), (True, True), new)


class AnArchiveInPart(unittest.TestCase):
    """Samples that cannot be read cost themselves alone."""
    HEAD = ("sample,pH,Ca [mg/L],Mg [mg/L],Na [mg/L],K [mg/L],HCO3 [mg/L],"
            "SO4 [mg/L],Cl [mg/L],NO3 [mg/L]\n")
    ROW = "{},7.2,{},10,20,3,180,30,25,5\n"

    def archive(self, calcium):
        file = written(self.HEAD + "".join(
            self.ROW.format(f"well {i + 1}", ca)
            for i, ca in enumerate(calcium)))
        self.addCleanup(file.close)
        return file.name

    def audit(self, name):
        done = run("audit", "--water", name, "--format", "json")
        return done, done.stdout and json.loads(done.stdout)

    def test_the_others_are_judged_and_the_defect_is_told(self):
        for calcium, read in (("48 5o 47", 2), ("4x 48", 1)):
            calcium = calcium.split()
            name = self.archive(calcium)
            done, out = self.audit(name)
            self.assertEqual(done.returncode, 3)
            self.assertEqual([row["sample"] for row in out["samples"]],
                             [f"well {i + 1}" for i, ca in enumerate(calcium)
                              if ca.isdigit()])
            self.assertEqual(len(out["samples"]), read)
            bad = [i for i, ca in enumerate(calcium) if not ca.isdigit()]
            self.assertEqual(
                [(row["sample"], row["line"], row["column"])
                 for row in out["refused"]],
                [(f"well {i + 1}", i + 2, len(f"well {i + 1},7.2,") + 1)
                 for i in bad])
            for row in out["refused"]:
                self.assertIn("is not a number", row["reason"])
                self.assertIn(row["reason"], done.stderr)

    def test_of_a_chosen_sample_its_own_defects_count(self):
        name = self.archive(["5o"] * 300 + ["48"] + ["5o"])
        for sample, code in (("well 301", 0), ("well 1", 3), ("well 250", 3),
                             ("well 302", 3)):
            done, _ = self.audit(f"{name}:{sample}")
            self.assertEqual(done.returncode, code, sample)
            self.assertEqual("error" in done.stderr, code == 3, sample)
        done, out = self.audit(name)
        self.assertEqual([row["sample"] for row in out["samples"]],
                         ["well 301"])
        self.assertIn("102 further defects", out["refused"][-1]["reason"])

    def test_notes_of_the_file_are_of_a_chosen_sample_too(self):
        file = written("Sample,Ca (mg/L),Glyphosat,B (mg/L),Qual\n"
                       "A,48,3,0.05,ZZ\nB,50,4,0.2,\n")
        self.addCleanup(file.close)
        for sample in ("A", "B"):
            done = run("audit", "--water", f"{file.name}:{sample}")
            self.assertIn("Glyphosat", done.stderr, sample)
            self.assertIn("mark that is not known", done.stderr, sample)

    def test_a_sample_that_was_left_out_is_not_only_unknown(self):
        rows = ("sample,matrix,pH,Ca [mg/L]\nA,water,7.3,40\n"
                "B,soil,7.3,400\n")
        with written(rows) as file:
            done = run("audit", "--water", f"{file.name}:B")
        self.assertEqual(done.returncode, 2)
        self.assertIn('holds no sample "B"', done.stderr)
        self.assertEqual(done.stderr.count("are of no water: B;"), 1)

    def test_samples_of_one_day_are_told_apart_by_the_time(self):
        file = written(
            "MonitoringLocationIdentifier,ActivityStartDate,"
            "ActivityStartTime/Time,CharacteristicName,ResultMeasureValue,"
            "ResultMeasure/MeasureUnitCode\n"
            "X-1,2020-05-01,08:00:00,Calcium,48,mg/l\n"
            "X-1,2020-05-01,15:00:00,Calcium,58,mg/l\n")
        self.addCleanup(file.close)
        _, out = self.audit(file.name)
        self.assertEqual([row["sample"] for row in out["samples"]],
                         ["X-1 2020-05-01 08:00:00",
                          "X-1 2020-05-01 15:00:00"])
        for time, calcium in (("08:00:00", "48"), ("15:00:00", "58")):
            done, _ = self.audit(f"{file.name}:2020-05-01 {time}")
            self.assertIn(f"Ca {calcium} mg/L", done.stdout)

    def test_what_chooses_among_waters_goes_without_none(self):
        name = self.archive(["48", "5o"])
        for command in ("compare", "recipes"):
            done = run(command, "--water", name, "--target", "lettuce")
            self.assertEqual((done.returncode, done.stdout), (3, ""), command)

    def test_a_defect_of_the_whole_file_refuses_it(self):
        file = written(self.HEAD.replace("Ca [mg/L]", "Ca [furlong]") +
                       self.ROW.format("well 1", 48))
        self.addCleanup(file.close)
        done, _ = self.audit(file.name)
        self.assertEqual((done.returncode, done.stdout), (3, ""))


if __name__ == "__main__":
    unittest.main()
