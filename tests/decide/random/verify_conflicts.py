#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Explain invented conflicts another way and compare.

    verify_conflicts.py ANSWERS COUNT [FIRST [MOST_TRIED]]

ANSWERS is the program that writes problems in conflict with the library's
explanation as raw doubles.  The rows are built again from the contents; every
question is put to HiGHS (SciPy): is the set named impossible, and every set
of fewer limits, of all there are, possible; what is the least sum of shares; how far must one limit alone
give way; does the share of purified water named do, and no smaller one; does
a product of the catalogue resolve it or not.  Prints its counts; exits 1 when
a problem disagrees.
"""
import itertools
import pathlib
import sys

import numpy
import scipy.optimize

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2] /
                       "formulate" / "random"))
import agents  # noqa: E402
import peers  # noqa: E402

COMPONENTS = peers.COMPONENTS
# Least sums and shares agree to this, relative to themselves or to 1.
AGREE = 1e-8
# A bound that has to stand at one end of what is possible is possible this
# far beyond, and impossible this far before.  HiGHS keeps rows to 1e-9.
APART = 1e-6
# Every set of so many limits is tried; the set named may have one more.  4
# once: a hundred thousand programs where five conflict.
MOST_TRIED = int(sys.argv[4]) if len(sys.argv) > 4 else 3
OPTIONS = {"primal_feasibility_tolerance": 1e-10,
           "dual_feasibility_tolerance": 1e-10}


def easings(values):
    fields = ("of", "at", "end", "bound", "reached", "share")
    return [dict(zip(fields, row)) for row in values.table(6)]


def parse(values):
    """The seed, the problem, and the explanation."""
    record = peers.parse_seeded(values)
    record["members"] = easings(values)
    record["least"] = easings(values)
    record["keeps_rates"] = values.one()
    record["total"], record["purified"] = values.take(2)
    record["trials"] = [trial(values) for _ in range(int(values.one()))]
    return record


def trial(values):
    product = {"per_g": values.take(COMPONENTS)}
    names = ("alkalinity", "carbon", "citrate", "resolves")
    return {**product, **dict(zip(names, values.take(4)))}


def tag_of(easing):
    return int(easing["of"]), int(easing["at"]), int(easing["end"])


class Limits:
    """G z <= h with a tag each, E z = d, natural bounds of z apart."""

    def __init__(self, record):
        problem = peers.Problem(record, "closest")
        self.problem, self.record = problem, record
        self.n, self.E, self.d = problem.n, problem.E, problem.d
        own = [tag is not None for tag in problem.tag]
        self.G = problem.G[own]
        self.h = problem.h[own]
        self.tags = [tag for tag in problem.tag if tag is not None]
        # a limit divided by its largest coefficient: undo, for the shares
        self.scale = numpy.array([self.row_scale(*t) for t in self.tags])
        self.bounds = [(0, self.most(j) / problem.unit[j])
                       for j in range(problem.products)]
        self.bounds += [(0, None)] * (self.n - problem.products)

    def most(self, j):
        """What a rule leaves of a product, or a litre holds."""
        if not self.record["left_out"][j]:
            return 1000
        fixed, least = self.record["fixed"][j], self.record["min"][j]
        return numpy.nan_to_num(least if numpy.isnan(fixed) else fixed)

    def bound(self, of, at, end):
        record = self.record
        if of == 1:
            return record[("min", "max", "fixed")[end]][at]
        return peers.limits(record, record["rows"][at])[end]

    def row_scale(self, of, at, end):
        """What the row was divided by, over what a share is of."""
        problem = self.problem
        bound = self.bound(of, at, end)
        if of == 1:
            return (bound if bound > 0 else 1.0) / problem.unit[at]
        kind, component, other = self.record["rows"][at][:3]
        row = problem.columns[int(component)].copy()
        size = bound if bound > 0 else 1.0
        right = bound - problem.base[int(component)]
        if kind == peers.RATIO:
            row -= bound * problem.columns[int(other)]
            right = bound * problem.base[int(other)] \
                - problem.base[int(component)]
            size = bound * self.usual(other) if bound > 0 else 1.0
        largest = numpy.abs(row).max()
        largest = largest if largest > 0 else max(abs(right), 1.0)
        return size / largest

    def usual(self, component):
        for kind, this, _, target, low, high, _ in self.record["rows"]:
            if kind == peers.COMPONENT and this == component:
                if target > 0:
                    return target
                if high > 0:
                    return high
                if low > 0:
                    return low
        return 100.0

    def solve(self, cost, G, h, extra=0, bounds=None):
        E = numpy.hstack([self.E, numpy.zeros((len(self.E), extra))])
        return scipy.optimize.linprog(
            cost, A_ub=G if len(G) else None, b_ub=h if len(G) else None,
            A_eq=E if len(E) else None, b_eq=self.d if len(E) else None,
            bounds=(bounds or self.bounds) + [(0, None)] * extra,
            method="highs", options=OPTIONS)

    def possible(self, tags, moved=None, beside=None):
        """With only these limits; moved: {tag: bound}; beside: one more."""
        use = [i for i, tag in enumerate(self.tags) if tag in tags]
        G, h = self.G[use], self.h[use]
        if beside:
            G, h = numpy.vstack([G, beside[0]]), numpy.append(h, beside[1])
        for tag, bound in (moved or {}).items():
            row, right = self.row_at(tag, bound)
            G, h = numpy.vstack([G, row]), numpy.append(h, right)
        return self.solve(numpy.zeros(self.n), G, h).status == 0

    def row_at(self, tag, bound):
        """Rows of one limit standing elsewhere."""
        of, at, end = tag
        problem = self.problem
        if of == 1:
            unit = numpy.eye(self.n)[at:at + 1] * problem.unit[at]
            rows, right = [], []
            if end != peers.MAX:
                rows.append(-unit)
                right.append(-bound)
            if end != peers.MIN:
                rows.append(unit)
                right.append(bound)
            size = problem.unit[at]
            return numpy.vstack(rows) / size, numpy.array(right) / size
        kind, component, other = self.record["rows"][at][:3]
        row = problem.columns[int(component)].copy()
        right = bound - problem.base[int(component)]
        if kind == peers.RATIO:
            row -= bound * problem.columns[int(other)]
            right = bound * problem.base[int(other)] \
                - problem.base[int(component)]
        size = numpy.abs(row).max()
        size = size if size > 0 else 1.0
        sign = -1 if end == peers.MIN else 1
        return sign * row[None] / size, numpy.array([sign * right / size])

    def least(self, only=None, keeps_rates=False):
        """The least sum of shares; `only` this limit may give way, or all but
        fixed and least rates of products."""
        columns = [i for i, tag in enumerate(self.tags)
                   if (only is None or tag == only) and
                   not (keeps_rates and tag[0] == 1 and tag[2] != peers.MAX)]
        give = numpy.zeros((len(self.tags), len(columns)))
        for k, i in enumerate(columns):
            give[i, k] = -self.scale[i]
        cost = numpy.concatenate([numpy.zeros(self.n), numpy.ones(len(columns))])
        answer = self.solve(cost, numpy.hstack([self.G, give]), self.h,
                            len(columns))
        return answer.fun if answer.status == 0 else numpy.nan


def same(ours, theirs):
    if numpy.isnan(ours) or numpy.isnan(theirs):
        return numpy.isnan(ours) and numpy.isnan(theirs)
    return abs(ours - theirs) <= AGREE * max(1.0, abs(theirs))


def check_set(limits, record, tally):
    """Impossible together; every smaller set possible."""
    named = {tag_of(member) for member in record["members"]}
    if not named or limits.possible(named):
        yield "the set named is possible", len(named)
    fewer = min(len(named) - 1, MOST_TRIED)
    tally["sets tried to the end"] += fewer == len(named) - 1
    for tag in named:
        if not limits.possible(named - {tag}):
            yield "the set is not minimal", tag
    for size in range(1, fewer + 1):
        for tags in itertools.combinations(sorted(set(limits.tags)), size):
            if not limits.possible(set(tags)):
                yield "a smaller set", (len(named), tags)
                return


def check_alone(limits, record, tally):
    every = set(limits.tags)
    for member in record["members"]:
        tag = tag_of(member)
        share = limits.least(tag)
        if not same(member["share"], share):
            yield "share of one alone", (tag, member["share"], share)
        if numpy.isnan(member["reached"]):
            tally["alone in vain"] += 1
            if not numpy.isnan(share) and kind_of(record, tag) != "ratio":
                yield "said to be in vain", tag
            continue
        tally["alone"] += 1
        step = APART * (abs(member["reached"]) + abs(member["bound"]))
        sign = 1 if member["reached"] > member["bound"] else -1
        rest = every - {tag}
        if not limits.possible(rest, {tag: member["reached"] + sign * step}):
            yield "eased, still impossible", (tag, member["reached"])
        nearer = member["reached"] - sign * step
        if (nearer - member["bound"]) * sign > 0 and \
                limits.possible(rest, {tag: nearer}):
            yield "less would do", (tag, member["reached"])


def kind_of(record, tag):
    if tag[0] == 1:
        return "product"
    return "ratio" if record["rows"][tag[1]][0] == peers.RATIO else "component"


def beyond(easing):
    """A little farther than it has to stand, and no less than nothing."""
    step = APART * (abs(easing["reached"]) + abs(easing["bound"]))
    sign = 1 if easing["reached"] > easing["bound"] else -1
    return max(easing["reached"] + sign * step, 0.0)


def check_least(limits, record, worst, tally):
    tally["rates kept"] += bool(record["keeps_rates"])
    if numpy.isnan(record["total"]):  # the whole problem does not follow
        tally["least in vain"] += 1
        return
    theirs = limits.least(keeps_rates=record["keeps_rates"])
    gap = abs(record["total"] - theirs) / max(1.0, abs(theirs))
    worst["least"] = max(worst["least"], gap)
    if not gap <= AGREE:
        yield "least sum", (record["total"], theirs)
    if not same(sum(e["share"] for e in record["least"]), record["total"]):
        yield "shares do not sum", record["total"]
    moved = {tag_of(e): beyond(e) for e in record["least"]
             if numpy.isfinite(e["reached"])}
    if len(moved) == len(record["least"]) and \
            not limits.possible(set(limits.tags) - set(moved), moved):
        yield "eased together, still impossible", moved


def resolves(record, product, tally):
    """Whether the product lets every limit be kept; None: hangs on more of the
    chemistry than is known here."""
    limits = Limits(peers.with_product(record, product["per_g"]))
    every = set(limits.tags)
    if not limits.possible(every):
        return False
    what = agents.role(record, product)
    if not what:
        return True
    tally["acids and bases"] += 1
    at_best, at_worst = (
        limits.possible(every, beside=agents.row(limits, product, what, sure))
        for sure in (False, True))
    tally["held by the pH"] += not at_best
    return at_best if at_best == at_worst else None


def check_products(record, tally):
    for product in record["trials"]:
        theirs = resolves(record, product, tally)
        tally["products"] += 1
        tally["products that resolve"] += theirs is True
        tally["undecided"] += theirs is None
        if theirs is not None and theirs != bool(product["resolves"]):
            yield "a product", (theirs, product["resolves"])


def with_purified(record):
    """Every water free, and one that carries nothing."""
    waters = record["water"]
    if not record["free"]:
        waters = (numpy.asarray(record["fraction"]) @ waters)[None]
    more = dict(record)
    more["free"] = True
    more["water"] = numpy.vstack([waters, numpy.zeros(COMPONENTS)])
    more["fraction"] = None
    return more


def check_purified(record, worst, tally):
    limits = Limits(with_purified(record))
    cost = numpy.zeros(limits.n)
    cost[-1] = 1
    answer = limits.solve(cost, limits.G, limits.h)
    theirs = answer.fun if answer.status == 0 else numpy.nan
    tally["purified helps"] += not numpy.isnan(theirs)
    if not same(record["purified"], theirs):
        yield "purified", (record["purified"], theirs)
    elif not numpy.isnan(theirs):
        worst["purified"] = max(worst["purified"],
                                abs(theirs - record["purified"]))


def main():
    program, count = sys.argv[1], int(sys.argv[2])
    first = sys.argv[3] if len(sys.argv) > 3 else "1"
    worst = {"least": 0.0, "purified": 0.0}
    tally = dict.fromkeys(("problems", "members", "sets tried to the end",
                           "rates kept", "least in vain", "alone", "alone in vain",
                           "products", "products that resolve",
                           "acids and bases", "held by the pH", "undecided",
                           "purified helps"), 0)
    failures = []
    for record in map(parse, peers.records(program, first, count)):
        limits = Limits(record)
        tally["problems"] += 1
        tally["members"] += len(record["members"])
        for found in (check_set(limits, record, tally),
                      check_alone(limits, record, tally),
                      check_least(limits, record, worst, tally),
                      check_products(record, tally),
                      check_purified(record, worst, tally)):
            failures += [(record["seed"], *what) for what in found]
    print(", ".join(f"{value} {name}" for name, value in tally.items()))
    print("worst difference: least sum {least:.1e}, share of purified water "
          "{purified:.1e}".format(**worst))
    return peers.tell(failures)


if __name__ == "__main__":
    sys.exit(main())
