# SPDX-License-Identifier: GPL-3.0-or-later
"""Names from outside on every screen, table, document, sheet and chart: markup,
quotes, formulas, marks that turn the direction of writing, and great length
change nothing but themselves."""
import csv
import io
import json
import os
import re
import shutil
import tempfile
import unittest
import xml.etree.ElementTree

from runner import SOURCE, columns, run
from test_sheet import Tags, sheet

# A name may have 120 bytes.
NAMES = ["</bdi><script>alert(1)</script><svg onload=x>",
         "=cmd()|'/C calc'!A0",
         "\"'&amp;<b>]]>--><!--",
         "\u202eevil\u2066 \u200bname\u00ad",
         "+1%s%n{{x}}\\",
         "@" + "\u6c34\u6eb6\u6027\u80a5\u6599" * 7,
         "-" + "W" * 118]
FORMULA = re.compile(r"^[=+\-@\t\r]")
NUMBER = re.compile(r"^[-+]?\d[\d.]*(e[-+]\d+)?$")
# A file may be called anything without a slash, up to 255 bytes.
ESCAPE = "\033[2J\n\u202e"
FILES = ESCAPE + "<b>'\"&" + "\u6c34" * 60


def plain_names(count):
    return [f"plain {i}" for i in range(count)]


class Set:
    """The files of a run, all their names from one list."""

    def __init__(self, folder, names, files):
        self.folder, self.names = folder, names
        self.shelf = self.copy(
            "straights.csv", files + "shelf.csv",
            ["calcium nitrate", "potassium nitrate",
             "monopotassium phosphate", "potassium sulfate",
             "magnesium sulfate", "nitric acid 38 %", "iron chelate"])
        self.waters = self.copy("waters.csv", files + "waters.csv",
                                ["well", "town", "purified"])
        self.stages = self.copy(
            "pepper-stages.csv", files + "stages.csv",
            ["young plants", "flowering", "full harvest"])
        self.target = self.copy("basil.csv", files + "target.csv", [])
        self.returned = self.copy("return.csv", files + "return.csv",
                                  ["late"])
        self.recipe = self.copy(
            "recipe.csv", files + "recipe.csv",
            ["calcium nitrate", "potassium nitrate",
             "monopotassium phosphate", "potassium sulfate",
             "magnesium sulfate", "nitric acid 38 %", "iron chelate"])
        self.stocks = os.path.join(folder, files + "stocks.csv")
        with open(self.stocks, "w", encoding="utf-8", newline="") as stream:
            table = csv.writer(stream)
            table.writerow(["tank", "product", "amount", "unit"])
            for tank, product, kg in (("A", 0, 6), ("A", 6, 0.2), ("B", 2, 2),
                                      ("B", 4, 4)):
                table.writerow([tank, names[product], kg, "kg"])

    def copy(self, example, name, replaced):
        path = os.path.join(self.folder, name)
        with open(os.path.join(SOURCE, "examples", example),
                  encoding="utf-8-sig") as stream:
            lines = [line for line in stream if not line.startswith("#")]
        mark = ";" if lines[0].count(";") > lines[0].count(",") else ","
        table = list(csv.reader(lines, delimiter=mark))
        new = dict(zip(replaced, self.names))
        with open(path, "w", encoding="utf-8", newline="") as stream:
            csv.writer(stream, delimiter=mark).writerows(
                [[new.get(cell, cell) for cell in row] for row in table])
        return path

    def water(self, index):
        return ["--water", f"{self.waters}:{self.names[index]}"]

    def common(self):
        return ["--target", self.target, "--shelf", self.shelf]

    def runs(self):
        """Name -> arguments of a run; those with a sheet end in *."""
        one = [*self.water(0), *self.common()]
        tank = ["--tank", "50gal", "--fills", "3"]
        return {
            "formulate *": ["formulate", *one, "--volume", "400gal"],
            "why": ["formulate", *one, "--why"],
            "trade cost": ["formulate", *one, "--trade-off", "cost"],
            "steps *": ["formulate", *one, "--volume", "20L", "--scale-step",
                        "1g", "--search-time", "1"],
            "blend *": ["formulate", *self.water(0), *self.water(2),
                        *self.common()],
            "conflict": ["formulate", *one[:2], "--target", self.stages,
                         "--shelf", self.shelf, "--stage", self.names[1],
                         "--objective", "cheapest"],
            "stages *": ["formulate", *self.water(1), "--target", self.stages,
                         "--shelf", self.shelf],
            "stock *": ["stock", *one, *tank, "--third-tank"],
            "check *": ["check", *one, "--recipe", self.recipe],
            "meter *": ["check", *one, "--recipe", self.recipe,
                        "--measured-ec", "1.2mS/cm", "--measured-ph", "7"],
            "tanks *": ["check", *one, "--tank", "100L", "--stocks",
                        self.stocks],
            "sure": ["stock", *one, *tank, "--how-sure"],
            "renew": ["renew", "--solution",
                      f"{self.returned}:{self.names[0]}", "--holds", "900L",
                      "--volume", "1000L", *self.water(1), *self.common()],
            "audit": ["audit", *self.water(0)],
            "batch": ["batch", "--water", self.waters, *self.common()],
            "compare *": ["compare", "--water", self.waters, "--blend",
                          *self.common()]}


