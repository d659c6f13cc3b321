/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The strength of a target, or of a recipe, by the EC it is to read. */
#include "../formulate/kit.h"
#include "records/targets.h"

/* KNO3 into pure water: K and NO3-N in the salt's own ratio. */
static void open_nitre(sw_kit *kit)
{
    kit_open(kit);
    kit_target(kit, SW_K, 200);
    kit_target(kit, SW_NO3_N, 71.65);
    sw_product *nitre = kit_product(kit, "nitre", SW_K, 386.7);
    nitre->per_g.amount[SW_NO3_N] = 138.5;
    nitre->per_g.amount[SW_N] = 138.5;
}

static sw_strength *find(sw_kit *kit, double ec)
{
    sw_strength *strength;
    sw_strength_aim aim = {ec, NULL};
    ck_assert_msg(sw_strength_find(kit->solver, &kit->problem, &aim, &strength,
                                   &kit->error) == SW_OK,
                  "%s", kit->error.message);
    return strength;
}

static double ec_of(const sw_content *per_l)
{
    sw_chemistry chemistry;
    sw_conditions conditions = {25, 4e-4, NULL, NULL};
    ck_assert_int_eq(
        sw_equilibrate(per_l, &conditions, SW_CARBONATE_KEPT, &chemistry, NULL),
        SW_OK);
    return chemistry.ec_ms_per_cm;
}

/* EC of what formulate makes of the scaled target. */
static double ec_at(sw_kit *kit, const sw_target *target)
{
    kit->problem.target = target;
    kit_optimum(kit);
    sw_content finished = kit->solution->water;
    for (size_t j = 0; j < kit->shelf.count; j++)
        sw_content_add(&finished, kit_amount(kit, j), &kit->product[j].per_g);
    return ec_of(&finished);
}

static void expect_reason(sw_kit *kit, double ec, const char *words)
{
    sw_strength *strength = find(kit, ec);
    ck_assert(!strength->reached);
    ck_assert_ptr_null(strength->target);
    ck_assert_double_nan(strength->factor);
    ck_assert_msg(strstr(strength->reason, words) != NULL, "%s",
                  strength->reason);
    sw_strength_free(strength);
}

START_TEST(the_scaled_target_reads_the_ec_asked_for)
{
    static const double asked[] = {0.2, 0.7, 1.8, 5.0, 14.0};
    for (size_t i = 0; i < sizeof asked / sizeof *asked; i++) {
        sw_kit kit;
        open_nitre(&kit);
        sw_strength *strength = find(&kit, asked[i]);
        ck_assert_msg(strength->reached, "%s", strength->reason);
        ck_assert_double_eq_tol(ec_at(&kit, strength->target), asked[i],
                                TOL_TO_EC);
        ck_assert_double_eq_tol(strength->ec_ms_per_cm, asked[i], TOL_TO_EC);
        kit.problem.target = &kit.target;
        sw_strength_free(strength);
        kit_close(&kit);
    }
}
END_TEST

START_KIT_TEST(ratios_among_nutrients_are_held, open_nitre(kit))
{
    sw_strength *strength = find(kit, 2.0);
    for (int i = 0; i < 2; i++)
        ck_assert_double_eq_tol(strength->target->rows[i].target /
                                    kit->row[i].target,
                                strength->factor, TOL_HAND_SOLVED);
    sw_strength_free(strength);
}
END_TEST

START_KIT_TEST(limits_beside_a_target_scale_and_ceilings_stay, kit_open(kit))
{
    sw_target *scaled;
    kit_row(kit, SW_K, 200, 180, 240);
    kit_row(kit, SW_NA, NAN, NAN, 50);
    kit_row(kit, SW_CL, 0, NAN, 80);
    kit_ratio(kit, SW_K, SW_CA, 1, 2);
    ck_assert_int_eq(sw_target_scale(&kit->target, 0.5, &scaled, NULL), SW_OK);
    ck_assert_double_eq(scaled->rows[0].target, 100);
    ck_assert_double_eq(scaled->rows[0].min, 90);
    ck_assert_double_eq(scaled->rows[0].max, 120);
    ck_assert_double_eq(scaled->rows[1].max, 50);
    ck_assert_double_eq(scaled->rows[2].max, 80);
    ck_assert_double_eq(scaled->rows[3].max, 2);
    sw_target_free(scaled);
}
END_TEST

START_KIT_TEST(what_harms_in_excess_keeps_its_max, kit_open(kit))
{
    sw_target *scaled;
    kit_row(kit, SW_B, 0.4, 0.3, 0.8);
    kit_row(kit, SW_MN, 0.5, NAN, NAN);
    ck_assert_int_eq(sw_target_scale(&kit->target, 3, &scaled, NULL), SW_OK);
    ck_assert_double_eq(scaled->rows[0].target, 0.8);
    ck_assert_double_eq(scaled->rows[0].min, 0.8);
    ck_assert_double_eq(scaled->rows[0].max, 0.8);
    ck_assert_double_eq(scaled->rows[1].target, 1.5);
    ck_assert(isnan(scaled->rows[1].min) && isnan(scaled->rows[1].max));
    sw_target_free(scaled);
    ck_assert_int_eq(sw_target_scale(&kit->target, 0.5, &scaled, NULL), SW_OK);
    ck_assert_double_eq(scaled->rows[0].target, 0.2);
    ck_assert_double_eq(scaled->rows[0].max, 0.8);
    sw_target_free(scaled);
}
END_TEST

