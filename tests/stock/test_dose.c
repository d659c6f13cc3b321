/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

#include "recipes.h"
#include "stock/dosing.h"
#include "tolerances.h"

#include <gsl/gsl_rng.h>

/* ---- 10,000 random recipes, tanks, ratios and waters ---- */

static void draw_recipe(gsl_rng *rng, stocked *s)
{
    stock_up(s, &published[gsl_rng_uniform_int(rng, PUBLISHED_COUNT)]);
    for (size_t j = 0; j < s->shelf.count; j++) {
        s->g_per_l[j] *= 2 * gsl_rng_uniform(rng);
        if (gsl_rng_uniform(rng) < 0.2)
            s->g_per_l[j] = 0;
    }
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        s->water.amount[i] = 50 * gsl_rng_uniform(rng);
}

static sw_stock_setup draw_setup(gsl_rng *rng, const sw_content *other)
{
    sw_stock_setup setup =
        sw_stock_setup_default(10 + 990 * gsl_rng_uniform(rng));
    setup.factor = 50 + 200 * gsl_rng_uniform(rng);
    for (int t = 0; t < SW_TANKS; t++)
        if (gsl_rng_uniform(rng) < 0.5)
            setup.ratio[t] = 50 + 200 * gsl_rng_uniform(rng);
    if (gsl_rng_uniform(rng) < 0.5)
        setup.make_up = other;
    return setup;
}

/* Any split over tanks, also senseless ones: mass does not mind. */
static void draw_tanks(gsl_rng *rng, const stocked *s,
                       const sw_stock_setup *setup, sw_placement *placed)
{
    for (size_t j = 0; j < s->shelf.count; j++) {
        double left = s->g_per_l[j];
        for (int t = 0; t < SW_TANKS; t++) {
            double ratio =
                setup->ratio[t] > 0 ? setup->ratio[t] : setup->factor;
            double part =
                t == SW_TANKS - 1 ? left : left * gsl_rng_uniform(rng);
            placed[j].g[t] = part * ratio * setup->volume_l;
            left -= part;
        }
    }
}

/* recipe + (1 - stocks) water + stocks of what they were made up with. */
static void expect(const stocked *s, const sw_stock_setup *setup,
                   const sw_stock *stock, sw_content *out)
{
    double stocks = 0;
    for (int t = 0; t < SW_TANKS; t++)
        if (stock->tanks[t].volume_l > 0)
            stocks +=
                1 / (setup->ratio[t] > 0 ? setup->ratio[t] : setup->factor);
    *out = (sw_content){{0}};
    sw_content_add(out, 1 - stocks, &s->water);
    sw_content_add(out, stocks, setup->make_up ? setup->make_up : &s->water);
    for (size_t j = 0; j < s->shelf.count; j++)
        sw_content_add(out, s->g_per_l[j], &s->product[j].per_g);
}

START_TEST(weights_through_tanks_and_injectors_come_back_as_the_recipe)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    sw_content other = {{0}};
    for (int n = 0; n < 10000; n++) {
        stocked s;
        sw_placement placed[RECIPE_ROWS] = {{.reason = ""}};
        sw_stock *stock;
        sw_content expected;
        draw_recipe(rng, &s);
        other.amount[SW_NA] = 10 * gsl_rng_uniform(rng);
        sw_stock_setup setup = draw_setup(rng, &other);
        draw_tanks(rng, &s, &setup, placed);
        stock = &(sw_stock){.placements = placed, .count = s.shelf.count};
        sw_dose_tanks(&setup, stock);
        sw_dose_finish(&s.mix, &setup, stock);
        expect(&s, &setup, stock, &expected);
        for (int i = 0; i < SW_CARRIED_COUNT; i++)
            ck_assert_double_le(
                fabs(stock->finished.amount[i] - expected.amount[i]),
                TOL_STOCK_MASS * (1 + fabs(expected.amount[i])));
    }
    gsl_rng_free(rng);
}
END_TEST

/* ---- The plan's own figures ---- */

START_TEST(a_planned_stock_delivers_its_recipe)
{
    for (int i = 0; i < PUBLISHED_COUNT; i++) {
        stocked s;
        sw_stock *stock;
        sw_content expected;
        stock_up(&s, &published[i]);
        s.water.amount[SW_CA] = 40;
        sw_stock_setup setup = sw_stock_setup_default(200);
        setup.ratio[SW_TANK_B] = 128;
        ck_assert_int_eq(
            sw_stock_plan(one_solver(), &s.mix, &setup, &stock, NULL), SW_OK);
        ck_assert_msg(stock->outcome == SW_OPTIMAL, "%s: %s", published[i].name,
                      stock->limit);
        expect(&s, &setup, stock, &expected);
        for (int k = 0; k < SW_CARRIED_COUNT; k++)
            ck_assert_double_eq_tol(
                stock->finished.amount[k], expected.amount[k],
                TOL_STOCK_MASS * (1 + fabs(expected.amount[k])));
        sw_stock_free(stock);
    }
}
END_TEST

