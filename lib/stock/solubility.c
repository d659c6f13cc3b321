/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Degrees of saturation.  The solubility product of a salt is made from its
 * published solubility with the same activity model at the same temperature,
 * so a solution of that salt alone saturates exactly where the table says; the
 * model only carries it over to mixtures.
 */
#include "stock/solubility.h"

#include <math.h>
#include <string.h>

#include "chemistry/constants.h"
#include "chemistry/root.h"
#include "quantity/formula.h"
#include "table_solubility.h"
#include "table_stock_solids.h"

size_t sw_stock_solid_count(void)
{
    return sw_stock_solids_count;
}

const char *sw_stock_solid_name(size_t solid)
{
    return sw_stock_solids_table[solid].solid;
}

const char *sw_stock_solid_formula(size_t solid)
{
    return sw_stock_solids_table[solid].formula;
}

sw_solid_role sw_stock_solid_role(size_t solid)
{
    const char *role = sw_stock_solids_table[solid].role;
    if (!strcmp(role, "limit"))
        return SW_SOLID_LIMITS;
    return !strcmp(role, "warn") ? SW_SOLID_WARNS : SW_SOLID_WATCHED;
}

size_t sw_stock_solid_find(const char *name)
{
    size_t i = 0;
    while (i < sw_stock_solids_count &&
           strcmp(sw_stock_solids_table[i].solid, name) != 0)
        i++;
    return i;
}

/* Ions of a solid and how many of each; H+ may count below 0. */
typedef struct make {
    int count;
    sw_ion ion[4];
    int n[4];
} make;

static make make_of(size_t solid)
{
    const sw_stock_solids_row *r = &sw_stock_solids_table[solid];
    const char *names[] = {r->ion_1, r->ion_2, r->ion_3, r->ion_4};
    const int n[] = {r->n_1, r->n_2, r->n_3, r->n_4};
    make m = {0};
    for (int i = 0; i < 4; i++)
        if (*names[i]) {
            m.ion[m.count] = sw_ion_find(names[i]);
            m.n[m.count++] = n[i];
        }
    return m;
}

/* Ions of weak acids count as the form the alkalinity refers to. */
static sw_ion reference_of(sw_ion ion)
{
    switch (ion) {
    case SW_ION_HPO4:
        return SW_ION_H2PO4;
    case SW_ION_HCO3:
    case SW_ION_CO3:
        return SW_ION_CO2;
    default:
        return ion;
    }
}

bool sw_stock_solid_uses(size_t solid, const double *mol)
{
    make m = make_of(solid);
    for (int i = 0; i < m.count; i++)
        if (mol[reference_of(m.ion[i])] > 0)
            return true;
    return false;
}

static int ions_of(const make *m)
{
    int n = 0;
    for (int i = 0; i < m->count; i++)
        n += m->n[i];
    return n;
}

/* Published solubility at a temperature: ln(g/100 g) runs straight between
 * two rows, and on from the last one stays level. */
static double published(const char *salt, double c, double *hydration)
{
    const sw_solubility_row *below = NULL, *above = NULL;
    for (int i = 0; i < sw_solubility_count; i++) {
        const sw_solubility_row *r = &sw_solubility_table[i];
        if (strcmp(r->salt, salt) != 0)
            continue;
        if (r->temperature_c <= c &&
            (!below || r->temperature_c > below->temperature_c))
            below = r;
        if (r->temperature_c >= c &&
            (!above || r->temperature_c < above->temperature_c))
            above = r;
    }
    if (!below || !above) {
        const sw_solubility_row *end = below ? below : above;
        *hydration = end ? end->hydration : NAN;
        return end ? end->g_per_100g_water : NAN;
    }
    *hydration = below->hydration;
    double span = above->temperature_c - below->temperature_c;
    double t = span > 0 ? (c - below->temperature_c) / span : 0;
    return below->g_per_100g_water *
           pow(above->g_per_100g_water / below->g_per_100g_water, t);
}

/* ln of the ion product with activity coefficients, and hydrate water. */
static double ln_product(const make *m, const double *molality,
                         const sw_activity *a, double hydration)
{
    double ln = hydration * a->ln_water;
    for (int i = 0; i < m->count; i++)
        ln += m->n[i] * (log(molality[m->ion[i]]) + a->ln_gamma[m->ion[i]]);
    return ln;
}

