/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Invents problems of the sizes and shapes growers have, and the awkward ones
 * among them, with GSL's generator (mt19937) so that a seed says it all.
 */
#include "invent.h"

#include "quantity/formula.h"

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const formulas[] = {
    "Ca(NO3)2·4H2O", "5Ca(NO3)2·NH4NO3·10H2O",
    "KNO3",          "KH2PO4",
    "MgSO4·7H2O",    "K2SO4",
    "NH4NO3",        "NH4H2PO4",
    "(NH4)2SO4",     "KCl",
    "Mg(NO3)2·6H2O", "CaCl2·2H2O",
    "HNO3",          "H3PO4",
    "H2SO4",         "K2HPO4",
    "CO(NH2)2",      "MnSO4·H2O",
    "ZnSO4·7H2O",    "CuSO4·5H2O",
    "H3BO3",         "Na2MoO4·2H2O",
    "NaCl",          "FeSO4·7H2O",
};

enum { FORMULAS = sizeof formulas / sizeof *formulas };

/* Usual sizes of targets, mg/L; invented.  What is not in it plays no part: a
 * problem of a seed stays as it is whatever components there are. */
static const double usual[SW_COMPONENT_COUNT] = {
    [SW_NO3_N] = 180, [SW_NH4_N] = 15, [SW_UREA_N] = 5, [SW_P] = 40,
    [SW_K] = 250,     [SW_CA] = 170,   [SW_MG] = 45,    [SW_S] = 70,
    [SW_CL] = 30,     [SW_NA] = 20,    [SW_FE] = 2,     [SW_MN] = 0.6,
    [SW_ZN] = 0.3,    [SW_CU] = 0.06,  [SW_B] = 0.4,    [SW_MO] = 0.05,
    [SW_SI] = 15,     [SW_F] = 0.5,    [SW_N] = 200};

static bool chance(gsl_rng *rng, double probability)
{
    return gsl_rng_uniform(rng) < probability;
}

static double between(gsl_rng *rng, double low, double high)
{
    return gsl_ran_flat(rng, low, high);
}

static sw_component any_component(gsl_rng *rng)
{
    sw_component among[SW_COMPONENT_COUNT];
    unsigned long count = 0;
    for (int c = 0; c < SW_N; c++)
        if (usual[c] > 0)
            among[count++] = (sw_component)c;
    return among[gsl_rng_uniform_int(rng, count)];
}

static void sum_nitrogen(sw_content *content)
{
    content->amount[SW_N] = content->amount[SW_NO3_N] +
                            content->amount[SW_NH4_N] +
                            content->amount[SW_UREA_N];
}

static void compose_formula(gsl_rng *rng, sw_content *per_g)
{
    const char *formula = formulas[gsl_rng_uniform_int(rng, FORMULAS)];
    double purity = chance(rng, 0.5) ? 1 : between(rng, 0.3, 1);
    if (sw_formula_content(formula, purity, per_g, NULL, NULL) != SW_OK)
        abort();
    /* Of sums alone: no acid is to be held back for the pH's sake. */
    per_g->amount[SW_ALKALINITY] = 0;
}

/* One to eight components in proportion to what crops take of them. */
static void compose_premix(gsl_rng *rng, sw_content *per_g)
{
    size_t parts = 1 + gsl_rng_uniform_int(rng, 8);
    for (size_t i = 0; i < parts; i++) {
        sw_component c = any_component(rng);
        per_g->amount[c] = usual[c] * between(rng, 0.2, 1.5);
    }
    if (parts == 1)
        for (int c = 0; c < SW_N; c++)
            if (per_g->amount[c] > 0)
                per_g->amount[c] = between(rng, 20, 450);
    sum_nitrogen(per_g);
}

