/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of an audit. */
#ifndef SW_ASSESS_AUDIT_H
#define SW_ASSESS_AUDIT_H

#include "saltwright.h"

#include "assess/guidelines.h"

/* What a report says of a water; where it gives no EC and no major ion is
 * unknown, the one that is calculated.  Points to both. */
sw_facts sw_facts_of(const sw_water *water, const sw_content *per_l,
                     double calculated_ec_ms_per_cm);

/* Adds for what no acid is sized, or poured, whoever mixes of the water, and
 * all else that completing it notes; of what is noted already nothing.
 * SW_ERR_MEMORY. */
sw_status sw_audit_doubts(const sw_water *water,
                          const sw_conditions *conditions, sw_notes *notes,
                          sw_error *error);

/* ---- How much purified water brings a water to a limit ------------------- */

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

/* ---- What a solution holds, and what the crop left of its feed ----------- */

/* Fills rows, most_drained and most_drained_by of the report.  SW_ERR_VALUE (a
 * drained share outside 0 to 1), SW_ERR_MEMORY. */
sw_status sw_sample_compare(const sw_sampling *sampling,
                            sw_audit_report *report, sw_error *error);

#endif
