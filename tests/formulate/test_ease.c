/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Limits that cannot all hold, and the nearest recipe. */
#include "kit.h"

#include "formulate/ease.h"

/* A water with more sodium than the target allows, and two sources of
 * potassium, one of which brings some. */
static void open_saline(sw_kit *kit)
{
    kit_open(kit);
    kit->problem.nearest = true;
    kit->water[0].amount[SW_NA] = 298;
    kit_target(kit, SW_K, 200);
    kit_row(kit, SW_NA, NAN, NAN, 60);
    kit_product(kit, "with sodium", SW_K, 400)->per_g.amount[SW_NA] = 50;
    kit_product(kit, "without", SW_K, 300)->max_g_per_l = 0.5;
}

START_KIT_TEST(what_the_water_is_over_no_product_adds_to, open_saline(kit))
{
    kit_optimum(kit);
    ck_assert_double_eq(kit_finished(kit).amount[SW_NA], 298);
    ck_assert_double_eq_tol(kit_finished(kit).amount[SW_K], 150,
                            TOL_HAND_SOLVED * 150);
    ck_assert_uint_eq(kit->solution->conflict_count, 1);
    ck_assert_ptr_nonnull(strstr(kit->solution->conflict[0].name, "Na max 60"));
    ck_assert_ptr_nonnull(strstr(kit_note(kit, "limit-over-by-water"), "298"));
}
END_TEST

START_KIT_TEST(a_source_of_traces_may_bring_its_sodium_along, open_saline(kit))
{
    kit_target(kit, SW_MO, 0.05);
    kit_product(kit, "molybdate", SW_MO, 396)->per_g.amount[SW_NA] = 190;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_finished(kit).amount[SW_MO], 0.05, 1e-9);
    ck_assert_double_lt(kit_finished(kit).amount[SW_NA], 298.1);
}
END_TEST

/* For 200 mg/L of K half a gram: less than 3 of sodium beside the 298 are let
 * in, more are not. */
START_TEST(what_no_laboratory_could_tell_is_let_in)
{
    for (int more = 0; more < 2; more++) {
        sw_kit kit;
        open_saline(&kit);
        kit.product[0].per_g.amount[SW_NA] = more ? 6 : 5.9;
        kit_optimum(&kit);
        ck_assert_double_eq_tol(kit_finished(&kit).amount[SW_K],
                                more ? 150 : 200, 1e-6);
        ck_assert_ptr_nonnull(
            strstr(kit_note(&kit, "limit-over-by-water"), "less than 1 %"));
        kit_close(&kit);
    }
}
END_TEST

/* What the grower fixes adds all the same, which the note does not deny. */
START_KIT_TEST(a_fixed_product_adds_and_is_told_to, open_saline(kit))
{
    kit->product[0].fixed_g_per_l = 0.1;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_finished(kit).amount[SW_NA], 303, 1e-6);
    ck_assert_ptr_nonnull(
        strstr(kit_note(kit, "limit-over-by-water"), "fixed amounts given"));
}
END_TEST

START_KIT_TEST(unless_asked_for_there_is_no_recipe, open_saline(kit))
{
    kit->problem.nearest = false;
    ck_assert_int_eq(kit_solve(kit), SW_OK);
    ck_assert_int_eq(kit->solution->outcome, SW_CONFLICT);
}
END_TEST

/* A limit that the water breaks is no reason to leave the grower without one.
 */
START_KIT_TEST(by_default_there_is_one, open_saline(kit))
{
    kit->problem.nearest = sw_problem_default().nearest;
    kit_optimum(kit);
    ck_assert_double_gt(kit_finished(kit).amount[SW_K], 0);
}
END_TEST

START_KIT_TEST(limits_that_hold_are_not_touched, open_saline(kit))
{
    kit->water[0].amount[SW_NA] = 10;
    kit_optimum(kit);
    ck_assert_uint_eq(kit->solution->conflict_count, 0);
    ck_assert_double_le(kit_finished(kit).amount[SW_NA], 60 * (1 + 1e-9));
}
END_TEST

