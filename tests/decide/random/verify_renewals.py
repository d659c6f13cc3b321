#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Renew invented tanks another way and compare.

    verify_renewals.py RENEWALS COUNT [FIRST]

RENEWALS is the program that writes tanks which cannot meet every target
without draining, with the library's renewal as raw doubles.  What the recipe
misses is worked out again from its amounts; nothing given up may be further
off than in the closest recipe at that share of old solution, and what a
laboratory can tell.  Then by linear programs over every share of old solution
and every recipe (HiGHS), in which what is given up is bounded by mixes of the
closest recipes of none and of all of the old solution: a search through every
set of ends that could be given up instead, first fewer given limits, then as
many and fewer accepted ranges, finds none that its share's own closest recipe
lets stand; and with the rest no larger share of old solution stays, but for a
thousandth of it where a recipe is still there.  Where anything is drained, what
old solution and fresh water bring may pass an upper end that is only the
accepted range's by 10 %, and then no more than 1 % of it is added: between the
shares at which that begins each stretch is a program.  Prints its counts; exits
1 when a tank disagrees.
"""
import functools
import math
import pathlib
import sys

import numpy
import scipy.optimize

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2] /
                       "formulate" / "random"))
import peers  # noqa: E402

TOLD_FROM = 1.1
NO_ADDITION = 0.01
# Of what is held, what nobody drains less than.
LEAST_DRAINED = 1e-3
SLACK = 1e-6
# Shares kept agree to this; ours stands so far below its bound.
SHARE = 1e-6
# Closest recipes at shares nearer than this bound alike.
LEAST_APART = 1e-3
OPTIONS = {"primal_feasibility_tolerance": 1e-10,
           "dual_feasibility_tolerance": 1e-10}


def parse(values):
    record = peers.parse_seeded(values)
    record["held"], record["outcome"], record["kept"] = values.take(3)
    record["recipe"] = values.take(int(values.one()))
    record["unreached"] = values.table(4)
    record["objective"] = values.one()
    record["closest"] = values.take(4 * peers.COMPONENTS).reshape(4, -1)
    return record


@functools.lru_cache(maxsize=4)
def closest_at(program, seed, share):
    """What the closest recipe at a share of what is held has, asked for."""
    record = next(peers.records(program, repr(float(share)), str(seed), "1"))
    return parse(record)["closest"][3]


class Tank:
    """Rows of ends over the share of old solution and the products."""

    def __init__(self, record):
        self.record = record
        old, fresh = record["water"]
        self.columns = numpy.vstack([old - fresh, record["per_g"]]).T
        self.base = fresh
        self.bounds = [(0, record["held"])]
        for j in range(len(record["per_g"])):
            low, high = record["min"][j], record["max"][j]
            if not numpy.isnan(record["fixed"][j]):
                low = high = record["fixed"][j]
            low = 0 if numpy.isnan(low) else low
            high = peers.MOST_G_PER_L if numpy.isnan(high) else high
            if record["left_out"][j]:
                high = low
            self.bounds.append((low, high))
        self.ends, rows, right = [], [], []
        for index, row in enumerate(record["rows"]):
            for end in self.ends_of(row):
                self.ends.append((index, *end))
                coefficients, bound = self.row(row, *end[:2])
                rows.append(coefficients)
                right.append(bound)
        self.G, self.h = numpy.array(rows), numpy.array(right)
        self.given = [bool(end[3]) for end in self.ends]
        self.added = {}  # limits on what products bring of what an end bounds

    @staticmethod
    def ends_of(row):
        """(end, bound, whether it is given) of a row of the target."""
        _, _, _, target, low, high, _ = row
        lower, upper = peers.band(target, low, high)
        if not numpy.isnan(upper):
            yield peers.MAX, upper, not numpy.isnan(high)
        if not numpy.isnan(lower):
            yield peers.MIN, lower, not numpy.isnan(low)

    def row(self, row, end, bound):
        kind, component, other = row[:3]
        component, other = int(component), int(other)
        sign = -1 if end == peers.MIN else 1
        coefficients = self.columns[component].copy()
        right = bound - self.base[component]
        if kind == peers.RATIO:
            coefficients -= bound * self.columns[other]
            right = bound * self.base[other] - self.base[component]
        scale = max(numpy.abs(coefficients).max(), 1e-9)
        return sign * coefficients / scale, sign * right / scale

    def brought(self, i):
        """Of what an end bounds: by the fresh water, and by how much more by
        the old solution."""
        component = int(self.record["rows"][self.ends[i][0]][1])
        return self.base[component], self.columns[component][0]

    def may_pass(self, i):
        index, end, _, given = self.ends[i]
        return end == peers.MAX and not given and self.brought(i)[1] > 0 and \
            self.record["rows"][index][0] != peers.RATIO

    def passes_at(self, i):
        fresh, more = self.brought(i)
        return (self.ends[i][2] - fresh) / more

    def passed(self, share):
        """The ends that what is kept and the fresh water pass."""
        return [i for i in range(len(self.ends))
                if self.may_pass(i) and share > self.passes_at(i)]

    def widen(self, share):
        """The same with what is passed at a share passed by what no laboratory
        can tell, and nothing to speak of added."""
        wide = Tank(self.record)
        for i in self.passed(share):
            index, end, bound, _ = self.ends[i]
            row = self.record["rows"][index]
            wide.h[i] = self.row(row, end, TOLD_FROM * bound)[1]
            added = self.columns[int(row[1])].copy()
            added[0] = 0
            scale = max(numpy.abs(added).max(), 1e-9)
            wide.added[i] = added / scale, NO_ADDITION * bound / scale
        return wide

    def beside(self, i, found):
        """How far an end that is given up may be off, where a closest recipe
        has this; NaN: anyhow."""
        index, end, accepted, _ = self.ends[i]
        kind, component, other, target = self.record["rows"][index][:4]
        is_ = found[int(component)]
        if kind == peers.RATIO:
            of = found[int(other)]
            is_ = is_ / of if of > 0 else numpy.nan
        told = (TOLD_FROM - 1) * (target if target > 0 else accepted)
        if end == peers.MIN:
            return min(is_ - told, accepted * (2 - TOLD_FROM))
        return max(is_ + told, accepted * TOLD_FROM)

    def bound(self, share, some, every, loose=False):
        """Bounds of every end, given up, by the closest recipe at a share of
        what is held and that of all of it; rows like those of ends.  Loose:
        what is short may be so by the further of the two."""
        if numpy.isnan(some).any():  # no recipe there
            some = every
        elif numpy.isnan(every).any():
            every = some
        self.tied = numpy.zeros_like(self.G)
        self.tied_to = numpy.full(len(self.ends), numpy.inf)
        for i, (index, end, _, _) in enumerate(self.ends):
            row = self.record["rows"][index]
            low, high = self.beside(i, some), self.beside(i, every)
            apart, slope = 1 - share, 0.0
            if not (math.isfinite(low) and math.isfinite(high)):
                continue
            if row[0] == peers.RATIO:
                wide = (min if end == peers.MIN else max)(low, high)
                self.tied[i], self.tied_to[i] = \
                    self.row(row, end, max(wide, 0.0))
                continue
            if loose and end == peers.MIN:
                low = high = min(low, high)
            if apart < LEAST_APART:
                high = low
            else:
                slope = (high - low) / apart
            sign = -1 if end == peers.MIN else 1
            coefficients = self.columns[int(row[1])].copy()
            coefficients[0] -= slope / self.record["held"]
            scale = max(numpy.abs(coefficients).max(), 1e-9)
            self.tied[i] = sign * coefficients / scale
            self.tied_to[i] = sign * (high - slope -
                                      self.base[int(row[1])]) / scale

    def most_old(self, ends, least=0.0, most=None, free=()):
        """The highest share of old solution that keeps these, the others but
        `free` bounded; NaN: none from `least` on, up to `most`."""
        cost = numpy.zeros(len(self.bounds))
        cost[0] = -1
        ends = list(ends)
        tied = [i for i in range(len(self.ends))
                if math.isfinite(self.tied_to[i]) and i not in free]
        most = self.bounds[0][1] if most is None else most
        added = [self.added[i] for i in ends if i in self.added]
        answer = scipy.optimize.linprog(
            cost, A_ub=numpy.vstack([self.G[ends], self.tied[tied]] +
                                    [row for row, _ in added]),
            b_ub=numpy.concatenate([self.h[ends], self.tied_to[tied],
                                    [bound for _, bound in added]]),
            bounds=[(least, most)] + self.bounds[1:],
            method="highs", options=OPTIONS)
        return -answer.fun if answer.status == 0 else numpy.nan

    def conflict(self, ends):
        """A smallest part of these that none keeps, by deletion."""
        ends = list(ends)
        for end in list(ends):
            rest = [i for i in ends if i != end]
            if numpy.isnan(self.most_old(rest)):
                ends = rest
        return ends

    def is_drained(self, share):
        return share < self.record["held"] - SHARE

    def must_drain(self, ends):
        """Whether no recipe keeps these with all of the old solution."""
        return not self.most_old(ends) >= self.record["held"] - SHARE

    def widest(self, ends):
        """The highest share that keeps these, upper ends of accepted ranges
        passed unless nothing is drained for them as they are."""
        held = self.record["held"]
        if not self.must_drain(ends):
            return held
        edges = sorted({0.0, held} | {
            self.passes_at(i) for i in ends
            if self.may_pass(i) and 0 < self.passes_at(i) < held})
        for low, high in reversed(list(zip(edges, edges[1:]))):
            wide = self.widen((low + high) / 2)
            wide.tied, wide.tied_to = self.tied, self.tied_to
            found = wide.most_old(ends, low, high, free=ends)
            if not numpy.isnan(found):
                return found
        return numpy.nan

    def stands_at(self, program, ends, share, wide):
        """Whether the closest recipe at a share lets these be kept there."""
        near = closest_at(program, self.record["seed"],
                          share / self.record["held"])
        wide = self.widen(share if wide else -1.0)
        wide.bound(share / self.record["held"], near, self.record["closest"][2])
        return not numpy.isnan(wide.most_old(
            ends, max(share - SHARE, 0.0), share + SHARE, free=ends))

    def below(self, share):
        """The share where so little more is drained that nobody minds."""
        return max(share - LEAST_DRAINED * self.record["held"], 0.0)

    def stands(self, program, ends):
        """Whether the closest recipe at their highest share, or just below,
        lets these be kept there."""
        share = self.widest(ends)
        return (self.is_drained(share) and
                self.stands_at(program, ends, self.below(share), True)) or \
            self.stands_at(program, ends, share, self.must_drain(ends))

    def further(self, i):
        """How far a given-up end is off beyond what the closest recipe at this
        share lets it be."""
        point = numpy.concatenate([[self.record["kept"]],
                                   self.record["recipe"]])
        found = self.base + self.columns @ point
        index, end = self.ends[i][:2]
        kind, component, other = self.record["rows"][index][:3]
        value = found[int(component)]
        bound = self.beside(i, self.record["closest"][1])
        if kind == peers.RATIO:
            value /= max(found[int(other)], 1e-300)
            both = bound, self.beside(i, self.record["closest"][2])
            bound = (min if end == peers.MIN else max)(both)
        return outside(value, bound, end)

    def missed(self):
        """The ends that the recipe misses."""
        point = numpy.concatenate([[self.record["kept"]],
                                   self.record["recipe"]])
        found = self.base + self.columns @ point
        for i, (index, end, bound, _) in enumerate(self.ends):
            kind, component, other = self.record["rows"][index][:3]
            of = found[int(other)] if kind == peers.RATIO else 1.0
            if outside(found[int(component)], bound * of, end):
                yield i


def outside(value, bound, end):
    slack = SLACK * max(abs(bound), 1e-3)
    return value < bound - slack if end == peers.MIN else value > bound + slack


class Search:
    """Through every set of ends that may be given up."""

    def __init__(self, tank, program):
        self.tank = tank
        self.program = program
        self.conflicts = []
        self.programs = 0
        self.ruled_out = set()
        self.stops = True

    def fewer(self, given, ranges, up=frozenset()):
        """Whether giving up no more than so many further leaves a recipe."""
        for conflict in self.conflicts:
            if not up & conflict:
                break
        else:
            left = [i for i in range(len(self.tank.ends)) if i not in up]
            self.programs += 1
            if numpy.isnan(self.tank.most_old(left)):
                conflict = frozenset(self.tank.conflict(left))
                self.conflicts.append(conflict)
            elif up in self.ruled_out:
                return False
            elif self.tank.stands(self.program, left):
                return self.stops
            else:
                self.ruled_out.add(up)
                conflict = frozenset(left)
        for i in conflict:
            budget = (given - 1, ranges) if self.tank.given[i] else \
                (given, ranges - 1)
            if min(budget) >= 0 and self.fewer(*budget, up | {i}):
                return True
        return False

    def rules_one_out(self, given, ranges):
        """Whether a set as large is ruled out by the closest recipe at its
        share, so that the library searches again from there."""
        self.stops = False
        self.fewer(given, ranges)
        return bool(self.ruled_out)


def check(program, record, tally):
    tank = Tank(record)
    tank.bound(0.0, record["closest"][0], record["closest"][2], True)
    missed = list(tank.missed())
    within = {(int(row), peers.MAX if is_max else peers.MIN): within
              for row, is_max, _, within in record["unreached"]}
    if set(within) != {tank.ends[i][:2] for i in missed}:
        yield "what is missed", (within, [tank.ends[i] for i in missed])
        return
    given_up = [i for i in missed if not within[tank.ends[i][:2]]]
    given = sum(tank.given[i] for i in given_up)
    ranges = len(given_up) - given
    drained = tank.is_drained(record["kept"])
    tally["tanks that miss some"] += bool(given_up)
    tally["ends given up"] += len(given_up)
    tally["above by less than can be told"] += len(missed) - len(given_up)
    tally["drained"] += drained
    for i in given_up:
        if tank.further(i):
            tally["further off than the closest"] += 1
            yield "further off", tank.ends[i]
    search = Search(tank, program)
    larger = (given and search.fewer(given - 1, len(tank.ends))) or \
        (ranges and search.fewer(given, ranges - 1))
    if larger and search.rules_one_out(given, ranges - 1):
        tally["larger sets of another search"] += 1
    elif larger:
        yield "a larger set", (given, ranges)
    tally["programs"] += search.programs
    tally["sets the closest rules out"] += len(search.ruled_out)
    kept = [i for i in range(len(tank.ends)) if i not in given_up]
    most = tank.widest(kept)
    below = tank.below(most) if tank.is_drained(most) else most
    if not record["kept"] <= most + SHARE:
        tally["more kept than by a mix of the closest"] += 1
    elif record["kept"] > below + SHARE:
        tally["nothing drained beyond what must be"] += 1
        if tank.stands_at(program, kept, below, True):
            yield "as well with a little less", (record["kept"], most)
    elif not record["kept"] >= below - SHARE:
        if tank.stands(program, kept):
            yield "share kept", (record["kept"], most, record["held"])
        tally["shares the closest rules out"] += 1
    passed = tank.passed(record["kept"]) if tank.must_drain(kept) else []
    for i in set(missed) - set(given_up):
        if i not in passed:
            yield "above its range for nothing", tank.ends[i]
    for i in set(passed) - set(given_up):
        index, _, bound, _ = tank.ends[i]
        added = record["recipe"] @ record["per_g"][
            :, int(record["rows"][index][1])]
        tally["passed, so that nothing is added"] += 1
        if outside(added, NO_ADDITION * bound, peers.MAX):
            yield "added to what is passed", (tank.ends[i], added)


def main():
    program, count = sys.argv[1], int(sys.argv[2])
    first = sys.argv[3] if len(sys.argv) > 3 else "1"
    tally = dict.fromkeys(("tanks", "tanks that miss some", "ends given up",
                           "above by less than can be told", "drained",
                           "further off than the closest", "programs",
                           "sets the closest rules out",
                           "larger sets of another search",
                           "more kept than by a mix of the closest",
                           "shares the closest rules out",
                           "nothing drained beyond what must be",
                           "passed, so that nothing is added"), 0)
    failures = []
    for record in map(parse, peers.records(program, first, count)):
        tally["tanks"] += 1
        failures += [(record["seed"], *what) for what in check(program, record, tally)]
    print(", ".join(f"{value} {name}" for name, value in tally.items()))
    return peers.tell(failures)


if __name__ == "__main__":
    sys.exit(main())
