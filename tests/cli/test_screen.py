# SPDX-License-Identifier: GPL-3.0-or-later
"""The screen: 80 columns, any locale, colour only where it is wanted."""
import json
import os
import pty
import re
import subprocess
import tempfile
import unittest

from runner import (BASIL, COMMAND, PLAIN, SOURCE, WELL, columns, run,
                    run_json, written)

# A name may have 120 bytes.
LONG = "A very long product name of the kind that is printed on bags, " * 2
LONG = LONG[:118]
SHELF = ('product,label,density\n'
         '"%s",Ca 10,\n'
         '"\u6c34\u6eb6\u6027\u80a5\u6599 \u786b\u9178\u94be '
         '\u6c34\u6eb6\u6027\u80a5\u6599 \u786b\u9178\u94be",K 40,\n'
         '"evil\u202ename",NO3-N 10; Na 16.4,1.2\n'
         '"%s",Mg 10,\n' % (LONG, "W" * 118))


def on_terminal(*arguments, **environment):
    """What a terminal would get."""
    master, slave = pty.openpty()
    env = {k: v for k, v in os.environ.items() if k != "NO_COLOR"}
    env.update({"TERM": "xterm", "PAGER": ""}, **environment)
    child = subprocess.Popen([COMMAND, *arguments], cwd=SOURCE, env=env,
                             stdin=subprocess.DEVNULL, stdout=slave,
                             stderr=subprocess.DEVNULL)
    os.close(slave)
    text = b""
    while True:
        try:
            part = os.read(master, 65536)
        except OSError:
            break
        if not part:
            break
        text += part
    child.wait(timeout=60)
    os.close(master)
    return text.decode("utf-8").replace("\r\n", "\n")


