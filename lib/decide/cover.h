/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fewest groups that hold together. */
#ifndef SW_DECIDE_COVER_H
#define SW_DECIDE_COVER_H

#include "decide/joint.h"

enum { SW_MOST_APART = 512 };

/* Whether a set holds together; what does, does so with fewer. */
typedef sw_status sw_together(void *context, sw_water_set set, bool *together);

typedef struct sw_cover {
    size_t count; /* at most SW_MOST_JOINT; each alone holds */
    sw_together *together;
    void *context;
    sw_water_set group[SW_MOST_JOINT]; /* found, in order of their first */
    size_t groups, changes;
    bool proved;
    sw_water_set apart[SW_MOST_APART]; /* smallest sets found not to hold */
    size_t apart_count;
} sw_cover;

/*
 * Parts 0 to count-1 into the fewest groups that hold, of such ways one in
 * which fewest neighbours are in different groups, the first of those in order.
 * *proved: none is better; false where the search was cut short.  Returns what
 * `together` returns.  Method: reference/methods.md, Decide.
 */
sw_status sw_cover_find(sw_cover *cover);

#endif
