/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What comes out of a mixture, weighed, and what gas stands over it.  A solid
 * beyond saturation matters by its mass and by what of a nutrient it takes
 * along: traces of one, as of the magnesium of purified water, spoil no tank.
 */
#include "stock/mixture.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "chemistry/root.h"
#include "quantity/ties.h"

/* g/L of solids from which drip emitters are at risk: Pitts 1990, UF/IFAS
 * (50 mg/L of suspended solids); taken for the concentrate, whose filter they
 * meet first. */
static const double most_g_per_l = 0.05;
/* Share of what products bring of an element that may come out: what nobody
 * can weigh or measure (common practice, no source). */
static const double most_share = 0.02;
/* Alkalinity per silicon of the least alkaline water glasses sold: SiO2 to
 * alkali of 3.9 by moles; below it silica comes out as a gel (Iler 1979, The
 * Chemistry of Silica, ch. 2; value from memory). */
static const double least_alkalinity_per_silicon = 0.45;

/* Below this degree nothing comes out, and the rest need not be worked out. */
static const double nowhere_near = 0.9;

/* One solid coming out of a brine. */
typedef struct removal {
    const sw_solubility *at;
    const sw_brine *brine;
    size_t solid;
    double mol[SW_MASTER_COUNT]; /* of each master, in a mol of it */
    double alkalinity, urea;     /* eq and mol in a mol of it */
    double most;                 /* mol per kg there is of it */
} removal;

static removal removal_of(const sw_solubility *at, const sw_brine *brine,
                          size_t solid)
{
    const sw_make *make = &at->make[solid];
    removal r = {.at = at, .brine = brine, .solid = solid, .most = INFINITY};
    for (int i = 0; i < make->count; i++) {
        int k = at->medium.species[make->ion[i]];
        if (k < 0) {
            r.urea += make->n[i];
            r.most = brine->totals.urea_mol_per_kg / make->n[i];
            continue;
        }
        const sw_species *s = &at->medium.constants.species[k];
        r.alkalinity -= make->n[i] * s->protons;
        for (int p = 0; p < s->parts; p++)
            r.mol[s->part[p]] += make->n[i] * s->count[p];
    }
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++)
        if (r.mol[m] > 0)
            r.most = fmin(r.most, brine->totals.mol_per_kg[m] / r.mol[m]);
    return r;
}

/* Degree of saturation once so much has come out. */
static double degree_without(const removal *r, double mol_per_kg)
{
    sw_brine left = {.water_kg_per_l = 1, .totals = r->brine->totals};
    left.totals.alkalinity_eq_per_kg -= mol_per_kg * r->alkalinity;
    left.totals.urea_mol_per_kg -= mol_per_kg * r->urea;
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++)
        left.totals.mol_per_kg[m] -= mol_per_kg * r->mol[m];
    sw_brine_settle(&r->at->medium, &left);
    return left.water_kg_per_l > 0
               ? sw_solubility_degree(r->at, &left, r->solid)
               : INFINITY;
}

static sw_status excess_without(double mol_per_kg, void *context, double *y,
                                sw_error *error)
{
    (void)error;
    *y = log(fmin(fmax(degree_without(context, mol_per_kg), 1e-9), 1e9));
    return SW_OK;
}

/* Mol per kg until it is no longer beyond saturation. */
static double comes_out(removal *r)
{
    double found = r->most;
    sw_search search = {excess_without, r, 0, r->most * (1 - 1e-9), 1e-4};
    return sw_root_find(&search, &found, NULL) ? r->most : found;
}

static double g_per_l_of(const removal *r, double mol_per_kg)
{
    return mol_per_kg * r->at->g_per_mol[r->solid] * r->brine->water_kg_per_l;
}

/* Largest share of what products bring of an element, in so much of it. */
static double share_of(const removal *r, const double *brought_per_kg,
                       double mol_per_kg)
{
    double share = 0;
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++)
        if (r->mol[m] > 0 && brought_per_kg[m] > 0)
            share = fmax(share, mol_per_kg * r->mol[m] / brought_per_kg[m]);
    return fmin(share, 1);
}

/* Least mol per kg that matter. */
static double least_that_counts(const removal *r, const double *brought_per_kg)
{
    double by_mass = most_g_per_l / g_per_l_of(r, 1);
    double by_share = most_share / share_of(r, brought_per_kg, 1e-9) * 1e-9;
    return fmin(by_mass, by_share);
}

