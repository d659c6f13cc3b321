# SPDX-License-Identifier: GPL-3.0-or-later
"""CSV as RFC 4180 has it, and harmless to a spreadsheet."""
import csv
import io
import unittest

from runner import BASIL, PLAIN, WELL, run, run_json, written


def rows(text):
    return list(csv.reader(io.StringIO(text, newline=""), strict=True))


class Csv(unittest.TestCase):
    def table(self, *arguments):
        done = run(*arguments, "--format", "csv", text=False)
        self.assertLessEqual(done.returncode, 1, done.stderr)
        return done.stdout.decode("utf-8")

    def test_every_line_has_five_cells_and_ends_in_crlf(self):
        for arguments in (["formulate", *BASIL], ["audit", *WELL],
                          ["catalogue"],
                          ["check", *BASIL, "--recipe",
                           "examples/recipe.csv"]):
            text = self.table(*arguments)
            self.assertEqual(text.count("\n"), text.count("\r\n"))
            self.assertTrue(text.endswith("\r\n"))
            table = rows(text)
            self.assertEqual(table[0], ["section", "name", "quantity",
                                        "value", "unit"])
            self.assertEqual({len(row) for row in table}, {5})

    def test_compare_puts_the_water_first(self):
        table = rows(self.table("compare", "--water", "examples/waters.csv",
                                *BASIL[2:]))
        self.assertEqual(table[0], ["water", "section", "name", "quantity",
                                    "value", "unit"])
        self.assertEqual({row[0] for row in table[1:]},
                         {"", "well", "town", "purified"})

    def test_a_batch_has_a_line_for_each_water(self):
        text = self.table("batch", "--water", "examples/waters.csv",
                          "--water", "examples/well.csv", *BASIL[2:])
        table = rows(text)
        self.assertEqual(text.count("\n"), text.count("\r\n"))
        self.assertEqual([row[0] for row in table],
                         ["sample", "well", "town", "purified", "well"])
        self.assertEqual({len(row) for row in table}, {len(table[0])})
        masses = {name[:-6]: float(value) for name, value
                  in zip(table[0], table[1]) if name.endswith(" [g/L]")}
        report = run_json("formulate", "--water", "examples/waters.csv:well",
                          *BASIL[2:])
        for item in report["recipe"]:
            self.assertAlmostEqual(masses[item["product"]] /
                                   item["g_per_l"], 1.0, places=6)

    def test_a_conflict_in_a_batch_leaves_its_cells_empty(self):
        target = "parameter,target,min,max\nCa,,,50\nMg,5,,\n"
        with written(target) as file:
            table = rows(self.table("batch", "--water", "examples/waters.csv",
                                    "--target", file.name, *BASIL[4:]))
        self.assertEqual(table[1][:2], ["well", "conflict"])
        told = dict(zip(table[0][2:], table[1][2:]))
        self.assertIn("no recipe keeps: Ca max 50", told.pop("reason"))
        self.assertEqual(told.pop("purified_share"), "0.8")
        self.assertEqual(set(told.values()), {""})
        self.assertEqual({len(row) for row in table}, {len(table[0])})

    def test_it_tells_what_json_tells(self):
        table = rows(self.table("formulate", *BASIL))
        report = run_json("formulate", *BASIL)
        masses = {row[1]: float(row[3]) for row in table
                  if row[0] == "recipe" and row[2] == "g_per_l"}
        self.assertEqual(set(masses),
                         {item["product"] for item in report["recipe"]})
        for item in report["recipe"]:
            self.assertAlmostEqual(masses[item["product"]] /
                                   item["g_per_l"], 1.0, places=8)

    def test_no_text_can_run_as_a_formula(self):
        # The wide signs are those of East Asian text, U+FF0B and so on.
        pairs = [(before + formula, f"{before}'{formula}")
                 for before in ("", "x;", "x|", "y; ")
                 for formula in map('{}HYPERLINK("x")'.format,
                                    "=+-@\uff0b\uff0d\uff1d\uff20")]
        quoted = ['"%s"' % name.replace('"', '""') for name, _ in pairs]
        with written("product,label\n" + "".join(
                f"{name},Ca 20\n" for name in quoted)) as shelf, written(
                "product,amount,unit\n" + "".join(
                    f"{name},1,mg/L\n" for name in quoted)) as recipe:
            table = rows(self.table("check", *PLAIN, "--shelf", shelf.name,
                                    "--recipe", recipe.name))
        names = {row[1] for row in table if row[0] == "recipe"}
        self.assertEqual(names, {safe for _, safe in pairs})

    def test_negative_numbers_stay_numbers(self):
        table = rows(self.table("formulate", *BASIL))
        residuals = [row[3] for row in table if row[2] == "residual_mg_per_l"]
        self.assertTrue(any(value.startswith("-") for value in residuals))
        for value in residuals:
            float(value)

    def test_commas_and_quotes_stay_in_their_cell(self):
        name = 'Salt, "fine"'
        with written('product,label\n"%s",Ca 20\n'
                     % name.replace('"', '""')) as shelf:
            table = rows(self.table("formulate", *PLAIN, "--shelf",
                                    shelf.name))
        self.assertIn(name, {row[1] for row in table})


if __name__ == "__main__":
    unittest.main()
