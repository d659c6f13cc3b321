# SPDX-License-Identifier: GPL-3.0-or-later
"""Every option of every command with what nobody can mean.

Each is refused in a line or two that name the option and say what was
expected; nothing reaches standard output, and no file is left behind.
"""
import os
import re
import tempfile
import unittest

from runner import BASIL, SOURCE, WELL, run, run_json, some, written

GIVEN = {"formulate": BASIL, "batch": BASIL, "audit": WELL, "catalogue": [],
         "start": [], "help": [],
         "check": BASIL + ["--recipe", "examples/recipe.csv"],
         "stock": BASIL + ["--tank", "50gal"],
         "renew": BASIL + ["--solution", "examples/return.csv:late",
                           "--holds", "600L", "--volume", "1000L"],
         "compare": BASIL + ["--purified", "typical"], "recipes": BASIL}

# What an option needs beside it to be looked at.
BESIDE = {"fine-step": ["--scale-step", "5g"], "for": ["--sheet", "x.svg"],
          "trace-solution": ["--scale-step", "5g"],
          "search-time": ["--scale-step", "5g"], "doubt": ["--how-sure"],
          "curve": ["--trade-off", "cost"]}

NUMBERS = ["x", "nan", "inf", "-inf", "-1", "1e300", "0x10", "5 5", "5;"]
VOLUMES = ["x", "L", "5", "5g", "nanL", "infL", "-1L", "0L", "1e300L",
           "1e-300L", "0x10L", "1,500L", "5LL", "5 more"]
MASSES = ["x", "g", "5", "5L", "nang", "infg", "-1g", "0g", "1e300g",
          "1e-300g", "5gg"]
DEGREES = NUMBERS + ["4", "41", "18K", "200F"]
FILES = ["absent.csv", "examples", "examples/well.csv/x", "/proc/self/mem",
         "/dev/null", "README.md"]
PLACES = ["examples", "absent/x", "README.md/x", "/proc/absent/x"]

WRONG = {
    "water": FILES + ["examples/waters.csv:lake", "absent.csv:well"],
    "share": NUMBERS + ["50", "50,60", "50;50", "50,50,0", "50,", ",50"],
    "units": ["x", "mg/bucket", "mg/L; EC", "g", "EC uS/cm; EC mS/cm"],
    "read-as": ["=", "SO4", "SO4=", "=SO4", "SO4=Q", "Q=SO4", "SO4=[furlong]"],
    "purified": FILES + ["examples/waters.csv", "examples/waters.csv:lake"],
    "water-price": NUMBERS + ["1", "1,2,3", "1,", "1;2", "-1,0", "1e7,0",
                              "nan,0", "0,inf"],
    "target": FILES,
    "target-of": FILES + ["=", "MKP=", "=2g/L", "MKP=2", "MKP=-1g/L",
                          "MKP=nang/L", "no such salt=2g/L"],
    "adjust": ["urea"],
    "stage": ["fruiting"],
    "shelf": FILES,
    "label": FILES + ["=README.md", "leaf="],
    "recipe": FILES,
    "dose": ["=", "Base", "Base=", "=2g/L", "boric acid=g/L", "boric acid=2",
             "boric acid=-1g/L", "boric acid=nang/L", "boric acid=1e300g/L",
             "boric acid=2L", "boric acid=worst", "no such salt=2g/L"],
    "solution": FILES + ["examples/return.csv:lake"],
    "feed": FILES + ["examples/return.csv", "examples/return.csv:lake"],
    "drained": ["x", "nan", "-1", "96", "100", "2kg", "2%%", "30%"],
    "holds": VOLUMES + ["1001L"],
    "volume": VOLUMES,
    "scale-step": MASSES + ["0.01mg", "101kg"],
    "fine-step": MASSES + ["0.01mg", "101kg"],
    "trace-solution": VOLUMES + ["nothing", "1001L"],
    "search-time": NUMBERS + ["0", "0.01s", "3601", "5min"],
    "stocks": FILES,
    "tank": VOLUMES + ["D=50L", "A=", "=50L", "A=x", "acid=50L", "C=50L"],
    "factor": NUMBERS + ["0", "3", "2001", "100x"],
    "head": NUMBERS + ["A", "A=", "=100", "D=100", "A=nan", "A=3", "A=2001",
                       "acid=100"],
    "make-up": FILES + ["examples/waters.csv", "examples/waters.csv:lake"],
    "per-day": VOLUMES,
    "jobs": NUMBERS + ["0", "1.5", "257", "two"],
    "fills": NUMBERS + ["0", "1.5", "1001"],
    "store": NUMBERS + ["20", "20,", "20,5,1", "20;5", "20K,5K", "5C,20C",
                        "51,5", "20,-1", "nan,5", "20,nan"],
    "objective": ["best", "Closest"],
    "equal-within": ["x", "nan", "inf", "-1", "11", "2kg", "2%%"],
    "to-ec": ["x", "nan", "inf", "-1", "0", "1e300", "30", "1.8L"],
    "temperature": DEGREES,
    "meter-temperature": DEGREES,
    "amounts": ["stone", "US"],
    "trade-off": ["price"],
    "curve": ["x", "x.html"] + [name + ".svg" for name in PLACES[1:]],
    "measured-ec": ["x", "5g", "600", "mS/cm", "nanmS/cm", "-1mS/cm",
                    "1e300mS/cm", "600mS/cm"],
    "measured-ph": NUMBERS + ["15", "pH6"],
    "doubt": ["x", "lab", "lab=", "lab=5", "lab=x%", "lab=nan%", "lab=-1%",
              "lab=60%", "lab-ph=3", "scale=5", "scale=5L", "scale=-1g",
              "scale=1e300g",
              "lib=5%", "label=3%=", "meter-ec=0%"],
    "completion": ["csh"],
    "words": ["salts"],
    "format": ["xml", "JSON"],
    "only": ["nothing", ",", "verdict,", "Notes", "list products"],
    "output": PLACES,
    "sheet": ["x", "x.pdf"] + [name + ".html" for name in PLACES[1:]],
    "for": []}

