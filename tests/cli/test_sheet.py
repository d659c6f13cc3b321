# SPDX-License-Identifier: GPL-3.0-or-later
"""The mixing sheet as it is written.

    test_sheet.py --rewrite    writes examples/basil-sheet.html anew: read every
                               line of the difference before you commit it
"""
import difflib
import html.parser
import os
import re
import shutil
import subprocess
import sys
import tempfile
import unittest
import xml.etree.ElementTree

from runner import BASIL, ONE_IN, SOURCE, WELL, run, run_json, written

GOLDEN = os.path.join(SOURCE, "examples/basil-sheet.html")
STOCK = ["--tank", "50gal", "--factor", "100"]
FOR = ["--for", "The hill site (invented)"]
VOID = {"meta", "br", "input"}
SVG = "{http://www.w3.org/2000/svg}"


# A browser shows the same page whatever compiler wrote it.
browsed = unittest.skipIf(ONE_IN > 1, "where the command is fast")


class Tags(html.parser.HTMLParser):
    """The tags of a page in order, its texts, and what is left open."""

    def __init__(self, text):
        super().__init__(convert_charrefs=True)
        self.tags, self.open, self.texts, self.values = [], [], [], []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.values += [value for _, value in attrs]
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.tags.append(tag)

    def handle_endtag(self, tag):
        assert self.open and self.open.pop() == tag, tag

    def handle_data(self, data):
        self.texts.append(data)


def sheet(*arguments, suffix=".html"):
    """The run, and the text of the sheet or None."""
    with tempfile.TemporaryDirectory() as folder:
        file = os.path.join(folder, "sheet" + suffix)
        done = run(*arguments, "--sheet", file)
        left = os.listdir(folder)
        assert left in ([], ["sheet" + suffix]), left
        if not left:
            return done, None
        with open(file, encoding="utf-8") as stream:
            return done, stream.read()


def golden_sheet():
    return sheet("stock", *BASIL, *STOCK, *FOR)


