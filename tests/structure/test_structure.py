#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""structure.py finds each breach it is meant to find, and nothing else."""
import os
import subprocess
import sys
import tempfile

HERE = os.path.dirname(os.path.abspath(__file__))
LICENCE = "/* SPDX-License-Identifier: GPL-3.0-or-later */\n"
GOOD = {
    "README.md": "x\n", "DEVELOPERS.md": "x\n",
    "CMakeLists.txt": "# SPDX-License-Identifier: GPL-3.0-or-later\n",
    "lib/saltwright.h": LICENCE,
    "lib/stock/tank.c": LICENCE + '#include "quantity/unit.h"\n'
                                  "int sw_tank(void)\n{\n    return 1;\n}\n",
    "lib/quantity/unit.h": LICENCE,
    "cli/main.c": LICENCE + '#include "saltwright.h"\n'
                            "int main(void)\n{\n    return 0;\n}\n",
    "cli/io/page.h": LICENCE, "cli/run/run.h": LICENCE,
    "tests/a.txt": "x\n", "examples/a.csv": "x\n", "reference/a.csv": "x\n",
}
LONG = "int sw_long(void)\n{\n" + "    ;\n" * 90 + "    return 0;\n}\n"
BREACHES = [  # file, text added to it, what must be said
    ("CHANGES", "x\n", "not one of the names of the top level"),
    ("lib/quantity/unit.h", '#include "stock/tank.h"\n',
     "quantity must not include stock"),
    ("lib/records/csv.c", LICENCE + '#include "chemistry/ion.h"\n',
     "records must not include chemistry"),
    ("lib/stock/tank.c", '#include "unit.h"\n', "is in no room"),
    ("lib/stock/tank.c", "#include <glpk.h>\n", "GLPK has one door"),
    ("lib/saltwright.h", '#include "saltwright.h"\n', "includes itself"),
    ("lib/saltwright_a.h", LICENCE + "SW_API sw_status sw_a(sw_error *e);\n",
     "does not call sw_a"),
    ("cli/main.c", '#include "quantity/unit.h"\n', "is not the public header"),
    ("cli/io/page.h", '#include "run/run.h"\n', "io must not include run"),
    ("lib/quantity/unit.h", "glp_prob *sw_model(void);\n",
     "glp_prob in a header"),
    ("lib/quantity/unit.c", "int sw_a;\n", "no SPDX line"),
    ("lib/stock/tank.c", LONG, "sw_long has 94 lines"),
    ("lib/stock/tank.c", "/* */\n" * 600, "lines, over 600"),
    ("CMakeLists.txt", "file(GLOB sources *.c)\n", "not globbed"),
    ("tests/a.txt", "see /" + "home/someone/x\n", "a path of one machine"),
]


def write(folder, name, text, mode="w"):
    path = os.path.join(folder, name)
    os.makedirs(os.path.dirname(path), exist_ok=True)
    with open(path, mode, encoding="utf-8") as f:
        f.write(text)


def run(folder, *more):
    done = subprocess.run([sys.executable,
                           os.path.join(HERE, "structure.py"), folder, *more],
                          capture_output=True, text=True)
    return done.returncode, done.stdout


def symbols_of(folder, text):
    """What is said of an archive compiled from `text`."""
    with tempfile.TemporaryDirectory() as other:
        write(other, "x.c", text)
        path = os.path.join(other, "x")
        subprocess.run(["cc", "-fPIC", "-c", path + ".c", "-o", path + ".o"],
                       check=True)
        subprocess.run(["ar", "rc", path + ".a", path + ".o"], check=True)
        return run(folder, path + ".a")


def main():
    failures = []
    for name, text, said in [(None, "", "0 breaches")] + BREACHES:
        with tempfile.TemporaryDirectory() as folder:
            for good, content in GOOD.items():
                write(folder, good, content)
            if name:
                write(folder, name, text, "a")
            status, out = run(folder)
            if said not in out or status != (1 if name else 0) or \
                    (name and "1 breaches" not in out):
                failures.append(f"{name}: expected '{said}':\n{out}")
    with tempfile.TemporaryDirectory() as folder:
        for good, content in GOOD.items():
            write(folder, good, content)
        for text, said in [
                ("int alien(void) { return 1; }", "without the prefix"),
                ("static int n; int sw_n(void) { return n++; }",
                 "n: global state"),
                ("static int n = 3; int sw_n(void) { return n++; }",
                 "n: global state")]:
            status, out = symbols_of(folder, text)
            if said not in out or status != 1:
                failures.append(f"{text}: expected '{said}':\n{out}")
        status, out = symbols_of(
            folder, 'static const char *const t[] = {"a"};'
                    "const char *sw_t(int i) { return t[i]; }")
        if status != 0:
            failures.append("a constant table counts as state:\n" + out)
    for failure in failures:
        print(failure)
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
