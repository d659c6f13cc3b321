#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""A dangerous recipe gets STOP instead of amounts; others, what to wear first.
"""
import csv
import html
import io
import os
import re
import sys
import tempfile
import unittest

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from runner import BASIL, SOURCE, WELL, run, run_json, written

PEPPER = ["--water", "examples/town.csv", "--target", "examples/pepper.csv",
          "--shelf", "examples/straights.csv"]
# 4.84 L of acid and 10 mg/L of boron: nobody's feed.
RECIPE = ("product,amount,unit\ncalcium nitrate,905,mg/L\n"
          "nitric acid 38 %,6000,mg/L\nboric acid,60,mg/L\n")
AMOUNTS = ("4.84 L", "905 g", "60.0 g", "6.00 kg")
# What to measure out, on a screen: a mass or a volume at the end of a row.
WEIGHED = re.compile(r"^  \S.*\b\d[\d.]* (g|kg|mg|mL|L|oz|lb)\b", re.M)


def sheet(*arguments):
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "sheet.html")
        done = run(*arguments, "--sheet", path)
        with open(path, encoding="utf-8") as file:
            return done, file.read()


class Stop(unittest.TestCase):
    """One recipe, through every writer."""

    @classmethod
    def setUpClass(cls):
        with written(RECIPE) as recipe:
            given = ["check", *PEPPER, "--recipe", recipe.name]
            cls.done, cls.page = sheet(*given)
            cls.json = run_json(*given)
            cls.csv = list(csv.DictReader(io.StringIO(
                run(*given, "--format", "csv").stdout)))

    def dangers(self):
        return [n["text"] for n in self.json["notes"]
                if n["severity"] == "danger" and
                not n["code"].startswith("caution-")]

    def test_a_fixed_acid_is_to_be_freed_and_no_base_bought(self):
        with open("examples/straights.csv", encoding="utf-8") as file:
            rows = list(csv.DictReader(line for line in file
                                       if not line.startswith("#")))
        for cell in ("fixed", "min"):
            text = "product,formula,purity,density,unit," + cell + "\n"
            for row in rows:
                acid = row["product"].startswith("nitric")
                if row["formula"]:
                    text += (f"{row['product']},{row['formula']},{row['purity']},"
                             f"{row['density']},mL/L,1.5\n" if acid else
                             f"{row['product']},{row['formula']},{row['purity']}"
                             ",,,\n")
            with written(text) as shelf:
                stop = run_json("formulate", *BASIL[:4], "--shelf",
                                shelf.name)["stop"]
            with self.subTest(cell=cell):
                self.assertIn("nitric acid 38 % (", stop["changes"][0])
                self.assertNotIn("base", " ".join(stop["changes"]))

    def test_an_acid_water_without_a_base_asks_for_one(self):
        report = ("parameter,value,unit\npH,3.9,\nalkalinity,0,mg/L CaCO3\n"
                  "Ca,20,mg/L\nSO4,48,mg/L\n")
        with written(report) as water, \
                open("examples/straights.csv", encoding="utf-8") as file:
            given = ["formulate", "--water", water.name, *BASIL[2:4], "--shelf"]
            bare = run_json(*given, "examples/straights.csv")["stop"]
            with written(file.read() + "potassium bicarbonate,KHCO3,0.99"
                         + "," * 10 + "\n") as shelf:
                based = run_json(*given, shelf.name)
        self.assertIn("Put a base on the shelf", bare["changes"][0])
        self.assertNotIn("formulate can size", " ".join(bare["changes"]))
        self.assertNotIn("stop", based)

    def test_a_wrong_ratio_names_the_injector(self):
        tanks = ("tank,product,amount,unit\nA,calcium nitrate,2.2,kg\n"
                 "B,nitric acid 38 %,5.99,L\nB,potassium nitrate,3.1,kg\n")
        with written(tanks) as file:
            stop = run_json("check", *BASIL, "--stocks", file.name, "--tank",
                            "100L", "--head", "B=10")["stop"]
        self.assertIn("ratio of each injector", stop["changes"][0])

    def test_tanks_that_are_there_come_before_another(self):
        """Calcium off sulfate and phosphate, or these off calcium: one change
        alone would need a third tank."""
        tanks = ("tank,product,amount,unit\nA,calcium nitrate,2.2,kg\n"
                 "A,magnesium sulfate,1.9,kg\nA,monopotassium phosphate,1.7,kg\n"
                 "B,potassium nitrate,3.1,kg\nB,potassium sulfate,0.66,kg\n")
        with written(tanks) as file:
            stock = run_json("check", *BASIL, "--stocks", file.name, "--tank",
                             "100L", "--factor", "100")["stock"]
        texts = [remedy["text"] for remedy in stock["remedies"]]
        self.assertTrue(texts[0].startswith("Share the products out anew: tank "
                                            "A: calcium nitrate"), texts)
        self.assertIn("Give calcium nitrate a tank and an injector of its own: "
                      "tank C.", texts)

    def test_the_screen_says_so_first_and_lists_no_amount(self):
        lines = self.done.stdout.splitlines()
        self.assertEqual(self.done.returncode, 1)
        self.assertTrue(lines[0].startswith("STOP. Danger: "), lines[0])
        self.assertNotIn("Recipe for", self.done.stdout)
        for amount in AMOUNTS:
            self.assertNotIn(amount, self.done.stdout)
        said = " ".join(self.done.stdout.split())
        for text in self.dangers():
            self.assertEqual(said.count(" ".join(text.split())), 1)
            self.assertLess(said.index(text), said.index("What to change"))
        self.assertLess(said.index("What to change"), said.index("Result"))

    def test_the_sheet_says_so_in_the_largest_type(self):
        style, body = self.page.split("</style>")
        sizes = dict(re.findall(r"^([^@{}]+?) \{[^}]*?font-size: ([\d.]+)rem",
                                style, re.M))
        self.assertEqual(max(sizes, key=lambda s: float(sizes[s])),
                         ".stop .word")
        self.assertIn('<p class="word">STOP</p>', body)
        for word in ("Weigh out", "Mix in this order", 'class="square"',
                     'class="gear"', "Mixed by", *AMOUNTS):
            self.assertFalse(word in body, word)
        self.assertLess(body.index(">STOP<"), body.index("What to change"))
        for text in self.dangers():
            self.assertLess(body.index(html.escape(text)),
                            body.index("What to change"))

    def test_programs_are_told_the_same(self):
        self.assertGreaterEqual(len(self.dangers()), 3)
        self.assertEqual(self.json["stop"]["reasons"], self.dangers())
        rows = [(r["section"], r["value"]) for r in self.csv
                if r["section"].startswith("stop.")]
        self.assertEqual([v for k, v in rows if k == "stop.reasons"],
                         self.json["stop"]["reasons"])
        self.assertEqual([v for k, v in rows if k == "stop.changes"],
                         self.json["stop"]["changes"])

    def test_no_choice_of_blocks_hides_it(self):
        with written(RECIPE) as recipe:
            given = ["check", *PEPPER, "--recipe", recipe.name, "--only",
                     "recipe"]
            text = run(*given).stdout
            document = run_json(*given)
            rows = run(*given, "--format", "csv").stdout
        self.assertTrue(text.startswith("STOP. Danger: "), text)
        self.assertEqual(document["stop"], self.json["stop"])
        self.assertNotIn("notes", document)
        self.assertIn("stop.reasons", rows)
        self.assertNotIn("notes", rows)

    def test_what_withholds_a_block_is_told_where_it_alone_is_asked_for(self):
        done = run("formulate", "--water", "EC=0.3mS/cm, pH=7", "--target",
                   "examples/basil.csv", "--only", "recipe")
        self.assertEqual((done.returncode, done.stdout), (1, ""))
        self.assertIn("--only verdict,recipe", done.stderr)

    def test_no_calculation_takes_a_gas_out_of_a_water(self):
        with written("parameter,value,unit\npH,7.1,\nalkalinity,150,mg/L "
                     "CaCO3\nCa,46,mg/L\nsulfide,1.5,mg/L\n") as water:
            told = run_json("check", "--water", water.name, "--target",
                            "examples/basil.csv", "--dose",
                            "potassium nitrate=0.5g/L")["stop"]["changes"]
        self.assertIn("Then run it again", " ".join(told))
        self.assertNotIn("amounts calculated", " ".join(told))

    def test_each_reason_has_its_remedy(self):
        changes = " ".join(self.json["stop"]["changes"])
        for word in ("acid or base", "slipped unit", "concentrate"):
            self.assertIn(word, changes)

    def test_tanks_that_are_spoilt_get_a_sheet_without_amounts(self):
        tanks = ("tank,product,amount,unit\nA,calcium nitrate,6,kg\n"
                 "A,monopotassium phosphate,2,kg\n")
        with written(tanks) as stocks:
            done, page = sheet("check", *BASIL, "--stocks", stocks.name,
                               "--tank", "100L")
        self.assertEqual(done.returncode, 1)
        self.assertTrue(done.stdout.startswith("STOP. Danger: "))
        self.assertIn(">STOP<", page)
        for word in ("Weigh out", "6.00 kg", "6 kg", 'class="square"'):
            self.assertFalse(word in page.split("</style>")[1], word)

    def test_a_sound_recipe_has_none(self):
        done, page = sheet("formulate", *BASIL)
        self.assertNotIn("STOP", done.stdout)
        self.assertNotIn(">STOP<", page)
        self.assertNotIn("stop", run_json("formulate", *BASIL))

    def test_what_a_meter_showed_stops_no_recipe(self):
        done, page = sheet("formulate", *BASIL, "--measured-ph", "3.2")
        self.assertIn("Danger: ", done.stdout)
        self.assertNotIn(">STOP<", page)
        self.assertIn("Mix in this order", page)

    def test_readings_that_contradict_the_recipe_open_the_result(self):
        """The water alone, a mix of pH 3 to 6, and one as it should be."""
        water = ["--measured-ec", "0.79", "--measured-ph", "7.3"]
        for given, status, said in (
                (water, 1, "Something is off. Most likely: nothing put in yet"),
                (["--measured-ec", "2.4"], 1, "Something is off."),
                (["--measured-ec", "0.00184"], 1, "An EC of 0.00184 mS/cm is "
                 "less than any water's: is its unit mistyped? 1.84 mS/cm"),
                (["--measured-ec", "1.84"], 0, "The readings fit the recipe."),
        ):
            for more in [], ["--brief"]:
                done = run("formulate", *BASIL, *given, *more)
                text = " ".join(done.stdout.split())
                self.assertEqual(done.returncode, status, given)
                self.assertTrue(text.removeprefix("Result ").startswith(said),
                                text[:200])
                self.assertEqual("Do not give this mix to a crop" in text,
                                 status == 1)
                self.assertEqual("On paper: 16 targets" in text, status == 1)
                self.assertEqual("pH is measured and" in text,
                                 status == 1 and given is not water)
            report = run_json("formulate", *BASIL, *given)
            self.assertEqual(report["meter"]["as_meant"], status == 0)

    def test_where_no_ph_is_read_it_may_be_that_of_any_likely_mistake(self):
        for ec in "1.2", "2.4", "3.2":
            with self.subTest(ec=ec):
                report = run_json("formulate", *BASIL, "--measured-ec", ec)
                likely = [m["ph"] for m in report["meter"]["mistakes"]
                          if m["entry_likelihood"] >= 0.02]
                self.assertIn(f"it may be {min(likely):.1f} to "
                              f"{max(likely):.1f}.",
                              " ".join(report["verdict"]))

    def said_of(self, *given):
        """Status and result, without line ends, of readings at the well."""
        done = run("formulate", *given, "--brief")
        text = " ".join(done.stdout.split())
        self.assertNotIn("Something is off. The likeliest (nothing", text)
        return done.returncode, text

    def test_co2_that_has_left_is_no_mistake(self):
        """EC as calculated, any pH from the fresh one to the aired one."""
        finished = run_json("formulate", *BASIL)["finished"]
        ec = ["--measured-ec", f"{finished['ec_ms_per_cm']:.2f}"]
        low, high = finished["ph_mixed"], finished["ph_aired"]
        self.assertGreater(high - low, 1.0)
        for way in 0.4, 0.7, 1.0:
            ph = f"{low + way * (high - low):.1f}"
            status, text = self.said_of(*BASIL, *ec, "--measured-ph", ph)
            self.assertEqual(status, 1, text)
            self.assertTrue(text.removeprefix("Result ").startswith(
                "The readings fit the recipe"), text)
            self.assertIn("some CO2 has left", text)
            self.assertIn(f"The pH measured is {ph}0 of at most 6.20.", text)
            self.assertIn("On paper: 16 targets", text)
            self.assertNotIn("Do not give this mix", text)
        status, text = self.said_of(*BASIL, *ec, "--measured-ph",
                                    f"{high + 0.8:.1f}")
        self.assertEqual(status, 1, text)

    def test_acid_left_out_is_told_beside_co2_gone(self):
        """None of the acid, half of it: what check gives for the recipe."""
        for ec, ph, what in ("1.69", "6.8", "nitric acid 38 % left out"), (
                "1.77", "6.3", "half of nitric acid 38 % left out"):
            given = [*BASIL, "--measured-ec", ec, "--measured-ph", ph]
            status, text = self.said_of(*given)
            self.assertEqual(status, 1, text)
            self.assertIn("if some CO2 has left, and as well: " + what, text)
            self.assertNotIn("All 16 targets", text)
            meter = run_json("formulate", *given)["meter"]
            self.assertEqual(meter["or_else"], what)
            self.assertFalse(meter["ph_accepted"])
            _, page = sheet("formulate", *given)
            self.assertIn(what, page)

    def test_a_mistake_that_fits_as_well_ends_no_run_as_done(self):
        """Soft water: its pH is within the limits without the acid too."""
        town = ["--water", "examples/town.csv", *BASIL[2:]]
        for ph, end in ("6.2", 1), ("5.8", 0):
            status, text = self.said_of(*town, "--measured-ec", "1.75",
                                        "--measured-ph", ph)
            self.assertEqual(status, end, text)
            self.assertEqual("as well: nitric acid 38 % left out" in text,
                             bool(end), text)

    def test_what_the_meters_cannot_tell_apart_is_named_together(self):
        status, text = self.said_of(
            "--water", "examples/town.csv", *BASIL[2:], "--measured-ec", "1.79",
            "--measured-ph", "4.9")
        self.assertEqual(status, 1, text)
        self.assertIn("Most likely: nitric acid 67 % taken for nitric acid 38 "
                      "%, or nitric acid 38 % twice.", text)

    def test_what_is_to_be_aired_is_not_corrected_before(self):
        with open(os.path.join(SOURCE, "examples", "basil.csv"),
                  encoding="utf-8") as file:
            target = file.read().replace("\npH,", "\npH aired,")
        with written(target) as wanted:
            asked = ["--water", "examples/well.csv", "--target", wanted.name,
                     "--shelf", "examples/straights.csv"]
            finished = run_json("formulate", *asked)["finished"]
            aired = ["--measured-ph", f"{finished['ph_aired']:.1f}"]
            ec = ["--measured-ec", f"{finished['ec_ms_per_cm']:.2f}"]
            status, done = self.said_of(*asked, *aired, *ec)
            self.assertEqual(status, 0)
            self.assertIn("The readings fit the recipe. All", done)
            self.assertNotIn("aerate it", done)
            fresh = f"{finished['ph_mixed']:.1f}"
            status, early = self.said_of(*asked, *ec, "--measured-ph", fresh)
            self.assertEqual(status, 0)
            self.assertIn("some CO2 is still in it: aerate it on", early)
            status, text = self.said_of(*asked, "--measured-ph", "3.4")
            _, page = sheet("formulate", *asked)
        self.assertEqual(status, 1)
        self.assertIn("put no base into it yet. Aerate it first", text)
        self.assertNotIn("little base", text)
        self.assertNotIn("The readings fit", text)
        self.assertNotIn("All 16 targets", text)
        self.assertIn("pH after airing", page)

    def test_mistakes_are_compared_as_the_worker_was_told_to_measure(self):
        """Without its acid the well rises by more than a unit in the air."""
        with open(os.path.join(SOURCE, "examples", "basil.csv"),
                  encoding="utf-8") as file:
            target = file.read().replace("\npH,", "\npH aired,")
        without = {}
        with written(target) as wanted:
            for name in "examples/basil.csv", wanted.name:
                meter = run_json("formulate", *BASIL[:2], "--target", name,
                                 *BASIL[4:], "--measured-ec", "1.8",
                                 "--measured-ph", "5.9")["meter"]
                without[name] = next(
                    m["ph"] for m in meter["mistakes"] if
                    (m["kind"], m.get("product")) == ("left out",
                                                      "nitric acid 38 %"))
        fresh, aired = without.values()
        self.assertLess(fresh, 7.7)
        self.assertGreater(aired, 8.0)

    def test_readings_within_page_1_are_not_contradicted(self):
        with tempfile.TemporaryDirectory() as folder:
            page = os.path.join(folder, "sheet.html")
            rows = run_json("formulate", *BASIL, "--sheet", page)["readings"]
        ec, fresh, aired = rows[0], rows[1], rows[2]
        for e in ec["between_low"], ec["between_high"]:
            for ph in fresh["between_low"], aired["between_high"]:
                status, text = self.said_of(
                    *BASIL, "--measured-ec", f"{e:.2f}", "--measured-ph",
                    f"{ph:.1f}")
                accepted = 5.5 <= round(ph, 1) <= 6.2
                self.assertEqual(status, 0 if accepted else 1, text)
                self.assertNotIn("Do not give this mix", text)

    def test_side_by_side_its_column_holds_no_amount(self):
        target = "parameter,target,min,max\nN,150,,\nCa,90,,\npH,4.2,4.1,4.3\n"
        with written(target) as wanted:
            text = run("compare", "--water", "examples/well.csv", "--water",
                       "examples/town.csv", "--target", wanted.name,
                       "--shelf", "examples/straights.csv").stdout
        self.assertTrue(text.startswith("STOP. Danger: "), text[:80])
        table = text.split("Measure out for")[1].split("\n\n")[0]
        self.assertIn("STOP", table)
        self.assertIsNone(WEIGHED.search(table), table)


class Gear(unittest.TestCase):
    """What to wear stands directly above what to weigh, whoever asks."""

    RUNS = (("formulate", *BASIL),
            ("check", *BASIL, "--recipe", "examples/recipe.csv"),
            ("stock", *BASIL, "--tank", "200L"),
            ("compare", *BASIL, "--water", "examples/town.csv"),
            ("renew", *BASIL, "--holds", "600L", "--volume", "1000L",
             "--solution", "examples/return.csv:late"),
            ("formulate", *WELL, "--target", "examples/pepper-stages.csv",
             "--shelf", "examples/straights.csv"))

    def test_on_every_screen(self):
        for given in (*self.RUNS, ("batch", "--water", "examples/seasons.csv",
                                   *BASIL[2:])):
            text = run(*given).stdout
            wear = text.index("\n  Wear goggles")
            weighed = WEIGHED.search(text, re.search(
                r"\n  (tank  )?product", text).start())
            self.assertLess(wear, weighed.start(), given)
            between = text[wear:weighed.start()]
            self.assertNotIn("\n\n", between)

    def test_on_every_sheet(self):
        for given in self.RUNS:
            if given[0] == "renew": # has no sheet
                continue
            done, page = sheet(*given)
            self.assertLessEqual(done.returncode, 1, done.stderr)
            body = page.split("</style>")[1]
            before, wear, weighed = body.partition("Wear goggles")
            self.assertTrue(wear)
            self.assertNotIn('class="steps"', before)
            between = re.split(r'<table|class="steps"', weighed)[0]
            self.assertLessEqual(between.count("<h2"), 1, given)

    def test_follows_what_is_handled(self):
        mild = run("formulate", "--water", "examples/town.csv", "--target",
                   "tests/cli/plain.csv", "--shelf",
                   "examples/straights.csv").stdout
        acid = run("formulate", *BASIL).stdout
        self.assertIn("face shield", acid)
        wear = mild[mild.index("Wear"):].split("\n  product")[0]
        rows = mild[mild.index("\n  product"):].split("\n\n")[0]
        self.assertEqual("apron" in wear, "nitric acid" in rows)


class Catalogue(unittest.TestCase):
    """Every product built in, with its classes and where they are from."""

    def test_every_product_shows_its_classes_with_their_source(self):
        products = run_json("catalogue")["products"]
        self.assertGreater(len(products), 100)
        for product in products:
            for hazard in product["hazards"]:
                self.assertTrue(hazard["source"] and hazard["known"])
            if not product["hazards"]:
                self.assertTrue(product["no_hazard_source"], product)
            text = " ".join(run("catalogue", product["product"])
                            .stdout.split())
            shown = text.split("Hazards (GHS)")[1]
            for hazard in product["hazards"]:
                self.assertIn(hazard["code"] + ")", shown)
                self.assertIn(hazard["known"], shown)


if __name__ == "__main__":
    unittest.main()
