# SPDX-License-Identifier: GPL-3.0-or-later
"""The best rates of invented doses against scipy.

    verify_best.py PROGRAM COUNT

Least squares with bounds and limits by sequential quadratic programming from
several starts (ours among them), without limits by non-negative least squares.
What the water and the amounts that stay are over already no dose may add to.
"""

import subprocess
import sys

import numpy
import scipy.optimize

COMPONENTS = 7
BETTER = 1e-8  # of an objective near 1
BROKEN = 1e-6  # of a limit, as a share of it


def parse(line):
    values = iter(float(word) for word in line.split())
    products = int(next(values))
    rows = numpy.array([[next(values) for _ in range(4)]
                        for _ in range(COMPONENTS)])
    doses = numpy.array([[next(values) for _ in range(COMPONENTS + 5)]
                         for _ in range(products)])
    return rows, doses


def problem(line):
    """Of sets: what each brings, its most, its rate found and free."""
    rows, doses = parse(line)
    water, target, weight, most = rows.T
    sets, amounts = doses[:, 0].astype(int), doses[:, 1]
    per_g = doses[:, 3:3 + COMPONENTS]
    base = water + amounts[sets == 0] @ per_g[sets == 0]
    brought, cap, found, free = [], [], [], []
    for k in range(1, sets.max() + 1):
        share = amounts[sets == k] / amounts[sets == k].sum()
        ours = doses[sets == k]
        brought.append(share @ per_g[sets == k])
        cap.append(numpy.nanmin(numpy.append(ours[:, 2] / share, 1000)))
        found.append(ours[:, -2].sum())
        free.append(ours[:, -1].sum())
        assert numpy.allclose(ours[:, -2], share * found[-1])
    brought = numpy.array(brought)
    cap = numpy.array(cap)
    room = most - base
    for k, brings in enumerate(brought):
        if numpy.any((room < 0) & (brings > 0)):
            cap[k] = 0
    scale = numpy.sqrt(weight) / target
    matrix = (brought * scale).T
    right = (target - base) * scale
    limits = ~numpy.isnan(room) & (room >= 0)
    return (matrix, right, brought.T[limits], room[limits], most[limits], cap,
            numpy.array(found), numpy.array(free))


def objective(matrix, right, x):
    return float(numpy.sum((matrix @ x - right) ** 2))


def limited(matrix, right, sides, room, cap, found):
    least = numpy.inf
    for start in (found, numpy.zeros(len(cap)), 0.1 * found):
        answer = scipy.optimize.minimize(
            lambda x: objective(matrix, right, x), start,
            jac=lambda x: 2 * matrix.T @ (matrix @ x - right),
            bounds=[(0, c) for c in cap], method="SLSQP",
            constraints=[{"type": "ineq", "fun": lambda x: room - sides @ x,
                          "jac": lambda x: -sides}] if len(room) else [],
            options={"ftol": 1e-14, "maxiter": 500})
        x = numpy.clip(answer.x, 0, cap)
        if len(room) == 0 or numpy.all(sides @ x <= room * (1 + 1e-9) + 1e-9):
            least = min(least, objective(matrix, right, x))
    return least


def check(line):
    matrix, right, sides, room, most, cap, found, free = problem(line)
    if numpy.any(found < 0) or numpy.any(found > cap + 1e-9):
        return "a rate beyond its bounds"
    if numpy.any(sides @ found > room + BROKEN * most):
        return "a limit is broken"
    least = limited(matrix, right, sides, room, cap, found)
    ours = objective(matrix, right, found)
    if ours > least + BETTER * (1 + least):
        return f"{ours:.10g}, and {least:.10g} is to be had"
    least = scipy.optimize.nnls(matrix, right)[1] ** 2
    ours = objective(matrix, right, free)
    if ours > least + BETTER * (1 + least):
        return f"without limits {ours:.10g}, and {least:.10g} is to be had"
    return None


def main():
    program, count = sys.argv[1:3]
    lines = subprocess.run([program, count], check=True, text=True,
                           stdout=subprocess.PIPE).stdout.splitlines()
    failures = 0
    several = held = zero = 0
    for seed, line in enumerate(lines, 1):
        wrong = check(line)
        found, free = problem(line)[-2:]
        several += len(found) > 1
        held += bool(numpy.any(numpy.abs(found - free) > 1e-6))
        zero += bool(numpy.any(found == 0))
        if wrong:
            failures += 1
            print(f"seed {seed}: {wrong}")
    print(f"{len(lines)} cases, {several} of several rates, {held} held by a "
          f"limit, {zero} with a rate of 0: {failures} failures")
    enough = min(several, held, zero) > len(lines) / 10
    return 1 if failures or not enough else 0


if __name__ == "__main__":
    sys.exit(main())