START_KIT_TEST(a_factor_that_is_none_is_refused, open_nitre(kit))
{
    sw_target *scaled;
    ck_assert_int_eq(sw_target_scale(&kit->target, 0, &scaled, NULL),
                     SW_ERR_VALUE);
    ck_assert_int_eq(sw_target_scale(&kit->target, INFINITY, &scaled, NULL),
                     SW_ERR_VALUE);
    ck_assert_ptr_null(scaled);
}
END_TEST

START_KIT_TEST(an_ec_that_is_none_is_refused, open_nitre(kit))
{
    static const double wrong[] = {0, -1, NAN, 21};
    sw_strength *strength;
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        sw_strength_aim aim = {wrong[i], NULL};
        ck_assert_int_eq(
            sw_strength_find(kit->solver, &kit->problem, &aim, &strength, NULL),
            SW_ERR_VALUE);
        ck_assert_ptr_null(strength);
    }
}
END_TEST

START_KIT_TEST(what_the_water_exceeds_alone_is_refused, open_nitre(kit))
{
    kit->water[0].amount[SW_NA] = 230;
    kit->water[0].amount[SW_CL] = 354.5;
    expect_reason(kit, 0.8, "the water alone reads 1.1");
}
END_TEST

START_KIT_TEST(what_must_be_in_it_bounds_the_weakest_solution, open_nitre(kit))
{
    kit->product[0].min_g_per_l = 1;
    expect_reason(kit, 0.8, "the weakest solution in this water reads 1.3");
}
END_TEST

START_KIT_TEST(a_limit_of_the_shelf_bounds_the_strongest, open_nitre(kit))
{
    kit->product[0].max_g_per_l = 1;
    expect_reason(kit, 4, "nitre max");
}
END_TEST

START_KIT_TEST(a_ceiling_bounds_the_strongest, open_nitre(kit))
{
    kit_row(kit, SW_N, NAN, NAN, 140);
    expect_reason(kit, 4, "N max 140");
}
END_TEST

START_KIT_TEST(limits_that_conflict_further_up_are_named, open_nitre(kit))
{
    kit->row[0].min = 190; /* scales with its target; the ceiling does not */
    kit_row(kit, SW_N, NAN, NAN, 140);
    expect_reason(kit, 4, "what holds it there: K min");
}
END_TEST

START_KIT_TEST(limits_that_conflict_at_any_strength_are_named, open_nitre(kit))
{
    kit_row(kit, SW_NA, NAN, 10, NAN);
    expect_reason(kit, 1, "at no strength");
}
END_TEST

START_KIT_TEST(limits_that_conflict_further_down_are_named, open_nitre(kit))
{
    kit->row[0].max = 210;
    kit_row(kit, SW_N, NAN, 50, NAN);
    expect_reason(kit, 0.2, "conflict");
}
END_TEST

START_KIT_TEST(another_strength_than_1_may_be_the_start, open_nitre(kit))
{
    kit->row[0].min = 190;
    kit_row(kit, SW_N, NAN, NAN, 60); /* holds below 0.87 only */
    sw_strength *strength = find(kit, 0.5);
    ck_assert_msg(strength->reached, "%s", strength->reason);
    sw_strength_free(strength);
}
END_TEST

START_KIT_TEST(the_targets_own_limits_on_ec_hold, open_nitre(kit))
{
    sw_target_row *row = kit_row(kit, SW_K, 1.5, 1.2, 1.9);
    row->kind = SW_TARGET_EC;
    row->name = "EC";
    expect_reason(kit, 1.0, "EC min 1.2 (target.csv line 4)");
    expect_reason(kit, 2.0, "EC max 1.9");
    sw_strength *strength = find(kit, 1.7);
    ck_assert(strength->reached);
    ck_assert_double_eq(strength->target->rows[2].target, 1.7);
    sw_strength_free(strength);
}
END_TEST

START_KIT_TEST(a_blend_to_be_found_may_be_made_to_an_ec, open_nitre(kit))
{
    kit->problem.water_count = 2;
    kit->water[1].amount[SW_NA] = 230;
    kit->water[1].amount[SW_CL] = 354.5;
    sw_strength *strength = find(kit, 1.8);
    ck_assert_double_nan(strength->water_ms_per_cm);
    ck_assert(strength->reached);
    sw_strength_free(strength);
}
END_TEST

