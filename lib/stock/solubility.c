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
    return (sw_solid_role)sw_stock_solids_table[solid].role;
}

static sw_make make_of(size_t solid)
{
    const sw_stock_solids_row *r = &sw_stock_solids_table[solid];
    const char *names[] = {r->ion_1, r->ion_2, r->ion_3, r->ion_4};
    const int n[] = {r->n_1, r->n_2, r->n_3, r->n_4};
    sw_make m = {0};
    for (int i = 0; i < 4; i++)
        if (*names[i]) {
            m.ion[m.count] = sw_ion_find(names[i]);
            m.n[m.count++] = n[i];
        }
    return m;
}

bool sw_stock_solid_within(size_t solid, const double *mol)
{
    sw_make m = make_of(solid);
    for (int i = 0; i < m.count; i++)
        if (!(mol[sw_ion_counts_as(m.ion[i])] > 0) && m.ion[i] != SW_ION_H &&
            m.ion[i] != SW_ION_OH)
            return false;
    return true;
}

bool sw_stock_has_data(const sw_product *product)
{
    double mol[SW_IONS];
    sw_brine_moles(&product->per_g, mol);
    if (product->density_g_per_ml > 0)
        return true;
    bool basic = product->per_g.amount[SW_ALKALINITY] > 0;
    for (size_t i = 0; i < sw_stock_solid_count(); i++) {
        const sw_stock_solids_row *r = &sw_stock_solids_table[i];
        bool hydroxide = !strcmp(r->ion_2, "OH-");
        if (*r->salt && (basic || !hydroxide) && sw_stock_solid_within(i, mol))
            return true;
    }
    return false;
}

static int ions_of(const sw_make *m)
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
static double ln_product(const sw_make *m, const sw_brine *b, double hydration)
{
    double ln = hydration * b->activity.ln_water;
    for (int i = 0; i < m->count; i++)
        ln += m->n[i] *
              (log(b->molality[m->ion[i]]) + b->activity.ln_gamma[m->ion[i]]);
    return ln;
}

/* Below this a salt's own saturated solution says nothing of a brine: gypsum
 * is judged by the model alone. */
static const double sparing_mol_per_kg = 0.1;

/* So many times the range of its fit a salt's model says nothing. */
static const double most_extrapolated = 2;

static void from_solubility(sw_solubility *s, size_t solid)
{
    const sw_stock_solids_row *row = &sw_stock_solids_table[solid];
    const sw_make *m = &s->make[solid];
    sw_content per_kg;
    double g_per_mol;
    sw_brine brine;
    double g =
        published(row->salt, s->medium.temperature_c, &s->hydration[solid]);
    if (!isnan(row->hydration))
        s->hydration[solid] += row->hydration;
    if (sw_formula_content(row->salt, 1, &per_kg, &g_per_mol, NULL))
        return; /* the table's formulas are checked by a test */
    double sat = s->molality[solid] = g * 10 / g_per_mol;
    s->sparing[solid] = sat <= sparing_mol_per_kg;
    const sw_pair *pair = &s->medium.pitzer->pair[m->ion[0]][m->ion[1]];
    if (m->count == 2 &&
        (!pair->known || sat > most_extrapolated * pair->fit_max_mol_per_kg))
        return;
    s->extrapolated[solid] = m->count == 2 && sat > pair->fit_max_mol_per_kg;
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        per_kg.amount[i] *= g * 10;
    sw_brine_in_water(&s->medium, &per_kg, &brine);
    if (brine.water_kg_per_l > 0)
        s->ln_k[solid] = ln_product(m, &brine, s->hydration[solid]);
}

static void set_solid(sw_solubility *s, size_t solid)
{
    const sw_stock_solids_row *r = &sw_stock_solids_table[solid];
    double per_k = 1 / 298.15 - 1 / (s->medium.temperature_c + 273.15);
    sw_content unused;
    if (*r->salt) {
        from_solubility(s, solid);
    } else {
        double h = isnan(r->delta_h_kj_per_mol) ? 0 : r->delta_h_kj_per_mol;
        s->hydration[solid] = r->hydration;
        s->ln_k[solid] = r->log_k * log(10.0) + h * 1000 / 8.314463 * per_k;
        s->sparing[solid] = true;
    }
    if (sw_formula_content(r->formula, 1, &unused, &s->g_per_mol[solid], NULL))
        s->g_per_mol[solid] = NAN; /* checked by the same test */
}

/* With NULL for mol, all solids. */
static void set_solids(const sw_pitzer *pitzer, double temperature_c,
                       const double *mol, sw_solubility *s)
{
    sw_medium_at(pitzer, temperature_c, &s->medium);
    for (size_t i = 0; i < sw_stock_solids_count; i++) {
        s->make[i] = make_of(i);
        s->molality[i] = s->ln_k[i] = s->hydration[i] = NAN;
        s->extrapolated[i] = s->sparing[i] = false;
        if (!mol || sw_stock_solid_within(i, mol))
            set_solid(s, i);
    }
}

void sw_solubility_at(const sw_pitzer *pitzer, double temperature_c,
                      sw_solubility *s)
{
    set_solids(pitzer, temperature_c, NULL, s);
}

void sw_solubility_of(const sw_pitzer *pitzer, double temperature_c,
                      const sw_content *contents, sw_solubility *s)
{
    double mol[SW_IONS];
    sw_brine_moles(contents, mol);
    set_solids(pitzer, temperature_c, mol, s);
}

/* As if the ions were as active as in the salt's own saturated solution. */
static double by_table(const sw_solubility *s, const sw_make *m,
                       const sw_brine *b, size_t solid)
{
    double ln = 0;
    for (int i = 0; i < m->count; i++)
        ln += m->n[i] *
              log(b->molality[m->ion[i]] / (m->n[i] * s->molality[solid]));
    return exp(ln / ions_of(m));
}

/* Whether the salt itself, in this brine or saturated, is outside the range its
 * parameters were fitted in. */
static bool is_beyond_fit(const sw_solubility *s, const sw_make *m,
                          const sw_brine *b, size_t solid)
{
    double salt = INFINITY;
    if (m->count != 2 || s->extrapolated[solid])
        return m->count == 2;
    for (int i = 0; i < 2; i++)
        salt = fmin(salt, b->molality[m->ion[i]] / m->n[i]);
    /* false where the source states no range */
    return salt >
           s->medium.pitzer->pair[m->ion[0]][m->ion[1]].fit_max_mol_per_kg;
}

double sw_solubility_degree(const sw_solubility *s, const sw_brine *b,
                            size_t solid)
{
    const sw_make *m = &s->make[solid];
    for (int i = 0; i < m->count; i++)
        if (!(b->molality[m->ion[i]] > 0))
            return 0;
    double table = isnan(s->molality[solid]) ? 0 : by_table(s, m, b, solid);
    if (isnan(s->ln_k[solid]))
        return table;
    double model = exp(
        (ln_product(m, b, s->hydration[solid]) - s->ln_k[solid]) / ions_of(m));
    bool doubtful = b->incomplete && !s->sparing[solid];
    return doubtful || is_beyond_fit(s, m, b, solid) ? fmax(model, table)
                                                     : model;
}

double sw_solubility_forming(const sw_solubility *s, const sw_brine *b,
                             size_t solid)
{
    double slow = sw_stock_solids_table[solid].forms_at;
    double degree = sw_solubility_degree(s, b, solid);
    return isnan(slow) ? degree
                       : degree / pow(10, slow / ions_of(&s->make[solid]));
}
