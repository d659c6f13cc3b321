# SPDX-License-Identifier: GPL-3.0-or-later
"""What is printed, calculated again by another route than the library's."""
import csv
import json
import math
import os
import re
import tempfile
import unittest

from runner import BASIL, PLAIN, SOURCE, WELL, run, run_json, written

# Twelve digits are printed; the library and this file add in another order.
TOLERANCE = 1e-9
# NIST SP 811 (2008), appendix B.8.
G_PER_OZ, G_PER_LB, L_PER_GAL, ML_PER_FL_OZ = (
    28.349523125, 453.59237, 3.785411784, 29.5735295625)
# Three digits, four where the first is 1.
ROUNDING = 0.5e-2
SYMBOL = re.compile(r"([A-Z][a-z]?)(\d*)|\(|\)(\d*)")


def weights():
    path = os.path.join(SOURCE, "reference/atomic_weights.csv")
    with open(path, encoding="utf-8", newline="") as file:
        return {row["symbol"]: float(row["weight_g_per_mol"])
                for row in csv.DictReader(file)}


def atoms(formula):
    """Atoms in a formula without hydrates: "Ca(NO3)2"."""
    stack = [{}]
    for found in SYMBOL.finditer(formula):
        if found.group() == "(":
            stack.append({})
        elif found.group().startswith(")"):
            for symbol, count in stack.pop().items():
                stack[-1][symbol] = stack[-1].get(symbol, 0) + \
                    count * int(found.group(3) or 1)
        else:
            symbol = found.group(1)
            stack[-1][symbol] = stack[-1].get(symbol, 0) + \
                int(found.group(2) or 1)
    return stack[0]


def fraction(formula, symbol, purity):
    """Mass fraction of an element in "MgSO4·7H2O" of this purity."""
    weight = weights()
    count, mass = 0, 0.0
    for part in formula.split("·"):
        found = re.match(r"(\d*)(.*)", part)
        times = int(found.group(1) or 1)
        inside = atoms(found.group(2))
        count += times * inside.get(symbol, 0)
        mass += times * sum(weight[s] * n for s, n in inside.items())
    return purity * count * weight[symbol] / mass


def shelf():
    path = os.path.join(SOURCE, "examples/straights.csv")
    with open(path, encoding="utf-8", newline="") as file:
        lines = [line for line in file if not line.startswith("#")]
    return {row["product"]: row for row in csv.DictReader(lines)}


def labelled(row, name):
    found = re.search(rf"(?:^|; ){name} ([\d.]+)", row["label"])
    return float(found.group(1)) / 100 if found else 0.0


