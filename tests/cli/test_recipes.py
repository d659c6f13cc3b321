# SPDX-License-Identifier: GPL-3.0-or-later
"""How few recipes: what is said is obeyed, and said alike in every format."""
import re
import unittest

from runner import run, run_json, written
from test_screen import on_terminal
from test_sheet import Tags, sheet

COMMON = ["--target", "examples/basil.csv", "--shelf",
          "examples/straights.csv"]
SEASONS = ["recipes", "--water", "examples/seasons.csv", *COMMON]
WATERS = ["recipes", "--water", "examples/waters.csv", *COMMON]
# One recipe for these gives way, to where one sample is at a limit.
AT_LIMITS = ["recipes", "--water", "examples/waters.csv", "--target",
             "examples/pepper.csv", "--shelf", "examples/straights.csv",
             "--one-recipe"]


def poured(told, sample, recipe):
    """The recipe file of what a sample is told to get."""
    lines = ["product,amount,unit"]
    for row in told["salts"]:
        if row["recipe"] == recipe:
            lines.append(f'{row["product"]},{row["g_per_l"]!r},g/L')
    for row in told["own"]:
        if row["sample"] == sample:
            lines.append(f'{row["product"]},{row["g_per_l"]!r},g/L')
    return "\n".join(lines) + "\n"


