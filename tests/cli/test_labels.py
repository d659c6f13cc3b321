# SPDX-License-Identifier: GPL-3.0-or-later
"""What a label leaves out, on every kind of output of every command."""
import os
import re
import tempfile
import unittest

from runner import run, run_json

WATER = ("parameter,value,unit\npH,7.2,\nalkalinity,40,mg/L CaCO3\n"
         "Ca,12,mg/L\nMg,2,mg/L\nNa,9,mg/L\nCl,14,mg/L\nSO4,9,mg/L\n"
         "NO3-N,0.5,mg/L\n")
HARD = WATER.replace("alkalinity,40", "alkalinity,200").replace(
    "Ca,12", "Ca,80").replace("Mg,2", "Mg,6")
TARGET = "parameter,target,min,max,unit\nN,150,,,mg/L\npH,5.8,5.5,6.3,\n"
BAG = "bag,NH4-N 3.5; urea-N 20.5; P2O5 8; K2O 16\n"
BASE = "base,NO3-N 4; P2O5 18; K2O 38; Mg 0.5; S 0.9\n"
ACID = "sulfuric acid 93 %,\n"


class Folder(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = folder.name
        self.common = ["--water", self.file("water.csv", WATER),
                       "--target", self.file("target.csv", TARGET)]

    def file(self, name, text):
        path = os.path.join(self.folder, name)
        with open(path, "w", encoding="utf-8") as file:
            file.write(text)
        return path

    def shelf(self, rows):
        return ["--shelf", self.file("shelf.csv", "product,label\n" + rows)]


class Open(Folder):
    """A bag that leaves an anion out: the pH has two ends."""

    def setUp(self):
        super().setUp()
        mix = self.common + self.shelf(BAG + ACID)
        self.runs = {
            "formulate": mix,
            "check": mix + ["--dose", "bag=0.63g/L", "--top-up"],
            "stock": mix + ["--tank", "50gal"],
            "compare": mix + ["--water", self.file("other.csv", WATER)],
            "batch": mix,
            "renew": mix + ["--solution", self.file("old.csv", WATER),
                            "--holds", "500L"],
        }

    def test_the_first_lines_of_the_text_say_so(self):
        for command, options in self.runs.items():
            text = " ".join(run(command, *options).stdout.split())
            at = text.find("The pH is not known")
            self.assertTrue(0 <= at < 1500, (command, text[:1500]))
            if command not in ("compare", "batch"):
                self.assertIn("Open: pH", text[:at], command)
            self.assertRegex(text[at:], r"\d\.\d to \d\.\d once it is poured as told")

    def test_csv_and_json_say_so(self):
        for command, options in self.runs.items():
            out = run(command, *options, "--format", "csv").stdout
            self.assertIn("The pH is not known", out, command)
            report = run_json(command, *options)
            for one in report.get("runs", [report]):
                u = one.get("finished", one)["undeclared"]
                ph = one.get("finished", one)["ph_mixed"]
                self.assertLess(u["ph_low"], ph - 0.2, command)
                self.assertGreater(u["ph_high"], ph + 0.2, command)
                self.assertGreater(u["anions_meq_per_l"], 2)

    def test_the_sheet_says_so_in_its_result(self):
        for command in ("formulate", "check", "stock"):
            path = os.path.join(self.folder, "sheet.html")
            done = run(command, *self.runs[command], "--sheet", path)
            self.assertLessEqual(done.returncode, 1, done.stderr)
            with open(path, encoding="utf-8") as file:
                head = file.read().split("</header>")[0]
            self.assertIn("The pH is not known", head, command)
            os.remove(path)

    def test_acid_is_not_sized_and_never_above_the_water(self):
        """0.8 meq/L of alkalinity; the bag's gap would be 3.0 more."""
        for command in ("formulate", "check", "stock"):
            report = run_json(command, *self.runs[command])
            acid = [p for p in report["recipe"] if "acid" in p["product"]][0]
            self.assertIs(acid["sized"], False, command)
            self.assertEqual(acid["g_per_l"], 0, command)
            self.assertEqual(report["finished"]["undeclared"]["until_ph_low"],
                             5.8)
            most = acid["most_g_per_l"] * 0.93 / 98.08 * 2000
            self.assertLess(most, 0.8)
            self.assertGreater(most, 0.3)
            ph = [m for m in report["measures"] if m["measure"] == "pH"][0]
            self.assertEqual(ph["verdict"], "open")
            self.assertFalse(report["all_met"])

    def test_one_recipe_for_several_waters_sizes_none_either(self):
        for form in "text", "csv", "json":
            out = " ".join(run("recipes", *self.runs["compare"], "--format",
                               form).stdout.split())
            for sample in "water", "other":
                self.assertRegex(out, sample + ": The pH is not known.*?acid "
                                 "93 % is not sized: in portions to a pH of")

    def test_how_to_pour_it_stands_with_the_recipe_and_the_steps(self):
        how = "in portions to a pH of 5.8, measuring after each: no more than"
        for command in ("formulate", "check"):
            path = os.path.join(self.folder, "sheet.html")
            done = run(command, *self.runs[command], "--sheet", path)
            text = " ".join(done.stdout.split())
            self.assertIn("not sized", text)
            if command == "formulate":
                self.assertRegex(done.stdout, r"\n +sulfuric acid.*by pH")
            self.assertGreaterEqual(text.count(how), 2, command)
            with open(path, encoding="utf-8") as file:
                steps = file.read().split("Mix in this order")[1]
            self.assertRegex(steps, "Pour (<bdi>)?sulfuric acid")
            self.assertNotIn("First mix a small batch", steps, command)
            os.remove(path)


class Poured(Folder):
    """Part of the acid is surely needed, the rest hangs on the label."""

    def setUp(self):
        super().setUp()
        target = self.file("target.csv", TARGET.replace("N,150", "P,18"))
        self.mix = ["--water", self.file("hard.csv", HARD), "--target",
                    target] + self.shelf(BASE + ACID)

    def page(self, command, *options):
        path = os.path.join(self.folder, "sheet.html")
        done = run(command, *self.mix, *options, "--sheet", path)
        with open(path, encoding="utf-8") as file:
            page = re.sub("<[^>]*>", "", file.read().split("<tfoot")[0])
        return " ".join((done.stdout + page).split())

    def amounts(self, text, pattern):
        found = set(re.findall(pattern, text))
        self.assertEqual(len(found), 1, (found, pattern))
        return found.pop()

    def test_what_is_not_sized_is_not_in_a_tank_either(self):
        report = run_json("stock", *self.mix, "--tank", "100L")
        told = {p["product"]: p.get("sized") for p in report["recipe"]}
        self.assertEqual(set(told.values()), {None, False})
        for item in report["stock"]["products"]:
            self.assertEqual(item.get("sized"), told[item["product"]], item)
            if "sized" in item:
                self.assertGreater(item["most_amount"], item["amount"])

    def test_a_bucket_is_told_what_goes_into_the_bucket(self):
        for volume, unit in (("20L", r"mL"), ("200gal", r"fl oz")):
            text = self.page("check", "--dose", "base=0.23g/L",
                             "--top-up", "--volume", volume)
            most = self.amounts(text, r"no more than ([\d.]+ " + unit +
                                r")[^:;]*? in all")
            sure = self.amounts(text, r"the ([\d.]+ " + unit +
                                r")(?: \([^)]*\))? surely needed included")
            self.assertRegex(text, re.escape(sure) +
                             r"(?: \([^)]*\))? first")
            self.assertRegex(text, re.escape(sure) + r"(?: \([^)]*\))? of "
                             r"step 3 included")
            self.assertLess(float(sure.split()[0]), float(most.split()[0]))
            self.assertNotRegex(text, r"surely needed per|per 1000 L in all")

    def test_without_a_vessel_it_is_told_per_1000_l(self):
        other = ["--water", self.file("other.csv", HARD)]
        for command in (["batch"], ["compare", *other], ["recipes", *other]):
            for form in "text", "csv", "json":
                text = " ".join(run(*command, *self.mix, "--format",
                                    form).stdout.split())
                self.assertRegex(text, r"no more than [\d.]+ mL per 1000 L in "
                                 r"all, the [\d.]+ mL per 1000 L surely")
                if form == "text":
                    self.assertNotRegex(text, r"no more than [\d.]+ mL in all")

    def test_several_waters_are_told_what_goes_into_the_bucket(self):
        other = ["--water", self.file("other.csv", HARD)]
        for command in "compare", "recipes":
            for amounts, unit in ("us", "fl oz"), ("metric", "mL"):
                done = run(command, *self.mix, *other, "--volume", "200gal",
                           "--amounts", amounts)
                text = " ".join(done.stdout.split())
                most = re.findall(r"no more than ([\d.]+) ([a-zA-Z ]+?)(?: in "
                                  r"all)", text)
                self.assertGreaterEqual(len(most), 2, command)
                for figure, of in most:
                    self.assertEqual(of, unit)
                    self.assertLessEqual(len(figure.replace(".", "")), 4)
                self.assertRegex(done.stdout, r"acid 93 %[^\n]* first")

    def test_data_has_the_digits_of_a_jug_and_the_volume(self):
        other = ["--water", self.file("other.csv", HARD)]
        for command in (["formulate"], ["compare", *other],
                        ["recipes", *other], ["stock", "--tank", "50gal"]):
            if command[0] != "stock":
                command += ["--volume", "200gal"]
            for form in "json", "csv", "ndjson":
                text = run(*command, *self.mix, "--format", form).stdout
                told = re.findall(r"(?:no more than|, the) ([\d.]+) m?L", text)
                self.assertTrue(told)
                for figure in told:
                    self.assertLessEqual(len(figure.replace(".", "").lstrip(
                        "0")), 4, text)
                if command[0] != "stock":
                    self.assertRegex(text, r"[\d.]+ m?L in all for 757 L")

    def test_what_reads_the_same_in_both_units_is_said_once(self):
        text = self.page("check", "--dose", "base=0.23g/L", "--top-up",
                         "--volume", "20gal", "--amounts", "both")
        self.assertRegex(text, r"no more than [\d.]+ mL")
        self.assertNotRegex(text, r"([\d.]+ mL) \(\1\)")

    def test_no_later_step_of_a_reservoir_lifts_the_most(self):
        report = run_json("check", *self.mix, "--dose", "base=0.23g/L",
                          "--top-up", "--volume", "20L")
        steps = [s["text"] for s in report["steps"]]
        cap = [i for i, s in enumerate(steps, 1) if "no more than" in s
               and s.startswith("Pour")]
        self.assertEqual(len(cap), 1)
        after = [s for s in steps[cap[0]:] if "easure" in s]
        self.assertEqual(len(after), 2)
        for step in after:
            self.assertIn("Adjust the pH with no more than is left of the "
                          f"most in step {cap[0]}.", step)
            self.assertNotIn("acid or base at a time", step)

    def test_tanks_are_told_what_more_goes_into_which(self):
        report = run_json("stock", *self.mix, "--tank", "200L")
        tank = [p for p in report["stock"]["products"]
                if "acid" in p["product"]][0]
        acid = [p for p in report["recipe"] if "acid" in p["product"]][0]
        self.assertIs(tank["sized"], False)
        self.assertAlmostEqual(
            tank["most_amount"] / tank["amount"],
            acid["most_g_per_l"] / acid["g_per_l"], delta=0.01)
        last = [s["text"] for s in report["steps"] if "not sized" in s["text"]]
        self.assertEqual(len(last), 1)
        self.assertIn("where there is room for it", last[0])
        self.assertRegex(self.page("stock", "--tank", "200L"),
                         r"is not sized: at the first feed [^:]*: [^:]*: "
                         r"[^:]* in all\. *(Hazards as in step \d+|"
                         r"Danger\. Causes severe skin burns)")
        self.assertRegex(last[0], "measure the pH behind the injectors, never "
                         "in a tank; while it is above 5.8, stir more into "
                         f"tank {tank['tank']} .*more in a full tank")
        for step in report["steps"]:
            self.assertNotIn("to a pH of", step["text"])
        text = self.page("stock", "--tank", "200L")
        self.assertRegex(text, r"acid 93 % [\d.]+ m?L \([\d.]+ k?g\) first")
        self.assertNotIn("1000 L surely", text)


class Unsaid(Folder):
    """The same without an acid to pour: no page tells one pH."""

    def test_every_page_gives_the_range_and_a_small_batch_comes_first(self):
        path = os.path.join(self.folder, "sheet.html")
        bag = self.common + self.shelf(BAG) + ["--dose", "bag=0.63g/L"]
        report = run_json("check", *bag)
        undeclared = report["finished"]["undeclared"]
        ends = f"{undeclared['ph_low']:.1f} to {undeclared['ph_high']:.1f}"
        brief = run("check", *bag, "--brief").stdout
        self.assertIn("pH as mixed  not known, " + ends, brief)
        full = run("check", *bag, "--how-sure", "--sheet", path).stdout
        self.assertRegex(full, "pH as mixed +not known, " + ends)
        self.assertRegex(full, r"pH +\d\.\d\d to \d\.\d\d .*open")
        self.assertIn("it is not known, " + ends, " ".join(full.split()))
        self.assertNotIn("Freshly mixed the pH is", full)
        with open(path, encoding="utf-8") as file:
            page = file.read().split("mixed by")[0]
        page = re.sub("<[^>]*>", "|", page)
        self.assertLess(page.index("The pH is not known"),
                        page.index("Mix in this order"))
        self.assertLess(page.index("First mix a small batch"),
                        page.index("about 75 %"))
        self.assertRegex(page, r"pH as mixed[|\s]+not known[|\s]+" + ends)
        steps = " ".join(s["text"] for s in report["steps"])
        self.assertIn(f"it may be {ends}, as labels leave out", steps)

    def test_no_reading_of_a_ph_within_its_ends_contradicts_it(self):
        bag = self.common + self.shelf(BAG) + ["--dose", "bag=0.63g/L"]
        finished = run_json("check", *bag)["finished"]
        for ph in 5.0, 6.4:
            meter = run_json("check", *bag, "--measured-ph", str(ph),
                             "--measured-ec",
                             str(finished["ec_ms_per_cm"]))["meter"]
            self.assertTrue(meter["as_meant"], ph)
            self.assertEqual(meter["ph_error"], 0.05)

    def test_what_labels_settle_needs_no_small_batch(self):
        report = run_json("check", *self.common, "--dose", "bag=0.1g/L",
                          *self.shelf("bag,NO3-N 13.7; K2O 46\n"))
        self.assertNotIn("ph_low", report["finished"].get("undeclared", {}))
        self.assertNotIn("small batch", str(report["steps"]))


PRINTED = """Invented Leaf
GUARANTEED ANALYSIS
Total Nitrogen (N)..............20%
     3.9% Ammoniacal Nitrogen
     6.0% Nitrate Nitrogen
     10.1% Urea Nitrogen
Available Phosphate (P2O5)....20%
Soluble Potash (K2O)...........20%
Iron (Fe)........................0.05%
     0.05% Chelated Iron (Fe)
"""
LIST = ("Derived from: monoammonium phosphate, potassium nitrate, urea,\n"
        "iron DTPA.\nPotential acidity: 583 lb calcium carbonate a ton\n")


class Printed(Folder):
    """A bag's own words, and doses as bags give them."""

    def dose(self, label, *doses, fails=0):
        path = self.file("leaf.txt", label)
        given = [part for dose in doses for part in ("--dose", dose)]
        options = [*self.common, "--label", path, *given]
        if fails:
            done = run("check", *options)
            self.assertEqual(done.returncode, fails, done.stdout)
            return " ".join(done.stderr.split())
        return run_json("check", *options)

    def test_the_list_settles_ph_and_chelator(self):
        open_ = self.dose(PRINTED, "leaf=1g/L")
        self.assertLess(open_["finished"]["undeclared"]["ph_low"], 4)
        settled = self.dose(PRINTED + LIST, "leaf=1g/L")
        self.assertNotIn("ph_low", settled["finished"].get("undeclared", {}))
        said = {report: {n["code"]: n["text"] for n in found["notes"]}
                for report, found in (("open", open_), ("settled", settled))}
        self.assertIn("taken as EDTA", said["open"]["label-chelator-open"])
        self.assertNotIn("label-chelator-open", said["settled"])
        self.assertIn("potassium nitrate 43", said["settled"]["label-derived"])
        self.assertIn("(EDTA, as assumed)", said["open"]["chelate-weak"])
        self.assertNotIn("EDTA", said["settled"].get("chelate-weak", ""))

    def test_a_figure_that_the_fit_overrules_is_said_and_leaves_the_ph_open(self):
        """2 % S would be less acid than the 2.9 % that the salts fit with."""
        part = ("Invented Part B 1-5-6\nGUARANTEED ANALYSIS\n"
                "Total Nitrogen (N)....1.0%\n     1.0% Nitrate Nitrogen\n"
                "Available Phosphate (P2O5)....5.0%\n"
                "Soluble Potash (K2O)....6.0%\nMagnesium (Mg)....1.5%\n"
                "Sulfur (S)....{}%\nDerived from: potassium nitrate, "
                "phosphoric acid, potassium sulfate, magnesium sulfate.\n")
        for printed, told in (("2", True), ("2.9", False)):
            report = self.dose(part.format(printed), "leaf=2g/L")
            said = [n["text"] for n in report["notes"]
                    if "prints S" in n["text"]]
            ends = report["finished"].get("undeclared", {})
            self.assertEqual(len(said), told, printed)
            self.assertEqual("ph_high" in ends and
                             ends["ph_high"] - ends["ph_low"] > 1, told)
            if told:
                self.assertRegex(said[0], r"prints S 2 %.*2\.8\d %.*\+4\d %")

    def test_what_is_refused_has_line_and_column(self):
        for label, words in (
                (PRINTED.replace("10.1% Urea", "15.1% Urea"),
                 "leaf.txt:3:1: error: the forms of N sum to 25 %"),
                (PRINTED.replace("     6.0% Nitrate Nitrogen\n", ""),
                 "leaf.txt:3:1: error: total N is 20 %, and 14 % of it"),
                (PRINTED.replace("Soluble Potash", "Soluble Potach"),
                 "leaf.txt:8:1: error: the name 'Potach (K2O)'")):
            self.assertIn(words, self.dose(label, "leaf=1g/L", fails=3))

    def test_doses_as_bags_give_them(self):
        """oz 28.3495 g, lb 453.592 g, gal 3.78541 L: NIST SP 811.  The salts
        that give 6.0 % nitrate-N bring 20.17 % K2O."""
        for dose, g_per_l in (("200ppm N", 1),
                              ("100 mg/L of K2O", 0.1 / 0.20174),
                              ("10oz/100gal", 0.74891), ("3 g/gal", 0.79252),
                              ("8 lb/1000gal", 0.95861)):
            report = self.dose(PRINTED + LIST, "leaf=" + dose)
            amount = [p for p in report["recipe"] if p["product"] == "leaf"]
            self.assertAlmostEqual(amount[0]["g_per_l"], g_per_l, 4, dose)
        for dose, words in (("1:128", "a powder is weighed"),
                            ("1.2 tsp/gal", "a powder is weighed"),
                            ("20ppm Ca", "brings no Ca"),
                            ("200ppm", "200 mg/L (of the product) or"),
                            ("200 PPM", "200 ppm N (of what it brings)")):
            self.assertIn(words, self.dose(PRINTED, "leaf=" + dose, fails=2))

    def test_a_label_by_volume_takes_the_density_of_the_shelf(self):
        """10 % w/v is 100 g/L: 1 mL/L brings 100 mg/L, whatever a litre
        weighs."""
        for density in "1.1", "1.25":
            shelf = self.file("s.csv", "product,label,density\n"
                              f"A,NO3-N 10 % w/v; Ca 14.3 % w/v,{density}\n")
            report = run_json("check", *self.common, "--shelf", shelf,
                              "--dose", "A=1mL/L")
            added = {c["component"]: c["added_mg_per_l"]
                     for c in report["components"]}
            self.assertAlmostEqual(added["NO3-N"], 100, 6)
            self.assertAlmostEqual(added["Ca"], 143, 6)

    def test_names_behind_bullets_keep_their_danger(self):
        label = (PRINTED + "Derived from:\n\n\u2022 Potassium nitrate\n"
                 "\u2022 Urea\n\u2022 Iron DTPA\n\u2022 Phosphoric acid\n"
                 "Keep dry\n")
        self.assertIn("derived from an acid",
                      self.dose(label, "leaf=1g/L", fails=3))
        label = label.replace("\u2022 Phosphoric acid\n",
                              "\u2022 Monoammonium phosphate\n")
        self.assertIn("monoammonium phosphate",
                      str(self.dose(label, "leaf=1g/L")["notes"]).lower())

    def test_liquids_are_diluted_and_two_parts_go_together(self):
        """1:128 is a fluid ounce a gallon."""
        shelf = self.file("s.csv", "product,label,density\n"
                          "A,NO3-N 4; Ca 5,1.2\nB,K2O 6; P2O5 3,1.25\n")
        amounts = []
        for doses in (["A=1:128", "B=1:256"], ["A=1fl oz/gal", "B=0.5fl oz/gal"],
                      ["A=best:2mL/L", "B=best:1mL/L"]):
            given = [part for dose in doses for part in ("--dose", dose)]
            report = run_json("check", *self.common, "--shelf", shelf, *given)
            amounts.append({p["product"]: p["g_per_l"]
                            for p in report["recipe"]})
        for product in "A", "B":
            self.assertAlmostEqual(amounts[0][product], amounts[1][product], 6)
        self.assertAlmostEqual(amounts[0]["A"], 1200 / 128, 6)
        self.assertAlmostEqual(amounts[2]["A"] / 1.2,
                               2 * amounts[2]["B"] / 1.25, 6)


class Asked(Folder):
    def refused(self, rows, *words):
        done = run("formulate", *self.common, *self.shelf(rows))
        self.assertEqual(done.returncode, 3, done.stdout)
        for word in words:
            self.assertIn(word, done.stderr)

    def test_what_could_mean_two_things_is_refused_with_both(self):
        self.refused("x,NO3-N 6; NH4-N 4; urea 10\n", "urea-N 10 ",
                     "urea-N 4.665")
        self.refused("x,NO3-N 0.144; NH4-N 0.011; Ca 0.19\n", "14.4",
                     "0.144 %")
        self.refused("x,P2O5 30\n", "K2O", "alkalinity 0", "H3PO4")

    def test_a_label_that_is_not_used_gets_no_word(self):
        idle = run("formulate", *self.common,
                   *self.shelf("nitrate,NO3-N 14.4; NH4-N 1.1; Ca 19\n"
                               "odd,K2O 30; MgO 4\n" + ACID))
        self.assertEqual(idle.stderr, "")
        self.assertNotIn("odd", idle.stdout.split("Recipe")[0])
        self.assertNotIn("label of odd", idle.stdout)


class Same(Folder):
    def test_a_rounded_nitrate_takes_no_acid(self):
        """By formula the feed stands at pH 3.9 with such acid in it."""
        target = self.file("t.csv", "parameter,target,min,max,unit\n"
                           "N,180,,,mg/L\nP,31,,,mg/L\nK,290,,,mg/L\n"
                           "Ca,150,,,mg/L\nMg,30,,,mg/L\npH,5.8,5.5,6.2,\n")
        soft = self.file("soft.csv", "parameter,value,unit\npH,6.3,\n"
                         "alkalinity,4,mg/L CaCO3\nCa,1,mg/L\n")
        rest = ("monopotassium phosphate,\nmagnesium sulfate heptahydrate,\n"
                "calcium ammonium nitrate double salt,\nnitric acid 60 %,\n")
        acid = {}
        for label in ("NO3-N 13; K2O 46", "NO3-N 14; K2O 46",
                      "NO3-N 13.7; K2O 46"):
            report = run_json("formulate", "--water", soft, "--target", target,
                              *self.shelf("nitrate," + label + "\n" + rest))
            acid[label] = sum(p["g_per_l"] for p in report["recipe"]
                              if "acid" in p["product"])
        self.assertEqual(set(acid.values()), {0})

    def test_tank_a_by_label_and_by_formula(self):
        """The catalogue's double salt of 14.4; 1.1; 19 made it pH 3.2."""
        found = []
        rest = ("potassium nitrate,\nmonopotassium phosphate,\n"
                "magnesium sulfate heptahydrate,\nnitric acid 60 %,\n"
                "iron DTPA 11 %,\n")
        target = self.file("t.csv", "parameter,target,min,max,unit\n"
                           "N,180,,,mg/L\nP,31,,,mg/L\nK,220,,,mg/L\n"
                           "Ca,150,,,mg/L\nMg,30,,,mg/L\nFe,2,,,mg/L\n")
        for row in ("calcium ammonium nitrate double salt,\n",
                    "can,5Ca(NO3)2·NH4NO3·10H2O\n"):
            head = "product,formula\n"
            shelf = self.file("s.csv", head + row + rest)
            report = run_json("stock", *self.common[:2], "--target", target,
                              "--shelf", shelf, "--tank", "100L",
                              "--third-tank")
            found += [t["ph"] for t in report["stock"]["tanks"]
                      if t["tank"] == "A"]
        self.assertEqual(len(found), 2)
        self.assertAlmostEqual(found[0], found[1], delta=0.3)


if __name__ == "__main__":
    unittest.main()
