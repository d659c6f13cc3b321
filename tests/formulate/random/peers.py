# SPDX-License-Identifier: GPL-3.0-or-later
"""What the scripts that solve invented problems another way share.

The records of the programs in C, read back; a problem built again from its
contents, with nothing of the library's; and the other solvers: least squares
by an interior-point method (CVXOPT's coneqp), polished on the active set it
shows (LAPACK), linear programs by HiGHS (SciPy).
"""
import pathlib
import subprocess
import tempfile

import cvxopt
import cvxopt.solvers
import numpy
import scipy.optimize

TABLE = (pathlib.Path(__file__).resolve().parents[3] / "reference" /
         "components.csv")
COMPONENTS = len(TABLE.read_text(encoding="utf-8").splitlines()) - 1
MOST_G_PER_L = 1000.0
COMPONENT, RATIO = 0, 1
OPTIMAL, LIMIT, CONFLICT = 0, 1, 2
MIN, MAX, FIXED = 0, 1, 2

# Objectives agree to this, relative to themselves or to the floor.  The
# floor: squares of deviations of 1e-4 of a target; below it the square of
# what an interior-point method leaves would be compared with rounding.
OBJECTIVE = 1e-8
SQUARES_FLOOR = 1e-8
# How far outside a limit, relative to its size, still counts as kept.
KEPT = 1e-9
# What prices leave of a gradient that they hold.
HELD = 1e-9


def records(program, *arguments):
    """Run a program that writes records to a file; yield each one's values."""
    with tempfile.NamedTemporaryFile() as file:
        subprocess.run([program, *map(str, arguments), file.name], check=True)
        data = numpy.fromfile(file.name)
    at = 0
    while at < len(data):
        length = int(data[at])
        yield Values(data[at + 1:at + 1 + length])
        at += 1 + length


class Values:
    """The numbers of a record, taken one after the other."""

    def __init__(self, values):
        self.left = values

    def __len__(self):
        return len(self.left)

    def take(self, count):
        taken, self.left = self.left[:count], self.left[count:]
        return taken

    def one(self):
        return self.take(1)[0]

    def table(self, columns):
        """Rows, their number first."""
        rows = int(self.one())
        return self.take(rows * columns).reshape(rows, columns)


def parse_problem(values):
    """Name the numbers of a problem, in the order they are written."""
    products, waters, rows, free = (int(v) for v in values.take(4))
    record = {"free": free and waters > 1}
    shelf = values.take(products * (COMPONENTS + 5)).reshape(products, -1)
    record["per_g"] = shelf[:, :COMPONENTS]
    (record["min"], record["max"], record["fixed"], record["price"],
     record["left_out"]) = shelf[:, COMPONENTS:].T
    water = values.take(waters * (COMPONENTS + 1)).reshape(waters, -1)
    record["water"] = water[:, :COMPONENTS]
    record["fraction"] = water[:, COMPONENTS] if waters > 1 else [1.0]
    record["rows"] = values.take(rows * 7).reshape(rows, 7)
    return record


def parse_solved(values):
    """The same with its solution, unless the call was refused."""
    record = parse_problem(values)
    record["status"] = int(values.one())
    if record["status"]:
        return record
    names = ("outcome", "objective", "lower", "gap", "kkt", "pivots")
    record.update(zip(names, values.take(6)))
    record["recipe"] = values.take(int(values.one()))
    record["fractions"] = values.take(int(values.one()))
    record["limits"] = values.table(4)
    record["ceilings"] = values.table(2)
    record["judged"] = bool(values.one())
    sought = values.take(int(values.one())).astype(int)
    record["sought"] = [tuple(record["rows"][i][1:3]) for i in sought]
    return record


def parse_seeded(values):
    """A seed and its problem."""
    seed = int(values.one())
    return {"seed": seed, **parse_problem(values)}


class Problem:
    """Limits G z <= h, equalities E z = d, and terms W z near g."""

    def __init__(self, record, objective):
        self.objective = objective
        self.record = record
        self.columns = self.units(record)
        self.base = numpy.zeros(COMPONENTS)
        if not record["free"]:
            self.base = numpy.asarray(record["fraction"]) @ record["water"]
        self.G, self.h, self.tag = [], [], []
        self.W, self.g = [], []
        for index, row in enumerate(record["rows"]):
            self.add_row(index, row)
        for component, bound in record.get("ceilings", ()):
            row = self.columns[int(component)].copy()
            row[self.products:] = 0
            self.limit(row, bound, (2, int(component), MAX))
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
        else:
            low, high = limits(self.record, row)
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
            if record["left_out"][j]:
                high, high_tag = low, None
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


def limits(record, row):
    """Those given; of a ratio with a target that is sought (all, or those that
    are told) its accepted range too, where a product brings the part that an
    end wants more of."""
    kind, component, other, target, low, high, weight = row
    judged = record.get("judged", True) and \
        (component, other) not in record.get("sought", ())
    if kind != RATIO or not target > 0 or not weight > 0 or judged:
        return low, high
    lower, upper = band(target, low, high)
    brought = (record["per_g"][~(record["max"] <= 0)] > 0).any(axis=0)
    return (lower if brought[int(component)] else low,
            upper if brought[int(other)] else high)


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