/* A saturated solution of one salt: its ions, those of weak acids as the form
 * the alkalinity refers to. */
static void saturate(const sw_solubility *s, const make *m, double sat,
                     sw_brine *brine)
{
    double alkalinity = 0;
    memset(brine, 0, sizeof *brine);
    brine->temperature_c = s->temperature_c;
    brine->a_phi = s->a_phi;
    brine->water_kg_per_l = 1;
    bool weak = false;
    for (int i = 0; i < m->count; i++) {
        sw_ion reference = reference_of(m->ion[i]);
        double molality = m->n[i] * sat;
        brine->molality[reference] = molality;
        weak = weak || reference == SW_ION_CO2 || reference == SW_ION_H2PO4;
        if (reference == SW_ION_CO2)
            alkalinity += molality * -sw_ion_charge(m->ion[i]);
        else if (reference != m->ion[i])
            alkalinity += molality;
    }
    if (weak)
        sw_brine_settle(s->pitzer, alkalinity, brine);
    else
        sw_pitzer_activity(s->pitzer, brine->molality, s->a_phi,
                           &brine->activity);
}

static void from_solubility(sw_solubility *s, size_t solid)
{
    const char *salt = sw_stock_solids_table[solid].salt;
    make m = make_of(solid);
    sw_content unused;
    double molar_mass;
    sw_brine brine;
    double g = published(salt, s->temperature_c, &s->hydration[solid]);
    if (sw_formula_content(salt, 1, &unused, &molar_mass, NULL))
        return; /* the table's formulas are checked by a test */
    double sat = s->molality[solid] = g * 10 / molar_mass;
    const sw_pair *pair = &s->pitzer->pair[m.ion[0]][m.ion[m.count - 1]];
    if (m.count == 2 && !pair->known)
        return;
    s->extrapolated[solid] = m.count == 2 && sat > pair->fit_max_mol_per_kg;
    saturate(s, &m, sat, &brine);
    if (brine.water_kg_per_l > 0)
        s->ln_k[solid] = ln_product(&m, brine.molality, &brine.activity,
                                    s->hydration[solid]);
}

void sw_solubility_at(const sw_pitzer *pitzer, double temperature_c,
                      sw_solubility *s)
{
    s->pitzer = pitzer;
    s->temperature_c = temperature_c;
    sw_constants constants;
    sw_constants_at(temperature_c, &constants);
    s->a_phi = sw_a_phi(&constants);
    double per_k = 1 / 298.15 - 1 / (temperature_c + 273.15);
    for (size_t i = 0; i < sw_stock_solids_count; i++) {
        const sw_stock_solids_row *r = &sw_stock_solids_table[i];
        s->molality[i] = s->ln_k[i] = NAN;
        s->extrapolated[i] = false;
        s->hydration[i] = r->hydration;
        if (*r->salt) {
            from_solubility(s, i);
            continue;
        }
        double h = isnan(r->delta_h_kj_per_mol) ? 0 : r->delta_h_kj_per_mol;
        s->ln_k[i] = r->log_k * log(10.0) + h * 1000 / 8.314463 * per_k;
    }
}

/* As if the ions were as active as in the salt's own saturated solution. */
static double by_table(const sw_solubility *s, const make *m, const sw_brine *b,
                       size_t solid)
{
    double ln = 0;
    for (int i = 0; i < m->count; i++)
        ln += m->n[i] *
              log(b->molality[m->ion[i]] / (m->n[i] * s->molality[solid]));
    return exp(ln / ions_of(m));
}

/* Below this a salt's own saturated solution says nothing of a brine: gypsum
 * is judged by the model alone. */
static const double sparing_mol_per_kg = 0.1;

/* Whether the salt itself, in this brine or saturated, is outside the range its
 * parameters were fitted in. */
static bool is_beyond_fit(const sw_solubility *s, const make *m,
                          const sw_brine *b, size_t solid)
{
    double salt = INFINITY;
    if (m->count != 2 || s->extrapolated[solid])
        return m->count == 2;
    for (int i = 0; i < 2; i++)
        salt = fmin(salt, b->molality[m->ion[i]] / m->n[i]);
    /* false where the source states no range */
    return salt > s->pitzer->pair[m->ion[0]][m->ion[1]].fit_max_mol_per_kg;
}

