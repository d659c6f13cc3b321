/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Published limits for water, and what a solution comes to against them. */
#ifndef SW_ASSESS_GUIDELINES_H
#define SW_ASSESS_GUIDELINES_H

#include "saltwright.h"

/* What is known of a solution; NaN and NULL where it is not. */
typedef struct sw_facts {
    const sw_content *per_l;
    double ph;
    double ec_ms_per_cm;
    double tds_mg_per_l;
    const sw_water *water; /* the report; NULL: every component is known */
    const bool *reported;  /* without water: of each component; may be NULL */
    const double *unseen_mg_per_l; /* likewise, below detection */
} sw_facts;

typedef struct sw_guideline_rows {
    sw_guideline_row *items;
    size_t count;
} sw_guideline_rows;

/*
 * One row for each limit of reference/harm.csv that applies and whose quantity
 * is known, in the table's order.  What is below a limit of detection above the
 * row's own is not known.  `finished`: only those that apply to a finished
 * solution too, also where it is not known, then without a value; else also
 * what endangers a crop in any feed.  Limits come in the row's unit whatever
 * unit their source uses: 3 me/L of Na is 69 mg/L. Free items with free().
 * SW_ERR_MEMORY.
 */
sw_status sw_guidelines_hold(const sw_facts *facts, bool finished,
                             sw_guideline_rows *rows, sw_error *error);

/* The same of what is no component (chlorine, heavy metals), from the reports
 * of a mix by their shares.  SW_ERR_MEMORY. */
sw_status sw_guidelines_hold_reports(const sw_mix *mix, sw_guideline_rows *rows,
                                     sw_error *error);

/* 2: a danger; 1: worth saying; 0: nothing to say. */
int sw_guideline_gravity(const sw_guideline_row *row);

/* Notes on a water's rows: dangers, and what something can be done about.  Of a
 * mix of several reports the one with most of it is named; NULL: of one. */
void sw_guidelines_warn(const sw_guideline_rows *rows, const sw_mix *mix,
                        sw_notes *notes);

/* Notes of what acid drives out of a water that fills tanks, undiluted.
 * SW_ERR_MEMORY. */
sw_status sw_guidelines_warn_of_gas(const sw_water *make_up, sw_notes *notes);

/*
 * Sodium adsorption ratio, Na / sqrt((Ca + Mg) / 2) in meq/L (Richards 1954);
 * NaN without calcium and magnesium.
 */
double sw_sodium_adsorption_ratio(const sw_content *per_l);

/* Which part of a source in reference/harm.csv a limit rests on: what stands
 * behind "danger: ", or before it. */
const char *sw_basis(const char *source, bool danger, char text[192]);

#endif