def held_points(problem, z, price, room):
    """Points that keep every limit: what the interior point shows as active,
    held, told at several thresholds; then the interior point itself."""
    for threshold in (1, 1e-2, 1e2, 1e-4, 1e4):
        active = price >= threshold * room
        for _ in range(4):
            held = held_squares(problem, z, active)
            over = (problem.G @ held - problem.h) > KEPT
            if not over.any():
                yield held
                break
            active = active | over
    if broken(problem, z) <= KEPT:
        yield z


def polish(problem, z, price, room):
    """The least squares of those points, with what they pass limits by made
    good; infinite without any."""
    least = numpy.inf
    for point in held_points(problem, z, price, room):
        least = min(least, squares(problem, point) + passed(problem, point))
    return least


def least_squares(problem, enough=numpy.inf):
    """The least sum of squares, by one scaling or, where that ends above what
    is enough, the better of two; infinite where the method fails with both."""
    least = numpy.inf
    for with_caps in (False, True):
        try:
            ends = polish(problem, *interior_point(problem, with_caps))
        except (ValueError, ArithmeticError, TypeError):
            continue
        least = min(least, ends) if numpy.isfinite(ends) else least
        if numpy.isfinite(least) and least <= enough:
            break
    return least


def gradient(problem, z):
    return 2 * problem.W.T @ (problem.W @ z - problem.g)


def active_prices(problem, z):
    """The limits that z stands at or has passed, the prices of these that come
    nearest to holding it there (nonnegative least squares), and what of the
    gradient they leave."""
    active = problem.h - problem.G @ z <= KEPT
    # of an equality either way
    rows = numpy.vstack([problem.G[active], problem.E, -problem.E]).T
    slope = gradient(problem, z)
    price = scipy.optimize.nnls(rows, -slope, maxiter=100 * len(z))[0]
    return active, price[:active.sum()], slope + rows @ price


def passed(problem, z):
    """What the limits passed are worth: where prices hold z, by convexity no
    point that keeps the limits has less than the squares at z and this.  A
    price of 66 makes 6e-10 of what is passed by 1e-11 (seed 971308)."""
    over = problem.G @ z - problem.h
    if not over.max() > 0:  # nor where the point is no number
        return 0.0
    try:
        active, price, rest = active_prices(problem, z)
    except RuntimeError:  # it cycles on rounding
        return 0.0
    if numpy.abs(rest).max() > HELD * (1 + price.max(initial=0)):
        return 0.0
    return float(price @ numpy.maximum(over[active], 0))


def gain_bound(problem, z):
    """What any point could gain over z at most, by the prices of the limits
    active there: for who has no interior."""
    active, price, rest = active_prices(problem, z)
    slack = (problem.h - problem.G @ z)[active]
    # a column at 1 is a whole target; no deviation is above the root
    most = 10 * (1 + numpy.abs(z).max() + squares(problem, z) ** 0.5)
    return float(price @ numpy.maximum(slack, 0) + numpy.abs(rest).sum() * most)


def broken(problem, z):
    """Largest violation of a limit, relative to what its row sums."""
    size = 1 + numpy.abs(problem.G) @ numpy.abs(z)
    worst = float(((problem.G @ z - problem.h) / size).max())
    if len(problem.d):
        worst = max(worst, float(numpy.abs(problem.E @ z - problem.d).max()))
    return worst


def highs(problem, cost, G=None, h=None, E=None, d=None):
    return scipy.optimize.linprog(
        cost, A_ub=problem.G if G is None else G,
        b_ub=problem.h if h is None else h,
        A_eq=problem.E if E is None else E,
        b_eq=problem.d if d is None else d, bounds=(None, None),
        method="highs-ds",
        options={"primal_feasibility_tolerance": 1e-10,
                 "dual_feasibility_tolerance": 1e-10})


TRACES = [10, 11, 12, 13, 14, 15]  # Fe, Mn, Zn, Cu, B, Mo
MACROS = [0, 1, 2, 3, 4, 5, 6, 7]  # forms of N, P, K, Ca, Mg, S


def is_idle_trace(record, per_g):
    """A source of trace elements none of which the target asks for."""
    if per_g[TRACES].max() < 1 or per_g[TRACES].sum() <= per_g[MACROS].sum():
        return False
    asked = {int(row[1]) for row in record["rows"]
             if row[0] == COMPONENT and (row[3] > 0 or row[4] > 0)}
    return not any(per_g[c] >= 1 and c in asked for c in TRACES)


def with_product(record, per_g):
    """The record with one product more."""
    more = dict(record)
    more["per_g"] = numpy.vstack([record["per_g"], per_g])
    for key in ("min", "max", "fixed", "price"):
        more[key] = numpy.append(record[key], numpy.nan)
    more["left_out"] = numpy.append(record["left_out"],
                                    is_idle_trace(record, per_g))
    return more


def tell(failures, what="seed"):
    """Print those that disagree, some of them whole; what a script exits
    with."""
    print(f"{len(failures)} disagree")
    for failure in failures[:20]:
        print(f"  {what}", *failure)
    return 1 if failures else 0
