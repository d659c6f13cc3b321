/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Conflicts small enough to be explained by hand. */
#include "formulate/kit.h"

typedef struct sw_told {
    sw_kit kit;
    sw_conflict *conflict;
} sw_told;

static void explain(sw_told *told)
{
    sw_status status =
        sw_conflict_explain(told->kit.solver, &told->kit.problem, NULL,
                            &told->conflict, &told->kit.error);
    ck_assert_msg(status == SW_OK, "%s", told->kit.error.message);
}

static void close_told(sw_told *told)
{
    sw_conflict_free(told->conflict);
    kit_close(&told->kit);
}

static const sw_easing *member(const sw_told *told, const char *start)
{
    for (size_t i = 0; i < told->conflict->member_count; i++)
        if (strncmp(told->conflict->members[i].limit.name, start,
                    strlen(start)) == 0)
            return &told->conflict->members[i];
    ck_abort_msg("%s is not a member", start);
}

static bool adds(const sw_told *told, const char *name)
{
    for (size_t i = 0; i < told->conflict->addition_count; i++)
        if (strcmp(told->conflict->additions[i].name, name) == 0)
            return true;
    return false;
}

static void expect(const sw_easing *easing, double reached, double share)
{
    ck_assert_double_eq_tol(easing->reached, reached, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(easing->share, share, TOL_HAND_SOLVED);
}

#define START_TOLD_TEST(name, set_up)                                          \
    START_TEST_WITH(name, sw_told, told, set_up, close_told(told))

START_TOLD_TEST(where_there_is_a_recipe_there_is_nothing_to_explain,
                kit_open(&told->kit))
{
    kit_target(&told->kit, SW_K, 200);
    kit_product(&told->kit, "potash", SW_K, 400);
    explain(told);
    ck_assert_ptr_null(told->conflict);
}
END_TEST

START_TOLD_TEST(a_water_above_a_limit_needs_the_limit_or_purified_water,
                kit_open(&told->kit))
{
    /* Ca 250 of at most 200: a fifth of the water must hold nothing */
    told->kit.water[0].amount[SW_CA] = 250;
    kit_row(&told->kit, SW_CA, NAN, NAN, 200);
    kit_target(&told->kit, SW_K, 200);
    kit_product(&told->kit, "potash", SW_K, 400);
    explain(told);
    ck_assert_uint_eq(told->conflict->member_count, 1);
    expect(member(told, "Ca max"), 250, 0.25);
    ck_assert_double_eq_tol(told->conflict->purified_share, 0.2,
                            TOL_HAND_SOLVED);
    ck_assert_uint_eq(told->conflict->addition_count, 0);
    ck_assert_double_eq_tol(told->conflict->total, 0.25, TOL_HAND_SOLVED);
}
END_TEST

START_TOLD_TEST(a_product_of_the_catalogue_fills_what_the_shelf_cannot,
                kit_open(&told->kit))
{
    /* K from muriate brings Cl: 200 mg/L of K bring 160 of Cl, not 80 */
    kit_row(&told->kit, SW_K, 200, 200, NAN);
    kit_row(&told->kit, SW_CL, NAN, NAN, 80);
    kit_product(&told->kit, "muriate", SW_K, 500)->per_g.amount[SW_CL] = 400;
    explain(told);
    expect(member(told, "K min"), 100, 0.5);
    expect(member(told, "Cl max"), 160, 1);
    ck_assert(isnan(told->conflict->purified_share));
    ck_assert(adds(told, "potassium sulfate"));
    ck_assert(!adds(told, "calcium nitrate tetrahydrate"));
    ck_assert_uint_eq(told->conflict->least_count, 1);
    expect(&told->conflict->least[0], 100, 0.5);
}
END_TEST

START_TOLD_TEST(a_product_that_stands_on_the_shelf_is_not_proposed,
                kit_open(&told->kit))
{
    kit_row(&told->kit, SW_MG, 50, 45, NAN);
    kit_product(&told->kit, "magnesium sulfate heptahydrate", SW_MG, 98)
        ->max_g_per_l = 0.1;
    told->kit.product[0].per_g.amount[SW_S] = 130;
    explain(told);
    expect(member(told, "magnesium sulfate heptahydrate max"), 45. / 98,
           45. / 9.8 - 1);
    ck_assert(!adds(told, "magnesium sulfate heptahydrate"));
    ck_assert(adds(told, "magnesium nitrate hexahydrate"));
}
END_TEST

START_TOLD_TEST(a_ratio_is_eased_to_the_ratio_that_can_be, kit_open(&told->kit))
{
    /* K:Ca of at most 1.5 with K of at least 190 and Ca of at most 120 */
    kit_row(&told->kit, SW_K, NAN, 190, NAN);
    kit_row(&told->kit, SW_CA, 100, NAN, 120);
    kit_ratio(&told->kit, SW_K, SW_CA, NAN, 1.5);
    kit_product(&told->kit, "potash", SW_K, 400);
    kit_product(&told->kit, "lime", SW_CA, 200);
    explain(told);
    ck_assert_uint_eq(told->conflict->member_count, 3);
    expect(member(told, "ratio max"), 190. / 120, 10. / 150);
    expect(member(told, "K min"), 180, 10. / 190);
    expect(member(told, "Ca max"), 190 / 1.5, 190 / 1.5 / 120 - 1);
    ck_assert_str_eq(member(told, "ratio max")->limit.unit, "");
    ck_assert_str_eq(member(told, "K min")->limit.unit, "mg/L");
}
END_TEST

START_TOLD_TEST(a_lowest_ratio_is_eased_downward, kit_open(&told->kit))
{
    /* K:Ca of at least 2 with K of at most 150 and Ca of at least 100 */
    kit_row(&told->kit, SW_K, 140, NAN, 150);
    kit_row(&told->kit, SW_CA, NAN, 100, NAN);
    kit_ratio(&told->kit, SW_K, SW_CA, 2, NAN);
    kit_product(&told->kit, "potash", SW_K, 400);
    kit_product(&told->kit, "lime", SW_CA, 200);
    explain(told);
    expect(member(told, "ratio min"), 1.5, 50. / 200);
}
END_TEST

static const sw_easing *least(const sw_told *told, const char *start)
{
    for (size_t i = 0; i < told->conflict->least_count; i++)
        if (strncmp(told->conflict->least[i].limit.name, start,
                    strlen(start)) == 0)
            return &told->conflict->least[i];
    ck_abort_msg("%s is not of the least", start);
}

/* K:Ca of at least 2 with K of at most 150 and Ca of at least 90, beside a
 * boron that nothing takes to where it is wanted. */
START_TEST(a_ratio_gives_way_while_another_limit_does)
{
    for (int over = 0; over < 2; over++) {
        sw_told told;
        kit_open(&told.kit);
        kit_row(&told.kit, SW_K, 140, NAN, 150);
        kit_row(&told.kit, SW_CA, 120, 90, NAN);
        kit_ratio(&told.kit, SW_K, SW_CA, 2, NAN);
        if (over)
            kit_row(&told.kit, SW_B, NAN, NAN, 2);
        else
            kit_row(&told.kit, SW_B, NAN, 4, NAN);
        told.kit.water[0].amount[SW_B] = 3;
        kit_product(&told.kit, "potash", SW_K, 400);
        kit_product(&told.kit, "lime", SW_CA, 200);
        explain(&told);
        ck_assert_uint_eq(told.conflict->least_count, 2);
        expect(least(&told, "ratio min"), 150. / 90, 30. / 240);
        expect(least(&told, over ? "B max" : "B min"), 3, over ? 0.5 : 0.25);
        close_told(&told);
    }
}
END_TEST

START_TOLD_TEST(a_ratio_to_something_that_is_not_there_cannot_be_eased,
                kit_open(&told->kit))
{
    kit_row(&told->kit, SW_K, 200, 190, NAN);
    kit_ratio(&told->kit, SW_K, SW_MG, NAN, 5);
    kit_product(&told->kit, "potash", SW_K, 400);
    explain(told);
    ck_assert(isnan(member(told, "ratio max")->reached));
    ck_assert(adds(told, "magnesium sulfate heptahydrate"));
}
END_TEST

START_TOLD_TEST(a_fixed_product_is_eased_either_way, kit_open(&told->kit))
{
    kit_row(&told->kit, SW_K, 200, NAN, 250);
    kit_row(&told->kit, SW_MG, 20, 10, NAN);
    kit_product(&told->kit, "premix", SW_K, 400)->fixed_g_per_l = 1;
    told->kit.product[0].per_g.amount[SW_MG] = 20;
    explain(told);
    expect(member(told, "premix fixed"), 0.625, 0.375);
    expect(member(told, "K max"), 400, 0.6);
}
END_TEST

/* A quarter more of the product, or a fifth less of each of what it brings. */
START_TOLD_TEST(the_most_of_a_product_gives_way_where_that_is_least,
                kit_open(&told->kit))
{
    kit_row(&told->kit, SW_K, 200, 200, NAN);
    kit_row(&told->kit, SW_S, 80, 80, NAN);
    sw_product *potash = kit_product(&told->kit, "potash", SW_K, 400);
    potash->per_g.amount[SW_S] = 160;
    potash->max_g_per_l = 0.4;
    explain(told);
    expect(member(told, "potash max"), 0.5, 0.25);
    ck_assert_double_eq_tol(told->conflict->total, 0.25, TOL_HAND_SOLVED);
}
END_TEST

START_TOLD_TEST(two_conflicts_at_once_have_no_single_remedy,
                kit_open(&told->kit))
{
    told->kit.water[0].amount[SW_NA] = 80;
    told->kit.water[0].amount[SW_CL] = 90;
    kit_target(&told->kit, SW_K, 200);
    kit_row(&told->kit, SW_NA, NAN, NAN, 40);
    kit_row(&told->kit, SW_CL, NAN, NAN, 60);
    kit_product(&told->kit, "potash", SW_K, 400);
    explain(told);
    ck_assert_uint_eq(told->conflict->member_count, 1);
    ck_assert(isnan(told->conflict->members[0].reached));
    ck_assert_uint_eq(told->conflict->least_count, 2);
    expect(&told->conflict->least[0], 80, 1);
    expect(&told->conflict->least[1], 90, 0.5);
    ck_assert_double_eq_tol(told->conflict->purified_share, 0.5,
                            TOL_HAND_SOLVED);
}
END_TEST

/* Two products bring 40 mg/L of sodium each, two others 80 of chloride: over
 * ceilings of 70 and 140, which have no rows of their own. */
START_TOLD_TEST(two_ceilings_of_ours_give_way_at_once, kit_open(&told->kit))
{
    static const sw_component asked[] = {SW_K, SW_S, SW_CA, SW_MG};
    int sodiums = 0;
    for (int i = 0; i < 4; i++) {
        kit_row(&told->kit, asked[i], 50, 50, NAN);
        kit_product(&told->kit, sw_component_name(asked[i]), asked[i], 50)
            ->per_g.amount[i < 2 ? SW_NA : SW_CL] = i < 2 ? 40 : 80;
    }
    explain(told);
    ck_assert_uint_eq(told->conflict->least_count, 2);
    for (size_t i = 0; i < 2; i++) {
        const sw_easing *easing = &told->conflict->least[i];
        bool sodium = strncmp(easing->limit.name, "Na from", 7) == 0;
        sodiums += sodium;
        expect(easing, sodium ? 80 : 160, 1.0 / 7);
    }
    ck_assert_int_eq(sodiums, 1);
}
END_TEST

START_TOLD_TEST(a_limit_of_nothing_gives_way_by_whole_units,
                kit_open(&told->kit))
{
    told->kit.water[0].amount[SW_NA] = 3;
    kit_target(&told->kit, SW_K, 200);
    kit_row(&told->kit, SW_NA, NAN, NAN, 0);
    kit_product(&told->kit, "potash", SW_K, 400);
    explain(told);
    expect(member(told, "Na max"), 3, 3);
    ck_assert_double_eq_tol(told->conflict->purified_share, 1, TOL_HAND_SOLVED);
}
END_TEST

START_TOLD_TEST(purified_water_may_carry_something, kit_open(&told->kit))
{
    const sw_content purified = {{[SW_NA] = 20}};
    told->kit.water[0].amount[SW_NA] = 80;
    kit_target(&told->kit, SW_K, 200);
    kit_row(&told->kit, SW_NA, NAN, NAN, 50);
    kit_product(&told->kit, "potash", SW_K, 400);
    ck_assert_int_eq(sw_conflict_explain(told->kit.solver, &told->kit.problem,
                                         &purified, &told->conflict, NULL),
                     SW_OK);
    ck_assert_double_eq_tol(told->conflict->purified_share, 0.5,
                            TOL_HAND_SOLVED);
}
END_TEST

/* Two waters with 80 and 120 mg/L of Na, of which 50 may be in the feed. */
static void open_salty(sw_kit *kit)
{
    kit_open(kit);
    kit->water[0].amount[SW_NA] = 80;
    kit->water[1].amount[SW_NA] = 120;
    kit->problem.water_count = 2;
    kit_target(kit, SW_K, 200);
    kit_row(kit, SW_NA, NAN, NAN, 50);
    kit_product(kit, "potash", SW_K, 400);
}

START_TOLD_TEST(purified_water_joins_a_free_or_a_given_blend,
                open_salty(&told->kit))
{
    const double halves[] = {0.5, 0.5};
    explain(told);
    ck_assert_double_eq_tol(told->conflict->purified_share, 0.375,
                            TOL_HAND_SOLVED);
    sw_conflict_free(told->conflict);
    told->kit.problem.fractions = halves;
    explain(told);
    ck_assert_double_eq_tol(told->conflict->purified_share, 0.5,
                            TOL_HAND_SOLVED);
}
END_TEST

/* Of the better water no more is taken than may be: 0.2 of 80 and 0.2833 of
 * 120, or of 120 alone. */
START_TOLD_TEST(purified_water_frees_no_water_that_is_kept_out,
                open_salty(&told->kit))
{
    static const double most[2][2] = {{0, 1}, {0.2, 1}};
    static const double purified[] = {7.0 / 12, 31.0 / 60};
    for (int i = 0; i < 2; i++) {
        told->kit.problem.most_share = most[i];
        explain(told);
        ck_assert_double_eq_tol(told->conflict->purified_share, purified[i],
                                TOL_HAND_SOLVED);
        if (i == 0)
            sw_conflict_free(told->conflict);
    }
}
END_TEST

START_TOLD_TEST(the_cheapest_is_told_what_comes_closest_within_its_limits,
                kit_open(&told->kit))
{
    told->kit.problem.objective = SW_CHEAPEST;
    kit_target(&told->kit, SW_K, 200);
    kit_target(&told->kit, SW_MG, 40);
    kit_product(&told->kit, "potash", SW_K, 400)->price_per_kg = 1;
    explain(told);
    expect(member(told, "Mg min"), 0, 1);
    ck_assert(adds(told, "magnesium sulfate heptahydrate"));
    ck_assert_double_le(told->conflict->additions[0].objective,
                        TOL_HAND_SOLVED);
}
END_TEST

/* Nor is it where only its limit is asked for. */
START_TOLD_TEST(a_target_of_no_weight_is_none_to_come_close_to,
                kit_open(&told->kit))
{
    told->kit.problem.objective = SW_CHEAPEST;
    kit_row(&told->kit, SW_MG, 40, 40, NAN)->weight = 0;
    kit_product(&told->kit, "potash", SW_K, 400)->price_per_kg = 5;
    explain(told);
    ck_assert(adds(told, "magnesium sulfate heptahydrate"));
    /* as little as can be, at a price above all others */
    const sw_addition *first = &told->conflict->additions[0];
    ck_assert_double_eq_tol(first->objective, 5000 * first->g_per_l, 1e-6);
}
END_TEST

START_TOLD_TEST(the_cheapest_without_targets_gets_as_little_as_can_be,
                kit_open(&told->kit))
{
    told->kit.problem.objective = SW_CHEAPEST;
    kit_row(&told->kit, SW_K, NAN, 200, NAN);
    kit_row(&told->kit, SW_MG, NAN, 40, NAN);
    kit_product(&told->kit, "potash", SW_K, 400)->price_per_kg = 1;
    explain(told);
    ck_assert(adds(told, "magnesium sulfate heptahydrate"));
    ck_assert_double_gt(told->conflict->additions[0].g_per_l, 0.04);
}
END_TEST

START_TOLD_TEST(a_ph_that_no_amount_reaches_is_left_out_of_the_limits,
                kit_open(&told->kit))
{
    /* no acid at all: the pH is judged, and Na stays the one conflict */
    told->kit.water[0].amount[SW_NA] = 80;
    told->kit.water[0].amount[SW_ALKALINITY] = 3;
    told->kit.water[0].amount[SW_CARBON] = 3;
    sw_target_row *ph = kit_row(&told->kit, SW_K, NAN, 5.5, 6.2);
    ph->kind = SW_TARGET_PH;
    ph->name = "pH";
    kit_target(&told->kit, SW_K, 200);
    kit_row(&told->kit, SW_NA, NAN, NAN, 60);
    kit_product(&told->kit, "potash", SW_K, 400);
    explain(told);
    ck_assert_ptr_nonnull(told->conflict);
    expect(member(told, "Na max"), 80, 1. / 3);
}
END_TEST

START_TOLD_TEST(one_limit_that_is_impossible_alone_is_the_conflict,
                kit_open(&told->kit))
{
    /* two others conflict as well: N from what K limits, and too little Mg */
    kit_row(&told->kit, SW_N, 140, 110, NAN);
    kit_row(&told->kit, SW_K, 200, NAN, 250);
    kit_row(&told->kit, SW_CA, 70, 60, NAN);
    kit_row(&told->kit, SW_MG, 50, 45, NAN);
    kit_product(&told->kit, "nitrate of potash", SW_K, 387)
        ->per_g.amount[SW_N] = 139;
    kit_product(&told->kit, "epsom salt", SW_MG, 98)->max_g_per_l = 0.1;
    explain(told);
    ck_assert_uint_eq(told->conflict->member_count, 1);
    ck_assert(isnan(member(told, "Ca min")->reached));
}
END_TEST

START_TOLD_TEST(no_advice_moves_the_limit_it_is_to_keep, kit_open(&told->kit))
{
    /* molybdate at a rate sets our ceiling on Mo, and fills it: with less of
     * it the ceiling is lower, and the mixed salt is barred as before */
    kit_row(&told->kit, SW_P, 50, 40, NAN);
    kit_product(&told->kit, "molybdate", SW_MO, 380)->fixed_g_per_l = 0.001;
    kit_product(&told->kit, "mixed", SW_P, 50)->per_g.amount[SW_MO] = 0.07;
    kit_product(&told->kit, "phosphate", SW_P, 220)->max_g_per_l = 0.09;
    explain(told);
    ck_assert_uint_eq(told->conflict->least_count, 1);
    ck_assert_ptr_null(
        strstr(told->conflict->least[0].limit.name, "molybdate"));
    ck_assert(isnan(member(told, "molybdate fixed")->reached));
    expect(member(told, "P min"), 19.8, 20.2 / 40);
}
END_TEST

START_TOLD_TEST(a_problem_that_is_none_is_refused, kit_open(&told->kit))
{
    ck_assert_int_eq(sw_conflict_explain(told->kit.solver, &told->kit.problem,
                                         NULL, &told->conflict,
                                         &told->kit.error),
                     SW_ERR_MISSING);
    ck_assert_ptr_null(told->conflict);
    sw_conflict_free(NULL);
}
END_TEST
