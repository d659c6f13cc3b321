# SPDX-License-Identifier: GPL-3.0-or-later
"""The printed order of mixing, every mixture on the way speciated again by
speciation.py: none clouds with what forms at once unless its step says so.

Random waters and recipes, as a reservoir (the order read off the mixing sheet,
as a grower reads it) and as stock tanks (the steps in the JSON).
SW_ORDERS: how many recipes (8; 1,000 in a long check); SW_SEED: which (9).
"""
import os
import random
import re
import unittest

from runner import run_json, written
from speciation import SOLIDS, Solution

COUNT = int(os.environ.get("SW_ORDERS", "8"))
SEED = int(os.environ.get("SW_SEED", "9"))
RESERVOIR_L, TANK_L = 1000, 200
AT_ONCE = ["calcite", "gypsum", "brushite", "amorphous calcium phosphate",
           "struvite", "amorphous iron phosphate", "amorphous iron hydroxide",
           "amorphous silica"]
# What two models may differ by in an index of a feed: constants of another
# compilation (calcite and gypsum by 0.03), Davies' activities (0.02 for an ion
# of charge 2), pairs left out; in all up to 0.053 in 375 recipes.  More where
# three calcium and two phosphate ions carry it, each with what the pH is off.
MARGIN = {"amorphous calcium phosphate": 0.25}
OTHERWISE = 0.1
# g/mol of product, what a mol brings, up to how many mg/L, how often, kg/L
PRODUCTS = {
    "calcium nitrate tetrahydrate": (236.15, {"Ca": 1, "NO3": 2}, 1200, 0.8),
    "calcium chloride dihydrate": (147.01, {"Ca": 1, "Cl": 2}, 150, 0.2),
    "potassium nitrate": (101.1, {"K": 1, "NO3": 1}, 700, 0.6),
    "monopotassium phosphate": (136.09, {"K": 1, "PO4": 1, "H": 2}, 300, 0.6),
    "dipotassium phosphate": (174.18, {"K": 2, "PO4": 1, "H": 1}, 150, 0.2),
    "monoammonium phosphate": (115.03, {"NH4": 1, "PO4": 1, "H": 2}, 150, 0.3),
    "diammonium phosphate": (132.06, {"NH4": 2, "PO4": 1, "H": 1}, 150, 0.15),
    "ammonium sulfate": (132.14, {"NH4": 2, "SO4": 1}, 150, 0.2),
    "potassium sulfate": (174.26, {"K": 2, "SO4": 1}, 300, 0.4),
    "magnesium sulfate heptahydrate": (246.48, {"Mg": 1, "SO4": 1}, 600, 0.8),
    "magnesium nitrate hexahydrate": (256.41, {"Mg": 1, "NO3": 2}, 200, 0.2),
    "potassium bicarbonate": (100.12, {"K": 1, "CO3": 1, "H": 1}, 100, 0.15),
    "potassium metasilicate": (154.28, {"K": 2, "Si": 1, "H": -2}, 100, 0.1),
    "potassium silicate solution":
        (288.9, {"Si": 1, "K": 0.5091, "H": -0.5091}, 250, 0.2, 1.25),
    "boric acid": (61.83, {"B": 1}, 3, 0.5),
    "zinc sulfate heptahydrate": (287.56, {"Zn": 1, "SO4": 1}, 2, 0.4),
    "manganese sulfate monohydrate": (169.01, {"Mn": 1, "SO4": 1}, 4, 0.4),
    "copper sulfate pentahydrate": (249.68, {"Cu": 1, "SO4": 1}, 0.5, 0.3),
    "iron(II) sulfate heptahydrate": (278.01, {"Fe": 1, "SO4": 1}, 10, 0.15),
    "iron DTPA 11 %": (507.7, {"Na": 2.0}, 40, 0.6),
}
ACIDS = {
    "nitric acid 60 %": (63.012 / 0.6, {"NO3": 1, "H": 1}, 1.367),
    "phosphoric acid 75 %": (97.994 / 0.75, {"PO4": 1, "H": 3}, 1.576),
}


def moles(name):
    return (PRODUCTS if name in PRODUCTS else ACIDS)[name]


def litres_per_g(name):
    entry = moles(name)
    last = entry[-1]
    liquid = name in ACIDS or len(entry) == 5
    return 1e-3 / last if liquid else 0.6e-3  # solids: methods.md


