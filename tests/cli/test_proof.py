# SPDX-License-Identifier: GPL-3.0-or-later
"""What stands under Proof is exactly true of the recipe above it."""
import os
import re
import tempfile
import unittest

from runner import BASIL, WELL, run, run_json

ACID = "phosphoric acid 75 %"
# Rain, and nitrogen that leaves the solution too acid: a base serves.
WATER = "parameter,value,unit\npH,5.7,\nAlkalinity,4,ppm CaCO3\n"
TARGET = ("parameter,target,min,max,unit\nN,100,,,mg/L\nP,30,,,mg/L\n"
          "K,150,,,mg/L\npH,6.5,6.2,6.8,\n")
HEAD = "product,min,fixed,unit\n"
REST = "".join(
    f"{name},,,g/L\n" for name in
    ("potassium nitrate", "monopotassium phosphate", "nitric acid 60 %",
     "potassium bicarbonate"))


class Exact(unittest.TestCase):
    def files(self, **texts):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        paths = []
        for kind, text in texts.items():
            path = os.path.join(folder.name, kind + ".csv")
            with open(path, "w", encoding="utf-8") as out:
                out.write(text)
            paths += ["--" + kind, path]
        return paths

    def basil(self, old, new):
        with open("examples/basil.csv", encoding="utf-8") as source:
            text = source.read()
        self.assertIn(old, text)
        return text.replace(old, new)

    def said(self, *arguments):
        """What is printed under Proof, on one line."""
        text = run("formulate", *arguments).stdout
        return " ".join(text.split("\nProof\n", 1)[1].split())

    def shelf(self, least="", fixed=""):
        files = self.files(water=WATER, target=TARGET,
                           shelf=f"{HEAD}{ACID},{least},{fixed},g/L\n{REST}")
        proof = run_json("formulate", *files)["proof"]
        return self.said(*files), *(
            [row["product"] for row in proof[key]]
            for key in ("left_out", "held_at_min"))

    def test_what_the_shelf_fixes_is_not_said_to_be_left_out(self):
        said, left, least = self.shelf(fixed="0.03")
        self.assertIn("nitric acid 60 %", left)
        self.assertNotIn(ACID, left + least)
        self.assertNotIn(ACID + ".", said.split("limits in effect")[0])

    def test_of_the_worst_deviation_it_says_how_large_it_is(self):
        asked = [*BASIL, "--objective", "even"]
        worst = run_json("formulate", *asked)["certificate"]["objective"]
        self.assertIn("has a smaller worst deviation: %.4g of the target"
                      % worst, self.said(*asked))

    def test_a_limit_kept_by_feeding_more_than_asked_for_is_named(self):
        with open("examples/well.csv", encoding="utf-8") as source:
            well = source.read()
        asked = list(BASIL)
        asked[asked.index("--water") + 1] = self.files(
            water=well.replace("NH4-N,<0.05", "NH4-N,16"))[1]
        said = " ".join(run("formulate", *asked).stdout.split())
        self.assertRegex(said, r"Over: N 1\d\d of at most 165 mg/L.*Kept only "
                         r"by giving more or less of nutrients than the target "
                         r"asks for: NH4-N:N max 0\.1 \(")
        self.assertNotIn("Kept only by", run("formulate", *BASIL).stdout)

    def test_of_a_least_amount_no_more_is_said_to_serve(self):
        said, left, least = self.shelf(least="0.03")
        self.assertEqual((left, least), (["nitric acid 60 %"], [ACID]))
        self.assertIn("No more than its min was to serve (acid and base never "
                      "serve together", said)

    def test_without_either_it_is_left_out(self):
        said, left, least = self.shelf()
        self.assertEqual((sorted(left), least),
                         (["nitric acid 60 %", ACID], []))
        self.assertNotIn("than its min", said)

    def test_the_scale_of_a_ph_is_said_to_be_of_the_solution_asked_for(self):
        self.assertIn("counts 0.1 at the end of its accepted range in the "
                      "solution that the target asks for", self.said(*BASIL))

    def test_the_ionic_strength_is_that_where_the_ph_is(self):
        aired = self.files(target=self.basil("\npH,", "\npH aired,"))
        shelf = ["--shelf", "examples/straights.csv"]
        for target, is_aired in ((BASIL[2:4], False), (aired, True)):
            result = run_json("formulate", *WELL, *target, *shelf)
            mixed = result["finished"]["ionic_strength_mol_per_kg"]
            proof = result["proof"]["ionic_strength_mol_per_kg"]
            if is_aired:  # solved apart, with the chelate's ion: 2e-5 more
                self.assertAlmostEqual(mixed, 0.02210, delta=4e-5)
                self.assertAlmostEqual(proof, 0.02199, delta=4e-5)
            else:
                self.assertAlmostEqual(proof, mixed, 9)

    def test_what_gave_way_is_said_of_what_was_to_move_it(self):
        with open("examples/straights.csv", encoding="utf-8") as source:
            shelf = "".join(line for line in source if "acid" not in line
                            or "boric" in line)
        said = self.said(*BASIL[:4], *self.files(shelf=shelf))
        self.assertIn("gave way, as little as acids, bases and the mix of "
                      "waters allow within the others: pH max 6.2", said)

    def test_what_is_as_close_is_not_said_to_be_less_close(self):
        files = self.files(
            water="parameter,value,unit\npH,6,\nalkalinity,0,meq/L\n",
            target="parameter,target,weight,unit\nK,200,,mg/L\nMg,45,0,mg/L\n",
            shelf="product\npotassium nitrate\nmagnesium nitrate "
                  "hexahydrate\n")
        said = " ".join(run("formulate", *files).stdout.split())
        self.assertIn("--keep-ranges gives a recipe that meets all 2 and is as "
                      "close as a whole.", said)
        self.assertNotIn("less close", said)

    def test_what_steps_alone_miss_is_not_laid_to_the_ranges(self):
        packs = ["--volume", "350m3", "--scale-step", "100g", "--fine-step",
                 "10g", "--whole-packs"]
        said = run("formulate", *WELL, *BASIL[2:], *packs).stdout
        self.assertIn("15 of 16 targets are met", " ".join(said.split()))
        self.assertNotIn("--keep-ranges", said)

    def test_sums_of_free_and_of_given_shares_are_not_compared(self):
        waters = WELL + ["--water", "examples/town.csv", *BASIL[2:]]
        free = "with the carbon of the waters in equal shares: the sum compares"
        self.assertIn(free, self.said(*waters))
        self.assertNotIn(free, self.said(*waters, "--share", "30,70"))

    def test_what_is_left_of_rounding_is_zero(self):
        result = run_json("formulate", *WELL, *BASIL[2:])
        left = [row["residual_mg_per_l"] for row in result["components"]
                if "residual_mg_per_l" in row]
        self.assertIn(0, left)
        self.assertEqual([], [by for by in left if 0 < abs(by) < 1e-9])


