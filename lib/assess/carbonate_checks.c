/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A lab report's pH against its alkalinity and the CO2 it may hold, and its
 * calcite: how chosen, reference/methods.md, Assess.
 */
#include "assess/checks.h"

#include "chemistry/equilibrate.h"
#include "quantity/units.h"
#include "records/water.h"
#include "table_checks.h"

#include <math.h>
#include <stdio.h>

static const double usual_co2_atm = 0.1, most_co2_atm = 1.0; /* in waters */
/* Less alkalinity below the end point of its titration is its error. */
static const double acid_alkalinity_meq_per_l = 0.5;
/* What algae and a meter may add to the pH in air. */
static const double leeway = 0.5;

/* The pH in contact with CO2; false: no equilibrium. */
static bool ph_at(const sw_checked *f, const sw_content *per_l, double co2_atm,
                  double *ph)
{
    sw_conditions conditions = *f->conditions;
    sw_chemistry chemistry;
    conditions.co2_atm = co2_atm;
    if (sw_equilibrate_briefly(per_l, &conditions, SW_CARBONATE_AIRED,
                               &chemistry, NULL) != SW_OK)
        return false;
    *ph = chemistry.ph;
    return true;
}

/* Why a check on carbonate cannot be made; NULL when it can. */
static const char *carbonate_lacks(const sw_checked *f)
{
    if (isnan(f->water->ph))
        return "pH";
    if (!f->water->alkalinity_reported)
        return "alkalinity";
    return NULL;
}

static const char too_strong[] = "too concentrated for an equilibrium";

/* Completed by its pH alone, it has lost the alkalinity reported. */
static bool is_acid_with_alkalinity(const sw_water *water)
{
    return !water->is_solution && water->ph < SW_TITRATION_END_PH &&
           water->per_l.amount[SW_ALKALINITY] > acid_alkalinity_meq_per_l;
}

/* A water's pH with the most CO2, with much and in air; there also with all
 * that its limits of detection may hide. */
typedef struct ends {
    double lowest, low, high, most;
} ends;

/* The highest in air: with what its report says may be there, and with base
 * that none tells, which moves the pH of a water without a buffer by units. */
static bool ph_most(const sw_checked *f, const sw_content *per_l, double *most)
{
    sw_content raised = f->calculates_most ? f->most : *per_l;
    double untold = per_l->amount[SW_ALKALINITY] + SW_LEAST_TITRATED_MEQ_PER_L;
    raised.amount[SW_ALKALINITY] = fmax(raised.amount[SW_ALKALINITY], untold);
    return ph_at(f, &raised, f->conditions->co2_atm, most);
}

/* The lowest is of no account to a pH above the low one; nor is base that no
 * report tells to one below the high one. */
static bool ph_ends(const sw_checked *f, const sw_content *per_l, ends *e)
{
    double air_atm = f->conditions->co2_atm;
    if (!f->out->calculated || !ph_at(f, per_l, usual_co2_atm, &e->low) ||
        !ph_at(f, per_l, air_atm, &e->high))
        return false;
    e->lowest = e->low;
    e->most = e->high;
    return (!(f->water->ph < e->low) ||
            ph_at(f, per_l, most_co2_atm, &e->lowest)) &&
           (!(f->calculates_most || f->water->ph > e->high + leeway) ||
            ph_most(f, per_l, &e->most));
}

/*
 * With its alkalinity, a water's pH says how much CO2 it holds.  Groundwater
 * holds up to a tenth of an atmosphere, nothing at the surface more than one.
 */
void sw_check_ph(sw_checked *f)
{
    static const double doubt = 0.5;
    sw_check_row *row = sw_check_start(f, SW_CHECK_PH);
    const sw_content *per_l = &f->out->per_l;
    sw_content acid;
    ends e;
    if (carbonate_lacks(f)) {
        sw_check_lacks(row, carbonate_lacks(f));
        return;
    }
    if (is_acid_with_alkalinity(f->water)) {
        acid = *per_l;
        acid.amount[SW_ALKALINITY] = f->water->per_l.amount[SW_ALKALINITY];
        per_l = &acid;
    }
    if (!ph_ends(f, per_l, &e)) {
        snprintf(row->reason, sizeof row->reason, "%s", too_strong);
        return;
    }
    double seen = e.high + leeway;
    double high = fmax(seen, e.most + leeway);
    row->reported = f->water->ph;
    sw_check_judge(f, SW_CHECK_PH, f->water->ph,
                   &(sw_check_bounds){e.low, high, e.lowest, high + doubt});
    if (row->finding != SW_AGREES)
        snprintf(row->reason, sizeof row->reason,
                 row->value < e.low ? "lower than CO2 alone can bring it"
                                    : "more alkaline than in contact with air");
    sw_check_excuse(row, -INFINITY, seen);
    double beyond =
        fmax(row->value - high, 0.0) - fmax(e.lowest - row->value, 0.0);
    f->out->z[SW_CHECK_PH] = beyond / sw_checks_table[SW_CHECK_PH].uncertainty;
}

/* The air makes a meq/L of acid of 28 mg/L of iron: here of no more than half
 * the alkalinity, which moves the pH in it by 0.3. */
bool sw_holds_usual_co2(const sw_checked *f)
{
    const double *c = f->out->per_l.amount;
    double co2_atm = f->out->chemistry.co2_atm;
    return co2_atm >= f->conditions->co2_atm && co2_atm <= usual_co2_atm &&
           c[SW_WATER_FE] / 28.0 < 0.5 * c[SW_ALKALINITY];
}

void sw_check_calcite(sw_checked *f)
{
    const sw_saturation *s = &f->out->chemistry.saturation[SW_CALCITE];
    sw_check_row *row = sw_check_start(f, SW_CHECK_CALCITE);
    sw_check_bounds b = sw_check_bounds_of(SW_CHECK_CALCITE, 1.0);
    if (carbonate_lacks(f)) {
        sw_check_lacks(row, carbonate_lacks(f));
    } else if (!f->out->calculated) {
        snprintf(row->reason, sizeof row->reason, "%s", too_strong);
    } else if (!s->defined) {
        sw_check_lacks(row, "Ca");
    } else {
        sw_check_judge(f, SW_CHECK_CALCITE, s->index, &b);
        f->out->z[SW_CHECK_CALCITE] =
            fmax(s->index - b.high, 0.0) /
            sw_checks_table[SW_CHECK_CALCITE].uncertainty;
    }
}
