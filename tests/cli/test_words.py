# SPDX-License-Identifier: GPL-3.0-or-later
"""Commands and options: the same in the help, the manual, the completion."""
import csv
import os
import re
import shlex
import shutil
import subprocess
import unittest

from runner import BASIL, COMMAND, SOURCE, run, written


def commands():
    part = run("--help").stdout.split("Commands\n")[1].split("\n\n")[0]
    return re.findall(r"^  ([a-z]+)", part, re.M)


def options(command):
    part = run(command, "--help").stdout.split("\nExample\n")[0]
    return re.findall(r"^  --([a-z-]+)", part, re.M)


def table():
    """The rows of the one list of options."""
    path = os.path.join(SOURCE, "cli/io/options.csv")
    with open(path, encoding="utf-8") as file:
        return list(csv.DictReader(file))


BASH = written(run("help", "--completion", "bash").stdout, ".bash")


def completed(*words):
    """Lines that the shell would offer, of the command under test."""
    script = ('source "$1"; shift; COMP_WORDS=("$@"); '
              'COMP_CWORD=$(($# - 1)); _saltwright 2>/dev/null; '
              'printf "%s\\n" "${COMPREPLY[@]}"')
    done = subprocess.run(["bash", "-c", script, "-", BASH.name,
                           os.path.abspath(COMMAND), *words[1:]], cwd=SOURCE,
                          capture_output=True, text=True, check=False)
    return done.stdout.splitlines()


def complete(*words):
    return " ".join(completed(*words)).split()