double sw_solubility_degree(const sw_solubility *s, const sw_brine *b,
                            size_t solid)
{
    make m = make_of(solid);
    for (int i = 0; i < m.count; i++)
        if (!(b->molality[m.ion[i]] > 0))
            return 0;
    double table = isnan(s->molality[solid]) ? 0 : by_table(s, &m, b, solid);
    if (isnan(s->ln_k[solid]))
        return table;
    double model =
        exp((ln_product(&m, b->molality, &b->activity, s->hydration[solid]) -
             s->ln_k[solid]) /
            ions_of(&m));
    bool doubtful = b->incomplete && s->molality[solid] > sparing_mol_per_kg;
    return doubtful || is_beyond_fit(s, &m, b, solid) ? fmax(model, table)
                                                      : model;
}

double sw_solubility_worst(const sw_solubility *s, const sw_brine *brine,
                           size_t *solid)
{
    double worst = 0;
    *solid = sw_stock_solids_count;
    if (brine->water_kg_per_l <= 0)
        worst = INFINITY;
    for (size_t i = 0; i < sw_stock_solids_count && worst < INFINITY; i++) {
        double degree = sw_stock_solid_role(i) == SW_SOLID_LIMITS
                            ? sw_solubility_degree(s, brine, i)
                            : 0;
        if (degree > worst) {
            worst = degree;
            *solid = i;
        }
    }
    return worst;
}

double sw_tank_saturation(const sw_solubility *s, const sw_tank_content *tank,
                          double strength, size_t *solid)
{
    sw_content per_l = tank->make_up;
    sw_brine brine;
    sw_content_add(&per_l, strength, &tank->salts);
    sw_brine_make(s->pitzer, &per_l, s->temperature_c, &brine);
    return sw_solubility_worst(s, &brine, solid);
}

/* A search for the degree 1 over the strength or the temperature. */
typedef struct quest {
    sw_solubility solubility;
    const sw_tank_content *tank;
    double strength;
} quest;

/* ln of the degree, kept finite. */
static double excess(const quest *q)
{
    size_t solid;
    double degree =
        sw_tank_saturation(&q->solubility, q->tank, q->strength, &solid);
    return log(fmin(fmax(degree, 1e-9), 1e9));
}

static sw_status excess_at_strength(double ln_strength, void *context,
                                    double *y, sw_error *error)
{
    quest *q = context;
    (void)error;
    q->strength = exp(ln_strength);
    *y = excess(q);
    return SW_OK;
}

static sw_status excess_at_temperature(double c, void *context, double *y,
                                       sw_error *error)
{
    quest *q = context;
    (void)error;
    sw_solubility_at(q->solubility.pitzer, c, &q->solubility);
    *y = excess(q);
    return SW_OK;
}

double sw_tank_strength(const sw_solubility *s, const sw_tank_content *tank,
                        size_t *solid)
{
    quest q = {.solubility = *s, .tank = tank};
    double root = log(SW_MOST_STRENGTH);
    if (sw_tank_saturation(s, tank, SW_MOST_STRENGTH, solid) <= 1)
        return SW_MOST_STRENGTH;
    /* hard make-up water may lose a solid to a trace of the salts and keep it
     * with more of them, which are acid: then from where the tank stands */
    bool stands = sw_tank_saturation(s, tank, 1, solid) <= 1;
    double from = stands ? 0 : log(1e-4);
    sw_search search = {excess_at_strength, &q, from, root, 1e-7};
    /* no root: it does not even stay dissolved at next to nothing */
    if (sw_root_find(&search, &root, NULL))
        root = -INFINITY;
    sw_tank_saturation(s, tank, exp(root) * 1.0001, solid);
    return exp(root);
}

double sw_tank_coldest(const sw_pitzer *pitzer, const sw_tank_content *tank)
{
    quest q = {.solubility.pitzer = pitzer, .tank = tank, .strength = 1};
    double cold, warm, found = NAN;
    excess_at_temperature(0, &q, &cold, NULL);
    excess_at_temperature(40, &q, &warm, NULL);
    if (warm > 0)
        return NAN;
    if (cold <= 0)
        return 0;
    sw_search search = {excess_at_temperature, &q, 0.001, 40, 1e-5};
    return sw_root_find(&search, &found, NULL) ? NAN : found;
}
