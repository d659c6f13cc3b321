/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Waters that may be mixed only once something of their report is measured. */
#ifndef SW_ASSESS_BELIEVE_H
#define SW_ASSESS_BELIEVE_H

#include "assess/charge.h"

/* What the charges of a water leave open. */
typedef struct sw_gap {
    double meq_per_l; /* its alkalinity would be more by so much; 0: none */
    sw_charge charge;
    /* What its report lacks and would close the gap as well, "" for nothing;
     * and how much of it, in mg/L; NaN: of several ions, nobody knows. */
    char lacking[sizeof((sw_charge *)0)->missing];
    double closing_mg_per_l;
} sw_gap;

/* Of a water whose charges ask for another alkalinity than its report tells, or
 * for ions that it lacks: the acid hangs on which of them it is. */
sw_gap sw_gap_of(const sw_water *water);

/* What it takes of no acid in particular: "4 meq/L of acid more"; below 0 there
 * may be no acid to take less of. */
void sw_say_acid(double meq_per_l, char *text, size_t size);
/* meq/L of the alkalinity that a report of a nutrient solution lacks and that
 * closes its charges, more than so many percent apart, at its pH; else 0. */
double sw_solution_open_alkalinity(const sw_water *water, double percent,
                                   sw_charge *charge);

/* Says so, with the acid that hangs on it, "83 mL of nitric acid 38 % per 1000
 * L more", in a note of SW_ABOUT_DOUBT. */
sw_status sw_say_gap(const sw_water *water, const sw_gap *open,
                     const char *acid, sw_notes *notes);

/* mg/L of the one main ion that a report lacks (charge->missing), where much of
 * it must be there: an alkalinity that lacks is told before, and one that may
 * be what is wrong with the acid that hangs on it; else NaN. */
double sw_lacking_by_charge(const sw_water *water, sw_charge *charge);

#endif
