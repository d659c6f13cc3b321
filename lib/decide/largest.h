/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The largest part of several conditions that hold together. */
#ifndef SW_DECIDE_LARGEST_H
#define SW_DECIDE_LARGEST_H

#include "saltwright.h"

/* Whether those of `kept` hold together; what holds, does so with fewer. */
typedef sw_status sw_holds(void *context, const bool *kept, bool *holds);

/*
 * Into kept[count], which the caller gives: as many conditions as hold
 * together; of such sets one that gives up the last ones of the list.
 * *proved: no larger set holds; false where the search was cut short, and the
 * set is one to which no further condition can be added.  SW_ERR_MEMORY, and
 * what `holds` returns.  Method: hitting sets of minimal conflicts (Reiter R.
 * 1987, Artif. Intell. 32:57-95), each thinned by the deletion filter (Chinneck
 * & Dravnieks 1991); reference/methods.md, Decide.
 */
sw_status sw_largest_set(size_t count, sw_holds *holds, void *context,
                         bool *kept, bool *proved, sw_error *error);

#endif
