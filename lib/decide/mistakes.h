/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The single mistakes that a recipe can suffer on its way into the tank. */
#ifndef SW_DECIDE_MISTAKES_H
#define SW_DECIDE_MISTAKES_H

#include "saltwright.h"

typedef struct sw_mistakes {
    sw_mistake *items; /* "nothing wrong" first; belief: before any reading */
    size_t count;
} sw_mistakes;

/* Every candidate of the mix, heads and fill once for too little and once for
 * too much, `factor` their far end; `head` as in sw_tolerances.  SW_ERR_MEMORY.
 * Release the items with free. */
sw_status sw_mistakes_list(const sw_mix *mix, const int *head,
                           sw_mistakes *mistakes, sw_error *error);

/* The factor of a mistake: its own or, for heads and fill, that at `u`, 0 to 1
 * on the way from the far end to what is still in order: heads evenly, fills
 * evenly in the logarithm. */
double sw_mistake_factor(const sw_mistake *mistake, double u);

/* What then is in the tank of a product on that head, times what was meant. */
double sw_mistake_times(const sw_mistake *mistake, double factor,
                        size_t product, int head);

#endif
