# SPDX-License-Identifier: GPL-3.0-or-later
"""Laboratory reports and archive files as they arrive.

    test_labs.py TELL_WATERS [FILES_A_FAMILY] [FOLDER]

Ten layouts of each family of labs_made.py and labs_archives.py (or as many as asked) are read in one
run of TELL_WATERS; every reading must be what was written, none may be missing
or more, and where something cannot be read every such cell must be listed.  Then
the same reports with columns and rows shuffled, further titles, blank lines and
the header again.  Last the small reports of labs_said.py,
labs_ways.py and labs_rare.py.
"""
import os
import random
import subprocess
import sys
import tempfile

import labs_archives
import labs_made
import labs_rare
import labs_said
import labs_ways
from labs_made import KINDS, File

SAID = labs_said.CASES + labs_ways.CASES + labs_rare.CASES
FAMILIES = {**labs_made.FAMILIES, **labs_archives.FAMILIES}


# ---- The same report, rearranged ----------------------------------------

def rearranged(file, rng):
    """Columns and rows shuffled, titles, blank lines, the header again."""
    width = max(len(r) for r in file.rows)
    rows = [list(r) + [""] * (width - len(r)) for r in file.rows]
    titles, head = rows[:file.header], rows[file.header]
    body = rows[file.header + 1:]
    order = list(range(width))
    if file.family != "Dutch":
        rng.shuffle(order)
        sections = any(sum(1 for c in r if c != "") < 2 for r in body)
        if not sections:
            rng.shuffle(body)
    else:
        order = [0] + rng.sample(order[1:], width - 1)
    move = lambda row: [row[k] for k in order]
    out = [["Invented report"], ["Printed on", "a day"]] + titles + [move(head)]
    for k, row in enumerate(body):
        if k and k % 7 == 0:
            out.append(move(head))
        if rng.random() < 0.2:
            out.append([""])
        out.append(move(row))
    moved = File(file.family + ", rearranged", out, file.samples)
    for name in ("separator", "comma", "encoding", "end", "units"):
        setattr(moved, name, getattr(file, name))
    return moved


# ---- Running and comparing ----------------------------------------------

def told(command, files, folder):
    paths = []
    for k, file in enumerate(files):
        path = os.path.join(folder, f"{k:04}.csv")
        with open(path, "wb") as out:
            out.write(file.encoded())
        paths.append(path + ("\t" + file.units if file.units else ""))
    done = subprocess.run([command], input="\n".join(paths) + "\n", check=True,
                          encoding="utf-8", stdout=subprocess.PIPE)
    parts = done.stdout.split("file\t")[1:]
    assert len(parts) == len(files)
    return [[line.split("\t") for line in part.splitlines()[1:]]
            for part in parts]


def key_of(line):
    kind, name = line[1], line[2]
    if kind == "1" and name.startswith(("HCO3", "bicarb")):
        return "HCO3"
    return KINDS.get(kind, name)


def samples_of(lines):
    samples = []
    for line in lines:
        if line[0] == "sample":
            samples.append([])
        elif line[0] == "reading" and line[1] != "8":
            samples[-1].append((key_of(line), float(line[3]), line[4] == "1",
                                line[5] == "1"))
    return [sorted(s) for s in samples]


def same(read, wanted_):
    return len(read) == len(wanted_) and all(
        a[0] == b[0] and abs(a[1] - b[1]) <= 5e-4 * abs(b[1]) + 1e-9 and
        a[2:] == b[2:] for a, b in zip(read, wanted_))


def faults(file, lines):
    """What of a file is not as it was written."""
    defects = {(int(x[1]), int(x[2])) for x in lines if x[0] == "defect"}
    errors = [x for x in lines if x[0] == "error"]
    out = [f"not read: {x}" for x in errors]
    expected = {file.place(*d) for d in file.defects}
    if defects != expected:
        out.append(f"defects {sorted(defects)}, expected "
                   f"{sorted(expected)}: "
                   f"{[x[1:] for x in lines if x[0] == 'defect'][:4]}")
    if file.samples is None or out:
        return out
    read = sorted(samples_of(lines))
    expected = sorted(file.samples)
    if len(read) != len(expected):
        return [f"{len(read)} samples, expected {len(expected)}"]
    for a, b in zip(read, expected):
        if not same(a, b):
            out.append(f"read {[x for x in a if x not in b][:4]}, written "
                       f"{[x for x in b if x not in a][:4]} "
                       f"({len(a)}, {len(b)})")
    return out


class Said:
    """A small report of labs_said.py or labs_ways.py."""
    units = None

    def __init__(self, text):
        self.text = text

    def encoded(self):
        return self.text.encode()


def said_wrongly(lines, expected):
    """What of a small report is not as expected; "" where all is."""
    defects = sorted({int(x[1]) for x in lines if x[0] == "defect"})
    told_ = [x[3] for x in lines if x[0] == "defect"]
    if expected.startswith("refused"):
        lines_ = sorted(int(n) for n in expected.split()[1:])
        return "" if defects == lines_ else f"defects in {defects} {told_}"
    if defects or any(x[0] == "error" for x in lines):
        return f"refused: {told_}"
    read = samples_of(lines)
    want = [labs_said.wanted(x) for x in expected.split("\n")]
    if len(read) == len(want) and all(same(a, b) for a, b in zip(read, want)):
        return ""
    return f"read {read}"


def main():
    command = sys.argv[1]
    each = int(sys.argv[2]) if len(sys.argv) > 2 else 10
    files = []
    for family, make in FAMILIES.items():
        files += [make(random.Random(f"{family} {i}"), i) for i in range(each)]
    files += [rearranged(f, random.Random(k)) for k, f in enumerate(files)
              if f.movable and not f.defects]
    small = [Said(text) for _, text, _ in SAID]
    with tempfile.TemporaryDirectory() as folder:
        if len(sys.argv) > 3:
            folder = sys.argv[3]
        answers = told(command, files + small, folder)
    count, wrong = {}, 0
    for (title, text, expected), lines in zip(SAID, answers[len(files):]):
        found = said_wrongly(lines, expected)
        wrong += found != ""
        if found:
            print(f"{title}:\n{text}expected {expected}: {found}"[:900])
    for k, (file, lines) in enumerate(zip(files, answers)):
        seen = count.setdefault(file.family, [0, 0, 0])
        found = faults(file, lines)
        seen[0] += 1
        seen[1] += sum(len(s) for s in file.samples or [])
        seen[2] += bool(found)
        wrong += bool(found)
        for text in found[:3]:
            print(f"{k:04}.csv ({file.family}): {text}"[:600])
    for family, (made, readings, bad) in count.items():
        print(f"{family}: {made} files, {readings} readings, {bad} wrong")
    return wrong != 0


if __name__ == "__main__":
    sys.exit(main())
