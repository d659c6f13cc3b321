/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How far a limit can move before the recipe changes its shape. */
#ifndef SW_DECIDE_RANGE_H
#define SW_DECIDE_RANGE_H

#include "decide/variant.h"
#include "formulate/fit.h"

/*
 * What was found; `scratch` is the last model built, whose notes need
 * sw_notes_free, also where the solver dropped the work for lack of memory.
 */
typedef struct sw_range {
    double low;
    double high;
    sw_model scratch;
} sw_range;

/*
 * Bounds of side `at` within which the same columns and rows are held at the
 * optimum of closest or cheapest, the pH linear at the activities of that
 * optimum; infinite where nothing ends them, NaN where they cannot be told.
 * SW_ERR_MEMORY.
 */
sw_status sw_range_of(sw_solver *solver, const sw_model *model,
                      const sw_fit *fit, size_t at, sw_range *range);

#endif
