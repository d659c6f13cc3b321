/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The largest part of several conditions that hold together. */
#ifndef SW_SOLVE_LARGEST_H
#define SW_SOLVE_LARGEST_H

#include "saltwright.h"

/* Whether those of `kept` hold together; what holds, does so with fewer. */
typedef sw_status sw_holds(void *context, const bool *kept, bool *holds);

enum { SW_MOST_CONFLICTS = 256 };

/* `count` conditions, and memory of the caller for the search. */
typedef struct sw_largest {
    size_t count;
    size_t first; /* of them come before the others */
    sw_holds *holds;
    void *context;
    bool *room; /* SW_MOST_CONFLICTS + 1 rows of `count` */
} sw_largest;

/*
 * Into kept[count]: as many of the first conditions as hold together, and of
 * the others as many as hold with as many of the first; of such sets one that
 * gives up the last ones of the list.  *proved: no larger set holds; false
 * where the search was cut short, and the set is one to which no further
 * condition can be added.  Returns what `holds` returns.  Method: hitting sets
 * of minimal conflicts (Reiter R. 1987, Artif. Intell. 32:57-95), each thinned
 * by the deletion filter (Chinneck & Dravnieks 1991); reference/methods.md,
 * Formulate.
 */
sw_status sw_largest_set(const sw_largest *of, bool *kept, bool *proved);

#endif
