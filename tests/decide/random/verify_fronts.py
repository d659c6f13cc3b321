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
import pathlib
import sys

import numpy

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2] /
                       "formulate" / "random"))
import peers  # noqa: E402

# Misfits agree to this, relative to themselves or to squares of 1e-4.
AGREE = 1e-7
FLOOR = 1e-8
# What an end costs: HiGHS keeps its rows to 1e-7.
COST = 1e-6
# Most choices of products that are tried.
MOST_CHOICES = 130


def parse(values):
    record = peers.parse_seeded(values)
    record["cost"] = values.table(5)
    record["closest"], record["cheapest"] = values.take(2)
    record["few"] = values.table(5)
    return record


def near(ours, theirs):
    return abs(ours - theirs) <= AGREE * max(abs(theirs), FLOOR / AGREE * 1e-1)


class Bands(peers.Problem):
    """The terms of closest within the limits of cheapest, and a cost."""

    def __init__(self, record, cost=None):
        self.most = cost
        banded = dict(record)
        rows = record["rows"].copy()
        for row in rows:
            row[4], row[5] = peers.band(row[3], row[4], row[5])
        banded["rows"] = rows
        # a target of nothing keeps its own scale, which a band does not move
        super().__init__(banded, "closest")

    def add_bounds(self, record):
        if self.most is not None:
            row = numpy.zeros(self.n)
            row[:self.products] = \
                record["price"] * self.unit[:self.products]
            self.limit(row, self.most, (2, 0, peers.MAX))
        super().add_bounds(record)


def check_cost(record, tally, worst):
    points = record["cost"]
    for index, (ours, lower, cost, slope, _) in enumerate(points):
        last = index + 1 == len(points)
        limit = cost * (1 + 1e-9) if last else cost
        theirs = peers.least_squares(Bands(record, limit))
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
    free = peers.least_squares(peers.Problem(record, "closest"))
    banded = peers.least_squares(Bands(record))
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
        theirs = min(peers.least_squares(peers.Problem(
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
    for record in map(parse, peers.records(program, first, count)):
        tally["problems"] += 1
        for found in (check_cost(record, tally, worst),
                      check_few(record, tally)):
            failures += [(record["seed"], *what) for what in found]
    print(", ".join(f"{value} {name}" for name, value in tally.items()))
    print("worst difference of a misfit within the front: "
          f"{worst['misfit']:.1e}")
    return peers.tell(failures)


if __name__ == "__main__":
    sys.exit(main())
