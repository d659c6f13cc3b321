#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Find what an invented shelf lacks by trying everything, and compare.

    verify_gaps.py ANSWERS COUNT [FIRST]

ANSWERS is the program that writes the catalogue and then problems with the
product the library says their shelf lacks most.  Here every product of the
catalogue (but acids and bases, which the library does not choose for their
nutrients) is put on the shelf in turn and the least squares solved by an
interior-point method (CVXOPT) with a polish, as for closest.  The named
product must come out best, with the misfit named, and the price of each
component must bound what any product can do.  Prints its counts; exits 1 when
a problem disagrees.
"""
import pathlib
import sys

import numpy

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2] /
                       "formulate" / "random"))
import peers  # noqa: E402

COMPONENTS = peers.COMPONENTS
# Misfits agree to this, relative to the misfit of the shelf as it is.
AGREE = 1e-7
# A gain below this share is not named.
WORTH = 1e-5


def read(path):
    data = numpy.fromfile(path)
    catalogue, problems, at = [], [], 0
    while at < len(data):
        length = int(data[at])
        values = data[at + 1:at + 1 + length]
        if length == COMPONENTS + 1:
            catalogue.append(values)
        else:
            problems.append(parse(values))
        at += 1 + length
    return numpy.array(catalogue), problems


def split(records):
    """The products of the catalogue, then the problems."""
    catalogue, problems = [], []
    for values in records:
        if len(values) == COMPONENTS + 1:
            catalogue.append(values.left)
        else:
            problems.append(parse(values))
    return catalogue, problems


def parse(values):
    record = peers.parse_seeded(values)
    record["objective"] = values.one()
    record["price"] = values.take(COMPONENTS)
    record["best"], record["with"], record["best_price"] = values.take(3)
    return record


def least_squares(record):
    return peers.least_squares(peers.Problem(record, "closest"))


def check(record, catalogue, tally):
    before = record["objective"]
    theirs = least_squares(record)
    if abs(theirs - before) > AGREE * before:
        yield "misfit of the shelf", (before, theirs)
        return
    trials = {}
    for index, entry in enumerate(catalogue):
        if entry[COMPONENTS]:
            continue
        per_g = entry[:COMPONENTS]
        price = float(record["price"] @ per_g)
        tally["re-solved"] += 1
        trials[index] = least_squares(peers.with_product(record, per_g))
        if price >= 0 and trials[index] < before * (1 - 10 * AGREE):
            yield "helps at a price above 0", (index, price, trials[index])
    best = min(trials.values())
    if record["best"] < 0:
        tally["nothing helps"] += 1
        if best < before * (1 - WORTH):
            yield "something helps", (best, before)
        return
    tally["helped"] += 1
    if abs(record["with"] - best) > AGREE * before:
        yield "another is better", (record["best"], record["with"], best)
    if abs(trials[int(record["best"])] - record["with"]) > AGREE * before:
        yield "the misfit with it", (record["with"],
                                     trials[int(record["best"])])


def main():
    program, count = sys.argv[1], int(sys.argv[2])
    first = sys.argv[3] if len(sys.argv) > 3 else "1"
    tally = dict.fromkeys(("problems", "helped", "nothing helps", "re-solved"),
                          0)
    failures = []
    catalogue, problems = split(peers.records(program, first, count))
    for record in problems:
        tally["problems"] += 1
        failures += [(record["seed"], *what)
                     for what in check(record, catalogue, tally)]
    print(", ".join(f"{value} {name}" for name, value in tally.items()))
    return peers.tell(failures)


if __name__ == "__main__":
    sys.exit(main())
