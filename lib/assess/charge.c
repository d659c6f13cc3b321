/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Charge balance of a lab report, Standard Methods 1030 E, and its
 * uncertainty.  Methods: reference/methods.md, Assess.
 */
#include "assess/charge.h"

#include "quantity/components.h"
#include "quantity/text.h"
#include "quantity/units.h"

#include <math.h>
#include <string.h>

/* Uncertainty of one ion's analysis, and of everything not analysed. */
static const double ion_uncertainty = 0.04;
static const double rest_uncertainty_meq_per_l = 0.05;

/* Four times what may be in drinking water: common practice, no source. */
static const double most_nitrate_n_mg_per_l = 50.0;

static const sw_component of_water[] = {SW_CA, SW_MG, SW_NA, SW_CL, SW_S};
static const sw_component of_solution[] = {SW_NO3_N, SW_P,  SW_K,
                                           SW_CA,    SW_MG, SW_S};

static void note_missing(sw_charge *charge, const char *name,
                         sw_component component)
{
    sw_text_join(charge->missing, sizeof charge->missing, ", ", "%s", name);
    bool is_anion =
        component == SW_ALKALINITY || sw_charge_in_water(component) < 0;
    char *side = is_anion ? charge->missing_anions : charge->missing_cations;
    sw_text_join(side, sizeof charge->missing_anions, ", ", "%s", name);
    charge->missing_count++;
    charge->last_missing = component;
}

static void look_for(const sw_water *water, sw_component ion, sw_charge *charge)
{
    if (!water->reported[ion])
        note_missing(charge, sw_component_name(ion), ion);
}

/* Sodium and chloride balance each other where neither is looked for; what
 * alkalinity an acid solution has is little, and its pH tells it. */
static void look_for_solutions(const sw_water *water, sw_charge *charge)
{
    for (size_t i = 0; i < sizeof of_solution / sizeof *of_solution; i++)
        look_for(water, of_solution[i], charge);
    if (water->reported[SW_NA] || water->reported[SW_CL]) {
        look_for(water, SW_NA, charge);
        look_for(water, SW_CL, charge);
    }
}

static void look_for_waters(const sw_water *water, sw_charge *charge)
{
    for (size_t i = 0; i < sizeof of_water / sizeof *of_water; i++)
        look_for(water, of_water[i], charge);
    if (!water->alkalinity_reported && !(water->ph < SW_TITRATION_END_PH))
        note_missing(charge, "alkalinity", SW_ALKALINITY);
}

static void add(sw_charge *charge, double signed_meq, double *variance)
{
    if (signed_meq > 0.0)
        charge->cations_meq_per_l += signed_meq;
    else
        charge->anions_meq_per_l -= signed_meq;
    *variance += ion_uncertainty * ion_uncertainty * signed_meq * signed_meq;
}

static void add_hidden(const sw_water *water, sw_charge *charge)
{
    sw_content most = sw_water_most(water);
    for (int i = 0; i < SW_COMPONENT_COUNT; i++) {
        double hidden = most.amount[i] - water->per_l.amount[i];
        if (hidden == 0.0)
            continue;
        double meq = hidden * sw_meq_per_mg((sw_component)i);
        if (sw_charge_in_water((sw_component)i) < 0)
            charge->hidden_anions_meq_per_l += meq;
        else
            charge->hidden_cations_meq_per_l += meq;
    }
    charge->hidden_anions_meq_per_l += sw_hidden_alkalinity(water);
}

/* Three charges an ion: its first hydrolysis has a pK of 5.0 (Baes & Mesmer
 * 1976, The Hydrolysis of Cations; value from memory). */
double sw_charge_aluminium(const sw_water *water)
{
    double meq_per_mg = 3.0 / sw_element_weight("Al"), meq_per_l = 0.0;
    if (!(water->ph < SW_TITRATION_END_PH) || water->is_solution)
        return 0.0;
    for (size_t i = 0; i < water->reading_count; i++) {
        const sw_reading *r = &water->readings[i];
        if (r->kind == SW_READS_OTHER && !strcmp(r->name, "Al") &&
            !r->below_detection && r->amount > 0.0)
            meq_per_l = fmax(meq_per_l, r->amount * meq_per_mg);
    }
    return meq_per_l;
}

void sw_charge_add_up(const sw_water *water, sw_charge *charge)
{
    const double *c = water->per_l.amount;
    double variance = rest_uncertainty_meq_per_l * rest_uncertainty_meq_per_l;
    memset(charge, 0, sizeof *charge);
    if (water->is_solution)
        look_for_solutions(water, charge);
    else
        look_for_waters(water, charge);
    for (int i = 0; i < SW_COMPONENT_COUNT; i++) {
        double meq = c[i] == 0.0 ? 0.0 : c[i] * sw_meq_per_mg((sw_component)i);
        add(charge, sw_charge_in_water((sw_component)i) < 0 ? -meq : meq,
            &variance);
    }
    add(charge, -c[SW_ALKALINITY], &variance);
    if (water->ph < SW_TITRATION_END_PH && !(c[SW_ALKALINITY] < 0.0))
        charge->cations_meq_per_l += 1000.0 * pow(10.0, -water->ph);
    add(charge, sw_charge_aluminium(water), &variance);
    charge->uncertainty_meq_per_l = sqrt(variance);
    add_hidden(water, charge);
}