/* How saturated a tank is at `c`; NaN where nothing tells. */
static double saturation_at(const stocked *s, sw_stock_setup setup, double c,
                            int tank)
{
    sw_stock *stock;
    setup.cold_c = c;
    ck_assert_int_eq(sw_stock_plan(one_solver(), &s->mix, &setup, &stock, NULL),
                     SW_OK);
    double saturation = stock->tanks[tank].saturation_cold;
    sw_stock_free(stock);
    return saturation;
}

START_TEST(all_stays_dissolved_down_to_the_coldest_temperature_and_no_further)
{
    int compared = 0;
    for (int factor = 150; factor <= 210; factor += 20) {
        stocked s;
        sw_stock *stock;
        stock_up(&s, &published[3]);
        sw_stock_setup setup = sw_stock_setup_default(200);
        setup.factor = factor;
        setup.cold_c = 20;
        ck_assert_int_eq(
            sw_stock_plan(one_solver(), &s.mix, &setup, &stock, NULL), SW_OK);
        for (int t = 0; t < 2; t++) {
            double c = stock->tanks[t].coldest_c;
            if (!(c > 1 && c < 19))
                continue;
            compared++;
            ck_assert_double_gt(saturation_at(&s, setup, c - 0.5, t), 1);
            ck_assert_double_lt(saturation_at(&s, setup, c + 0.5, t), 1);
        }
        sw_stock_free(stock);
    }
    ck_assert_int_gt(compared, 1);
}
END_TEST

START_STOCKED_TEST(a_tank_holds_rate_times_factor_times_volume, &published[0])
{
    sw_stock *stock;
    sw_stock_setup setup = sw_stock_setup_default(100);
    ck_assert_int_eq(sw_stock_plan(one_solver(), &s->mix, &setup, &stock, NULL),
                     SW_OK);
    /* 1.1807 g/L x 100 x 100 L */
    ck_assert_double_eq_tol(stock->placements[2].g[SW_TANK_A], 11807, 1e-6);
    ck_assert_double_eq(stock->feed_l, 10000);
    ck_assert_double_eq(stock->water_share, 1);
    ck_assert(isnan(stock->cost_per_m3));
    sw_stock_free(stock);
}
END_TEST

START_STOCKED_TEST(two_heads_of_purified_water_leave_98_parts_of_source,
                   &published[3])
{
    sw_stock *stock;
    sw_content purified = {{0}};
    s->water.amount[SW_NA] = 100;
    sw_stock_setup setup = sw_stock_setup_default(100);
    setup.make_up = &purified;
    ck_assert_int_eq(sw_stock_plan(one_solver(), &s->mix, &setup, &stock, NULL),
                     SW_OK);
    ck_assert_double_eq_tol(stock->water_share, 0.98, 1e-12);
    ck_assert_double_eq_tol(stock->finished.amount[SW_NA], 98, 1e-9);
    sw_stock_free(stock);
}
END_TEST

START_STOCKED_TEST(costs_follow_the_prices, &published[3])
{
    sw_stock *stock;
    double per_m3 = 0;
    for (size_t j = 0; j < s->shelf.count; j++) {
        s->product[j].price_per_kg = 1.5;
        per_m3 += s->g_per_l[j] * 1.5;
    }
    sw_stock_setup setup = sw_stock_setup_default(100);
    ck_assert_int_eq(sw_stock_plan(one_solver(), &s->mix, &setup, &stock, NULL),
                     SW_OK);
    ck_assert_double_eq_tol(stock->cost_per_m3, per_m3, 1e-9);
    ck_assert_double_eq_tol(stock->cost_per_fill, per_m3 * 10, 1e-8);
    sw_dose_finish(&s->mix, &setup, stock); /* once more adds nothing */
    ck_assert_double_eq_tol(stock->cost_per_m3, per_m3, 1e-9);
    ck_assert_double_eq_tol(stock->cost_per_fill, per_m3 * 10, 1e-8);
    sw_stock_free(stock);
}
END_TEST

static void expect_refusal(const sw_stock_setup *setup)
{
    stocked s;
    sw_stock *stock;
    sw_error error;
    stock_up(&s, &published[3]);
    ck_assert_int_eq(sw_stock_plan(one_solver(), &s.mix, setup, &stock, &error),
                     SW_ERR_VALUE);
    ck_assert_ptr_null(stock);
    ck_assert_str_ne(error.message, "");
}

START_STOCKED_TEST(a_setup_out_of_its_domain_is_refused, &published[3])
{
    sw_stock_setup setup = sw_stock_setup_default(0);
    expect_refusal(&setup);
    setup = sw_stock_setup_default(100);
    setup.factor = 1;
    expect_refusal(&setup);
    setup = sw_stock_setup_default(100);
    setup.temperature_c = 60;
    expect_refusal(&setup);
    setup = sw_stock_setup_default(100);
    setup.cold_c = NAN;
    expect_refusal(&setup);
    sw_stock *stock;
    s->recipe.count--;
    setup = sw_stock_setup_default(100);
    ck_assert_int_eq(sw_stock_plan(one_solver(), &s->mix, &setup, &stock, NULL),
                     SW_ERR_VALUE);
}
END_TEST

