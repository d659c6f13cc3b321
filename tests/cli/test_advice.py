# SPDX-License-Identifier: GPL-3.0-or-later
"""Every piece of advice obeyed as a reader would: files edited, run again."""
import math
import os
import random
import re
import tempfile
import unittest

from runner import balanced, run_json

COMPONENTS = ("N", "P", "K", "Ca", "Mg", "S", "Fe", "B", "Na", "Cl")
USUAL = {"N": 160, "P": 40, "K": 200, "Ca": 150, "Mg": 45, "S": 60, "Fe": 2,
         "B": .4, "Na": 50, "Cl": 70}
PRODUCTS = ("calcium nitrate tetrahydrate", "potassium nitrate",
            "monopotassium phosphate", "magnesium sulfate heptahydrate",
            "magnesium nitrate hexahydrate", "potassium sulfate",
            "monoammonium phosphate", "nitric acid 38 %", "boric acid",
            "potassium bicarbonate", "calcium chloride dihydrate",
            "iron DTPA 11 %", "iron EDTA 13 %", "ammonium nitrate")
# Pieces to obey: a few, or as many as the environment says (500 once).
PIECES = int(os.environ.get("SALTWRIGHT_ADVICE", "25"))
FIRST = int(os.environ.get("SALTWRIGHT_ADVICE_SEED", "1"))
# A misfit is shown to four figures, a share of it to three.
SHOWN = 6e-3
# Nothing the target names moves by more when a spare product is left out.
SPARE = 1e-3
LIMIT = re.compile(r"(?P<name>.+?)(?P<added> from products)? "
                   r"(?P<end>min|max|fixed) (?P<bound>\S+)")


def outward(value):
    """Rounded up to three digits, as it is shown."""
    power = 10.0 ** (2 - math.floor(math.log10(value)))
    return math.ceil(value * power - 1e-9) / power


class Files:
    """A water, a target and a shelf that can be edited."""

    def __init__(self, seed, folder):
        self.draw, self.folder = random.Random(seed), folder
        draw = self.draw
        self.water = {c: draw.uniform(0, .5) * USUAL[c] * draw.choice((.1, 1))
                      for c in ("K", "Ca", "Mg", "S", "Na", "Cl")}
        self.alkalinity = draw.uniform(5, 200)
        self.water = balanced(self.water, self.alkalinity / 50.04)
        self.target = {c: self.row(c) for c in
                       draw.sample(COMPONENTS, draw.randint(3, 9))}
        if draw.random() < .25:
            self.target["NH4-N:N"] = ["", "", f"{draw.uniform(.02, .1):.3g}"]
        if draw.random() < .5:
            self.target["pH"] = draw.choice((["5.8", "5.5", "6.2"],
                                             ["6", "", ""], ["", "5.5", "6"]))
        self.shelf = {p: self.bounds() for p in
                      draw.sample(PRODUCTS, draw.randint(3, 9))}

    def row(self, component):
        size = USUAL[component] * self.draw.uniform(.5, 1.5)
        if component in ("Na", "Cl"):
            return ["", "", f"{size:.3g}"]
        low = high = ""
        if self.draw.random() < .5:
            low = f"{size * self.draw.uniform(.7, .98):.3g}"
        if self.draw.random() < .5:
            high = f"{size * self.draw.uniform(1.02, 1.3):.3g}"
        return [f"{size:.4g}", low, high]

    def bounds(self):
        if self.draw.random() < .75:
            return ["", "", ""]
        amount = f"{self.draw.uniform(.01, .5):.3g}"
        return self.draw.choice((["", amount, ""], [amount, "", ""],
                                 ["", "", amount]))

    def write(self, name, lines):
        path = os.path.join(self.folder, name)
        with open(path, "w", encoding="utf-8") as file:
            file.write("\n".join(lines) + "\n")
        return path

    def arguments(self, purified=None):
        water = [f"{c},{v:.4g},mg/L" for c, v in self.water.items()]
        water += [f"alkalinity,{self.alkalinity:.4g},mg/L CaCO3", "pH,7.4,"]
        target = [",".join((c, *row)) for c, row in self.target.items()]
        shelf = [f'"{p}",' + ",".join(row) + ",g/L"
                 for p, row in self.shelf.items()]
        out = ["--water", self.write("w.csv", ["parameter,value,unit"] + water)]
        if purified:
            out += ["--water", self.write("pure.csv", ["parameter,value,unit",
                                                       "EC,0,mS/cm"])]
            out += ["--share", f"{100 - purified:.10g},{purified:.10g}"]
        out += ["--target",
                self.write("t.csv", ["parameter,target,min,max"] + target),
                "--shelf",
                self.write("s.csv", ["product,min,max,fixed,unit"] + shelf)]
        return out + ["--equal-within", "0"]

    def place(self, limit):
        """The row and column of a limit by its name; a ceiling of ours gets
        the row that names its element."""
        found = LIMIT.match(limit)
        column = ("min", "max", "fixed").index(found["end"])
        if found["name"] in self.shelf:
            return self.shelf[found["name"]], column, found
        if found["name"] not in self.target:
            self.target[found["name"]] = ["", "", ""]
        return self.target[found["name"]], column + 1, found

    def move(self, limit, value):
        row, column, found = self.place(limit)
        if found["added"]:
            value = float(value) + self.water.get(found["name"], 0)
            value = f"{value:.10g}"
        row[column] = value