START_KIT_TEST(given_shares_are_the_water, open_nitre(kit))
{
    const double shares[] = {0.25, 0.75};
    kit->problem.water_count = 2;
    kit->problem.fractions = shares;
    kit->water[1].amount[SW_NA] = 92;
    kit->water[1].amount[SW_CL] = 141.8;
    sw_content mix = {{0}};
    sw_content_add(&mix, 0.75, &kit->water[1]);
    sw_strength *strength = find(kit, 1.8);
    ck_assert(strength->reached);
    ck_assert_double_eq_tol(strength->water_ms_per_cm, ec_of(&mix), TOL_TO_EC);
    sw_strength_free(strength);
}
END_TEST

START_KIT_TEST(limits_on_ec_without_a_target_stay, open_nitre(kit))
{
    sw_target_row *row = kit_row(kit, SW_K, NAN, 1.2, 1.9);
    row->kind = SW_TARGET_EC;
    row->name = "EC";
    sw_strength *strength = find(kit, 1.7);
    ck_assert(strength->reached);
    ck_assert_double_nan(strength->target->rows[2].target);
    ck_assert_double_eq(strength->target->rows[2].max, 1.9);
    sw_strength_free(strength);
}
END_TEST

START_KIT_TEST(what_the_stocks_deliver_reads_the_ec, open_nitre(kit))
{
    sw_solution *solution;
    sw_stock *stock;
    sw_strength *strength;
    sw_content make_up = {{0}};
    kit->water[0].amount[SW_NA] = 46;
    kit->water[0].amount[SW_CL] = 70.9;
    sw_stock_setup setup = sw_stock_setup_default(100);
    sw_strength_aim aim = {2.0, &setup};
    setup.factor = 20;
    setup.make_up = &make_up;
    ck_assert_int_eq(
        sw_strength_find(kit->solver, &kit->problem, &aim, &strength, NULL),
        SW_OK);
    ck_assert_msg(strength->reached, "%s", strength->reason);
    kit->problem.target = strength->target;
    ck_assert_int_eq(sw_stock_formulate(kit->solver, &kit->problem, &setup,
                                        &solution, &stock, NULL),
                     SW_OK);
    ck_assert_double_eq_tol(ec_of(&stock->finished), 2.0, TOL_TO_EC);
    sw_stock_free(stock);
    sw_solution_free(solution);
    sw_strength_free(strength);
}
END_TEST

/* The recipe of 0.5 g/L of nitre in `kit`. */
static sw_mix given_mix(sw_kit *kit, sw_recipe *recipe)
{
    return (sw_mix){.water = &kit->water[0],
                    .target = &kit->target,
                    .shelf = &kit->shelf,
                    .recipe = recipe,
                    .conditions = {25, 4e-4, NULL, NULL}};
}

START_KIT_TEST(a_given_recipe_is_scaled_as_a_whole, open_nitre(kit))
{
    static const double asked[] = {0.1, 0.6, 3.0};
    double amount = 0.5;
    sw_recipe recipe = {.g_per_l = &amount, .count = 1};
    sw_mix mix = given_mix(kit, &recipe);
    for (size_t i = 0; i < sizeof asked / sizeof *asked; i++) {
        sw_strength *strength;
        sw_content finished = kit->water[0];
        ck_assert_int_eq(sw_strength_of_recipe(&mix, asked[i], &strength, NULL),
                         SW_OK);
        ck_assert(strength->reached);
        sw_content_add(&finished, strength->factor * amount,
                       &kit->product[0].per_g);
        ck_assert_double_eq_tol(ec_of(&finished), asked[i], TOL_TO_EC);
        sw_strength_free(strength);
    }
}
END_TEST

START_KIT_TEST(a_recipe_that_cannot_reach_it_says_so, open_nitre(kit))
{
    sw_strength *strength;
    double amount = 0.0001;
    sw_recipe recipe = {.g_per_l = &amount, .count = 1};
    sw_mix mix = given_mix(kit, &recipe);
    ck_assert_int_eq(sw_strength_of_recipe(&mix, 2, &strength, NULL), SW_OK);
    ck_assert(!strength->reached);
    ck_assert_ptr_nonnull(strstr(strength->reason, "50 times"));
    sw_strength_free(strength);
    kit->water[0].amount[SW_NA] = 230;
    kit->water[0].amount[SW_CL] = 354.5;
    ck_assert_int_eq(sw_strength_of_recipe(&mix, 0.5, &strength, NULL), SW_OK);
    ck_assert(!strength->reached);
    ck_assert_ptr_nonnull(strstr(strength->reason, "the water alone"));
    sw_strength_free(strength);
    ck_assert_int_eq(sw_strength_of_recipe(&mix, 0, &strength, NULL),
                     SW_ERR_VALUE);
    ck_assert_ptr_null(strength);
    sw_strength_free(NULL);
}
END_TEST

START_KIT_TEST(errors_of_formulate_come_through, open_nitre(kit))
{
    sw_strength *strength;
    sw_strength_aim aim = {1.0, NULL};
    kit->shelf.count = 0;
    ck_assert_int_eq(
        sw_strength_find(kit->solver, &kit->problem, &aim, &strength, NULL),
        SW_ERR_MISSING);
    ck_assert_ptr_null(strength);
}
END_TEST
