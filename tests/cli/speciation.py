# SPDX-License-Identifier: GPL-3.0-or-later
"""A speciation of the tests' own, for the tests beside this file.

Constants at 25 degC: MINTEQA2 v4 (NIST 46) for citrate, phosphate pairs and
solids, phreeqc.dat (USGS) for the rest; struvite: Ohlinger, Young & Schroeder
1998; K-struvite: Taylor, Frazier & Gurney 1963; amorphous calcium phosphate:
Meyer & Eanes 1978, amorphous iron phosphate: Smith et al. 2008 (both values
from memory).  Activities: Davies 1962 with 0.2 I, held from 0.7 mol/kg on,
which no more than orders of magnitude need.
"""
import math

import numpy

MASTERS = ["H", "K", "Na", "NH4", "Mg", "Ca", "Zn", "Mn", "Cu", "Fe", "NO3",
           "SO4", "PO4", "CO3", "B", "Si", "Cit", "Cl", "Fe3"]
CHARGE = dict(zip(MASTERS, [1, 1, 1, 1, 2, 2, 2, 2, 2, 2, -1, -2, -3, -2, 0, 0,
                            -3, -1, 3]))
PAIRS = [  # log beta from the masters
    (-14.0, {"H": -1}), (-9.252, {"NH4": 1, "H": -1}),
    (1.988, {"SO4": 1, "H": 1}), (12.346, {"PO4": 1, "H": 1}),
    (19.553, {"PO4": 1, "H": 2}), (21.721, {"PO4": 1, "H": 3}),
    (10.329, {"CO3": 1, "H": 1}), (16.681, {"CO3": 1, "H": 2}),
    (-9.24, {"B": 1, "H": -1}), (-9.83, {"Si": 1, "H": -1}),
    (-23.0, {"Si": 1, "H": -2}), (6.396, {"Cit": 1, "H": 1}),
    (11.157, {"Cit": 1, "H": 2}), (14.285, {"Cit": 1, "H": 3}),
    (2.37, {"Mg": 1, "SO4": 1}), (2.30, {"Ca": 1, "SO4": 1}),
    (2.37, {"Zn": 1, "SO4": 1}), (2.25, {"Mn": 1, "SO4": 1}),
    (2.31, {"Cu": 1, "SO4": 1}), (2.25, {"Fe": 1, "SO4": 1}),
    (0.85, {"K": 1, "SO4": 1}), (1.11, {"NH4": 1, "SO4": 1}),
    (6.589, {"Mg": 1, "PO4": 1}), (15.216, {"Mg": 1, "PO4": 1, "H": 1}),
    (21.066, {"Mg": 1, "PO4": 1, "H": 2}), (6.459, {"Ca": 1, "PO4": 1}),
    (15.085, {"Ca": 1, "PO4": 1, "H": 1}),
    (20.961, {"Ca": 1, "PO4": 1, "H": 2}),
    (15.946, {"Fe": 1, "PO4": 1, "H": 1}),
    (22.253, {"Fe": 1, "PO4": 1, "H": 2}),
    (0.29 + 12.346, {"K": 1, "PO4": 1, "H": 1}),
    (0.29 + 12.346, {"Na": 1, "PO4": 1, "H": 1}),
    (11.435, {"Ca": 1, "CO3": 1, "H": 1}),
    (11.399, {"Mg": 1, "CO3": 1, "H": 1}), (0.94, {"Na": 1, "SO4": 1}),
    (-2.19, {"Fe3": 1, "H": -1}), (-5.67, {"Fe3": 1, "H": -2}),
    (-12.56, {"Fe3": 1, "H": -3}), (-21.6, {"Fe3": 1, "H": -4}),
    (17.776, {"Fe3": 1, "PO4": 1, "H": 1}),
    (24.983, {"Fe3": 1, "PO4": 1, "H": 2}), (4.04, {"Fe3": 1, "SO4": 1}),
    (2.98, {"Mg": 1, "CO3": 1}), (3.224, {"Ca": 1, "CO3": 1}),
    (-11.44, {"Mg": 1, "H": -1}), (-12.78, {"Ca": 1, "H": -1}),
    (-8.96, {"Zn": 1, "H": -1}), (-16.9, {"Zn": 1, "H": -2}),
    (-8.0, {"Cu": 1, "H": -1}), (-13.68, {"Cu": 1, "H": -2}),
    (-10.59, {"Mn": 1, "H": -1}), (-9.5, {"Fe": 1, "H": -1}),
    (4.87, {"Ca": 1, "Cit": 1}), (9.26, {"Ca": 1, "Cit": 1, "H": 1}),
    (4.89, {"Mg": 1, "Cit": 1}), (8.91, {"Mg": 1, "Cit": 1, "H": 1}),
    (6.21, {"Zn": 1, "Cit": 1}), (10.2, {"Zn": 1, "Cit": 1, "H": 1}),
    (4.28, {"Mn": 1, "Cit": 1}), (9.6, {"Mn": 1, "Cit": 1, "H": 1}),
    (7.57, {"Cu": 1, "Cit": 1}), (10.87, {"Cu": 1, "Cit": 1, "H": 1}),
    (6.1, {"Fe": 1, "Cit": 1}), (10.2, {"Fe": 1, "Cit": 1, "H": 1}),
]
# log K of dissolution to the masters, g/mol, index from which it is sure to
# form in a stock tank, whatever the activities.
SOLIDS = {
    "gypsum": (-4.58, {"Ca": 1, "SO4": 1}, 172.2, 0.7),
    "brushite": (-18.94, {"Ca": 1, "PO4": 1, "H": 1}, 172.1, 1),
    "struvite": (-13.26, {"Mg": 1, "NH4": 1, "PO4": 1}, 245.4, 1),
    "K-struvite": (-10.62, {"Mg": 1, "K": 1, "PO4": 1}, 266.5, 1),
    "newberyite": (-18.175, {"Mg": 1, "PO4": 1, "H": 1}, 174.3, 1.7),
    "calcite": (-8.48, {"Ca": 1, "CO3": 1}, 100.1, 1),
    "amorphous calcium phosphate": (-25.46, {"Ca": 3, "PO4": 2}, 310.2, 2),
    "amorphous silica": (-2.71, {"Si": 1}, 60.1, 0.5),
    "amorphous iron phosphate": (-23.0, {"Fe3": 1, "PO4": 1}, 150.8, 3),
    "amorphous iron hydroxide": (4.891, {"Fe3": 1, "H": -3}, 106.9, 3),
    "magnesium hydroxide": (16.844, {"Mg": 1, "H": -2}, 58.3, 1),
    "calcium hydroxide": (22.8, {"Ca": 1, "H": -2}, 74.1, 1),
    "zinc phosphate": (-35.42, {"Zn": 3, "PO4": 2}, 458.1, 3),
    "copper phosphate": (-35.12, {"Cu": 3, "PO4": 2}, 434.6, 3),
    "iron(II) phosphate": (-36.0, {"Fe": 3, "PO4": 2}, 501.6, 3),
}

