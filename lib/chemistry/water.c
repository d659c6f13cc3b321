/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The inorganic carbon of a water: what its pH and its alkalinity together
 * tell, or a stated assumption where the report lacks one of them.
 */
#include <math.h>

#include "chemistry/equilibrate.h"
#include "chemistry/lanes.h"
#include "chemistry/root.h"
#include "chemistry/speciate.h"
#include "quantity/components.h"
#include "quantity/notes.h"
#include "quantity/status.h"
#include "quantity/units.h"
#include "table_words.h"

static const double ASSUMED_PH = 7.5;
/* What may be dissolved in a water of SW_PURE_MS_PER_CM: TDS of 0.65 times its
 * uS/cm, ions of one charge. */
static const double pure_mg_per_l = 65, pure_meq_per_l = 1,
                    pure_mol_per_kg = 1e-3;
/* Of the salt that conducts least for its alkalinity, NaHCO3: 50.1 + 44.5
 * S cm2/eq at no ionic strength (Robinson and Stokes 1959, appendix 6.2). */
static const double alkalinity_meq_per_ms = 1e3 / (50.1 + 44.5);
/* Dried, bicarbonate leaves carbonate: the least of Mg, 84.31 g/mol. */
static const double alkalinity_meq_per_mg = 2 / 84.31;
/* Up to here a water that is told to have no alkalinity may have none. */
static const double neutral_ph = 7;
/* Of the cations, what other ions that are not told may balance (common
 * practice, no source). */
static const double unmatched_share = 0.1;

/* Alkalinity the species have with some carbon at the pH, minus the water's. */
static sw_status surplus(double carbon, void *context, double *y,
                         sw_error *error)
{
    sw_speciation *s = context;
    s->totals.mol_per_kg[SW_AT_CO3] = carbon;
    sw_status status = sw_speciate(s, error);
    *y = s->alkalinity - s->totals.alkalinity_eq_per_kg;
    return status;
}

/* The CO2 whose activity gives the alkalinity, from what bicarbonate of that
 * alkalinity would have.  False: the kernel finds none. */
static bool follow_alkalinity(const sw_speciation *s, double *carbon)
{
    sw_lanes lanes;
    sw_speciation found = *s;
    found.carbon_open = true;
    found.ln_co2 = log(s->totals.alkalinity_eq_per_kg) +
                   SW_LN10 * (SW_CARBONIC_PK - s->ph);
    found.ln_water = sw_ln_water_of(&found.totals);
    sw_lanes_ask(&lanes, &found);
    lanes.closing = SW_CARBON_FOLLOWS;
    sw_lanes_put(&lanes, 0, &found);
    sw_lanes_solve(&lanes);
    if (!lanes.found[0])
        return false;
    sw_lanes_take(&lanes, 0, &found);
    *carbon = sw_carbon_of(&found);
    return true;
}

/* Carbon that gives the alkalinity at the pH; 0 where none would. */
static sw_status match_alkalinity(sw_speciation *s, double *carbon,
                                  sw_error *error)
{
    double without, with, high = 1e-6 + fabs(s->totals.alkalinity_eq_per_kg);
    *carbon = 0;
    if (s->totals.alkalinity_eq_per_kg > 0 && follow_alkalinity(s, carbon))
        return SW_OK;
    sw_status status = surplus(0, s, &without, error);
    if (status != SW_OK || without >= 0)
        return status;
    s->warm = false;
    do {
        high *= 4;
        status = surplus(high, s, &with, error);
    } while (status == SW_OK && with < 0);
    if (status != SW_OK)
        return status;
    sw_search search = {surplus, s, high * 1e-9, high, 1e-10};
    return sw_root_find(&search, carbon, error);
}

/* One water on its way from report to completed content. */
typedef struct completion {
    const sw_water *water;
    const char *name;
    double ph;
    double co2_atm;
    sw_speciation s;
    sw_content *per_l;
    sw_notes *notes;
} completion;

static sw_status note(completion *c, unsigned kind, const char *code,
                      const char *text)
{
    return sw_notes_add(c->notes, kind, code, "%s: %s", c->name, text);
}

/* The water's own temperature where it is one the constants cover. */
static sw_status choose_temperature(completion *c, double *temperature_c)
{
    double t = c->water->temperature_c;
    if (isnan(t))
        return SW_OK;
    if (t < 5 || t > 40)
        return note(c, SW_SAY_WATER_TEMPERATURE);
    *temperature_c = t;
    return SW_OK;
}