/* Its degree once the least that matters has come out: above 1 where so much
 * of it does, and continuous. */
static double degree_counted(const removal *r, const double *brought_per_kg)
{
    if (!r->at->sparing[r->solid])
        return INFINITY;
    double least = least_that_counts(r, brought_per_kg);
    return least < r->most ? degree_without(r, least) : 0;
}

/* Polymers of an alkaline silicate are no silica that comes out. */
static bool is_polymer(const sw_solubility *at, const sw_brine *brine,
                       size_t solid)
{
    double silicon = brine->totals.mol_per_kg[SW_AT_H4SiO4];
    return at->make[solid].ion[0] == SW_ION_H4SIO4 &&
           brine->totals.alkalinity_eq_per_kg >
               least_alkalinity_per_silicon * silicon;
}

/* What products bring, per kg of water. */
static void brought_by(const sw_content *salts, double strength, double kg,
                       double *mol_per_kg)
{
    sw_brine_masters(salts, mol_per_kg);
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++)
        mol_per_kg[m] *= strength / kg;
}

static double ammonia_share(const sw_brine *b)
{
    double ammonium = b->totals.mol_per_kg[SW_AT_NH4];
    return ammonium > 0 ? b->molality[SW_ION_NH3] / ammonium : 0;
}

/* Of what sets a limit how far it is on its way to where it forms; 0 of the
 * rest. */
static double forming_of(const sw_solubility *at, const sw_brine *brine,
                         size_t solid)
{
    return sw_stock_solid_role(solid) == SW_SOLID_WARNS ||
                   is_polymer(at, brine, solid)
               ? 0
               : sw_solubility_forming(at, brine, solid);
}

/* The same of what is to be counted: above 1 where more comes out than too
 * little to harm, or more ammonia than a salt gives off by itself. */
static double counted_of(const sw_solubility *at, const sw_brine *brine,
                         const double *brought_per_kg, size_t solid)
{
    double forming = forming_of(at, brine, solid);
    if (sw_stock_solid_role(solid) == SW_SOLID_GAS)
        return fmin(forming, ammonia_share(brine) / SW_AMMONIA_SHARE);
    removal r = removal_of(at, brine, solid);
    return fmin(forming, degree_counted(&r, brought_per_kg));
}

/* Of what sets a limit the worst that counts. */
static double worst_of(const sw_solubility *at, const sw_brine *brine,
                       const double *brought_per_kg, size_t *solid)
{
    double worst = 0;
    *solid = sw_stock_solid_count();
    if (!(brine->water_kg_per_l > 0))
        return INFINITY;
    for (size_t i = 0; i < sw_stock_solid_count(); i++) {
        bool is_gas = sw_stock_solid_role(i) == SW_SOLID_GAS;
        double degree = forming_of(at, brine, i);
        /* below its limit a gas is none */
        if (!sw_is_less(worst, degree, SW_SOLVED) || (degree <= 1 && is_gas) ||
            (degree > 1 && counted_of(at, brine, brought_per_kg, i) <= 1))
            continue;
        worst = degree;
        *solid = i;
    }
    return worst;
}

/* The largest of what is counted: above 1 as worst_of, and without its jump
 * where a solid becomes too little to harm, on which a search would land. */
static double most_counted(const sw_solubility *at, const sw_brine *brine,
                           const double *brought_per_kg)
{
    double most = 0;
    if (!(brine->water_kg_per_l > 0))
        return INFINITY;
    for (size_t i = 0; i < sw_stock_solid_count(); i++) {
        double forming = forming_of(at, brine, i);
        if (forming > most)
            most = fmax(most, forming < nowhere_near
                                  ? forming
                                  : counted_of(at, brine, brought_per_kg, i));
    }
    return most;
}

static double mass_key(const void *deposit)
{
    return -((const sw_deposit *)deposit)->g_per_l;
}

