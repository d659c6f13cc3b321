/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tanks whose solution goes round. */
#include "tank.h"

START_TANK_TEST(what_the_crop_took_up_is_added_and_nothing_drained,
                set_up(t, "early"))
{
    renew(t, 0.6);
    ck_assert_int_eq(t->renewal->outcome, SW_OPTIMAL);
    ck_assert_double_eq(t->renewal->drained, 0.0);
    ck_assert_double_eq(t->renewal->kept, 0.6);
    ck_assert_uint_eq(t->renewal->forcing_count, 0);
    ck_assert_double_eq_tol(finished(t, SW_K), 195.0, 19.5);
    ck_assert_double_eq_tol(finished(t, SW_CA), 140.0, 14.0);
    for (size_t i = 0; i < t->renewal->solution->notes.count; i++)
        ck_assert_str_ne(t->renewal->solution->notes.items[i].code,
                         "band-as-limit");
}
END_TEST

START_TANK_TEST(sodium_built_up_decides_how_much_is_drained, set_up(t, "late"))
{
    renew(t, 0.9);
    /* Na max 60 mg/L; the shelf brings only that of the molybdate */
    double kept =
        (60.0 - t->waters[1].amount[SW_NA]) /
            (t->waters[0].amount[SW_NA] - t->waters[1].amount[SW_NA]) -
        0.9 * LITTLE_MORE;
    ck_assert_int_eq(t->renewal->outcome, SW_OPTIMAL);
    ck_assert_double_eq_tol(t->renewal->kept, kept, TOL_KEPT);
    ck_assert_double_eq_tol(t->renewal->drained, 1.0 - kept / 0.9,
                            TOL_KEPT / 0.9);
    ck_assert(finished(t, SW_NA) <= 60.0 * (1.0 + 1e-6));
}
END_TEST

/* Fresh from the well its acid leaves CO2 in it: far below a pH that it has
 * once aired. */
START_TANK_TEST(a_ph_aired_does_not_keep_alkaline_water_out, set_up(t, "late"))
{
    t->waters[1].amount[SW_ALKALINITY] += 4.0;
    t->waters[1].amount[SW_CARBON] += 4.0;
    for (size_t i = 0; i < t->mix.target->count; i++)
        if (t->mix.target->rows[i].kind == SW_TARGET_PH) {
            t->mix.target->rows[i].aired = true;
            t->mix.target->rows[i].min = 5.6;
        }
    renew(t, 0.9);
    ck_assert_int_eq(t->renewal->outcome, SW_OPTIMAL);
    ck_assert(t->renewal->drained > 0.5);
    ck_assert(finished(t, SW_NA) <= 60.0 * (1.0 + 1e-6));
}
END_TEST

/* Molybdate brings 0.0025 mg/L of Na where Na decides the litres. */
START_TANK_TEST(no_recipe_is_bent_for_a_drop_of_what_is_drained,
                set_up(t, "late"))
{
    renew(t, 0.9);
    ck_assert_double_eq_tol(finished(t, SW_MO), 0.05, 1e-6);
    ck_assert_double_eq_tol(finished(t, SW_FE), 2.0, 1e-6);
}
END_TEST

START_TANK_TEST(with_a_little_less_drained_a_limit_is_broken, set_up(t, "late"))
{
    renew(t, 0.9);
    double more = t->renewal->kept + 0.9 * LITTLE_MORE + TOL_KEPT;
    double fractions[2] = {more, 1.0 - more};
    sw_problem problem = t->problem;
    sw_solution *solution;
    problem.fractions = fractions;
    problem.keep_bands = true;
    ck_assert_int_eq(sw_formulate(t->solver, &problem, &solution, NULL), SW_OK);
    ck_assert_int_eq(solution->outcome, SW_CONFLICT);
    sw_solution_free(solution);
}
END_TEST

