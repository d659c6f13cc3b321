#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Fronts of invented problems, point for point by other solvers.

    verify_fronts.py ANSWERS COUNT [FIRST]

Each point of the front of cost: the least squares within limits, bands and
that cost by an interior-point method (CVXOPT) with a polish; the front falls
and is convex; its ends are what `cheapest` (HiGHS) and, where the closest
recipe of all keeps every band, `closest` give.  Each point of the front of
products: every choice of that many products is tried by the same method where
there are few enough to try.  Prints its counts; exits 1 when a problem
disagrees.
"""
import itertools
import os
import subprocess
import sys
import tempfile

import numpy

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)),
                                "../../formulate/random"))
import verify  # noqa: E402
from verify_conflicts import problem_of  # noqa: E402

# Misfits agree to this, relative to themselves or to squares of 1e-4.
AGREE = 1e-7
FLOOR = 1e-8
# What an end costs: HiGHS keeps its rows to 1e-7.
COST = 1e-6
# Most choices of products that are tried.
MOST_CHOICES = 130


def read(path):
    data = numpy.fromfile(path)
    at = 0
    while at < len(data):
        length = int(data[at])
        yield parse(data[at + 1:at + 1 + length])
        at += 1 + length


def parse(values):
    record = problem_of(values[1:])
    rest, at = record["rest"], 0

    def take(count):
        nonlocal at
        at += count
        return rest[at - count:at]

    record["seed"] = int(values[0])
    record["cost"] = take(5 * int(take(1)[0])).reshape(-1, 5)
    record["closest"], record["cheapest"] = take(2)
    record["few"] = take(5 * int(take(1)[0])).reshape(-1, 5)
    return record


def near(ours, theirs):
    return abs(ours - theirs) <= AGREE * max(abs(theirs), FLOOR / AGREE * 1e-1)


class Bands(verify.Problem):
    """The terms of closest within the limits of cheapest, and a cost."""

    def __init__(self, record, cost=None):
        self.most = cost
        banded = dict(record)
        rows = record["rows"].copy()
        for row in rows:
            row[4], row[5] = verify.band(row[3], row[4], row[5])
        banded["rows"] = rows
        # a target of nothing keeps its own scale, which a band does not move
        super().__init__(banded, "closest")

    def add_bounds(self, record):
        if self.most is not None:
            row = numpy.zeros(self.n)
            row[:self.products] = \
                record["price"] * self.unit[:self.products]
            self.limit(row, self.most, (2, 0, verify.MAX))
        super().add_bounds(record)


def least_squares(problem):
    found = [numpy.inf]
    for caps in (False, True):
        try:
            found.append(verify.polish(
                problem, *verify.interior_point(problem, caps)))
        except (ValueError, ArithmeticError, TypeError):
            continue
        if numpy.isfinite(found[-1]):
            break
    return min(found)


def check_cost(record, tally, worst):
    points = record["cost"]
    for index, (ours, lower, cost, slope, _) in enumerate(points):
        last = index + 1 == len(points)
        limit = cost * (1 + 1e-9) if last else cost
        theirs = least_squares(Bands(record, limit))
        gap = abs(ours - theirs) / max(theirs, FLOOR)
        tally["points"] += 1
        if numpy.isinf(theirs):
            tally["points the other could not solve"] += 1
            continue
        if ours > theirs * (1 + AGREE * 10) + FLOOR * AGREE or \
                lower > theirs + AGREE * max(theirs, FLOOR):
            # at the very end of what can be, a hair of cost is much fit
            if not last or ours - theirs > \
                    1e-6 * max(ours, FLOOR) - slope * cost * 1e-7:
                yield "a point", (index, ours, theirs, lower)
                continue
        if not last:
            worst["misfit"] = max(worst["misfit"], gap)
    misfit, cost = points[:, 0], points[:, 2]
    if (numpy.diff(misfit) < -AGREE * misfit[1:]).any() or \
            (numpy.diff(cost) > COST * cost[:-1]).any():
        yield "not monotone", (misfit, cost)
    slopes = numpy.diff(misfit) / numpy.minimum(numpy.diff(cost), -1e-12)
    if (numpy.diff(slopes) > 1e-5 * numpy.abs(slopes[1:]) + 1e-9).any():
        yield "not convex", slopes
    yield from check_ends(record, tally)


def check_ends(record, tally):
    points = record["cost"]
    # the cheapest may cost nothing: then a share of what the closest costs
    size = max(record["cheapest"], 1e-3 * points[0, 2])
    if abs(points[-1, 2] - record["cheapest"]) > COST * size:
        yield "the cheap end", (points[-1, 2], record["cheapest"])
    free = least_squares(verify.Problem(record, "closest"))
    banded = least_squares(Bands(record))
    if not near(points[0, 0], banded):
        yield "the close end", (points[0, 0], banded)
    if near(banded, free):
        tally["closest keeps every band"] += 1
        if not near(points[0, 0], record["closest"]):
            yield "the closest", (points[0, 0], record["closest"])
    elif points[0, 0] < record["closest"] * (1 - AGREE):
        yield "closer than the closest", (points[0, 0], record["closest"])


def without(record, left_out):
    fewer = dict(record)
    fewer["max"] = record["max"].copy()
    fewer["max"][list(left_out)] = 0.0
    return fewer


def check_few(record, tally):
    """Every choice of so many of the products that can be left out."""
    points = record["few"]
    free = [j for j in range(len(record["per_g"]))
            if numpy.isnan(record["fixed"][j]) and not record["min"][j] > 0]
    if len(points) and not (numpy.diff(points[:, 0]) > 0).all():
        yield "fewer products fit better", points[:, 0]
    for ours, _, _, _, count in points:
        choices = list(itertools.combinations(free, int(count)))
        if len(choices) > MOST_CHOICES:
            continue
        tally["numbers tried whole"] += 1
        theirs = min(least_squares(verify.Problem(
            without(record, set(free) - set(use)), "closest"))
            for use in choices)
        if not near(ours, theirs) and not ours < theirs:
            yield "fewest", (count, ours, theirs)
        if ours < theirs * (1 - 1e-6) - FLOOR:
            yield "fewest, too good", (count, ours, theirs)


def main():
    program, count = sys.argv[1], int(sys.argv[2])
    first = sys.argv[3] if len(sys.argv) > 3 else "1"
    tally = dict.fromkeys(("problems", "points",
                           "points the other could not solve",
                           "closest keeps every band", "numbers tried whole"),
                          0)
    worst = {"misfit": 0.0}
    failures = []
    with tempfile.NamedTemporaryFile() as file:
        subprocess.run([program, first, str(count), file.name], check=True)
        for record in read(file.name):
            tally["problems"] += 1
            for found in (check_cost(record, tally, worst),
                          check_few(record, tally)):
                failures += [(record["seed"], *what) for what in found]
    print(", ".join(f"{value} {name}" for name, value in tally.items()))
    print("worst difference of a misfit within the front: "
          f"{worst['misfit']:.1e}")
    print(f"{len(failures)} disagree")
    for failure in failures[:20]:
        print("  seed", *failure)
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
