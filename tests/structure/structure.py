#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The rules of the house that no compiler checks.

    structure.py SOURCE [ARCHIVE]

SOURCE is the source tree.  ARCHIVE, if given, is the library as an archive;
its symbols are checked for the prefix and for global state.  Prints each
breach; exit status 1 when there is one.
"""
import os
import re
import statistics
import subprocess
import sys

TOP = {"README.md", "DEVELOPERS.md", "CMakeLists.txt", "lib", "cli", "tests",
       "examples", "reference"}
ROOMS = {  # a room and the rooms it may include besides itself
    "quantity": set(),
    "solve": {"quantity"},
    "records": {"quantity", "solve"},
    "chemistry": {"quantity"},
    "assess": {"quantity", "solve", "records", "chemistry"},
    "formulate": {"quantity", "solve", "records", "chemistry", "assess"},
    "stock": {"quantity", "solve", "records", "chemistry", "assess",
              "formulate"},
    "decide": {"quantity", "solve", "records", "chemistry", "assess",
               "formulate", "stock"},
}
CLI_ROOMS = {
    "io": set(),
    "write": {"io"},
    "run": {"io"},
    "report": {"io", "run", "write"},
    "command": {"io", "run", "report", "write"},
}
MEDIAN_LINES, MOST_LINES, FILE_LINES = 15, 80, 600
FOREIGN = re.compile(r"\b(glp_\w+|gsl_\w+|csv_parser|json_t|glpk\.h|csv\.h|"
                     r"jansson\.h|gsl/\w+\.h)")
SPDX = "SPDX-License-Identifier: GPL-3.0-or-later"
CODE = (".c", ".h", ".py", ".sh", ".cpp", ".cmake", ".in")
MACHINE = re.compile(r"(?<![\w.{}])/(work|farm|root|home|tmp)/")

breaches = []


def breach(text):
    breaches.append(text)


def tracked(source):
    """Every file of the tree, by git where it is a clone, else by walking."""
    try:
        out = subprocess.run(["git", "-C", source, "ls-files", "-co",
                              "--exclude-standard", "-z"], check=True,
                             capture_output=True).stdout.decode()
        names = [n for n in out.split("\0") if n]
    except (OSError, subprocess.CalledProcessError):
        names = []
        for folder, inner, files in os.walk(source):
            inner[:] = [d for d in inner if not d.startswith((".", "build"))]
            names += [os.path.relpath(os.path.join(folder, f), source)
                      for f in files]
    return sorted(n for n in names if os.path.isfile(os.path.join(source, n)))


def read(source, name):
    with open(os.path.join(source, name), encoding="utf-8") as f:
        return f.read()


def check_top(names):
    top = {n.split("/")[0] for n in names if not n.startswith(".")}
    for extra in sorted(top - TOP):
        breach(f"{extra}: not one of the names of the top level")
    for missing in sorted(TOP - top):
        breach(f"{missing}: missing at the top level")


def is_code(name):
    return name.endswith(CODE) or os.path.basename(name) == "CMakeLists.txt"


def check_texts(source, names):
    for name in names:
        try:
            text = read(source, name)
        except UnicodeDecodeError:
            if not name.startswith("tests/") and not name.endswith(".png"):
                breach(f"{name}: not UTF-8")
            continue
        head = "\n".join(text.split("\n", 3)[:3])
        if is_code(name) and SPDX not in head:
            breach(f"{name}: no SPDX line at its head")
        if is_code(name) and text.count("\n") > FILE_LINES:
            breach(f"{name}: {text.count(chr(10))} lines, over {FILE_LINES}")
        if name == "tests/structure/structure.py":
            continue
        for number, line in enumerate(text.split("\n"), 1):
            if MACHINE.search(line) and not re.search("mktemp|TMPDIR", line):
                breach(f"{name}:{number}: a path of one machine")
        if "CMakeLists.txt" in name or name.endswith(".cmake"):
            if re.search(r"\bfile\s*\(\s*GLOB", text, re.I):
                breach(f"{name}: sources are named, not globbed")


def includes(source, name):
    for number, line in enumerate(read(source, name).split("\n"), 1):
        found = re.match(r'\s*#\s*include\s*([<"])([^>"]+)[>"]', line)
        if found:
            yield number, found.group(1), found.group(2)


def check_room(name, number, included):
    room = name.split("/")[1]
    other = included.split("/")[0]
    if re.fullmatch(r"saltwright(_\w+)?\.h|(table|list)_\w+\.h", included):
        return
    if other not in ROOMS:
        breach(f"{name}:{number}: \"{included}\" is in no room")
    elif room not in ROOMS:
        breach(f"{name}: {room} is not a room")
    elif other != room and other not in ROOMS[room]:
        breach(f"{name}:{number}: {room} must not include {other}")


def check_client(name, number, included, names):
    if included == "saltwright.h":
        return
    folder = name.split("/")[0]
    mine = any(n == f"{folder}/{included}" or
               (n.startswith(f"{folder}/") and
                n == os.path.normpath(
                    os.path.join(os.path.dirname(name), included)))
               for n in names)
    if not mine and not re.fullmatch(r"\w+_text\.h", included):
        breach(f"{name}:{number}: \"{included}\" is not the public header")
    room, other = name.split("/")[1], included.split("/")[0]
    if room in CLI_ROOMS and other in CLI_ROOMS and \
            other != room and other not in CLI_ROOMS[room]:
        breach(f"{name}:{number}: {room} must not include {other}")


def check_circles(source, names):
    """No public header includes itself, through whatever others."""
    inside = {os.path.basename(name): [i for _, kind, i in includes(source, name)
                                       if kind == '"']
              for name in names
              if re.fullmatch(r"lib/saltwright(_\w+)?\.h", name)}
    for start in sorted(inside):
        reached, ahead = set(), list(inside[start])
        while ahead:
            header = ahead.pop()
            if header not in reached:
                reached.add(header)
                ahead += inside.get(header, [])
        if start in reached:
            breach(f"lib/{start}: includes itself")


def check_errors(source, names):
    """The suite on errors calls whatever can fail."""
    suite = "tests/decide/test_errors.c"
    tested = read(source, suite) if suite in names else ""
    for name in names:
        if re.fullmatch(r"lib/saltwright_\w+\.h", name):
            for call in re.findall(r"SW_API sw_status (\w+)\(",
                                   read(source, name)):
                if f"REFUSES({call}(" not in tested:
                    breach(f"{name}: {suite} does not call {call}")


def check_includes(source, names):
    check_errors(source, names)
    check_circles(source, names)
    for name in names:
        if not name.endswith((".c", ".h")) or \
                re.fullmatch(r"lib/saltwright(_\w+)?\.h", name):
            continue
        for number, kind, included in includes(source, name):
            if included == "glpk.h" and \
                    re.match(r"(lib/(?!solve/)|cli/)", name):
                breach(f"{name}:{number}: GLPK has one door, lib/solve")
            if kind == '"' and name.startswith("lib/"):
                check_room(name, number, included)
            elif kind == '"' and name.startswith(("cli/", "examples/")):
                check_client(name, number, included, names)


def check_headers(source, names):
    for name in names:
        if not name.endswith(".h") or not name.startswith(("lib/", "cli/")):
            continue
        for number, line in enumerate(read(source, name).split("\n"), 1):
            found = FOREIGN.search(line)
            if found and not re.match(r"\s*(/?\*|//)", line):
                breach(f"{name}:{number}: {found.group(1)} in a header")


def check_functions(source, names):
    files = [n for n in names
             if n.endswith(".c") and n.startswith(("lib/", "cli/"))]
    out = subprocess.run(["ctags", "-x", "--kinds-C=f", "--fields=+ne",
                          "--_xformat=%{end} %n %F %N"] + files, cwd=source,
                         check=True, capture_output=True, text=True).stdout
    lengths = []
    for row in out.splitlines():
        end, start, name, function = row.split()
        lines = int(end) - int(start) + 1
        lengths.append(lines)
        if lines > MOST_LINES:
            breach(f"{name}:{start}: {function} has {lines} lines")
    median = statistics.median(lengths)
    print(f"{len(lengths)} functions, median {median:g} lines, "
          f"longest {max(lengths)}")
    if median > MEDIAN_LINES:
        breach(f"functions have {median} lines at the median, "
               f"over {MEDIAN_LINES}")


def check_symbols(archive):
    out = subprocess.run(["nm", "--defined-only", "--extern-only", archive],
                         check=True, capture_output=True, text=True).stdout
    for row in out.splitlines():
        part = row.split()
        if len(part) == 3 and not part[2].startswith("sw_"):
            breach(f"{part[2]}: a global name without the prefix")
    out = subprocess.run(["objdump", "-t", archive], check=True,
                         capture_output=True, text=True).stdout
    for row in out.splitlines():
        if re.search(r"\s\.t?(data|bss)(\.(?!rel\.ro)\S+)?\s", row) and \
                " O " in row:
            breach(f"{row.split()[-1]}: global state in the library")


def main():
    source = sys.argv[1]
    names = tracked(source)
    check_top(names)
    check_texts(source, names)
    check_includes(source, names)
    check_headers(source, names)
    check_functions(source, names)
    if len(sys.argv) > 2:
        check_symbols(sys.argv[2])
    for text in breaches:
        print(text)
    print(f"{len(names)} files, {len(breaches)} breaches")
    return 1 if breaches else 0


if __name__ == "__main__":
    sys.exit(main())