START_TANK_TEST(where_fresh_water_does_not_help_nothing_is_drained,
                set_up(t, "late"))
{
    t->waters[1].amount[SW_CL] = 300.0;
    t->waters[1].amount[SW_NA] = 200.0;
    renew(t, 0.5);
    ck_assert_int_eq(t->renewal->outcome, SW_CONFLICT);
    ck_assert_double_eq(t->renewal->drained, 0.0);
    ck_assert(t->renewal->solution->recipe.count > 0);
    const sw_unreached *na = unreached(t, "Na max 60 mg/L (basil.csv");
    ck_assert_ptr_nonnull(na);
    ck_assert(na->limit.end == SW_SIDE_MAX);
    ck_assert_double_eq(na->limit.bound, 60.0);
    ck_assert_double_eq_tol(na->finished, finished(t, SW_NA), 1e-6);
    ck_assert_ptr_nonnull(
        strstr(na->reason, "no less than the 200 of the fresh"));
    ck_assert_ptr_nonnull(unreached(t, "Cl max 100 mg/L"));
    ck_assert_double_eq_tol(finished(t, SW_K), 195.0, 19.5);
}
END_TEST

START_TEST(what_cannot_be_met_does_not_keep_the_rest_from_it)
{
    static const sw_objective objectives[] = {SW_CLOSEST, SW_EVEN, SW_CHEAPEST};
    for (size_t i = 0; i < 3; i++) {
        tank t;
        set_up(&t, "late");
        ask_for_silicon(&t);
        t.problem.objective = objectives[i];
        renew(&t, 0.9);
        double kept =
            (60.0 - t.waters[1].amount[SW_NA]) /
                (t.waters[0].amount[SW_NA] - t.waters[1].amount[SW_NA]) -
            0.9 * LITTLE_MORE;
        ck_assert_int_eq(t.renewal->outcome, SW_CONFLICT);
        ck_assert_double_eq_tol(t.renewal->kept, kept, TOL_KEPT);
        ck_assert_uint_eq(t.renewal->unreached_count, 1);
        const sw_unreached *si =
            unreached(&t, "Si min 45 mg/L (accepted range");
        ck_assert_ptr_nonnull(si);
        ck_assert(si->limit.end == SW_SIDE_MIN);
        ck_assert_ptr_nonnull(strstr(si->reason, "no product of the shelf"));
        ck_assert_uint_gt(t.renewal->forcing_count, 0);
        ck_assert_ptr_nonnull(
            strstr(t.renewal->forcing[0].limit.name, "Na max 60"));
        for (size_t k = 0; k < t.renewal->forcing_count; k++)
            ck_assert_uint_ne(t.renewal->forcing[k].limit.index,
                              si->limit.index);
        ck_assert(finished(&t, SW_NA) <= 60.0 * (1.0 + 1e-6));
        ck_assert_double_eq_tol(finished(&t, SW_K), 195.0, 19.501);
        ck_assert_double_eq_tol(finished(&t, SW_CA), 140.0, 14.001);
        tear_down(&t);
    }
}
END_TEST

/* Leaves two hard waters and nothing against them. */
static void take_acids_away(tank *t)
{
    for (size_t j = 0; j < t->mix.shelf->count; j++)
        if (t->mix.shelf->products[j].per_g.amount[SW_ALKALINITY] < -1.0)
            t->mix.shelf->products[j].max_g_per_l = 0.0;
    for (int k = 0; k < 2; k++) {
        t->waters[k].amount[SW_ALKALINITY] += 4.0;
        t->waters[k].amount[SW_CARBON] += 4.0;
    }
}

START_TANK_TEST(a_ph_that_nothing_moves_is_among_what_cannot_be_met,
                set_up(t, "early"))
{
    take_acids_away(t);
    renew(t, 0.5);
    const sw_unreached *ph = unreached(t, "pH max 6.2");
    ck_assert_ptr_nonnull(ph);
    ck_assert(ph->finished > 6.2);
    ck_assert_ptr_nonnull(strstr(ph->reason, "no product of the shelf"));
    ck_assert_int_eq(t->renewal->outcome, SW_CONFLICT);
    ck_assert_double_eq_tol(finished(t, SW_CA), 140.0, 14.001);
}
END_TEST

START_TANK_TEST(a_ph_without_a_target_is_brought_as_near_as_can_be,
                set_up(t, "early"))
{
    for (size_t i = 0; i < t->mix.target->count; i++)
        if (t->mix.target->rows[i].kind == SW_TARGET_PH)
            t->mix.target->rows[i].target = NAN;
    take_acids_away(t);
    renew(t, 0.5);
    ck_assert_ptr_nonnull(unreached(t, "pH max 6.2"));
    ck_assert(t->renewal->solution->recipe.count > 0);
}
END_TEST

