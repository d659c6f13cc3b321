/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Stocks in use, against sums of their own: what injectors bring together is
 * what the feed has of products, and rows apart are the recipe again. */
#include "formulate/kit.h"
#include "invented.h"
#include "stock/dosing.h"

typedef struct dosed {
    case_ c;
    sw_stock_setup setup;
    sw_solution *solution;
    sw_stock *stock;
    sw_mix mix;
} dosed;

static void plan(dosed *d)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    memset(d, 0, sizeof *d);
    draw_case(&d->c, rng);
    gsl_rng_free(rng);
    point_again(&d->c);
    d->setup = sw_stock_setup_default(200);
    d->setup.ratio[SW_TANK_B] = 128;
    ck_assert_int_eq(sw_stock_formulate(one_solver(), &d->c.problem, &d->setup,
                                        &d->solution, &d->stock, NULL),
                     SW_OK);
    ck_assert_int_eq(d->stock->outcome, SW_OPTIMAL);
    d->mix = (sw_mix){.water = &d->c.water,
                      .target = &d->c.target,
                      .shelf = &d->c.shelf,
                      .recipe = &d->solution->recipe,
                      .conditions = d->c.problem.conditions};
}

static void drop(dosed *d)
{
    sw_stock_free(d->stock);
    sw_solution_free(d->solution);
    sw_solution_free(d->c.solution);
}

#define START_DOSED_TEST(name) START_TEST_WITH(name, dosed, d, plan(d), drop(d))

START_DOSED_TEST(injectors_together_bring_what_the_feed_has)
{
    sw_content brought = d->c.water;
    for (int t = 0; t < SW_TANKS; t++) {
        sw_head head;
        bool used = d->stock->tanks[t].volume_l > 0;
        ck_assert_int_eq(sw_stock_head(&d->mix, d->stock, &d->setup, (sw_tank)t,
                                       &head, NULL),
                         used ? SW_OK : SW_ERR_VALUE);
        if (!used)
            continue;
        ck_assert_double_gt(head.alone.ec_ms_per_cm, 0);
        ck_assert_double_le(head.alone.ec_low_ms_per_cm,
                            head.alone.ec_ms_per_cm);
        ck_assert_double_ge(head.alone.ec_high_ms_per_cm,
                            head.alone.ec_ms_per_cm);
        ck_assert_double_eq(head.ratio, t == SW_TANK_B ? 128 : 100);
        sw_content_add(&brought, 1, &head.brings);
    }
    sw_head none;
    ck_assert_int_eq(
        sw_stock_head(&d->mix, d->stock, &d->setup, SW_TANKS, &none, NULL),
        SW_ERR_VALUE);
    for (int c = 0; c < SW_COMPONENT_COUNT; c++)
        ck_assert_double_eq_tol(brought.amount[c], d->stock->finished.amount[c],
                                1e-9 * (1 + brought.amount[c]));
}
END_TEST

/* A recipe is found before its tanks are. */
START_DOSED_TEST(without_tanks_there_is_no_recipe_either)
{
    sw_solution *solution = d->solution;
    sw_stock *stock = d->stock;
    sw_stock_setup setup = d->setup;
    setup.cold_c = NAN;
    ck_assert_int_eq(sw_stock_formulate(one_solver(), &d->c.problem, &setup,
                                        &solution, &stock, NULL),
                     SW_ERR_VALUE);
    ck_assert_ptr_null(solution);
    ck_assert_ptr_null(stock);
}
END_TEST

/* Make-up water comes in with the stock, the source water makes up the rest. */
START_DOSED_TEST(an_injector_of_make_up_alone_gives_a_blend)
{
    sw_content pure = {{0}};
    sw_stock none = *d->stock;
    sw_placement *empty = calloc(none.count, sizeof *empty);
    sw_head head;
    sw_chemistry expected;
    sw_content blend = {{0}};
    none.placements = empty;
    d->setup.make_up = &pure;
    sw_content_add(&blend, 0.99, &d->c.water);
    ck_assert_int_eq(
        sw_stock_head(&d->mix, &none, &d->setup, SW_TANK_A, &head, NULL),
        SW_OK);
    ck_assert_int_eq(sw_equilibrate(&blend, &d->mix.conditions,
                                    SW_CARBONATE_KEPT, &expected, NULL),
                     SW_OK);
    ck_assert_double_eq_tol(head.alone.ec_ms_per_cm, expected.ec_ms_per_cm,
                            1e-9);
    ck_assert_double_eq_tol(head.alone.ph, expected.ph, 1e-9);
    free(empty);
}
END_TEST

