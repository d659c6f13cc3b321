# SPDX-License-Identifier: GPL-3.0-or-later
"""The same facts in every format: each of the JSON is in the CSV, and each
number on the screen and on the sheet is in the JSON, by the digits it is shown
with."""
import bisect
import csv
import html.parser
import io
import json
import os
import re
import tempfile
import unittest

from runner import BASIL, WELL, run, some, written

PH = written("parameter,target\npH,5.8\n")
TANKS = written("""tank,product,amount,unit
A,calcium nitrate,12,kg
B,magnesium sulfate,5,kg
B,monopotassium phosphate,3,kg
""")

BATCH = ["batch", "--water", "examples/seasons.csv", *BASIL[2:]]
REPORTS = [["audit", *WELL], ["audit", *WELL, "--meter-temperature", "15C"],
           ["audit", "--water", "examples/town.csv"], ["catalogue"],
           ["catalogue", "nitric acid 38 %"], ["catalogue", "--targets"],
           ["catalogue", "--targets", "udagawa-strawberry"],
           ["recipes", "--water", "examples/waters.csv", *BASIL[2:]],
           ["compare", "--water", "examples/waters.csv", "--blend",
            *BASIL[2:]],
           ["formulate", "--water", "examples/town.csv", "--target",
            "examples/pepper-stages.csv", *BASIL[4:]],
           ["catalogue", "magnesium sulfate heptahydrate"],
           ["formulate", *BASIL], ["formulate", *BASIL, "--scale-step", "5g"],
           ["formulate", *BASIL, "--why", "--how-sure", "--trade-off", "cost"],
           ["formulate", *BASIL, "--trade-off", "products"],
           ["formulate", *BASIL, "--why", "--objective", "cheapest"],
           ["formulate", *WELL, "--target", "tests/cli/limits_in_conflict.csv",
            "--shelf", "examples/straights.csv"],
           ["stock", *BASIL, "--tank", "50gal", "--fills", "2"],
           ["stock", *BASIL, "--tank", "200L", "--factor", "2000"],
           ["check", "--water", "examples/town.csv", *BASIL[2:4], "--shelf",
            "examples/premix.csv", "--dose", "leaf premix=best"],
           ["formulate", *BASIL, "--measured-ec", "1.9", "--measured-ph", "5.2"],
           ["renew", "--solution", "examples/return.csv:late", "--holds", "600L",
            "--volume", "1000L", "--water", "examples/town.csv", *BASIL[2:]],
           ["audit", "--water", "examples/seasons.csv"],
           ["audit", "--solution", "examples/return.csv:late", *BASIL[2:4]],
           ["formulate", *WELL, "--target", PH.name],
           ["formulate", *WELL, "--target-of",
            "leaf premix=0.6g/L,calcium nitrate=0.7g/L", "--shelf",
            "examples/premix.csv"],
           ["check", *BASIL, "--recipe", "examples/recipe.csv", "--top-up"],
           ["check", *WELL, *BASIL[2:], "--stocks", TANKS.name,
            "--tank", "50gal", "--factor", "100"],
           BATCH]


def leaves(node, path=()):
    """(keys of blocks, key, value) of each fact in a JSON document."""
    if isinstance(node, dict):
        for key, value in node.items():
            if isinstance(value, (dict, list)):
                yield from leaves(value, path + (key,))
            else:
                yield ".".join(path), key, value
    else:
        for value in node:
            if isinstance(value, (dict, list)):
                yield from leaves(value, path)
            else:
                yield ".".join(path), "text", value


def numbers(node):
    """Every number of a JSON document, those inside its texts too."""
    for _, _, value in leaves(node):
        if isinstance(value, str):
            for word in re.findall(r"\d+(?:\.\d+)?", value):
                yield float(word)
        elif not isinstance(value, bool):
            yield float(value)


def spreads(runs):
    """(most - least) / most of each product's amount, as the screen has it."""
    for product in runs[0]["g_per_l"]:
        amounts = [run["g_per_l"].get(product, 0.0) for run in runs]
        if max(amounts) > 0:
            yield 1 - min(amounts) / max(amounts)


# What a unit is in g, mL or L; and what amounts are shown of beside their own
# volume: 1000 L, 100 L, 100 gal, what passes in the test of an injector, and 100 L of a tank of 50 gal.
UNITS = {"mg": [1e-3], "kg": [1e3], "oz": [28.349523125], "lb": [453.59237],
         "fl oz": [29.5735295625], "gal": [3.785411784, 3785.411784],
         "mL": [1.0], "L": [1.0, 1e3], "g": [1.0]}
