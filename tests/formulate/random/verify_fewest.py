#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Recipes of the fewest products against HiGHS's branch and cut (SciPy milp;
Huangfu and Hall 2018, Math. Programming Computation 10:119-142).

    verify_fewest.py PROGRAM SHARE COUNT [FIRST [many]]

The program writes what counts as equal to each closest recipe.  Every recipe
must be among these, and no recipe of fewer products may be; how many products
that saves is told.  A product may have a column for each of several waters; it
counts once.  With a SHARE of 0 the same contents, to six digits, are equal.
"""
import subprocess
import sys

import numpy
from scipy.optimize import LinearConstraint, Bounds, linprog, milp

# Rows are near 1 once divided by their own size.
TOLERANCE = 1e-6
NOTHING = 1e-9


def problems(program, share, count, first, mode):
    done = subprocess.Popen([program, share, first, count, *mode],
                            stdout=subprocess.PIPE, text=True)
    for line in done.stdout:
        word, *numbers = line.split()
        if word == "problem":
            seed, proved, products, closest = map(int, numbers)
            columns, rows, shelf = [], [], []
            blend = True
        elif word == "end":
            yield (seed, proved, products, closest, numpy.array(columns),
                   numpy.array(rows), numpy.array(shelf), blend)
        elif word == "row":
            rows.append([float(number) for number in numbers])
        else:
            columns.append([float(number) for number in numbers[1:]])
            shelf += [int(numbers[0])] if word == "product" else []
            blend = blend and word != "given"
    if done.wait():
        sys.exit("the program failed")


def scaled(rows, columns):
    """Rows divided by their size at hand, columns by their largest effect."""
    matrix = rows[:, 2:]
    unit = 1 / numpy.maximum(abs(matrix).max(axis=0), 1e-12)
    matrix = matrix * unit
    size = numpy.maximum(abs(matrix) @ abs(columns[:, 2] / unit), 1e-9)
    return matrix / size[:, None], rows[:, 0] / size, rows[:, 1] / size, unit


def fewest(matrix, low, high, least, most, free, product):
    """Whose free columns are above 0; None: HiGHS failed."""
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
    z = sorted(set(product[chosen]))
    k = len(z)
    link = numpy.zeros((len(chosen), n + k))
    for i, j in enumerate(chosen):
        link[i, j], link[i, n + z.index(product[j])] = 1, -top[j]
    wide = numpy.hstack([matrix, numpy.zeros((len(matrix), k))])
    for presolve in True, False:  # which takes a narrow row for an empty one
        found = milp(
            numpy.concatenate([numpy.zeros(n), numpy.ones(k)]),
            integrality=numpy.concatenate([numpy.zeros(n), numpy.ones(k)]),
            bounds=Bounds(numpy.concatenate([least, numpy.zeros(k)]),
                          numpy.concatenate([top, numpy.ones(k)])),
            constraints=[LinearConstraint(wide, low, high),
                         LinearConstraint(link, -numpy.inf, 0)],
            options={"time_limit": 20, "presolve": presolve})
        if found.status == 0:
            return round(found.fun)
    return None


def main():
    program, share, count = sys.argv[1:4]
    first = sys.argv[4] if len(sys.argv) > 4 else "1"
    mode = sys.argv[5:]
    tally = {"problems": 0, "not proved": 0, "outside": 0, "fewer exist": 0,
             "miscounted": 0, "not settled": 0, "with fewer": 0,
             "products saved": 0}
    for seed, proved, said, closest, columns, rows, product, blend in problems(
            program, share, count, first, mode):
        shelf = len(product)
        matrix, low, high, unit = scaled(rows, columns)
        if blend and shelf < len(columns):  # shares of the waters sum to 1
            shares = numpy.zeros(len(columns))
            shares[shelf:] = unit[shelf:]
            matrix = numpy.vstack([matrix, shares])
            low, high = numpy.append(low, 1), numpy.append(high, 1)
        least, most, found = (columns / unit[:, None]).T
        free = (numpy.arange(len(columns)) < shelf) & (least <= 0) & (most > 0)
        poured = numpy.flatnonzero(free & (columns[:, 2] > NOTHING))
        used = len(set(product[poured]))
        value = matrix @ found
        tally["problems"] += 1
        tally["miscounted"] += used != said
        tally["with fewer"] += used < closest
        tally["products saved"] += closest - used
        tally["outside"] += bool((value < low - TOLERANCE).any() or
                                 (value > high + TOLERANCE).any())
        tally["not proved"] += not proved
        bound = fewest(matrix, low, high, least, most, free, product)
        tally["not settled"] += bound is None
        if bound is not None and proved and bound < used:
            tally["fewer exist"] += 1
            print(f"seed {seed}: {used} products, {bound} do")
    print(f"{share}:", ", ".join(f"{n} {what}" for what, n in tally.items()))
    print(f'{tally["products saved"] / max(tally["problems"], 1):.3f} products '
          "saved per recipe")
    return bool(tally["outside"] or tally["miscounted"] or tally["fewer exist"]
                or tally["not proved"] > tally["problems"] / 50)


if __name__ == "__main__":
    sys.exit(main())