/* K at least 100, and the only source brings half as much chloride, of which
 * 20 are allowed: 40 of K, or 50 of Cl, or between.  Shares of K cost 1 per
 * 100, of Cl 1 per 20: K gives way, to 40. */
START_KIT_TEST(through_products_the_least_share_gives_way, kit_open(kit))
{
    kit->problem.nearest = true;
    kit_row(kit, SW_K, 150, 100, NAN);
    kit_row(kit, SW_CL, NAN, NAN, 20);
    kit_product(kit, "potash", SW_K, 400)->per_g.amount[SW_CL] = 200;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_finished(kit).amount[SW_K], 40, 1e-4);
    ck_assert_double_le(kit_finished(kit).amount[SW_CL], 20 * (1 + 1e-9));
    ck_assert_ptr_nonnull(strstr(kit_note(kit, "limit-gave-way"), "K min 100"));
    ck_assert_uint_eq(kit->solution->conflict_count, 2);
}
END_TEST

START_KIT_TEST(what_the_shelf_says_gives_never_way, kit_open(kit))
{
    kit->problem.nearest = true;
    kit_row(kit, SW_K, 150, NAN, 100);
    kit_product(kit, "potash", SW_K, 400)->fixed_g_per_l = 1;
    kit_optimum(kit);
    ck_assert_double_eq(kit_amount(kit, 0), 1);
    ck_assert_ptr_nonnull(strstr(kit_note(kit, "limit-gave-way"), "K max 100"));
}
END_TEST

/* The one source of nitrogen is half ammonium, of which 8 % are allowed; and
 * K may be no more than N over 0.4. */
START_KIT_TEST(a_ratio_of_nothing_is_no_success, kit_open(kit))
{
    kit->problem.nearest = true;
    kit_target(kit, SW_N, 98);
    kit_target(kit, SW_K, 100);
    kit_ratio(kit, SW_NH4_N, SW_N, NAN, 0.08)->name = "NH4-N:N";
    kit_ratio(kit, SW_N, SW_K, 0.4, 1.2)->name = "N:K";
    kit_product(kit, "potash", SW_K, 400);
    kit_product(kit, "saltpetre of ammonia", SW_N, 350)
        ->per_g.amount[SW_NH4_N] = 175;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_finished(kit).amount[SW_N], 98, 1e-4);
    ck_assert_double_eq_tol(kit_finished(kit).amount[SW_K], 100, 1e-4);
    ck_assert_ptr_nonnull(
        strstr(kit_note(kit, "limit-gave-way"), "NH4-N:N max 0.08"));
    ck_assert_ptr_null(strstr(kit_note(kit, "limit-gave-way"), "N:K m"));
    kit->row[2].max = NAN; /* a wish alone is no limit */
    kit->row[2].target = 0.1;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_finished(kit).amount[SW_N], 98, 1e-4);
    ck_assert_ptr_nonnull(strstr(kit_note(kit, "ratio-not-sought"), "NH4-N:N"));
    ck_assert_ptr_null(kit_note(kit, "limit-gave-way"));
}
END_TEST

/* A soft water, and sulfuric acid the only source of 50 mg/L of sulfur: some 3
 * meq/L of it, where the water bears less than 1. */
static void open_acid(sw_kit *kit)
{
    kit_open(kit);
    kit->problem.nearest = true;
    kit->water[0].amount[SW_ALKALINITY] = 1;
    kit->water[0].amount[SW_CARBON] = 1.1;
    kit->water[0].amount[SW_CA] = 20;
    kit_target(kit, SW_K, 200);
    kit_row(kit, SW_S, 60, 50, NAN);
    kit_ph_row(kit, 5.8, 5.5, 6.2);
    kit_product(kit, "potash", SW_K, 400)->per_g.amount[SW_CL] = 363;
    kit_product(kit, "sulfuric acid", SW_S, 326.9)
        ->per_g.amount[SW_ALKALINITY] = -20.4;
}

