# SPDX-License-Identifier: GPL-3.0-or-later
"""Commands and options: the same in the help, the manual, the completion."""
import os
import re
import subprocess
import unittest

from runner import SOURCE, run


def commands():
    part = run("--help").stdout.split("Commands\n")[1].split("\n\n")[0]
    return re.findall(r"^  ([a-z]+)", part, re.M)


def options(command):
    part = run(command, "--help").stdout.split("\nOptions\n")[1]
    return re.findall(r"^  --([a-z-]+)", part.split("\n\n")[0], re.M)


def complete(*words):
    script = ('source cli/saltwright.bash; COMP_WORDS=("$@"); '
              'COMP_CWORD=$(($# - 1)); _saltwright 2>/dev/null; '
              'printf "%s\\n" "${COMPREPLY[@]}"')
    done = subprocess.run(["bash", "-c", script, "-", *words], cwd=SOURCE,
                          capture_output=True, text=True, check=False)
    return done.stdout.split()


class Words(unittest.TestCase):
    def test_completion_knows_every_command(self):
        self.assertEqual(set(complete("saltwright", "")),
                         {*commands(), "--help", "--version"})

    def test_completion_knows_the_options_of_each_command(self):
        for command in commands():
            self.assertEqual(
                set(complete("saltwright", command, "")),
                {"--" + option for option in options(command)}, command)

    def test_completion_offers_the_words_of_an_option(self):
        self.assertEqual(complete("saltwright", "check", "--format", "j"),
                         ["json"])
        self.assertEqual(set(complete("saltwright", "formulate",
                                      "--objective", "")),
                         {"closest", "even", "cheapest"})

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

    def test_the_version_is_the_projects(self):
        with open(os.path.join(SOURCE, "CMakeLists.txt"),
                  encoding="utf-8") as file:
            version = re.search(r"VERSION (\d+\.\d+\.\d+)", file.read())
        self.assertEqual(run("--version").stdout,
                         f"saltwright {version.group(1)}\n")


if __name__ == "__main__":
    unittest.main()