class Recipes(unittest.TestCase):
    def test_a_water_that_is_not_to_be_mixed_keeps_none_from_the_others(self):
        rows = ["sample,pH,EC [uS/cm],Ca [mg/L],Mg [mg/L],Na [mg/L],K [mg/L],"
                "alkalinity [mg/L CaCO3],Cl [mg/L],SO4 [mg/L],NO3-N [mg/L]",
                "spring,7.3,788,104,27,21,2.4,300,31,62,4.07",
                "false,7.4,1800,104,27,21,2.4,300,31,62,4.07",
                "open,,700,90,24,21,2.4,260,31,62,4.07",
                "autumn,7.2,700,90,24,21,2.4,260,31,62,4.07"]
        for left in (["false"], ["open"], ["false", "open"]):
            kept = [row for row in rows
                    if row.split(",")[0] not in ("false", "open")]
            some = [row for row in rows if row in kept or
                    row.split(",")[0] in left]
            with written("\n".join(some) + "\n") as file, \
                    written("\n".join(kept) + "\n") as alone:
                told = run("recipes", "--water", file.name, *COMMON)
                data, same = (run_json("recipes", "--water", name, *COMMON)
                              for name in (file.name, alone.name))
            with self.subTest(left):
                self.assertEqual(told.returncode, 1)
                self.assertIn("Result\n  Left out until this is settled: " +
                              ", ".join(left) + ". ", told.stdout)
                self.assertEqual(data["salts"], same["salts"])
                self.assertEqual(data["own"], same["own"])
        with written(rows[0] + "\n" + rows[2] + "\n" +
                     rows[3] + "\n") as file:
            told = run("recipes", "--water", file.name, *COMMON)
        self.assertEqual(told.returncode, 1)
        self.assertIn("No recipe: settle that for false, open,", told.stdout)

    def test_a_ratio_that_a_water_alone_breaks_is_in_the_result(self):
        """Invented: a treated water, whose ammonium is above a tenth of N."""
        water = ("parameter,value,unit\npH,7.4,\nEC,900,uS/cm\nCa,70,mg/L\n"
                 "Mg,15,mg/L\nNa,35,mg/L\nK,20,mg/L\nNH4-N,25,mg/L\n"
                 "alkalinity,260,mg/L CaCO3\nSO4,50,mg/L\nCl,70,mg/L\n"
                 "NO3-N,1,mg/L\n")
        with written(water) as file:
            told = run_json("recipes", "--water", file.name, "--water",
                            "examples/well.csv", *COMMON)
        said = [line for line in told["verdict"] if "NH4-N:N max 0.1" in line]
        self.assertEqual(len(said), 1)
        self.assertIn("cannot be kept: the water alone brings 25", said[0])

    def test_whoever_pours_what_is_printed_gets_every_verdict(self):
        for given in (SEASONS, WATERS, WATERS + ["--one-recipe"], AT_LIMITS):
            told = run_json(*given)
            for row in told["waters"][::5]:
                with written(poured(told, row["sample"],
                                    row["recipe"])) as file:
                    checked = run_json(
                        "check", "--water",
                        f'{row["file"]}:{row["sample"]}', *given[3:7],
                        "--recipe", file.name)
                met = [one["verdict"] == "met"
                       for block in ("components", "measures")
                       for one in checked[block] if one.get("verdict")]
                self.assertEqual((sum(met), len(met)),
                                 (row["targets_met"], row["targets"]))

    def test_a_sample_is_green_where_it_gets_all_that_is_asked_for(self):
        rows = re.findall(r" (\d+) of (\d+) .*?\033\[([\d;]+)m",
                          on_terminal(*AT_LIMITS))
        self.assertEqual({met == of for met, of, _ in rows}, {True, False})
        for met, of, colour in rows:
            self.assertEqual(colour, "32" if met == of else "1;31")

    def test_a_column_of_a_page_has_its_heading(self):
        for table in re.findall(r"<thead>.*?</table>", sheet(*SEASONS)[1], re.S):
            head, *rows = (re.findall(r"<t[hd]\b", row)
                           for row in re.findall(r"<tr.*?</tr>", table, re.S))
            self.assertEqual(len(head), max(map(len, rows)))

    def test_amounts_have_no_more_figures_than_a_scale_shows(self):
        for given in (AT_LIMITS, SEASONS + ["--one-recipe"]):
            amounts = re.findall(r"  ([\d.]+) (?:m?g|kg|m?L)(?: \(|$)",
                                 run(*given).stdout, re.M)
            self.assertGreater(len(amounts), 11)
            for amount in amounts:
                figures = amount.replace(".", "").lstrip("0")
                self.assertLessEqual(len(figures), 4, amounts)

    def test_every_format_says_the_same_result(self):
        done, page = sheet(*WATERS)
        told = run_json(*WATERS)
        text = " ".join(done.stdout.split())
        table = run(*WATERS, "--format", "csv").stdout
        shown = "".join(Tags(page).texts)
        for sentence in told["verdict"]:
            self.assertIn(sentence, text)
            self.assertIn(sentence, table)
            self.assertIn(sentence, shown)
        self.assertTrue(done.stdout.startswith(
            "Result\n  2 recipes serve all 3 samples: A for well; "
            "B for town, purified.\n"))

    def test_a_dangerous_feed_is_told_without_amounts(self):
        target = "parameter,target,min,max\nN,150,,\npH,4.2,4.1,4.3\n"
        with written(target) as file:
            done = run("recipes", "--water", "examples/waters.csv",
                       "--target", file.name, *COMMON[2:])
        self.assertEqual(done.returncode, 1)
        self.assertRegex(done.stdout, r"\AResult\n  STOP\. Danger: ")
        self.assertNotIn("Measure out", done.stdout)
        self.assertFalse(re.search(r"\d m?L \([\d.]+ k?g\b", done.stdout))

    def test_a_sample_is_told_what_it_alone_is_told_and_whole(self):
        water = ("sample,pH,alkalinity [mg/L CaCO3],Ca [mg/L],Fe [mg/L],"
                 "chloramine [mg/L]\nrusty,7.3,300,100,1.9,0\n"
                 "treated,7.3,60,20,0,2.4\n")
        target = ("parameter,target,min,max\nN,150,,\nFe,2,1.6,2.8\n"
                  "pH,5.8,5.5,6.2\n")
        with written(water) as file, written(target) as aim:
            rest = ["--target", aim.name, *COMMON[2:]]
            told = run_json("recipes", "--water", file.name, *rest)
            texts = [note["text"] for note in told["notes"]]
            for sample, code in (("rusty", "limit-gave-way"),
                                 ("treated", "water-harmful")):
                alone = run_json("formulate", "--water",
                                 f"{file.name}:{sample}", *rest)
                said = [note["text"] for note in alone["notes"]
                        if note["code"] == code]
                self.assertTrue(said, [n["code"] for n in alone["notes"]])
                for text in said:
                    self.assertIn(f"{sample}: {text}", texts)

    def test_a_poisonous_sample_stops_none_of_the_others(self):
        head = ("sample,pH,Ca [mg/L],Mg [mg/L],Na [mg/L],K [mg/L],alkalinity "
                "[mg/L CaCO3],Cl [mg/L],SO4 [mg/L],NO3-N [mg/L],sulfide [mg/L]\n")
        good = "spring,7.3,104,27,21,2.4,300,31,62,4.07,0\n"
        bad = "deep,7.3,104,27,21,2.4,300,31,62,4.07,2\n"
        with written(head + good + bad) as both, written(head + bad) as alone:
            done = run("recipes", "--water", both.name, *COMMON)
            told = run_json("recipes", "--water", both.name, *COMMON)
            none = run("recipes", "--water", alone.name, *COMMON)
        self.assertEqual((done.returncode, none.returncode), (1, 1))
        self.assertIn("STOP for deep. Danger: do not mix this", done.stdout)
        self.assertNotIn("all samples", done.stdout)
        self.assertNotRegex(done.stdout, r"serves? (.*, )?deep")
        self.assertRegex(done.stdout, r"One recipe serves \d+ samples?\.")
        self.assertEqual({row["sample"] for row in told["own"]}, {"spring"})
        serves = [row["recipe"] for row in told["waters"]
                  if row["sample"] == "spring"]
        self.assertEqual({row["recipe"] for row in told["salts"]}, set(serves))
        self.assertIn("  STOP. Danger", none.stdout)
        self.assertNotIn("Measure out", none.stdout)

    def test_what_one_recipe_would_miss_is_not_what_each_misses(self):
        """Of NH4-N no salt of the shelf gives enough in any of them."""
        rows = (
                "sample,pH,alkalinity [meq/L],Ca [mg/L],Mg [mg/L],Na [mg/L],"
                "K [mg/L],SO4 [mg/L],Cl [mg/L],NO3-N [mg/L],B [mg/L]\n"
                "m0,7.20,2.30807,31.1449,28.4533,19.9310,4.5910,67.1773,31.0135,4.1791,0.0647\n"
                "m3,7.20,3.07534,41.4982,37.9119,26.5566,6.1172,89.5088,41.3231,5.5683,0.0862\n"
                "m9,7.20,1.73023,23.3476,21.3298,14.9411,3.4416,50.3590,23.2490,3.1328,0.0485\n")
        with written(rows) as file:
            told = run_json("recipes", "--water", file.name, "--target",
                            "yamazaki-tomato", "--shelf",
                            "examples/straights.csv")
        name, side, sample, by = re.search(
            r"one recipe for all, (\S+) would be (\w+) in (\w+) by ([0-9.]+)",
            " ".join(told["verdict"])).groups()
        own = [w["misses"] for w in told["waters"] if w["sample"] == sample][0]
        same = re.search(f"{name} {side} by ([0-9.]+)", own)
        self.assertLess(float(same.group(1)) if same else 0, 0.9 * float(by))

    def test_a_ph_that_leaves_its_range_in_the_air_is_told(self):
        for given in (SEASONS, WATERS, WATERS + ["--one-recipe"]):
            told = run_json(*given)
            rows = told["waters"]
            left = [row for row in rows if row["ph_aired"] > 6.3 and
                    "pH" not in row.get("misses", "")]
            ends = [f"{end([row['ph_aired'] for row in left]):.1f}"
                    for end in (min, max)]
            which = (f"all {len(rows)} samples" if len(left) == len(rows) else
                     f"{len(left)} of them: "
                     + ", ".join(row["sample"] for row in left))
            self.assertTrue(left)
            self.assertIn(
                "As CO2 escapes the pH rises to about "
                f"{' to '.join(dict.fromkeys(ends))}, above its limit of "
                f"6.2, in {which}.", told["verdict"])
        wide = "parameter,target,min,max\nN,150,,\npH,7,5,8.5\n"
        with written(wide) as file:
            told = run_json("recipes", "--water", "examples/seasons.csv",
                            "--target", file.name, *COMMON[2:])
        self.assertNotIn("As CO2", " ".join(told["verdict"]))

    def test_what_was_asked_is_named(self):
        done, page = sheet(*SEASONS, "--volume", "500L")
        text = " ".join(done.stdout.split())
        shown = " ".join("".join(Tags(page).texts).split())
        samples = [row["sample"] for row in run_json(*SEASONS)["waters"]]
        for asked in ("; ".join(samples) + " (examples/seasons.csv)",
                      "examples/basil.csv", "examples/straights.csv",
                      "500 L (132 gal) of finished solution"):
            self.assertIn(asked, text)
            self.assertIn(asked, shown)

    def test_a_target_of_ph_alone_is_refused(self):
        with written("parameter,target,min,max\npH,5.8,5.5,6.2\n") as file:
            done = run("recipes", "--water", "examples/seasons.csv",
                       "--target", file.name, *COMMON[2:])
        self.assertEqual((done.returncode, done.stdout), (2, ""))
        self.assertIn("asks for a pH alone", done.stderr)

    def test_more_waters_than_it_takes_are_refused(self):
        rows = "".join(f"w{i},{20 + i},100,10\n" for i in range(49))
        with written("sample,Ca [mg/L],alkalinity [mg/L CaCO3],Cl [mg/L]\n" +
                     rows) as file:
            done = run("recipes", "--water", file.name, *COMMON)
        self.assertEqual(done.returncode, 2)
        self.assertIn("49 samples are too many", done.stderr)

    def test_three_samples_and_more_in_a_row_are_told_by_their_ends(self):
        rows = "".join(f"{name},7.2,{ca},10,20,2,{alkalinity},20,{so4},1\n"
                       for name, ca, alkalinity, so4 in (
                           ("may", 20, 70, 10), ("june", 20, 70, 10),
                           ("july", 20, 70, 10), ("august", 20, 70, 10),
                           ("dry", 160, 400, 70), ("october", 20, 70, 10),
                           ("november", 20, 70, 10)))
        with written("sample,pH,Ca [mg/L],Mg [mg/L],Na [mg/L],K [mg/L],"
                     "alkalinity [mg/L CaCO3],Cl [mg/L],SO4 [mg/L],"
                     f"NO3-N [mg/L]\n{rows}") as file:
            told = run("recipes", "--water", file.name, *COMMON).stdout
        self.assertRegex(
            told, r"\n  A +may to august, october, november\n  B +dry\n")

    def test_of_misses_as_large_the_first_water_is_named(self):
        row = ",7.3,104,27,60,2.4,300,100,62,4.07\n"
        with written("sample,pH,Ca [mg/L],Mg [mg/L],Na [mg/L],K [mg/L],"
                     "alkalinity [mg/L CaCO3],Cl [mg/L],SO4 [mg/L],"
                     f"NO3-N [mg/L]\neast{row}west{row}") as waters, \
                written("parameter,target,max\nK,200,\nNa,,20\n") as target:
            told = run("recipes", "--water", waters.name, "--target",
                       target.name, "--shelf", "examples/straights.csv",
                       "--one-recipe").stdout
        self.assertIn("Na is over in east by 40.0 mg/L, the largest", told)

    def test_two_samples_of_one_name_are_refused(self):
        done = run(*SEASONS, "--water", "examples/seasons.csv:march")
        self.assertEqual(done.returncode, 2)
        self.assertIn("two samples are called 'march'", done.stderr)


if __name__ == "__main__":
    unittest.main()
