# SPDX-License-Identifier: GPL-3.0-or-later
"""JSON against its schema, and the promise that absent means absent."""
import csv
import json
import os
import unittest
from pathlib import Path

from jsonschema import Draft202012Validator

import schema as made
from runner import BASIL, PLAIN, SOURCE, WELL, run, run_json, written

with open(os.path.join(SOURCE, "reference/components.csv"),
          encoding="utf-8") as table:
    COMPONENTS = {row["name"] for row in csv.DictReader(table)}
CONFLICT = "parameter,target,min,max\nCa,,,20\nN,150,,\n"


def schema():
    path = os.path.join(SOURCE, "reference/saltwright.schema.json")
    with open(path, encoding="utf-8") as file:
        return json.load(file)


def values(node):
    """Every value in a JSON document."""
    yield node
    inside = node.values() if isinstance(node, dict) else \
        node if isinstance(node, list) else []
    for item in inside:
        yield from values(item)


class Json(unittest.TestCase):
    def valid(self, report):
        errors = [e.message for e in
                  Draft202012Validator(schema()).iter_errors(report)]
        self.assertEqual(errors, [])
        for value in values(report):
            self.assertIsNotNone(value)
            if isinstance(value, dict) and "component" in value:
                self.assertIn(value["component"], COMPONENTS)
        return report

    def test_the_schema_is_a_schema(self):
        Draft202012Validator.check_schema(schema())

    def test_the_schema_says_what_the_table_of_fields_says(self):
        self.assertEqual({name: schema()["$defs"].get(name)
                          for name in made.definitions()},
                         made.definitions(), "run schema.py --write")

    def test_the_schema_refuses_what_is_wrong(self):
        report = run_json("formulate", *BASIL)
        for key in ("recipe", "components", "finished", "outcome"):
            broken = dict(report)
            broken[key] = "wrong"
            self.assertFalse(Draft202012Validator(schema()).is_valid(broken))
        self.assertFalse(Draft202012Validator(schema()).is_valid(
            dict(report, extra=1)))

    def test_formulate_keeps_the_schema(self):
        for objective in ("closest", "even"):
            report = self.valid(run_json("formulate", *BASIL, "--objective",
                                         objective))
            self.assertEqual(report["objective"], objective)
            self.assertIn("certificate", report)

    def test_cheapest_keeps_the_schema(self):
        self.valid(run_json(
            "formulate", "--water", "examples/town.csv", "--target",
            "examples/pepper.csv", "--shelf", "examples/straights.csv",
            "--objective", "cheapest"))

    def test_whole_steps_have_their_own_certificate(self):
        plain = run_json("formulate", *BASIL)
        steps = ("--scale-step", "5g", "--fine-step", "0.1g")
        for extra in ((), ("--stage", "flowering")):
            target = BASIL if not extra else WELL + [
                "--target", "examples/pepper-stages.csv",
                "--shelf", "examples/straights.csv"]
            report = self.valid(run_json("formulate", *target, *extra, *steps))
            for key in ("objective", "lower_bound", "gap"):
                self.assertEqual(report["certificate"][key],
                                 report["weighed"][key])
            self.assertNotEqual(report["certificate"],
                                report["certificate_before_steps"])
        self.assertEqual(run_json("formulate", *BASIL, *steps)
                         ["certificate_before_steps"], plain["certificate"])
        self.assertNotIn("certificate_before_steps", plain)

    def test_check_has_no_outcome_since_nothing_was_solved(self):
        report = self.valid(run_json(
            "check", *BASIL, "--recipe", "examples/recipe.csv"))
        for key in ("outcome", "objective", "certificate", "proof"):
            self.assertNotIn(key, report)

    def test_blends_audits_and_the_catalogue_keep_the_schema(self):
        self.valid(run_json("formulate", *BASIL, "--water",
                            "examples/town.csv"))
        self.valid(run_json("audit", *WELL))
        self.valid(run_json("catalogue"))
        self.valid(run_json("catalogue", "--targets"))
        self.valid(run_json("catalogue", "magnesium sulfate heptahydrate"))
        for one in ([], ["--one-recipe"]):
            self.valid(run_json("recipes", "--water", "examples/waters.csv",
                                *BASIL[2:], *one))

    def test_a_ph_alone_keeps_the_schema_and_both_tanks(self):
        with written("parameter,target\npH,5.8\n") as target:
            report = self.valid(run_json(
                "formulate", *WELL, "--target", target.name,
                "--volume", "400gal"))
        for tank, other in (("closed", "ph_mixed"), ("open", "ph_aired")):
            options = report[tank]["options"]
            self.assertGreater(len(options), 5)
            for option in options:
                self.assertAlmostEqual(option[other], 5.8, 2)
                self.assertAlmostEqual(option["for_volume"],
                                       4 * option["per_100_gal"])
                self.assertTrue(option["hazard"])

    def test_no_acid_is_sized_while_the_alkalinity_is_not_known(self):
        """Taken as 0 it would size a thousandth of what the water takes."""
        first = "Do not mix this yet: the water's "
        for water, row in (("Ca=80mg/L,pH=7.4", "pH,5.8,5.5,6.2"),
                           ("Ca=80mg/L", "pH,5.8,5.5,6.2"),
                           ("Ca=80mg/L,pH=7.4", "pH aired,5.8,5.5,6.2")):
            with written(f"parameter,target,min,max\n{row}\n") as target:
                given = ["formulate", "--water", water, "--target",
                         target.name]
                report = self.valid(run_json(*given))
                self.assertEqual(report["verdict"][0][:len(first)], first)
                for key in ("closed", "open", "safety"):
                    self.assertNotIn(key, report)
                for more in ([], ["--brief"], ["--format", "csv"]):
                    done = run(*given, *more)
                    self.assertEqual(done.returncode, 1)
                    self.assertIn("Do not mix this yet", done.stdout)
                    self.assertNotRegex(done.stdout,
                                        "meq/L|per_1000|per 1000 L")

    def test_no_acid_is_told_for_a_water_that_no_crop_should_get(self):
        salt = ("Ca=160mg/L,Mg=70mg/L,Na=%smg/L,Cl=%smg/L,SO4=%smg/L,pH=7.4,"
                "alkalinity=4meq/L")
        with written("parameter,target,min,max\npH,5.8,5.5,6.2\n") as target:
            for water, stops in ((salt % (420, 800, 260), True),
                                 (salt % (40, 80, 450), False)):
                given = ["formulate", "--water", water, "--target",
                         target.name]
                report = self.valid(run_json(*given))
                self.assertEqual(report["verdict"][0].startswith(
                    "STOP. Danger: "), stops)
                self.assertEqual("closed" in report, not stops)
                self.assertNotIn("Measure", " ".join(report["verdict"]))
                self.assertEqual(stops, any(
                    "800 mg/L of Cl" in note["text"] for note in
                    report["notes"] if note["severity"] == "danger"))
                done = run(*given)
                self.assertEqual(done.returncode, int(stops))
                self.assertEqual("meq/L" in done.stdout, not stops)

    def test_no_note_sizes_a_base_while_the_alkalinity_is_not_known(self):
        """With an alkalinity of 0 that is told, every command does."""
        sizes = {"base-needed", "no-base", "base-short", "ph-option"}
        head = "sample,pH,Ca [mg/L],Cl [mg/L],alkalinity [meq/L]\n"
        target = "parameter,target,min,max\nN,100,90,110\npH,8,7.9,8.1\n"
        with written(target) as t, \
                written("product\npotassium nitrate\n") as shelf, \
                written("product,amount,unit\npotassium nitrate,0.5,g/L\n"
                        ) as recipe:
            for told in ("0", ""):
                with written(f"{head}A,5.5,80,140,{told}\n"
                             f"B,5.6,90,150,{told}\n") as w:
                    for given in (["formulate", "--water", w.name + ":A"],
                                  ["recipes", "--water", w.name],
                                  ["compare", "--water", w.name],
                                  ["check", "--water", w.name + ":A",
                                   "--recipe", recipe.name],
                                  ["renew", "--solution", w.name + ":A",
                                   "--holds", "500L", "--water",
                                   w.name + ":B"]):
                        report = json.dumps(run_json(
                            *given, "--target", t.name, "--shelf",
                            shelf.name))
                        self.assertEqual(bool(told), any(
                            f'"{code}"' in report for code in sizes), given)

    def test_no_amount_is_told_while_an_alkalinity_is_not_known(self):
        """Of whatever enters the mix, in any format; acid or base has a part in
        every amount, and an alkalinity taken as 0 leaves out most of it."""
        head = "sample,Ca [mg/L],Mg [mg/L],K [mg/L],Cl [mg/L],pH,alkalinity [meq/L]\n"
        with written(f"{head}known,80,10,2,60,7.4,3.4\n"
                     "open,80,10,2,60,7.4,\nbare,80,10,2,60,,\n") as w:
            known, lacks, bare = (f"{w.name}:{name}"
                                  for name in ("known", "open", "bare"))
            blend = ["--water", known, "--water", lacks]
            told = ["renew", "--solution", bare, "--holds", "500L", "--volume",
                    "900L", "--water", known]
            for given in (["formulate", "--water", lacks],
                          ["formulate", "--water", bare],
                          ["formulate", *blend],
                          ["formulate", *blend, "--share", "90,10"],
                          ["stock", "--water", known, "--make-up", lacks,
                           "--tank", "100L", "--factor", "100"],
                          ["renew", "--solution", "examples/return.csv:late",
                           "--holds", "500L", "--water", lacks], told):
                with self.subTest(given):
                    report = self.valid(run_json(*given, *BASIL[2:]))
                    self.assertEqual(report["outcome"], "undetermined")
                    self.assertTrue(report["verdict"][0].startswith(
                        "Do not mix this yet: "))
                    self.assertTrue({"recipe", "components", "measures",
                                     "finished", "stock"}.isdisjoint(report))
            for more in ([], ["--brief"], ["--format", "csv"]):
                done = run(*told, *BASIL[2:], *more)
                self.assertEqual(done.returncode, 1)
                self.assertIn("Do not mix this yet", done.stdout)
                self.assertNotRegex(done.stdout,
                                    "nitric acid|magnesium sulfate|drain")

    def test_nothing_is_told_below_do_not_mix(self):
        """Nor where no pH is asked for and the shelf has neither acid nor base;
        a water that has no share is no matter."""
        water = "Ca=30mg/L,Cl=40mg/L,pH=7.4"
        with written("parameter,target\nN,60\nK,180\n") as target, \
                written("product\npotassium nitrate\nurea\n") as shelf:
            given = ["formulate", "--water", water, "--target", target.name,
                     "--shelf", shelf.name]
            report = self.valid(run_json(*given))
            self.assertEqual(report["outcome"], "undetermined")
            self.assertNotIn("recipe", report)
            self.assertTrue(report["verdict"][0].startswith("Do not mix"))
            self.assertEqual(run(*given).returncode, 1)
        report = run_json("formulate", *WELL, "--water", water, "--share",
                          "100,0", *BASIL[2:])
        self.assertEqual(report["outcome"], "optimal")
        self.assertNotIn("Do not mix", report["verdict"][0])

    def test_no_amount_rests_on_a_report_that_cannot_be_true(self):
        """An EC far from the ions, in whatever enters the mix, is refused as an
        alkalinity that nobody knows."""
        ions = "7.1,%s,260,110,24,60,4,40,90,70\n"
        head = ("sample,pH,EC [mS/cm],alkalinity [mg/L CaCO3],Ca [mg/L],"
                "Mg [mg/L],Na [mg/L],K [mg/L],NO3 [mg/L],SO4 [mg/L],"
                "Cl [mg/L]\n")
        with written(head + "true," + ions % "0.96" + "false," +
                     ions % "0.31") as w, \
                written("parameter,target,min,max\npH,5.8,5.5,6.2\n") as ph, \
                written("parameter,target\nN,150\n") as salts, \
                written(Path("examples/return.csv").read_text().replace(
                    "late,6.6,2.5,", "late,6.6,0.6,")) as tank:
            true, false = (f"{w.name}:{name}" for name in ("true", "false"))
            shelf = BASIL[4:]
            for given in (
                    ["formulate", "--water", false, *BASIL[2:]],
                    ["formulate", "--water", false, "--target", salts.name,
                     *shelf],
                    ["formulate", "--water", true, "--water", false,
                     *BASIL[2:]],
                    ["stock", "--water", true, "--make-up", false, "--tank",
                     "100L", "--factor", "100", *BASIL[2:]],
                    ["renew", "--solution", "examples/return.csv:late",
                     "--holds", "500L", "--water", false, *BASIL[2:]],
                    ["renew", "--solution", tank.name + ":late", "--holds", "500L",
                     "--water", true, *BASIL[2:]]):
                with self.subTest(given):
                    report = self.valid(run_json(*given))
                    self.assertEqual(report["outcome"], "undetermined")
                    self.assertRegex(report["verdict"][0],
                                     "Do not mix this yet: the EC .*, (false|late)")
                    self.assertTrue({"recipe", "components", "measures",
                                     "finished", "stock"}.isdisjoint(report))
                    self.assertEqual(run(*given).returncode, 1)
            report = run_json("formulate", "--water", false, "--target", ph.name)
            self.assertIn("Do not mix this yet", report["verdict"][0])
            self.assertTrue({"closed", "open"}.isdisjoint(report))
            rows = run_json("batch", "--water", w.name, *BASIL[2:])
            self.assertEqual([row["outcome"] for row in rows["runs"]],
                             ["optimal", "undetermined"])
            amounts = [run("batch", "--water", water, *BASIL[2:]).stdout.split(
                "How far the amounts range")[1] for water in (w.name, true)]
            self.assertEqual(*amounts)
            choice = run_json("compare", "--water", w.name, *BASIL[2:])
            self.assertIn("Use true", " ".join(choice["verdict"]))

    def test_the_pH_of_a_given_recipe_is_open_without_an_alkalinity(self):
        with written("parameter,target,min,max\nK,190,,\npH,5.8,5,7.5\n") as t, \
                written("product,amount,unit\npotassium nitrate,0.5,g/L\n"
                        ) as recipe:
            report = self.valid(run_json(
                "check", "--water", "Ca=30mg/L,Cl=40mg/L,pH=7.4", "--target",
                t.name, "--shelf", "examples/straights.csv", "--recipe",
                recipe.name))
        self.assertEqual([m["verdict"] for m in report["measures"]], ["open"])
        self.assertFalse(report["all_met"])
        finished = report["finished"]
        self.assertFalse({"ph_mixed", "ph_aired", "alkalinity_meq_per_l"} &
                         set(finished))
        self.assertEqual(finished["saturation"], [])
        self.assertGreater(finished["ec_ms_per_cm"], 0.5)

    def test_an_unknown_pH_is_nobody_s_danger(self):
        """Acid for the alkalinity that the report lacks, and readings."""
        with written("product,amount,unit\nnitric acid 38 %,0.5,g/L\n") as r:
            report = self.valid(run_json(
                "check", "--water", "Ca=78mg/L,Cl=40mg/L,pH=7.4", *BASIL[2:],
                "--recipe", r.name, "--measured-ph", "6.2", "--measured-ec",
                "0.7"))
        self.assertNotIn("stop", report)
        self.assertIn("cannot be judged", report["meter"]["verdict"])
        self.assertEqual(report["meter"]["mistakes"], [])

    def test_a_pH_as_mixed_needs_that_of_the_water(self):
        water = "alkalinity=3.8meq/L,Ca=78mg/L,Cl=40mg/L,EC=620uS/cm"
        for row, outcome in (("pH,5.8", "undetermined"),
                             ("pH aired,5.8", "optimal")):
            with written(f"parameter,target\nN,60\n{row}\n") as target:
                report = self.valid(run_json(
                    "formulate", "--water", water, "--target", target.name,
                    "--shelf", "examples/straights.csv"))
                self.assertEqual(report["outcome"], outcome)
                self.assertEqual("recipe" in report, outcome == "optimal")
                said = any("Measure the water's pH before" in text
                           for text in report["verdict"])
                self.assertEqual(said, outcome == "undetermined")

    def test_a_water_that_cannot_be_judged_is_not_chosen(self):
        head = ("sample,Ca [mg/L],Mg [mg/L],Na [mg/L],Cl [mg/L],pH,"
                "alkalinity [mg/L CaCO3],EC [mS/cm]\n")
        rows = {"open": "80,10,20,60,7.4,,", "sound": "80,10,20,60,7.4,170,",
                "false": "80,10,20,60,7.4,170,5"}
        for names, use in ((("open", "sound", "false"), "sound"),
                           (("open", "false"), None)):
            with written(head + "".join(f"{name},{rows[name]}\n"
                                        for name in names)) as w:
                done = run("compare", "--water", w.name, *BASIL[2:],
                           "--format", "json")
            choice = self.valid(json.loads(done.stdout))["choice"]
            self.assertEqual(choice.get("use"), use)
            self.assertNotIn("least_harmful", choice)
            self.assertIn("Not judged, as the alkalinity or the pH is not known "
                          "or the report cannot be true: open, false.",
                          choice["verdict"])
            self.assertEqual(done.returncode, 0 if use else 1)

    def test_what_is_known_of_alkalinity_sizes_the_acid(self):
        with written("parameter,target,min,max\npH,5.8,5.5,6.2\n") as target:
            for water, first in (
                    ("pH=7,alkalinity=3meq/L,Ca=80mg/L", "In a closed tank"),
                    ("pH=6.5,EC=0.01mS/cm,Ca=1mg/L", "In a closed tank")):
                report = self.valid(run_json("formulate", "--water", water,
                                             "--target", target.name))
                self.assertEqual(report["verdict"][0][:len(first)], first)
                self.assertTrue(report["open"]["options"])

    def test_a_ph_aired_alone_tells_of_the_open_tank_only(self):
        with written("parameter,target\npH aired,5.8\n") as target:
            report = self.valid(run_json(
                "formulate", *WELL, "--target", target.name))
        self.assertNotIn("closed", report)
        self.assertGreater(len(report["open"]["options"]), 5)

    def test_why_keeps_the_schema_and_names_what_helps(self):
        for objective in ("closest", "even", "cheapest"):
            report = self.valid(run_json("formulate", *BASIL, "--why",
                                         "--objective", objective))
            why = report["why"]
            self.assertAlmostEqual(why["objective"],
                                   report["certificate"]["objective"], 9)
            used = {p["product"] for p in report["recipe"]}
            self.assertEqual({p["product"] for p in why["products"]}, used)
            self.assertGreater(why["tried"], 50)
            self.assertTrue(why["additions"])

    def test_a_trade_off_keeps_the_schema_and_begins_at_the_closest(self):
        for against in ("cost", "products"):
            report = self.valid(run_json("formulate", *BASIL, "--trade-off",
                                         against))
            points = report["trade_off"]["by_" + against]
            self.assertAlmostEqual(points[0]["objective"],
                                   report["certificate"]["objective"], 6)
            for one, next_one in zip(points, points[1:]):
                self.assertGreater(next_one["objective"], one["objective"])

    def test_how_sure_keeps_the_schema_and_its_digits(self):
        ask = ("formulate", *BASIL, "--how-sure", "--doubt", "fill=0%")
        report = self.valid(run_json(*ask))
        rows = {r["quantity"]: r for r in report["how_sure"]["quantities"]}
        self.assertLess(rows["K"]["p5"], rows["K"]["p95"])
        self.assertNotIn("fill", rows["K"]["variance_shares"])
        for row in rows.values():
            self.assertAlmostEqual(sum(row["variance_shares"].values()), 1)
        self.assertEqual(report, run_json(*ask))

    def test_a_meter_in_the_cold_keeps_the_schema(self):
        at = ("--meter-temperature", "15C")
        finished = self.valid(run_json("formulate", *BASIL, *at))["finished"]
        self.assertAlmostEqual(
            finished["meter_bare_ms_per_cm"] * finished["meter_to_25_c"],
            finished["ec_ms_per_cm"], 9)
        self.assertAlmostEqual(finished["meter_two_percent_ms_per_cm"],
                               finished["meter_bare_ms_per_cm"] / 0.8, 9)
        self.assertNotIn("meter_to_25_c",
                         run_json("formulate", *BASIL)["finished"])
        audit = self.valid(run_json("audit", *WELL, *at))
        self.assertEqual(audit["meter"]["bare_ms_per_cm"], 0.788)
        check = next(c for c in audit["checks"] if c["check"].startswith("EC"))
        self.assertAlmostEqual(check["reported"], 0.788 * 1.28, 1)

    def test_a_result_in_csv_is_a_recipe_for_check(self):
        result = run("formulate", *BASIL, "--format", "csv").stdout
        with written(result) as recipe:
            checked = run_json("check", *BASIL, "--recipe", recipe.name)
        formulated = run_json("formulate", *BASIL)
        self.assertEqual(checked["all_met"], formulated["all_met"])
        amounts = [{r["product"]: r["g_per_l"] for r in report["recipe"]}
                   for report in (checked, formulated)]
        self.assertEqual(amounts[0].keys(), amounts[1].keys())
        for product, g_per_l in amounts[0].items():
            self.assertAlmostEqual(g_per_l, amounts[1][product], 9)
        with written(result.replace("recipe,", "else,")) as none:
            done = run("check", *BASIL, "--recipe", none.name)
        self.assertEqual(done.returncode, 3)
        self.assertIn("this result with a recipe has a header but no product",
                      done.stderr)

    def test_a_renewed_tank_keeps_the_schema_and_its_volume(self):
        report = self.valid(run_json(
            "renew", "--solution", "examples/return.csv:late", "--holds",
            "900L", "--volume", "1000L", "--water", "examples/town.csv",
            *BASIL[2:]))
        tank = report["renewal"]
        self.assertAlmostEqual(tank["drained_l"] + tank["kept_l"], 900)
        self.assertAlmostEqual(tank["fresh_l"] + tank["kept_l"], 1000)

    def test_what_a_tank_cannot_meet_keeps_the_schema(self):
        with open(os.path.join(SOURCE, "examples/return.csv"),
                  encoding="utf-8") as file:
            head, _, late = file.read().splitlines()[3:]
        with written(f"{head},alkalinity [mg/L CaCO3]\n{late},40\n") as fresh:
            report = self.valid(run_json(
                "renew", "--solution", "examples/return.csv:late", "--holds",
                "600L", "--water", fresh.name, "--target",
                "examples/basil.csv", "--shelf", "examples/straights.csv"))
        self.assertEqual(report["renewal"]["outcome"], "conflict")
        self.assertFalse(report["all_met"])
        limits = [u["limit"] for u in report["renewal"]["unreached"]]
        self.assertTrue(limits[0].startswith("Na max 60 mg/L"))

    def test_a_premix_keeps_the_schema(self):
        report = self.valid(run_json(
            "check", "--water", "examples/town.csv", "--target",
            "examples/basil.csv", "--shelf", "examples/premix.csv", "--dose",
            "leaf premix=best"))
        premix = report["premixes"][0]
        self.assertTrue(premix["best_fit"])
        self.assertEqual(premix["ratios_to"], "N")
        self.assertEqual(report["recipe"][0]["g_per_l"], premix["g_per_l"])

    def test_what_the_meters_say_keeps_the_schema(self):
        for command, more in (("formulate", ()), ("stock",
                                                  ("--tank", "200L"))):
            report = self.valid(run_json(command, *BASIL, *more,
                                         "--measured-ec", "1.45",
                                         "--measured-ph", "5.8"))
            self.assertTrue(report["meter"]["explained"])
            mistakes = report["meter"]["mistakes"]
            self.assertAlmostEqual(sum(m["likelihood"] for m in mistakes), 1)
            self.assertEqual(any("tank" in m for m in mistakes),
                             command == "stock")
            entries = {m["entry"]: m["entry_likelihood"] for m in mistakes}
            self.assertAlmostEqual(sum(entries.values()), 1)
            for look in report["meter"]["looks"]:
                self.assertEqual(len(look["expected"]), len(entries))

    def test_charges_of_the_water_are_those_of_its_ions(self):
        # 20.039 mg of Ca, 12.1525 of Mg and 35.45 of Cl are a meq
        report = self.valid(run_json(
            "formulate", *BASIL[2:], "--water", "Ca=60.117mg/L,Mg=12.1525mg/L,"
            "Na=0mg/L,K=0mg/L,Cl=35.45mg/L,SO4=0mg/L,NO3-N=0mg/L,"
            "alkalinity=3meq/L,pH=7.5"))
        told = [{ion["ion"]: round(ion["meq_per_l"], 3)
                 for ion in side["ions"]} for side in report["charges"]]
        self.assertEqual(told, [{"Ca": 3, "Mg": 1}, {"HCO3": 3, "Cl": 1}])

    def test_readings_that_nothing_explains_have_no_likelihood(self):
        report = self.valid(run_json("formulate", *BASIL, "--measured-ec", "6",
                                     "--measured-ph", "2"))
        meter = report["meter"]
        self.assertFalse(meter["explained"])
        self.assertGreater(meter["distance"], 3)
        self.assertEqual(meter["looks"], [])
        self.assertIn("No single mistake", meter["verdict"])
        first = {}
        for mistake in meter["mistakes"]:
            first.setdefault(mistake["entry"], mistake["distance"])
        nearest = list(first.values())
        self.assertEqual(nearest, sorted(nearest))
        self.assertEqual(nearest[0], meter["distance"])
        self.assertNotIn("likelihood", json.dumps(meter))
        self.assertEqual([n["severity"] for n in report["notes"]
                          if n["code"].startswith("measured-")],
                         ["danger", "danger"])

    def test_a_recipe_not_to_be_mixed_says_why_and_what_to_change(self):
        report = self.valid(run_json("check", *BASIL, "--dose",
                                     "nitric acid 38 %=6mL/L"))
        self.assertIn("harms roots", " ".join(report["stop"]["reasons"]))
        self.assertTrue(report["stop"]["changes"])

    def test_compare_runs_are_those_of_formulate(self):
        common = ["--target", "examples/basil.csv", "--shelf",
                  "examples/straights.csv"]
        report = self.valid(run_json("compare", "--water",
                                     "examples/waters.csv", *common))
        alone = run_json("formulate", "--water", "examples/waters.csv:town",
                         *common)
        town = [r for r in report["runs"]
                if r["water"]["sample"] == "town"][0]
        self.assertEqual(len(report["runs"]), 3)
        for key in ("recipe", "components", "finished", "notes"):
            self.assertEqual(town[key], alone[key])

    def test_batch_has_a_row_for_each_sample(self):
        report = self.valid(run_json(
            "batch", "--water", "examples/seasons.csv", "--target",
            "examples/pepper.csv", "--shelf", "examples/straights.csv"))
        self.assertEqual(len(report["runs"]), 12)
        self.assertEqual(report["runs"][7]["sample"], "august")
        alone = run_json("formulate", "--water",
                         "examples/seasons.csv:august", "--target",
                         "examples/pepper.csv", "--shelf",
                         "examples/straights.csv")
        recipe = {i["product"]: i["g_per_l"] for i in alone["recipe"]}
        for product, amount in report["runs"][7]["g_per_l"].items():
            self.assertAlmostEqual(amount, recipe.get(product, 0.0), places=6)

    def test_a_batch_tells_which_waters_conflict(self):
        target = "parameter,target,min,max\nCa,,,50\nMg,5,,\n"
        with written(target) as file:
            done = run("batch", "--water", "examples/waters.csv", "--target",
                       file.name, "--shelf", "examples/straights.csv",
                       "--format", "json")
        report = self.valid(json.loads(done.stdout))
        self.assertEqual(done.returncode, 1)
        self.assertEqual([r["outcome"] for r in report["runs"]],
                         ["conflict", "optimal", "optimal"])

    def test_stock_keeps_the_schema(self):
        stock = ["stock", *BASIL, "--tank", "200L", "--factor"]
        report = self.valid(run_json(*stock, "100"))
        self.assertEqual(report["stock"]["outcome"], "optimal")
        report = self.valid(run_json(*stock, "2000"))
        self.assertEqual(report["stock"]["outcome"], "conflict")
        self.assertEqual(report["stock"]["tanks"], [])
        self.assertNotIn("feed_l", report["stock"])

    def test_a_conflict_names_its_limits_beside_the_nearest_recipe(self):
        with written(CONFLICT) as target:
            done = run("formulate", *WELL, "--target", target.name, "--shelf",
                       "examples/straights.csv", "--format", "json")
        report = self.valid(json.loads(done.stdout))
        self.assertEqual(done.returncode, 1)
        self.assertIn("Ca max 20", report["conflict"]["members"][0]["limit"])
        calcium = [row for row in report["components"]
                   if row["component"] == "Ca"][0]
        self.assertEqual(calcium["verdict"], "over")
        self.assertEqual(calcium["added_mg_per_l"], 0)
        self.assertIn("water alone brings", calcium["reason"])
        self.assertFalse(report["all_met"])

    def test_only_what_the_report_gives_is_under_water(self):
        with written("parameter,value,unit\nCa,40,mg/L\npH,7,\n"
                     "alkalinity,100,mg/L CaCO3\n") as water:
            report = run_json("formulate", "--water", water.name, *BASIL[2:])
        self.assertEqual(report["water"]["components"], {"Ca": 40.0})
        self.assertNotIn("ec_ms_per_cm", report["water"])

    def test_names_of_any_kind_survive(self):
        name = 'Salt "x", \u202e\u4e2d\u6587 \\'
        with written('product,label\n"%s",Ca 20\n'
                     % name.replace('"', '""')) as shelf:
            report = run_json("formulate", *PLAIN, "--shelf", shelf.name)
        self.assertEqual(report["recipe"][0]["product"], name)

    def test_the_same_run_prints_the_same_bytes(self):
        first = run("formulate", *BASIL, "--format", "json").stdout
        again = run("formulate", *BASIL, "--format", "json").stdout
        self.assertEqual(first, again)


if __name__ == "__main__":
    unittest.main()
