# SPDX-License-Identifier: GPL-3.0-or-later
"""Charts by the places of their marks: what stands at a place is read back with
the scale that the chart shows, and held against the numbers of the JSON."""
import math
import os
import re
import tempfile
import unittest
import xml.etree.ElementTree

from runner import BASIL, SOURCE, run, run_json

SVG = "{http://www.w3.org/2000/svg}"
# Places are written to a tenth.
TENTH = 0.051


class Chart:
    """The marks of a chart by kind, in the order they are drawn."""

    def __init__(self, option, *arguments):
        with tempfile.TemporaryDirectory() as folder:
            path = os.path.join(folder, "chart.svg")
            run(*arguments, option, path)
            root = xml.etree.ElementTree.parse(path).getroot()
        self.box = [float(n) for n in root.get("viewBox").split()]
        marks = [(node.tag.replace(SVG, ""), dict(node.items()), node.text)
                 for node in root.iter()]
        number = lambda found, *names: tuple(float(found[n]) for n in names)
        self.lines = [(number(a, "x1", "y1", "x2", "y2"), a)
                      for tag, a, _ in marks if tag == "line"]
        self.texts = [(*number(a, "x", "y"), a["text-anchor"], text)
                      for tag, a, text in marks if tag == "text"]
        self.rects = [(*number(a, "x", "y", "width", "height"), a)
                      for tag, a, _ in marks if tag == "rect" and "x" in a]
        self.dots = [number(a, "cx", "cy") for tag, a, _ in marks
                     if tag == "circle"]


def scale_of(ticks):
    """Value to place, of (place, value) at the ticks."""
    (first, low), (last, high) = ticks[0], ticks[-1]
    return lambda value: first + (value - low) * (last - first) / (high - low)