# Values at the very edge of what is meant.
RIGHT = {"formulate": [["--volume", "1mL"], ["--volume", "100000m3"],
                       ["--temperature", "5C"], ["--temperature", "104F"],
                       ["--scale-step", "5g", "--search-time", "0.1s"],
                       ["--scale-step", "5g", "--trace-solution", "1000L"],
                       ["--measured-ph", "14"],
                       ["--share", "0%,100%"], ["--share", "33.3,66.7"]],
         "stock": [["--factor", "4"], ["--head", "B=2000"],
                   ["--store", "0C,0C"], ["--store", "50C,0C"],
                   ["--fills", "1000"], ["--per-day", "1mL"],
                   ["--third-tank", "--head", "acid=200", "--tank",
                    "acid=20L"]],
         "compare": [["--water-price", "0,1e6"]],
         "renew": [["--holds", "1000L"]]}

# Pairs that say two things, and what is told of them.
CONTRADICTIONS = [
    ("formulate", ["--fine-step", "1g"], "--scale-step"),
    ("formulate", ["--whole-packs"], "--scale-step"),
    ("formulate", ["--scale-step", "5g", "--objective", "even"], "closest"),
    ("formulate", ["--trade-off", "cost", "--objective", "even"], "closest"),
    ("formulate", ["--equal-within", "1", "--objective", "even"], "closest"),
    ("formulate", ["--equal-within", "0", "--objective", "even"], "closest"),
    ("formulate", ["--curve", "x.svg"], "--trade-off"),
    ("formulate", ["--for", "you"], "--sheet"),
    ("formulate", ["--doubt", "lab=5%"], "--how-sure"),
    ("formulate", ["--share", "50"], "--water"),
    ("formulate", ["--water", "-:b", "--water", "examples/town.csv",
                   "--read-as", "SO4=SO4-S"], "--read-as"),
    ("formulate", ["--output", "x.svg", "--sheet", "x.svg"], "--output"),
    ("check", ["--dose", "boric acid=1mg/L"], "--recipe"),
    ("check", ["--stocks", "x.csv"], "--stocks"),
    ("check", ["--tank", "50gal"], "--stocks"),
    ("formulate", ["--adjust", "premix"], "--target-of"),
    ("formulate", ["--target-of", "MKP=0.2g/L"], "--target"),
    ("stock", ["--tank", "60gal"], "--tank"),
    ("stock", ["--head", "B=100", "--head", "B=200"], "--head B=200"),
    ("renew", ["--water", "examples/town.csv"], "--water"),
    ("audit", ["--water", "examples/town.csv"], "--water"),
    ("audit", ["--solution", "examples/return.csv:late"], "--solution"),
    ("audit", ["--drained", "30%"], "--drained"),
    ("audit", ["--brief", "--format", "json"], "--brief"),
    ("audit", ["--brief", "--only", "notes"], "--brief"),
    ("audit", ["--sheet", "x.svg"], "--sheet"),
    ("batch", ["--water", "-", "--water", "-:a", "--make-up", "-"], "--make"),
    ("compare", ["--water", "-", "--purified", "-"], "--purified"),
    ("check", ["--water", "-", "--shelf", "-"], "--shelf")]