class InRange(unittest.TestCase):
    """The closest may miss what another recipe meets, and says so."""
    WATER = ("Ca=%dmg/L,Mg=27mg/L,Na=19.95mg/L,K=2.4mg/L,NO3-N=4.07mg/L,"
             "Cl=31mg/L,S=0mg/L,pH=6.2,alkalinity=%dmg/L CaCO3")
    SAID = re.compile(r"--keep-ranges gives a recipe that meets all (\d+), "
                      r"though less close as a whole: (distance|worst "
                      r"deviation) (\S+), not ([^ ,]+)(, before amounts are "
                      r"whole steps)?\. ")

    def found(self, ca, alkalinity, *more):
        """What is said of another recipe; of this one how many targets it
        misses, and its distance."""
        given = ["--water", self.WATER % (ca, alkalinity), *BASIL[2:], *more]
        result = run_json("formulate", *given)
        rows = [row for block in ("components", "measures")
                for row in result[block] if row.get("verdict")]
        missed = sum(row["verdict"] != "met" for row in rows)
        verdict = " ".join(result["verdict"]) + " "
        said = self.SAID.search(verdict)
        self.assertEqual(bool(said), "--keep-ranges" in verdict)
        return said, len(rows), missed, result.get("fewest", {}).get(
            "deviations", result["certificate"]["objective"])

    def test_it_is_said_exactly_where_it_gives_all_met(self):
        seen = set()
        for water in ((104, 290), (104, 310), (104, 420), (124, 345),
                      (124, 360)):
            for more in ([], ["--objective", "even"]):
                said, rows, missed, is_now = self.found(*water, *more)
                none, _, left, would = self.found(*water, *more,
                                                  "--keep-ranges")
                seen.add((missed > 0, bool(said)))
                with self.subTest(water, more=more):
                    self.assertIsNone(none)
                    self.assertEqual(bool(said), missed > 0 and left == 0)
                    if not said:
                        continue
                    self.assertEqual(int(said[1]), rows)
                    self.assertEqual(said[3], f"{would:.4g}")
                    self.assertEqual(said[4], f"{is_now:.4g}")
                    self.assertGreater(would, is_now)
        self.assertEqual(seen, {(True, True), (True, False), (False, False)})

    def test_of_whole_steps_it_is_said_to_be_before_them(self):
        steps = ["--scale-step", "1g", "--fine-step", "10mg"]
        self.assertTrue(self.found(104, 310, *steps)[0][5])
        self.assertFalse(self.found(104, 310)[0][5])


if __name__ == "__main__":
    unittest.main()
