# SPDX-License-Identifier: GPL-3.0-or-later
"""Random tanks, bases, silicate, borax and citric acid among them, against the
speciation of speciation.py: none clouds or gives off gas unsaid.

SW_TANKS: how many tanks (30).
"""
import os
import random
import unittest

from runner import run_json, written
from speciation import SOLIDS, Solution

COUNT = int(os.environ.get("SW_TANKS", "30"))
# g/mol of product, and what a mol of it brings
PRODUCTS = {
    "potassium nitrate": (101.1, {"K": 1, "NO3": 1}, 100),
    "potassium sulfate": (174.3, {"K": 2, "SO4": 1}, 50),
    "monopotassium phosphate": (136.1, {"K": 1, "PO4": 1, "H": 2}, 40),
    "dipotassium phosphate": (174.2, {"K": 2, "PO4": 1, "H": 1}, 40),
    "tripotassium phosphate": (212.3, {"K": 3, "PO4": 1}, 40),
    "monoammonium phosphate": (115.0, {"NH4": 1, "PO4": 1, "H": 2}, 40),
    "diammonium phosphate": (132.1, {"NH4": 2, "PO4": 1, "H": 1}, 40),
    "ammonium sulfate": (132.1, {"NH4": 2, "SO4": 1}, 40),
    "ammonium nitrate": (80.0, {"NH4": 1, "NO3": 1}, 40),
    "magnesium sulfate heptahydrate": (246.5, {"Mg": 1, "SO4": 1}, 60),
    "magnesium nitrate hexahydrate": (256.4, {"Mg": 1, "NO3": 2}, 40),
    "calcium nitrate tetrahydrate": (236.1, {"Ca": 1, "NO3": 2}, 100),
    "potassium hydroxide": (62.34, {"K": 1, "H": -1}, 15),
    "potassium bicarbonate": (100.1, {"K": 1, "CO3": 1, "H": 1}, 20),
    "potassium carbonate": (138.2, {"K": 2, "CO3": 1}, 20),
    "potassium metasilicate": (154.3, {"K": 2, "Si": 1, "H": -2}, 15),
    "borax decahydrate": (381.4, {"Na": 2, "B": 4, "H": -2}, 3),
    "boric acid": (61.83, {"B": 1}, 2),
    "citric acid anhydrous": (192.1, {"Cit": 1, "H": 3}, 20),
    "zinc sulfate heptahydrate": (287.6, {"Zn": 1, "SO4": 1}, 0.5),
    "manganese sulfate monohydrate": (169.0, {"Mn": 1, "SO4": 1}, 0.5),
    "copper sulfate pentahydrate": (249.7, {"Cu": 1, "SO4": 1}, 0.1),
    "iron(II) sulfate heptahydrate": (278.0, {"Fe": 1, "SO4": 1}, 2),
}
WATERS = {  # mmol/L, and as a lab writes it; pH 7.4
    "soft": {"Na": 0.04, "CO3": 0.044, "H": 0.0484},
    "hard": {"Ca": 2.0, "Mg": 0.8, "Na": 0.5, "SO4": 0.55, "CO3": 5.49,
             "H": 5.99},
}
LAB = {
    "soft": "pH,7.4,\nalkalinity,2,mg/L CaCO3\nNa,0.92,mg/L\n",
    "hard": "pH,7.4,\nalkalinity,250,mg/L CaCO3\nCa,80.2,mg/L\n"
            "Mg,19.4,mg/L\nNa,11.5,mg/L\nSO4,52.8,mg/L\n",
}


def invent(dice):
    names = dice.sample(sorted(PRODUCTS), dice.randint(2, 6))
    water = dice.choice(sorted(WATERS))
    amounts = {n: PRODUCTS[n][2] * dice.uniform(0.1, 1) for n in names}
    totals = {m: v / 1000 for m, v in WATERS[water].items()}
    for name, g in amounts.items():
        for m, n in PRODUCTS[name][1].items():
            totals[m] = totals.get(m, 0) + n * g / PRODUCTS[name][0]
    return water, amounts, totals