def listed(command):
    """(name, argument or "") of each option, from the command's help."""
    text = run(command, "--help").stdout
    return re.findall(r"^  --([a-z-]+)(?: ([^ a-z]\S*))?", text, re.M)


def takers():
    """The commands that take each option with an argument."""
    taken = {}
    for command in GIVEN:
        for name, argument in listed(command):
            if argument:
                taken.setdefault(name, []).append(command)
    return taken


def words(command, name, value):
    """The command, all it needs, and the option in the place of a good one."""
    given = [command, *GIVEN[command]]
    if command == "audit" and name in ("solution", "feed", "drained",
                                       "target", "stage"):
        given = [command, "--solution", "examples/return.csv:late"]
    if name in ("dose", "stocks") or command == "check" and name in (
            "tank", "factor", "head", "make-up", "per-day", "fills", "store"):
        at = given.index("--recipe") if "--recipe" in given else None
        if at is not None:
            del given[at:at + 2]
        if name not in ("dose", "stocks"):
            given += ["--stocks", "tests/bad/stocks-negative.csv"]
        if name not in ("dose", "tank"):
            given += ["--tank", "200L"]
    if name in ("target-of", "adjust"):
        at = given.index("--target")
        del given[at:at + 2]
        given += ["--target-of", "MKP=0.2g/L"]
    if name == "share":
        given += ["--water", "examples/town.csv"]
    if "--" + name in given:
        at = given.index("--" + name)
        del given[at:at + 2]
    return given + BESIDE.get(name, []) + ["--" + name, value]


