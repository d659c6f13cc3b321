# SPDX-License-Identifier: GPL-3.0-or-later
"""Random tanks, bases, silicate, borax and citric acid among them, against a
speciation of this file's own: none clouds or gives off gas unsaid.

Constants at 25 degC: MINTEQA2 v4 (NIST 46) for citrate, phosphate pairs and
solids, phreeqc.dat (USGS) for the rest; struvite: Ohlinger, Young & Schroeder
1998; K-struvite: Taylor, Frazier & Gurney 1963.  Activities: Davies 1962 with
0.2 I, held from 0.7 mol/kg on, which no more than orders of magnitude need.
SW_TANKS: how many tanks (30).
"""
import math
import os
import random
import unittest

import numpy

from runner import run_json, written

COUNT = int(os.environ.get("SW_TANKS", "30"))
MASTERS = ["H", "K", "Na", "NH4", "Mg", "Ca", "Zn", "Mn", "Cu", "Fe", "NO3",
           "SO4", "PO4", "CO3", "B", "Si", "Cit"]
CHARGE = dict(zip(MASTERS, [1, 1, 1, 1, 2, 2, 2, 2, 2, 2, -1, -2, -3, -2, 0, 0,
                            -3]))
PAIRS = [  # log beta from the masters
    (-14.0, {"H": -1}), (-9.252, {"NH4": 1, "H": -1}),
    (1.988, {"SO4": 1, "H": 1}), (12.346, {"PO4": 1, "H": 1}),
    (19.553, {"PO4": 1, "H": 2}), (21.721, {"PO4": 1, "H": 3}),
    (10.329, {"CO3": 1, "H": 1}), (16.681, {"CO3": 1, "H": 2}),
    (-9.24, {"B": 1, "H": -1}), (-9.83, {"Si": 1, "H": -1}),
    (-23.0, {"Si": 1, "H": -2}), (6.396, {"Cit": 1, "H": 1}),
    (11.157, {"Cit": 1, "H": 2}), (14.285, {"Cit": 1, "H": 3}),
    (2.37, {"Mg": 1, "SO4": 1}), (2.30, {"Ca": 1, "SO4": 1}),
    (2.37, {"Zn": 1, "SO4": 1}), (2.25, {"Mn": 1, "SO4": 1}),
    (2.31, {"Cu": 1, "SO4": 1}), (2.25, {"Fe": 1, "SO4": 1}),
    (0.85, {"K": 1, "SO4": 1}), (1.11, {"NH4": 1, "SO4": 1}),
    (6.589, {"Mg": 1, "PO4": 1}), (15.216, {"Mg": 1, "PO4": 1, "H": 1}),
    (21.066, {"Mg": 1, "PO4": 1, "H": 2}), (6.459, {"Ca": 1, "PO4": 1}),
    (15.085, {"Ca": 1, "PO4": 1, "H": 1}),
    (20.961, {"Ca": 1, "PO4": 1, "H": 2}),
    (15.946, {"Fe": 1, "PO4": 1, "H": 1}),
    (22.253, {"Fe": 1, "PO4": 1, "H": 2}),
    (2.98, {"Mg": 1, "CO3": 1}), (3.224, {"Ca": 1, "CO3": 1}),
    (-11.44, {"Mg": 1, "H": -1}), (-12.78, {"Ca": 1, "H": -1}),
    (-8.96, {"Zn": 1, "H": -1}), (-16.9, {"Zn": 1, "H": -2}),
    (-8.0, {"Cu": 1, "H": -1}), (-13.68, {"Cu": 1, "H": -2}),
    (-10.59, {"Mn": 1, "H": -1}), (-9.5, {"Fe": 1, "H": -1}),
    (4.87, {"Ca": 1, "Cit": 1}), (9.26, {"Ca": 1, "Cit": 1, "H": 1}),
    (4.89, {"Mg": 1, "Cit": 1}), (8.91, {"Mg": 1, "Cit": 1, "H": 1}),
    (6.21, {"Zn": 1, "Cit": 1}), (10.2, {"Zn": 1, "Cit": 1, "H": 1}),
    (4.28, {"Mn": 1, "Cit": 1}), (9.6, {"Mn": 1, "Cit": 1, "H": 1}),
    (7.57, {"Cu": 1, "Cit": 1}), (10.87, {"Cu": 1, "Cit": 1, "H": 1}),
    (6.1, {"Fe": 1, "Cit": 1}), (10.2, {"Fe": 1, "Cit": 1, "H": 1}),
]
# log K of dissolution to the masters, g/mol, index from which it is sure to
# form, whatever the activities.
SOLIDS = {
    "gypsum": (-4.58, {"Ca": 1, "SO4": 1}, 172.2, 0.7),
    "brushite": (-18.94, {"Ca": 1, "PO4": 1, "H": 1}, 172.1, 1),
    "struvite": (-13.26, {"Mg": 1, "NH4": 1, "PO4": 1}, 245.4, 1),
    "K-struvite": (-10.62, {"Mg": 1, "K": 1, "PO4": 1}, 266.5, 1),
    "newberyite": (-18.175, {"Mg": 1, "PO4": 1, "H": 1}, 174.3, 1.7),
    "calcite": (-8.48, {"Ca": 1, "CO3": 1}, 100.1, 1),
    "magnesium hydroxide": (16.844, {"Mg": 1, "H": -2}, 58.3, 1),
    "calcium hydroxide": (22.8, {"Ca": 1, "H": -2}, 74.1, 1),
    "zinc phosphate": (-35.42, {"Zn": 3, "PO4": 2}, 458.1, 3),
    "copper phosphate": (-35.12, {"Cu": 3, "PO4": 2}, 434.6, 3),
    "iron(II) phosphate": (-36.0, {"Fe": 3, "PO4": 2}, 501.6, 3),
}
SPARING = set(SOLIDS) | {"amorphous calcium phosphate"}
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