START_TANK_TEST(what_the_shelf_must_use_may_keep_a_limit_from_being_met,
                set_up(t, "early"))
{
    sw_product *nitrate = &t->mix.shelf->products[1];
    nitrate->per_g.amount[SW_CL] = 200.0;
    nitrate->fixed_g_per_l = 1.0;
    row_of(t, SW_NA)->target = 0.0; /* measured by its max */
    t->waters[1].amount[SW_NA] = 300.0;
    t->waters[0].amount[SW_NA] = 300.0;
    renew(t, 0.5);
    const sw_unreached *cl = unreached(t, "Cl max 100");
    ck_assert_ptr_nonnull(cl);
    ck_assert_ptr_nonnull(strstr(cl->reason, "must be used brings more"));
    ck_assert_ptr_nonnull(unreached(t, "Na max 60"));
}
END_TEST

START_TANK_TEST(what_may_not_be_used_enough_is_short, set_up(t, "late"))
{
    for (size_t j = 0; j < t->mix.shelf->count; j++)
        if (t->mix.shelf->products[j].per_g.amount[SW_FE] > 0.0)
            t->mix.shelf->products[j].max_g_per_l = 1e-3;
    row_of(t, SW_FE)->min = 1.9;
    renew(t, 0.9);
    const sw_unreached *fe = unreached(t, "Fe min 1.9 mg/L (basil.csv");
    ck_assert_ptr_nonnull(fe);
    ck_assert_ptr_nonnull(strstr(fe->reason, "may not be used so much"));
    /* given, so as near as can be: all of it */
    ck_assert_double_eq_tol(
        fe->finished, t->renewal->kept * t->waters[0].amount[SW_FE] + 0.11,
        1e-4);
}
END_TEST

START_TANK_TEST(an_ec_is_judged_and_not_counted_in, set_up(t, "early"))
{
    sw_target_row *row = row_of(t, SW_MO);
    row->kind = SW_TARGET_EC;
    row->target = 9.0;
    renew(t, 0.6);
    ck_assert_int_eq(t->renewal->outcome, SW_OPTIMAL);
    sw_renewal_free(t->renewal);
    sw_target_row *zinc = row_of(t, SW_ZN);
    zinc->component = SW_SI;
    zinc->target = 50.0;
    renew(t, 0.6);
    ck_assert_int_eq(t->renewal->outcome, SW_CONFLICT);
    ck_assert_uint_eq(t->renewal->unreached_count, 1);
    ck_assert_double_eq(t->renewal->drained, 0.0);
}
END_TEST

START_TANK_TEST(ceilings_on_what_is_not_named_are_kept_all_the_same,
                set_up(t, "early"))
{
    ask_for_silicon(t);
    /* the only source of nitrogen but for salts of K and Mg brings fluoride */
    t->mix.shelf->products[0].per_g.amount[SW_F] = 10.0;
    renew(t, 0.1);
    ck_assert_ptr_nonnull(unreached(t, "Si min"));
    ck_assert_ptr_null(unreached(t, "F max"));
    const double *g_per_l = t->renewal->solution->recipe.g_per_l;
    /* reference/components.csv: F 1 mg/L added */
    ck_assert(10.0 * g_per_l[0] <= 1.0 + 1e-6);
    const sw_unreached *ca = unreached(t, "Ca min 126 mg/L (accepted range");
    ck_assert_ptr_nonnull(ca);
    ck_assert_ptr_nonnull(strstr(ca->reason, "may not be used so much"));
}
END_TEST

START_TANK_TEST(a_ratio_that_cannot_be_had_is_named, set_up(t, "early"))
{
    for (size_t i = 0; i < t->mix.target->count; i++)
        if (t->mix.target->rows[i].kind == SW_TARGET_RATIO) {
            t->mix.target->rows[i].max = NAN;
            t->mix.target->rows[i].min = 0.9;
        } else if (t->mix.target->rows[i].kind == SW_TARGET_PH) {
            /* a pH by its band, which can be had */
            t->mix.target->rows[i].min = t->mix.target->rows[i].max = NAN;
        }
    renew(t, 0.6);
    const sw_unreached *ratio = unreached(t, "NH4-N:N min 0.9 (basil.csv");
    ck_assert_ptr_nonnull(ratio);
    ck_assert_ptr_nonnull(strstr(ratio->reason, "and no product of the shelf"));
    ck_assert_double_eq_tol(ratio->finished,
                            finished(t, SW_NH4_N) / finished(t, SW_N), 1e-9);
    ck_assert_ptr_null(unreached(t, "pH"));
}
END_TEST

