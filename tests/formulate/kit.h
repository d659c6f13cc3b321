/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Small problems written in a line each. */
#ifndef SW_TESTS_FORMULATE_KIT_H
#define SW_TESTS_FORMULATE_KIT_H

#include "quantity/formula.h"
#include "suite.h"
#include "tolerances.h"

#include "saltwright.h"

#include <math.h>
#include <string.h>

enum { KIT_ROOM = 32 };

typedef struct sw_kit {
    sw_content water[4];
    sw_target_row row[KIT_ROOM];
    sw_product product[KIT_ROOM];
    sw_target target;
    sw_shelf shelf;
    sw_problem problem;
    sw_solver *solver;
    sw_solution *solution;
    sw_error error;
} sw_kit;

/* One pure water, nothing else. */
static inline void kit_open(sw_kit *kit)
{
    memset(kit, 0, sizeof *kit);
    kit->target = (sw_target){.name = "target.csv", .rows = kit->row};
    kit->shelf = (sw_shelf){.name = "shelf.csv", .products = kit->product};
    kit->problem = (sw_problem){.waters = kit->water,
                                .water_count = 1,
                                .target = &kit->target,
                                .shelf = &kit->shelf,
                                .conditions = {25, 4e-4, NULL, NULL}};
    ck_assert_int_eq(sw_solver_new(&kit->solver, NULL), SW_OK);
}

static inline void kit_close(sw_kit *kit)
{
    sw_solution_free(kit->solution);
    sw_solver_free(kit->solver);
}

static inline sw_target_row *kit_row(sw_kit *kit, sw_component component,
                                     double target, double min, double max)
{
    sw_target_row *row = &kit->row[kit->target.count++];
    *row = (sw_target_row){.kind = SW_TARGET_COMPONENT,
                           .component = component,
                           .name = (char *)sw_component_name(component),
                           .target = target,
                           .min = min,
                           .max = max,
                           .weight = 1,
                           .line = kit->target.count + 1};
    return row;
}

static inline sw_target_row *kit_target(sw_kit *kit, sw_component component,
                                        double target)
{
    return kit_row(kit, component, target, NAN, NAN);
}

static inline sw_target_row *kit_ph_row(sw_kit *kit, double target, double min,
                                        double max)
{
    sw_target_row *row = kit_row(kit, SW_K, target, min, max);
    row->kind = SW_TARGET_PH;
    row->name = "pH";
    return row;
}

static inline sw_target_row *kit_ratio(sw_kit *kit, sw_component part,
                                       sw_component whole, double min,
                                       double max)
{
    sw_target_row *row = kit_row(kit, part, NAN, min, max);
    row->kind = SW_TARGET_RATIO;
    row->other = whole;
    row->name = "ratio";
    return row;
}

/* A product that carries `mg_per_g` of one component. */
static inline sw_product *kit_product(sw_kit *kit, const char *name,
                                      sw_component component, double mg_per_g)
{
    sw_product *product = &kit->product[kit->shelf.count++];
    *product = (sw_product){.name = (char *)name,
                            .purity = 1,
                            .density_g_per_ml = NAN,
                            .min_g_per_l = NAN,
                            .max_g_per_l = NAN,
                            .fixed_g_per_l = NAN,
                            .price_per_kg = NAN,
                            .pack_g = NAN,
                            .line = kit->shelf.count + 1};
    product->per_g.amount[component] = mg_per_g;
    return product;
}

/* 100 mg/L each of K and nitrate of one product, twice as much K in a gram. */
static inline void kit_both(sw_kit *kit, double weight)
{
    kit_target(kit, SW_K, 100);
    kit_target(kit, SW_NO3_N, 100)->weight = weight;
    kit_product(kit, "both", SW_K, 100)->per_g.amount[SW_NO3_N] = 50;
}

/* A pure salt. */
static inline sw_product *kit_salt(sw_kit *kit, const char *formula)
{
    sw_product *product = kit_product(kit, formula, SW_K, 0);
    ck_assert_int_eq(
        sw_formula_content(formula, 1, &product->per_g, NULL, NULL), SW_OK);
    return product;
}

static inline sw_status kit_solve(sw_kit *kit)
{
    sw_solution_free(kit->solution);
    return sw_formulate(kit->solver, &kit->problem, &kit->solution,
                        &kit->error);
}

/* Solves to a proved optimum. */
static inline void kit_optimum(sw_kit *kit)
{
    ck_assert_msg(kit_solve(kit) == SW_OK, "%s", kit->error.message);
    ck_assert_int_eq(kit->solution->outcome, SW_OPTIMAL);
    const sw_certificate *proof = &kit->solution->certificate;
    ck_assert_double_ge(proof->gap, 0);
    ck_assert_double_le(proof->gap, TOL_PROOF_GAP * (1 + proof->objective));
    ck_assert_double_le(proof->kkt_residual, TOL_KKT);
}

static inline double kit_amount(const sw_kit *kit, size_t product)
{
    return kit->solution->recipe.g_per_l[product];
}

static inline sw_content kit_finished(const sw_kit *kit)
{
    sw_content finished = kit->solution->water;
    for (size_t j = 0; j < kit->shelf.count; j++)
        sw_content_add(&finished, kit_amount(kit, j), &kit->product[j].per_g);
    return finished;
}

/* A test of a kit: START_KIT_TEST(name, kit_open(kit)). */
#define START_KIT_TEST(name, set_up)                                           \
    START_TEST_WITH(name, sw_kit, kit, set_up, kit_close(kit))

/* What a note of its solution says; NULL: there is none of that code. */
static inline const char *kit_note(const sw_kit *kit, const char *code)
{
    const sw_note *found = sw_notes_find(&kit->solution->notes, code);
    return found ? found->text : NULL;
}

/* Of its recipe as mixed, by the full speciation. */
static inline double kit_ph(const sw_kit *kit)
{
    sw_content finished = kit_finished(kit);
    sw_chemistry chemistry;
    ck_assert_int_eq(sw_equilibrate(&finished, &kit->problem.conditions,
                                    SW_CARBONATE_KEPT, &chemistry, NULL),
                     SW_OK);
    return chemistry.ph;
}

#endif