def invent_water(dice):
    """mmol/L, and as a lab writes it."""
    alkalinity = 0.05 + 7 * dice.random() ** 2
    ph = dice.uniform(6.8, 8.2)
    water = {"Ca": 0.5 * alkalinity * dice.random(),
             "Mg": 0.25 * alkalinity * dice.random(),
             "SO4": 0.9 * dice.random(), "Si": 0.25 * dice.random()}
    water["Na"] = max(0.0, alkalinity + 2 * water["SO4"] - 2 * water["Ca"] -
                      2 * water["Mg"])
    # Carbon that leaves the alkalinity at that pH, by halving.
    low, high = 0.5 * alkalinity, 3 * alkalinity
    for _ in range(14):
        carbon = (low + high) / 2
        water.update(CO3=carbon, H=2 * carbon - alkalinity)
        if Solution(per_litre(water)).ph > ph:
            low = carbon
        else:
            high = carbon
    lab = f"pH,{ph:.4f},\nalkalinity,{50.045 * alkalinity:.5f},mg/L CaCO3\n"
    for name, grams, master in (("Ca", 40.078, "Ca"), ("Mg", 24.305, "Mg"),
                                ("Na", 22.99, "Na"), ("SO4", 96.06, "SO4"),
                                ("SiO2", 60.084, "Si")):
        lab += f"{name},{grams * water[master]:.5f},mg/L\n"
    return alkalinity, water, lab


def per_litre(mmol):
    return {m: n / 1000 for m, n in mmol.items()}


def invent(dice):
    """Water and lab report, and mg/L of each product."""
    alkalinity, water, lab = invent_water(dice)
    recipe = {n: max(0.05, p[2] * dice.random()) for n, p in PRODUCTS.items()
              if dice.random() < p[3]}
    if dice.random() < 0.7:
        acid = dice.choice(sorted(ACIDS))
        strength = 1 if acid.startswith("nitric") else 1.05
        recipe[acid] = max(0.05, 0.9 * alkalinity * ACIDS[acid][0] / strength)
    return water, lab, recipe


class Vessel:
    """What is in it: water poured first, then products."""

    def __init__(self, water, litres):
        self.l = litres
        self.mmol = {m: n * litres for m, n in water.items()}

    def add(self, name, grams):
        entry = moles(name)
        for m, n in entry[1].items():
            self.mmol[m] = self.mmol.get(m, 0) + 1000 * n * grams / entry[0]
        self.l += grams * litres_per_g(name)

    def totals(self, litres=None):
        return {m: n / 1000 / (litres or self.l) for m, n in self.mmol.items()}

    def sure(self):
        """Less than 0.2 g/L of it, which the report says, is not a step's; water
        glass holds polymers, of which a monomer's silica says nothing."""
        s = Solution(self.totals())
        return {n for n in SOLIDS
                if n != "amorphous silica" and s.grams(n) > 0.2}

    def indices(self, litres=None):
        """Of each solid; those of iron with Fe(III) at the pH found."""
        totals = self.totals(litres)
        s = Solution(totals)
        aired = s
        if "Fe" in s.names:
            totals["Fe3"] = totals.pop("Fe")
            aired = Solution(totals, s.ph)
        return {n: (aired if "Fe3" in SOLIDS[n][1] else s).index(n)
                for n in SOLIDS}


def margin(solid):
    return MARGIN.get(solid, OTHERWISE)


class Tally:
    mixtures = said = 0
    worst = -9  # index, less the limit, of what was not said


def read_steps(report):
    """Share of the first fill, its words, and (product, words) of each
    addition; None where nothing is to be mixed."""
    if "stop" in report or "steps" not in report:
        return None
    fill = next(s["text"] for s in report["steps"] if s["kind"] == "fill")
    share = float(re.search(r"about (\d+) %", fill).group(1)) / 100
    return share, fill, [(s["product"], s["text"]) for s in report["steps"]
                         if s["kind"] == "add"]


def mixtures(vessel, first_words, steps, grams):
    """(indices, words) of the water and after each addition."""
    yield vessel.indices(), first_words
    for name, words in steps:
        vessel.add(name, grams(name))
        yield vessel.indices(), words


