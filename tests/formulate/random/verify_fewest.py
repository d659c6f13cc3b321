#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Recipes of the fewest products against HiGHS's branch and cut (SciPy milp;
Huangfu and Hall 2018, Math. Programming Computation 10:119-142).

    verify_fewest.py PROGRAM SHARE COUNT [FIRST]

The program writes what counts as equal to each closest recipe.  Every recipe
must be among these, and no recipe of fewer products may be.
"""
import subprocess
import sys

import numpy
from scipy.optimize import LinearConstraint, Bounds, linprog, milp

# Rows are near 1 once divided by their own size.
TOLERANCE = 1e-6
NOTHING = 1e-9


def problems(program, share, count, first):
    done = subprocess.Popen([program, share, first, count],
                            stdout=subprocess.PIPE, text=True)
    for line in done.stdout:
        word, *numbers = line.split()
        if word == "problem":
            seed, proved, products = map(int, numbers)
            columns, rows, shelf = [], [], 0
        elif word == "end":
            yield (seed, proved, products, numpy.array(columns),
                   numpy.array(rows), shelf)
        elif word == "row":
            rows.append([float(number) for number in numbers])
        else:
            columns.append([float(number) for number in numbers])
            shelf += word == "product"
    if done.wait():
        sys.exit("the program failed")


def scaled(rows, columns):
    """Rows divided by their size at hand, columns by their largest effect."""
    matrix = rows[:, 2:]
    unit = 1 / numpy.maximum(abs(matrix).max(axis=0), 1e-12)
    matrix = matrix * unit
    size = numpy.maximum(abs(matrix) @ abs(columns[:, 2] / unit), 1e-9)
    return matrix / size[:, None], rows[:, 0] / size, rows[:, 1] / size, unit


def fewest(matrix, low, high, least, most, free):
    """The fewest of the free columns that are above 0; None: HiGHS failed."""
    n = len(least)
    top = most.copy()
    for j in numpy.flatnonzero(free):
        cost = numpy.zeros(n)
        cost[j] = -1
        up, down = numpy.isfinite(high), numpy.isfinite(low)
        found = linprog(cost, numpy.vstack([matrix[up], -matrix[down]]),
                        numpy.concatenate([high[up], -low[down]]),
                        bounds=numpy.stack([least, most], axis=1))
        if found.status == 0:
            top[j] = min(most[j], -found.fun * (1 + 1e-7) + 1e-9)
    chosen = numpy.flatnonzero(free)
    k = len(chosen)
    link = numpy.zeros((k, n + k))
    for i, j in enumerate(chosen):
        link[i, j], link[i, n + i] = 1, -top[j]
    found = milp(numpy.concatenate([numpy.zeros(n), numpy.ones(k)]),
                 integrality=numpy.concatenate([numpy.zeros(n), numpy.ones(k)]),
                 bounds=Bounds(numpy.concatenate([least, numpy.zeros(k)]),
                               numpy.concatenate([top, numpy.ones(k)])),
                 constraints=[
                     LinearConstraint(numpy.hstack(
                         [matrix, numpy.zeros((len(matrix), k))]), low, high),
                     LinearConstraint(link, -numpy.inf, 0)],
                 options={"time_limit": 20})
    return round(found.fun) if found.status == 0 else None


def main():
    program, share, count = sys.argv[1:4]
    first = sys.argv[4] if len(sys.argv) > 4 else "1"
    tally = {"problems": 0, "not proved": 0, "outside": 0, "fewer exist": 0,
             "miscounted": 0, "not settled": 0}
    for seed, proved, said, columns, rows, shelf in problems(
            program, share, count, first):
        matrix, low, high, unit = scaled(rows, columns)
        if shelf < len(columns):  # shares of the waters sum to 1
            blend = numpy.zeros(len(columns))
            blend[shelf:] = unit[shelf:]
            matrix = numpy.vstack([matrix, blend])
            low, high = numpy.append(low, 1), numpy.append(high, 1)
        least, most, found = (columns / unit[:, None]).T
        free = (numpy.arange(len(columns)) < shelf) & (least <= 0) & (most > 0)
        used = int((free & (columns[:, 2] > NOTHING)).sum())
        value = matrix @ found
        tally["problems"] += 1
        tally["miscounted"] += used != said
        tally["outside"] += bool((value < low - TOLERANCE).any() or
                                 (value > high + TOLERANCE).any())
        tally["not proved"] += not proved
        bound = fewest(matrix, low, high, least, most, free)
        tally["not settled"] += bound is None
        if bound is not None and proved and bound < used:
            tally["fewer exist"] += 1
            print(f"seed {seed}: {used} products, {bound} do")
    print(f"{share}:", ", ".join(f"{n} {what}" for what, n in tally.items()))
    wrong = tally["outside"] + tally["fewer exist"] + tally["miscounted"]
    return bool(wrong or tally["not proved"] > tally["problems"] / 50)


if __name__ == "__main__":
    sys.exit(main())
