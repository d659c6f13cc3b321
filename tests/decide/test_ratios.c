/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Ratios are sought where nothing else is missed for them. */
#include "decide/ratios.h"

#include "formulate/kit.h"

static bool names_limit(const sw_kit *kit, const char *name)
{
    for (size_t i = 0; i < kit->solution->within_count; i++)
        if (!strcmp(kit->solution->within[i].name, name))
            return true;
    return false;
}

static sw_target_row *wish(sw_kit *kit, const char *name, sw_component part,
                           sw_component whole, double target)
{
    sw_target_row *row = kit_ratio(kit, part, whole, NAN, NAN);
    row->name = (char *)name;
    row->target = target;
    return row;
}

/* 200 mg/L of K, 40 of Mg, and of Ca by the ratio; the one source of calcium
 * brings as much magnesium, of which K:Ca would take half as much again. */
static void open_dear(sw_kit *kit)
{
    kit_open(kit);
    kit->problem.nearest = true;
    kit_target(kit, SW_K, 200);
    kit_target(kit, SW_MG, 40);
    wish(kit, "K:Ca", SW_K, SW_CA, 2);
    kit_product(kit, "potash", SW_K, 100);
    kit_product(kit, "lime", SW_CA, 100)->per_g.amount[SW_MG] = 100;
}

START_KIT_TEST(no_ratio_is_sought_where_a_target_is_missed_for_it,
               open_dear(kit))
{
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 2, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(kit_amount(kit, 1), 0.4, TOL_HAND_SOLVED);
    ck_assert_ptr_nonnull(kit_note(kit, "ratio-not-sought"));
    ck_assert_ptr_null(kit_note(kit, "band-as-limit"));
    ck_assert(!names_limit(kit, "K:Ca max 2.2 (accepted range of its target, "
                                "target.csv line 4)"));
    ck_assert(kit->solution->ratios_judged);
    kit->row[1].weight = 0; /* now it costs nothing */
    kit->row[1].max = 200;
    kit->row[1].min = 20;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 1), 2 / 2.2, TOL_HAND_SOLVED);
    ck_assert(!kit->solution->ratios_judged);
    kit->problem.ratios_judged = true;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 1), 0.2, TOL_HAND_SOLVED);
    ck_assert_ptr_null(kit_note(kit, "ratio-not-sought"));
}
END_TEST

/* Calcium with so little ammonium that no N is left of it; conflict or not,
 * the ratio takes no recipe away. */
START_KIT_TEST(no_recipe_is_lost_for_a_ratio, kit_open(kit))
{
    kit_target(kit, SW_N, 150);
    wish(kit, "Ca:NH4-N", SW_CA, SW_NH4_N, 1);
    wish(kit, "N:NH4-N", SW_N, SW_NH4_N, 1);
    sw_product *nitrate = kit_product(kit, "calcium nitrate", SW_CA, 190);
    nitrate->per_g.amount[SW_N] = 155;
    nitrate->per_g.amount[SW_NH4_N] = 11;
    nitrate->min_g_per_l = 0.1;
    for (int nearest = 0; nearest < 2; nearest++) {
        kit->problem.nearest = nearest;
        kit_optimum(kit);
        ck_assert_double_eq_tol(kit_amount(kit, 0), 150 / 155.0,
                                TOL_HAND_SOLVED);
        ck_assert_uint_eq(kit->solution->conflict_count, 0);
        const char *note = kit_note(kit, "ratio-not-sought");
        ck_assert_ptr_nonnull(strstr(note, "missed for them."));
    }
}
END_TEST

/* Whichever comes first. */
START_TEST(of_several_ratios_those_that_cost_nothing_are_sought)
{
    for (int turn = 0; turn < 2; turn++) {
        sw_kit kit;
        open_dear(&kit);
        wish(&kit, "K:S", SW_K, SW_S, 4);
        wish(&kit, "K:Zn", SW_K, SW_ZN, 1000);
        kit_product(&kit, "sulfur", SW_S, 100);
        kit_product(&kit, "zinc", SW_ZN, 10);
        if (turn) {
            sw_target_row first = kit.row[2];
            kit.row[2] = kit.row[4];
            kit.row[4] = first;
        }
        kit_optimum(&kit);
        ck_assert_double_eq_tol(kit_amount(&kit, 1), 0.4, TOL_HAND_SOLVED);
        ck_assert_double_eq_tol(kit_amount(&kit, 2), 2 / 4.4, TOL_HAND_SOLVED);
        ck_assert_double_eq_tol(kit_amount(&kit, 3), 20 / 1100.0,
                                TOL_HAND_SOLVED);
        ck_assert(kit.solution->ratios_judged);
        ck_assert(names_limit(&kit, "K:S max 4.4 (accepted range of its "
                                    "target, target.csv line 5)"));
        const char *note = kit_note(&kit, "ratio-not-sought");
        ck_assert_ptr_nonnull(strstr(note, "K:Ca: "));
        ck_assert_ptr_nonnull(strstr(note, "missed for it."));
        ck_assert_ptr_null(strstr(note, "K:S"));
        kit_close(&kit);
    }
}
END_TEST

typedef struct seen {
    int times;
    double objective;
} seen;

static sw_status look(sw_solver *solver, const sw_model *model,
                      const sw_fit *fit, void *context)
{
    (void)solver;
    (void)model;
    seen *s = context;
    s->times++;
    s->objective = fit->objective;
    return SW_OK;
}

/* Free: lime without magnesium; alone: the dear one; some: another beside. */
START_TEST(an_onlooker_sees_the_one_recipe_that_is_told)
{
    for (int some = 0; some < 3; some++) {
        sw_kit kit;
        seen s = {0};
        const sw_onlooker onlooker = {look, &s};
        open_dear(&kit);
        kit.row[0].max = 220;
        if (some == 0)
            kit.product[1].per_g.amount[SW_MG] = 0;
        if (some == 2) {
            wish(&kit, "K:S", SW_K, SW_S, 4);
            kit_product(&kit, "sulfur", SW_S, 100);
        }
        ck_assert_int_eq(sw_formulate_before(kit.solver, &kit.problem,
                                             &onlooker, &kit.solution, NULL),
                         SW_OK);
        ck_assert_int_eq(s.times, 1);
        ck_assert_double_eq_tol(
            s.objective, kit.solution->certificate.objective, TOL_HAND_SOLVED);
        ck_assert_int_eq(kit.solution->ratios_judged, some > 0);
        kit_close(&kit);
    }
}
END_TEST