def check(water, amounts):
    rows = "".join(f"B,{n},{100 * g:.4f},g\n" for n, g in amounts.items())
    with written("parameter,value,unit\n" + LAB[water]) as lab, \
            written("parameter,target,unit\nK,50,mg/L\n") as target, \
            written("tank,product,amount,unit\n" + rows) as stocks:
        report = run_json("check", "--water", lab.name, "--target",
                          target.name, "--stocks", stocks.name, "--tank",
                          "100L", "--store", "25C,5C")
    notes = [n for n in report["notes"] if n["code"].startswith("stock-") and
             n["severity"] != "info"]
    return report["stock"], notes


CLOUDS = {"stock-saturated", "stock-incompatible", "stock-precipitate", "stock-watch",
          "stock-calcite"}


class Tanks(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.dice = random.Random(9)
        cls.cases = []
        for _ in range(COUNT):
            water, amounts, totals = invent(cls.dice)
            stock, notes = check(water, amounts)
            cls.cases.append((amounts, Solution(totals), stock, notes))

    def test_no_tank_clouds_unsaid(self):
        clouded = 0
        for amounts, s, _, notes in self.cases:
            out = {n: g for n in SOLIDS if (g := s.grams(n)) > 0.2}
            clouded += bool(out)
            if out:
                self.assertTrue(CLOUDS & {n["code"] for n in notes},
                                (amounts, s.ph, out))
        self.assertGreater(clouded, COUNT / 10)

    def test_no_tank_gives_off_gas_unsaid(self):
        gassed = 0
        for amounts, s, stock, notes in self.cases:
            text = " ".join(n["text"] for n in notes)
            ppm, share = s.ammonia()
            if ppm > 600 and share > 0.2:
                gassed += 1
                self.assertEqual(stock["outcome"], "conflict", amounts)
                self.assertIn("ammonia", text, amounts)
            if s.carbon_dioxide() > 2:
                self.assertIn("foam", text, amounts)
        self.assertGreater(gassed, COUNT / 30)

    def test_nothing_is_refused_that_is_far_from_clouding(self):
        for amounts, s, stock, _ in self.cases:
            limits = stock["tanks"][0]
            solid = limits.get("solid", "")
            if limits.get("saturation", 0) > 1 and solid in SOLIDS:
                self.assertGreater(s.index(solid), -1, (amounts, solid))

    def test_urea_and_nitric_acid_come_out_together(self):
        """167 g/L of urea nitrate: 81.5 g of urea and 85.5 of HNO3."""
        with written("product,formula,purity,density\n"
                     "urea,CO(NH2)2,1,\nnitric acid 60 %,HNO3,0.6,1.37\n"
                     ) as shelf:
            for times, outcome in (0.9, "optimal"), (1.1, "conflict"):
                with self.subTest(times=times), written(
                        "tank,product,amount,unit\n"
                        f"B,urea,{8.15 * times},kg\n"
                        f"B,nitric acid 60 %,{14.25 * times},kg\n") as tanks:
                    stock = run_json(
                        "check", "--water", "pH=6,alkalinity=0mg/L CaCO3",
                        "--target", "examples/basil.csv", "--shelf", shelf.name,
                        "--stocks", tanks.name, "--tank", "100L", "--store",
                        "20C,20C")["stock"]
                    self.assertEqual(stock["outcome"], outcome)
                    tank = next(t for t in stock["tanks"] if t.get("solid"))
                    self.assertEqual(tank["solid"], "urea nitrate")
                    self.assertAlmostEqual(tank["saturation"], times, delta=0.03)

    def test_the_ph_is_what_another_model_finds(self):
        off = [abs(stock["tanks"][0]["ph"] - s.ph)
               for _, s, stock, _ in self.cases if "ph" in stock["tanks"][0]]
        self.assertGreater(len(off), COUNT / 2)
        self.assertLess(sorted(off)[len(off) // 2], 0.2)
        self.assertLess(max(off), 1)


if __name__ == "__main__":
    unittest.main()
