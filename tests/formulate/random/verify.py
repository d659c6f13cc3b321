#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Solve invented problems another way and compare.

    verify.py ANSWERS OBJECTIVE COUNT [JOBS]

ANSWERS is the program that writes problems with the library's answers as raw
doubles.  Nothing of the library's is used to solve them here: the rows are
built again from the contents, least squares are solved by an interior-point
method (CVXOPT's coneqp) and polished on the active set it shows (LAPACK),
linear programs and infeasibility by HiGHS (SciPy).  Prints its counts; exits 1
when a problem disagrees.
"""
import multiprocessing
import subprocess
import sys
import tempfile

import cvxopt
import cvxopt.solvers
import numpy
import scipy.optimize

COMPONENTS = 19
MOST_G_PER_L = 1000.0
COMPONENT, RATIO = 0, 1
OPTIMAL, LIMIT, CONFLICT = 0, 1, 2
MIN, MAX, FIXED = 0, 1, 2

# Objectives agree to this, relative to themselves or to the floor.  The
# floor: squares of deviations of 1e-4 of a target; below it the square of
# what an interior-point method leaves would be compared with rounding.
OBJECTIVE = 1e-8
SQUARES_FLOOR = 1e-8
# HiGHS keeps its rows to 1e-7 absolute and shows it in the objective.
LINEAR_FLOOR = 1e-1
# Scaled residual of the KKT conditions at the library's recipe.
KKT = 1e-9
# How far outside a limit, relative to its size, still counts as kept.
KEPT = 1e-9


def read(path):
    """Yield one dictionary a record."""
    data = numpy.fromfile(path)
    at = 0
    while at < len(data):
        length = int(data[at])
        yield parse(data[at + 1:at + 1 + length])
        at += 1 + length


def parse(values):
    """Name the numbers of a record, in the order they are written."""
    position = 0

    def take(count):
        nonlocal position
        position += count
        return values[position - count:position]

    products, waters, rows, free = (int(v) for v in take(4))
    record = {"free": free and waters > 1}
    shelf = take(products * (COMPONENTS + 4)).reshape(products, -1)
    record["per_g"] = shelf[:, :COMPONENTS]
    record["min"], record["max"], record["fixed"], record["price"] = \
        shelf[:, COMPONENTS:].T
    water = take(waters * (COMPONENTS + 1)).reshape(waters, -1)
    record["water"] = water[:, :COMPONENTS]
    record["fraction"] = water[:, COMPONENTS] if waters > 1 else [1.0]
    record["rows"] = take(rows * 7).reshape(rows, 7)
    record["status"] = int(take(1)[0])
    if record["status"]:
        return record
    names = ("outcome", "objective", "lower", "gap", "kkt", "rounds", "pivots")
    record.update(zip(names, take(7)))
    record["recipe"] = take(int(take(1)[0]))
    record["fractions"] = take(int(take(1)[0]))
    limits = int(take(1)[0])
    record["limits"] = take(limits * 4).reshape(limits, 4)
    record["rest"] = values[position:]
    return record


class Problem:
    """Limits G z <= h, equalities E z = d, and terms W z near g."""

    def __init__(self, record, objective):
        self.objective = objective
        self.columns = self.units(record)
        self.base = numpy.zeros(COMPONENTS)
        if not record["free"]:
            self.base = numpy.asarray(record["fraction"]) @ record["water"]
        self.G, self.h, self.tag = [], [], []
        self.W, self.g = [], []
        for index, row in enumerate(record["rows"]):
            self.add_row(index, row)
        self.add_bounds(record)
        self.G = numpy.array(self.G)
        self.h = numpy.array(self.h)
        self.W = numpy.array(self.W).reshape(-1, self.n)
        self.g = numpy.array(self.g)

    def units(self, record):
        """Contents by column, each column scaled to a largest of 1."""
        columns = record["per_g"].T
        if record["free"]:
            columns = numpy.hstack([columns, record["water"].T])
        self.products = len(record["per_g"])
        self.n = columns.shape[1]
        size = self.sizes(record)
        most = (columns / size[:, None]).max(axis=0)
        self.unit = numpy.where(most > 0, 1 / numpy.where(most > 0, most, 1), 1)
        self.unit[self.products:] = 1
        return columns * self.unit

    @staticmethod
    def sizes(record):
        """A usual amount of each component: its target, or a large one."""
        size = numpy.full(COMPONENTS, 1000.0)
        for kind, component, _, target, low, high, _ in record["rows"]:
            scale = target if target > 0 else numpy.nanmax([low, high, 0])
            if kind == COMPONENT and scale > 0:
                size[int(component)] = scale
        return size

    def limit(self, row, bound, tag):
        """row z <= bound, divided by its largest coefficient."""
        scale = numpy.abs(row).max()
        scale = scale if scale > 0 else max(abs(bound), 1.0)
        self.G.append(row / scale)
        self.h.append(bound / scale)
        self.tag.append(tag)

    def add_row(self, index, row):
        kind, component, other, target, low, high, weight = row
        component, other = int(component), int(other)
        if self.objective == "cheapest":
            low, high = band(target, low, high)
        for end, bound in ((MIN, low), (MAX, high)):
            if numpy.isnan(bound):
                continue
            sign = -1 if end == MIN else 1
            coefficients = self.columns[component].copy()
            right = bound - self.base[component]
            if kind == RATIO:
                coefficients -= bound * self.columns[other]
                right = bound * self.base[other] - self.base[component]
            self.limit(sign * coefficients, sign * right, (0, index, end))
        if kind == COMPONENT and weight > 0 and not numpy.isnan(target):
            scale = target if target > 0 else high
            root = weight if self.objective == "even" else weight ** 0.5
            self.W.append(root / scale * self.columns[component])
            self.g.append(root / scale * (target - self.base[component]))

    def add_bounds(self, record):
        unit = numpy.eye(self.n)
        for j in range(self.products):
            low, high = 0.0, MOST_G_PER_L
            low_tag = high_tag = None
            if record["min"][j] > 0:
                low, low_tag = record["min"][j], (1, j, MIN)
            if record["max"][j] < MOST_G_PER_L:
                high, high_tag = record["max"][j], (1, j, MAX)
            if not numpy.isnan(record["fixed"][j]):
                low = high = record["fixed"][j]
                low_tag = high_tag = (1, j, FIXED)
            self.limit(-unit[j], -low / self.unit[j], low_tag)
            self.limit(unit[j], high / self.unit[j], high_tag)
        for j in range(self.products, self.n):
            self.limit(-unit[j], 0.0, None)
        self.E = numpy.zeros((0, self.n))
        self.d = numpy.zeros(0)
        if record["free"]:
            self.E = numpy.zeros((1, self.n))
            self.E[0, self.products:] = 1
            self.d = numpy.ones(1)

    def point(self, record):
        """The library's recipe as a point of this problem."""
        z = record["recipe"] / self.unit[:self.products]
        if record["free"]:
            z = numpy.concatenate([z, record["fractions"]])
        return z

    def split_fixed(self, with_caps):
        """Pairs of limits that meet are one equality (interior-point
        methods need an interior).  The kilogram in a litre, which nobody
        set and which spoils their scaling, may be left out."""
        keep = numpy.ones(len(self.h), bool)
        fixed = numpy.zeros(len(self.h), bool)
        E, d = [self.E], [self.d]
        for j in range(self.products):
            low, high = self.bound_rows(j)
            keep[high] = with_caps or self.tag[high] is not None
            if self.h[high] == -self.h[low]:
                fixed[[low, high]] = True
                E.append(self.G[high:high + 1])
                d.append(self.h[high:high + 1])
        return keep & ~fixed, fixed, numpy.vstack(E), numpy.concatenate(d)

    def bound_rows(self, j):
        first = len(self.h) - 2 * self.products - (self.n - self.products)
        return first + 2 * j, first + 2 * j + 1


def band(target, low, high):
    """The limits, and where one is absent the target -+10 %."""
    if numpy.isnan(target):
        return low, high
    lower, upper = 0.9 * target, 1.1 * target
    if not numpy.isnan(low):
        upper = max(upper, low)
    if not numpy.isnan(high):
        lower = min(lower, high)
    return (lower if numpy.isnan(low) else low,
            upper if numpy.isnan(high) else high)


def squares(problem, z):
    return float(numpy.sum((problem.W @ z - problem.g) ** 2))


def interior_point(problem, with_caps):
    keep, fixed, E, d = problem.split_fixed(with_caps)
    matrix = cvxopt.matrix
    W = problem.W
    options = {"show_progress": False, "abstol": 1e-13, "reltol": 1e-12,
               "feastol": 1e-11, "maxiters": 100}
    answer = cvxopt.solvers.coneqp(
        matrix(2 * W.T @ W), matrix(-2 * W.T @ problem.g),
        matrix(problem.G[keep]), matrix(problem.h[keep]),
        A=matrix(E), b=matrix(d), kktsolver="ldl", options=options)
    z = numpy.array(answer["x"]).ravel()
    price = numpy.zeros(len(problem.h))
    price[keep] = numpy.array(answer["z"]).ravel()
    room = numpy.where(fixed, 0.0, 1.0)
    room[keep] = numpy.array(answer["s"]).ravel()
    return z, price, room


def held_squares(problem, z, active):
    """Least squares with the active limits held, near z."""
    E = numpy.vstack([problem.E, problem.G[active]])
    d = numpy.concatenate([problem.d, problem.h[active]])
    start = z + numpy.linalg.pinv(E, rcond=1e-11) @ (d - E @ z)
    _, values, right = numpy.linalg.svd(E)
    rank = int((values > 1e-11 * values.max(initial=0)).sum())
    null = right[rank:].T
    if null.shape[1]:
        v = numpy.linalg.lstsq(problem.W @ null,
                               problem.g - problem.W @ start, rcond=1e-12)[0]
        start = start + null @ v
    return start


def polish(problem, z, price, room):
    """The best of what the interior point shows as active, held; which of
    the limits are active is told at several thresholds."""
    best = squares(problem, z) if broken(problem, z) <= KEPT else numpy.inf
    for threshold in (1, 1e-2, 1e2, 1e-4, 1e4):
        active = price >= threshold * room
        for _ in range(4):
            held = held_squares(problem, z, active)
            over = (problem.G @ held - problem.h) > KEPT
            if not over.any():
                best = min(best, squares(problem, held))
                break
            active = active | over
    return best


def broken(problem, z):
    """Largest violation of a limit, relative to what its row sums."""
    size = 1 + numpy.abs(problem.G) @ numpy.abs(z)
    worst = float(((problem.G @ z - problem.h) / size).max())
    if len(problem.d):
        worst = max(worst, float(numpy.abs(problem.E @ z - problem.d).max()))
    return worst


def slope(problem, z):
    """Gradient, and the steepest of the sums it is made of."""
    deviation = problem.W @ z - problem.g
    steepest = 2 * (numpy.abs(problem.W).T @ numpy.abs(deviation)).max()
    return 2 * problem.W.T @ deviation, 1 + steepest


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
    ours = squares(problem, z)
    theirs = polish(problem, *interior_point(problem, False))
    if theirs - ours > OBJECTIVE * max(ours, SQUARES_FLOOR):
        theirs = min(theirs, polish(problem, *interior_point(problem, True)))
    difference = abs(ours - theirs) / max(ours, SQUARES_FLOOR)
    reported = abs(ours - record["objective"]) / max(ours, SQUARES_FLOOR)
    return {"objective": difference, "reported": reported,
            "kkt": kkt_residual(problem, z), "kept": broken(problem, z)}


def highs(problem, cost, G=None, h=None, E=None, d=None):
    return scipy.optimize.linprog(
        cost, A_ub=problem.G if G is None else G,
        b_ub=problem.h if h is None else h,
        A_eq=problem.E if E is None else E,
        b_eq=problem.d if d is None else d, bounds=(None, None),
        method="highs-ds",
        options={"primal_feasibility_tolerance": 1e-10,
                 "dual_feasibility_tolerance": 1e-10})


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
    answer = highs(problem, cost, G, h, E)
    return compare_linear(problem, record, z, ours, answer)


def check_cheapest(problem, record):
    z = problem.point(record)
    cost = numpy.zeros(problem.n)
    cost[:problem.products] = \
        record["price"] * problem.unit[:problem.products]
    return compare_linear(problem, record, z, float(cost @ z),
                          highs(problem, cost))


def compare_linear(problem, record, z, ours, answer):
    theirs = answer.fun if answer.status == 0 else numpy.inf
    floor = max(abs(ours), LINEAR_FLOOR)
    return {"objective": abs(ours - theirs) / floor,
            "reported": abs(ours - record["objective"]) / floor,
            "kkt": record["kkt"], "kept": broken(problem, z)}


def is_possible(problem, use):
    answer = highs(problem, numpy.zeros(problem.n), problem.G[use],
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
        most = MOST_G_PER_L / problem.unit[:problem.products]
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
    with tempfile.NamedTemporaryFile() as file:
        subprocess.run([program, objective, str(first), str(count),
                        file.name], check=True)
        for index, record in enumerate(read(file.name)):
            seed = first + index
            if record["status"]:
                tally["refused"] += 1
                failures.append((seed, "refused", record["status"]))
                continue
            problem = Problem(record, objective)
            if record["outcome"] == CONFLICT:
                tally["conflict"] += 1
                tally["members"] += len(record["limits"])
                wrong = check_conflict(problem, record)
                if wrong:
                    failures.append((seed, "conflict", wrong))
                continue
            if record["outcome"] == LIMIT:
                tally["unfinished"] += 1
                failures.append((seed, "unfinished", record["gap"]))
                continue
            tally["optimal"] += 1
            found = CHECKS[objective](problem, record)
            bounds = {"objective": OBJECTIVE, "reported": OBJECTIVE,
                      "kkt": KKT, "kept": KEPT}
            for name, value in found.items():
                worst[name] = max(worst[name], value)
                if not value <= bounds[name]:
                    failures.append((seed, name, value))
    return worst, tally, failures


def main():
    program, objective, count = sys.argv[1], sys.argv[2], int(sys.argv[3])
    jobs = int(sys.argv[4]) if len(sys.argv) > 4 else 1
    size = 500
    chunks = [(program, objective, first, min(size, count + 1 - first))
              for first in range(1, count + 1, size)]
    total, worst, failures = {}, {}, []
    with multiprocessing.Pool(jobs) as pool:
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
    print(f"{len(failures)} disagree")
    for failure in sorted(failures)[:20]:
        print("  seed", *failure)
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