/* ---- Tanks as really mixed ---- */

START_STOCKED_TEST(a_check_says_what_the_tanks_deliver_and_what_must_not_meet,
                   &published[3])
{
    sw_stock *stock;
    sw_placement mixed[RECIPE_ROWS] = {{.reason = ""}};
    sw_stock_setup setup = sw_stock_setup_default(100);
    for (size_t j = 0; j < s->shelf.count; j++)
        mixed[j].g[SW_TANK_A] = s->g_per_l[j] * 100 * 100;
    ck_assert_int_eq(
        sw_stock_check(one_solver(), &s->mix, &setup, mixed, &stock, NULL),
        SW_OK);
    ck_assert_double_eq_tol(stock->finished.amount[SW_CA], 180.4, 0.2);
    bool solid = sw_notes_find(&stock->notes, "stock-saturated");
    ck_assert(sw_notes_find(&stock->notes, "stock-incompatible"));
    ck_assert(solid);
    ck_assert_double_gt(stock->tanks[SW_TANK_A].saturation, 1);
    ck_assert_int_eq(stock->outcome, SW_CONFLICT);
    ck_assert_ptr_nonnull(strstr(stock->limit, "Tank A"));
    sw_stock_free(stock);
}
END_TEST

/*
 * Hochmuth & Hochmuth, Univ. Florida IFAS HS796, stage 1: 30-gallon stocks,
 * 1:100 injectors.  Tables are values from memory.
 */
START_TEST(the_florida_tanks_deliver_what_their_table_says)
{
    static const struct {
        const char *formula;
        double purity, g;
        sw_tank tank;
    } tank[] = {
        {"H3PO4", 0.75, 3.3 * 473.176 * 1.58, SW_TANK_A},
        {"label: K2O 62; Cl 46.8", 1, 6 * 453.592, SW_TANK_A},
        {"MgSO4.7H2O", 1, 10 * 453.592, SW_TANK_A},
        {"label: Cu 25.45; S 12.84", 1, 10, SW_TANK_A},
        {"label: Mn 28; S 16.3", 1, 35, SW_TANK_A},
        {"label: Zn 36; S 17.7", 1, 10, SW_TANK_A},
        {"label: B 20.5", 1, 40, SW_TANK_A},
        {"label: NO3-N 14.4; NH4-N 1.1; Ca 19", 1, 11.5 * 453.592, SW_TANK_B},
        {"label: Fe-DTPA 10", 1, 0.7 * 453.592, SW_TANK_B},
    };
    static const struct {
        sw_component component;
        double ppm, tolerance;
    } table[] = {{SW_N, 70, 0.04},   {SW_P, 50, 0.04},   {SW_K, 120, 0.04},
                 {SW_MG, 40, 0.04},  {SW_S, 50, 0.06},   {SW_FE, 2.8, 0.04},
                 {SW_CU, 0.2, 0.15}, {SW_MN, 0.8, 0.10}, {SW_ZN, 0.3, 0.10},
                 {SW_B, 0.7, 0.04}};
    stocked s = {0};
    sw_stock *stock;
    sw_placement mixed[RECIPE_ROWS] = {{.reason = ""}};
    for (int i = 0; i < 9; i++) {
        lay_in(&s, tank[i].formula, tank[i].purity);
        mixed[i].g[tank[i].tank] = tank[i].g;
    }
    s.shelf.products = s.product;
    s.recipe = (sw_recipe){.g_per_l = s.g_per_l, .count = s.shelf.count};
    s.mix = (sw_mix){.water = &s.water, .shelf = &s.shelf, .recipe = &s.recipe};
    sw_stock_setup setup = sw_stock_setup_default(30 * 3.785412);
    ck_assert_int_eq(
        sw_stock_check(one_solver(), &s.mix, &setup, mixed, &stock, NULL),
        SW_OK);
    for (int i = 0; i < 10; i++)
        ck_assert_msg(
            fabs(stock->finished.amount[table[i].component] / table[i].ppm -
                 1) < table[i].tolerance,
            "%s: %g, table %g", sw_component_name(table[i].component),
            stock->finished.amount[table[i].component], table[i].ppm);
    ck_assert_int_eq(stock->outcome, SW_OPTIMAL);
    ck_assert_double_eq_tol(stock->feed_l, 3000 * 3.785412, 0.01);
    sw_stock_free(stock);
}
END_TEST

START_TEST(a_tank_has_its_own_ratio_and_volume_or_those_of_all)
{
    sw_stock_setup setup = sw_stock_setup_default(200);
    setup.ratio[SW_TANK_B] = 128;
    setup.tank_l[SW_TANK_C] = 50;
    ck_assert_double_eq(sw_stock_ratio(&setup, SW_TANK_A), 100);
    ck_assert_double_eq(sw_stock_ratio(&setup, SW_TANK_B), 128);
    ck_assert_double_eq(sw_stock_volume_l(&setup, SW_TANK_B), 200);
    ck_assert_double_eq(sw_stock_volume_l(&setup, SW_TANK_C), 50);
}
END_TEST
