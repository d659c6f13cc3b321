/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Published recipes as shelves of pure salts, for tests of stocks. */
#ifndef SW_TESTS_STOCK_RECIPES_H
#define SW_TESTS_STOCK_RECIPES_H

#include "suite.h"

#include "quantity/formula.h"
#include "records/label_charge.h"
#include "saltwright.h"
#include "solver.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

enum { RECIPE_ROWS = 16 };

typedef struct recipe_row {
    const char *formula; /* or "label: ..." */
    double mg_per_l;
    double purity; /* 0: 1 */
} recipe_row;

typedef struct published_recipe {
    const char *name;
    const char *source;
    recipe_row row[RECIPE_ROWS];
} published_recipe;

static const published_recipe published[] = {
    {"Hoagland 1",
     "Hoagland & Arnon 1950, Calif. Agric. Exp. Stn. Circular 347",
     {{"KH2PO4", 136.08, 0},
      {"KNO3", 505.5, 0},
      {"Ca(NO3)2.4H2O", 1180.7, 0},
      {"MgSO4.7H2O", 492.9, 0},
      {"H3BO3", 2.86, 0},
      {"MnCl2.4H2O", 1.81, 0},
      {"ZnSO4.7H2O", 0.22, 0},
      {"CuSO4.5H2O", 0.08, 0},
      {"label: Fe-DTPA 11", 22, 0}}},
    {"Epstein",
     "Epstein & Bloom 2005, modified Hoagland; value from memory",
     {{"KNO3", 606.6, 0},
      {"Ca(NO3)2.4H2O", 944.6, 0},
      {"NH4H2PO4", 230.05, 0},
      {"MgSO4.7H2O", 246.5, 0},
      {"KCl", 3.73, 0},
      {"H3BO3", 1.55, 0}}},
    {"cucumber",
     "Sonneveld & Straver 1994, salts derived from it",
     {{"KH2PO4", 170.1, 0},
      {"Ca(NO3)2.4H2O", 944.6, 0},
      {"MgSO4.7H2O", 338.9, 0},
      {"NH4NO3", 100.1, 0},
      {"KNO3", 682.4, 0},
      {"label: Fe-EDTA 13", 6.4, 0}}},
    {"Steiner",
     "Steiner 1961, salts derived from it",
     {{"KH2PO4", 136.08, 0},
      {"Ca(NO3)2.4H2O", 1062.7, 0},
      {"MgSO4.7H2O", 492.9, 0},
      {"KNO3", 303.3, 0},
      {"K2SO4", 261.4, 0}}},
    {"Long Ashton",
     "Hewitt 1966; value from memory",
     {{"KNO3", 404, 0},
      {"Ca(NO3)2", 656, 0},
      {"MgSO4.7H2O", 368, 0},
      {"NaH2PO4.2H2O", 208, 0},
      {"MnSO4.4H2O", 2.23, 0},
      {"CuSO4.5H2O", 0.24, 0},
      {"ZnSO4.7H2O", 0.29, 0},
      {"H3BO3", 3.1, 0},
      {"Na2MoO4.2H2O", 0.12, 0},
      {"NaCl", 5.85, 0}}},
    {"sweet pepper, acid in place of some nitrate",
     "Sonneveld & Straver 1994, salts derived from it, with 2 meq/L HNO3",
     {{"KH2PO4", 170.1, 0},
      {"Ca(NO3)2.4H2O", 1180.7, 0},
      {"MgSO4.7H2O", 369.7, 0},
      {"K2SO4", 43.6, 0},
      {"KNO3", 303.3, 0},
      {"NH4NO3", 40.0, 0},
      {"HNO3", 331.6, 0.38},
      {"label: Fe-DTPA 6", 14, 0},
      {"label: Mn-EDTA 13", 4, 0}}},
};
enum { PUBLISHED_COUNT = sizeof published / sizeof *published };

typedef struct stocked {
    sw_product product[RECIPE_ROWS];
    double g_per_l[RECIPE_ROWS];
    sw_shelf shelf;
    sw_recipe recipe;
    sw_content water;
    sw_mix mix;
} stocked;

static inline void lay_in(stocked *s, const char *text, double purity)
{
    sw_product *p = &s->product[s->shelf.count++];
    *p = (sw_product){.density_g_per_ml = NAN,
                      .purity = purity > 0 ? purity : 1,
                      .min_g_per_l = NAN,
                      .max_g_per_l = NAN,
                      .fixed_g_per_l = NAN,
                      .price_per_kg = NAN,
                      .pack_g = NAN};
    p->name = (char *)(uintptr_t)text;
    if (!strncmp(text, "label: ", 7))
        ck_assert_int_eq(
            sw_label_compose(text + 7, &(sw_label_names){NULL, NULL}, p, NULL),
            SW_OK);
    else {
        p->formula = p->name;
        ck_assert_int_eq(
            sw_formula_content(text, p->purity, &p->per_g, NULL, NULL), SW_OK);
    }
}

/* A recipe in pure water; `s` must stay where it is. */
static inline void stock_up(stocked *s, const published_recipe *recipe)
{
    memset(s, 0, sizeof *s);
    for (int i = 0; i < RECIPE_ROWS && recipe->row[i].formula; i++) {
        s->g_per_l[i] = recipe->row[i].mg_per_l / 1000;
        lay_in(s, recipe->row[i].formula, recipe->row[i].purity);
    }
    s->shelf.products = s->product;
    s->recipe = (sw_recipe){.g_per_l = s->g_per_l, .count = s->shelf.count};
    s->mix =
        (sw_mix){.water = &s->water, .shelf = &s->shelf, .recipe = &s->recipe};
}

/* Tanks of so many litres for it. */
static inline sw_stock *plan_tanks(const stocked *s, double volume_l,
                                   double factor, bool third_tank)
{
    sw_stock_setup setup = sw_stock_setup_default(volume_l);
    sw_stock *stock;
    setup.factor = factor;
    setup.third_tank = third_tank;
    ck_assert_int_eq(sw_stock_plan(one_solver(), &s->mix, &setup, &stock, NULL),
                     SW_OK);
    return stock;
}

/* A test of a published recipe, laid in. */
#define START_STOCKED_TEST(name, recipe)                                       \
    START_TEST_WITH(name, stocked, s, stock_up(s, recipe), (void)0)

#endif
