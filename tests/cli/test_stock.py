# SPDX-License-Identifier: GPL-3.0-or-later
"""Injector heads, what to buy, shares of waters: calculated again by another
route, and the same in every format."""
import csv
import io
import math
import os
import re
import unittest

from runner import BASIL, SOURCE, WELL, run, run_json, written
from test_sheet import Tags, sheet

SHELF = "examples/straights.csv"
STOCK = ["stock", *BASIL, "--tank", "200L", "--third-tank", "--head",
         "acid=400", "--make-up", "examples/waters.csv:purified", "--fills",
         "3"]
# NIST SP 811 (2008), appendix B.8.
L_PER_GAL, ML_PER_FL_OZ = 3.785411784, 29.5735295625
# Amounts of the tanks are rounded as printed: 0.5 % at most.
ROUNDING = 0.5e-2


def rows_of(*arguments):
    text = run(*arguments, "--format", "csv").stdout
    return {tuple(row[:3]): row[3]
            for row in csv.reader(io.StringIO(text, newline=""))}


class Heads(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.report = run_json(*STOCK)
        cls.heads = cls.report["stock"]["heads"]

    def near(self, value, expected, tolerance=1e-9):
        self.assertTrue(math.isclose(value, expected, rel_tol=tolerance,
                                     abs_tol=tolerance), (value, expected))

    def test_a_factor_nothing_stays_dissolved_at_is_no_number(self):
        for tank in self.report["stock"]["tanks"]:
            self.assertGreaterEqual(tank.get("highest_factor", 1), 1)

    def test_an_acid_tank_is_told_no_milder_ph_for_its_phosphate(self):
        told = run("stock", *BASIL, "--tank", "100L", "--factor", "600").stdout
        self.assertNotIn("keeps best near", told)

    def test_feed_is_priced_per_1000_gallons_and_packs_told_as_sold(self):
        done = run("stock", *BASIL, "--tank", "30gal")
        text = " ".join(done.stdout.split())
        self.assertRegex(text, r"cost of 1000 L of feed \d+\.\d\d, or "
                         r"\d+\.\d\d per 1000 gal")
        self.assertRegex(text, r"1 x 25\.0 kg or 55\.1 lb")

    def test_make_up_that_contradicts_itself_is_not_told_of_acid(self):
        with open("examples/well.csv", encoding="utf-8") as file:
            text = file.read().replace("alkalinity,300,", "alkalinity,600,")
        with written(text) as water:
            done = run("stock", "--water", "examples/town.csv", *BASIL[2:],
                       "--tank", "200L", "--factor", "100", "--make-up",
                       water.name, "--brief")
        words = " ".join(done.stdout.split())
        self.assertEqual(done.returncode, 1)
        self.assertIn("Do not fill the tanks with", words)
        self.assertNotIn("no acid can be sized", words)

    def mixed(self, tank, *given):
        """The invented house's stocks, with one product in `tank`."""
        rows = [("calcium nitrate", "A", "4.34,kg"),
                ("nitric acid 38 %", "A", "11.98,L"),
                ("potassium nitrate", "B", "6.14,kg"),
                ("monopotassium phosphate", "B", "3.53,kg"),
                ("potassium sulfate", "B", "1.336,kg"),
                ("magnesium sulfate", "B", "3.84,kg"),
                ("iron chelate", "B", "364,g")]
        text = "tank,product,amount,unit\n" + "".join(
            f"{tank.get(name, where)},{name},{amount}\n"
            for name, where, amount in rows)
        with written(text) as file:
            return run_json("check", *BASIL, "--stocks", file.name, "--tank",
                            "200L", "--factor", "100", *given)

    def test_iron_that_acid_takes_from_its_chelator_is_not_met(self):
        for tank, verdict in (("A", "open"), ("B", "met")):
            report = self.mixed({"iron chelate": tank})
            iron = [r for r in report["components"] if r["component"] == "Fe"]
            self.assertEqual(iron[0]["verdict"], verdict, tank)
        self.assertFalse(self.mixed({"iron chelate": "A"})["all_met"])

    def test_no_way_out_puts_acid_on_a_chelate(self):
        """The make-up water is hard: tank B settles without the acid."""
        shelf = ("product,label,formula,purity,density\n"
                 "crop base,N 4; NO3-N 4; P2O5 18; K2O 38; Mg 0.5; S 0.9;"
                 "{} Mo 0.01,,,\n"
                 "calcium nitrate,NO3-N 14.4; NH4-N 1.1; Ca 19,,,\n"
                 "nitric acid 38 %,,HNO3,0.38,1.235\n")
        tanks = ("tank,product,amount,unit\nA,calcium nitrate,4.34,kg\n"
                 "C,nitric acid 38 %,11.98,L\nB,crop base,4.6,kg\n")
        for traces, offered in ((" Fe-EDTA 0.4; Mn-EDTA 0.2;", False),
                                ("", True)):
            with written(shelf.format(traces)) as bags, \
                    written(tanks) as mixed:
                report = run_json("check", *BASIL[:-1], bags.name, "--stocks",
                                  mixed.name, "--tank", "200L", "--factor",
                                  "100")
            changes = report["stop"]["changes"]
            self.assertEqual("Move nitric acid 38 % to tank B." in
                             str(changes), offered, changes)

    def test_a_chelate_in_acid_that_no_move_saves_is_shared_out_anew(self):
        """The make-up water is hard: tank B settles without the acid."""
        shelf = ("product,label,formula,purity,density\n"
                 "crop base,N 4; NO3-N 4; P2O5 18; K2O 38; Mg 0.5; S 0.9;"
                 " Fe-EDTA 0.4; Mn-EDTA 0.2; Mo 0.01,,,\n"
                 "calcium nitrate,NO3-N 14.4; NH4-N 1.1; Ca 19,,,\n"
                 "nitric acid 38 %,,HNO3,0.38,1.235\n")
        tanks = ("tank,product,amount,unit\nA,calcium nitrate,4.34,kg\n"
                 "B,nitric acid 38 %,11.98,L\nB,crop base,4.6,kg\n")
        with written(shelf) as bags, written(tanks) as mixed:
            report = run_json("check", *BASIL[:-1], bags.name, "--stocks",
                              mixed.name, "--tank", "200L", "--factor", "100")
        verdict = " ".join(report["verdict"])
        self.assertIn("have all products shared out into tanks anew", verdict)
        open_ = {r["component"] for r in report["components"]
                 if r.get("verdict") == "open"}
        self.assertLessEqual({"Fe", "Mn"}, open_)

    def test_a_chelate_in_acid_is_sent_to_the_tank_without(self):
        for tank, acid, to in (("A", "A", "B"), ("B", "B", "A")):
            report = self.mixed({"iron chelate": tank,
                                 "nitric acid 38 %": acid})
            self.assertIn(f"Put iron chelate into tank {to}, the tank without "
                          "acid.", str(report))

    def test_the_most_that_settles_out_is_named_first(self):
        stop = self.mixed({"calcium nitrate": "B"})["stop"]
        self.assertRegex(stop["reasons"][0], "gypsum settles out .* up to 9")

    def test_where_limits_conflict_each_screen_names_them_and_what_helps(self):
        """The one that formulate breaks for its nearest recipe, too."""
        salty = ("Ca=60mg/L, Mg=15mg/L, Na=150mg/L, Cl=190mg/L, SO4=80mg/L, "
                 "NO3-N=3mg/L, alkalinity=120mg/L CaCO3, pH=7.4")
        given = ["--water", salty, *BASIL[2:]]
        limits = ["Na max 60 mg/L (examples/basil.csv line 22)"]
        full = run("stock", *given, "--tank", "200L", "--factor", "100").stdout
        percent = re.search(r"make (\d+) % of the water purified",
                            " ".join(full.split()))[1]
        helps = f"This resolves it: make {percent} % of the water purified"
        nearest = "saltwright formulate shows how near a recipe comes"
        for name, more, words in (
                ("stock", ["--tank", "200L", "--factor", "100", "--brief"],
                 [helps, nearest, "told only where every limit is kept"]),
                ("compare", ["--brief"],
                 [helps, "saltwright formulate shows how near one comes"]),
                ("batch", [], [nearest, "% purified water every target"])):
            said = " ".join(run(name, *given, *more).stdout.split())
            for word in limits + words:
                self.assertIn(word, said, name)
        self.assertIn("Recipe for 1000 L",
                      run("formulate", *given, "--brief").stdout)

    def test_limits_that_only_give_way_together_are_told_together(self):
        target = ("parameter,target,min,max\nCa,,150,\nMg,,60,\nS,50,,50\n"
                  "N,90,,100\nP,40,35,45\nK,220,215,\nNH4-N:N,,0.02,\n")
        for more, words, moved in (
                ("", ["no recipe keeps all of these limits: ",
                      "Any one of these resolves it: put potassium chloride",
                      "lower Mg min 60 mg/L (", "raise N max 100 mg/L ("], 5),
                ("Na,,,15\n", ["No single change resolves it, all of these "
                               "together do: "], 2)):
            with written(target + more) as file:
                given = ["stock", *WELL, "--target", file.name, *BASIL[4:],
                         "--tank", "200L", "--factor", "100"]
                brief = " ".join(run(*given, "--brief").stdout.split())
                full = " ".join(run(*given).stdout.split())
            for word in words:
                self.assertIn(word, brief)
            told = re.findall(r"(raise|lower) (\S+ m\S+ \S+ mg/L) \(\S+ line "
                              r"\d+\) to (\S+) mg/L", brief)
            self.assertGreaterEqual(len(told), moved)
            for way, limit, to in told:
                self.assertRegex(full, re.escape(limit) + r" \(\S+ line \d+\) "
                                 f"{way} it to {to} mg/L")

    def test_what_gels_stays_on_the_brief_screen(self):
        """Behind another warning, too."""
        with open("examples/straights.csv", encoding="utf-8") as file:
            shelf = (file.read() + "potassium silicate,K2SiO3,0.30,,1.35"
                     + "," * 8 + "\n")
        with open("examples/basil.csv", encoding="utf-8") as file:
            target = file.read() + "Si,14,,,,mg/L\n"
        with written(shelf) as products, written(target) as wanted:
            brief = run("stock", "--water", "examples/town.csv", "--target",
                        wanted.name, "--shelf", products.name, "--tank",
                        "200L", "--third-tank", "--factor", "400",
                        "--brief").stdout
        words = " ".join(brief.split())
        self.assertIn("settles out", words)
        self.assertIn("sets to a gel", words)

    def test_there_is_one_for_each_tank(self):
        self.assertEqual([(h["tank"], h["ratio"]) for h in self.heads],
                         [("A", 100), ("B", 100), ("C", 400)])
        for head in self.heads:
            self.near(head["draws_ml_per_l"], 1000 / head["ratio"])

    def test_together_they_bring_what_is_added(self):
        for row in self.report["components"]:
            brought = sum(head["brings_mg_per_l"].get(row["component"], 0)
                          for head in self.heads)
            self.near(brought, row["added_mg_per_l"], 1e-6)

    def test_ec_alone_is_that_of_its_tank_checked_alone(self):
        # The make-up water of the head's own share, so a blend of the two.
        for head in self.heads:
            share = 100 / head["ratio"]
            tank = next(t for t in self.report["stock"]["tanks"]
                        if t["tank"] == head["tank"])
            density = {p["product"]: p["g_per_l"] / p["ml_per_l"]
                       for p in self.report["recipe"] if "ml_per_l" in p}
            lines = ["product,amount,unit"]
            for item in self.report["stock"]["products"]:
                if item["tank"] != tank["tank"]:
                    continue
                g = item["amount"] * density.get(item["product"], 1.0)
                g /= tank["volume_l"] * head["ratio"]
                lines.append(f"{item['product']},{g!r},g/L")
            with written("\n".join(lines) + "\n") as recipe:
                alone = run_json(
                    "check", *BASIL[:2], "--water",
                    "examples/waters.csv:purified", "--share",
                    f"{100 - share!r},{share!r}", *BASIL[2:], "--recipe",
                    recipe.name)["finished"]
            self.near(head["ec_alone_ms_per_cm"], alone["ec_ms_per_cm"],
                      ROUNDING)
            self.near(head["ec_alone_low_ms_per_cm"],
                      alone["ec_low_ms_per_cm"], ROUNDING)
            self.near(head["ec_alone_high_ms_per_cm"],
                      alone["ec_high_ms_per_cm"], ROUNDING)
            self.near(head["ph_alone"], alone["ph_mixed"], 2e-2)

    def test_the_make_up_water_is_named_everywhere(self):
        self.assertEqual(self.report["stock"]["make_up"], "purified")
        self.assertEqual(rows_of(*STOCK)["stock", "", "make_up"], "purified")
        words = "purified, not the source water"
        self.assertRegex(run(*STOCK).stdout, f"made up with +{words}\n")
        self.assertIn(words, sheet(*STOCK)[1])
        without = [a for a in STOCK if a != "--make-up" and
                   a != "examples/waters.csv:purified"]
        self.assertNotIn("make_up", run_json(*without)["stock"])

    def test_text_and_sheet_tell_the_same(self):
        text = run(*STOCK).stdout
        _, page = sheet(*STOCK)
        table = page.split("Injectors: ")[2].split("<tbody>")[1]
        table = " ".join("".join(Tags(table.split("</tbody>")[0]).texts)
                         .split())
        part = text.split("\nInjectors: ")[1].split("\n\n")[0]
        for head in self.heads:
            ec = (f"{head['ec_alone_ms_per_cm']:.2f} "
                  f"({head['ec_alone_low_ms_per_cm']:.2f} to "
                  f"{head['ec_alone_high_ms_per_cm']:.2f})")
            ph = f"{head['ph_alone']:.1f}"
            self.assertRegex(part, rf" {head['ratio']:g} .* {re.escape(ec)} "
                                   rf" +{ph}\n")
            self.assertIn(ec, table)
            self.assertIn(ph, table)

    def test_the_jug_loses_the_feed_over_the_ratio(self):
        for tank, passing in (("200L", 100.0), ("50gal", 25 * L_PER_GAL)):
            text = run("stock", *BASIL, "--tank", tank, "--factor",
                       "128").stdout
            part = text.split("\nInjectors: ")[1].split("  Injector test")[0]
            drawn = re.findall(r"([\d.]+) (fl oz|mL)\b", part)
            self.assertEqual(len(drawn), 4 if tank == "50gal" else 2)
            for amount, unit in drawn:
                ml = float(amount) * (ML_PER_FL_OZ if unit == "fl oz" else 1)
                self.near(ml, 1000 * passing / 128, 0.5e-2)

    def test_tanks_that_must_not_be_used_have_no_heads(self):
        with written("tank,product,amount,unit\nA,calcium nitrate,6,kg\n"
                     "A,monopotassium phosphate,2,kg\n") as stocks:
            words = ["check", *BASIL, "--tank", "100L", "--stocks",
                     stocks.name]
            self.assertNotIn("heads", run_json(*words)["stock"])
            self.assertNotIn("Injectors: ", run(*words).stdout)


class Cold(unittest.TestCase):
    """Hard water with phosphate: too little brushite to harm in the warm,
    too much in the cold."""
    STORED = ["stock", *WELL, "--target", "lettuce", "--shelf", SHELF,
              "--tank", "200L", "--factor", "100"]

    def test_the_coldest_is_where_it_starts_to_count(self):
        tanks = {}
        for store in "20C,5C", "20C,18C", "20C,19C":
            result = run_json(*self.STORED, "--store", store)
            tank = tanks[store] = result["stock"]["tanks"][0]
            self.assertLess(tank["saturation"], 1)
            notes = " ".join(note["text"] for note in result["notes"])
            cold = tank["saturation_cold"] > 1
            self.assertIn("too little to harm", notes)
            self.assertEqual(cold, "or too much brushite" in notes)
            self.assertEqual(cold, tank["solid_cold"] == "brushite")
            self.assertEqual(cold, store != "20C,19C")
            self.assertTrue(18 < tank["coldest_c"] < 19, tank["coldest_c"])


class Purchases(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.report = run_json(*STOCK)
        cls.bought = cls.report["stock"]["purchases"]
        cls.text = run(*STOCK).stdout

    def test_fills_take_what_the_tanks_hold(self):
        placed = {}
        for step in self.report["steps"]:
            if step["kind"] == "add":
                placed[step["product"]] = \
                    placed.get(step["product"], 0) + step["g"]
        self.assertEqual({p["product"] for p in self.bought}, set(placed))
        for item in self.bought:
            self.assertLess(abs(item["g"] / 3 / placed[item["product"]] - 1),
                            ROUNDING)
            self.assertEqual(item["packs"],
                             math.ceil(item["g"] / item["pack_g"] - 1e-9))

    def test_costs_add_up(self):
        total = sum(item["cost"] for item in self.bought)
        self.assertAlmostEqual(self.report["stock"]["purchase_cost"], total,
                               places=6)
        self.assertIn(f"Together {total:.2f} in the currency", self.text)

    def test_the_sheet_tells_what_text_tells(self):
        _, page = sheet(*STOCK)
        part = page.split(">To buy for 3 batches of stock<")[1]
        part = part.split("</section>")[0]
        rows = re.findall(r"<th scope=\"row\">([^<]*)</th>" +
                          3 * r"<td class=\"number\"[^>]*>([^<]*)</td>", part)
        told = self.text.split("\nTo buy for 3 batches of stock\n")[1]
        told = told.split("\n\n")[0]
        self.assertEqual(len(rows), len(self.bought))
        for row in rows:
            self.assertRegex(told, "(?m)^  " + " +".join(map(re.escape, row))
                             + "$")
        self.assertIn(f"Together {self.report['stock']['purchase_cost']:.2f} "
                      "in the currency", part)

    def test_without_packs_and_for_one_fill_there_is_no_list(self):
        with open(SHELF, encoding="utf-8") as file:
            lines = [line for line in file if not line.startswith("#")]
        table = list(csv.DictReader(lines))
        for row in table:
            row["pack"] = row["price"] = row["price_unit"] = ""
        out = io.StringIO()
        writer = csv.DictWriter(out, table[0].keys(), lineterminator="\n")
        writer.writeheader()
        writer.writerows(table)
        with written(out.getvalue()) as shelf:
            words = ["stock", *BASIL[:-1], shelf.name, "--tank", "200L"]
            _, page = sheet(*words)
            self.assertNotIn("To buy", page + run(*words).stdout)
            _, page = sheet(*words, "--fills", "2")
        part = page.split(">To buy for 2 batches of stock<")[1]
        self.assertNotIn("Together", part.split("</section>")[0])


class Shares(unittest.TestCase):
    def test_shares_of_a_blend_add_up_wherever_they_stand(self):
        for shares, told in (("16.6,16.7,66.7", [17, 16, 67]),
                             ("33.4,33.3,33.3", [33, 34, 33]),
                             ("3.46,30.27,66.27", [3.5, 30.2, 66.3]),
                             ("5,25,70", [5, 25, 70])):
            given = ["formulate", "--water", "examples/waters.csv:well",
                     "--water", "examples/waters.csv:town", "--water",
                     "examples/waters.csv:purified", "--share", shares,
                     *BASIL[2:]]
            text = " ".join(run(*given).stdout.split())
            _, page = sheet(*given)
            worker = " ".join("".join(Tags(page).texts).split())
            for words in (text, worker):
                rows = re.findall(r"([\d.]+) % (well|town|purified)", words)
                self.assertGreaterEqual(len(rows), 6, words)
                for i, row in enumerate(rows):
                    self.assertEqual(float(row[0]), told[i % 3], rows)
            self.assertAlmostEqual(sum(told), 100)


class Lime(unittest.TestCase):
    def test_a_tank_told_to_take_purified_water_is_judged_in_it(self):
        water = ("Ca=110mg/L, Mg=18mg/L, Na=25mg/L, Cl=30mg/L, SO4=40mg/L, "
                 "NO3=0mg/L, alkalinity=300mg/L CaCO3, pH=7.8")
        with open(os.path.join(SOURCE, "examples/straights.csv"),
                  encoding="utf-8") as stream:
            shelf = stream.read().replace("14.80,/kg,5kg,", "14.80,/kg,5kg,A")
        with written(shelf) as file:
            for more, name in (([], "water of this recipe"),
                               (["--make-up", water], "make-up water")):
                done = run("stock", "--water", water, "--target",
                           "examples/basil.csv", "--shelf", file.name,
                           "--tank", "100L", "--factor", "100", *more)
                text = " ".join(done.stdout.split())
                self.assertIn(f"With the {name} lime clouds this tank.", text)
                self.assertIn("must stay between about pH 4.0 and 7.0", text)
                self.assertNotIn("is calculated.", text)


if __name__ == "__main__":
    unittest.main()