class Hostile(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.mkdtemp()
        cls.set = Set(cls.folder, NAMES, FILES)
        cls.plain = Set(cls.folder, plain_names(len(NAMES)), "plain-")

    @classmethod
    def tearDownClass(cls):
        shutil.rmtree(cls.folder)

    def printable(self, text):
        for c in text:
            self.assertTrue(c in "\n" or c.isprintable(), repr(c))

    def test_every_screen_shows_them_within_its_width(self):
        runs = self.set.runs()
        runs["trade products"] = [*runs["why"][:-1], "--trade-off",
                                  "products"]
        for name, arguments in runs.items():
            with self.subTest(name):
                done = run(*arguments)
                self.assertLessEqual(done.returncode, 1, done.stderr)
                self.printable(done.stdout + done.stderr)
                for line in done.stdout.split("\n"):
                    self.assertLessEqual(columns(line), 80, line)

    def test_every_document_holds_them_as_they_are(self):
        for name, arguments in self.set.runs().items():
            with self.subTest(name):
                done = run(*arguments, "--format", "json")
                self.assertLessEqual(done.returncode, 1, done.stderr)
                text = json.dumps(json.loads(done.stdout),
                                  ensure_ascii=False)
                self.assertTrue(any(json.dumps(n, ensure_ascii=False)[1:-1]
                                    in text for n in NAMES))

    def test_no_table_runs_them_as_formulas(self):
        for name, arguments in self.set.runs().items():
            with self.subTest(name):
                done = run(*arguments, "--format", "csv", text=False)
                self.assertLessEqual(done.returncode, 1, done.stderr)
                rows = list(csv.reader(
                    io.StringIO(done.stdout.decode("utf-8"), newline=""),
                    strict=True))
                self.assertEqual({len(row) for row in rows}, {len(rows[0])})
                for cell in (cell for row in rows for cell in row):
                    if FORMULA.match(cell):
                        self.assertRegex(cell, NUMBER)

    def test_no_sheet_has_other_tags_for_them(self):
        plain = self.plain.runs()
        for name, arguments in self.set.runs().items():
            if not name.endswith("*"):
                continue
            with self.subTest(name):
                done, text = sheet(*arguments, "--for", NAMES[0] + ESCAPE)
                self.assertIsNotNone(text, done.stderr)
                usual = sheet(*plain[name], "--for", "us")[1]
                self.assertEqual(sorted(Tags(text).tags),
                                 sorted(Tags(usual).tags))
                self.printable(text)

    def test_no_chart_has_other_elements_for_them(self):
        plain = self.plain.runs()
        for name in ("formulate *", "check *", "compare *"):
            with self.subTest(name):
                _, text = sheet(*self.set.runs()[name], suffix=".svg")
                usual = sheet(*plain[name], suffix=".svg")[1]
                self.assertEqual(self.elements(text), self.elements(usual))
                self.printable(text)

    def elements(self, text):
        root = xml.etree.ElementTree.fromstring(text)
        return sorted(element.tag for element in root.iter())

    def test_a_curve_has_no_other_elements_for_them(self):
        elements = []
        for files in (self.set, self.plain):
            curve = os.path.join(self.folder, "curve.svg")
            done = run(*files.runs()["trade cost"], "--curve", curve)
            self.assertEqual(done.returncode, 0, done.stderr)
            with open(curve, encoding="utf-8") as stream:
                text = stream.read()
            elements.append(self.elements(text))
            self.printable(text)
        self.assertEqual(*elements)

    def test_names_too_long_are_refused_by_their_line(self):
        long = os.path.join(self.folder, "long.csv")
        for file, run_ in ((self.set.shelf, "formulate *"),
                           (self.set.waters, "audit"),
                           (self.set.stages, "stages *")):
            with open(file, encoding="utf-8", newline="") as stream:
                text = stream.read()
            with open(long, "w", encoding="utf-8", newline="") as stream:
                stream.write(text.replace(NAMES[0], "\u6c34" * 500))
            done = run(*[a.replace(file, long)
                         for a in self.set.runs()[run_]])
            self.assertEqual((done.returncode, done.stdout), (3, ""))
            self.assertRegex(done.stderr, r"long\.csv:\d+:\d+: error")


if __name__ == "__main__":
    unittest.main()
