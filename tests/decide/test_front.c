/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Fronts that can be drawn by hand. */
#include "formulate/kit.h"

typedef struct sw_drawn {
    sw_kit kit;
    sw_front *front;
} sw_drawn;

static void draw(sw_drawn *drawn, sw_trade trade, size_t count)
{
    sw_status status =
        sw_front_find(drawn->kit.solver, &drawn->kit.problem, trade, count,
                      &drawn->front, &drawn->kit.error);
    ck_assert_msg(status == SW_OK, "%s", drawn->kit.error.message);
}

static void close_drawn(sw_drawn *drawn)
{
    sw_front_free(drawn->front);
    kit_close(&drawn->kit);
}

/* 0.5 g/L for the target costs 1; within the band 0.45 g/L costs 0.9. */
static void open_potash(sw_drawn *drawn)
{
    kit_open(&drawn->kit);
    kit_target(&drawn->kit, SW_K, 200);
    kit_product(&drawn->kit, "potash", SW_K, 400)->price_per_kg = 2;
}

static const sw_front_point *point(const sw_drawn *drawn, size_t i)
{
    ck_assert_uint_lt(i, drawn->front->count);
    return &drawn->front->points[i];
}

#define START_DRAWN_TEST(name, set_up)                                         \
    START_TEST_WITH(name, sw_drawn, drawn, set_up, close_drawn(drawn))

START_DRAWN_TEST(the_front_of_cost_is_the_square_it_must_be, open_potash(drawn))
{
    draw(drawn, SW_TRADE_COST, 5);
    ck_assert_uint_eq(drawn->front->count, 5);
    for (size_t i = 0; i < 5; i++) {
        double short_of = 0.1 * (double)i / 4;
        ck_assert_double_eq_tol(point(drawn, i)->cost_per_m3, 1 - short_of,
                                TOL_FRONT_END);
        ck_assert_double_eq_tol(point(drawn, i)->objective, short_of * short_of,
                                TOL_FRONT_END);
        ck_assert_uint_eq(point(drawn, i)->products, 1);
        ck_assert(!point(drawn, i)->misses_ph);
    }
    ck_assert_double_eq_tol(point(drawn, 2)->slope, -0.1, TOL_HAND_SOLVED);
    ck_assert(isnan(point(drawn, 4)->slope));
}
END_TEST

START_DRAWN_TEST(where_the_closest_is_the_cheapest_there_is_one_point,
                 open_potash(drawn))
{
    drawn->kit.row[0].min = 200;
    draw(drawn, SW_TRADE_COST, 5);
    ck_assert_uint_eq(drawn->front->count, 1);
}
END_TEST

START_DRAWN_TEST(the_cheap_end_may_cost_nothing, open_potash(drawn))
{
    drawn->kit.row[0].min = 0;
    draw(drawn, SW_TRADE_COST, 3);
    ck_assert_uint_eq(drawn->front->count, 3);
    ck_assert_double_eq_tol(point(drawn, 1)->objective, 0.25, TOL_FRONT_END);
    ck_assert_double_eq_tol(point(drawn, 2)->objective, 1, TOL_FRONT_END);
}
END_TEST

START_DRAWN_TEST(bands_that_cannot_be_kept_have_no_front, open_potash(drawn))
{
    kit_target(&drawn->kit, SW_MG, 40);
    draw(drawn, SW_TRADE_COST, 3);
    ck_assert_ptr_null(drawn->front);
}
END_TEST

/* K, Ca and Mg from one each; a mixture does for K and Ca, not as well. */
static void open_three(sw_drawn *drawn)
{
    kit_open(&drawn->kit);
    kit_target(&drawn->kit, SW_K, 200);
    kit_target(&drawn->kit, SW_CA, 100)->weight = 0.5;
    kit_target(&drawn->kit, SW_MG, 40)->weight = 0.25;
    kit_product(&drawn->kit, "potash", SW_K, 400);
    kit_product(&drawn->kit, "lime", SW_CA, 200);
    kit_product(&drawn->kit, "epsom", SW_MG, 100);
}

START_DRAWN_TEST(fewer_products_lose_the_lightest_target_first,
                 open_three(drawn))
{
    static const double misfit[] = {0, 0.25, 0.75, 1.75};
    draw(drawn, SW_TRADE_PRODUCTS, 10);
    ck_assert_uint_eq(drawn->front->count, 4);
    for (size_t i = 0; i < 4; i++) {
        ck_assert_uint_eq(point(drawn, i)->products, 3 - i);
        ck_assert_double_eq_tol(point(drawn, i)->objective, misfit[i],
                                TOL_HAND_SOLVED);
        ck_assert_double_eq_tol(point(drawn, i)->lower_bound, misfit[i],
                                TOL_HAND_SOLVED);
        ck_assert(isnan(point(drawn, i)->cost_per_m3) || i == 3);
    }
}
END_TEST