class Orders(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.dice = random.Random(SEED)
        cls.cases = [invent(cls.dice) for _ in range(COUNT)]

    def run_with(self, case, *words):
        _, lab, recipe = case
        with written("parameter,value,unit\n" + lab) as water, \
                written("parameter,target,unit\nK,50,mg/L\n") as target, \
                written("product,fixed,unit\n" + "".join(
                    f"{n},{g:.6g},mg/L\n" for n, g in recipe.items())) as fix, \
                written("product,amount,unit\n" + "".join(
                    f"{n},{g:.6g},mg/L\n" for n, g in recipe.items())) as mix:
            given = ["--water", water.name, "--target", target.name]
            given += ["--recipe", mix.name] if words[0] == "check" else \
                ["--shelf", fix.name]
            return run_json(words[0], *given, *words[1:])

    def hold(self, case, indices, said, tally):
        """Nothing beyond its margin that is not among what was said."""
        tally.mixtures += 1
        for solid in AT_ONCE:
            most = margin(solid)
            if solid in said:
                tally.said += indices[solid] > 0
            else:
                tally.worst = max(tally.worst, indices[solid] - most)
                self.assertLess(indices[solid], most, (solid, case))

    def test_a_silicate_says_why_it_has_its_turn(self):
        """First, or after the acid where the water clouds without that."""
        with open("examples/straights.csv", encoding="utf-8") as file:
            shelf = file.read() + "potassium silicate solution" + "," * 12
        with open("examples/basil.csv", encoding="utf-8") as file:
            target = file.read() + "Si,20,,,,mg/L\n"
        for water, late in (("waters.csv:purified", False), ("well.csv", True)):
            with written(shelf) as products, written(target) as wanted:
                steps = run_json("formulate", "--water", f"examples/{water}",
                                 "--target", wanted.name, "--shelf",
                                 products.name)["steps"]
            turn = {step.get("product", ""): i for i, step in enumerate(steps)}
            silicate = turn["potassium silicate solution"]
            text = steps[silicate]["text"]
            self.assertEqual(silicate > turn["nitric acid 38 %"], late, water)
            self.assertEqual("It comes after the acid, without which it clouds "
                             "in this water." in text, late)
            self.assertIn("undiluted it gels where it meets acid, calcium or "
                          "magnesium.", text)

    def test_no_mixture_in_a_reservoir_clouds_unsaid(self):
        tally, mixed = Tally(), 0
        for case in self.cases:
            water, _, recipe = case
            read = read_steps(self.run_with(case, "check"))
            if not read:
                continue
            mixed += 1
            share, words, steps = read
            self.assertEqual(sorted(n for n, _ in steps), sorted(recipe))
            said = set()
            for indices, words in mixtures(
                    Vessel(water, share * RESERVOIR_L), words, steps,
                    recipe.get):
                fresh = {s for s in AT_ONCE if s in words}
                for solid in fresh:
                    self.assertGreater(indices[solid], -margin(solid),
                                       (solid, case))
                said |= fresh
                self.hold(case, indices, said, tally)
                # What dissolved again must be said again.
                said = {s for s in said if indices[s] > -margin(s)}
        self.assertGreater(mixed, COUNT / 2)
        self.assertGreater(tally.said, COUNT / 4)
        self.report(f"{mixed} reservoirs", tally)

    def test_no_mixture_in_a_tank_clouds_unsaid(self):
        tanks = said = purified = 0
        for i, case in enumerate(self.cases):
            report = self.run_with(
                case, "stock", "--tank", f"{TANK_L}L", "--store", "25C,5C",
                "--factor", str(20 + 17 * i % 180), "--third-tank")
            vessel = None
            for step in report.get("steps", []):
                if step["kind"] == "fill":
                    tanks += 1
                    # Where the water makes lime the step asks for another.
                    limed = "purified water" in step["text"]
                    purified += limed
                    vessel = Vessel({} if limed else case[0], step["volume_l"])
                elif step["kind"] == "add":
                    vessel.add(step["product"], step["g"])
                    # Liquids are printed to three figures.
                    self.assertLess(abs(vessel.l / step["volume_l"] - 1), 1e-3)
                else:
                    continue
                sure = vessel.sure()
                said += len(sure)
                for solid in sure:
                    self.assertIn(solid, step.get("clouds", ""), case)
        self.assertGreater(tanks, COUNT / 3)
        self.assertGreater(tanks, purified)
        if "SW_ORDERS" in os.environ:
            print(f"{tanks} tanks: {said} sure clouds, all said")

    def test_the_full_reservoir_is_what_another_model_finds(self):
        worst = {}
        for case in self.cases:
            water, _, recipe = case
            vessel = Vessel(water, RESERVOIR_L)
            for name, g in recipe.items():
                vessel.add(name, g)
            found = vessel.indices(RESERVOIR_L)
            for row in self.run_with(case, "check")["finished"]["saturation"]:
                solid = row["solid"]
                if solid in AT_ONCE:
                    off = abs(row["index"] - found[solid])
                    worst[solid] = max(worst.get(solid, 0), off)
        if "SW_ORDERS" in os.environ:
            print("off by at most", worst)
        for solid, off in worst.items():
            self.assertLess(off, margin(solid), solid)

    def report(self, name, tally):
        if "SW_ORDERS" in os.environ:
            print(f"{name}: {tally.mixtures} mixtures, {tally.said} clouds "
                  f"said, none unsaid; nearest to it: {tally.worst:.3f}")


if __name__ == "__main__":
    unittest.main()