START_TEST(no_acid_is_poured_for_a_nutrient_beyond_the_ph)
{
    for (int conflict = 0; conflict < 2; conflict++) {
        sw_kit kit;
        open_acid(&kit);
        if (conflict) /* with the chloride that comes with the potash */
            kit.row[0].min = 150;
        if (conflict)
            kit_row(&kit, SW_CL, NAN, NAN, 60);
        kit_optimum(&kit);
        ck_assert_double_eq_tol(kit_ph(&kit), 5.5, TOL_MODEL_PH);
        ck_assert_double_gt(kit_finished(&kit).amount[SW_S], 5);
        ck_assert_double_lt(kit_finished(&kit).amount[SW_S], 16);
        ck_assert(!kit.solution->misses_ph);
        ck_assert_ptr_nonnull(strstr(kit_note(&kit, "limit-gave-way"),
                                     conflict ? "K min" : "S m"));
        if (!conflict)
            ck_assert_uint_eq(kit.solution->conflict_count, 2);
        kit_close(&kit);
    }
}
END_TEST

/* A water whose ammonium is over a tenth of all the nitrogen accepted, and
 * nitrogen that keeps the ratio, that breaks it, and that has no ammonium. */
static void open_ammoniacal(sw_kit *kit)
{
    kit_open(kit);
    kit->problem.ratios_yield = true;
    kit->water[0].amount[SW_NH4_N] = kit->water[0].amount[SW_N] = 25;
    kit_target(kit, SW_N, 150);
    kit_target(kit, SW_K, 200);
    kit_target(kit, SW_CA, 100);
    kit_ratio(kit, SW_NH4_N, SW_N, NAN, 0.1)->name = "NH4-N:N";
    sw_product *lime = kit_product(kit, "keeps it", SW_CA, 190);
    lime->per_g.amount[SW_N] = 155;
    lime->per_g.amount[SW_NH4_N] = 11;
    kit_product(kit, "breaks it", SW_N, 350)->per_g.amount[SW_NH4_N] = 175;
    kit_product(kit, "nitrate", SW_K, 380)->per_g.amount[SW_N] = 137;
}

/* Kept, it would take 250 mg/L of N. */
START_TEST(no_recipe_dilutes_what_the_water_breaks_a_ratio_by)
{
    for (int turn = 0; turn < 4; turn++) {
        sw_kit kit;
        bool nearest = turn % 2;
        open_ammoniacal(&kit);
        if (turn / 2) { /* the same of a target's accepted range */
            kit.row[3].target = 0.1 / 1.1;
            kit.row[3].max = NAN;
        }
        kit.problem.nearest = nearest;
        kit.problem.ratios_yield = !nearest;
        kit_optimum(&kit);
        ck_assert_double_lt(kit_finished(&kit).amount[SW_N], 165 + 15);
        ck_assert_double_lt(kit_finished(&kit).amount[SW_K], 220);
        ck_assert_double_gt(kit_amount(&kit, 0), 0.4);
        ck_assert_double_eq(kit_amount(&kit, 1), 0);
        ck_assert_uint_eq(kit.solution->conflict_count, 0);
        const char *note = kit_note(&kit, "ratio-over-by-water");
        ck_assert_ptr_nonnull(strstr(note, "NH4-N:N max 0.1 "));
        ck_assert_ptr_nonnull(strstr(note, "brings 25 mg/L of NH4-N"));
        ck_assert_int_eq(kit.solution->left_out[0], SW_IN_USE);
        ck_assert_int_eq(kit.solution->left_out[1], SW_LEFT_WATER);
        kit_close(&kit);
    }
}
END_TEST

/* From no end it is nearer at any: the one source of the second part serves,
 * though 17 times as much of the first comes with it. */
START_KIT_TEST(what_brings_a_part_of_which_there_is_none_serves, kit_open(kit))
{
    kit->problem.ratios_yield = true;
    kit->water[0].amount[SW_CA] = 100;
    kit_row(kit, SW_NH4_N, 10, NAN, 12);
    kit_ratio(kit, SW_CA, SW_NH4_N, NAN, 0.55)->name = "Ca:NH4-N";
    kit_product(kit, "with both", SW_CA, 190)->per_g.amount[SW_NH4_N] = 11;
    kit_product(kit, "with one", SW_CA, 400);
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_finished(kit).amount[SW_NH4_N], 10, 1e-6);
    ck_assert_int_eq(kit->solution->left_out[0], SW_IN_USE);
    ck_assert_int_eq(kit->solution->left_out[1], SW_LEFT_WATER);
    ck_assert_ptr_nonnull(kit_note(kit, "ratio-over-by-water"));
}
END_TEST

