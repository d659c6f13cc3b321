# SPDX-License-Identifier: GPL-3.0-or-later
"""Invented cases, any of them, through every writer and back.

What must hold of each: JSON by its schema, rows of CSV of one width, sheets
with no tag left open, no control character on a screen; a printed recipe that
`check` finds to be what it was; the same feed whatever the order of rows and
the units they are in; twice the amounts for twice the volume.

SW_CASES=N tries N of them (4), the same ones each time."""
import csv
import io
import json
import os
import random
import tempfile
import unittest

from jsonschema import Draft202012Validator

from runner import SOURCE, balanced, run
from test_sheet import Tags

# Usual mg/L of a water and of a feed.
USUAL = {"NO3-N": (4, 150), "NH4-N": (0.2, 8), "P": (0.1, 40), "K": (4, 200),
         "Ca": (80, 150), "Mg": (12, 40), "S": (20, 60), "Cl": (40, None),
         "Na": (30, None), "Fe": (0.05, 2), "Mn": (0.02, 0.5), "B": (0.05, 0.3),
         "Zn": (0.02, 0.3), "Cu": (0.01, 0.06), "Mo": (0.001, 0.05)}
SHELF = ["calcium nitrate 15.5-0-0", "potassium nitrate", "Epsom salt",
         "monopotassium phosphate", "potassium sulfate", "ammonium nitrate",
         "monoammonium phosphate", "magnesium nitrate hexahydrate",
         "nitric acid 38 %", "phosphoric acid 75 %", "potassium bicarbonate",
         "iron DTPA 11 %", "manganese sulfate monohydrate", "boric acid",
         "zinc sulfate heptahydrate", "copper sulfate pentahydrate",
         "sodium molybdate dihydrate", "calcium chloride dihydrate"]
CASES = int(os.environ.get("SW_CASES", "4"))


class Case:
    """One client's files, as rows; `write` puts them into a folder."""

    def __init__(self, seed):
        dice = random.Random(seed)
        spread = lambda usual: usual * 2 ** dice.uniform(-2, 1.5)
        self.water = [(name, spread(usual[0])) for name, usual in USUAL.items()
                      if name in ("Ca", "Mg", "Na", "Cl", "S", "NO3-N") or
                      dice.random() < 0.6]
        self.alkalinity = spread(2)
        self.water = list(balanced(dict(self.water), self.alkalinity).items())
        self.ph = dice.uniform(6.3, 8.2)
        self.target = [(name, usual[1] * 2 ** dice.uniform(-0.7, 0.5))
                       for name, usual in USUAL.items()
                       if usual[1] and dice.random() < 0.8]
        self.limits = [name for name, _ in self.target if dice.random() < 0.15]
        self.aims = dice.choice([[], ["pH,5.8,,\n"], ["pH,,5.5,6.5\n"]])
        self.shelf = [name for name in SHELF if dice.random() < 0.85]
        self.objective = dice.choice(["closest", "closest", "even"])
        self.volume_l = dice.choice([1, 50, 1000, 30000])

    def write(self, folder, turned=False, unit="mg/L"):
        """The options that name the files."""
        size = {"mg/L": 1, "ug/L": 1000}[unit]
        order = reversed if turned else list
        water = "parameter,value,unit\n" + "".join(
            f"{name},{value * size:.12g},{unit}\n"
            for name, value in order(self.water)) + (
            f"alkalinity,{self.alkalinity:.12g},meq/L\npH,{self.ph:.4f},\n")
        rows = [f"{name},{value * size:.12g},,"
                f"{1.05 * value * size if name in self.limits else ''},{unit}\n"
                for name, value in self.target]
        rows += [aim.replace("\n", ",\n") for aim in self.aims]
        target = "parameter,target,min,max,unit\n" + "".join(order(rows))
        shelf = "product\n" + "".join(f"{n}\n" for n in order(self.shelf))
        options = []
        for name, text in (("water", water), ("target", target),
                           ("shelf", shelf)):
            path = os.path.join(folder, f"{name}.csv")
            with open(path, "w", encoding="utf-8") as file:
                file.write(text)
            options += [f"--{name}", path]
        return options


def finished(report):
    return {row["component"]: row["finished_mg_per_l"]
            for row in report["components"]}


class AnyCase(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        with open(os.path.join(SOURCE, "reference/saltwright.schema.json"),
                  encoding="utf-8") as file:
            cls.schema = Draft202012Validator(json.load(file))

    def report(self, command, *given, volume_l):
        done = run(command, *given, "--volume", f"{volume_l}L", "--format",
                   "json")
        self.assertIn(done.returncode, (0, 1), done.stderr)
        report = json.loads(done.stdout)
        self.assertEqual([e.message for e in self.schema.iter_errors(report)],
                         [])
        return report

    def same_feed(self, one, other, places=2e-6):
        self.assertEqual(one["outcome"], other["outcome"])
        before, after = finished(one), finished(other)
        for name, value in before.items():
            self.assertAlmostEqual(value, after[name],
                                   delta=places * (1e-3 + abs(value)), msg=name)

    def write_all(self, folder, given, volume_l):
        sheet = os.path.join(folder, "sheet.html")
        volume = ["--volume", f"{volume_l}L"]
        screen = run("formulate", *given, *volume, "--sheet", sheet)
        self.assertIn(screen.returncode, (0, 1), screen.stderr)
        for character in screen.stdout:
            self.assertTrue(character == "\n" or character.isprintable())
        with open(sheet, encoding="utf-8") as file:
            self.assertEqual(Tags(file.read()).open, [])
        rows = list(csv.reader(io.StringIO(
            run("formulate", *given, *volume, "--format", "csv").stdout)))
        self.assertEqual(len({len(row) for row in rows}), 1)

    def check_back(self, folder, case, given, report):
        recipe = os.path.join(folder, "recipe.csv")
        with open(recipe, "w", encoding="utf-8") as file:
            file.write("product,amount,unit\n" + "".join(
                f"{r['product']},{r['g_per_l']:.12g},g/L\n"
                for r in report["recipe"]))
        checked = self.report("check", *given, "--recipe", recipe,
                              volume_l=case.volume_l)
        for name, value in finished(report).items():
            self.assertAlmostEqual(value, finished(checked)[name],
                                   delta=1e-6 * (1e-3 + abs(value)), msg=name)

    def one(self, seed):
        case = Case(seed)
        with tempfile.TemporaryDirectory() as folder:
            given = [*case.write(folder), "--objective", case.objective]
            plain = self.report("formulate", *given, volume_l=case.volume_l)
            self.write_all(folder, given, case.volume_l)
            twice = self.report("formulate", *given, volume_l=2 * case.volume_l)
            if plain["outcome"] == "optimal":
                self.check_back(folder, case, given, plain)
            for other in dict(turned=True), dict(unit="ug/L"):
                case.write(folder, **other)
                self.same_feed(plain, self.report("formulate", *given,
                                                  volume_l=case.volume_l))
        self.same_feed(plain, twice)
        for before, after in zip(plain.get("recipe", []),
                                 twice.get("recipe", [])):
            self.assertEqual(before["product"], after["product"])
            self.assertAlmostEqual(before["g_per_l"], after["g_per_l"])

    def test_any_case_keeps_its_promises(self):
        for seed in range(1, CASES + 1):
            with self.subTest(seed=seed):
                self.one(seed)


if __name__ == "__main__":
    unittest.main()
