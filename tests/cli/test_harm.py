# SPDX-License-Identifier: GPL-3.0-or-later
"""Danger ends every command with 1, on both sides of each threshold."""
import contextlib
import json
import unittest

from runner import run, run_json, written

STRAIGHTS = ["--shelf", "examples/straights.csv"]
MACROS = "P,40\nCa,120\nMg,30\n"
# Asked for: mg/L, or times a usual feed's N 150 and K 200.
HARMFUL = ["Cu,8", "B,20", "Mn,5", "Zn,2.5", "N,1500\nK,2000", "EC,9", "pH,4.2"]
HARMLESS = ["Cu,0.2", "B,0.7", "Mn,1", "Zn,0.33", "N,300\nK,400", "EC,3",
            "pH,5.5"]
WATER = ("parameter,value,unit\npH,7.5,\nalkalinity,100,mg/L CaCO3\n"
         "Ca,45,mg/L\nMg,6,mg/L\nNa,20,mg/L\nCl,38,mg/L\nSO4,15,mg/L\n"
         "K,2,mg/L\nEC,0.37,mS/cm\n")
# A reading up to which nothing is dangerous.
READINGS = {"As": 0.1, "Cd": 0.01, "Cr": 0.1, "Ni": 0.2, "Pb": 0.2,
            "Se": 0.04, "free chlorine": 1, "chloramine": 1,
            "sulfide": 0.3, "cyanide": 0.2, "NO2-N": 10}
# Up to which a reading needs no care, though none of it is a danger.
CAUTIONS = {"Li": 2.5, "V": 0.1, "Co": 0.05, "NO2-N": 0.9}


def dangers(told):
    return [note for note in told["notes"] if note["severity"] == "danger" and
            not note["code"].startswith("caution-")]