START_DOSED_TEST(batches_are_bought_in_whole_packs)
{
    size_t product = 0;
    double g = 0;
    while (!(d->mix.recipe->g_per_l[product] > 0))
        product++;
    for (int t = 0; t < SW_TANKS; t++)
        g += 3 * d->stock->placements[product].g[t];
    d->c.product[product].price_per_kg = 2;
    d->c.product[product].pack_g = NAN;
    sw_purchase loose = sw_stock_purchase(d->stock, &d->c.shelf, product, 3);
    ck_assert_double_eq_tol(loose.g, g, 1e-9 * g);
    ck_assert(isnan(loose.packs));
    ck_assert_double_eq_tol(loose.cost, g / 500, 1e-9 * g);
    d->c.product[product].pack_g = g / 2.5;
    sw_purchase packed = sw_stock_purchase(d->stock, &d->c.shelf, product, 3);
    ck_assert_double_eq(packed.packs, 3);
    ck_assert_double_eq_tol(packed.cost, 3 * (g / 2.5) / 500, 1e-9 * g);
    d->c.product[product].pack_g = g / 2; /* just enough is not one too few */
    ck_assert_double_eq(
        sw_stock_purchase(d->stock, &d->c.shelf, product, 3).packs, 2);
}
END_TEST

START_DOSED_TEST(rows_apart_are_the_recipe_again)
{
    sw_apart *apart;
    ck_assert_int_eq(sw_stock_apart(&d->mix, d->stock, &apart, NULL), SW_OK);
    ck_assert_ptr_eq(apart->mix.recipe, &apart->recipe);
    for (size_t j = 0; j < d->mix.recipe->count; j++) {
        double sum = 0;
        for (size_t i = 0; i < apart->recipe.count; i++)
            if (apart->product[i] == j) {
                sum += apart->recipe.g_per_l[i];
                ck_assert_double_gt(d->stock->placements[j].g[apart->head[i]],
                                    0);
                ck_assert_str_eq(apart->shelf.products[i].name,
                                 d->c.product[j].name);
            }
        ck_assert_double_eq_tol(sum, d->mix.recipe->g_per_l[j], 1e-12);
    }
    sw_apart_free(apart);
    sw_apart_free(NULL);
}
END_TEST

START_TEST(tanks_are_taken_up_to_their_bounds)
{
    static const struct {
        double factor, temperature_c, cold_c;
        sw_status status;
    } cases[] = {
        {4, 0, 0, SW_OK},
        {2000, 50, 50, SW_OK},
        {3.9, 20, 5, SW_ERR_VALUE},
        {2001, 20, 5, SW_ERR_VALUE},
        {100, -0.1, 5, SW_ERR_VALUE},
        {100, 50.1, 5, SW_ERR_VALUE},
        {100, 20, -0.1, SW_ERR_VALUE},
        {100, 20, 50.1, SW_ERR_VALUE},
        {100, NAN, 5, SW_ERR_VALUE},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_stock_setup setup = sw_stock_setup_default(100);
        setup.factor = cases[i].factor;
        setup.temperature_c = cases[i].temperature_c;
        setup.cold_c = cases[i].cold_c;
        ck_assert_int_eq(sw_dose_check(&setup, NULL), cases[i].status);
    }
}
END_TEST

/* Without the dibasic phosphate, which makes struvite of the magnesium, the
 * monobasic one comes as near to every target, and mixes. */
START_KIT_TEST(what_clashes_and_is_not_needed_may_leave_the_shelf,
               kit_open(kit))
{
    static const char *const formulas[] = {
        "Ca(NO3)2.4H2O", "KNO3", "MgSO4.7H2O", "(NH4)2HPO4", "KH2PO4"};
    sw_stock_setup setup = sw_stock_setup_default(200);
    sw_solution *solution;
    sw_stock *stock;
    size_t off = 0;
    for (size_t j = 0; j < 5; j++)
        kit_salt(kit, formulas[j])->price_per_kg = j == 4 ? 50 : 1;
    kit_target(kit, SW_P, 40);
    kit_target(kit, SW_K, 200);
    kit_target(kit, SW_CA, 150);
    kit_target(kit, SW_MG, 40);
    setup.factor = 100;
    kit->problem.objective = SW_CHEAPEST;
    ck_assert_int_eq(sw_stock_formulate(kit->solver, &kit->problem, &setup,
                                        &solution, &stock, &kit->error),
                     SW_OK);
    ck_assert_int_eq(stock->outcome, SW_CONFLICT);
    for (size_t i = 0; i < stock->remedy_count; i++)
        if (stock->remedies[i].kind == SW_REMEDY_SHELF) {
            ck_assert_uint_eq(stock->remedies[i].product, 3);
            ck_assert_ptr_nonnull(
                strstr(stock->remedies[i].text, "(NH4)2HPO4 off the shelf"));
            off++;
        }
    ck_assert_uint_eq(off, 1);
    sw_stock_free(stock);
    sw_solution_free(solution);
    kit->product[3].max_g_per_l = 0;
    ck_assert_int_eq(sw_stock_formulate(kit->solver, &kit->problem, &setup,
                                        &solution, &stock, &kit->error),
                     SW_OK);
    ck_assert_int_ne(stock->outcome, SW_CONFLICT);
    sw_stock_free(stock);
    sw_solution_free(solution);
}
END_TEST