/* The mixture of two that are there already, or the same once more. */
static void compose_dependent(gsl_rng *rng, invention *to, sw_content *per_g)
{
    double share = chance(rng, 0.3) ? 1 : between(rng, 0.1, 0.9);
    sw_content_add(
        per_g, share,
        &to->product[gsl_rng_uniform_int(rng, to->shelf.count)].per_g);
    sw_content_add(
        per_g, 1 - share,
        &to->product[gsl_rng_uniform_int(rng, to->shelf.count)].per_g);
}

static double usual_amount(const sw_content *per_g)
{
    double least = 5;
    for (int c = 0; c < SW_N; c++)
        if (per_g->amount[c] > 0)
            least = fmin(least, usual[c] / per_g->amount[c]);
    return least;
}

static void bound_product(gsl_rng *rng, sw_product *product)
{
    double amount = usual_amount(&product->per_g);
    if (chance(rng, 0.06)) {
        product->fixed_g_per_l = amount * between(rng, 0, 0.4);
        return;
    }
    if (chance(rng, 0.07))
        product->min_g_per_l = amount * between(rng, 0, 0.2);
    if (chance(rng, 0.12))
        product->max_g_per_l = amount * between(rng, 0.2, 0.9);
}

static void add_product(gsl_rng *rng, invention *to, bool priced)
{
    size_t at = to->shelf.count;
    sw_product *product = &to->product[at];
    *product = (sw_product){.name = to->name[at],
                            .purity = 1,
                            .density_g_per_ml = NAN,
                            .min_g_per_l = NAN,
                            .max_g_per_l = NAN,
                            .fixed_g_per_l = NAN,
                            .price_per_kg = NAN,
                            .pack_g = NAN,
                            .line = at + 2};
    snprintf(to->name[at], sizeof to->name[at], "p%02zu", at);
    if (at > 0 && chance(rng, 0.12))
        compose_dependent(rng, to, &product->per_g);
    else if (chance(rng, 0.7))
        compose_formula(rng, &product->per_g);
    else
        compose_premix(rng, &product->per_g);
    bound_product(rng, product);
    if (priced || chance(rng, 0.9))
        product->price_per_kg = (double)gsl_rng_uniform_int(rng, 40) / 4;
    to->shelf.count++;
}

static void add_water(gsl_rng *rng, invention *to, size_t at)
{
    double strength =
        chance(rng, 0.3) ? between(rng, 0, 2) : between(rng, 0, 0.3);
    for (int c = 0; c < SW_N; c++)
        if (usual[c] > 0 && chance(rng, 0.7))
            to->water[at].amount[c] =
                usual[c] * strength * gsl_ran_exponential(rng, 0.6);
    sum_nitrogen(&to->water[at]);
    to->problem.water_count++;
}

static void add_waters(gsl_rng *rng, invention *to)
{
    size_t count = chance(rng, 0.6) ? 1 : 2 + gsl_rng_uniform_int(rng, 2);
    double sum = 0;
    for (size_t k = 0; k < count; k++) {
        add_water(rng, to, k);
        sum += to->fraction[k] = between(rng, 0.1, 1);
    }
    for (size_t k = 0; k < count; k++)
        to->fraction[k] /= sum;
    to->problem.waters = to->water;
    to->problem.fractions = chance(rng, 0.4) ? to->fraction : NULL;
}

static sw_target_row *add_row(invention *to, sw_component component)
{
    size_t at = to->target.count++;
    sw_target_row *row = &to->row[at];
    *row = (sw_target_row){.kind = SW_TARGET_COMPONENT,
                           .component = component,
                           .name = to->row_name[at],
                           .target = NAN,
                           .min = NAN,
                           .max = NAN,
                           .weight = 1,
                           .line = at + 2};
    snprintf(row->name, sizeof to->row_name[at], "%s",
             sw_component_name(component));
    return row;
}

/* Near what a recipe reaches, or anywhere. */
static double size_of(gsl_rng *rng, sw_component component,
                      const sw_content *reached)
{
    double at = reached ? reached->amount[component] : 0;
    return at > 0.05 * usual[component]
               ? at * between(rng, 0.95, 1.05)
               : usual[component] * between(rng, 0.4, 1.8);
}

