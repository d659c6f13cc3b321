/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How much purified water brings a water to a limit. */
#ifndef SW_ASSESS_DILUTION_H
#define SW_ASSESS_DILUTION_H

#include "assess/guidelines.h"

typedef struct sw_dilution {
    const sw_facts *facts;
    const sw_content *purified;
    const sw_conditions *conditions;
} sw_dilution;

/*
 * Fills row->purified_share of a row that is not fit: the least share of
 * purified water, 0 to 1, at which the blend reaches row->caution; NaN where
 * no blend does, or the limit bounds from below.  What mixes linearly is
 * solved as a line, the sodium adsorption ratio as a quadratic, EC by
 * bracketing the EC of the blend.  SW_ERR_NUMERIC.
 */
sw_status sw_dilution_share(const sw_dilution *dilution, sw_guideline_row *row,
                            sw_error *error);

#endif
