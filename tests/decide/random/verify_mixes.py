#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Mix invented waters another way and compare the shares.

    verify_mixes.py MIXES OBJECTIVE COUNT

MIXES is the program that writes problems with the library's mixes.  Lowest and
highest shares are linear programs (HiGHS); the best mix is a least-squares
problem (interior point, polished) or a linear program.  Where the best mix is
not the only one, the library's must be one of them.  Prints its counts; exits
1 when a share disagrees by more than 1e-8.
"""
import pathlib
import sys

import numpy

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2] /
                       "formulate" / "random"))
import peers  # noqa: E402

SHARE = 1e-8
# A mix is the only one when no other of the same merit differs by this.
ONLY = 1e-5


def parse(values):
    """A solved problem, and the numbers behind the solution."""
    record = peers.parse_solved(values)
    if not record["status"]:
        waters = len(record["water"])
        record["water_price"] = values.take(waters)
        record["range"] = int(values.one())
        record["lowest"] = values.take(waters)
        record["highest"] = values.left
    return record


def refine(problem, z):
    """The corner that z nearly is, from the rows it stands on."""
    gap = (problem.h - problem.G @ z) / (1 + numpy.abs(problem.G) @
                                         numpy.abs(z))
    active = gap < 1e-8
    E = numpy.vstack([problem.E, problem.G[active]])
    d = numpy.concatenate([problem.d, problem.h[active]])
    return z + numpy.linalg.pinv(E, rcond=1e-11) @ (d - E @ z)


def check_range(record):
    """Largest difference of an end; infinite where the outcomes differ."""
    problem = peers.Problem(record, "cheapest")
    worst = 0.0
    for k in range(len(record["water"])):
        for sign, ours in ((1, record["lowest"][k]),
                           (-1, record["highest"][k])):
            cost = numpy.zeros(problem.n)
            cost[problem.products + k] = sign
            answer = peers.highs(problem, cost)
            if (answer.status == 0) != (record["range"] == peers.OPTIMAL):
                return numpy.inf
            if answer.status:
                return 0.0
            z = refine(problem, answer.x)
            worst = max(worst, abs(z[problem.products + k] - ours))
    return worst


def spread(problem, k, W, g):
    """How far share k may move with W z = g."""
    ends = []
    for sign in (1, -1):
        cost = numpy.zeros(problem.n)
        cost[problem.products + k] = sign
        answer = peers.highs(problem, cost, E=numpy.vstack([problem.E, W]),
                              d=numpy.concatenate([problem.d, g]))
        if answer.status:
            return 0.0
        ends.append(sign * answer.fun)
    return ends[1] - ends[0]


def polished(problem, with_caps):
    return peers.held_points(problem,
                             *peers.interior_point(problem, with_caps))


def check_squares(problem, ours):
    """Differences from the closest points found, and whether ours is as
    close; the rows that every closest point shares."""
    points = [*polished(problem, False), *polished(problem, True)]
    least = min(peers.squares(problem, z) for z in points)
    floor = max(least, peers.SQUARES_FLOOR)
    room = peers.OBJECTIVE * floor
    differences = [numpy.abs(z - ours)[problem.products:].max()
                   for z in points
                   if peers.squares(problem, z) <= least + room]
    as_good = peers.squares(problem, ours) <= least + room
    return min(differences), as_good, problem.W


def check_cost(problem, ours, record):
    cost = numpy.concatenate([
        record["price"] * problem.unit[:problem.products],
        record["water_price"]])
    z = refine(problem, peers.highs(problem, cost).x)
    difference = numpy.abs(z - ours)[problem.products:].max()
    as_good = cost @ ours <= cost @ z + 1e-8 * max(1, cost @ z)
    return difference, as_good, cost[None, :]


def check_best(record, objective):
    """Largest difference of a share, and whether it had to be that one."""
    problem = peers.Problem(record, objective)
    ours = problem.point(record)
    if objective == "closest":
        difference, as_good, W = check_squares(problem, ours)
    else:
        difference, as_good, W = check_cost(problem, ours, record)
    if difference <= SHARE:
        return float(difference), True
    kept = peers.broken(problem, ours) <= peers.KEPT
    only = max(spread(problem, k, W, W @ ours)
               for k in range(len(record["water"]))) < ONLY
    if only or not as_good or not kept:
        return float(difference), True
    return 0.0, False


def main():
    program, objective, count = sys.argv[1], sys.argv[2], int(sys.argv[3])
    tally = {"ranges": 0, "no range": 0, "best": 0, "one of many": 0,
             "conflict": 0, "unfinished": 0}
    worst = {"range": 0.0, "best": 0.0}
    failures = []
    records = peers.records(program, objective, 1, count)
    for index, record in enumerate(map(parse, records)):
        if record["status"]:
            failures.append((index, "refused", record["status"]))
            continue
        if peers.LIMIT in (record["outcome"], record["range"]):
            tally["unfinished"] += 1
            failures.append((index, "unfinished", record["gap"]))
            continue
        found = {"range": check_range(record)}
        tally["ranges" if record["range"] == peers.OPTIMAL
              else "no range"] += 1
        if record["outcome"] == peers.OPTIMAL:
            found["best"], only = check_best(record, objective)
            tally["best" if only else "one of many"] += 1
        else:
            tally["conflict"] += 1
        for name, value in found.items():
            worst[name] = max(worst[name], value)
            if not value <= SHARE:
                failures.append((index, name, value))
    print(f"{objective}: {count} problems: " +
          ", ".join(f"{value} {name}" for name, value in tally.items()))
    print("worst difference of a share: range {range:.1e}, best mix "
          "{best:.1e}".format(**worst))
    return peers.tell(failures, "problem")


if __name__ == "__main__":
    sys.exit(main())