class Screen(unittest.TestCase):
    def test_a_pager_comes_in_on_a_terminal_alone_and_is_missed_by_none(self):
        plain = on_terminal("--help")
        paged = on_terminal("--help", PAGER="sed s/^/+/")
        self.assertEqual(paged, re.sub("^", "+", plain, flags=re.M)[:-1]
                         if plain.endswith("\n") else paged)
        self.assertEqual(on_terminal("--help", PAGER="no-such-pager"), plain)
        self.assertEqual(on_terminal("--help", PAGER="cat"), plain)
        self.assertEqual(on_terminal("--help", PAGER="false"), plain)
        done = run("--help", env={"PAGER": "false"})
        self.assertEqual(done.stdout, plain)

    def narrow(self, text):
        for line in text.split("\n"):
            self.assertLessEqual(columns(line), 80, line)
            self.assertEqual(line, line.rstrip(), "spaces at the end")

    def test_no_screen_is_wider_than_80_columns(self):
        for arguments in (["--help"], ["formulate", "--help"],
                          ["check", "--help"], ["audit", "--help"],
                          ["catalogue", "--help"], ["catalogue"],
                          ["catalogue", "--targets"],
                          ["catalogue", "--targets", "udagawa-strawberry"],
                          ["recipes", "--help"],
                          ["recipes", "--water", "examples/seasons.csv",
                           *BASIL[2:]],
                          ["catalogue", "magnesium sulfate heptahydrate"],
                          ["stock", "--help"], ["compare", "--help"], ["batch", "--help"],
                          ["compare", "--water", "examples/seasons.csv",
                           *BASIL[2:]],
                          ["batch", "--water", "examples/seasons.csv",
                           *BASIL[2:]],
                          ["stock", *BASIL, "--tank", "50gal"],
                          ["stock", *BASIL, "--tank", "50gal",
                           "--third-tank", "--factor", "400"],
                          ["stock", *BASIL, "--tank", "9L", "--factor",
                           "2000"],
                          ["audit", *WELL], ["formulate", *BASIL],
                          ["formulate", *BASIL, "--volume", "400gal"],
                          ["formulate", *BASIL, "--volume", "1gal",
                           "--amounts", "us"],
                          ["formulate", *BASIL, "--volume", "99999999gal"],
                          ["check", *BASIL, "--recipe",
                           "examples/recipe.csv"]):
            self.narrow(run(*arguments).stdout)
        self.narrow(run().stderr)

    def test_the_brief_screen_has_all_that_counts_in_24_lines(self):
        tanks = ["--tank", "50gal"]
        for given in (["formulate", *BASIL], ["stock", *BASIL, *tanks],
                      ["check", *BASIL, "--recipe", "examples/recipe.csv"]):
            text = run(*given, "--brief").stdout
            with self.subTest(given[0]):
                self.assertLessEqual(len(text.splitlines()), 24, text)
                for words in ("targets are met", "Wear goggles",
                              "potassium nitrate", "EC  ", "pH as mixed"):
                    self.assertIn(words, text)

    def test_why_a_target_is_missed_is_on_the_brief_screen_too(self):
        soft = ("sample,pH,alkalinity [mg/L CaCO3],Ca [mg/L]\n"
                "rain,5.6,1,0.8\n")
        shelf = ("product,formula\nmonopotassium phosphate,KH2PO4\n"
                 "potassium nitrate,KNO3\n")
        aim = "parameter,target,min,max\nP,40,,\nK,200,,\npH,,5.5,6.2\n"
        with written(soft) as water, written(shelf) as salts, \
                written(aim) as target:
            given = ["formulate", "--water", water.name, "--shelf", salts.name,
                     "--target", target.name]
            text = run(*given, "--brief").stdout
        self.assertIn("Short: P", text)
        self.assertIn("the shelf has no base", " ".join(text.split()))

    def test_the_limits_of_a_conflict_are_one_list_wherever_they_are_named(self):
        """Either ratio alone cannot be kept, so that two sets can be named."""
        target = ("parameter,target,unit,min,max\nN,150,mg/L,,\n"
                  "P:K,,,0.9,1.1\nCa:NH4-N,,,0.9,1.1\n")
        with written(target) as file:
            aim = ["--target", file.name, "--shelf", "examples/straights.csv"]
            text = run("formulate", *WELL, *aim).stdout
            brief = run("formulate", *WELL, *aim, "--brief").stdout
            data = run_json("formulate", *WELL, *aim)["conflict"]["members"]
            pair = run("compare", *WELL, "--water", "examples/town.csv", *aim)
        name = data[0]["limit"].split(" (")[0]
        self.assertEqual(len(data), 1)
        head, table = text.split("The limit that cannot be kept")
        for place in head, table, brief, pair.stdout:
            named = set(re.findall(r"P:K min [0-9.]+|Ca:NH4-N max [0-9.]+",
                                   " ".join(place.split())))
            self.assertEqual(named, {name})

    def test_three_products_that_end_a_conflict_are_named_and_all_are_data(self):
        with written("parameter,target,min\nK,150,140\n") as target, written(
                "product,label,max,unit\nnitre,NO3-N 13; K2O 46,0.05,g/L\n"
        ) as shelf:
            given = ["formulate", *WELL, "--target", target.name, "--shelf",
                     shelf.name]
            told = run(*given).stdout.split("closest to the target first:")[1]
            named = [p["product"]
                     for p in run_json(*given)["conflict"]["products"]]
        listed = re.findall(r"^  (\S.*?)  +[\d.]+ k?g$",
                            told.split("\n\n")[0], re.M)
        self.assertGreater(len(named), 3)
        self.assertEqual(listed, named[:3])

    def test_what_the_water_may_hide_leads_the_brief_screen(self):
        with open("examples/well.csv", encoding="utf-8") as file:
            well = file.read()
        given = ["--target", "examples/basil.csv", "--shelf",
                 "examples/straights.csv", "--brief"]
        for row, told in (("Ca,N/A,mg/L", "about 105 mg/L of Ca is in it"),
                          ("Mg,N/A,mg/L", "about 27.9 mg/L of Mg is in it"),
                          ("Cl,N/A,mg/L", "the report lists Cl without"),
                          ("K,N/A,mg/L", "the report lists K without a value"),
                          ("NH4-N,<500,mg/L", "A limit of detection in the "
                           "water report is so coarse")):
            name = row.split(",")[0]
            with written(re.sub(f"(?m)^{name},.*", row, well)) as water:
                text = run("formulate", "--water", water.name, *given).stdout
            self.assertIn(told, " ".join(text.split("Recipe")[0].split()))

    def test_no_head_of_a_sample_breaks_inside_a_word(self):
        text = run("audit", "--solution", "examples/return.csv:late", "--feed",
                   "examples/return.csv:early", "--drained", "30%", "--target",
                   "examples/basil.csv").stdout
        heads = text.split("What it holds")[1].split("  EC  ")[0].split()
        self.assertLessEqual(set(heads), set(
            "unit feed sample / at EC uptake per L accepted range in range?"
            .split()), heads)

    def test_the_number_that_misses_a_limit_is_not_shown_as_meeting_it(self):
        with written("product,label\npotash,K 10; alkalinity 0\n") as shelf:
            for dose, limit, said in (
                    ("0.9", "K,,100,", "Short: K 90 of at least 100 mg/L."),
                    ("0.9998", "K,,100,",
                     "Short: K 99.98 of at least 100 mg/L."),
                    ("0.999997", "K,,100,", "Short: K just below 100 mg/L."),
                    ("1.0002", "K,,,100", "Over: K 100.02 of at most 100 mg/L."
                     )):
                with written("parameter,target,min,max\n" + limit) as target:
                    text = run("check", "--water", "K=0mg/L, pH=7, "
                               "alkalinity=10mg/L CaCO3", "--target",
                               target.name, "--shelf", shelf.name, "--dose",
                               f"potash={dose}g/L", "--only", "verdict").stdout
                self.assertIn(said, text)

    def test_remarks_are_counted_and_sent_for_where_they_are(self):
        well = ("sample,pH,alkalinity [mg/L CaCO3],Ca [mg/L],Fe [mg/L]\n"
                "hard,7.6,205,94,0.32\n")
        with written(well) as water:
            given = ["formulate", "--water", water.name, *BASIL[2:]]
            text, brief = (run(*given, *more).stdout
                           for more in ([], ["--brief"]))
        notes = text.split("\nNotes\n")[1].split("\n\n")[0]
        count = notes.count("- Warning: ")
        self.assertGreater(count, 1)
        self.assertIn(f"{count} remarks: see Notes.", " ".join(text.split()))
        self.assertIn(f"{count} remarks: without --brief.",
                      " ".join(brief.split()))
        self.assertNotIn("see Notes", brief)

    def test_a_ph_alone_is_brief_with_its_amounts(self):
        with written("parameter,target\npH,5.8\n") as target:
            given = ["formulate", *WELL, "--target", target.name]
            brief = run(*given, "--brief").stdout
            data = json.loads(run(*given, "--format", "json").stdout)
        self.assertLessEqual(len(brief.splitlines()), 24, brief)
        self.assertEqual(brief.count("Wear goggles"), 1, brief)
        self.assertIn("Danger H314", brief)
        first = {}  # of each kind, whatever its strength
        for option in data["closed"]["options"]:
            kind = " ".join(option["product"].split()[:2])
            told = first.setdefault(kind, option) is option
            self.assertEqual(bool(re.search(
                rf"(?m)^  {re.escape(option['product'])}  ", brief)), told)
            if told:
                self.assertIn(f" {option['per_1000_l']:.3g} ", brief)
        self.assertGreater(len(data["closed"]["options"]), len(first))
        self.assertIn("One strength of each", brief)
        self.assertIn("aerate it until", brief)
        self.assertNotIn("short", data)

    def test_what_is_to_be_aerated_before_a_crop_gets_it_says_so(self):
        with open(os.path.join(SOURCE, "examples/basil.csv"),
                  encoding="utf-8") as file:
            aired = file.read().replace("\npH,", "\npH aired,")
        with written(aired) as target:
            given = [*WELL, "--target", target.name,
                     "--shelf", "examples/straights.csv"]
            for more in [], ["--brief"]:
                text = run("formulate", *given, *more).stdout
                self.assertRegex(" ".join(text.split()),
                                 r"Freshly mixed the pH is (\S+): aerate it .* "
                                 r"before a crop gets it.* pH as mixed \1 "
                                 r"pH after airing 5\.8")
            several = run("recipes", *given, "--water", "examples/town.csv")
            compared = run("compare", *given, "--water", "examples/town.csv")
        for done in several, compared:
            self.assertIn("Aerate what was freshly mixed",
                          " ".join(done.stdout.split()))
        self.assertNotIn("aerate", run("formulate", *BASIL).stdout)

    def test_a_ph_alone_is_told_for_the_volume_asked_for(self):
        """Of 20 L a fiftieth of what 1000 L take."""
        with written("parameter,target\npH aired,5.8\n") as target:
            for volume, litres in ("20L", 20), ("20gal", 20 * 3.785411784):
                given = ["formulate", *WELL, "--target", target.name, "--shelf",
                         "examples/straights.csv", "--volume", volume]
                named = volume.replace("L", " L").replace("g", " g")
                brief = run(*given, "--brief").stdout
                full = run(*given).stdout
                tank = run_json(*given)["open"]
                acid = tank["options"][0]
                self.assertAlmostEqual(acid["for_volume"],
                                       acid["per_1000_l"] * litres / 1000)
                self.assertAlmostEqual(tank["volume_l"], litres)
                self.assertIn(f"One of these for {named}", brief)
                told = re.search(r"nitric acid 38 % +([\d.]+)  mL", brief)[1]
                self.assertAlmostEqual(float(told) / acid["for_volume"], 1, 2)
                self.assertNotIn("1000 L", brief)
                self.assertRegex(full, f"this volume +{named}")
                self.assertRegex(full, "product +for this")

    def test_a_sheet_is_the_same_beside_a_brief_screen(self):
        well = ("sample,pH,Ca [mg/L],Fe [mg/L]\nhard,7.6,94,0.32\n")
        pages = []
        with written(well) as water, tempfile.TemporaryDirectory() as folder:
            page = os.path.join(folder, "page.html")
            for more in ([], ["--brief"]):
                run("check", "--water", water.name, *BASIL[2:], "--recipe",
                    "examples/recipe.csv", "--sheet", page, *more)
                with open(page, encoding="utf-8") as file:
                    pages.append(file.read())
        self.assertIn("see Notes", pages[0])
        self.assertEqual(*pages)

    def test_only_what_is_asked_for_is_shown(self):
        text = run("formulate", *BASIL, "--only", "measures,proof").stdout
        self.assertIn("Limits that do not hold it back", text)
        self.assertTrue(text.startswith("Ratios, pH and EC"), text)
        self.assertIn("\nProof\n", text)
        self.assertNotIn("Recipe for", text)
        done = run("formulate", *BASIL, "--only", "recipee")
        self.assertEqual((done.returncode, done.stdout), (2, ""))
        self.assertIn("did you mean recipe?", done.stderr)

    def test_names_of_any_length_and_script_stay_inside(self):
        with written(SHELF) as shelf:
            for command, *options in (["formulate"],
                                      ["formulate", "--volume", "400gal"],
                                      ["compare"], ["batch"]):
                text = run(command, *PLAIN, "--shelf", shelf.name,
                           *options).stdout
                self.assertIn("\u6c34", text)
                self.narrow(text)

    def test_no_name_can_steer_the_terminal(self):
        with written(SHELF) as shelf:
            text = run("formulate", *PLAIN, "--shelf", shelf.name).stdout
        self.assertIn("evil<U+202E>", text)
        for c in text:
            self.assertTrue(c == "\n" or c.isprintable(), repr(c))

    def test_control_characters_in_a_file_are_refused(self):
        with written("product,label\n\"a\033[2J\",Ca 10\n") as shelf:
            done = run("formulate", *PLAIN, "--shelf", shelf.name)
        self.assertEqual((done.returncode, done.stdout), (3, ""))
        self.assertNotIn("\033", done.stderr)

    def test_complaints_are_harmless_too(self):
        done = run("audit", "--water", "no\u202e\033[2Jfile\n.csv")
        self.assertIn("no<U+202E><U+001B>[2Jfile<U+000A>.csv: error",
                      done.stderr)

    def test_it_is_the_same_in_every_locale(self):
        plain = run("formulate", *BASIL, env={"LC_ALL": "C"}).stdout
        for locale in ("C.UTF-8", "de_DE.UTF-8", "nowhere"):
            self.assertEqual(run("formulate", *BASIL,
                                 env={"LC_ALL": locale}).stdout, plain)

    def test_a_pipe_gets_no_colour(self):
        self.assertNotIn("\033", run("formulate", *BASIL,
                                     env={"NO_COLOR": "",
                                          "TERM": "xterm"}).stdout)

    def test_a_terminal_gets_colour_unless_it_is_unwanted(self):
        self.assertIn("\033[", on_terminal("formulate", *BASIL))
        for environment in ({"NO_COLOR": "1"}, {"TERM": "dumb"}):
            self.assertNotIn("\033", on_terminal("formulate", *BASIL,
                                                 **environment))
        self.assertNotIn("\033", on_terminal("formulate", *BASIL, "--format",
                                             "csv"))

    def test_colour_only_repeats_what_words_say(self):
        coloured = on_terminal("formulate", *BASIL)
        plain = on_terminal("formulate", *BASIL, NO_COLOR="1")
        self.assertEqual(re.sub("\033\\[[0-9;]*m", "", coloured), plain)

    def test_a_tank_that_does_not_stay_dissolved_is_seen(self):
        for factor, alarms in (("150", False), ("400", True)):
            text = on_terminal("stock", *BASIL, "--tank", "50gal", "--factor",
                               factor)
            tank = re.search(r"^.*A.* 50 gal .*$",
                             text.split("Do they stay")[1], re.M).group()
            self.assertEqual("\033[" in tank, alarms, tank)

    def test_a_water_that_misses_a_target_looks_unlike_one_that_does_not(self):
        told = on_terminal("recipes", "--water", "examples/waters.csv",
                           "--target", "examples/basil.csv",
                           "--shelf", "examples/straights.csv")
        for met, tone in (("16", "\033[32m"), ("15", "\033[1;31m")):
            row = re.search(rf"^.* {met} of 16 .*$", told, re.M).group()
            self.assertIn(tone, row)

    def test_every_verdict_stands_beside_its_bar(self):
        text = run("formulate", *BASIL).stdout
        table = text.split("\nWhat the crop gets\n")[1].split("\n\n")[0]
        bars = text.split("\n  ~ water")[1].split("\n\n")[0]
        verdicts = dict(re.findall(r"^  (\S+) .* (met|short|over)$", table,
                                   re.M))
        self.assertGreater(len(verdicts), 8)
        self.assertEqual(dict(re.findall(r"^  (\S+) .* (met|short|over)$",
                                         bars, re.M)), verdicts)


if __name__ == "__main__":
    unittest.main()