class Words(unittest.TestCase):
    def test_completion_knows_every_command(self):
        self.assertEqual(set(complete("saltwright", "")),
                         {*commands(), "--help", "--version"})

    def test_completion_knows_the_options_of_each_command(self):
        for command in commands():
            self.assertEqual(
                set(complete("saltwright", command, "")),
                {"--" + option for option in options(command)} |
                (set(commands()) if command == "help" else set()), command)

    def test_every_option_of_the_table_is_one_of_a_command(self):
        taken = {option for command in commands()
                 for option in options(command)}
        self.assertEqual(taken, {row["name"] for row in table()})

    def test_completion_offers_the_words_of_an_option(self):
        worded = [row for row in table() if row["values"]]
        self.assertGreater(len(worded), 3)
        for row in worded:
            self.assertEqual(
                complete("saltwright", "check", "--" + row["name"], ""),
                row["values"].split(), row["name"])
        self.assertEqual(complete("saltwright", "check", "--format", "j"),
                         ["json"])
        self.assertEqual(set(complete("saltwright", "formulate",
                                      "--objective", "")),
                         {"closest", "even", "cheapest"})

    def test_completion_knows_products_targets_and_stages(self):
        self.assertIn("yamazaki-lettuce",
                      complete("saltwright", "formulate", "--target", "yama"))
        self.assertEqual(completed("saltwright", "formulate", "--target",
                                   "hs796-tomato", "--stage", "5"),
                         [r"5th\ cluster"])
        self.assertEqual(completed("saltwright", "catalogue", "monop"),
                         [r"monopotassium\ phosphate"])
        self.assertEqual(completed("saltwright", "formulate", "--adjust",
                                   "boric"), [r"boric\ acid"])
        self.assertEqual(complete("saltwright", "help", "formu"), ["formulate"])

    def test_every_shell_and_manual_page_has_every_option(self):
        pages = {shell: run("help", "--completion", shell).stdout
                 for shell in ("bash", "zsh", "fish")}
        for command in commands():
            page = run("help", "--manual", command).stdout
            lint = subprocess.run(["mandoc", "-T", "lint", "-W", "warning"],
                                  input=page, capture_output=True, text=True,
                                  check=False)
            self.assertEqual((lint.stdout, lint.returncode), ("", 0))
            words = re.search(r"\.Nd (.*)", page)[1].replace("'", "{}")
            for shell, quote in (("zsh", r"'\''"), ("fish", r"\'")):
                self.assertIn(words.replace("{}", quote) + "'\n",
                              pages[shell])
            for option in options(command):
                self.assertIn(f".It Fl \\-{option}", page)
                self.assertRegex(pages["zsh"], rf"'--{option}:")
                self.assertRegex(pages["fish"],
                                 rf"_from {command}' -l {option} ")
        for shell, page in pages.items():
            self.assertNotRegex(page, r"(?m)^\s*@", shell) # rows to repeat
            if shutil.which(shell):
                done = subprocess.run([shell, "-n"], input=page, text=True,
                                      capture_output=True, check=False)
                self.assertEqual((done.returncode, done.stderr), (0, ""))

    def test_help_says_the_same_in_each_way(self):
        self.assertEqual(run("help").stdout, run("--help").stdout)
        self.assertEqual(run("-h").stdout, run("--help").stdout)
        self.assertEqual(run("-V").stdout, run("--version").stdout)
        one = run("help", "audit").stdout
        self.assertIn("Usage: saltwright audit", one)
        self.assertEqual(run("audit", "--help").stdout, one)
        self.assertEqual(run("audit", "-h").stdout, one)
        for given in (["adit"], ["audit", "check"], ["--completion", "csh"],
                      ["--words", "salts"], ["--manual"],
                      ["--words", "products", "x"]):
            done = run("help", *given)
            self.assertEqual((done.returncode, done.stdout), (2, ""), given)
            self.assertIn("error: ", done.stderr)

    def test_completion_offers_no_option_for_the_value_of_one(self):
        for command in commands():
            text = run(command, "--help").stdout
            for name, argument in re.findall(
                    r"^  --([a-z-]+) (\[?[A-Z]\S*)", text, re.M):
                offered = complete("saltwright", command, "--" + name, "")
                self.assertFalse([w for w in offered if w.startswith("--")],
                                 name)
                files = complete("saltwright", command, "--" + name, "READ")
                self.assertEqual(files == ["README.md"],
                                 "FILE" in argument, name)
                if argument == "WORD":
                    self.assertGreaterEqual(len(offered), 2, name)
                    for word in offered:
                        self.assertRegex(text, rf"\b{word}\b")

    def test_the_manual_knows_no_other_option(self):
        """With the argument it has in the help."""
        path = os.path.join(SOURCE, "cli/saltwright.1")
        with open(path, encoding="utf-8") as file:
            page = file.read()
        told = {name: bool(rest) for name, rest in re.findall(
            r"^\.It Fl \\-([a-z-]+)(.*)$", page, re.M)}
        known = {"version": False}
        for command in commands():
            for name, argument in re.findall(
                    r"^  --([a-z-]+)( \[?[A-Z]\S*)?", run(
                        command, "--help").stdout, re.M):
                known[name] = bool(argument)
        self.assertEqual(told, known)

    def test_the_manual_knows_every_option(self):
        path = os.path.join(SOURCE, "cli/saltwright.1")
        with open(path, encoding="utf-8") as file:
            page = file.read()
        for command in commands():
            for option in options(command):
                self.assertRegex(page, rf"\.It Fl \\-{option}\b")

    def test_help_shows_an_example_that_parses(self):
        for command in commands():
            text = run(command, "--help").stdout
            self.assertIn("\nExample\n  saltwright " + command, text)

    def test_a_wrong_word_gets_the_near_one(self):
        for wrong, right in ((["formulat"], "formulate"),
                             (["chekc"], "check"),
                             (["formulate", "--taget=x"], "--target"),
                             (["check", "--dosis", "x"], "--dose"),
                             (["audit", "--format", "jason", "--water", "x"],
                              "json")):
            done = run(*wrong)
            self.assertEqual(done.returncode, 2)
            self.assertIn(f"did you mean {right}?", done.stderr)
            self.assertEqual(done.stdout, "")

    def test_a_word_near_nothing_gets_no_suggestion(self):
        done = run("formulate", "--qqqqqqqqqqqqq")
        self.assertEqual(done.returncode, 2)
        self.assertNotIn("did you mean", done.stderr)

    def test_alone_it_says_what_to_do_next(self):
        done = run()
        self.assertEqual(done.returncode, 2)
        self.assertEqual(done.stdout, "")
        self.assertIn("saltwright formulate --water", done.stderr)

    def test_the_commands_it_says_to_run_make_recipes(self):
        said = run().stderr.replace("\\\n", "")
        found = re.findall(r"^  saltwright (formulate --.*)$", said, re.M)
        self.assertEqual(len(found), 2)
        for given in found:
            words = [word.replace("lab.csv", "examples/town.csv")
                     for word in shlex.split(given)]
            done = run(*words)
            self.assertLessEqual(done.returncode, 1, done.stderr)
            self.assertIn("\nRecipe for ", done.stdout)

    def test_the_usage_says_what_each_command_needs(self):
        for command in commands():
            usage = run(command, "--help").stdout.split("\n\n")[0]
            needed = re.findall(r"--([a-z-]+)", usage)
            given = [command]
            for name in needed:
                self.assertIn(f"needs --{name} ", run(*given).stderr)
                given += ["--" + name, "x"]
            self.assertNotIn(" needs --", run(*given).stderr.replace(
                "nothing to check", ""), command)

    def test_the_version_is_the_projects(self):
        with open(os.path.join(SOURCE, "CMakeLists.txt"),
                  encoding="utf-8") as file:
            version = re.search(r"VERSION (\d+\.\d+\.\d+)", file.read())
        self.assertEqual(run("--version").stdout,
                         f"saltwright {version.group(1)}\n")


class Figures(unittest.TestCase):
    """Numbers in sentences are such as people write."""

    def test_no_sentence_holds_an_exponent(self):
        with open(os.path.join(SOURCE, "examples/well.csv"),
                  encoding="utf-8") as file:
            well = file.read()
        for read, slip in (("Ca,104,mg/L", "Ca,104,mmol/L"),
                           ("EC,788,uS/cm", "EC,0.788,uS/cm")):
            with written(well.replace(read, slip)) as water:
                done = run("formulate", "--water", water.name, *BASIL[2:])
            said = done.stderr + done.stdout.split("  water ")[0]
            self.assertIn("does not go with", said)
            self.assertIsNone(re.search(r"\de[+-]\d", said), said)


if __name__ == "__main__":
    unittest.main()
