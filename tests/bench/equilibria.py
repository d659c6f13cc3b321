#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Time the pH of random feeds beside the convex solve and SciPy's fsolve.

    equilibria.py BENCH COUNT

The peer gets the same species and totals, the same unknowns (ln activities
and ionic strength), its residuals as one numpy expression, and a start near
the answer, without which it finds few: all activities 10 % too high.  Its
ln activities must agree.
"""
import statistics
import subprocess
import sys
import time

import numpy
import scipy.optimize

WIDTHS = [1, 2, 4, 8]
AGREE = 1e-6


def parse(text):
    lines = [[float(word) for word in line.split()]
             for line in text.splitlines()]
    unknowns, terms = map(int, lines[1])
    species = numpy.array(lines[2:2 + terms])
    assert species.shape[1] == 6 + unknowns
    return lines[0], species, lines[2 + terms:]


def residuals(species, feed):
    ln_beta, half_z2, water, az2, ba, b = species[:, :6].T
    counts = species[:, 6:]
    ln_water, alone, strength = feed[:3]
    totals, answer = numpy.array(feed[3:]).reshape(-1, 2).T
    there = numpy.append(totals[:-1] > 0, True)
    use = (counts[:, ~there] == 0).all(axis=1)
    size = numpy.abs(totals[there]) + 1e-9

    def of(z):
        ionic = numpy.exp(z[-1])
        root = numpy.sqrt(ionic)
        ln = (ln_beta + water * ln_water + az2 * root / (1 + ba * root)
              - b * ionic)[use] + counts[numpy.ix_(use, there)] @ z[:-1]
        m = numpy.exp(numpy.minimum(ln, 50))
        off = totals[there] - counts[numpy.ix_(use, there)].T @ m
        return numpy.append(off / size, (half_z2[use] @ m + alone) / ionic - 1)

    return of, numpy.append(answer[there], numpy.log(strength))


def peer(species, feeds):
    """Microseconds of fsolve by feed, and how many it finds."""
    times, found = [], 0
    for feed in feeds:
        of, answer = residuals(species, feed)
        assert numpy.abs(of(answer)).max() < 1e-9
        begun = time.perf_counter()
        z, _, status, _ = scipy.optimize.fsolve(of, answer + 0.1,
                                                full_output=True)
        times.append(1e6 * (time.perf_counter() - begun))
        good = status == 1 and numpy.abs(of(z)).max() < 1e-8
        if good and numpy.abs(z - answer).max() > AGREE:
            sys.exit(f"fsolve finds {z}, the kernel {answer}")
        found += good
    return times, found


def main():
    program, count = sys.argv[1:]
    text = subprocess.run([program, count], check=True, text=True,
                          stdout=subprocess.PIPE).stdout
    (surely, *kernel), species, feeds = parse(text)
    times, found = peer(species, feeds)
    print(f"us a feed, of {count}; a ratio above 1: slower than the kernel, "
          "one at a time")
    for name, us in [("kernel, %d at a time" % w, us)
                     for w, us in zip(WIDTHS, kernel)] + [
                         ("convex solve", surely),
                         ("scipy fsolve", statistics.median(times))]:
        print(f"{name:24} {us:9.1f} {us / kernel[0]:8.2f}")
    print(f"fsolve finds {found} of {len(feeds)}, from 10 % away")
    assert found > 0


main()