class Sheet(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.done, cls.text = golden_sheet()
        cls.page = Tags(cls.text)

    def test_what_was_measured_is_judged_and_its_danger_said_first(self):
        _, text = sheet("formulate", *BASIL, "--measured-ec", "6",
                        "--measured-ph", "2")
        self.assertLess(text.index("The pH measured is 2.00, which harms"),
                        text.index("targets are met"))
        self.assertIn("<dt>EC measured</dt><dd>6.00 mS/cm</dd>", text)
        self.assertIn("No single mistake explains these readings", text)
        _, text = sheet("formulate", *BASIL, "--measured-ph", "5.8")
        self.assertIn("<dt>pH measured</dt><dd>5.80</dd>", text)
        self.assertIn("The readings fit the recipe.", text)
        self.assertNotIn("which harms", text)
        self.assertNotIn("pH measured", self.text)

    def test_the_sheet_of_the_example_is_as_before(self):
        with open(GOLDEN, encoding="utf-8") as stream:
            before = stream.read()
        self.assertEqual(list(difflib.unified_diff(
            before.splitlines(), self.text.splitlines(), lineterm="")), [])

    def test_whole_steps_say_which_recipe_is_proved(self):
        _, text = sheet("formulate", *BASIL, "--scale-step", "20g")
        self.assertIn("Of the amounts above: they are within 2 % of the recipe "
                      "before it, or a step of the scale",
                      text)
        self.assertIn("Of the recipe before rounding to the scale", text)
        self.assertNotIn("whole steps", self.text)

    def test_a_caution_is_in_full_or_by_its_step(self):
        shelf = ("product,tank\nnitric acid 60 %,B\nborax,B\nboric acid,B\n"
                 "potassium nitrate,B\nammonium nitrate,B\n"
                 "zinc sulfate heptahydrate,B\ncopper sulfate pentahydrate,B\n")
        target = ("parameter,target,min,max\nN,150,,\nK,100,,\nB,0.5,,\n"
                  "Zn,0.3,,\nCu,0.1,,\n"
                  "pH,5.8,5.5,6.2\n")
        with written(shelf) as products, written(target) as wanted:
            given = ["stock", *WELL, "--target", wanted.name, "--shelf",
                     products.name, "--tank", "200L"]
            _, text = sheet(*given)
            steps = run_json(*given)["steps"]
        items = re.findall(r'<span class="turn">(\d+)</span>.*?'
                           r'<div class="do">(.*?)</div>', text)
        self.assertEqual([int(n) for n, _ in items],
                         list(range(1, len(steps) + 1)))
        referring = 0
        for step, (_, item) in zip(steps, items):
            told = re.search(r'class="safety">(.*?)</em>', item)
            self.assertEqual(bool(told), "safety" in step)
            if not told:
                continue
            told = html.unescape(told.group(1))
            named = re.fullmatch(r"Hazards as in step (\d+)\.", told)
            if named:
                referring += 1
                other = steps[int(named.group(1)) - 1]
                self.assertEqual((other["safety"], other.get("tank")),
                                 (step["safety"], step.get("tank")))
            else: # all but the codes, and the gear, which stands above
                self.assertTrue(re.sub(r" \((EU)?H\w+\)", "", step["safety"])
                                .startswith(told.strip()), told)
        self.assertGreater(referring, 0)

    def test_a_renewed_tank_has_its_page(self):
        done, text = sheet("renew", "--solution", "examples/return.csv:late",
                           "--holds", "600L", "--volume", "1000L", "--water",
                           "examples/town.csv", *BASIL[2:])
        worker = text.split('<div class="client">')[0]
        self.assertEqual(done.returncode, 0, done.stderr)
        for words in ("Shut the flow to the crop", "Drain this much",
                      "Fill up with fresh water to about 75 %", "nitric acid"):
            self.assertIn(words, worker)

    def test_another_share_of_the_waters_is_another_recipe(self):
        codes = []
        for share in ("50,50", "40,60", "50,50"):
            _, text = sheet("check", "--water", "examples/town.csv", "--water",
                            "examples/well.csv", "--share", share, "--target",
                            "examples/basil.csv", "--shelf",
                            "examples/straights.csv", "--dose",
                            "potassium nitrate=0.4g/L")
            codes.append(re.search(r"recipe (\w{4}-\w{4})", text)[1])
        self.assertEqual(codes[0], codes[2])
        self.assertNotEqual(codes[0], codes[1])

    def test_page_1_tells_that_nobody_named_a_shelf(self):
        words = "common straights assumed: go by the strength on your label"
        for given, told in (("--target", True), ("--target-of", False)):
            done, text = sheet(
                "formulate", "--water",
                "Ca=40mg/L, alkalinity=150mg/L CaCO3, pH=7.4", given,
                "lettuce" if told else "Epsom salt=0.4g/L")
            self.assertLessEqual(done.returncode, 1, done.stderr)
            worker = text.split('<div class="client">')[0]
            self.assertEqual(words in worker, told, given)
            self.assertEqual("nitric acid 38 %" in worker, told, given)
        self.assertNotIn(words, self.text)

    def test_of_too_little_page_1_shows_what_goes_on_the_scale(self):
        _, text = sheet("formulate", *BASIL, "--volume", "1000L")
        steps = run_json("formulate", *BASIL, "--volume", "1000L")["steps"]
        step = next(s for s in steps if s.get("product") == "sodium molybdate")
        self.assertIn("dissolve 1.28 g in purified water to make 1 L",
                      step["text"])
        self.assertRegex(text, r"<b>1\.28 g</b> <b>for 0\.1274 g</b> </div>"
                         r'<div class="do"><strong>\w</strong> '
                         r"<strong>sodium molybdate in 1 L: pour in 99\.5 mL<")
        # 1.28 g/L of it in 99.5 mL is what the recipe has.
        self.assertAlmostEqual(1.28 * 0.0995, 0.1274, delta=5e-5)

    def test_of_however_little_page_1_shows_what_goes_on_the_scale(self):
        _, text = sheet("formulate", *BASIL, "--volume", "50L")
        steps = run_json("formulate", *BASIL, "--volume", "50L")["steps"]
        weighed = [(step["product"], float(found[1])) for step in steps
                   if (found := re.search(r"dissolve ([\d.]+) g in purified",
                                          step["text"]))]
        self.assertGreater(len(weighed), 3)
        self.assertLess(min(g for _, g in weighed), 1)
        for product, g in weighed:
            self.assertRegex(
                text, rf"<b>{g:.2f} g</b> <b>for [\d.]+ m?g</b> </div>"
                r'<div class="do"><strong>\w</strong> '
                rf"<strong>{product} in [\d.]+ L: pour in ")

    def test_a_crop_is_a_built_in_set_only_by_its_whole_name(self):
        with tempfile.TemporaryDirectory() as folder:
            own = shutil.copy(os.path.join(SOURCE, "examples/basil.csv"),
                              os.path.join(folder, "steiner own.csv"))
            for target, crop in ((own, "steiner own"),
                                 ("lettuce", "lettuce (Takatsuji 1997)")):
                _, text = sheet("formulate", *WELL, "--target", target,
                                *BASIL[-2:])
                self.assertIn(f"<dt>crop</dt><dd>{crop}</dd>", text)

    def test_page_1_opens_with_what_to_know_before_mixing(self):
        ca = "Ca=60mg/L, Mg=12mg/L, Na=15mg/L, Cl=20mg/L, SO4=60mg/L"
        hard = ("Ca=110mg/L, Mg=18mg/L, Na=25mg/L, Cl=30mg/L, SO4=40mg/L, "
                "alkalinity=300mg/L CaCO3, pH=7.5")
        _, text = sheet("formulate", "--water", hard, "--target",
                        "yamazaki-lettuce", *BASIL[4:])
        head = html.unescape(text.split("<h1>")[1].split("Wear ")[0])
        self.assertIn(" Over: Ca 110 of at most 44.1 mg/L, ", head)
        self.assertIn("sk who made the recipe", head)
        for more, words in (
                ("alkalinity=180mg/L CaCO3",
                 "Measure the water's pH before you mix"),
                ("pH=7.4", "Do not mix this yet: the water's alkalinity is "
                 "not known")):
            _, text = sheet("formulate", "--water", f"{ca}, {more}", "--target",
                            "examples/basil.csv", *BASIL[4:])
            head = html.unescape(text.split("<h1>")[1])
            self.assertTrue(head.startswith("Not a mixing sheet"))
            self.assertIn(words, head)
            self.assertNotIn("nitric acid", text)
        with written("product,amount,unit\npotassium nitrate,0.5,g/L\n") as own:
            done, text = sheet("check", "--water", ca + ", pH=7.4", "--target",
                               "examples/basil.csv", "--recipe", own.name,
                               *BASIL[4:])
        self.assertIn("Not a mixing sheet", text)
        self.assertNotIn("Calibrate the scale", text)
        self.assertNotIn("Recipe for", done.stdout)
        head = self.text.split("<h1>")[1].split("Wear ")[0]
        self.assertNotIn("who made the recipe", head)
        self.assertIn("Rises to about 7.6 on standing: measure again the next "
                      "day and lower it with diluted nitric acid 38 %, a little "
                      "at a time.", self.text)

    def test_page_1_tells_what_the_water_report_leaves_open(self):
        lacks = "The water report lacks something that was taken as 0"
        stop = "Do not mix this yet"
        ions = "Ca=30mg/L, Mg=5mg/L, Na=20mg/L, Cl=20mg/L, SO4=10mg/L, NO3=5mg/L"
        carbonate = ", pH=7.5, alkalinity=80mg/L CaCO3"
        ask = "sk who made the recipe"
        for water, words, other in (
                (ions + carbonate, "", ask),
                ("examples/town.csv", "", ask),
                (ions + carbonate + ", hardness=250mg/L CaCO3",
                 "contradicts itself on hardness", lacks),
                ("Ca=30mg/L, Mg=5mg/L" + carbonate, "", ask),
                ("EC=0.6mS/cm, hardness=250mg/L CaCO3" + carbonate,
                 stop + ": the EC reported", ask),
                (ions.replace("Cl=20", "Cl=400").replace("Na=20", "Na=260")
                 + carbonate, "brings much sodium or chloride", lacks),
                (ions + ", pH=7.5", stop, lacks),
                (ions, stop + ": the water's pH and alkalinity", lacks),
                ("EC=0.6mS/cm, hardness=250mg/L CaCO3",
                 stop + ": the water's pH and alkalinity", lacks),
                ("EC=0.02mS/cm", "", ask)):
            _, text = sheet("formulate", "--water", water, "--target",
                            "yamazaki-cucumber")
            head = html.unescape(text.split("<h1>")[1].split("Wear ")[0])
            self.assertIn(words, head, water)
            self.assertNotIn(other, head, water)

    @browsed
    def test_page_1_has_all_that_a_worker_needs(self):
        if not shutil.which("chromium") or not shutil.which("pdftotext"):
            self.skipTest("chromium or pdftotext is not installed: apt-get "
                          "install chromium poppler-utils")
        for size in ("A4", "Letter"):
            with tempfile.TemporaryDirectory() as folder:
                page, pdf = (os.path.join(folder, "sheet" + end)
                             for end in (".html", ".pdf"))
                with open(page, "w", encoding="utf-8") as stream:
                    stream.write(self.text.replace(
                        "@page { margin", f"@page {{ size: {size}; margin"))
                subprocess.run(
                    ["chromium", "--headless", "--no-sandbox", "--disable-gpu",
                     "--no-first-run", "--disable-sync",
                     "--disable-background-networking",
                     "--disable-component-update", "--no-pdf-header-footer",
                     "--user-data-dir=" + os.path.join(folder, "profile"),
                     "--print-to-pdf=" + pdf, "file://" + page],
                    capture_output=True, check=False, timeout=120)
                first = subprocess.run(
                    ["pdftotext", "-layout", "-l", "1", pdf, "-"],
                    capture_output=True, text=True, check=True).stdout
            for words in ("The hill site (invented)", "basil", "Wear goggles",
                          "nitric acid 38 %", "Danger", "pH as mixed",
                          "signature"):
                self.assertIn(words, first, size)
            self.assertNotIn("Result", first)

    def test_both_ranges_of_ec_are_told_apart(self):
        finished = run_json("stock", *BASIL, *STOCK)["finished"]
        self.assertIn("The range of EC on page 1 is that of the estimate, "
                      f"{finished['ec_low_ms_per_cm']:.2f} to "
                      f"{finished['ec_high_ms_per_cm']:.2f}, widened by",
                      self.text)

    def test_a_ph_that_leaves_its_band_in_the_air_is_said_at_once(self):
        ph = run_json("stock", *BASIL, *STOCK)["finished"]
        self.assertLess(ph["ph_mixed"], 6.2)
        self.assertGreater(ph["ph_aired"], 6.2)
        words = ("As CO2 escapes the pH rises from "
                 f"{ph['ph_mixed']:.1f} to about {ph['ph_aired']:.1f}, above "
                 "its limit of 6.2.")
        head = " ".join(self.done.stdout.split("water ")[0].split())
        self.assertRegex(head, r"targets are met\.( \d+ remarks?: see "
                         r"Notes\.)? " + re.escape(words) + "$")
        self.assertIn(words, self.text.split("<h2>What the crop gets")[0])
        with written("parameter,target,min,max\nN,100,,\npH,5.8,5.5,7.9\n") \
                as wide:
            done = run("formulate", *WELL, "--target", wide.name, "--shelf",
                       "examples/straights.csv")
        self.assertNotIn("In the air", done.stdout)

    def test_it_is_one_file_without_script_or_network(self):
        self.assertEqual(self.page.open, [])
        self.assertFalse({"script", "link", "img", "iframe", "a", "form",
                          "object"} & set(self.page.tags))
        for value in self.page.values:
            self.assertNotRegex(value or "", r"^(?!http://www\.w3\.org/2000/"
                                             r"svg$)\w+://")
        self.assertNotRegex(self.text, r"(?<!=\")https?:|@import|"
                                       r"url\((?!#)|\son\w+=")

    def test_what_was_printed_is_printed_all_the_same(self):
        self.assertEqual(self.done.returncode, 0, self.done.stderr)
        self.assertEqual(self.done.stdout,
                         run("stock", *BASIL, *STOCK).stdout)

    def test_every_weight_of_the_command_is_on_it(self):
        placed = run_json("stock", *BASIL, *STOCK)["stock"]["products"]
        table = self.done.stdout.split("tank  product ")[1].split("\n\n")[0]
        rows = re.findall(r"^  [AB]  +(\S.*?)  +(\d\S* (?:fl )?[a-zA-Z]+)",
                          table, re.M)
        self.assertEqual(len(rows), len(placed))
        for name, weight in rows:
            self.assertRegex(self.text, re.compile(
                rf"<b>{re.escape(weight)}</b>.{{0,120}}"
                rf"<strong>{re.escape(name)}</strong>"))

    def test_what_brings_half_of_the_last_digit_is_among_the_origins(self):
        # 18.6 % sulfur, told in tenths of mg/L; Epsom salt brings 60.5
        for sulfate, told in (0.25, []), (0.3, ["0.1"]):
            with written("product,amount,unit\nmagnesium sulfate,470,mg/L\n"
                         f"manganese sulfate,{sulfate},mg/L\n") as recipe:
                _, text = sheet("check", *BASIL, "--recipe", recipe.name)
            at, = re.findall(r"water 20.7, b 60.5(?:, a ([0-9.]+))?<", text)
            self.assertEqual([at] if at else [], told)

    def test_products_stand_in_the_order_of_mixing(self):
        steps = [s["product"] for s in run_json("stock", *BASIL, *STOCK)
                 ["steps"] if s["kind"] == "add"]
        shown = re.findall(r"<strong>([^<]{3,})</strong> ",
                           self.text)
        self.assertEqual(shown[:len(steps)], steps)
        self.assertLess(steps.index("nitric acid 38 %"),
                        steps.index("monopotassium phosphate"))

    def test_tanks_not_to_be_mixed_say_what_to_move(self):
        rows = ("tank,product,amount,unit\nA,calcium nitrate,10,kg\n"
                "A,monopotassium phosphate,2,kg\nB,potassium nitrate,1,kg\n")
        with written(rows) as stocks:
            _, text = sheet("check", "--water", "examples/town.csv", *BASIL[2:],
                            "--tank", "100L", "--stocks", stocks.name)
        self.assertIn(">STOP<", text)
        self.assertIn("Move monopotassium phosphate to tank B.", text)

    def test_each_chart_has_a_title_a_description_and_a_table(self):
        charts = re.findall(r"<svg.*?</svg>", self.text, re.S)
        self.assertEqual(len(charts), 2)
        for chart in charts:
            root = xml.etree.ElementTree.fromstring(chart)
            self.assertEqual(root.get("role"), "img")
            self.assertTrue(root.find(SVG + "title").text)
            self.assertGreater(len(root.find(SVG + "desc").text), 60)
        for label in "What the crop gets", "The source water":
            self.assertIn(f'aria-label="{label}"', self.text)

    def test_the_ions_of_the_well_add_up_to_its_charges(self):
        # Sums as examples/well.csv states them: 8.39 and 8.46 meq/L.
        for side, total in (("cations", 8.39), ("anions", 8.46)):
            row = re.search(rf'{side}</th><td class="number">'
                            r'([\d.]+)</td><td>(.*?)</td>',
                            self.text)
            parts = [float(x) for x in re.findall(r" (\d+\.\d+)",
                                                  row.group(2))]
            self.assertAlmostEqual(float(row.group(1)), total, delta=0.01)
            self.assertAlmostEqual(sum(parts), total, delta=0.03)

    def test_a_hostile_name_changes_nothing_but_itself(self):
        with open(os.path.join(SOURCE, "examples/straights.csv"),
                  encoding="utf-8") as stream:
            shelf = stream.read()
        # A name may have 120 bytes; the text of --for may be any.
        hostile = "=cmd</bdi><script>alert(1)</script>\u202e'& %s" + "<b>" * 20
        audience = hostile + "<b>" * 1350
        self.assertGreater(len(audience), 4096)
        with tempfile.NamedTemporaryFile("w", suffix=".csv",
                                         encoding="utf-8") as file:
            file.write(shelf.replace("\niron chelate,", f"\n{hostile},"))
            file.flush()
            done, text = sheet("stock", *BASIL[:-1], file.name, *STOCK,
                               "--for", audience)
            name = file.name
        self.assertEqual(done.returncode, 0, done.stderr)
        page = Tags(text)
        self.assertEqual(page.tags, self.page.tags)
        names = "".join(page.texts)
        for strange, usual in ((audience, FOR[1]), (hostile, "iron chelate"),
                               (name, "examples/straights.csv")):
            names = names.replace(strange.replace("\u202e", "<U+202E>"), usual)
        benign = "".join(self.page.texts)
        code = re.compile(r"[0-9A-F]{4}(?:-|\\2D )[0-9A-F]{4}")
        self.assertNotEqual(code.findall(names), code.findall(benign))
        self.assertEqual(code.sub("", names), code.sub("", benign))

    def test_it_is_valid_html(self):
        if not shutil.which("tidy"):
            self.skipTest("tidy is not installed: apt-get install tidy")
        done = subprocess.run(["tidy", "-q", "-e", "-utf8",
                               "--drop-empty-elements", "no", GOLDEN],
                              capture_output=True, text=True, check=False)
        self.assertEqual((done.returncode, done.stderr), (0, ""))

    @browsed
    def test_no_page_scrolls_sideways_on_a_phone(self):
        # The browser's least window is 500 px: a frame holds the page to 390.
        if not shutil.which("chromium"):
            self.skipTest("chromium is not installed: "
                          "apt-get install chromium")
        with tempfile.TemporaryDirectory() as folder:
            frame = os.path.join(folder, "frame.html")
            with open(frame, "w", encoding="utf-8") as stream:
                stream.write(
                    '<iframe width="390" height="844" src="file://' + GOLDEN
                    + '" onload="document.title = contentDocument.'
                    'documentElement.scrollWidth"></iframe>')
            done = subprocess.run(
                ["chromium", "--headless", "--no-sandbox", "--disable-gpu",
                 "--hide-scrollbars", "--disable-quic", "--no-first-run", "--disable-sync",
                 "--disable-background-networking",
                 "--disable-component-update", "--allow-file-access-from-files",
                 "--user-data-dir=" + os.path.join(folder, "profile"),
                 "--dump-dom", "file://" + frame],
                capture_output=True, text=True, check=False, timeout=120)
        self.assertIn("<title>390</title>", done.stdout)


class Chart(unittest.TestCase):
    def test_a_name_in_svg_gets_the_chart_alone(self):
        done, text = sheet("formulate", *BASIL, suffix=".svg")
        root = xml.etree.ElementTree.fromstring(text)
        self.assertEqual(root.tag, SVG + "svg")
        labels = [t.text for t in root.iter(SVG + "text")]
        for name in ("N", "P", "K", "Ca", "Mg", "Fe"):
            self.assertIn(name, labels)
        self.assertEqual(done.returncode, 0, done.stderr)

    def test_a_chart_says_in_words_what_is_not_met(self):
        done, text = sheet("check", *WELL, "--target", "examples/pepper.csv",
                           "--shelf", "examples/straights.csv", "--recipe",
                           "examples/recipe.csv", suffix=".svg")
        self.assertEqual(done.returncode, 1, done.stderr)
        self.assertRegex(text, r">[\d.]+ of [\d.]+ over</text>")


class Refusals(unittest.TestCase):
    def test_a_limit_that_the_water_is_over_is_said_on_the_sheet(self):
        with tempfile.NamedTemporaryFile("w", suffix=".csv") as file:
            file.write("parameter,target,min,max\nCa,,,50\nN,150,,\n")
            file.flush()
            done, text = sheet("formulate", *WELL, "--target", file.name,
                               "--shelf", "examples/straights.csv")
        self.assertEqual(done.returncode, 1)
        self.assertIn("water alone brings 104 mg/L", text)

    def test_stocks_that_do_not_stay_dissolved_get_what_is_known(self):
        done, text = sheet("stock", *BASIL, "--tank", "50gal", "--factor",
                           "2000")
        self.assertEqual(done.returncode, 1)
        self.assertIn("<h1>Not a mixing sheet</h1>", text)
        self.assertIn("No stock at factor 2000", text)
        self.assertIn("Lower the factor to", text)
        self.assertIn(">Recipe for ", text)
        for work in "Mix in this order", "signature", "What goes into each":
            self.assertNotIn(work, text)

    def test_limits_in_conflict_get_a_page_that_says_which(self):
        with written("parameter,target,min,max\nCa,,,20\nN,150,,\n") as low:
            done, text = sheet("formulate", *WELL, "--target", low.name,
                               "--shelf", "examples/straights.csv")
        self.assertEqual(done.returncode, 1)
        self.assertIn(">The limit that cannot be kept<", text)

    def test_tanks_in_which_something_comes_out_get_no_amounts(self):
        with tempfile.NamedTemporaryFile("w", suffix=".csv") as file:
            file.write("tank,product,amount,unit\nA,calcium nitrate,6,kg\n"
                       "A,monopotassium phosphate,2,kg\n")
            file.flush()
            done, text = sheet("check", *BASIL, "--tank", "100L", "--stocks",
                               file.name)
        self.assertEqual(done.returncode, 1)
        self.assertIn(">STOP<", text)
        self.assertNotIn(">Mix in this order", text)
        self.assertIn("These tanks must not be used. Tank A:", done.stdout)

    def test_a_name_that_says_no_format_is_refused(self):
        for words in (["--sheet", "sheet.pdf"], ["--sheet", ".html"],
                      ["--for", "me"],
                      ["--sheet", "a.html", "--output", "a.html"]):
            done = run("formulate", *BASIL, *words)
            self.assertEqual(done.returncode, 2, words)
            self.assertIn("--sheet", done.stderr)

    def test_a_place_that_cannot_be_written_is_said(self):
        for place, code, words in (("no/such/place.svg", 2, "no such folder"),
                                   ("/proc/place.svg", 4, "cannot write")):
            done = run("formulate", *BASIL, "--sheet", place)
            self.assertEqual((done.returncode, done.stdout), (code, ""))
            self.assertIn(words, done.stderr)


if __name__ == "__main__":
    if sys.argv[1:] == ["--rewrite"]:
        with open(GOLDEN, "w", encoding="utf-8") as golden:
            golden.write(golden_sheet()[1])
    else:
        unittest.main()