static void weigh(const sw_solubility *at, const double *brought_per_kg,
                  sw_mixture *m)
{
    for (size_t i = 0; i < sw_stock_solid_count(); i++) {
        double degree = sw_solubility_degree(at, &m->brine, i);
        bool forms = sw_solubility_forming(at, &m->brine, i) > 1;
        sw_solid_role role = sw_stock_solid_role(i);
        if (degree <= 1 || role == SW_SOLID_GAS ||
            (role == SW_SOLID_SELDOM && !forms) || is_polymer(at, &m->brine, i))
            continue;
        removal r = removal_of(at, &m->brine, i);
        double mol = comes_out(&r);
        m->deposits[m->deposit_count++] = (sw_deposit){
            .solid = i,
            .degree = degree,
            .g_per_l = g_per_l_of(&r, mol),
            .share = share_of(&r, brought_per_kg, mol),
            .counts = degree_counted(&r, brought_per_kg) > 1,
            .forms = forms,
        };
    }
    sw_sort_close(m->deposits, m->deposit_count, sizeof *m->deposits, mass_key);
}

/* atm of a gas at rest with its dissolved form. */
static double pressure_of(const sw_medium *medium, const sw_brine *brine,
                          sw_ion ion, int gas)
{
    const sw_constants *c = &medium->constants;
    if (!(brine->molality[ion] > 0))
        return 0;
    return exp(log(brine->molality[ion]) + brine->activity.ln_gamma[ion] +
               c->solid[gas].ln_beta -
               c->species[medium->species[ion]].ln_beta);
}

bool sw_mixture_gases(const sw_mixture *m)
{
    return m->ammonia_ppm > SW_AMMONIA_PPM &&
           m->ammonia_share > SW_AMMONIA_SHARE;
}

static void finish(const sw_solubility *at, const double *brought_per_kg,
                   sw_mixture *m)
{
    const sw_brine *b = &m->brine;
    m->worst = worst_of(at, b, brought_per_kg, &m->solid);
    if (!(b->water_kg_per_l > 0))
        return;
    weigh(at, brought_per_kg, m);
    m->ammonia_share = ammonia_share(b);
    m->ammonia_ppm = 1e6 * pressure_of(&at->medium, b, SW_ION_NH3, SW_NH3_GAS);
    m->co2_atm = pressure_of(&at->medium, b, SW_ION_CO2, SW_CO2_GAS);
}

static void make_tank(const sw_solubility *s, const sw_tank_content *tank,
                      double strength, sw_brine *brine,
                      double brought[SW_MASTER_COUNT])
{
    sw_content per_l = tank->make_up;
    sw_content_add(&per_l, strength, &tank->salts);
    sw_brine_make(&s->medium, &per_l, brine);
    brought_by(&tank->salts, strength, brine->water_kg_per_l, brought);
}

void sw_mixture_make(const sw_solubility *at, const sw_tank_content *per_l,
                     double strength, sw_mixture *m)
{
    double brought[SW_MASTER_COUNT];
    memset(m, 0, sizeof *m);
    make_tank(at, per_l, strength, &m->brine, brought);
    finish(at, brought, m);
}

/* ---- Tanks ---- */

double sw_tank_saturation(const sw_solubility *s, const sw_tank_content *tank,
                          double strength, size_t *solid)
{
    double brought[SW_MASTER_COUNT];
    sw_brine brine;
    make_tank(s, tank, strength, &brine, brought);
    return worst_of(s, &brine, brought, solid);
}

/* A search, over the strength or the temperature, for where it counts. */
typedef struct quest {
    const sw_pitzer *pitzer;
    sw_solubility *solubility;
    const sw_tank_content *tank;
    double strength;
} quest;

/* ln of the degree that counts, kept finite. */
static double excess(const quest *q)
{
    double brought[SW_MASTER_COUNT];
    sw_brine brine;
    make_tank(q->solubility, q->tank, q->strength, &brine, brought);
    double degree = most_counted(q->solubility, &brine, brought);
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
    sw_content all = q->tank->make_up;
    (void)error;
    sw_content_add(&all, 1, &q->tank->salts);
    sw_solubility_of(q->pitzer, c, &all, q->solubility);
    *y = excess(q);
    return SW_OK;
}

double sw_tank_strength(const sw_solubility *s, const sw_tank_content *tank,
                        size_t *solid)
{
    sw_solubility same = *s;
    quest q = {.solubility = &same, .tank = tank};
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
    sw_solubility at;
    quest q = {
        .pitzer = pitzer, .solubility = &at, .tank = tank, .strength = 1};
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