class Options(unittest.TestCase):
    def refused(self, name, arguments, **options):
        """Of `name`, in few words, with nothing written anywhere."""
        before = set(os.listdir(SOURCE))
        with (tempfile.TemporaryDirectory() as folder,
              self.subTest(" ".join(arguments))):
            if "--output" not in arguments and "--sheet" not in arguments:
                arguments = [*arguments, "--output",
                             os.path.join(folder, "result")]
            done = run(*arguments, **options)
            said = [line for line in done.stderr.splitlines()
                    if ": warning: " not in line and ": note: " not in line]
            self.assertIn(done.returncode, (2, 3), done.stderr)
            self.assertEqual(done.stdout, "")
            self.assertIn(len(said), (1, 2), said)
            self.assertIn(": error: ", said[0])
            self.assertLess(len(said[0]), 500)
            if done.returncode == 2:
                self.assertTrue(said[1].startswith("Try: saltwright "), said)
                self.assertIn("--" + name, said[0])
                self.assertRegex(said[0], "expected|needs|choose|such")
            self.assertEqual(os.listdir(folder), [])
            self.assertEqual(set(os.listdir(SOURCE)), before)
        return done

    def test_every_option_is_here(self):
        self.assertEqual(set(takers()), set(WRONG))

    def test_what_no_option_can_mean_is_refused(self):
        cases = []
        for name, commands in takers().items():
            cases += [(commands[0], name, value) for value in WRONG[name]]
            cases += [(command, name, value) for command in commands[1:]
                      for value in WRONG[name][:1]]
        for command, name, value in some(cases):
            self.refused(name, words(command, name, value))

    def test_a_fault_of_a_file_is_told_from_one_of_the_command_line(self):
        for name, value, code in (("water", "absent.csv", 3),
                                  ("water", "examples", 3),
                                  ("water", "/proc/self/mem", 3),
                                  ("water", "README.md", 3),
                                  ("water", "examples/waters.csv", 2),
                                  ("water", "examples/waters.csv:lake", 2),
                                  ("stage", "fruiting", 2),
                                  ("target", "examples/pepper-stages.csv", 2),
                                  ("output", "absent/x", 2)):
            done = self.refused(name, words("check", name, value))
            self.assertEqual(done.returncode, code, done.stderr)
            self.assertIn(value.split(":")[0], done.stderr)
        self.assertEqual(run("catalogue", "no such salt").returncode, 2)

    def test_no_option_does_without_its_value(self):
        for name, commands in some(takers().items()):
            given = words(commands[-1], name, "")
            self.refused(name, given)
            self.refused(name, given[:-1] + [" "])
            done = run(*given[:-1])
            self.assertEqual((done.returncode, done.stdout), (2, ""))
            self.assertIn(f"--{name} needs ", done.stderr)

    def test_an_option_without_value_takes_none(self):
        for command in GIVEN:
            for name, argument in listed(command):
                if not argument:
                    done = run(command, *GIVEN[command], f"--{name}=yes")
                    self.assertEqual((done.returncode, done.stdout), (2, ""))
                    self.assertIn(f"--{name} takes no value", done.stderr)

    def test_what_does_not_repeat_is_given_once(self):
        for name, commands in some(takers().items()):
            if name in ("water", "read-as", "label", "dose", "tank", "head", "doubt",
                        "adjust"):
                continue
            given = words(commands[-1], name, "x")
            done = self.refused(name, given + ["--" + name, "x"])
            self.assertIn("given twice", done.stderr)

    def test_what_a_command_needs_is_asked_for(self):
        for command, given in GIVEN.items():
            for at in range(0, len(given), 2):
                name = given[at].lstrip("-")
                if name in ("purified", "volume", "recipe", "shelf"):
                    continue
                self.refused(name, [command, *given[:at], *given[at + 2:]])

    def test_what_contradicts_itself_is_refused(self):
        for command, more, name in CONTRADICTIONS:
            with self.subTest(more):
                done = run(command, *GIVEN[command], *more)
                self.assertEqual((done.returncode, done.stdout), (2, ""),
                                 done.stderr)
                self.assertIn(name, done.stderr)

    def test_the_edges_of_what_is_meant_are_taken(self):
        for command, cases in RIGHT.items():
            for more in cases:
                with self.subTest(more):
                    done = run(*words(command, more[0][2:], more[1])[:-2],
                               *more)
                    self.assertLessEqual(done.returncode, 1, done.stderr)
                    self.assertNotIn("error:", done.stderr)

    def test_recipes_near_enough_are_equal_to_the_closest_alone(self):
        with written("product,formula\nsop,K2SO4\nglauber,Na2SO4\n") as shelf, \
                written("parameter,target\nK,200\nS,83.3\n") as target:
            for objective, products in (("closest", 1), ("even", 2)):
                with self.subTest(objective):
                    told = run_json(
                        "formulate", "--water", "examples/waters.csv:purified",
                        "--target", target.name, "--shelf", shelf.name,
                        "--objective", objective)
                    self.assertEqual(len(told["recipe"]), products)

    def test_a_ph_in_place_of_a_target_is_told_its_file(self):
        for name in ("pH", "pH aired"):
            done = run("formulate", "--water", "examples/well.csv",
                       "--target", name)
            self.assertEqual(done.returncode, 2, done.stderr)
            self.assertIn("'pH,5.8,5.5,6.2'", done.stderr)

    def test_a_mistyped_word_is_told_the_nearest(self):
        for arguments, near in (
                (["formulat"], "formulate"), (["help", "formulat"], "formulate"),
                (["--versoin"], "--version"),
                (["formulate", "--taget", "x"], "--target"),
                (["stock", "--third_tank"], "--third-tank"),
                (["formulate", *BASIL, "--format", "jsn"], "json"),
                (["formulate", *BASIL, "--objective", "cheepest"],
                 "cheapest"),
                (["formulate", *BASIL, "--trade-off", "costs"], "cost"),
                (["formulate", *BASIL, "--how-sure", "--doubt", "lable=3%"],
                 "label"),
                (["formulate", *BASIL[:4], "--shlef", "x"], "--shelf"),
                (["catalogue", "borik acid"], "boric acid"),
                (["check", *BASIL, "--dose", "borik acid=1mg/L"],
                 "boric acid")):
            with self.subTest(arguments):
                done = run(*arguments)
                self.assertEqual((done.returncode, done.stdout), (2, ""))
                self.assertIn(near, done.stderr)

    def test_a_mistyped_product_of_a_file_is_told_the_nearest(self):
        with written("product\nmagnesium sulfat heptahydrate\n") as shelf:
            done = run("formulate", *BASIL[:4], "--shelf", shelf.name)
        self.assertEqual((done.returncode, done.stdout), (3, ""))
        self.assertIn("magnesium sulfate heptahydrate", done.stderr)

    def test_the_beginning_of_several_options_lists_them(self):
        done = run("stock", *BASIL, "--t", "50gal")
        self.assertEqual((done.returncode, done.stdout), (2, ""))
        for name in "--target", "--tank", "--to-ec", "--temperature":
            self.assertIn(name, done.stderr)


if __name__ == "__main__":
    unittest.main()