/* Nor of waters in free shares, unless one of them keeps it. */
START_TEST(waters_that_all_break_a_ratio_are_not_diluted)
{
    for (int keeps = 0; keeps < 2; keeps++) {
        sw_kit kit;
        open_ammoniacal(&kit);
        kit.problem.fractions = NULL;
        kit.problem.water_count = 2;
        kit.water[1] = kit.water[0];
        kit.water[1].amount[SW_NH4_N] = kit.water[1].amount[SW_N] =
            keeps ? 5 : 30;
        kit_optimum(&kit);
        double part = kit_finished(&kit).amount[SW_NH4_N];
        bool kept = part <= 0.1 * kit_finished(&kit).amount[SW_N] * (1 + 1e-6);
        ck_assert(kept == keeps);
        ck_assert_double_lt(kit_finished(&kit).amount[SW_N], 165 + 15);
        ck_assert((kit_note(&kit, "ratio-over-by-water") == NULL) == keeps);
        kit_close(&kit);
    }
}
END_TEST

/* The mirror: a min that is broken by the second part. */
START_KIT_TEST(a_min_that_the_water_breaks_is_fed_neither, kit_open(kit))
{
    kit->problem.ratios_yield = true;
    kit->water[0].amount[SW_CA] = 200;
    kit_target(kit, SW_K, 200);
    kit_target(kit, SW_MG, 40);
    kit_ratio(kit, SW_K, SW_CA, 1.4, NAN)->name = "K:Ca";
    kit_product(kit, "potash", SW_K, 400);
    kit_product(kit, "dolomite", SW_MG, 130)->per_g.amount[SW_CA] = 200;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_finished(kit).amount[SW_K], 200, 1e-6);
    ck_assert_double_eq(kit_finished(kit).amount[SW_CA], 200);
    ck_assert_ptr_nonnull(
        strstr(kit_note(kit, "ratio-over-by-water"), "K:Ca min 1.4 "));
}
END_TEST

/* Within what is accepted of the other part it stays a limit, and so it does
 * where the target names none of that, or nobody lets it give way. */
START_TEST(a_ratio_that_can_be_kept_stays_a_limit)
{
    static const struct {
        double brings, n;
        bool yields;
    } cases[] = {{16, 150, true}, {25, NAN, true}, {25, 150, false}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_kit kit;
        open_ammoniacal(&kit);
        kit.water[0].amount[SW_NH4_N] = cases[i].brings;
        kit.water[0].amount[SW_N] = cases[i].brings;
        kit.problem.ratios_yield = cases[i].yields;
        kit.row[0].target = cases[i].n;
        kit_optimum(&kit);
        ck_assert_double_le(kit_finished(&kit).amount[SW_NH4_N],
                            0.1 * kit_finished(&kit).amount[SW_N] * (1 + 1e-6));
        ck_assert_ptr_null(kit_note(&kit, "ratio-over-by-water"));
        kit_close(&kit);
    }
}
END_TEST

/* Na max 60 and K:Na max 0.5 of a target of 100 Na, in one water or in each of
 * two: what gives way, and from where. */
typedef struct watered {
    double na, k, other_na; /* of the waters; NaN: there is one */
    bool ratios_alone, nearest, any;
    double max, limit, gave, ratio_gave;
} watered;

