/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A check of a lab report against itself, while it is made: what all of them
 * start from and how each says what it found. */
#ifndef SW_ASSESS_CHECKS_H
#define SW_ASSESS_CHECKS_H

#include "assess/charge.h"
#include "assess/evidence.h"

typedef struct sw_check_bounds {
    double low, high;             /* within: agrees */
    double doubt_low, doubt_high; /* within: doubtful */
} sw_check_bounds;

typedef struct sw_checked {
    const sw_water *water;
    const sw_content *completed; /* or NULL */
    const sw_conditions *conditions;
    sw_charge charge;
    sw_evidence *out;
    bool hides;      /* something is below its detection limit */
    sw_content seen; /* as the water's, with all of that at its limit */
    bool calculates_most;
    sw_content most; /* the same, completed */
    double most_ec_ms_per_cm;
} sw_checked;

/* The row of a check, with nothing found yet. */
sw_check_row *sw_check_start(sw_checked *f, sw_check check);
/* As the table has them, the upper ones moved by what may be there unseen. */
sw_check_bounds sw_check_bounds_of(sw_check check, double most);
/* What `value` comes to within those bounds. */
void sw_check_judge(sw_checked *f, sw_check check, double value,
                    const sw_check_bounds *b);
/* It cannot be made, for want of that. */
void sw_check_lacks(sw_check_row *row, const char *what);
/* Says so where only what detection limits hide makes a check agree. */
void sw_check_excuse(sw_check_row *row, double low, double high);

/* Of carbonate; carbonate_checks.c. */
void sw_check_ph(sw_checked *f);
/* More CO2 than the air, less than groundwater: sw_check_ph would find the pH
 * half a unit or more from disagreeing. */
bool sw_holds_usual_co2(const sw_checked *f);
void sw_check_calcite(sw_checked *f);

#endif
