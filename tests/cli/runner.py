# SPDX-License-Identifier: GPL-3.0-or-later
"""Running the command under test, for the tests beside this file."""
import json
import os
import subprocess
import tempfile
import unicodedata

COMMAND = os.environ["SALTWRIGHT"]
SOURCE = os.path.dirname(os.path.dirname(os.path.dirname(
    os.path.abspath(__file__))))
WELL = ["--water", "examples/well.csv"]
BASIL = WELL + ["--target", "examples/basil.csv",
                "--shelf", "examples/straights.csv"]

PLAIN = WELL + ["--target", "tests/cli/plain.csv"]


# Where each run of the command is slow a suite has one case in so many.
ONE_IN = int(os.environ.get("SW_ONE_IN", "1"))


def some(cases):
    """All of them, or one in ONE_IN."""
    return list(cases)[::ONE_IN]


def run(*arguments, **options):
    """The finished process, its output as text unless `text` says not.

    One that a signal ended has answered nothing, whatever a test makes of its
    output: it fails here, but for the signal in `ends_by`."""
    ends_by = options.pop("ends_by", None)
    options.setdefault("text", True)
    if options["text"]:
        options.setdefault("encoding", "utf-8")
    options.setdefault("stdin", subprocess.DEVNULL
                       if "input" not in options else None)
    if options["stdin"] is None:
        del options["stdin"]
    environment = dict(os.environ, NO_COLOR="1",
                       XDG_CONFIG_HOME="/nonexistent", PAGER="")
    environment.update(options.pop("env", {}))
    done = subprocess.run([COMMAND, *arguments], cwd=SOURCE, check=False,
                          env=environment, timeout=60,
                          stdout=options.pop("stdout", subprocess.PIPE),
                          stderr=subprocess.PIPE, **options)
    assert done.returncode >= 0 or done.returncode == -(ends_by or 0), (
        -done.returncode, arguments, done.stderr)
    return done


def run_json(*arguments, **options):
    done = run(*arguments, "--format", "json", **options)
    assert done.returncode <= 1, done.stderr
    return json.loads(done.stdout)


def columns(line):
    """Columns a line takes on a terminal."""
    return sum(0 if unicodedata.combining(c) or
               unicodedata.category(c) in ("Cf", "Me", "Mn")
               else 2 if unicodedata.east_asian_width(c) in "WF" else 1
               for c in line)


# Charges of a mole in water, and its g/mol (IUPAC 2021, abridged).
CHARGES = {"Ca": (2, 40.078), "Mg": (2, 24.305), "Na": (1, 22.990),
           "K": (1, 39.098), "NH4-N": (1, 14.007), "Fe": (2, 55.845),
           "Mn": (2, 54.938), "Zn": (2, 65.38), "Cu": (2, 63.546),
           "NO3-N": (-1, 14.007), "P": (-1, 30.974), "S": (-2, 32.06),
           "Cl": (-1, 35.45), "F": (-1, 18.998)}


def balanced(mg_per_l, alkalinity_meq):
    """An invented water with as much more Na or Cl as its charges lack: one
    out of balance is not to be mixed."""
    lack = alkalinity_meq
    for name, mg in mg_per_l.items():
        charge, weight = CHARGES.get(name, (0, 1))
        lack -= charge * mg / weight
    more = "Na" if lack > 0 else "Cl"
    return {**mg_per_l, more: mg_per_l.get(more, 0) +
            abs(lack) * CHARGES[more][1]}


def written(text, suffix=".csv"):
    """A temporary file holding `text`; the caller closes it."""
    file = tempfile.NamedTemporaryFile("w", suffix=suffix, encoding="utf-8",
                                       newline="")
    file.write(text)
    file.flush()
    return file
