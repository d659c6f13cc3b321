/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The arithmetic of the trade (common practice, no source): what goes into a
 * reservoir is the rate times its volume; what goes into a stock tank is the
 * rate times the factor times the tank's volume.  The recipe is Hoagland's
 * solution 1 (see recipes.csv), whose grams per litre are printed.
 */
#include "suite.h"
#include "tolerances.h"

#include "saltwright.h"
#include "solver.h"

#include <math.h>
#include <string.h>

static char SHELF[] = "product,formula\n"
                      "calcium nitrate,Ca(NO3)2·4H2O\n"
                      "potassium nitrate,KNO3\n"
                      "monopotassium phosphate,KH2PO4\n"
                      "magnesium sulfate,MgSO4·7H2O\n";
static char RECIPE[] = "product,amount,unit\n"
                       "calcium nitrate,1.1807,g/L\n"
                       "potassium nitrate,0.5055,g/L\n"
                       "monopotassium phosphate,0.13608,g/L\n"
                       "magnesium sulfate,0.4929,g/L\n";
static const double G_PER_L[] = {1.1807, 0.5055, 0.13608, 0.4929};
static char TARGET[] = "parameter,target\nN,210\n";

typedef struct trade {
    sw_content water;
    sw_target *target;
    sw_shelf *shelf;
    sw_recipe *recipe;
    sw_mix mix;
} trade;

static FILE *stream_of(char *text)
{
    FILE *stream = fmemopen(text, strlen(text), "r");
    ck_assert_ptr_nonnull(stream);
    return stream;
}

/* Opens the recipe in pure water; it must not move afterwards. */
static void open_trade(trade *t)
{
    FILE *streams[] = {stream_of(TARGET), stream_of(SHELF), stream_of(RECIPE)};
    sw_error e = {0};
    *t = (trade){.target = NULL};
    ck_assert_int_eq(sw_target_read(streams[0], "t", &t->target, &e), SW_OK);
    ck_assert_int_eq(sw_shelf_read(streams[1], "s", &t->shelf, &e), SW_OK);
    ck_assert_int_eq(sw_recipe_read(streams[2], "r", t->shelf, &t->recipe, &e),
                     SW_OK);
    for (size_t i = 0; i < 3; i++)
        fclose(streams[i]);
    t->mix = (sw_mix){.water = &t->water,
                      .target = t->target,
                      .shelf = t->shelf,
                      .recipe = t->recipe,
                      .conditions = sw_conditions_default()};
}

static void close_trade(trade *t)
{
    sw_target_free(t->target);
    sw_shelf_free(t->shelf);
    sw_recipe_free(t->recipe);
}

static void assert_near(double value, double expected)
{
    ck_assert_msg(fabs(value - expected) <= TOL_TRADE_ARITHMETIC * expected,
                  "%.12g, expected %.12g", value, expected);
}

#define START_TRADE_TEST(name)                                                 \
    START_TEST_WITH(name, trade, t, open_trade(t), close_trade(t))

START_TRADE_TEST(a_reservoir_takes_the_rate_times_its_volume)
{
    sw_steps *steps = NULL;
    sw_error error = {0};
    double volume_l = 0, added[4] = {0};
    sw_unit_system system;
    ck_assert_int_eq(sw_volume_parse("400gal", &volume_l, &system, &error),
                     SW_OK);
    sw_mixing mixing = {.mix = &t->mix, .volume_l = volume_l};
    ck_assert_msg(sw_mixing_order(&mixing, &steps, &error) == SW_OK, "%s",
                  error.message);
    for (size_t i = 0; i < steps->count; i++)
        if (steps->items[i].kind == SW_STEP_ADD)
            added[steps->items[i].product] += steps->items[i].g;
    for (size_t i = 0; i < 4; i++)
        assert_near(added[i], G_PER_L[i] * 400 * 3.785411784);
    sw_steps_free(steps);
}
END_TEST

START_TRADE_TEST(the_tanks_take_the_rate_times_factor_times_volume)
{
    sw_stock *stock = NULL;
    sw_error error = {0};
    sw_stock_setup setup = sw_stock_setup_default(100);
    setup.factor = 50;
    setup.make_up = &t->water;
    ck_assert_msg(
        sw_stock_plan(one_solver(), &t->mix, &setup, &stock, &error) == SW_OK,
        "%s", error.message);
    ck_assert_int_eq(stock->outcome, SW_OPTIMAL);
    ck_assert_uint_eq(stock->count, 4);
    for (size_t i = 0; i < 4; i++) {
        const double *g = stock->placements[i].g;
        assert_near(g[SW_TANK_A] + g[SW_TANK_B] + g[SW_TANK_C],
                    G_PER_L[i] * 50 * 100);
    }
    sw_stock_free(stock);
}
END_TEST

/* 100 L of each tank at 1:50 make 5000 L of feed. */
START_TRADE_TEST(a_tank_lasts_for_factor_times_its_volume)
{
    sw_stock *stock = NULL;
    sw_error error = {0};
    sw_stock_setup setup = sw_stock_setup_default(100);
    setup.factor = 50;
    setup.make_up = &t->water;
    ck_assert_int_eq(
        sw_stock_plan(one_solver(), &t->mix, &setup, &stock, &error), SW_OK);
    assert_near(stock->feed_l, 5000);
    sw_stock_free(stock);
}
END_TEST