class Solution:
    """Masters in mol/kg, the total of H included, shared out; with a pH,
    that of H is what it may be."""

    def __init__(self, totals, ph=None):
        self.names = [m for m in MASTERS if m == "H" or totals.get(m, 0) > 0]
        self.total = numpy.array([totals.get(m, 0) for m in self.names])
        rows = [(0.0, {m: 1}) for m in self.names]
        rows += [r for r in PAIRS if all(m in self.names for m in r[1])]
        self.beta = numpy.array([r[0] for r in rows])
        self.count = numpy.array([[r[1].get(m, 0) for m in self.names]
                                  for r in rows], dtype=float)
        self.z = self.count @ numpy.array([CHARGE[m] for m in self.names])
        self.free = numpy.log10(numpy.maximum(self.total, 1e-12))
        self.gamma = numpy.zeros(len(self.beta))
        self.ph = ph
        if ph is None:
            self.solve()
        else:
            self.at(ph)

    def at(self, ph):
        """Mass balances of all but H at a pH; what is left of H's."""
        x = self.free.copy()
        x[0] = -ph
        for _ in range(400):
            m = 10 ** numpy.minimum(
                self.beta + self.count @ x - self.gamma, 3)
            held = numpy.abs(self.count.T) @ m
            step = numpy.log10(self.total[1:] / held[1:])
            x[1:] += 0.6 * step
            strength = min(0.5 * float(self.z ** 2 @ m), 0.7)
            root = math.sqrt(strength)
            self.gamma = -0.509 * self.z ** 2 * (
                root / (1 + root) - 0.2 * strength)
            if numpy.abs(step).max(initial=0) < 1e-6:
                break
        self.free, self.m = x, m
        return float(self.count.T[0] @ m - self.total[0])

    def solve(self):
        low, high = -1.0, 15.0
        while high - low > 1e-3:
            self.ph = (low + high) / 2
            if self.at(self.ph) > 0:
                low = self.ph
            else:
                high = self.ph

    def log(self, parts):
        """log10 of an ion product; -inf where one is absent."""
        return sum(n * (self.free[self.names.index(m)])
                   if m in self.names else -math.inf
                   for m, n in parts.items())

    def pairs(self, parts):
        """mol/kg of one species."""
        row = numpy.array([parts.get(m, 0) for m in self.names], dtype=float)
        same = (self.count == row).all(axis=1)
        return float(self.m[same].sum())

    def index(self, name):
        """log10 of the ion product over K; -inf where an ion is absent."""
        return self.log(SOLIDS[name][1]) - SOLIDS[name][0]

    def grams(self, name):
        """The most there can be, per litre, of a solid; 0 below where it is
        sure to form."""
        _, parts, g_per_mol, sure = SOLIDS[name]
        if not self.index(name) > sure:
            return 0
        return g_per_mol * min(
            self.total[self.names.index(m)] / n
            for m, n in parts.items() if m != "H")

    def ammonia(self):
        """ppm over it and share; Henry's constant of phreeqc.dat."""
        if "NH4" not in self.names:
            return 0, 0
        free = self.pairs({"NH4": 1, "H": -1})
        return 1e6 * free / 62.6, free / self.total[self.names.index("NH4")]

    def carbon_dioxide(self):
        return self.pairs({"CO3": 1, "H": 2}) / 10 ** -1.468 \
            if "CO3" in self.names else 0