/* Carbon from the air's CO2; the alkalinity follows where the pH is given. */
static sw_status complete_from_air(completion *c, sw_error *error)
{
    c->s.carbon_open = true;
    c->s.ln_co2 = sw_ln_co2(c->s.constants, c->co2_atm);
    sw_status status = sw_speciate(&c->s, error);
    if (status != SW_OK)
        return status;
    double per_kg = 1000 * c->s.totals.water_kg_per_l;
    c->per_l->amount[SW_CARBON] = per_kg * sw_carbon_of(&c->s);
    c->per_l->amount[SW_ALKALINITY] = per_kg * c->s.alkalinity;
    return SW_OK;
}

/* Alkalinity that nobody measured, from the pH and the air's CO2. */
static sw_status complete_from_ph(completion *c, unsigned kind,
                                  const char *code, const char *text,
                                  sw_error *error)
{
    c->s.ph_given = true;
    c->s.ph = c->ph;
    sw_status status = complete_from_air(c, error);
    return status == SW_OK ? note(c, kind, code, text) : status;
}

static bool tells_cations(const sw_water *water)
{
    const bool *told = water->reported;
    return told[SW_CA] && told[SW_MG] && told[SW_NA] && told[SW_K];
}

/* By all that is told of it, enough to tell: of a purer water little acid can
 * be missing. */
static bool is_nearly_pure(const completion *c)
{
    const sw_water *w = c->water;
    double mol_per_kg = 0;
    for (int i = 0; i < SW_MASTER_COUNT; i++)
        mol_per_kg += c->s.totals.mol_per_kg[i];
    return (!isnan(w->ec_ms_per_cm) || !isnan(w->tds_mg_per_l) ||
            tells_cations(w)) &&
           !(w->ec_ms_per_cm >= SW_PURE_MS_PER_CM) &&
           !(w->tds_mg_per_l >= pure_mg_per_l) &&
           !(w->hardness_meq_per_l >= pure_meq_per_l) &&
           !(w->ca_hardness_meq_per_l >= pure_meq_per_l) &&
           mol_per_kg < pure_mol_per_kg;
}

static sw_status complete_unbuffered(completion *c, sw_error *error)
{
    bool harmless = is_nearly_pure(c);
    sw_status status = complete_from_air(c, error);
    if (status != SW_OK)
        return status;
    if (harmless)
        return note(c, SW_SAY_WATER_UNREAD);
    return c->water->is_solution ? note(c, SW_SAY_SOLUTION_UNKNOWN)
                                 : note(c, SW_SAY_WATER_UNKNOWN);
}

/* meq/L that lack to its pH without any carbon. */
static double lacking_alkalinity(const completion *c)
{
    return 1000 * c->s.totals.water_kg_per_l *
           (c->s.alkalinity - c->s.totals.alkalinity_eq_per_kg);
}

static sw_status complete_from_alkalinity(completion *c, sw_error *error)
{
    double carbon;
    c->s.ph_given = true;
    c->s.ph = c->ph;
    sw_status status = match_alkalinity(&c->s, &carbon, error);
    if (status != SW_OK)
        return status;
    c->per_l->amount[SW_CARBON] = 1000 * c->s.totals.water_kg_per_l * carbon;
    /* What was assumed contradicts nothing. */
    bool measured = c->water->alkalinity_reported && !isnan(c->water->ph) &&
                    sw_alkalinity_is_known(c->per_l);
    bool denied =
        !(carbon > 0) && lacking_alkalinity(c) > SW_LEAST_TITRATED_MEQ_PER_L;
    return denied && measured ? note(c, SW_SAY_WATER_PH_ALKALINITY) : SW_OK;
}

/* meq/L; alkalinity, which is asked for, does not count. */
static void sum_charges(const sw_water *water, double *cations, double *anions)
{
    sw_charges_of(&water->per_l, cations, anions);
    *anions -= water->per_l.amount[SW_ALKALINITY];
}

/* By the balance of charges: no more alkalinity than its anions leave of its
 * cations, or of what it conducts; INFINITY where neither is told. */
static double most_alkalinity(const sw_water *water)
{
    double cations, anions;
    sum_charges(water, &cations, &anions);
    double most = tells_cations(water) ? cations : INFINITY;
    if (water->tds_mg_per_l >= 0)
        most = fmin(most, alkalinity_meq_per_mg * water->tds_mg_per_l);
    if (water->ec_ms_per_cm >= 0)
        most = fmin(most, alkalinity_meq_per_ms * water->ec_ms_per_cm);
    return fmax(0, most - anions);
}

/* Up to too high a limit of detection there may be any alkalinity. */
static bool is_hidden(const sw_water *water)
{
    return sw_hidden_alkalinity(water) > SW_LEAST_ACID_MEQ_PER_L;
}