static sw_status ease_one(sw_solver *solver, void *context)
{
    sw_kit kit;
    const watered *c = context;
    kit_open(&kit);
    kit.problem.nearest = c->nearest;
    kit.problem.water_count = isnan(c->other_na) ? 1 : 2;
    kit.water[0].amount[SW_NA] = c->na;
    kit.water[1].amount[SW_NA] = c->other_na;
    kit.water[0].amount[SW_K] = kit.water[1].amount[SW_K] = c->k;
    kit_row(&kit, SW_NA, 100, NAN, c->max);
    kit_ratio(&kit, SW_K, SW_NA, NAN, 0.5);
    sw_easing_state *state = sw_ease_open(solver, &kit.problem);
    ck_assert_int_eq(sw_ease_water(state, c->ratios_alone), c->any);
    const sw_target_row *rows = state->target.rows;
    ck_assert(rows[0].max == c->limit && kit.row[0].max == c->max);
    ck_assert(isnan(c->gave) ? isnan(state->gave[0].max)
                             : state->gave[0].max == c->gave);
    ck_assert(isnan(state->gave[0].min) && isnan(state->gave[1].min));
    if (isnan(c->ratio_gave)) {
        ck_assert(rows[1].max == 0.5 && isnan(state->gave[1].max));
    } else {
        ck_assert(isnan(rows[1].max) && state->gave[1].max == 0.5);
        ck_assert(state->gave[1].brings == c->k);
    }
    kit_close(&kit);
    return SW_OK;
}

START_TEST(what_the_water_is_over_gives_way_and_no_more)
{
    static const watered cases[] = {
        {298, 10, NAN, false, true, true, 60, 298, 60, NAN},
        {60, 10, NAN, false, true, false, 60, 60, NAN, NAN},
        {60 * (1 + 1e-8), 10, NAN, false, true, true, 60, 60 * (1 + 1e-8), 60,
         NAN},
        {298, 10, NAN, true, true, false, 60, 60, NAN, NAN},
        /* which of two it is is not known */
        {298, 10, 298, false, true, false, 60, 60, NAN, NAN},
        /* 0.5 of the 110 that are accepted is 55 */
        {20, 54, NAN, false, true, false, 110, 110, NAN, NAN},
        {20, 56, NAN, false, true, true, 110, 110, NAN, 56},
        {20, 56, NAN, true, true, true, 110, 110, NAN, 56},
        {20, 56, NAN, false, false, true, 110, 110, NAN, 56},
        {20, 56, NAN, true, false, false, 110, 110, NAN, NAN},
        {20, 56, 20, true, true, true, 110, 110, NAN, 56},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        watered c = cases[i];
        sw_solver *solver = NULL;
        ck_assert_int_eq(sw_solver_new(&solver, NULL), SW_OK);
        ck_assert_int_eq(sw_solver_run(solver, ease_one, &c), SW_OK);
        sw_solver_free(solver);
    }
}
END_TEST

/* A share of the limit; of none, or of a pH, one unit; of a ratio what its
 * second part usually is. */
START_KIT_TEST(what_a_limit_gives_is_measured_by_its_size, kit_open(kit))
{
    kit_row(kit, SW_CA, NAN, NAN, 140);
    kit_row(kit, SW_MG, 0, NAN, NAN);
    sw_target_row of_ca = {.other = SW_CA}, of_k = {.other = SW_K};
    const sw_model model = {.problem = &kit->problem};
    const struct {
        sw_side side;
        double size;
    } cases[] = {{{.kind = SW_SIDE_COMPONENT, .bound = 60}, 60},
                 {{.kind = SW_SIDE_COMPONENT, .bound = 0}, 1},
                 {{.kind = SW_SIDE_PH, .bound = 5.5}, 1},
                 {{.kind = SW_SIDE_RATIO, .bound = 1.5, .target = &of_ca}, 210},
                 {{.kind = SW_SIDE_RATIO, .bound = 1.5, .target = &of_k}, 150}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        ck_assert_double_eq_tol(sw_ease_size(&model, &cases[i].side),
                                cases[i].size, 1e-12);
    kit->row[0].target = 120;
    ck_assert_double_eq_tol(sw_ease_size(&model, &cases[3].side), 180, 1e-12);
}
END_TEST

START_KIT_TEST(an_acid_water_is_no_conflict, open_acid(kit))
{
    kit->row[1].min = NAN;
    kit->water[0].amount[SW_ALKALINITY] = -1;
    kit_optimum(kit);
    ck_assert_double_eq(kit_amount(kit, 1), 0);
    ck_assert(kit->solution->misses_ph);
    ck_assert_uint_eq(kit->solution->conflict_count, 0);
}
END_TEST