class Amounts(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.report = run_json("formulate", *BASIL, "--volume", "400gal")
        cls.rows = {row["component"]: row for row in cls.report["components"]}

    def near(self, value, expected, tolerance=TOLERANCE):
        self.assertTrue(math.isclose(value, expected, rel_tol=tolerance,
                                     abs_tol=tolerance), (value, expected))

    def test_no_steps_of_the_scale_still_get_solutions_of_traces(self):
        """Amounts as calculated: none of them is to be weighed to 0.01 mg."""
        given = ["formulate", *BASIL, "--volume", "5L", "--scale-step", "1g",
                 "--fine-step", "0.01g"]
        report = run_json(*given)
        self.assertIn("steps-conflict",
                      {note["code"] for note in report["notes"]})
        made = {s["product"]: s["g"] for s in report["steps"]
                if s["kind"] == "prepare" and s.get("g")}
        self.assertGreaterEqual(len(made), 5)
        for g in made.values():
            self.assertGreaterEqual(g, 0.2 - 1e-9)
            self.near(round(100 * g), 100 * g)
        table = run(*given).stdout.split("\nRecipe for 5 L\n")[1]
        told = re.findall(r"\n  (\S.*?)  +[\d.]+ k?g  +([\d.]+) mL  .*\n"
                          r" +of a solution: dissolve ([\d.]+) g in water to "
                          r"make (\d+) L", table.split("\n\n")[0])
        self.assertEqual({row[0] for row in told}, set(made))
        wanted = {item["product"]: 5 * item["g_per_l"]
                  for item in report["recipe"]}
        for name, ml, g, litres in told:
            self.near(float(ml) / 1000 / float(litres) * float(g),
                      wanted[name], 0.025)

    def test_the_recipe_brings_what_the_table_says_is_added(self):
        for component in ("K", "P", "Mg", "B", "Mo", "Cu", "Zn"):
            added = sum(
                1000 * item["g_per_l"] * fraction(
                    shelf()[item["product"]]["formula"], component,
                    float(shelf()[item["product"]]["purity"]))
                for item in self.report["recipe"]
                if shelf()[item["product"]]["formula"])
            self.near(self.rows[component]["added_mg_per_l"], added, 1e-6)

    def test_calcium_and_ammonium_come_from_the_label(self):
        nitrate = [item for item in self.report["recipe"]
                   if item["product"] == "calcium nitrate"]
        g_per_l = sum(item["g_per_l"] for item in nitrate)
        row = shelf()["calcium nitrate"]
        for component in ("Ca", "NH4-N"):
            self.near(self.rows[component]["added_mg_per_l"],
                      1000 * g_per_l * labelled(row, component))

    def test_finished_is_water_plus_added_and_residual_is_off_target(self):
        for row in self.rows.values():
            self.near(row["finished_mg_per_l"],
                      row.get("water_mg_per_l", 0) + row["added_mg_per_l"])
            # iron of the water does not count toward a target
            idle = row["water_mg_per_l"] if row["component"] == "Fe" else 0
            if "target_mg_per_l" in row:
                self.near(row["residual_mg_per_l"],
                          row["finished_mg_per_l"] - idle -
                          row["target_mg_per_l"])

    def test_what_the_report_lacks_is_no_zero(self):
        reported = self.report["water"]["components"]
        for name, row in self.rows.items():
            self.assertEqual("water_mg_per_l" in row, name in reported, name)

    def test_n_is_the_sum_of_its_forms(self):
        self.near(self.rows["N"]["finished_mg_per_l"],
                  sum(self.rows[form]["finished_mg_per_l"]
                      for form in ("NO3-N", "NH4-N", "urea-N")))

    def test_verdicts_follow_the_band(self):
        for row in self.rows.values():
            if "verdict" not in row:
                continue
            low, high = row.get("min_mg_per_l"), row.get("max_mg_per_l")
            if "target_mg_per_l" in row:
                low = low or 0.9 * row["target_mg_per_l"]
                high = high or 1.1 * row["target_mg_per_l"]
            value, slack = row["finished_mg_per_l"], 1e-5
            expected = ("short" if low and value < low * (1 - slack) else
                        "over" if high and value > high * (1 + slack) else
                        "met")
            self.assertEqual(row["verdict"], expected, row)

    def test_amounts_are_the_rate_times_the_volume(self):
        volume_l = 400 * L_PER_GAL
        self.near(self.report["volume_l"], volume_l)
        for item in self.report["recipe"]:
            rate = item.get("ml_per_l", item["g_per_l"])
            self.near(item["amount"], rate * volume_l, ROUNDING)
            self.assertEqual(item["amount_unit"],
                             "mL" if "ml_per_l" in item else "g")

    def test_a_liquid_is_its_mass_over_its_density(self):
        acid = [item for item in self.report["recipe"] if "ml_per_l" in item]
        self.assertTrue(acid)
        for item in acid:
            density = float(shelf()[item["product"]]["density"])
            self.near(item["ml_per_l"], item["g_per_l"] / density)

    def test_costs_follow_the_prices_of_the_shelf(self):
        price = {"calcium nitrate": 19.5 / 25, "iron chelate": 14.8,
                 "nitric acid 38 %": 0.95 / 1.24}
        per_l = {item["product"]: item for item in self.report["recipe"]}
        for product, per_kg in price.items():
            if product in per_l:
                self.near(per_l[product]["cost"],
                          per_l[product]["g_per_l"] * per_kg *
                          self.report["volume_l"] / 1000)
        self.near(self.report["cost"],
                  sum(item["cost"] for item in self.report["recipe"]))

    def printed(self, *options):
        """Product -> cells of the recipe as text shows it."""
        text = run("formulate", *BASIL, *options).stdout
        part = text.split("\nRecipe for ")[1].split("\n\n")[0]
        names = [item["product"] for item in self.report["recipe"]]
        lines = [line.strip() for line in part.split("\n")]
        return {name: line[len(name):].split() for line in lines
                for name in names if line.startswith(name + " ")}

    def test_text_shows_the_same_grams_and_ounces(self):
        in_g = {"mg": 1e-3, "g": 1.0, "kg": 1000.0, "oz": G_PER_OZ,
                "lb": G_PER_LB}
        shown = self.printed("--volume", "400gal", "--amounts", "us")
        checked = 0
        for item in self.report["recipe"]:
            cells = shown.get(item["product"])
            if not cells or "ml_per_l" in item:
                continue
            amount, unit = cells[2:4]
            self.near(float(amount) * in_g[unit], item["amount"], ROUNDING)
            checked += 1
        self.assertGreater(checked, 4)

    def test_text_shows_the_same_litres_and_fluid_ounces(self):
        shown = self.printed("--volume", "400gal", "--amounts", "us")
        acid = [i for i in self.report["recipe"] if "ml_per_l" in i][0]
        amount, unit = shown[acid["product"]][-5:-3] \
            if shown[acid["product"]][-1][0].isdigit() \
            else shown[acid["product"]][-4:-2]
        in_ml = {"fl": ML_PER_FL_OZ, "gal": 1000 * L_PER_GAL, "mL": 1.0}
        text = " ".join(shown[acid["product"]])
        found = re.findall(r"([\d.]+) (fl oz|gal|mL)", text)
        amount, unit = found[-1]
        self.near(float(amount) * in_ml[unit.split()[0]], acid["amount"],
                  ROUNDING)

    def test_several_waters_are_blended_by_their_shares(self):
        report = run_json(
            "formulate", "--water", "examples/waters.csv:well", "--water",
            "examples/waters.csv:purified", "--share", "30,70", "--target",
            "examples/basil.csv", "--shelf", "examples/straights.csv")
        rows = {row["component"]: row for row in report["components"]}
        self.near(rows["Ca"]["water_mg_per_l"], 0.3 * 104 + 0.7 * 0.9)
        self.assertEqual([w["share"] for w in report["waters"]], [0.3, 0.7])

    def test_shares_are_from_0_to_100_percent(self):
        for share in "150,-50", "-50,150", "100.5,-0.5", "50,51", "50;50":
            done = run("formulate", "--water", "examples/well.csv", "--water",
                       "examples/waters.csv:purified", "--share", share,
                       "--target", "examples/basil.csv")
            self.assertEqual(done.returncode, 2, (share, done.stderr))
            self.assertIn("--share", done.stderr)

    def test_what_one_water_lacks_is_shown_of_the_other(self):
        with tempfile.TemporaryDirectory() as folder:
            first = os.path.join(folder, "bore.csv")
            second = os.path.join(folder, "pond.csv")
            rest = "Ca,40,mg/L\nMg,8,mg/L\nalkalinity,80,mg/L CaCO3\npH,7.3,\n"
            for name, more in ((first, "K,120,mg/L\nB,0.9,mg/L\n"),
                               (second, "")):
                with open(name, "w", encoding="utf-8") as file:
                    file.write("reading,value,unit\n" + rest + more)
            args = ("formulate", "--water", first, "--water", second,
                    "--share", "50,50", "--target", "examples/basil.csv",
                    "--shelf", "examples/straights.csv")
            text = " ".join(run(*args).stdout.split())
            report = run_json(*args)
        rows = {row["component"]: row for row in report["components"]}
        self.near(rows["K"]["water_mg_per_l"], 60)
        self.near(rows["B"]["water_mg_per_l"], 0.45)
        self.assertNotIn("water_mg_per_l", rows["Zn"])
        self.assertIn("Not reported in pond; assumed 0 there: K, B.", text)

    def test_free_shares_sum_to_one(self):
        report = run_json(
            "formulate", "--water", "examples/waters.csv:well", "--water",
            "examples/waters.csv:purified", "--target", "examples/basil.csv",
            "--shelf", "examples/straights.csv")
        self.near(sum(w["share"] for w in report["waters"]), 1.0)

    def test_a_premix_keeps_its_rate_when_topped_up(self):
        report = run_json("check", *PLAIN, "--shelf", "examples/premix.csv",
                          "--top-up", "--dose", "leaf premix=2.65 g/gal")
        rate = {i["product"]: i["g_per_l"] for i in report["recipe"]}
        self.near(rate["leaf premix"], 2.65 / L_PER_GAL)
        self.assertEqual(report["command"], "check")

    def test_a_dose_means_the_same_as_a_line_of_a_recipe(self):
        common = [*WELL, "--target", "examples/basil.csv", "--shelf",
                  "examples/premix.csv"]
        dosed = run_json("check", *common, "--dose", "leaf premix=2.65g/gal",
                         "--dose", "calcium nitrate=2.5 g/gal", "--dose",
                         "magnesium sulfate=0.95g/gal")
        given = run_json("check", *common, "--recipe",
                         "examples/label-rate.csv")
        self.assertEqual(dosed["components"], given["components"])

    def test_a_dose_is_a_number_as_a_volume_is(self):
        """Its comma is a decimal one unless it, or a point, parts thousands."""
        common = ["check", *WELL, "--target", "examples/basil.csv", "--dose"]
        rates = [run_json(*common, f"potassium nitrate={rate}g/L")["recipe"]
                 for rate in ("0,9", "0.9")]
        self.assertEqual(*rates)
        for rate in ("1.000mg/L", "1,000mg/L", "12,500mg/L"):
            done = run(*common, f"potassium nitrate={rate}")
            self.assertEqual(done.returncode, 2, rate)
            self.assertIn("part thousands", done.stderr)
        self.assertNotIn("part thousands",
                         run(*common, "potassium nitrate=0.900g/L").stderr)

    def test_a_tank_holds_factor_times_the_recipe(self):
        report = run_json("stock", *BASIL, "--tank", "200L", "--factor",
                          "150", "--third-tank")
        in_tanks = {}
        for tank in report["stock"]["tanks"]:
            self.near(tank["volume_l"], 200.0)
        for item in report["stock"]["products"]:
            in_tanks[item["product"]] = \
                in_tanks.get(item["product"], 0) + item["amount"]
        self.assertEqual(set(in_tanks),
                         {item["product"] for item in report["recipe"]})
        for item in report["recipe"]:
            rate = item.get("ml_per_l", item["g_per_l"])
            self.near(in_tanks[item["product"]], rate * 150 * 200, ROUNDING)
        self.near(report["stock"]["feed_l"], 150 * 200)
        self.near(report["volume_l"], report["stock"]["feed_l"])

    def test_the_steps_add_what_the_tanks_hold(self):
        report = run_json("stock", *BASIL, "--tank", "200L", "--third-tank")
        density = {name: float(row["density"] or 1)
                   for name, row in shelf().items()}
        held = {(item["tank"], item["product"]):
                item["amount"] * (density[item["product"]]
                                  if item["amount_unit"] == "mL" else 1)
                for item in report["stock"]["products"]}
        added = {(step["tank"], step["product"]): step["g"]
                 for step in report["steps"]
                 if step["kind"] == "add"}
        self.assertEqual(set(added), set(held))
        for key, g in added.items():
            self.near(g, held[key], ROUNDING)

    def test_what_no_scale_weighs_is_told_as_a_solution_of_the_same(self):
        found = 0
        for volume in ("5L", "20L"):
            for step in run_json("formulate", *BASIL, "--volume",
                                 volume)["steps"]:
                if "Too little" not in step["text"]:
                    self.assertFalse(0 < step.get("g", 0) < 0.2 and
                                     "acid" not in step["product"], step)
                    continue
                g, litres, ml = map(float, re.search(
                    r"dissolve (\S+) g .* make (\S+) L, .* (\S+) mL",
                    step["text"]).groups())
                self.assertLess(step["g"], 0.2)
                self.assertAlmostEqual(ml * g / litres / 1000 / step["g"], 1,
                                       delta=ROUNDING)
                found += 1
        self.assertGreater(found, 8)

    def test_acid_is_poured_with_its_caution(self):
        text = run("stock", *BASIL, "--tank", "50gal").stdout
        step = text.split(") nitric acid 38 %.")[1].split("Stir ")[0]
        self.assertIn("Pour the acid into water, never water into the acid",
                      " ".join(step.split()))

    def test_calcium_never_shares_a_tank_with_sulfate_or_phosphate(self):
        report = run_json("stock", *BASIL, "--tank", "200L")
        for tank in "AB":
            names = " ".join(item["product"]
                             for item in report["stock"]["products"]
                             if item["tank"] == tank)
            self.assertFalse("calcium" in names and
                             ("sulfate" in names or "phosphate" in names))


class Printed(unittest.TestCase):
    """Whoever pours what one column says gets the verdicts of the recipe."""

    FILES = [part for kind in ("water", "target", "shelf")
             for part in (f"--{kind}", f"tests/cli/at_a_limit/{kind}.csv")] + \
            ["--objective", "even"]
    IN_G = {"mg": 1e-3, "g": 1.0, "kg": 1e3, "oz": G_PER_OZ, "lb": G_PER_LB}

    @staticmethod
    def verdicts(report):
        return [(row["component"], row.get("verdict"))
                for row in report["components"]] + \
               [(row["measure"], row.get("verdict"))
                for row in report["measures"] if row["kind"] == "ratio"]

    def poured(self, g_per_l):
        lines = ["product,amount,unit"]
        lines += [f"{name},{g:.17g},g/L" for name, g in g_per_l.items()]
        return run_json("check", *self.FILES, "--recipe", "-",
                        input="\n".join(lines) + "\n")

    def columns(self, volume_l, *options):
        """Of each column of the recipe: its title, and g/L of the products."""
        text = run("formulate", *self.FILES, *options).stdout
        lines = text.split("\nRecipe for ")[1].split("\n\n")[0].split("\n")
        head = next(line for line in lines if line.startswith("  product"))
        titles = re.split(r"  +", head.strip())[1:]
        rows = [re.split(r"  +", line.strip()) for line in lines
                if re.match(r"  p\d+ ", line)]
        for column, title in enumerate(titles):
            if title == "cost":
                continue
            batch_l = {"per 1000 L": 1000.0,
                       "per 100 gal": 100 * L_PER_GAL}.get(title, volume_l)
            # "-" in the column of other units: they are the same
            amounts = {row[0]: (row[column] if row[column + 1] == "-"
                                else row[column + 1]).split()
                       for row in rows}
            yield title, {name: float(number) * self.IN_G[unit] / batch_l
                          for name, (number, unit) in amounts.items()}

    def test_a_recipe_without_units_is_said_to_be_in_mg_per_litre(self):
        for unit, said in (("", True), ("mg/L", False)):
            done = run("check", *BASIL, "--recipe", "-",
                       input="product,amount,unit\n"
                             f"potassium nitrate,217,{unit}\n")
            self.assertLessEqual(done.returncode, 1, done.stderr)
            self.assertEqual("read as mg/L of finished solution: potassium "
                             "nitrate" in done.stderr, said, done.stderr)

    def test_every_column_keeps_every_verdict(self):
        exact = run_json("formulate", *self.FILES)
        checked = 0
        for volume, volume_l in (("1000L", 1000.0), ("310L", 310.0),
                                 ("50gal", 50 * L_PER_GAL)):
            for amounts in ("metric", "us", "both"):
                for title, g_per_l in self.columns(
                        volume_l, "--volume", volume, "--amounts", amounts):
                    self.assertEqual(len(g_per_l), len(exact["recipe"]))
                    self.assertEqual(
                        self.verdicts(self.poured(g_per_l)),
                        self.verdicts(exact), (volume, amounts, title))
                    checked += 1
        self.assertGreater(checked, 15)

    def test_usual_figures_alone_would_lose_one(self):
        exact = run_json("formulate", *self.FILES)
        plain = {item["product"]: float(f"{item['g_per_l']:.3g}")
                 for item in exact["recipe"]}
        self.assertNotEqual(self.verdicts(self.poured(plain)),
                            self.verdicts(exact))

    def test_json_and_csv_give_the_amounts_of_the_screen(self):
        shown = dict(self.columns(310.0, "--volume", "310L"))
        report = run_json("formulate", *self.FILES, "--volume", "310L")
        table = run("formulate", *self.FILES, "--volume", "310L",
                    "--format", "csv").stdout
        for item in report["recipe"]:
            name = item["product"]
            self.assertAlmostEqual(item["amount"] / 310,
                                   shown["measure out"][name], places=12)
            found = re.search(f"recipe,{name},amount,([^,]*),g", table)
            self.assertEqual(float(found.group(1)), item["amount"])

    def test_acid_in_ml_goes_with_the_grams_beside_it(self):
        """Of one column: where the acid is weighed others are rounded."""
        files = [part for kind in ("water", "target", "shelf")
                 for part in (f"--{kind}",
                              f"tests/cli/acid_at_a_limit/{kind}.csv")]
        report = run_json("formulate", *files)
        lines = ["product,amount,unit"] + [
            f"{item['product']},{item['amount']:.17g},"
            f"{item['amount_unit']}/m3" for item in report["recipe"]]
        poured = run_json("check", *files, "--recipe", "-",
                          input="\n".join(lines) + "\n")
        self.assertEqual([row["verdict"] for row in poured["measures"]],
                         [row["verdict"] for row in report["measures"]])
        text = run("formulate", *files).stdout
        for item in report["recipe"]:
            self.assertRegex(text, rf"  {re.escape(item['product'])} +"
                                   rf"{item['amount']:.10g} "
                                   rf"{item['amount_unit']}\b")

    def test_tanks_keep_every_verdict(self):
        report = run_json("stock", *self.FILES, "--tank", "50gal")
        g_per_l = {}
        feed_l = {tank["tank"]: tank["volume_l"] * tank["ratio"]
                  for tank in report["stock"]["tanks"]}
        for item in report["stock"]["products"]:
            g_per_l[item["product"]] = g_per_l.get(item["product"], 0) + \
                item["amount"] / feed_l[item["tank"]]
        exact = {item["product"]: item["g_per_l"] for item in report["recipe"]}
        self.assertEqual(self.verdicts(self.poured(g_per_l)),
                         self.verdicts(self.poured(exact)))

    def test_below_an_ounce_a_us_scale_shows_grams(self):
        for title, g_per_l in self.columns(50 * L_PER_GAL, "--volume",
                                           "50gal", "--amounts", "us"):
            self.assertGreater(len(g_per_l), 9, title)
        text = run("formulate", *self.FILES, "--volume", "50gal", "--amounts",
                   "us").stdout
        self.assertNotRegex(text, r"\b0\.\d+ (oz|fl oz)\b")


class Customary(unittest.TestCase):
    """Sentences of the library, in which figures are metric, read in US units;
    the data stay as they are."""
    COLD = ["stock", *WELL, "--target", "lettuce", "--shelf",
            "examples/straights.csv", "--tank", "200L"]

    def told(self, arguments, pattern, amounts):
        text = run(*arguments, "--amounts", amounts).stdout
        return re.findall(pattern, " ".join(text.split()))

    def test_degrees_are_fahrenheit(self):
        celsius = self.told(self.COLD, r"above ([\d.]+) °C, or", "metric")
        self.assertEqual(len(celsius), 2)  # what opens the result, and Notes
        self.assertEqual(self.told(self.COLD, r"above ([\d.]+) °F, or", "us"),
                         [f"{float(c) * 1.8 + 32:.4g}" for c in celsius])
        self.assertEqual(
            self.told(self.COLD, r"of (\d+) to (\d+) °F if", "us"),
            [("86", "104")])
        self.assertEqual(self.told(self.COLD, r"(?<!cm at )\b\d+ °C", "us"),
                         [])

    def test_what_would_do_it_is_told_for_a_thousand_gallons(self):
        with written("parameter,target,min,max,unit\nK,300,200,400,mg/L\n"
                     "pH,5.8,5.5,6.2,\n") as target, \
             written("product,amount,unit\n"
                     "potassium nitrate,0.7,g/L\n") as recipe:
            given = ["check", *WELL, "--target", target.name, "--recipe",
                     recipe.name, "--shelf", "examples/straights.csv"]
            metric = self.told(given, r"([\d.]+) (mL|g) per 1000 L", "metric")
            us = self.told(given, r"([\d.]+) (fl oz|gal|oz|lb) per 1000 gal",
                           "us")
            self.assertEqual(self.told(given, r"(?:mL|g) per 1000 L", "us"),
                             [])
            data = [run(*given, "--amounts", amounts, "--format",
                        "json").stdout for amounts in ("metric", "us")]
        self.assertEqual(data[0], data[1])
        self.assertGreater(len(metric), 3)
        self.assertEqual(len(metric), len(us))
        size = {"fl oz": ML_PER_FL_OZ, "gal": 1000 * L_PER_GAL,
                "oz": G_PER_OZ, "lb": G_PER_LB}
        for (value, _), (us_value, unit) in zip(metric, us):
            self.assertAlmostEqual(
                float(us_value) * size[unit] / (float(value) * L_PER_GAL), 1,
                delta=2 * ROUNDING)


class Both(unittest.TestCase):
    """Each amount of the tanks in both units, on the screen as in JSON."""

    def cells(self, *options):
        text = run("stock", *BASIL, "--tank", "50gal", "--amounts", "both",
                   *options).stdout
        table, steps = text.split("\nMix in this order\n")
        table = table.split("\nWhat goes into each tank")[1].split("\n\n")[0]
        self.assertLessEqual(max(map(len, text.splitlines())), 80)
        return table, steps

    def test_two_tanks_and_three_show_both(self):
        for options in ((), ("--third-tank",)):
            table, steps = self.cells(*options)
            for words in ("4.11 kg", "9.06 lb", "11.34 L", "3.00 gal"):
                self.assertEqual(table.count(words), 1, (options, words))
            self.assertIn("9.06 lb (4.11 kg) calcium nitrate", steps)

    def test_packs_that_are_too_coarse_are_not_blamed_on_the_scale(self):
        for packs in (True, False):
            text = run("formulate", *BASIL, "--volume", "100000L",
                       "--scale-step", "10g", "--fine-step", "0.1g", "--brief",
                       *["--whole-packs"][:packs]).stdout
            self.assertEqual("Whole packs are too coarse" in text, packs)
            self.assertNotIn("scale is too coarse", text)

    def test_a_tank_that_no_steps_fill_gets_solutions_of_traces(self):
        """Of each the solution that its own amount takes."""
        given = ["stock", *BASIL, "--tank", "0.2L", "--factor", "100",
                 "--scale-step", "5g", "--fine-step", "0.1g"]
        report = run_json(*given)
        self.assertEqual(report["weighed"]["outcome"], "conflict")
        made = {step["product"]: step["g"] / step["volume_l"]
                for step in report["steps"]
                if step["kind"] == "prepare" and step.get("g")}
        g = {item["product"]: item["amount"]
             for item in report["stock"]["products"]}
        told = re.findall(r"\n  B +(\S.*?)  +([\d.]+) mL\n +of a solution: "
                          r"dissolve ([\d.]+) g in water to make (\d+) L",
                          run(*given).stdout)
        self.assertGreaterEqual(len(told), 6)
        self.assertEqual({row[0] for row in told}, set(made))
        for name, ml, dissolved, litres in told:
            strength = float(dissolved) / float(litres)
            self.assertAlmostEqual(strength, made[name])
            self.assertAlmostEqual(float(ml) / 1000 * strength / g[name], 1,
                                   delta=0.03)

    def test_a_trace_solution_is_told_in_ounces_and_locked_away(self):
        text = run("stock", *BASIL, "--tank", "50gal", "--scale-step", "1oz",
                   "--fine-step", "0.1oz").stdout
        told = re.findall(r"dissolve ([\d.]+) oz \(([\d.]+) g\) in water "
                          r"to make \d+ L \([\d.]+ (?:fl oz|gal)\)\n", text)
        self.assertGreater(len(told), 1)
        self.assertEqual(len(told), text.count("of a solution"))
        for oz, g in told:
            self.assertAlmostEqual(float(oz) * G_PER_OZ, float(g),
                                   delta=ROUNDING * float(g))
        last = text.split("Mix in this order")[1].split("\n\n")[0]
        self.assertRegex(last, r"\d+\. Label what is left of each trace")


if __name__ == "__main__":
    unittest.main()