class Harm(unittest.TestCase):
    def over(self, rows):
        text = "parameter,target\n" + MACROS + rows
        if "N," not in rows:
            text += "\nN,150\nK,200"
        return written(text + "\n")

    def test_a_harmful_target_ends_every_command_with_1(self):
        commands = [["formulate"], ["batch"],
                    ["compare", "--water", "examples/well.csv"],
                    ["stock", "--tank", "100L", "--factor", "100"],
                    ["renew", "--solution", "examples/return.csv:late", "--holds",
                     "200L", "--volume", "1000L"],
                    ["check", "--recipe", "examples/recipe.csv"]]
        for rows in HARMFUL:
            with self.over(rows) as file:
                for command in commands:
                    with self.subTest(rows=rows, command=command[0]):
                        done = run(*command, "--water", "examples/town.csv",
                                   "--target", file.name, *STRAIGHTS)
                        self.assertEqual(done.returncode, 1, done.stderr)
                        self.assertIn("anger", done.stdout)

    def test_a_usual_target_is_no_danger(self):
        for rows in HARMLESS:
            with self.subTest(rows=rows), self.over(rows) as file:
                self.assertEqual(dangers(run_json(
                    "formulate", "--water", "examples/town.csv", "--target",
                    file.name, *STRAIGHTS)), [])

    def test_a_harmful_reading_is_told_by_every_command(self):
        given = ["--target", "examples/pepper.csv", *STRAIGHTS]
        for name, most in READINGS.items():
            for factor, harmful in ((0.95, False), (1.05, True)):
                with contextlib.ExitStack() as stack:
                    file = stack.enter_context(written(
                        WATER + f"{name},{factor * most},mg/L\n"))
                    for command in (["audit"], ["formulate", *given],
                                    ["check", "--recipe",
                                     "examples/recipe.csv", *given]):
                        done = run(*command, "--water", file.name, "--format",
                                   "json")
                        notes = json.loads(done.stdout)["notes"]
                        with self.subTest(name=name, command=command[0],
                                          factor=factor):
                            said = [note["severity"] for note in notes
                                    if note["code"] == "water-harmful"]
                            self.assertEqual(said, ["danger" if harmful else
                                                    "warning"])
                            if harmful:
                                self.assertEqual(done.returncode, 1)

    def test_what_audit_restricts_is_told_of_a_recipe(self):
        for name, most in CAUTIONS.items():
            for factor, told in ((0.95, []), (1.05, ["warning"])):
                with self.subTest(name=name, factor=factor), written(
                        WATER + f"{name},{factor * most},mg/L\n") as file:
                    notes = run_json("formulate", "--water", file.name,
                                     "--target", "examples/pepper.csv",
                                     *STRAIGHTS)["notes"]
                    self.assertEqual([note["severity"] for note in notes
                                      if note["code"] == "water-harmful"],
                                     told)

    def test_an_audit_of_a_solution_ends_with_1_for_its_danger_alone(self):
        """Nothing is asked of it, so nothing is missed."""
        kept = ("NO3-N=150mg/L,P=30mg/L,K=200mg/L,Ca=160mg/L,Mg=40mg/L,"
                "S=60mg/L,Na=20mg/L,Cl=30mg/L,pH=6.2,"
                "alkalinity=10mg/L CaCO3,%smg/L")
        for reading, code in (("Cu=3", 1), ("Cu=0.2", 0), ("B=20", 1),
                              ("B=0.7", 0)):
            with self.subTest(reading=reading):
                done = run("audit", "--solution", kept % reading)
                self.assertEqual(done.returncode, code, done.stdout)
                self.assertEqual("Danger: " in done.stdout, code == 1)

    def test_no_acid_is_told_for_a_water_of_which_a_reading_is_harmful(self):
        for name, most in READINGS.items():
            for factor, harmful in ((0.95, False), (1.05, True)):
                with written(WATER + f"{name},{factor * most},mg/L\n") as file, \
                        written("parameter,target\npH,5.8\n") as target:
                    told = run_json("formulate", "--water", file.name,
                                    "--target", target.name)
                with self.subTest(name=name, factor=factor):
                    self.assertEqual(len(dangers(told)), harmful)
                    self.assertEqual("closed" in told, not harmful)

    def test_what_acid_drives_out_ends_with_1_and_is_told(self):
        given = ["--target", "examples/pepper.csv", *STRAIGHTS]
        for name, value in (("sulfide", 0.29), ("cyanide", 0.15)):
            with written(WATER + f"{name},{value},mg/L\n") as file, \
                    written("parameter,target\npH,5.8\n") as target:
                for more in (given, ["--target", target.name]):
                    with self.subTest(name=name, more=more[1]):
                        done = run("formulate", "--water", file.name, *more,
                                   "--brief")
                        words = " ".join(done.stdout.split())
                        self.assertEqual(done.returncode, 1)
                        self.assertIn(f"of {name}", words)
                        self.assertIn("Acid drives it out as a poisonous gas",
                                      words)
                        self.assertNotIn("no acid into", words)
                for command in ("audit", "recipes"):
                    one = run(command, "--water", file.name,
                              *([] if command == "audit" else given))
                    with self.subTest(name=name, command=command):
                        self.assertEqual(one.returncode, 1)
                        self.assertIn("Acid drives it out as a poisonous gas",
                                      " ".join(one.stdout.split()))
                with written(f"sample,pH,alkalinity [mg/L CaCO3],{name} [mg/L]"
                             f"\na,7.4,60,{value}\nb,7.4,60,0\n") as archive:
                    many = run("audit", "--water", archive.name)
                    self.assertEqual(many.returncode, 1)

    def test_no_acid_is_offered_to_what_gives_off_gas(self):
        water = ("parameter,value,unit\npH,7.3,\nCa,104,mg/L\nMg,27,mg/L\n"
                 "Na,21,mg/L\nalkalinity,300,mg/L CaCO3\nCl,31,mg/L\n"
                 "SO4,62,mg/L\nNO3-N,4,mg/L\n")
        for more, offered in ("", True), ("sulfide,1.5,mg/L\n", False):
            with written(water + more) as file:
                text = " ".join(run("audit", "--water", file.name)
                                .stdout.split())
            self.assertIn("brings alkalinity to its limit", text)
            self.assertEqual("so does acid" in text, offered)

    def test_what_fills_the_tanks_may_give_off_gas(self):
        for row, code, word in (("sulfide,0.2", "warning", "Acid drives it"),
                                ("sulfide,5", "danger", "Put no acid into"),
                                ("cyanide,5", "danger", "Put no acid into"),
                                ("cyanide,0.01", None, "")):
            with self.subTest(row=row), \
                    written(WATER + f"{row},mg/L\n") as file:
                done = run("stock", "--water", "examples/town.csv", "--target",
                           "examples/basil.csv", *STRAIGHTS, "--tank", "200L",
                           "--factor", "100", "--make-up", file.name,
                           "--format", "json")
                notes = [note for note in json.loads(done.stdout)["notes"]
                         if "The make-up water holds" in note["text"]]
                self.assertEqual([note["severity"] for note in notes],
                                 [code] if code else [])
                self.assertEqual(done.returncode, 1 if code else 0)
                for note in notes:
                    self.assertEqual(note["code"], "water-harmful")
                    self.assertIn(word, note["text"])

    def test_what_fills_the_tanks_reaches_the_crop_thinned(self):
        """Two tanks at 1:100 are 2 % of the feed."""
        for lead, severity in ((400, None), (800, "warning"),
                               (12000, "danger")):
            with self.subTest(lead=lead), \
                    written(WATER + f"Pb,{lead},ug/L\n") as file:
                told = run_json("stock", "--water", "examples/town.csv",
                                "--target", "examples/basil.csv", *STRAIGHTS,
                                "--tank", "200L", "--factor", "100",
                                "--make-up", file.name)
                notes = [note for note in told["notes"]
                         if note["code"] == "water-harmful"]
                self.assertEqual([note["severity"] for note in notes],
                                 [severity] if severity else [])
                for note in notes:
                    self.assertRegex(note["text"], r"The mix holds 0\.\d+ mg/L "
                                     rf"of Pb \(\S+: {lead / 1000:.3g}")

    def test_of_a_mix_the_water_that_holds_it_is_named(self):
        with written(WATER + "sulfide,4.7,mg/L\n") as file:
            done = run("formulate", "--water", "examples/well.csv", "--water",
                       file.name, "--share", "60,40", "--target",
                       "examples/pepper.csv", *STRAIGHTS)
        self.assertRegex(" ".join(done.stdout.split()),
                         r"The mix holds 1\.88 mg/L of sulfide \(\S+: 4\.70 "
                         r"mg/L\)")

    def test_a_free_blend_takes_no_more_than_is_within_the_limits(self):
        """Both commands, and a share that is given is poured all the same."""
        for reading, most in (("sulfide,0.02", 1), ("sulfide,1.5", 0),
                              ("As,0.08", 0.1125), ("F,8", 0)):
            with written(WATER + reading + ",mg/L\n") as file:
                waters = ["--water", file.name, "--water", "examples/town.csv",
                          "--target", "examples/basil.csv", *STRAIGHTS]
                done = run("formulate", *waters, "--format", "json")
                told = json.loads(done.stdout)
                mix = run_json("compare", *waters, "--blend")["blend"]
                poured = run_json("formulate", *waters, "--share", "50,50")
            with self.subTest(reading):
                self.assertEqual(done.returncode, 0)
                for share in (told["waters"][0]["share"],
                              mix["waters"][0]["share"]):
                    self.assertLessEqual(share, most + 1e-9)
                    self.assertEqual(share > 0, most > 0)
                self.assertEqual(most < 1, any(
                    note["code"] == "water-left-out"
                    for note in told["notes"]))
                self.assertEqual(poured["waters"][0]["share"], 0.5)

    def test_two_waters_of_different_metals_are_within_both_limits(self):
        with written(WATER + "As,0.15,mg/L\n") as arsenic, \
                written(WATER + "Cd,0.015,mg/L\n") as cadmium:
            told = run_json("formulate", "--water", arsenic.name, "--water",
                            cadmium.name, "--target", "examples/basil.csv",
                            *STRAIGHTS)
        for water in told["waters"]:
            self.assertLess(water["share"], 0.6 + 1e-9)
        self.assertGreater(len(told["recipe"]), 0)

    def test_a_table_of_samples_says_unsuitable_as_each_audit_does(self):
        for sodium, word, code in ((40, "restricted", 0),
                                   (80, "unsuitable", 1)):
            header = "sample,pH,alkalinity,Ca,Mg,Na,Cl\n,,mg/L CaCO3,mg/L," \
                "mg/L,mg/L,mg/L\n"
            rows = "".join(f"{name},7.5,100,45,6,{sodium},{38 + sodium}\n"
                           for name in "ab")
            with written(header + rows) as file:
                many = run("audit", "--water", file.name, "--format", "json")
                one = run("audit", "--water", file.name + ":a")
            self.assertEqual((many.returncode, one.returncode), (code, code))
            self.assertEqual({sample["usable"] for sample in
                              json.loads(many.stdout)["samples"]}, {word})
            self.assertIn(word, one.stdout)

    def test_an_audit_says_danger_before_all_else(self):
        for lead, harmful in ((0.19, False), (0.21, True)):
            with written(WATER + f"Pb,{lead},mg/L\n") as file:
                done = run("audit", "--water", file.name)
            result = " ".join(done.stdout.split("\n\n")[0].split())
            self.assertEqual(
                "Danger: do not use this water as it stands" in result,
                harmful)
            self.assertNotIn("FAO 29", done.stdout.split("Notes")[1])

    def test_an_audit_says_what_would_be_suitable(self):
        """Of zinc in a feed only what restricts it and what harms is known."""
        for zinc, word in ((1.2, "Restricted"), (2.5, "Unsuitable")):
            with written(WATER + f"Zn,{zinc},mg/L\n") as file:
                done = run("audit", "--water", file.name)
            result = " ".join(done.stdout.split("\n\n")[0].split())
            self.assertRegex(result, rf"{word}: .*\w, Zn {zinc}0* of at most "
                             r"[\d.]+ mg/L")


if __name__ == "__main__":
    unittest.main()
