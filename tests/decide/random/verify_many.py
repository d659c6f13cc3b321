#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Recipes for a well through the year another way, and compare.

    verify_many.py MANY WHAT COUNT [FIRST]

MANY is the program that writes problems with the library's recipes.  One
recipe (closest, even): the rows of every sample are built again from the
contents, salts in one column, acids and bases in one for each sample; a pH is
its row at the activities of the recipe found.  Solved by an interior-point
method, polished, or by HiGHS; in some samples with base for acid and the
other way.  Where limits gave way, the least sum of shares by HiGHS.  Fewest:
against every way to part the samples, whether one recipe serves a set asked
of the library and, without a pH, of HiGHS.  Prints its counts; exits 1 when a
problem disagrees.
"""
import functools
import pathlib
import sys

import numpy

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2] /
                       "formulate" / "random"))
import peers  # noqa: E402

RATIO, PH = 1, 2
P, SI = 3, 16
# Of a column's scaled amount, of an excess in meq/L, of shares that gave way.
USED, EXCESS, SHARE = 1e-9, 1e-6, 1e-6
# With a pH the activities have settled to so much of an objective.
SETTLED = 1e-7
# Limits that give way and activities may move each other to and fro: by so
# much of a sum of shares at most.
TURNS = 5e-5


def parse(values):
    record = peers.parse_seeded(values)
    samples = int(values.one())
    record["water"] = values.take(samples * peers.COMPONENTS).reshape(
        samples, -1)
    record["has_ph"] = record["rows"][-1][0] == PH
    record["status"] = int(values.one())
    return record


def parse_one(values):
    record = parse(values)
    if record["status"]:
        return record
    products = len(record["per_g"])
    for name in ("outcome", "proved", "objective", "gap"):
        record[name] = values.one()
    record["own"] = values.take(products) > 0
    record["amounts"], record["lines"] = [], []
    for _ in record["water"] if record["outcome"] != peers.CONFLICT else ():
        record["amounts"].append(values.take(products))
        lines = int(values.one()) if record["has_ph"] else 0
        record["lines"].append(values.take(
            lines * (2 + 2 * products)).reshape(lines, 2 + 2 * products))
    return record


def sizes(record):
    return peers.Problem.sizes({"rows": record["rows"]})


class Year:
    """Limits G z <= h and terms W z near g over all samples; what may give
    way, and by how much of it a whole is."""

    def __init__(self, record, kinds, even=False, agents_only=False,
                 bands=False):
        self.record, self.even, self.bands = record, even, bands
        self.agents_only = agents_only
        self.E, self.d = None, None
        self.place_columns(kinds)
        self.G, self.h, self.size = [], [], []
        self.W, self.g = [], []
        for k in range(len(record["water"])):
            for row in record["rows"]:
                self.add_row(k, row)
            for index in range(len(record["lines"][k])):
                self.add_line(k, index)
        for column in range(self.n):
            self.limit(-numpy.eye(self.n)[column], 0.0, 0)
        self.G, self.h = numpy.array(self.G), numpy.array(self.h)
        self.size = numpy.array(self.size)
        self.W = numpy.array(self.W).reshape(-1, self.n)
        self.g = numpy.array(self.g)
        self.E, self.d = numpy.zeros((0, self.n)), numpy.zeros(0)

    def place_columns(self, kinds):
        """Of each sample: the column of each product, or none."""
        record = self.record
        self.place, self.n, units = [], 0, []
        most = (record["per_g"] / sizes(record)).max(axis=1)
        common = {}
        for k in range(len(record["water"])):
            place = []
            for j in range(len(record["per_g"])):
                if not record["own"][j]:
                    at = common.get(j)
                elif self.kind(j) == kinds[k]:
                    at = None
                else:
                    place.append(None)
                    continue
                if at is None:
                    at, self.n = self.n, self.n + 1
                    units.append(1 / most[j])
                    common.setdefault(j, at)
                place.append(at)
            self.place.append(place)
        self.unit = numpy.array(units)

    def kind(self, j):
        """-1: an acid; 1: a base."""
        return numpy.sign(self.record["lines"][0][0][2 + 2 * j])

    def spread(self, k, per_product):
        row = numpy.zeros(self.n)
        for j, at in enumerate(self.place[k]):
            if at is not None:
                row[at] += per_product[j] * self.unit[at]
        return row

    def point(self):
        z = numpy.zeros(self.n)
        for k, amounts in enumerate(self.record["amounts"]):
            for j, at in enumerate(self.place[k]):
                if at is not None:
                    z[at] = amounts[j] / self.unit[at]
        return z

    def limit(self, row, bound, size):
        scale = numpy.abs(row).max()
        scale = scale if scale > 0 else max(abs(bound), 1.0)
        self.G.append(row / scale)
        self.h.append(bound / scale)
        self.size.append(size / scale)

    def term(self, row, goal, weight):
        root = weight if self.even else weight ** 0.5
        self.W.append(root * row)
        self.g.append(root * goal)

    def bounds(self, row, brings):
        """With our cap on P and Si while a pH is sought."""
        _, component, _, target, low, high, _ = row
        band = peers.band(target, low, high)
        if self.bands:
            return band
        if (self.record["has_ph"] and row[0] == peers.COMPONENT and
                component in (P, SI) and target > 0 and numpy.isnan(high)):
            high = max(band[1], brings)
        return low, high

    def add_row(self, k, row):
        kind, component, other, target, _, _, weight = row
        if kind == PH:
            return
        component, other = int(component), int(other)
        base, per_g = self.record["water"][k], self.record["per_g"].T
        low, high = self.bounds(row, base[component])
        over = kind == peers.COMPONENT and base[component] > high
        for sign, bound in ((-1, low), (1, high)):
            if numpy.isnan(bound):
                continue
            coefficients, right = per_g[component], bound - base[component]
            size = bound if bound > 0 else 1.0
            if kind == RATIO:
                coefficients = coefficients - bound * per_g[other]
                right = bound * base[other] - base[component]
                size *= self.usual(other)
            if sign > 0 and over:
                right = size = 0.0
            self.limit(sign * self.spread(k, coefficients), sign * right, size)
        if kind == peers.COMPONENT and weight > 0 and target > 0:
            self.term(self.spread(k, per_g[component]) / target,
                      1 - base[component] / target, weight)

    def usual(self, component):
        for row in self.record["rows"]:
            if row[0] == peers.COMPONENT and row[1] == component and row[3] > 0:
                return row[3]
        return 100.0

    def add_line(self, k, index):
        """What acids and bases do, and P and Si of the others."""
        record = self.record
        line = record["lines"][k][index]
        whole, buffer = line[2:].reshape(-1, 2).T
        levers = numpy.where(record["own"], whole,
                             0 if self.agents_only else buffer)
        rest = line[1] - levers @ record["amounts"][k]
        row = self.spread(k, levers)
        if index == 2:
            self.term(line[0] * row, -line[0] * rest, record["rows"][-1][6])
        else:
            bound = -rest if index == 1 else rest
            # out of reach it stands where it does
            bound = max(bound, bound - (-line[1] if index == 1 else line[1]))
            self.limit(row if index == 1 else -row, bound, 0)

    def split_fixed(self, _):
        none = numpy.zeros(len(self.h), bool)
        return ~none, none, self.E, self.d

    def give_way(self, z):
        """By shares of themselves: what gave way at z, and the least sum."""
        over = numpy.maximum(0, self.G @ z - self.h)
        may = self.size > 0
        gave = float((over[may] / self.size[may]).sum())
        extra = -numpy.diag(self.size)[:, may]
        count = extra.shape[1]
        answer = peers.highs(
            self, numpy.concatenate([numpy.zeros(self.n), numpy.ones(count)]),
            numpy.vstack([numpy.hstack([self.G, extra]),
                          numpy.hstack([numpy.zeros((count, self.n)),
                                        -numpy.eye(count)])]),
            numpy.concatenate([self.h, numpy.zeros(count)]),
            numpy.zeros((0, self.n + count)), numpy.zeros(0))
        self.h = numpy.where(may, self.h + over, self.h)
        return gave, answer.fun if answer.status == 0 else numpy.inf

    def best(self):
        if not self.even:
            return peers.least_squares(self)
        one = numpy.ones((len(self.g), 1))
        G = numpy.block([[self.G, numpy.zeros((len(self.h), 1))],
                         [self.W, -one], [-self.W, -one]])
        cost = numpy.append(numpy.zeros(self.n), 1)
        answer = peers.highs(self, cost, G,
                             numpy.concatenate([self.h, self.g, -self.g]),
                             numpy.zeros((0, self.n + 1)), numpy.zeros(0))
        return answer.fun if answer.status == 0 else numpy.inf

    def value(self, z):
        deviation = self.W @ z - self.g
        return float(numpy.abs(deviation).max() if self.even
                     else deviation @ deviation)


def kinds_of(record):
    """Acid (-1) or base (1) in each sample; acid where it has neither."""
    kinds = []
    for amounts, lines in zip(record["amounts"], record["lines"]):
        base = len(lines) and any(
            record["own"][j] and lines[0][2 + 2 * j] > 0 and amounts[j] > USED
            for j in range(len(amounts)))
        kinds.append(1 if base else -1)
    return kinds


def both_poured(record):
    """Samples with an acid and a base."""
    return sum(len({numpy.sign(lines[0][2 + 2 * j])
                    for j in range(len(amounts))
                    if record["own"][j] and amounts[j] > USED}) > 1
               for amounts, lines in zip(record["amounts"], record["lines"])
               if len(lines))


def check_one(record, even):
    """What differs, by name; what was met on the way."""
    floor = 1e-3 if even else peers.SQUARES_FLOOR
    kinds, found, met = kinds_of(record), {}, []
    bound = SETTLED if record["has_ph"] else peers.OBJECTIVE
    for agents_only in (False, True):
        year = Year(record, kinds, even, agents_only)
        z = year.point()
        gave, least = year.give_way(z)
        if gave > SHARE:  # by acids and bases alone, as salts are no remedy
            least = Year(record, kinds, even, True).give_way(z)[1]
        ours, theirs = year.value(z), year.best()
        if not even and theirs - ours > bound * max(ours, floor):
            # a method for interiors, where there is none
            theirs = ours - peers.gain_bound(year, z)
        off = (ours - theirs) / max(ours, floor)
        if not record["has_ph"] or off <= SETTLED:
            break
    found["objective"] = (abs(off), bound)
    found["reported"] = (abs(ours - record["objective"]) / max(ours, floor),
                         bound)
    found["gave"] = (max(0, gave - least), SHARE)
    if record["has_ph"] and gave - least > SHARE:
        met.append("gave way in turns")
        found["gave"] = ((gave - least) / least, TURNS)
    found["kept"] = (peers.broken(year, z), 1e-8)
    found["both"] = (both_poured(record), 0)
    if gave > SHARE:
        met.append("gave way")
    if agents_only:
        met.append("pH held by acid alone")
    if not record["proved"]:
        met.append("unproved")
    if record["outcome"] != peers.OPTIMAL:  # gap says how far it is from that
        met.append("too stiff for a proof")
        found["gap"] = (record["gap"] / max(ours, floor), 1e-8)
        found["claimed"] = (record["proved"], 0)
    if record["has_ph"] and gave <= SHARE:
        found["flipped"] = (check_flips(record, kinds, even, ours, floor, met),
                            1e-5)
    return found, met


def check_flips(record, kinds, even, ours, floor, met):
    """How much better it is with the other agent in one sample."""
    most = 0.0
    if len({numpy.sign(record["lines"][0][0][2 + 2 * j])
            for j in range(len(record["own"])) if record["own"][j]}) < 2:
        return most
    met.append("acid or base")
    for k in (0, 4, 8):
        other = list(kinds)
        other[k] = -other[k]
        most = max(most, (ours - Year(record, other, even).best()) /
                   max(ours, floor))
    return most


# ---- Fewest ---------------------------------------------------------------


def parse_fewest(values):
    record = parse(values)
    if record["status"]:
        return record
    samples = len(record["water"])
    for name in ("recipes", "changes", "proved"):
        record[name] = int(values.one())
    record["recipe"] = values.take(samples).astype(int)
    record["served"] = [True, *(values.take(2 ** samples - 1) > 0)]
    return record


def fewest(served, samples):
    """Recipes and changes, by every way to part the samples."""
    best = (samples + 1, samples + 1)
    def part(k, groups, changes, last):
        nonlocal best
        if (len(groups), changes) >= best:
            return
        if k == samples:
            best = (len(groups), changes)
            return
        for g in range(len(groups) + 1):
            more = [*groups, 0] if g == len(groups) else list(groups)
            more[g] |= 1 << k
            if served[more[g]]:
                part(k + 1, more, changes + (k > 0 and g != last), g)
    part(0, [], 0, 0)
    return best


def is_served(record, members):
    """By HiGHS, without a pH."""
    part = dict(record, water=record["water"][members],
                own=numpy.zeros(len(record["per_g"]), bool),
                lines=[[]] * len(members))
    year = Year(part, [-1] * len(members), bands=True)
    # a max that the water alone is over is no max here
    answer = peers.highs(year, numpy.zeros(year.n))
    return answer.status == 0


def check_fewest(record):
    samples = len(record["water"])
    served, met, found = record["served"], [], {}
    groups = [sum(1 << k for k in range(samples) if record["recipe"][k] == r)
              for r in range(record["recipes"])]
    over = [any(row[0] == peers.COMPONENT and
                water[int(row[1])] > peers.band(*row[3:6])[1]
                for row in record["rows"]) for water in record["water"]]
    if not all(served[1 << k] for k in range(samples)):
        met.append("a sample that no recipe serves")
        found["recipes"] = (not 0 < record["recipes"] <= samples, 0)
        return found, met
    best = fewest(served, samples)
    met.append(f"{best[0]} recipes")
    found["fewest"] = (abs(record["recipes"] - best[0]), 0)
    found["changes"] = (abs(record["changes"] - best[1]), 0)
    found["groups"] = (sum(not served[g] for g in groups), 0)
    found["proved"] = (1 - record["proved"], 0)
    if not record["has_ph"] and not any(over):
        wrong = sum(is_served(record, [k for k in range(samples)
                                       if s >> k & 1]) != served[s]
                    for s in range(1, 2 ** samples))
        met.append("sets asked of HiGHS")
        found["served"] = (wrong, 0)
    return found, met


def main():
    program, what, count = sys.argv[1], sys.argv[2], int(sys.argv[3])
    first = int(sys.argv[4]) if len(sys.argv) > 4 else 1
    read = parse_fewest if what == "fewest" else parse_one
    check = (check_fewest if what == "fewest" else
             functools.partial(check_one, even=what == "even"))
    tally, worst, failures = {}, {}, []
    for record in map(read, peers.records(program, what, first, count)):
        if record["status"] or record.get("outcome", 0) == peers.CONFLICT:
            failures.append((int(record["seed"]), "unsolved",
                             record["status"], record.get("outcome")))
            continue
        found, met = check(record)
        for name in met:
            tally[name] = tally.get(name, 0) + 1
        for name, (value, bound) in found.items():
            worst[name] = max(worst.get(name, 0), value)
            if not value <= bound:
                failures.append((int(record["seed"]), name, value))
    print(f"{what}: {count} years: " +
          ", ".join(f"{value} {name}" for name, value in sorted(tally.items())))
    print("worst: " + ", ".join(f"{name} {value:.1e}"
                                for name, value in worst.items()))
    return peers.tell(failures)


if __name__ == "__main__":
    sys.exit(main())
