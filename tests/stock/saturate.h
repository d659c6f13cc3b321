/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where a salt saturates, by halving; for tests of solubility. */
#ifndef SW_TESTS_STOCK_SATURATE_H
#define SW_TESTS_STOCK_SATURATE_H

#include "suite.h"

#include "quantity/formula.h"
#include "stock/mixture.h"

#include <math.h>
#include <string.h>

/* Loaded once, in main. */
static sw_pitzer pitzer;

static inline sw_content salt_g(const char *formula, double g_per_l)
{
    sw_content per_g, out = {{0}};
    ck_assert_int_eq(sw_formula_content(formula, 1, &per_g, NULL, NULL), SW_OK);
    sw_content_add(&out, g_per_l, &per_g);
    return out;
}

static inline const sw_solubility *solubility_at(double c)
{
    static sw_solubility s = {.medium.temperature_c = -1};
    if (s.medium.temperature_c != c)
        sw_solubility_at(&pitzer, c, &s);
    return &s;
}

static inline sw_brine brine_of(const sw_content *per_l, double c)
{
    sw_brine brine;
    sw_brine_make(&solubility_at(c)->medium, per_l, &brine);
    return brine;
}

static inline size_t solid_called(const char *name)
{
    size_t i = 0;
    while (strcmp(sw_stock_solid_name(i), name) != 0)
        i++;
    return i;
}

/* By the model alone: as if every pair of ions had its parameters. */
static inline double degree_as(const sw_content *per_l, double c,
                               const char *solid, bool model_alone)
{
    sw_brine brine = brine_of(per_l, c);
    if (brine.water_kg_per_l <= 0)
        return INFINITY;
    brine.incomplete = brine.incomplete && !model_alone;
    return sw_solubility_degree(solubility_at(c), &brine, solid_called(solid));
}

static inline double degree(const sw_content *per_l, double c,
                            const char *solid)
{
    return degree_as(per_l, c, solid, false);
}

/* g/L of `formula` at which `solid` saturates beside `background`. */
static inline double saturates_as(const sw_content *background,
                                  const char *formula, double c,
                                  const char *solid, bool model_alone)
{
    double low = 0, high = 1500;
    for (int i = 0; i < 50; i++) {
        double g = (low + high) / 2;
        sw_content per_l = *background, more = salt_g(formula, g);
        sw_content_add(&per_l, 1, &more);
        bool room = degree_as(&per_l, c, solid, model_alone) < 1;
        *(room ? &low : &high) = g;
    }
    return low;
}

static inline double saturates_at(const sw_content *background,
                                  const char *formula, double c,
                                  const char *solid)
{
    return saturates_as(background, formula, c, solid, false);
}

/* g of `formula` per 100 g of water where it saturates alone. */
static inline double saturates_alone(const char *formula, double c,
                                     const char *solid)
{
    sw_content none = {{0}};
    double g = saturates_at(&none, formula, c, solid);
    sw_content per_l = salt_g(formula, g);
    return g / (10 * brine_of(&per_l, c).water_kg_per_l);
}

#endif