static void add_component(gsl_rng *rng, invention *to, sw_component component,
                          const sw_content *reached)
{
    sw_target_row *row = add_row(to, component);
    double size = size_of(rng, component, reached);
    row->target = size;
    if (chance(rng, 0.15))
        row->weight = exp(between(rng, -2.5, 2.5));
    if (chance(rng, 0.05))
        row->weight = 0;
    if (chance(rng, 0.1))
        row->min = size * between(rng, 0.3, 1);
    if (chance(rng, 0.1))
        row->max = size * between(rng, 1, 2);
    if (chance(rng, 0.06)) {
        row->target = 0;
        row->min = NAN;
        row->max = size * between(rng, 0.5, 3);
    } else if (chance(rng, 0.06)) {
        row->target = NAN;
    }
}

static void add_ratio(gsl_rng *rng, invention *to, sw_component part,
                      sw_component whole, const sw_content *reached)
{
    sw_target_row *row = add_row(to, part);
    row->kind = SW_TARGET_RATIO;
    row->other = whole;
    snprintf(row->name, sizeof to->row_name[0], "%s:%s",
             sw_component_name(part), sw_component_name(whole));
    double usually = usual[part] / usual[whole];
    if (reached && reached->amount[part] > 0 && reached->amount[whole] > 0)
        usually = reached->amount[part] / reached->amount[whole];
    if (chance(rng, 0.5))
        row->min = usually * between(rng, 0.3, 0.9);
    if (isnan(row->min) || chance(rng, 0.5))
        row->max = usually * between(rng, 0.9, 2);
}

/* What some recipe gives in some blend. */
static void reach(gsl_rng *rng, const invention *from, sw_content *reached)
{
    size_t waters = from->problem.water_count;
    for (size_t k = 0; k < waters; k++)
        sw_content_add(reached, from->fraction[k], &from->water[k]);
    for (size_t j = 0; j < from->shelf.count; j++) {
        const sw_product *product = &from->product[j];
        double amount = chance(rng, 0.5) ? 0 : between(rng, 0, 0.5);
        amount *= usual_amount(&product->per_g);
        amount =
            fmin(amount,
                 isnan(product->max_g_per_l) ? amount : product->max_g_per_l);
        amount =
            fmax(amount,
                 isnan(product->min_g_per_l) ? amount : product->min_g_per_l);
        if (!isnan(product->fixed_g_per_l))
            amount = product->fixed_g_per_l;
        sw_content_add(reached, amount, &product->per_g);
    }
}

static void add_rows(gsl_rng *rng, invention *to)
{
    sw_content reached = {0};
    bool aimed = chance(rng, to->problem.objective == SW_CHEAPEST ? 0.9 : 0.5);
    if (aimed)
        reach(rng, to, &reached);
    double density = between(rng, 0.25, 1);
    for (int c = 0; c < SW_COMPONENT_COUNT; c++) {
        if (!(usual[c] > 0))
            continue;
        bool out_of_reach = aimed && reached.amount[c] < 0.05 * usual[c];
        if (out_of_reach && to->problem.objective == SW_CHEAPEST)
            continue;
        bool rare = c == SW_UREA_N || c == SW_F || c == SW_N || c == SW_SI;
        if (chance(rng, rare ? 0.15 : density))
            add_component(rng, to, (sw_component)c, aimed ? &reached : NULL);
    }
    if (chance(rng, 0.15))
        add_ratio(rng, to, SW_NH4_N, SW_N, aimed ? &reached : NULL);
    if (chance(rng, 0.15))
        add_ratio(rng, to, SW_K, SW_CA, aimed ? &reached : NULL);
    if (chance(rng, 0.1))
        add_ratio(rng, to, SW_K, SW_N, aimed ? &reached : NULL);
    if (chance(rng, 0.1))
        add_ratio(rng, to, SW_CA, SW_MG, aimed ? &reached : NULL);
    sw_target_row *last = add_row(to, SW_P); /* so that there is a target */
    last->target = size_of(rng, SW_P, aimed ? &reached : NULL);
}

