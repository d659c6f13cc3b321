/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Invented recipes of 16 to 18 products, as random as the generator. */
#ifndef SW_TESTS_STOCK_INVENTED_H
#define SW_TESTS_STOCK_INVENTED_H

#include "recipes.h"

#include <gsl/gsl_rng.h>

/* Macros with several sources of a nutrient, and micros: 18 products. */
static const char *const shelf_of_18[] = {
    "label: NO3-N 14.4; NH4-N 1.1; Ca 19",
    "KNO3",
    "KH2PO4",
    "K2SO4",
    "MgSO4.7H2O",
    "Mg(NO3)2.6H2O",
    "NH4NO3",
    "NH4H2PO4",
    "KCl",
    "CaCl2.2H2O",
    "(NH4)2SO4",
    "label: Fe-DTPA 11",
    "MnSO4.H2O",
    "ZnSO4.7H2O",
    "CuSO4.5H2O",
    "H3BO3",
    "Na2MoO4.2H2O",
    "label: Mn-EDTA 13",
};
enum { SHELF_COUNT = 18, ROWS = 13 };

/* It points into itself: copy it with point_again. */
typedef struct case_ {
    sw_product product[SHELF_COUNT];
    sw_shelf shelf;
    sw_target_row row[ROWS];
    sw_target target;
    sw_content water;
    double fraction;
    sw_problem problem;
    sw_solution *solution;
} case_;

static inline void set_row(case_ *c, sw_component component, double target)
{
    c->row[c->target.count++] =
        (sw_target_row){.kind = SW_TARGET_COMPONENT,
                        .component = component,
                        .name = (char *)(uintptr_t)sw_component_name(component),
                        .target = target,
                        .min = NAN,
                        .max = NAN,
                        .weight = 1};
}

static inline void draw_targets(case_ *c, gsl_rng *rng)
{
    static const struct {
        sw_component component;
        double usual;
    } usual[ROWS] = {{SW_NO3_N, 180}, {SW_NH4_N, 12}, {SW_P, 40},
                     {SW_K, 250},     {SW_CA, 170},   {SW_MG, 45},
                     {SW_S, 60},      {SW_FE, 2.5},   {SW_MN, 0.6},
                     {SW_ZN, 0.3},    {SW_CU, 0.08},  {SW_B, 0.35},
                     {SW_MO, 0.05}};
    for (int i = 0; i < ROWS; i++)
        set_row(c, usual[i].component,
                usual[i].usual * (0.6 + 0.8 * gsl_rng_uniform(rng)));
}

static inline void lay_shelf(case_ *c, gsl_rng *rng)
{
    for (int i = 0; i < SHELF_COUNT; i++) {
        /* 16 to 18 products: some shelves lack one or two */
        if ((i == 8 || i == 17) && gsl_rng_uniform(rng) < 0.5)
            continue;
        sw_product *p = &c->product[c->shelf.count++];
        const char *text = shelf_of_18[i];
        *p = (sw_product){.name = (char *)(uintptr_t)text,
                          .density_g_per_ml = NAN,
                          .purity = 1,
                          .min_g_per_l = NAN,
                          .max_g_per_l = NAN,
                          .fixed_g_per_l = NAN,
                          .price_per_kg = NAN,
                          .pack_g = NAN};
        if (!strncmp(text, "label: ", 7))
            sw_label_compose(text + 7, &(sw_label_names){NULL, NULL}, p, NULL);
        else
            sw_formula_content(text, 1, &p->per_g, NULL, NULL);
    }
    c->shelf.products = c->product;
}

static inline void pose(case_ *c)
{
    c->problem = (sw_problem){.waters = &c->water,
                              .water_count = 1,
                              .fractions = &c->fraction,
                              .target = &c->target,
                              .shelf = &c->shelf,
                              .no_ceilings = true,
                              .conditions = sw_conditions_default()};
}

static inline void solve(case_ *c)
{
    sw_solver *solver;
    pose(c);
    ck_assert_int_eq(sw_solver_new(&solver, NULL), SW_OK);
    ck_assert_int_eq(sw_formulate(solver, &c->problem, &c->solution, NULL),
                     SW_OK);
    sw_solver_free(solver);
}

static inline void point_again(case_ *c)
{
    c->target.rows = c->row;
    c->shelf.products = c->product;
    c->problem.waters = &c->water;
    c->problem.fractions = &c->fraction;
    c->problem.target = &c->target;
    c->problem.shelf = &c->shelf;
}

/* All but the solution. */
static inline void draw_problem(case_ *c, gsl_rng *rng)
{
    memset(c, 0, sizeof *c);
    c->fraction = 1;
    c->target.rows = c->row;
    c->target.name = (char *)(uintptr_t) "random";
    draw_targets(c, rng);
    lay_shelf(c, rng);
    c->water.amount[SW_CA] = 60 * gsl_rng_uniform(rng);
    c->water.amount[SW_MG] = 20 * gsl_rng_uniform(rng);
    c->water.amount[SW_S] = 20 * gsl_rng_uniform(rng);
    pose(c);
}

static inline void draw_case(case_ *c, gsl_rng *rng)
{
    draw_problem(c, rng);
    solve(c);
    ck_assert_int_eq(c->solution->outcome, SW_OPTIMAL);
}

#endif
