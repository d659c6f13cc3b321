# SPDX-License-Identifier: GPL-3.0-or-later
"""One judgement of a water's report in every command."""
import json
import os
import re
import unittest

from runner import SOURCE, run, run_json, written

COMMON = ["--target", "examples/basil.csv", "--shelf",
          "examples/straights.csv"]
IONS = ("Ca=104mg/L,Mg=27mg/L,SO4=62mg/L,Cl=31mg/L,NO3-N=4mg/L,pH=7.3,"
        "alkalinity=%dmg/L CaCO3")
SOUND = IONS % 297 + ",Na=21mg/L"
WITHOUT_SODIUM = IONS % 450  # or about 250
FALSE = IONS % 600 + ",Na=21mg/L"
HEAD = ("sample,Ca [mg/L],Mg [mg/L],Na [mg/L],SO4 [mg/L],Cl [mg/L],"
        "NO3-N [mg/L],pH,alkalinity [mg/L CaCO3]\n")


def words_of(done):
    return " ".join(done.stdout.split())


class Lacking(unittest.TestCase):
    def test_an_audit_asks_for_what_formulate_asks_for(self):
        with open("examples/well.csv", encoding="utf-8") as file:
            text = "".join(line for line in file
                           if not line.startswith("Na,"))
        text = text.replace("alkalinity,300,", "alkalinity,30,") \
            .replace("Ca,104,", "Ca,8,").replace("Mg,27,", "Mg,2,") \
            .replace("SO4,62,", "SO4,10,").replace("EC,788,", "EC,150,") \
            .replace("TDS,470,", "TDS,90,")
        with written(text) as water:
            audit = run("audit", "--water", water.name)
            mixed = run("formulate", "--water", water.name, "--target",
                        "examples/basil.csv", "--shelf",
                        "examples/straights.csv", "--brief")
        asked = "Ask the laboratory for it before you mix."
        told = " ".join(audit.stdout.split())
        self.assertIn(asked, " ".join(mixed.stdout.split()))
        self.assertLess(told.index(asked), told.index("checks hold"))
        self.assertIn("The report is incomplete", told)
        self.assertEqual((audit.returncode, mixed.returncode), (0, 0))

    def test_what_lacks_is_told_once_by_what_is_known_of_it(self):
        rest = "Ca=80mg/L%s,Na=5mg/L,Cl=5mg/L,SO4=20mg/L,NO3-N=1mg/L"
        for more, asked, lacks in (("", 1, 0), (",Mg=9mg/L", 1, 0),
                                   (",alkalinity=4meq/L,pH=7.4", 0, 1)):
            told = " ".join(run_json("formulate", "--water", rest % more,
                                     *COMMON)["verdict"])
            self.assertEqual(told.count("pH and alkalinity are not known"),
                             asked, more)
            self.assertEqual(told.count("The water report lacks something"),
                             lacks, more)


    def test_limits_not_judged_have_a_title_where_none_is_met(self):
        for text in (WITHOUT_SODIUM, SOUND):
            told = run("check", "--water", text.replace("Cl=31", "Cl=<200"),
                       *COMMON, "--dose", "calcium nitrate=0.8g/L").stdout
            met = "\nLimits met\n" in told
            self.assertEqual(met, text is SOUND)
            self.assertEqual("\nLimits not judged\n" in told, not met)
            self.assertIn("\n  Not judged, as the report does not tell", told)