/* From 0 to 1, the same for the same numbers. */
static double drawn(unsigned long seed, int water, int of)
{
    unsigned long long x = seed * 1000003ULL + (unsigned)(water * 97 + of);
    x = (x ^ (x >> 31)) * 0x9E3779B97F4A7C15ULL;
    x = (x ^ (x >> 27)) * 0xBF58476D1CE4E5B9ULL;
    return (double)((x ^ (x >> 33)) >> 11) / 9007199254740992.0;
}

/* Every other ratio is a target too, most of these with nothing else. */
static void aim_ratio(unsigned long seed, sw_target_row *row)
{
    int at = (int)row->line;
    double low = isnan(row->min) ? 0.7 * row->max : row->min;
    double high = isnan(row->max) ? 1.5 * row->min : row->max;
    if (row->kind != SW_TARGET_RATIO || drawn(seed, at, 401) < 0.5)
        return;
    row->target = low + drawn(seed, at, 402) * (high - low);
    row->min = drawn(seed, at, 403) < 0.7 ? NAN : low;
    row->max = drawn(seed, at, 404) < 0.7 ? NAN : high;
    row->weight = drawn(seed, at, 405) < 0.9;
    if (drawn(seed, at, 406) < 0.95)
        return;
    row->target = 0;
    row->min = NAN;
    row->max = high;
}

void invent(invention *to, unsigned long seed, sw_objective objective)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, seed);
    memset(to, 0, sizeof *to);
    to->target = (sw_target){.name = "t.csv", .rows = to->row};
    to->shelf = (sw_shelf){.name = "s.csv", .products = to->product};
    to->problem = (sw_problem){.target = &to->target,
                               .ratios_judged = true,
                               .shelf = &to->shelf,
                               .objective = objective,
                               .no_ceilings = true,
                               .conditions = {25, 4e-4, NULL, NULL}};
    bool priced = objective == SW_CHEAPEST || chance(rng, 0.7);
    size_t products = 2 + gsl_rng_uniform_int(rng, MOST_PRODUCTS - 2);
    while (to->shelf.count < products)
        add_product(rng, to, priced);
    add_waters(rng, to);
    add_rows(rng, to);
    for (size_t i = 0; i < to->target.count; i++)
        aim_ratio(seed, &to->row[i]);
    gsl_rng_free(rng);
}

void invent_ph(invention *in, unsigned long seed)
{
    sw_product *product = &in->product[0];
    sw_target_row *row = &in->row[in->target.count];
    product->per_g = (sw_content){{0}};
    if (sw_formula_content("HNO3", 1, &product->per_g, NULL, NULL) != SW_OK)
        abort();
    product->fixed_g_per_l = product->min_g_per_l = NAN;
    product->max_g_per_l = NAN;
    *row = (sw_target_row){.kind = SW_TARGET_PH,
                           .name = in->row_name[in->target.count],
                           .target = seed % 3 ? 5.8 : NAN,
                           .min = 5.5,
                           .max = 6.2,
                           .weight = 1,
                           .line = in->target.count + 2};
    snprintf(row->name, sizeof in->row_name[0], "pH");
    in->target.count++;
}

sw_content invent_water(const invention *in, unsigned long seed, int k)
{
    sw_content water = in->water[0];
    for (int c = 0; c < SW_CARRIED_COUNT; c++)
        water.amount[c] *= 0.5 + drawn(seed, k, c);
    water.amount[SW_ALKALINITY] = 4 * drawn(seed, k, SW_CARRIED_COUNT);
    water.amount[SW_CARBON] = 1.1 * water.amount[SW_ALKALINITY];
    return water;
}