class Advice(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = folder.name
        self.tally = {}

    def count(self, kind):
        self.tally[kind] = self.tally.get(kind, 0) + 1

    def again(self, seed, edit, *options):
        """The same files with one edit, run again.  Every run writes its own,
        as each stands in the place of the one before."""
        files = Files(seed, self.folder)
        purified = edit(files)
        return run_json("formulate", *files.arguments(purified), *options)

    def unedited(self, seed, *options):
        return self.again(seed, lambda _: None, *options)

    def resolves(self, seed, kind, edit):
        report = self.again(seed, edit)
        self.count(kind)
        self.assertEqual(report["outcome"], "optimal", (seed, kind))
        self.assertNotIn("conflict", report, (seed, kind))

    def obey_conflict(self, seed, conflict):
        """What the screen says, in its digits."""
        moved = [(limit["limit"].partition(" (")[0], re.fullmatch(
                     r"(?:raise|lower) it to (\S+)( \S+)?",
                     limit["change"])[1], key)
                 for key in ("members", "least")
                 for limit in conflict[key] if "change" in limit]
        for limit, value, key in moved:
            if key == "members":
                self.resolves(seed, "one limit moved",
                              lambda f, l=limit, v=value: f.move(l, v))
        for product in conflict["products"][:3]:
            self.resolves(seed, "a product bought",
                          lambda f, p=product["product"]: f.shelf.update(
                              {p: ["", "", ""]}))
        if "purified_share" in conflict:
            share = outward(100.0 * conflict["purified_share"])
            self.resolves(seed, "purified water", lambda _: share)
        together = [m for m in moved if m[2] == "least"]
        if together:
            self.resolves(seed, "limits moved together",
                          lambda f: [f.move(l, v) for l, v, _ in together]
                          and None)

    def obey_additions(self, seed, why, before):
        for addition in why["additions"][:3]:
            after = self.again(seed, lambda f, p=addition["product"]:
                               f.shelf.update({p: ["", "", ""]}))
            self.count("a product bought for the fit")
            self.assertAlmostEqual(after["certificate"]["objective"],
                                   addition["objective"],
                                   delta=1e-6 * before + 1e-9,
                                   msg=(seed, addition))

    def obey_limits(self, seed, report, before):
        """The step told, solved again here, gains what it is said to.  So does
        a first one at the price, and no more: a missed pH apart, and but for
        the end of a pH, by which the distance from its target is measured too,
        so that the same pH counts less.  With a limit on a pH in effect the
        price is at the activities of the recipe, which move with it."""
        missed = any(m.get("verdict", "met") != "met"
                     for m in report.get("measures", ()))
        limits = report["why"]["limits"]
        has_ph = any(limit["limit"].startswith("pH") for limit in limits)
        for limit in limits if not missed else ():
            step = .001 * (limit["bound"] or 1)
            step *= -1 if limit["price"] > 0 else 1
            if limit["limit"].startswith("cost") or "(our " in limit["limit"]:
                continue
            after = self.again(seed, lambda f, at=limit, s=step: f.move(
                at["limit"], f"{at['bound'] + s:.12g}"))
            if "moved_by" in limit:
                self.count("a step tried")
                told = self.again(seed, lambda f, at=limit: f.move(
                    at["limit"], f"{at['bound'] + at['moved_by']:.12g}"))
                self.assertAlmostEqual(
                    told["certificate"]["objective"],
                    before * (1 - limit["takes_off_share"]),
                    delta=1e-6 * before, msg=(seed, limit))
            gain = before - after["certificate"]["objective"]
            promised = abs(limit["price"] * step)
            self.count("a limit moved for the fit")
            more = limit["limit"].startswith("pH") and gain > promised
            self.assertLess(0 if more else abs(gain - promised),
                            (.5 if has_ph else .1) * promised +
                            1e-8 * before + 1e-10,
                            (seed, limit, gain, promised))

    def obey_products(self, seed, why, report):
        for product in why["products"]:
            name = product["product"]
            after = self.again(seed, lambda f, p=name: f.shelf.pop(p) and None)
            self.count("a product left out")
            if "objective_without" not in product:
                self.assertTrue(after["outcome"] == "conflict" or
                                "conflict" in after or
                                "limit-gave-way" in str(after["notes"]),
                                (seed, product))
                continue
            self.assertAlmostEqual(after["certificate"]["objective"],
                                   product["objective_without"],
                                   delta=SHOWN * product["objective_without"] + 1e-9,
                                   msg=(seed, product))
            if product["can_be_left_out"]:
                self.count("of these, to spare")
                self.check_spare(seed, report, after)

    def check_spare(self, seed, report, after):
        for was, now in zip(report["components"], after["components"]):
            if "target_mg_per_l" in was:
                apart = abs(was["finished_mg_per_l"] - now["finished_mg_per_l"])
                self.assertLessEqual(
                    apart, 1.01 * SPARE * was["finished_mg_per_l"] + 1e-9,
                    (seed, was["component"]))

    def obey_trade(self, seed):
        """With the products of a point alone the misfit is the point's."""
        shelf = set(Files(seed, self.folder).shelf)
        report = self.unedited(seed, "--trade-off", "products")
        for point in report["trade_off"]["by_products"]:
            used = set(point["g_per_l"])
            self.assertLessEqual(used, shelf, (seed, point))
            if not used:  # an empty shelf is none
                continue
            after = self.again(seed, lambda f, u=used: [
                f.shelf.pop(p) for p in set(f.shelf) - u] and None)
            self.count("fewer products")
            self.assertAlmostEqual(after["certificate"]["objective"],
                                   point["objective"],
                                   delta=1e-6 * point["objective"] + 1e-9,
                                   msg=(seed, point))

    def obey(self, seed):
        report = self.unedited(seed, "--why")
        if "conflict" in report:
            self.obey_conflict(seed, report["conflict"])
        elif "why" in report:
            before = report["certificate"]["objective"]
            self.obey_additions(seed, report["why"], before)
            self.obey_limits(seed, report, before)
            self.obey_products(seed, report["why"], report)
        if seed % 4 == 0 and "conflict" not in report:
            self.obey_trade(seed)

    def test_a_trade_off_is_of_the_shelf_on_which_nothing_was_bought(self):
        self.obey(436)  # whose last advice is to buy a product
        self.assertEqual(set(self.tally), {"a product bought for the fit",
                                           "fewer products"})

    def test_all_advice_does_what_it_promises(self):
        seed = FIRST
        while sum(self.tally.values()) < PIECES:
            self.obey(seed)
            seed += 1
        print(f"{seed - FIRST} problems:",
              ", ".join(f"{n} {kind}" for kind, n in self.tally.items()))
        self.assertGreater(len(self.tally), 3)


if __name__ == "__main__":
    unittest.main()
