# SPDX-License-Identifier: GPL-3.0-or-later
"""How far an acid or a base of the catalogue may go where the target names no
pH: down to 5.5, up to 6.5 (reference/methods.md, Formulate, Limits of ours).

Nothing of the library's chemistry is used.  At a given pH the alkalinity that
a solution holds is a sum over its weak acids, each total times its mean proton
deficit, which activities and ion pairs shift: each deficit is put between two,
so that a product may be sure to keep to the pH, sure not to, or neither.
Whether a pH can be had is a matter of the acid or base and of phosphorus and
silicon that the target bounds, or that come with what serves it (ibid., pH); the
rest is no more than REST.
"""
import numpy
import peers

P, SI = 3, 16
GRAMS_PER_MOL = {P: 30.974, SI: 28.085}
ACID_PH, BASE_PH = 5.5, 6.5
MEQ_PER_G = 2.0
MG_PER_G = 1.0

# pK at 25 degC (Stumm and Morgan 1996, Aquatic Chemistry, appendix; values from
# memory): a little above that in pure water, and as far below as activities and
# pairs with Ca and Mg bring it in a feed.
DEFICIT = {P: (7.25, 6.5), SI: (9.9, 9.0)}
CARBONIC = (6.4, 6.1)
CITRIC = ((3.2, 4.8, 6.45), (2.8, 4.2, 5.2))
# Meq/L that NH4, B, metals and H+ take up, which no recipe is made for.
REST = 0.02


def above(ph, pk):
    return 1 / (1 + 10.0 ** (pk - ph))


def role(record, product):
    """"acid", "base", or None: neither, or a nutrient that happens to be
    basic."""
    per_g, alkalinity = product["per_g"], product["alkalinity"]
    trace = per_g[peers.TRACES].max() >= MG_PER_G
    if abs(alkalinity) < MEQ_PER_G or trace:
        return None
    if alkalinity > 0 and per_g[P] + per_g[SI] > 0:
        return "base" if is_replaceable(record, per_g) else None
    return "acid" if alkalinity < 0 else "base"


def is_replaceable(record, per_g):
    """Another product, as much of it as one likes, brings all that is asked
    for of it."""
    free = numpy.isnan(record["max"])
    for kind, component, _, target, low, _, _ in record["rows"]:
        component = int(component)
        if kind == peers.COMPONENT and (target > 0 or low > 0) and \
                per_g[component] >= MG_PER_G and \
                not (record["per_g"][free, component] >= MG_PER_G).any():
            return False
    return True


def is_bounded(record, component):
    return any(kind == peers.COMPONENT and of == component and
               (target > 0 or not numpy.isnan(high))
               for kind, of, _, target, _, high, _ in record["rows"])


def serves(record, per_g):
    """A target that the recipe is drawn to."""
    return any(kind == peers.COMPONENT and target > 0 and weight > 0 and
               per_g[int(of)] >= MG_PER_G
               for kind, of, _, target, _, _, weight in record["rows"])


def row(limits, product, what, sure):
    """row z <= right: with the product, the last of them, the solution keeps
    to the pH; `sure`: whatever the activities, else where they are best."""
    ph = ACID_PH if what == "acid" else BASE_PH
    end = 0 if sure == (what == "base") else 1  # the least deficits, the most
    per_mg = numpy.zeros(peers.COMPONENTS)
    for c, pk in DEFICIT.items():
        per_mg[c] = above(ph, pk[end]) / GRAMS_PER_MOL[c]
    own = product["alkalinity"] \
        - product["carbon"] * above(ph, CARBONIC[end]) \
        - product["citrate"] * sum(above(ph, pk) for pk in CITRIC[end])
    problem = limits.problem
    last = problem.products - 1
    excess = -(per_mg @ problem.columns)
    for j in range(last):  # what nothing keeps in check is poured for no pH
        for c in DEFICIT:
            if not is_bounded(limits.record, c) and \
                    not serves(limits.record, limits.record["per_g"][j]):
                excess[j] += per_mg[c] * problem.columns[c][j]
    excess[last] += own * problem.unit[last]
    constant = -(per_mg @ problem.base)
    sign = 1 if what == "base" else -1
    room = -REST if sure else REST
    scale = numpy.abs(excess).max()
    return sign * excess / scale, (room - sign * constant) / scale