class Solution:
    """Masters in mol/kg, the total of H included, shared out."""

    def __init__(self, totals):
        self.names = [m for m in MASTERS if m == "H" or totals.get(m, 0) > 0]
        self.total = numpy.array([totals.get(m, 0) for m in self.names])
        rows = [(0.0, {m: 1}) for m in self.names]
        rows += [r for r in PAIRS if all(m in self.names for m in r[1])]
        self.beta = numpy.array([r[0] for r in rows])
        self.count = numpy.array([[r[1].get(m, 0) for m in self.names]
                                  for r in rows], dtype=float)
        self.z = self.count @ numpy.array([CHARGE[m] for m in self.names])
        self.free = numpy.log10(numpy.maximum(self.total, 1e-12))
        self.solve()

    def at(self, ph):
        """Mass balances of all but H at a pH; what is left of H's."""
        x = self.free.copy()
        x[0] = -ph
        for _ in range(400):
            m = 10 ** numpy.minimum(
                self.beta + self.count @ x - self.gamma, 3)
            held = numpy.abs(self.count.T) @ m
            step = numpy.log10(self.total[1:] / held[1:])
            x[1:] += 0.6 * step
            strength = min(0.5 * float(self.z ** 2 @ m), 0.7)
            root = math.sqrt(strength)
            self.gamma = -0.509 * self.z ** 2 * (
                root / (1 + root) - 0.2 * strength)
            if numpy.abs(step).max(initial=0) < 1e-6:
                break
        self.free, self.m = x, m
        return float(self.count.T[0] @ m - self.total[0])

    def solve(self):
        self.gamma = numpy.zeros(len(self.beta))
        low, high = -1.0, 15.0
        for _ in range(34):
            self.ph = (low + high) / 2
            if self.at(self.ph) > 0:
                low = self.ph
            else:
                high = self.ph

    def log(self, parts):
        """log10 of an ion product; -inf where one is absent."""
        return sum(n * (self.free[self.names.index(m)])
                   if m in self.names else -math.inf
                   for m, n in parts.items())

    def pairs(self, parts):
        """mol/kg of one species."""
        row = numpy.array([parts.get(m, 0) for m in self.names], dtype=float)
        same = (self.count == row).all(axis=1)
        return float(self.m[same].sum())

    def grams(self, name):
        """The most there can be, per litre, of a solid; 0 below where it is
        sure to form."""
        log_k, parts, g_per_mol, sure = SOLIDS[name]
        if not self.log(parts) - log_k > sure:
            return 0
        return g_per_mol * min(
            self.total[self.names.index(m)] / n
            for m, n in parts.items() if m != "H")

    def ammonia(self):
        """ppm over it and share; Henry's constant of phreeqc.dat."""
        if "NH4" not in self.names:
            return 0, 0
        free = self.pairs({"NH4": 1, "H": -1})
        return 1e6 * free / 62.6, free / self.total[self.names.index("NH4")]

    def carbon_dioxide(self):
        return self.pairs({"CO3": 1, "H": 2}) / 10 ** -1.468 \
            if "CO3" in self.names else 0


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


CLOUDS = {"stock-saturated", "stock-feud", "stock-precipitate", "stock-watch",
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
            limits = stock["tanks"][0]["limits"]
            solid = limits.get("solid", "")
            if limits.get("saturation", 0) > 1 and solid in SOLIDS:
                log_k, parts, _, _ = SOLIDS[solid]
                self.assertGreater(s.log(parts) - log_k, -1, (amounts, solid))

    def test_the_ph_is_what_another_model_finds(self):
        off = [abs(stock["tanks"][0]["ph"] - s.ph)
               for _, s, stock, _ in self.cases if "ph" in stock["tanks"][0]]
        self.assertGreater(len(off), COUNT / 2)
        self.assertLess(sorted(off)[len(off) // 2], 0.2)
        self.assertLess(max(off), 1)


if __name__ == "__main__":
    unittest.main()