START_DRAWN_TEST(another_product_may_come_in_for_two, open_three(drawn))
{
    /* 1:2 of Ca to K is what both want: nothing is lost with the mixture */
    kit_product(&drawn->kit, "premix", SW_K, 100)->per_g.amount[SW_CA] = 50;
    drawn->kit.product[3].max_g_per_l = 1.9;
    draw(drawn, SW_TRADE_PRODUCTS, 3);
    ck_assert_uint_eq(point(drawn, 0)->products, 3);
    ck_assert_double_eq_tol(point(drawn, 0)->objective, 0, TOL_HAND_SOLVED);
    ck_assert_uint_eq(point(drawn, 1)->products, 2);
    ck_assert_double_eq_tol(point(drawn, 1)->objective, 1.5 * 0.05 * 0.05,
                            TOL_HAND_SOLVED);
    ck_assert_double_gt(point(drawn, 1)->recipe.g_per_l[3], 1.8);
}
END_TEST

START_DRAWN_TEST(what_the_shelf_fixes_is_not_counted, open_three(drawn))
{
    drawn->kit.product[0].fixed_g_per_l = 0.4;
    drawn->kit.product[1].min_g_per_l = 0.1;
    draw(drawn, SW_TRADE_PRODUCTS, 5);
    ck_assert_uint_eq(drawn->front->count, 2);
    ck_assert_uint_eq(point(drawn, 0)->products, 1);
}
END_TEST

START_DRAWN_TEST(limits_end_the_front_of_products, open_three(drawn))
{
    drawn->kit.row[0].min = 150;
    draw(drawn, SW_TRADE_PRODUCTS, 5);
    ck_assert_uint_eq(drawn->front->count, 3);
    ck_assert_double_gt(point(drawn, 2)->recipe.g_per_l[0], 0.4);
}
END_TEST

START_DRAWN_TEST(a_conflict_has_no_front_of_products, open_three(drawn))
{
    drawn->kit.row[0].min = 150;
    drawn->kit.product[0].max_g_per_l = 0.1;
    draw(drawn, SW_TRADE_PRODUCTS, 5);
    ck_assert_ptr_null(drawn->front);
}
END_TEST

START_DRAWN_TEST(a_recipe_that_loses_its_ph_does_not_count, open_three(drawn))
{
    sw_target_row *ph = kit_row(&drawn->kit, SW_K, 5.8, NAN, NAN);
    ph->kind = SW_TARGET_PH;
    ph->name = "pH";
    drawn->kit.water[0].amount[SW_ALKALINITY] = 2;
    drawn->kit.water[0].amount[SW_CARBON] = 2.2;
    sw_product *acid = kit_product(&drawn->kit, "acid", SW_CL, 200);
    acid->per_g.amount[SW_ALKALINITY] = -5.64;
    draw(drawn, SW_TRADE_PRODUCTS, 6);
    ck_assert_uint_eq(drawn->front->count, 4);
    for (size_t i = 0; i < drawn->front->count; i++)
        ck_assert_double_gt(point(drawn, i)->recipe.g_per_l[3], 0.1);
}
END_TEST

START_DRAWN_TEST(what_is_no_question_is_refused, open_potash(drawn))
{
    sw_front *front;
    draw(drawn, SW_TRADE_COST, 2);
    ck_assert_uint_eq(drawn->front->count, 2);
    sw_front_free(drawn->front);
    draw(drawn, SW_TRADE_COST, 200);
    ck_assert_uint_eq(drawn->front->count, 200);
    ck_assert_int_eq(sw_front_find(drawn->kit.solver, &drawn->kit.problem,
                                   SW_TRADE_COST, 1, &front, NULL),
                     SW_ERR_VALUE);
    ck_assert_int_eq(sw_front_find(drawn->kit.solver, &drawn->kit.problem,
                                   SW_TRADE_COST, 201, &front, NULL),
                     SW_ERR_VALUE);
    drawn->kit.problem.objective = SW_CHEAPEST;
    ck_assert_int_eq(sw_front_find(drawn->kit.solver, &drawn->kit.problem,
                                   SW_TRADE_PRODUCTS, 5, &front, NULL),
                     SW_ERR_VALUE);
    drawn->kit.product[0].price_per_kg = NAN;
    ck_assert_int_eq(sw_front_find(drawn->kit.solver, &drawn->kit.problem,
                                   SW_TRADE_COST, 5, &front, NULL),
                     SW_ERR_MISSING);
    ck_assert_ptr_null(front);
}
END_TEST
