/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a solve says of the pH. */
#ifndef SW_FORMULATE_PH_WORDS_H
#define SW_FORMULATE_PH_WORDS_H

#include "formulate/ph_plan.h"

/* Where `ph`, that of the recipe, misses what the target asks, says what on
 * the shelf stands in the way.  SW_ERR_MEMORY. */
sw_status sw_ph_say_miss(const sw_ph_plan *plan, double ph, sw_notes *notes);

/* That acid, or base, as a nutrient was kept from taking the pH to `ph`.
 * SW_ERR_MEMORY. */
sw_status sw_ph_say_held_back(bool acid, double ph, const sw_ph_plan *plan,
                              sw_notes *notes);

#endif
