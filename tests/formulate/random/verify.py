#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Solve invented problems another way and compare.

    verify.py ANSWERS OBJECTIVE COUNT [JOBS [FIRST]]

ANSWERS is the program that writes problems with the library's answers as raw
doubles.  Nothing of the library's is used to solve them here: the rows are
built again from the contents, least squares are solved by an interior-point
method (CVXOPT's coneqp) and polished on the active set it shows (LAPACK),
linear programs and infeasibility by HiGHS (SciPy).  Prints its counts; exits 1
when a problem disagrees.
"""
import multiprocessing
import sys

import numpy
import peers
import scipy.optimize

# HiGHS keeps its rows to 1e-7 absolute and shows it in the objective.
LINEAR_FLOOR = 1e-1
# Scaled residual of the KKT conditions at the library's recipe.
KKT = 1e-9


def slope(problem, z):
    """Gradient, and the steepest of the sums it is made of."""
    deviation = numpy.abs(problem.W @ z - problem.g)
    steepest = 2 * (numpy.abs(problem.W).T @ deviation).max()
    return peers.gradient(problem, z), 1 + steepest


def kkt_residual(problem, z):
    """Least |gradient + sum price * row| with prices >= 0 on what is active."""
    gradient, steepest = slope(problem, z)
    size = 1 + numpy.abs(problem.G) @ numpy.abs(z)
    active = problem.G[(problem.h - problem.G @ z) / size < 1e-10]
    rows = numpy.vstack([active, problem.E, -problem.E]).T
    right = -gradient / steepest
    least = float(numpy.abs(right).max())
    if least <= 0.1 * KKT or not rows.shape[1]:
        return least
    try:
        return scipy.optimize.nnls(rows, right)[1]
    except RuntimeError:  # it cycles on rounding
        price = scipy.optimize.lsq_linear(rows, right, (0, numpy.inf),
                                          method="bvls", tol=1e-14).x
        return float(numpy.linalg.norm(rows @ price - right))


def check_squares(problem, record):
    z = problem.point(record)
    ours = peers.squares(problem, z)
    theirs = peers.polish(problem, *peers.interior_point(problem, False))
    if abs(theirs - ours) > peers.OBJECTIVE * max(ours, peers.SQUARES_FLOOR):
        # it ended too soon, or beside a limit by more than its price allows
        # (seed 8011478); the first-order conditions of ours are held to apart
        other = peers.polish(problem, *peers.interior_point(problem, True))
        theirs = min(theirs, other, key=lambda least: abs(least - ours))
    difference = abs(ours - theirs) / max(ours, peers.SQUARES_FLOOR)
    reported = abs(ours - record["objective"]) / max(ours, peers.SQUARES_FLOOR)
    return {"objective": difference, "reported": reported,
            "kkt": kkt_residual(problem, z), "kept": peers.broken(problem, z)}


def check_even(problem, record):
    z = problem.point(record)
    ours = float(numpy.abs(problem.W @ z - problem.g).max())
    one = numpy.ones((len(problem.g), 1))
    zero = numpy.zeros((len(problem.h), 1))
    G = numpy.block([[problem.G, zero], [problem.W, -one], [-problem.W, -one]])
    h = numpy.concatenate([problem.h, problem.g, -problem.g])
    E = numpy.hstack([problem.E, numpy.zeros((len(problem.d), 1))])
    cost = numpy.zeros(problem.n + 1)
    cost[-1] = 1
    answer = peers.highs(problem, cost, G, h, E)
    return compare_linear(problem, record, z, ours, answer)


def check_cheapest(problem, record):
    z = problem.point(record)
    cost = numpy.zeros(problem.n)
    cost[:problem.products] = \
        record["price"] * problem.unit[:problem.products]
    return compare_linear(problem, record, z, float(cost @ z),
                          peers.highs(problem, cost))


def compare_linear(problem, record, z, ours, answer):
    theirs = answer.fun if answer.status == 0 else numpy.inf
    floor = max(abs(ours), LINEAR_FLOOR)
    return {"objective": abs(ours - theirs) / floor,
            "reported": abs(ours - record["objective"]) / floor,
            "kkt": record["kkt"], "kept": peers.broken(problem, z)}


def is_possible(problem, use):
    answer = peers.highs(problem, numpy.zeros(problem.n), problem.G[use],
                   problem.h[use])
    return answer.status == 0


def check_conflict(problem, record):
    """Impossible as a whole and with the limits named; not without any."""
    named = {tuple(int(v) for v in limit[:3]) for limit in record["limits"]}
    always = numpy.array([tag is None for tag in problem.tag])
    # a limit left out of the conflict still leaves 0 <= x <= 1000 g/L
    rows = [i for i, tag in enumerate(problem.tag) if tag in named]
    core = numpy.isin(numpy.arange(len(problem.h)), rows)
    wrong = 0
    if not named or is_possible(problem, numpy.full(len(problem.h), True)):
        wrong += 1
    if is_possible(relaxed(problem, named), always | core):
        wrong += 1
    for tag in named:
        rest = relaxed(problem, named - {tag})
        use = always | core & numpy.array([t != tag for t in problem.tag])
        if not is_possible(rest, use):
            wrong += 1
    return wrong


class relaxed:
    """The problem with natural bounds on products whose own are not used."""

    def __init__(self, problem, used):
        self.n, self.E, self.d = problem.n, problem.E, problem.d
        extra = numpy.eye(problem.n)[:problem.products]
        most = peers.MOST_G_PER_L / problem.unit[:problem.products]
        self.used = used
        self.G = Stack(problem.G, numpy.vstack([-extra, extra]))
        self.h = Stack(problem.h, numpy.concatenate(
            [numpy.zeros(problem.products), most]))


class Stack:
    """Rows chosen by a mask, with others that always hold."""

    def __init__(self, chosen, always):
        self.chosen, self.always = chosen, always

    def __getitem__(self, mask):
        return numpy.concatenate([self.chosen[mask], self.always])


CHECKS = {"closest": check_squares, "even": check_even,
          "cheapest": check_cheapest}


def check_chunk(job):
    program, objective, first, count = job
    worst = {"objective": 0, "reported": 0, "kkt": 0, "kept": 0}
    tally = {"optimal": 0, "conflict": 0, "unfinished": 0, "refused": 0,
             "members": 0}
    failures = []
    for index, values in enumerate(peers.records(program, objective, first,
                                                 count)):
        seed, record = first + index, peers.parse_solved(values)
        if record["status"]:
            tally["refused"] += 1
            failures.append((seed, "refused", record["status"]))
            continue
        problem = peers.Problem(record, objective)
        if record["outcome"] == peers.CONFLICT:
            tally["conflict"] += 1
            tally["members"] += len(record["limits"])
            wrong = check_conflict(problem, record)
            if wrong:
                failures.append((seed, "conflict", wrong))
            continue
        if record["outcome"] == peers.LIMIT:
            tally["unfinished"] += 1
            failures.append((seed, "unfinished", record["gap"]))
            continue
        tally["optimal"] += 1
        found = CHECKS[objective](problem, record)
        bounds = {"objective": peers.OBJECTIVE, "reported": peers.OBJECTIVE,
                  "kkt": KKT, "kept": peers.KEPT}
        for name, value in found.items():
            worst[name] = max(worst[name], value)
            if not value <= bounds[name]:
                failures.append((seed, name, value))
    return worst, tally, failures


def main():
    program, objective, count = sys.argv[1], sys.argv[2], int(sys.argv[3])
    jobs = int(sys.argv[4]) if len(sys.argv) > 4 else 1
    start = int(sys.argv[5]) if len(sys.argv) > 5 else 1
    size, end = 500, start + count
    chunks = [(program, objective, first, min(size, end - first))
              for first in range(start, end, size)]
    total, worst, failures = {}, {}, []
    with multiprocessing.Pool(min(jobs, len(chunks))) as pool:
        for found, tally, failed in pool.imap_unordered(check_chunk, chunks):
            for name, value in found.items():
                worst[name] = max(worst.get(name, 0), value)
            for name, value in tally.items():
                total[name] = total.get(name, 0) + value
            failures += failed
    print(f"{objective}: {count} problems, {total['optimal']} optimal, "
          f"{total['conflict']} in conflict "
          f"({total['members']} limits named), "
          f"{total['unfinished']} unfinished, {total['refused']} refused")
    print("worst: objective {objective:.1e}, reported {reported:.1e}, "
          "kkt {kkt:.1e}, limits kept to {kept:.1e}".format(**worst))
    return peers.tell(sorted(failures))


if __name__ == "__main__":
    sys.exit(main())