VOLUMES = [1.0, 100.0, 1000.0, 378.5411784, 94.6352946, 0.528344]
NUMBER = re.compile(r"(?<![\w.-])(\d+(?:\.\d+)?)(?![\w.])(?: (fl oz|°F|[a-zA-Z]+))?")

# What 1000 L cost, and is said of 1000 gal too (NIST SP 811, 2008, B.8).
COST = r'"cost_per_m3": ([\d.e+]+)'
L_PER_GAL = 3.785411784

AXIS = re.compile(r" +\d\S* {4,}\S.*\S {4,}\d\S*$")  # below a chart of text


def slack_of(word):
    """How far what is printed may be from what it stands for."""
    decimals = len(word.partition(".")[2])
    whole = len(word.split(".")[0].lstrip("0").rstrip("0"))
    slack = 0.5 * 10.0 ** -decimals
    if not decimals and whole < len(word):
        slack *= 10.0 ** max(0, len(word) - max(whole, 3))
    return slack * 1.0001


def is_shown(word, unit, values):
    """Whether a number as it is printed is one of `values`, or 100 times one,
    or a tenth, which per cent and per mille are, or 1000 times one, which mg of
    g are; or one in the unit behind it, but for the three figures that either
    is rounded to."""
    shown, slack = float(word), slack_of(word)
    loose = slack + 0.005 * shown
    if unit == "°F":
        return has(values, (shown - 32) / 1.8, slack / 1.8)
    return any(has(values, shown / f, slack / f)
               for f in (1.0, 100.0, 0.1, 1000.0)) or \
        any(has(values, shown * size / volume, loose * size / volume)
            for size in UNITS.get(unit, []) for volume in VOLUMES)


def has(values, value, slack):
    """Whether one of the sorted values is so near."""
    at = bisect.bisect_left(values, value - slack)
    return at < len(values) and values[at] <= value + slack


class Shown(html.parser.HTMLParser):
    """The lines that a page shows, but for the axes of its charts."""

    UNREAD = ("style", "title", "svg")

    def __init__(self, page):
        super().__init__(convert_charrefs=True)
        self.lines, self.hidden = [], 0
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        self.hidden += tag in self.UNREAD

    def handle_endtag(self, tag):
        self.hidden -= tag in self.UNREAD

    def handle_data(self, data):
        if data.strip() and not self.hidden:
            self.lines.append(data)


class Tables(html.parser.HTMLParser):
    """Rows of the tables of a page that are not as wide as their head, and cells
    of those that fold on a phone that do not say their column's heading."""

    def __init__(self, page):
        super().__init__(convert_charrefs=True)
        self.wrong, self.table, self.rows, self.cells = [], {}, 0, []
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        attrs = dict(attrs)
        if tag == "table":
            self.table, self.heads, self.wide = attrs, [], None
        elif tag == "tr":
            self.cells, self.inside = [], False
        elif tag in ("td", "th"):
            self.cells.append((tag, attrs, []))
            self.inside = True

    def handle_data(self, data):
        if self.cells and self.inside:
            self.cells[-1][2].append(data)

    def handle_endtag(self, tag):
        if tag in ("td", "th"):
            self.inside = False
        if tag == "tr":
            self.take_row()

    @staticmethod
    def bare(words):
        """Without what parts a heading from its unit."""
        return re.sub(r"\W", "", words)

    def take_row(self):
        wide = sum(int(a.get("colspan", 1)) for _, a, _ in self.cells)
        words = ["".join(text).strip() for _, _, text in self.cells]
        if self.wide is None:
            self.wide, self.heads = wide, words
        elif wide != self.wide:
            self.wrong.append((self.wide, words))
        elif wide == len(words):
            self.rows += 1
            folds = "folds" in self.table.get("class", "").split()
            for (tag, attrs, _), head, text in zip(self.cells, self.heads, words):
                label = attrs.get("data-label", "")
                if label and (not folds or tag == "th" or
                              not self.bare(head).endswith(self.bare(label))):
                    self.wrong.append((label, head, text))
                elif folds and tag == "td" and head and text and not label:
                    self.wrong.append((head, text))