class Curve(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        given = ["formulate", *BASIL, "--trade-off", "cost"]
        cls.points = [(p["cost_per_m3"], p["objective"])
                      for p in run_json(*given)["trade_off"]["by_cost"]]
        cls.chart = Chart("--curve", *given)
        base = max(line[1] for line, _ in cls.chart.lines)
        cls.across = [(x, float(text)) for x, y, anchor, text in
                      cls.chart.texts if anchor == "middle" and y > base]
        cls.up = [(y - 4, float(text)) for x, y, anchor, text in
                  cls.chart.texts if anchor == "end" and x < 58]

    def test_ticks_are_round_numbers_evenly_apart(self):
        for axis, ticks in enumerate((self.across, self.up)):
            values = [point[axis] for point in self.points]
            span = max(values) - (0 if axis else min(values))
            steps = [b[1] - a[1] for a, b in zip(ticks, ticks[1:])]
            place = scale_of(ticks)
            for at, value in ticks:
                self.assertAlmostEqual(place(value), at, delta=2 * TENTH)
            for step in steps:
                self.assertAlmostEqual(step, steps[0], places=9)
            digit = steps[0] / 10 ** math.floor(math.log10(steps[0]) + 1e-9)
            self.assertIn(round(digit, 6), (1, 2, 5))
            finer = {1: 0.5, 2: 0.5, 5: 0.4}[round(digit)] * steps[0]
            self.assertLess(finer, span / 4) # else there were more of them
            self.assertGreaterEqual(steps[0], span / 4 - 1e-9)

    def test_the_scale_holds_the_curve_and_little_more(self):
        for axis, ticks in enumerate((self.across, self.up)):
            values = [point[axis] for point in self.points]
            step = ticks[1][1] - ticks[0][1]
            self.assertLessEqual(ticks[0][1], min(values) + 1e-9)
            self.assertGreaterEqual(ticks[-1][1], max(values) - 1e-9)
            self.assertLess(ticks[-1][1] - max(values), step)
            if axis == 0:
                self.assertLess(min(values) - ticks[0][1], step)
            else:
                self.assertEqual(ticks[0][1], 0) # a distance begins at none

    def test_marks_stand_where_their_ticks_are(self):
        ends = [line for line, _ in self.chart.lines]
        for x, _ in self.across:
            self.assertTrue(any(line[0] == line[2] == x for line in ends), x)
        for y, _ in self.up:
            self.assertTrue(any(line[1] == line[3] == y for line in ends), y)

    def test_the_curve_goes_through_its_points(self):
        x, y = scale_of(self.across), scale_of(self.up)
        wanted = [(x(cost), y(distance)) for cost, distance in self.points]
        pieces = [line for line, a in self.chart.lines
                  if a["stroke-width"] == "2.0"]
        self.assertEqual(len(pieces), len(wanted) - 1)
        for piece, begin, end in zip(pieces, wanted, wanted[1:]):
            for at, value in zip(piece, (*begin, *end)):
                self.assertAlmostEqual(at, value, delta=4 * TENTH)
        for dot, point in zip(self.chart.dots, (wanted[0], wanted[-1])):
            for at, value in zip(dot, point):
                self.assertAlmostEqual(at, value, delta=4 * TENTH)
        self.assertEqual(len(self.chart.dots), 2) # of many points, the ends

    def test_all_is_inside_its_box(self):
        _, _, width, height = self.chart.box
        for line, _ in self.chart.lines:
            self.assertTrue(0 <= min(line[::2]) and max(line[::2]) <= width)
            self.assertTrue(0 <= min(line[1::2]) and max(line[1::2]) <= height)

    def test_the_same_curve_in_characters(self):
        text = run("formulate", *BASIL, "--trade-off", "cost").stdout
        rows = re.findall(r"^.{9} \|(.*)$", text, re.M)
        self.assertEqual(len(rows), 12)
        marks = {(line, column) for line, row in enumerate(rows)
                 for column, mark in enumerate(row) if mark == "o"}
        low, high = self.across[0][1], self.across[-1][1]
        top = self.up[-1][1]
        place = lambda point: (
            round((1 - point[1] / top) * 11),
            round((point[0] - low) / (high - low) * 59))
        self.assertEqual(marks, {place(self.points[0]),
                                 place(self.points[-1])})


class Bars(unittest.TestCase):
    """A bar of what the crop gets to each target, all in one place."""

    @classmethod
    def setUpClass(cls):
        given = ["formulate", *BASIL]
        cls.rows = [row for row in run_json(*given)["components"]
                    if "verdict" in row]
        cls.chart = Chart("--sheet", *given)
        cls.names = [(y, text) for x, y, anchor, text in cls.chart.texts
                     if anchor == "end" and x < 52]

    def bar(self, name):
        """Its accepted range and its pieces, from the left on."""
        y = next(y for y, text in self.names if text == name)
        rects = [r for r in self.chart.rects if r[1] <= y <= r[1] + r[3]]
        ranges = [r for r in rects if r[4].get("class") == "range"]
        return ranges[0], sorted(r for r in rects if r not in ranges)

    def test_pieces_range_and_target_share_a_scale(self):
        tried = 0
        for row in self.rows:
            if "target_mg_per_l" not in row:
                continue
            tried += 1
            wide, pieces = self.bar(row["component"])
            zero = pieces[0][0]
            low, high = row["low_mg_per_l"], row["high_mg_per_l"]
            unit = (wide[0] + wide[2] - zero) / high
            place = lambda value: zero + value * unit
            self.assertAlmostEqual(wide[0], place(low), delta=2 * TENTH,
                                   msg=row["component"])
            end = pieces[-1][0] + pieces[-1][2]
            self.assertAlmostEqual(end, place(row["counted_mg_per_l"]),
                                   delta=4 * TENTH, msg=row["component"])
            at = zero
            for piece in pieces: # one after another, no gap
                self.assertAlmostEqual(piece[0], at, delta=2 * TENTH)
                at = piece[0] + piece[2]
            brought = [p["mg_per_l"] for p in row["products"]]
            brought.append(row["water_counted_mg_per_l"])
            for width in brought:
                if width * unit > 1:
                    self.assertTrue(any(
                        abs(p[2] - width * unit) < 0.02 * width * unit + TENTH
                        for p in pieces), (row["component"], width))
        self.assertGreater(tried, 9)

    def test_iron_of_the_water_is_one_figure_in_chart_and_table(self):
        """3 of the water, which no chelator holds, and 2 of the target's."""
        with open(os.path.join(SOURCE, "examples/well.csv"),
                  encoding="utf-8") as file:
            well = file.read().replace("Fe,0.03", "Fe,3")
        with tempfile.TemporaryDirectory() as folder:
            water = os.path.join(folder, "well.csv")
            sheet = os.path.join(folder, "sheet.html")
            with open(water, "w", encoding="utf-8") as file:
                file.write(well)
            text = run("formulate", "--water", water, *BASIL[2:],
                       "--sheet", sheet).stdout
            with open(sheet, encoding="utf-8") as file:
                page = file.read()
        self.assertIn("Fe: counted 2.00, of it water 0.00", page)
        for where in text, page:
            self.assertRegex(where, r"of it 2\.00\s+counts\s+toward")
            self.assertNotIn("of it 143 counts", where)
        self.assertRegex(text, r"Fe +3\.00 +2\.00 +5\.00 ")

    def test_what_it_holds_of_what_is_asked_stands_beside_a_bar(self):
        end = max(x + width for x, _, width, _, _ in self.chart.rects)
        for row in self.rows:
            if "target_mg_per_l" not in row:
                continue
            y = next(y for y, text in self.names if text == row["component"])
            held, of, asked = next(
                text for x, at, anchor, text in self.chart.texts
                if at == y and anchor == "start" and x >= end - 1).split()[:3]
            self.assertAlmostEqual(float(held) / row["counted_mg_per_l"], 1,
                                   delta=0.01)
            self.assertEqual(of, "of")
            self.assertAlmostEqual(float(asked) / row["target_mg_per_l"], 1,
                                   delta=0.01)

    def test_a_trace_off_its_target_stands_beside_the_others(self):
        given = ["recipes", "--water", "examples/waters.csv", *BASIL[2:]]
        rows = run_json(*given)["contents"]
        with tempfile.TemporaryDirectory() as folder:
            path = os.path.join(folder, "page.html")
            run(*given, "--sheet", path)
            with open(path, encoding="utf-8") as file:
                shown = set(re.findall(r"([A-Z][A-Za-z0-9-]*), % off: ",
                                       file.read()))
        off, traces = set(), 0
        for row in rows:
            asked = row.get("target", math.nan)
            if any(abs(cell["finished"] / asked - 1) > .02
                   for cell in row["cells"]):
                off.add(row["component"])
                traces += asked < 1
        self.assertLessEqual(off, shown)
        self.assertGreater(traces, 0)
        self.assertEqual({row["component"] for row in rows if "target" in row},
                         {row["component"] for row in self.rows
                          if "target_mg_per_l" in row})

    def test_targets_stand_below_one_another(self):
        middles = []
        for row in self.rows:
            if "target_mg_per_l" in row:
                wide, _ = self.bar(row["component"])
                share = ((row["target_mg_per_l"] - row["low_mg_per_l"]) /
                         (row["high_mg_per_l"] - row["low_mg_per_l"]))
                middles.append(wide[0] + share * wide[2])
        for middle in middles:
            self.assertAlmostEqual(middle, middles[0], delta=2 * TENTH)


if __name__ == "__main__":
    unittest.main()