/* A report of none that the pH, or the ions, deny. */
static bool is_denied(const sw_water *water)
{
    double cations, anions;
    sum_charges(water, &cations, &anions);
    return water->per_l.amount[SW_ALKALINITY] == 0 &&
           (water->ph > neutral_ph
                ? most_alkalinity(water) > SW_LEAST_ACID_MEQ_PER_L
                : water->reported[SW_S] && water->reported[SW_CL] &&
                      cations - anions > fmax(SW_LEAST_ACID_MEQ_PER_L,
                                              unmatched_share * cations));
}

static sw_status note_reported(completion *c)
{
    bool hidden = is_hidden(c->water);
    bool little = is_nearly_pure(c) &&
                  most_alkalinity(c->water) <= SW_LEAST_ACID_MEQ_PER_L;
    if (little || !(hidden || (!c->water->is_solution && is_denied(c->water))))
        return SW_OK;
    c->per_l->amount[SW_UNKNOWN_WATER] = 1;
    double most = sw_hidden_alkalinity(c->water);
    return hidden ? sw_notes_add(c->notes, SW_SAY_WATER_ALKALINITY_HIDDEN,
                                 c->name, SW_MG_CACO3_PER_MEQ * most, most)
                  : note(c, SW_SAY_WATER_ALKALINITY_DENIED);
}

static sw_status note_unreported(completion *c)
{
    double most = most_alkalinity(c->water);
    if (!is_nearly_pure(c) || !(most <= SW_LEAST_ACID_MEQ_PER_L))
        return note(c, SW_SAY_WATER_NO_ALKALINITY);
    return sw_notes_add(c->notes, SW_SAY_WATER_LITTLE_ALKALINITY, c->name, most,
                        SW_MG_CACO3_PER_MEQ * most);
}

static sw_status note_assumptions(completion *c)
{
    if (isnan(c->ph) && !is_hidden(c->water)) {
        bool matters =
            c->per_l->amount[SW_ALKALINITY] > SW_LEAST_ACID_MEQ_PER_L;
        c->ph = ASSUMED_PH;
        c->per_l->amount[SW_UNKNOWN_CO2] = matters;
        return matters ? note(c, SW_SAY_WATER_CO2_OPEN)
                       : note(c, SW_SAY_WATER_NO_PH);
    }
    return c->water->alkalinity_reported ? note_reported(c)
                                         : note_unreported(c);
}

static sw_status complete(completion *c, sw_error *error)
{
    if (c->ph < SW_TITRATION_END_PH)
        return complete_from_ph(c, SW_SAY_WATER_ACID, error);
    if (isnan(c->ph) && c->s.totals.alkalinity_eq_per_kg == 0)
        return complete_unbuffered(c, error);
    sw_status status = note_assumptions(c);
    return status == SW_OK ? complete_from_alkalinity(c, error) : status;
}

/* Sets out on the completion of an analysis. */
static sw_status begin(completion *c, sw_constants *room,
                       const sw_conditions *conditions, sw_error *error)
{
    sw_conditions at = *conditions;
    c->name = c->water->sample ? c->water->sample : "water";
    c->ph = c->water->ph;
    c->co2_atm = conditions->co2_atm;
    c->per_l->amount[SW_CARBON] = 0;
    sw_status status = sw_conditions_check(conditions, error);
    if (status == SW_OK)
        status = choose_temperature(c, &at.temperature_c);
    if (status != SW_OK)
        return status;
    c->s.constants =
        sw_constants_from(conditions->tables, at.temperature_c, room);
    return sw_totals_of(c->per_l, c->s.constants->water_kg_per_l, false,
                        &c->s.totals, error);
}

/* Of a solution the pH alone tells the alkalinity, under the air's CO2. */
static bool follows_from_ph(const sw_water *water)
{
    return water->is_solution && !isnan(water->ph) &&
           (!water->alkalinity_reported || is_hidden(water));
}

sw_status sw_water_carbon(const sw_water *water,
                          const sw_conditions *conditions, sw_content *per_l,
                          sw_notes *notes, sw_error *error)
{
    sw_constants room;
    completion c = {.water = water, .per_l = per_l, .notes = notes};
    *per_l = water->per_l;
    /* bare iron would not have stayed dissolved in a nutrient solution */
    per_l->amount[water->is_solution ? SW_CHELATED_FE : SW_WATER_FE] =
        per_l->amount[SW_FE];
    if (!water->is_solution)
        per_l->amount[SW_FE] = 0;
    sw_status status = begin(&c, &room, conditions, error);
    if (status == SW_OK)
        status = follows_from_ph(water)
                     ? complete_from_ph(&c, SW_SAY_WATER_FROM_PH, error)
                     : complete(&c, error);
    /* a note that finds no memory fills no error */
    return status == SW_ERR_MEMORY ? sw_fail_memory(error) : status;
}