class Facts(unittest.TestCase):
    outputs = {}

    def output(self, report, *more):
        """What a run says, and the lines of the sheet that it writes."""
        key = (*report, *more)
        if key not in self.outputs:
            with tempfile.TemporaryDirectory() as folder:
                file = os.path.join(folder, "sheet.html")
                page = ["--sheet", file] if more and report[0] != "batch" else []
                done = run(*key, *page)
                self.assertLessEqual(done.returncode, 1, done.stderr)
                lines = []
                if page:
                    with open(file, encoding="utf-8") as sheet:
                        markup = sheet.read()
                    self.assertNotRegex(markup, r"<(div|section)[^>]*>\s*</")
                    tables = Tables(markup)
                    self.assertEqual(tables.wrong, [])
                    self.assertGreater(tables.rows, 0)
                    lines = Shown(markup).lines
                self.outputs[key] = done.stdout, lines
        return self.outputs[key]

    def test_the_table_has_each_fact_of_the_object(self):
        for report in some(REPORTS[:-1]):
            tree = json.loads(self.output(report, "--format", "json")[0])
            table = list(csv.reader(io.StringIO(
                self.output(report, "--format", "csv")[0]), strict=True))[1:]
            facts = {}
            for *run_name, section, name, key, value, _ in table:
                facts.setdefault(("run", "name"), set()).update(run_name)
                facts.setdefault((section, key), set()).add(value)
                facts.setdefault((section, "names"), set()).add(name)
                # a row without a value of its own is there by its cells
                facts.setdefault((section.rpartition(".")[0], "names"),
                                 set()).add(name)
            for section, key, value in leaves(tree):
                section = re.sub(r"^(runs|stages)(\.|$)", "",
                                 section) or "run"
                told = facts.get((section, key), set())
                named = " / ".join(facts.get((section, "names"), set()))
                with self.subTest(report=report, section=section, key=key):
                    if isinstance(value, str):
                        self.assertTrue(value in told or value in named or
                                        "'" + value in told, value)
                    elif isinstance(value, bool):
                        self.assertIn("yes" if value else "no", told)
                    else:
                        self.assertTrue(any(
                            abs(float(v) - value) <= 1e-9 * abs(value)
                            for v in told), value)

    def test_the_sheet_says_at_each_step_what_can_hurt(self):
        told = 0
        for report in some(REPORTS[:-1]):
            tree, sheet = self.output(report, "--format", "json")
            for step in json.loads(tree).get("steps", []):
                hazard = re.match(r"(Danger|Warning)\..*\(H\d+\w*\)",
                                  step.get("safety", ""))
                if not hazard or "product" not in step:
                    continue
                told += 1
                words = re.sub(r" \(H\d+\w*\)", "", hazard[0])
                with self.subTest(report=report, product=step["product"]):
                    self.assertTrue(any(line.startswith(words)
                                        for line in sheet), words)
        self.assertGreater(told, 5)

    def test_a_row_of_the_table_has_each_fact_of_a_line(self):
        runs = json.loads(self.output(BATCH, "--format", "json")[0])["runs"]
        table = list(csv.reader(io.StringIO(
            self.output(BATCH, "--format", "csv")[0]), strict=True))
        header = table.pop(0)
        self.assertEqual(len(runs), len(table))
        for line, row in zip(runs, table):
            told = {float(cell) for cell in row
                    if re.fullmatch(r"[-\d.e]+", cell)}
            for section, key, value in leaves(line):
                if section in ("safety", "notes"):  # once for all, beside it
                    continue
                with self.subTest(line=row[0], section=section, key=key):
                    if isinstance(value, str):
                        self.assertIn(value, " / ".join(
                            row + header))
                    elif isinstance(value, bool):
                        self.assertIn("yes" if value else "no", row)
                    else:
                        self.assertTrue(any(abs(v - value) <= 1e-9 * abs(value)
                                            for v in told), value)

    def test_the_object_has_each_number_of_screen_and_sheet(self):
        for report in some(REPORTS):
            tree, sheet = self.output(report, "--format", "json")
            # degC of every EC and of tanks, per cent of every range, and the
            # volume that rates are of
            values = sorted({abs(v) for v in numbers(json.loads(tree))} |
                            {25.0, 20.0, 5.0, 90.0, 1000.0})
            values = sorted([*values, *(float(cost) * L_PER_GAL for cost in
                                        re.findall(COST, tree))])
            if report is BATCH:
                values = sorted([*values, *spreads(json.loads(tree)["runs"])])
            for line in [*self.output(report)[0].splitlines(), *sheet]:
                if AXIS.match(line):
                    continue
                for word, unit in NUMBER.findall(line):
                    with self.subTest(report=report, line=line):
                        self.assertTrue(is_shown(word, unit, values), word)


if __name__ == "__main__":
    unittest.main()
