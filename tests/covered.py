#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Holds the branches that tests took against the share a folder must reach.

    llvm-cov export -summary-only ... | covered.py FOLDER=PERCENT ...
"""
import json
import sys


def branches(files, folder):
    """Taken and all branches of the C files below `folder`."""
    counts = [f["summary"]["branches"] for f in files
              if f"/{folder}" in f["filename"] and f["filename"].endswith(".c")]
    if not counts:
        sys.exit(f"covered.py: no C file of {folder} was counted")
    return sum(c["covered"] for c in counts), sum(c["count"] for c in counts)


def main():
    files = json.load(sys.stdin)["data"][0]["files"]
    short = False
    for folder, least in (wish.split("=") for wish in sys.argv[1:]):
        taken, all_of_them = branches(files, folder)
        share = 100 * taken / all_of_them
        print(f"{folder} {share:.1f} % of {all_of_them} branches taken, "
              f"at least {least} % wanted")
        short |= share < float(least)
    sys.exit(short)


if __name__ == "__main__":
    main()
