#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""join.py COMMAND OUT.html : the page, its style and script, the command that
emscripten made (COMMAND.js and COMMAND.wasm) and the names of reference/, as one
file that fetches nothing."""
import base64
import collections
import csv
import hashlib
import html
import pathlib
import re
import subprocess
import sys
import unicodedata

HERE = pathlib.Path(__file__).resolve().parent
TOP = HERE.parent.parent
FIGURES = ("N NO3-N NH4-N P K Ca Mg S Fe Mn Zn Cu B Mo Si Na:max Cl:max pH "
           "EC").split()


def text_of(path):
    return path.read_text(encoding="utf-8")


def table(name):
    with open(TOP / "reference" / name, encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def option(value, words, **data):
    extra = "".join(f' data-{k}="{html.escape(v)}"' for k, v in data.items())
    return f'<option value="{html.escape(value)}"{extra}>{html.escape(words)}</option>'


def crops():
    stages = {}
    for row in table("crop_targets.csv"):
        if row["stage"]:
            stages.setdefault(row["set"], []).append(row["stage"])
    groups = {}
    for row in table("crop_sets.csv"):
        about = f'{row["source"]}; {row["known"]}. {row["remark"]}'
        groups.setdefault(row["crop"], []).append(
            option(row["name"], f'{row["crop"]}: {row["cited"]} ({row["name"]})',
                   source=about, stages="|".join(stages.get(row["name"], []))))
    return "".join(f for crop in sorted(groups) for f in groups[crop])


def bare(name):
    """As names are compared: letters without accents, figures, no spaces."""
    plain = unicodedata.normalize("NFD", name).lower()
    return re.sub(r"[^a-z0-9.%]", "", plain)


def trade_name(names, shared):
    """What a grower calls a product, as the command knows it: as the common straights
    do, else without its water of crystallisation where no other hydrate is known."""
    for straight in table("common_straights.csv"):
        if straight["product"].split(" (")[0].lower() in map(str.lower, names):
            return straight["product"]
    dry = re.sub(r" \w+hydrate$", "", names[0])
    return dry if dry in names and not shared(dry) else names[0]


def boxes(rows):
    out = []
    for shown, names, formula in sorted(rows, key=lambda row: row[0].lower()):
        others = [n for n in names if bare(n) not in bare(shown)][:2]
        known = html.escape("|".join(map(bare, (*names, formula))))
        out.append(f'<label class="tick" data-names="{known}">'
                   f'<input type="checkbox" name="product" value="{html.escape(shown)}" '
                   f'data-was="{html.escape(names[0])}">{html.escape(shown)} '
                   f'<small>{html.escape(", ".join(others))}</small></label>')
    return "".join(out)


def products():
    """One box each, found by every name it has: the common straights, then all others."""
    catalogue = [[n for n in (row["name"], *row["other_names"].split("|")) if n]
                 for row in table("catalogue.csv")]
    count = collections.Counter(n for names in catalogue for n in set(names))
    rows = [(trade_name(names, lambda name: count[name] > 1), names, row["formula"])
            for names, row in zip(catalogue, table("catalogue.csv"))]
    common = [row["product"] for row in table("common_straights.csv")]
    return "".join(
        f'<div class="group"><h3>{title}</h3>'
        f'{boxes(row for row in rows if (row[0] in common) == known)}</div>'
        for title, known in (("The common straights", True), ("All others", False)))


def figures():
    out = []
    for name in FIGURES:
        what, _, limit = name.partition(":")
        words = what + (" at most" if limit else "") + (" mS/cm" if what == "EC" else "")
        out.append(f'<label>{words} <input name="figure" data-of="{name}" size="4" '
                   'inputmode="decimal"></label> ')
    return "".join(out)


def sources():
    with open(HERE / "libraries.csv", encoding="utf-8", newline="") as file:
        return "".join(f'<li>{r["name"]} {html.escape(r["version"])}</li>'
                       for r in csv.DictReader(file))


def hashed(text):
    digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
    return f"'sha256-{digest}'"


def main(command, out):
    style = text_of(TOP / "cli/write/style.css") + text_of(HERE / "page.css")
    script = text_of(HERE / "keep.js") + text_of(HERE / "page.js")
    engine = text_of(pathlib.Path(command + ".js")) + "\n" + text_of(HERE / "engine.js")
    wasm = base64.b64encode(pathlib.Path(command + ".wasm").read_bytes()).decode()
    version = re.search(r"VERSION ([\d.]+) L", text_of(TOP / "CMakeLists.txt"))[1]
    commit = subprocess.run(["git", "-C", TOP, "rev-parse", "--short=12", "HEAD"],
                            capture_output=True, text=True, check=False)
    for text in (style, script, engine):
        if re.search(r"</(script|style)", text, re.I):
            sys.exit("join.py: a script or style would end early")
    parts = {
        # 'wasm-unsafe-eval': to compile what stands in this file, no more.
        "policy": f"default-src 'none'; script-src {hashed(script)} "
                  f"'wasm-unsafe-eval'; style-src {hashed(style)}; "
                  "worker-src blob:; base-uri 'none'; form-action 'none'",
        "style": style, "script": script, "engine": engine, "wasm": wasm,
        "crops": crops(), "products": products(), "figures": figures(),
        "sources": sources(), "version": version,
        "commit": commit.stdout.strip() or "(no git)",
    }
    page = re.sub(r"@([a-z]+)@", lambda m: parts[m[1]], text_of(HERE / "page.html"))
    pathlib.Path(out).write_text(page, encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
