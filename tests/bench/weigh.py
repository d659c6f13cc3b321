#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Time the closest recipe of whole steps beside a mixed-integer solver.

    weigh.py BENCH COUNT

Ours: the whole call of sw_weigh (rows built, continuous optimum, search,
proof).  The peer: HiGHS's branch and cut, as SciPy's milp has it, the strongest
mixed-integer solver Debian 12 packages.  It takes no squares, so each is held
up by its tangents, and more are added where its answer stands until what it
proves meets what it found (outer approximation, Duran & Grossmann 1986).  Its
help: the objective of the best rounding bounds every deviation and the sum
from the start, and the rounds before the last need not prove much.  Its model
is built outside the time.  Both prove the same relative gap, and the
answers must agree to it.  Ratios, not times: exits 1 when an answer differs.
"""
import os
import pathlib
import statistics
import sys
import time

import numpy
import scipy
import scipy.optimize

sys.path.insert(0, str(pathlib.Path(__file__).parent.parent /
                       "formulate" / "random"))
import peers  # noqa: E402

# The gap that sw_weigh's search ends at (relative_gap in weigh.c).
GAP = 1e-6
# What an agreeing objective may differ by, relative: both gaps, and HiGHS's
# rows kept to 1e-6 of deviations of size 1, in squares.
AGREE = 1e-5
# Tangents of each square to begin with: of 3, 5, 9, 17, 33 and 65 the number
# that served the peer best.
TANGENTS = 9
# The peer is stopped here; such problems count for the seconds it had.
LIMIT_S = 5.0
# The share of the gap so far that a round before the last has to prove.
ROUND = 0.2


class Whole:
    """min sum t, t_e >= u_e^2 by tangents, u = M count - goal, count whole.

    Deviations are of the root of `most`, an objective that can be had.
    """

    def __init__(self, problem, step, most):
        size = (most * (1 + 1e-6)) ** 0.5
        per_count = step / problem.unit
        self.n, self.terms = problem.n, len(problem.g)
        self.M = problem.W * per_count / size
        self.goal = problem.g / size
        self.scale = size ** 2
        self.bound(problem, problem.G * per_count)
        self.tangents, self.right = [], []
        for term in range(self.terms):
            for at in numpy.linspace(-1, 1, TANGENTS):
                self.add_tangent(term, at)

    def bound(self, problem, G):
        """Limits of one count bound it, as whole numbers; others are rows."""
        low, high = numpy.zeros(self.n), numpy.full(self.n, numpy.inf)
        rows = []
        for row, right in zip(G, problem.h):
            at = numpy.flatnonzero(row)
            if len(at) > 1:
                rows.append((row, right))
            elif row[at[0]] > 0:
                high[at[0]] = min(high[at[0]],
                                  numpy.floor(right / row[at[0]] + 1e-9))
            else:
                low[at[0]] = max(low[at[0]],
                                 numpy.ceil(right / row[at[0]] - 1e-9))
        one = numpy.ones(self.terms)
        self.bounds = scipy.optimize.Bounds(
            numpy.concatenate([low, -one, 0 * one]),
            numpy.concatenate([high, one, one]))
        none = numpy.zeros((self.terms, self.terms))
        self.rows = [scipy.optimize.LinearConstraint(
            numpy.hstack([self.M, -numpy.eye(self.terms), none]),
            self.goal, self.goal)]
        if rows:
            G, h = (numpy.array(part) for part in zip(*rows))
            wide = numpy.zeros((len(G), 2 * self.terms))
            self.rows.append(scipy.optimize.LinearConstraint(
                numpy.hstack([G, wide]), -numpy.inf, h))

    def add_tangent(self, term, at):
        """t >= 2 at u - at^2"""
        row = numpy.zeros(self.n + 2 * self.terms)
        row[self.n + term] = 2 * at
        row[self.n + self.terms + term] = -1
        self.tangents.append(row)
        self.right.append(at ** 2)

    def round(self, gap, seconds):
        tangents = scipy.optimize.LinearConstraint(
            numpy.array(self.tangents), -numpy.inf, self.right)
        whole = numpy.zeros(self.n + 2 * self.terms)
        whole[:self.n] = 1
        cost = numpy.zeros(self.n + 2 * self.terms)
        cost[-self.terms:] = 1
        return scipy.optimize.milp(
            cost, integrality=whole, bounds=self.bounds,
            constraints=self.rows + [tangents],
            options={"mip_rel_gap": gap, "time_limit": seconds})

    def solve(self):
        """Objective, lower bound, and whether the gap was closed in time."""
        best, lower, wanted = numpy.inf, 0.0, 0.05
        start = time.process_time()
        while best - lower > GAP * best or numpy.isinf(best):
            left = LIMIT_S - (time.process_time() - start)
            answer = self.round(wanted, left) if left > 0 else None
            if answer is None or answer.status != 0:
                return best * self.scale, lower * self.scale, False
            lower = max(lower, answer.mip_dual_bound)
            deviation = self.M @ numpy.round(answer.x[:self.n]) - self.goal
            best = min(best, float(deviation @ deviation))
            for term, at in enumerate(deviation):
                self.add_tangent(term, at)
            wanted = max(GAP / 2, ROUND * (best - lower) / best)
        return best * self.scale, lower * self.scale, True


def differ(ours, lower, theirs, their_lower):
    """Whether one found what the other proved impossible, or a worse one."""
    return abs(theirs - ours) > AGREE * ours or \
        theirs < lower * (1 - AGREE) or ours < their_lower * (1 - AGREE)


def main():
    program, count = sys.argv[1:3]
    ours_s, theirs_s, late, wrong, gaps = [], [], 0, 0, []
    for values in peers.records(program, 1, count):
        problem = peers.Problem(peers.parse_solved(values), "closest")
        rounded, ours, lower, time_s = values.take(4)
        step, amount = values.left.reshape(-1, 2).T
        whole = Whole(problem, step, rounded)
        start = time.process_time()
        theirs, their_lower, closed = whole.solve()
        theirs_s.append(time.process_time() - start)
        ours_s.append(time_s)
        gaps.append((ours - lower) / ours)
        late += not closed
        calculated = peers.squares(problem, amount / problem.unit)
        wrong += abs(calculated - ours) > AGREE * ours or \
            (differ(ours, lower, theirs, their_lower) if closed
             else theirs < lower * (1 - AGREE))
    ratio = numpy.array(theirs_s) / numpy.array(ours_s)
    print(f"{os.cpu_count()} cores, one used; SciPy {scipy.__version__}")
    print(f"whole steps: {len(ours_s)} problems, gap {GAP:.0e} (ours at most "
          f"{max(gaps):.1e})")
    print(f"  saltwright  median {1e3 * statistics.median(ours_s):8.1f} ms")
    print(f"  HiGHS milp  median {1e3 * statistics.median(theirs_s):8.1f} ms"
          f"   by problem {ratio.min():.0f} to {ratio.max():.0f} x ours, "
          f"median {numpy.median(ratio):.0f}, total "
          f"{sum(theirs_s) / sum(ours_s):.0f}; {late} stopped after "
          f"{LIMIT_S:.0f} s, {wrong} off")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
