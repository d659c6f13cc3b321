#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Whether the reference tables are sound and described.

    tables.py FOLDER

FOLDER holds the tables as *.csv and README.md, with a section per table and
every column in it.  Prints each breach; exit status 1 when there is one.
"""
import csv
import os
import re
import sys
import unicodedata

KEYED = {"components.csv": "name", "catalogue.csv": "name", "parameters.csv": "name",
         "units.csv": "name", "atomic_weights.csv": "symbol"}


def sections(readme):
    """The README's text by the table named in each heading."""
    parts = re.split(r"^#+ (.*)$", readme, flags=re.M)
    return dict(zip(parts[1::2], parts[2::2]))


def folded(name):
    """A name as the library looks it up."""
    bare = unicodedata.normalize("NFKD", name)
    return "".join(c for c in bare.lower() if c.isascii() and c.isalnum())


def row_breaches(where, header, row):
    if len(row) != len(header):
        yield f"{where}: {len(row)} cells, the header has {len(header)}"
    elif not row[-1].strip():
        yield f"{where}: no source"
    for cell in row:
        if cell != cell.strip():
            yield f"{where}: blanks around '{cell}'"


def repeat_breaches(name, header, rows):
    """Two rows of one name, or other names of two rows where that is wrong."""
    place = header.index(KEYED[name])
    shared = name in ("catalogue.csv", "units.csv")
    seen = {}
    for row in rows:
        names = [row[place]]
        if "other_names" in header and not shared:
            names += row[header.index("other_names")].split("|")
        for one in names:
            key = one if shared else folded(one)
            if key and seen.setdefault(key, row[place]) != row[place]:
                yield f"{name}: '{one}' is {row[place]} and {seen[key]}"
    own = [row[place] for row in rows]
    for one in sorted({n for n in own if own.count(n) > 1}):
        yield f"{name}: '{one}' stands twice"


def table_breaches(name, data, described):
    if data.startswith(b"\xef\xbb\xbf") or b"\r" in data:
        yield f"{name}: plain UTF-8 with line feeds is wanted"
    header, *rows = csv.reader(data.decode("utf-8-sig").splitlines())
    if header[-1] != "source":
        yield f"{name}: the last column is '{header[-1]}', not 'source'"
    if not rows:
        yield f"{name}: no rows"
    before = list(row_breaches(name, header, header))
    for number, row in enumerate(rows, 2):
        before += row_breaches(f"{name}:{number}", header, row)
    yield from before
    if described is None:
        yield f"{name}: no section in README.md"
        return
    for column in header[:-1]:
        if f"`{column}`" not in described:
            yield f"{name}: column {column} is not described in README.md"
    if name in KEYED and not before:
        yield from repeat_breaches(name, header, rows)


def names_of(folder, table):
    with open(os.path.join(folder, table), encoding="utf-8") as file:
        return {row["name"] for row in csv.DictReader(file)}


def parameter_breaches(folder):
    """Components that parameters.csv names and components.csv does not."""
    with open(os.path.join(folder, "parameters.csv"), encoding="utf-8") as file:
        named = {row["component"] for row in csv.DictReader(file)
                 if row["kind"] == "COMPONENT"}
    for name in sorted(named - names_of(folder, "components.csv")):
        yield f"parameters.csv: '{name}' is not in components.csv"


def breaches(folder):
    with open(os.path.join(folder, "README.md"), encoding="utf-8") as file:
        described = sections(file.read())
    tables = sorted(n for n in os.listdir(folder) if n.endswith(".csv"))
    for name in tables:
        with open(os.path.join(folder, name), "rb") as file:
            yield from table_breaches(name, file.read(), described.get(name))
    if {"components.csv", "parameters.csv"} <= set(tables):
        yield from parameter_breaches(folder)
    for heading in described:
        if heading.endswith(".csv") and heading not in tables:
            yield f"README.md: there is no {heading}"


def main():
    found = list(breaches(sys.argv[1]))
    print("\n".join(found))
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