void sw_charge_add_up_completed(const sw_water *water,
                                const sw_content *completed, sw_charge *charge)
{
    sw_water counted = *water; /* its readings borrowed */
    if (water->is_solution && !water->alkalinity_reported)
        counted.per_l.amount[SW_ALKALINITY] = completed->amount[SW_ALKALINITY];
    sw_charge_add_up(&counted, charge);
}

double sw_charge_percent(const sw_charge *charge)
{
    double sum = charge->cations_meq_per_l + charge->anions_meq_per_l;
    if (sum <= 0.0)
        return NAN;
    return 100.0 * (charge->cations_meq_per_l - charge->anions_meq_per_l) / sum;
}

double sw_charge_gap(const sw_charge *charge)
{
    double gap = charge->cations_meq_per_l - charge->anions_meq_per_l;
    if (gap > 0.0)
        return *charge->missing_anions
                   ? 0.0
                   : fmax(gap - charge->hidden_anions_meq_per_l, 0.0);
    return *charge->missing_cations
               ? 0.0
               : fmin(gap + charge->hidden_cations_meq_per_l, 0.0);
}

bool sw_charge_is_wide(const sw_charge *charge, double gap_meq_per_l,
                       double percent)
{
    double sum = charge->cations_meq_per_l + charge->anions_meq_per_l;
    return fabs(gap_meq_per_l) > SW_LEAST_ACID_MEQ_PER_L &&
           100.0 * fabs(gap_meq_per_l) > percent * sum;
}

bool sw_charge_is_least(const sw_charge *charge)
{
    bool has_more_cations =
        charge->cations_meq_per_l > charge->anions_meq_per_l;
    return has_more_cations ? *charge->missing_cations != '\0'
                            : *charge->missing_anions != '\0';
}

/* Whether it has an alkalinity that may be what is wrong. */
static bool has_alkalinity(const sw_water *water)
{
    return !water->is_solution && water->alkalinity_reported &&
           !(water->ph < SW_TITRATION_END_PH);
}

double sw_charge_alkalinity_gap(const sw_water *water, double percent,
                                sw_charge *charge)
{
    if (!has_alkalinity(water))
        return 0.0;
    sw_charge_add_up(water, charge);
    double gap = sw_charge_gap(charge);
    return sw_charge_is_wide(charge, gap, percent) ? gap : 0.0;
}

/* Of the five main ions of a water: a report that lacks more, as one of a kit
 * does, claims no balance. */
static const int most_missing = 2;

double sw_charge_either_gap(const sw_water *water, sw_charge *charge)
{
    sw_charge_add_up(water, charge);
    double gap = charge->cations_meq_per_l - charge->anions_meq_per_l;
    const char *lacking =
        gap > 0.0 ? charge->missing_anions : charge->missing_cations;
    bool can_be = has_alkalinity(water) &&
                  water->per_l.amount[SW_ALKALINITY] + gap >= 0.0;
    bool is_much = sw_charge_is_wide(charge, gap, SW_CHARGE_FALSE_PERCENT);
    bool is_whole = charge->missing_count <= most_missing;
    return *lacking && can_be && is_much && is_whole ? gap : 0.0;
}

double sw_charge_nitrate(const sw_water *water, double gap_meq_per_l)
{
    double nitrate = gap_meq_per_l / sw_meq_per_mg(SW_NO3_N);
    bool closes = !water->reported[SW_NO3_N] && nitrate > 0.0 &&
                  nitrate <= most_nitrate_n_mg_per_l;
    return closes ? nitrate : 0.0;
}

double sw_charge_limit_percent(const sw_charge *charge)
{
    double sum = charge->cations_meq_per_l + charge->anions_meq_per_l;
    if (charge->anions_meq_per_l <= 3.0)
        return sum > 0.0 ? 100.0 * SW_CHARGE_LEAST_MEQ_PER_L / sum : NAN;
    return charge->anions_meq_per_l <= 10.0 ? 2.0 : SW_CHARGE_DOUBTFUL_PERCENT;
}

double sw_charge_closing_amount(const sw_charge *charge)
{
    double lack = charge->anions_meq_per_l - charge->cations_meq_per_l;
    sw_component missing = charge->last_missing;
    if (charge->missing_count != 1)
        return NAN;
    bool is_anion = missing == SW_ALKALINITY || sw_charge_in_water(missing) < 0;
    if (is_anion)
        lack = -lack;
    if (lack <= 0.0)
        return NAN;
    return missing == SW_ALKALINITY ? lack : lack / sw_meq_per_mg(missing);
}