class Judgement(unittest.TestCase):
    def test_every_command_judges_a_report_alike(self):
        ways = {"formulate": [], "check": ["--recipe", "examples/recipe.csv"],
                "stock": ["--tank", "100L"], "compare": [], "recipes": [],
                "batch": [], "audit": []}
        for water, said in (
                (WITHOUT_SODIUM, "Before any acid is poured have Na or"),
                (FALSE, "Do not mix this yet"), (SOUND, None)):
            for command, more in ways.items():
                given = [] if command == "audit" else COMMON
                done = run(command, "--water", water, *more, *given)
                head = words_of(done)[:600]
                with self.subTest(command, water=water):
                    if said:
                        self.assertIn(said, head)
                        self.assertEqual(done.returncode, 1)
                    else:
                        self.assertNotRegex(head, "Do not mix|Before any acid")

    def test_where_no_change_alone_helps_all_that_do_are_told(self):
        # Ca of chloride and K of sulfate: 19 mg/L of Cl bring 10.74 of Ca to
        # the water's 5, and 19.67 of S 47.97 of K
        water = ("Ca=5mg/L,Mg=1mg/L,Na=1mg/L,Cl=1mg/L,SO4=1mg/L,"
                 "alkalinity=12mg/L CaCO3")
        with written("parameter,target,min,max\nN,50,,\nCa,,100,\nCl,,,20\n"
                     "K,,200,\nS,,,20\n") as target, \
                written("product,formula\ncalcium chloride,CaCl2.2H2O\n"
                        "potassium sulfate,K2SO4\nurea,CO(NH2)2\n") as shelf:
            done = run("compare", "--water", water, "--water", water,
                       "--target", target.name, "--shelf", shelf.name)
        self.assertRegex(
            words_of(done), "No single change resolves it, all of these "
            r"together do: lower Ca min 100 mg/L \(\S+ line 3\) to 15.7 mg/L; "
            r"lower K min 200 mg/L \(\S+ line 5\) to 47.9 mg/L\.")

    def test_a_water_in_doubt_is_used_only_once_it_is_settled(self):
        rows = "well,104,27,,62,31,4,7.3,450\ntown,12,2,10,10,14,1,7.8,28\n"
        with written(HEAD + rows) as file:
            both = run("compare", "--water", file.name, *COMMON)
            one = run("compare", "--water", f"{file.name}:well", *COMMON)
        self.assertIn("Use well only once what its report leaves in doubt is "
                      "measured:", words_of(one))
        self.assertIn("well use it only once what is in doubt is measured: ",
                      words_of(one))
        self.assertEqual(one.returncode, 1)
        self.assertIn("Use town: ", words_of(both))
        self.assertIn("What is said of well holds only if its report is right.",
                      words_of(both))
        self.assertIn("well if its report is right: ", words_of(both))

    def test_a_water_that_is_not_poured_alarms_nobody(self):
        """370 mg/L as CaCO3 are the bicarbonate of 303."""
        well = os.path.join(SOURCE, "examples/well.csv")
        with open(well, encoding="utf-8") as file:
            report = file.read().replace("alkalinity,300", "alkalinity,370")
        with written(report) as bore:
            for share, alarms in (("100,0", False), ("60,40", True)):
                words = words_of(run("formulate", "--water", well, "--water",
                                     bore.name, "--share", share, *COMMON))
                self.assertEqual("may be misread" in words[:400], alarms)
                self.assertEqual("None of it is poured here; before any is: "
                                 in words, not alarms)

    def test_what_fills_the_tanks_may_be_misread_too(self):
        well = os.path.join(SOURCE, "examples/well.csv")
        with open(well, encoding="utf-8") as file:
            report = file.read().replace("alkalinity,300", "alkalinity,370")
        with written(report) as bore:
            done = run("stock", "--water", well, "--tank", "100L", "--make-up",
                       bore.name, *COMMON)
        self.assertIn("may be misread", words_of(done)[:400])
        self.assertEqual(done.returncode, 1)

    def test_a_ratio_over_nothing_is_told_as_such(self):
        water = ("pH=7.2, alkalinity=150mg/L CaCO3, Ca=50mg/L, Na=12mg/L,"
                 " Cl=18mg/L")
        target = ("parameter,target,min,max\nK,200,,\nNH4-N,,,12\n"
                  "Ca:NH4-N,0.5,,\n")
        with written(target) as file:
            done = run("formulate", "--water", water, "--target", file.name,
                       "--shelf", "examples/straights.csv", "--brief")
        self.assertIn("Over: Ca:NH4-N with no NH4-N.", words_of(done))
        self.assertEqual(done.returncode, 1)

    def test_acid_that_the_ph_does_not_tell_is_asked_about(self):
        """60 mg/L CaCO3 of acidity are 1.2 meq/L, pH 4.3 0.05 of them; 6 mg/L
        of Al are 0.67."""
        water = ("pH=4.3, Ca=35mg/L, Mg=11mg/L, Na=8mg/L, K=2mg/L, SO4=150mg/L,"
                 " Cl=8mg/L, NO3-N=0.1mg/L")
        target = "parameter,target,min,max\npH,5.8,5.5,6.2\n"
        acid = "the acidity on its report of up to 1.15 meq/L"
        for more, told in ((", acidity=60mg/L CaCO3, Al=6mg/L", acid),
                           (", KB8.2=1.2mmol/L", acid),
                           (", base capacity=1.2mol/m3", acid),
                           (", acidity=1.2meq/L", acid),
                           (", acidity as CaCO3=60mg/L", acid),
                           (", acidity=60mg/L", None),
                           (", Al=6mg/L",
                            "the aluminium on its report of up to 0.667 meq/L"),
                           (", acidity=3mg/L CaCO3", "")):
            with written(target) as file:
                done = run("formulate", "--water", water + more, "--target",
                           file.name)
            text = " ".join(done.stdout.split())
            with self.subTest(more=more):
                self.assertEqual("More base will be needed" in text,
                                 bool(told), text)
                self.assertIn(told or "", text)
                self.assertEqual(done.returncode, 1 if told else 0, text)
                self.assertEqual("used in no calculation" in done.stderr,
                                 told is None, done.stderr)

    def test_the_ph_is_open_where_more_base_will_be_needed(self):
        water = ("pH=4.3, Ca=35mg/L, Mg=11mg/L, Na=8mg/L, K=2mg/L, SO4=150mg/L,"
                 " Cl=8mg/L, NO3-N=0.1mg/L")
        target = "parameter,target,min,max\npH,5.8,5.5,6.2\nK,20,15,30\n"
        shelf = "product,purity\npotassium hydroxide,\npotassium nitrate,\n"
        for more, verdict in ((", KB8.2=1.2mmol/L", "open"), ("", "met")):
            with written(target) as asked, written(shelf) as bags:
                done = run("formulate", "--water", water + more, "--target",
                           asked.name, "--shelf", bags.name)
            text = " ".join(done.stdout.split())
            with self.subTest(more=more):
                self.assertEqual("Open: pH." in text, verdict == "open", text)
                self.assertEqual("All 2 targets are met" in text,
                                 verdict == "met", text)
                self.assertEqual(done.returncode, int(verdict == "open"))

    def test_what_fills_the_tanks_is_doubted_for_what_settles_in_them(self):
        """Charges 5 to 10 % apart, and with an ion that nobody looked for; no
        acid of the feed hangs on it."""
        rows = ("near,104,27,21,62,31,4,7.3,310\n"
                "apart,126,27,21,62,31,4,7.3,300\n"
                "lacks,104,27,,62,90,4,7.3,300\n"
                "false,104,27,21,62,31,4,7.3,600\n")
        with written(HEAD + rows) as file:
            for name, words in (
                    ("near", None),
                    ("apart", "The charges of apart, which fills the tanks, do "
                     "not balance (cations 9.42, anions 8.45 meq/L), so what "
                     "was calculated to settle out in them may be wrong."),
                    ("lacks", "; not reported: Na), so what was"),
                    ("false", "Do not fill the tanks with false yet")):
                done = run("stock", "--water", "examples/town.csv", "--tank",
                           "100L", "--factor", "100", "--make-up",
                           f"{file.name}:{name}", *COMMON)
                with self.subTest(name):
                    self.assertEqual(done.returncode, 1 if words else 0)
                    self.assertIn(words or "", words_of(done))
                    self.assertEqual("fills the tanks, do not" in
                                     words_of(done), name in ("apart", "lacks"))
                    self.assertNotRegex(words_of(done), "meq/L of acid")

    def test_no_alkalinity_is_offered_that_no_water_has(self):
        rows = ("hard,404,27,21,62,31,4,7.3,300\n"
                "slip,4104,27,21,62,31,4,7.3,300\n")
        with written(HEAD + rows) as file:
            for name, words in (("hard", "it is not 300 but"),
                                ("slip", "by more than any water's alkalinity")):
                done = run("formulate", "--water", f"{file.name}:{name}",
                           *COMMON)
                self.assertIn(words, words_of(done))
                self.assertEqual(done.returncode, 1)

    def test_the_waters_that_can_be_judged_are_named(self):
        rows = ("well,104,27,21,62,31,4,7.3,297\n"
                "bore,104,27,21,62,31,4,7.3,60\n")
        with written(HEAD + rows) as file:
            done = run("formulate", "--water", f"{file.name}:well", "--water",
                       f"{file.name}:bore", *COMMON)
        self.assertEqual(done.returncode, 1)
        self.assertIn("Until then formulate without bore: amounts can be "
                      "calculated for well.", words_of(done))

    def test_an_alkalinity_nobody_looked_for_is_asked_for_by_name(self):
        kept = ("NO3-N=98mg/L,P=22mg/L,S=51mg/L,K=96mg/L,Mg=43mg/L,"
                "Ca=%dmg/L,pH=7.4%s")
        for ca, more, word in (
                (160, "", "Have the alkalinity of as told measured before any"),
                (145, "", "not reported: alkalinity"),
                (180, ",alkalinity=20mg/L CaCO3", "Do not mix this yet")):
            done = run("renew", "--solution", kept % (ca, more), "--holds",
                       "600L", "--volume", "1000L", "--water", SOUND, *COMMON)
            with self.subTest(ca=ca):
                self.assertIn(word, words_of(done))
                self.assertEqual("Have the alkalinity of" in words_of(done),
                                 ca == 160)
                if ca != 145:
                    self.assertEqual(done.returncode, 1)

    def test_an_archive_doubts_what_an_audit_of_one_doubts(self):
        rows = ("bare,104,27,21,62,31,4,7.3,\n"
                "balanced,104,27,21,62,31,4,7.3,300\n"
                "salty,104,27,,62,90,4,7.3,300\n")
        with written(HEAD + rows) as file:
            done = run("audit", "--water", file.name, "--format", "json")
            told = {row["sample"]: row for row in
                    json.loads(done.stdout)["samples"]}
            for name, words in (("salty", "The report is doubtful"),
                                ("bare", "neither the acid that it needs")):
                with self.subTest(name=name):
                    self.assertEqual(told[name]["finding"], "doubtful")
                    self.assertEqual(told[name]["usable"], "unclear")
                    one = run("audit", "--water", f"{file.name}:{name}")
                    self.assertIn(words, words_of(one))
                    self.assertEqual(one.returncode, 1)
        self.assertEqual(told["balanced"]["finding"], "agrees")

    def test_an_archive_tells_what_its_reports_lack(self):
        rows = ("soft,8,2,,10,16,4,7.3,30\n"
                "bare,104,27,21,62,31,4,7.3,\n"
                "whole,104,27,21,62,31,4,7.3,300\n")
        with written(HEAD + rows) as file:
            told = run_json("audit", "--water", file.name)
            words = words_of(run("audit", "--water", file.name))
            one = run("audit", "--water", f"{file.name}:soft")
        self.assertEqual([row["finding"] for row in told["samples"]],
                         ["incomplete", "doubtful", "agrees"])
        self.assertIn("The report is incomplete", words_of(one))
        self.assertIn("1 reports no alkalinity, so nobody knows the acid", words)
        self.assertIn("1 lacks an ion that by the charges is there", words)
        self.assertRegex(words, "soft .* incomplete yes Na not reported")

    def test_an_audit_of_a_solution_asks_for_its_alkalinity_by_name(self):
        kept = ("NO3-N=98mg/L,P=22mg/L,S=51mg/L,K=96mg/L,Mg=43mg/L,"
                "Ca=%dmg/L,pH=7.4%s")
        for ca, more, asks, code in (
                (160, "", "Have the alkalinity of as told measured before", 1),
                (145, "", "or alkalinity, not reported, is there: have it", 0),
                (145, ",alkalinity=98mg/L CaCO3", "", 0)):
            done = run("audit", "--solution", kept % (ca, more))
            with self.subTest(ca=ca, more=more):
                self.assertIn(asks, words_of(done))
                self.assertEqual(done.returncode, code)
                self.assertEqual(bool(asks), "have it" in words_of(done) or
                                 "Have the" in words_of(done))

    def test_a_kept_solution_tells_by_how_much_its_charges_differ(self):
        kept = ("NO3-N=150mg/L,P=40mg/L,K=200mg/L,Ca=%dmg/L,Mg=40mg/L,"
                "S=60mg/L,pH=6.2")
        for ca, told in ((180, False), (100, True)):
            done = run("renew", "--solution", kept % ca, "--holds", "600L",
                       "--volume", "1000L", "--water", SOUND, *COMMON)
            words = words_of(done)
            self.assertEqual(
                bool(re.search(r"The charges of as told do not balance "
                               r"\(cations 13\.[0-9]+, anions 1[56]\.[0-9]+ "
                               r"meq/L\): 2\.[0-9]+ meq/L of cations are missing, or "
                               r"too many anions are told", words)), told,
                words[:600])

    def test_shares_beyond_the_whole_are_refused_with_their_sum(self):
        done = run("formulate", "--water", "examples/well.csv", "--water",
                   "examples/town.csv", "--share", "100,0.2", *COMMON)
        self.assertEqual(done.returncode, 2)
        self.assertIn("the sum is 100.2 %", done.stderr)

    def test_no_grower_is_told_that_no_unit_is_given_where_one_is(self):
        with written("parameter,value,unit\nCa,104,mgg\nMg,27,\n") as file:
            done = run("audit", "--water", file.name)
        self.assertIn("Mg needs a unit", done.stderr)
        self.assertNotIn("no units at all", done.stderr)


if __name__ == "__main__":
    unittest.main()