/* What keeps the rest from being met comes not back as a range of its own. */
START_TANK_TEST(a_ratio_given_up_is_not_sought, set_up(t, "early"))
{
    for (size_t i = 0; i < t->mix.target->count; i++)
        if (t->mix.target->rows[i].kind == SW_TARGET_RATIO) {
            t->mix.target->rows[i].max = NAN;
            t->mix.target->rows[i].target = 0.9;
        }
    renew(t, 0.6);
    ck_assert_ptr_nonnull(unreached(t, "NH4-N:N min 0.81 (accepted range"));
    ck_assert_double_ge(finished(t, SW_N), 0.9 * 150.0);
    for (size_t i = 0; i < t->renewal->solution->within_count; i++) {
        const sw_limit *limit = &t->renewal->solution->within[i];
        if (strstr(limit->name, "NH4-N:N min")) {
            ck_assert_int_eq(limit->origin, SW_NO_FURTHER);
            ck_assert_double_lt(limit->bound, 0.81);
        }
    }
}
END_TEST

START_TANK_TEST(a_solution_without_alkalinity_has_the_ph_it_was_measured_at,
                set_up(t, "early"))
{
    sw_chemistry chemistry;
    ck_assert_int_eq(sw_equilibrate(&t->waters[0], &t->problem.conditions,
                                    SW_CARBONATE_KEPT, &chemistry, NULL),
                     SW_OK);
    ck_assert_double_eq_tol(chemistry.ph, 6.4, TOL_SETTLED_PH);
    ck_assert_double_eq(t->waters[0].amount[SW_CHELATED_FE],
                        t->waters[0].amount[SW_FE]);
}
END_TEST

START_TANK_TEST(a_solution_with_alkalinity_is_completed_as_a_water_is,
                set_up(t, "early"))
{
    sw_content solution;
    sw_content water;
    sw_notes notes = {NULL, 0};
    sw_water *well = &t->mix.waters->items[0];
    ck_assert_int_eq(
        sw_water_complete(well, &t->problem.conditions, &water, &notes, NULL),
        SW_OK);
    well->is_solution = true;
    ck_assert_int_eq(sw_water_complete(well, &t->problem.conditions, &solution,
                                       &notes, NULL),
                     SW_OK);
    ck_assert_double_eq_tol(solution.amount[SW_CARBON], water.amount[SW_CARBON],
                            1e-3);
    sw_conditions cold = {1.0, 4e-4, NULL, NULL};
    ck_assert_int_eq(sw_water_complete(well, &cold, &solution, &notes, NULL),
                     SW_ERR_VALUE);
    sw_notes_free(&notes);
}
END_TEST

START_TANK_TEST(requests_that_make_no_sense_are_refused, set_up(t, "early"))
{
    double fractions[2] = {0.5, 0.5};
    sw_problem one = t->problem;
    sw_problem given = t->problem;
    one.water_count = 1;
    given.fractions = fractions;
    ck_assert_int_eq(sw_renew(t->solver, &one, 0.5, &t->renewal, NULL),
                     SW_ERR_VALUE);
    ck_assert_int_eq(sw_renew(t->solver, &given, 0.5, &t->renewal, NULL),
                     SW_ERR_VALUE);
    ck_assert_int_eq(sw_renew(t->solver, &t->problem, 0.0, &t->renewal, NULL),
                     SW_ERR_VALUE);
    ck_assert_int_eq(sw_renew(t->solver, &t->problem, 1.1, &t->renewal, NULL),
                     SW_ERR_VALUE);
    t->waters[0].amount[SW_K] = NAN;
    ck_assert_int_eq(sw_renew(t->solver, &t->problem, 0.5, &t->renewal, NULL),
                     SW_ERR_VALUE);
    ck_assert_ptr_null(t->renewal);
}
END_TEST
