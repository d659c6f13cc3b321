/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What forces a solution that goes round out of its tank. */
#include "tank.h"

/* A limit so wide that it limits nothing, in the place of an end. */
static void leave_aside(const tank *t, const sw_forcing *forcing)
{
    sw_target_row *row = &t->mix.target->rows[forcing->limit.index];
    if (forcing->limit.end == SW_SIDE_MAX)
        row->max = 1e4;
    else
        row->min = 0.0;
}

/* Renewed anew with the first `count` that force it left aside. */
static double drained_without(const char *sample, double held,
                              const sw_renewal *of, size_t first, size_t count)
{
    tank t;
    set_up(&t, sample);
    for (size_t i = first; i < first + count; i++)
        leave_aside(&t, &of->forcing[i]);
    renew(&t, held);
    ck_assert_int_eq(t.renewal->outcome, SW_OPTIMAL);
    double drained = t.renewal->drained;
    tear_down(&t);
    return drained;
}

/* What alone forces some out is never said not to hold the recipe back. */
static size_t check_held_back(const sw_renewal *r)
{
    size_t of_renewal = 0;
    for (size_t i = 0; i < r->forcing_count; i++) {
        bool bound = false;
        const sw_forcing *f = &r->forcing[i];
        if (!(f->drained_alone < r->drained - 1e-3))
            continue;
        for (size_t k = 0; k < r->solution->limit_count; k++)
            if (!strcmp(r->solution->limits[k].name, f->limit.name)) {
                bound = true;
                of_renewal += r->solution->limits[k].price == 0;
            }
        ck_assert_msg(bound, "%s", f->limit.name);
        for (size_t k = 0; k < r->solution->within_count; k++)
            if (!strcmp(r->solution->within[k].name, f->limit.name))
                ck_assert(r->solution->within[k].binds);
    }
    return of_renewal;
}

START_TANK_TEST(what_forces_the_letting_out_is_named_and_what_it_costs_is_true,
                set_up(t, "late"))
{
    renew(t, 0.9);
    const sw_renewal *r = t->renewal;
    ck_assert_uint_ge(r->forcing_count, 3);
    ck_assert_str_eq(r->forcing[0].limit.name,
                     "Na max 60 mg/L (basil.csv line 22)");
    ck_assert(r->forcing[0].limit.origin == SW_GIVEN &&
              r->forcing[0].limit.end == SW_SIDE_MAX);
    ck_assert_double_eq(r->forcing[0].limit.bound, 60.0);
    for (size_t i = 0; i < r->forcing_count; i++) {
        const sw_forcing *f = &r->forcing[i];
        ck_assert_double_eq_tol(f->drained_alone,
                                drained_without("late", 0.9, r, i, 1),
                                TOL_KEPT / 0.9);
        ck_assert_double_eq_tol(f->drained_together,
                                drained_without("late", 0.9, r, 0, i + 1),
                                TOL_KEPT / 0.9);
        double kept = 0.9 * (1.0 - f->drained_together);
        sw_component c = t->mix.target->rows[f->limit.index].component;
        ck_assert_double_eq_tol(f->brought,
                                kept * t->waters[0].amount[c] +
                                    (1.0 - kept) * t->waters[1].amount[c],
                                1e-9);
        ck_assert_double_gt(f->brought, f->limit.bound);
        ck_assert(f->drained_together <
                  (i ? f[-1].drained_together : r->drained));
    }
    ck_assert_double_lt(r->forcing[r->forcing_count - 1].drained_together,
                        1e-3);
    check_held_back(r);
}
END_TEST

START_TANK_TEST(a_band_that_stands_for_a_limit_is_told_from_one,
                set_up(t, "late"))
{
    row_of(t, SW_NA)->max = row_of(t, SW_CL)->max = NAN;
    renew(t, 0.9);
    ck_assert_uint_gt(t->renewal->forcing_count, 0);
    for (size_t i = 0; i < t->renewal->forcing_count; i++)
        ck_assert(t->renewal->forcing[i].limit.origin != SW_GIVEN);
    ck_assert_ptr_nonnull(strstr(t->renewal->forcing[0].limit.name,
                                 "accepted range of its target"));
}
END_TEST

/* A tank nine tenths full whose boron is `times` the target with all of it. */
static double gather_boron(tank *t, double times)
{
    set_up(t, "early");
    double target = row_of(t, SW_B)->target;
    t->waters[1].amount[SW_B] = 0.0;
    t->waters[0].amount[SW_B] = times * target / 0.9;
    return target;
}

START_TEST(an_excess_that_no_laboratory_can_tell_is_not_drained_for)
{
    tank t;
    double target = gather_boron(&t, 1.19);
    renew(&t, 0.9);
    ck_assert_int_eq(t.renewal->outcome, SW_OPTIMAL);
    ck_assert_double_eq(t.renewal->drained, 0.0);
    ck_assert_uint_eq(t.renewal->unreached_count, 1);
    const sw_unreached *u = unreached(&t, "B max");
    ck_assert_ptr_nonnull(u);
    ck_assert(u->within_error);
    ck_assert_double_eq_tol(u->limit.bound, 1.1 * target, 1e-9);
    ck_assert_double_eq_tol(u->finished, 1.19 * target, 1e-6);
    ck_assert_ptr_nonnull(strstr(u->reason, "a laboratory can tell"));
    tear_down(&t);
}
END_TEST

START_TEST(an_excess_that_can_be_told_is_drained_until_it_cannot)
{
    tank t;
    double target = gather_boron(&t, 1.3);
    renew(&t, 0.9);
    ck_assert_int_eq(t.renewal->outcome, SW_OPTIMAL);
    ck_assert_double_eq_tol(t.renewal->drained, 1.0 + LITTLE_MORE - 1.21 / 1.3,
                            TOL_KEPT);
    ck_assert_double_eq_tol(finished(&t, SW_B),
                            (1.21 - 1.3 * LITTLE_MORE) * target, 1e-6);
    ck_assert_ptr_nonnull(
        strstr(t.renewal->forcing[0].limit.name, "at most 10 %, lab error"));
    ck_assert_double_eq_tol(t.renewal->forcing[0].limit.bound, 1.21 * target,
                            1e-9);
    tear_down(&t);
}
END_TEST

/* Of what products bring nobody doubts: only MKP brings the phosphorus. */
START_TANK_TEST(nothing_is_added_to_what_is_passed, set_up(t, "early"))
{
    t->waters[0].amount[SW_K] = 1.19 * 195.0 / 0.9;
    t->waters[1].amount[SW_K] = 0.0;
    t->waters[0].amount[SW_P] = 25.0;
    renew(t, 0.9);
    ck_assert_int_eq(t->renewal->outcome, SW_OPTIMAL);
    ck_assert_uint_eq(t->renewal->unreached_count, 0);
    ck_assert_double_gt(t->renewal->drained, 0.1);
    ck_assert(finished(t, SW_K) <= 1.1 * 195.0 * (1.0 + 1e-6));
    ck_assert_double_ge(finished(t, SW_P), 36.0 * (1.0 - 1e-6));
    ck_assert_ptr_nonnull(strstr(t->renewal->forcing[0].limit.name, "K max"));
}
END_TEST

START_TANK_TEST(what_trace_elements_bring_along_is_no_addition,
                set_up(t, "early"))
{
    double water = t->waters[1].amount[SW_S];
    t->waters[0].amount[SW_S] = (1.15 * 60.0 - 0.1 * water) / 0.9;
    t->waters[0].amount[SW_MN] = 0.0;
    renew(t, 0.9);
    const sw_unreached *u = unreached(t, "S max");
    ck_assert_double_eq(t->renewal->drained, 0.0);
    ck_assert_ptr_nonnull(u);
    ck_assert(u->within_error);
    ck_assert_double_eq_tol(finished(t, SW_MN), 0.5, 1e-3);
    ck_assert(finished(t, SW_S) > 1.15 * 60.0 + 0.1 &&
              finished(t, SW_S) < 1.16 * 60.0 + 0.06);
}
END_TEST

/* Fe of a water is met by what counts of it: no brine is kept for it. */
START_TANK_TEST(iron_of_the_fresh_water_keeps_nothing_from_being_drained,
                set_up(t, "late"))
{
    t->waters[1].amount[SW_WATER_FE] = 2.8;
    renew(t, 0.9);
    ck_assert_int_eq(t->renewal->outcome, SW_OPTIMAL);
    ck_assert_ptr_null(unreached(t, "Fe max"));
    ck_assert(finished(t, SW_NA) <= 60.0 * (1.0 + 1e-6));
}
END_TEST

START_TEST(a_limit_that_is_given_is_drained_for_however_little_passes_it)
{
    tank t;
    double target = gather_boron(&t, 1.19);
    row_of(&t, SW_B)->max = 1.1 * target;
    renew(&t, 0.9);
    ck_assert_int_eq(t.renewal->outcome, SW_OPTIMAL);
    ck_assert_uint_eq(t.renewal->unreached_count, 0);
    ck_assert_double_eq_tol(t.renewal->drained, 1.0 + LITTLE_MORE - 1.1 / 1.19,
                            TOL_KEPT);
    tear_down(&t);
}
END_TEST

START_TANK_TEST(two_limits_that_stop_at_one_share_are_left_aside_together,
                set_up(t, "late"))
{
    sw_content *w = t->waters;
    /* Cl stops where Na does; nothing else of the shelf brings either */
    double kept =
        (60.0 - w[1].amount[SW_NA]) / (w[0].amount[SW_NA] - w[1].amount[SW_NA]);
    row_of(t, SW_CL)->max =
        kept * w[0].amount[SW_CL] + (1.0 - kept) * w[1].amount[SW_CL];
    renew(t, 0.9);
    const sw_renewal *r = t->renewal;
    ck_assert_double_eq_tol(r->kept, kept - 0.9 * LITTLE_MORE, TOL_KEPT);
    ck_assert_uint_ge(r->forcing_count, 2);
    for (size_t i = 0; i < 2; i++) {
        ck_assert_double_eq_tol(r->forcing[i].drained_alone, r->drained, 1e-3);
        ck_assert(strncmp(r->forcing[i].limit.name, "Na max", 6) == 0 ||
                  strncmp(r->forcing[i].limit.name, "Cl max", 6) == 0);
    }
    ck_assert_uint_ne(r->forcing[0].limit.index, r->forcing[1].limit.index);
    ck_assert_double_eq_tol(r->forcing[0].drained_together, r->drained, 1e-3);
    ck_assert_double_lt(r->forcing[1].drained_together, r->drained - 1e-3);
}
END_TEST

START_TANK_TEST(what_would_help_beside_the_first_is_named_too,
                set_up(t, "late"))
{
    /* whatever brings potassium brings so much chloride that either helps,
     * and chloride more */
    for (size_t j = 0; j < t->mix.shelf->count; j++) {
        sw_product *product = &t->mix.shelf->products[j];
        product->per_g.amount[SW_CL] += 0.3 * product->per_g.amount[SW_K];
    }
    renew(t, 0.9);
    const sw_forcing *beside = NULL;
    for (size_t i = 0; i < t->renewal->forcing_count; i++)
        if (strncmp(t->renewal->forcing[i].limit.name, "K min", 5) == 0)
            beside = &t->renewal->forcing[i];
    ck_assert_int_eq(strncmp(t->renewal->forcing[0].limit.name, "Cl max", 6),
                     0);
    ck_assert_ptr_nonnull(beside);
    ck_assert(isnan(beside->drained_together));
    ck_assert(isnan(beside->brought));
    ck_assert_double_lt(beside->drained_alone, t->renewal->drained - 1e-3);
    ck_assert_uint_gt(check_held_back(t->renewal), 0);
}
END_TEST

/* Chloride that comes with potassium: 0.7 % less is drained without its min,
 * or 2 %. */
START_TEST(what_gains_next_to_nothing_is_no_reason)
{
    static const double carried[] = {0.01, 0.03};
    for (size_t i = 0; i < 2; i++) {
        tank t;
        bool named = false;
        set_up(&t, "late");
        row_of(&t, SW_NA)->max = 1e4; /* so that chloride comes first */
        for (size_t j = 0; j < t.mix.shelf->count; j++) {
            double *per_g = t.mix.shelf->products[j].per_g.amount;
            per_g[SW_CL] += carried[i] * per_g[SW_K];
        }
        renew(&t, 0.9);
        for (size_t k = 0; k < t.renewal->forcing_count; k++)
            named = named ||
                    strncmp(t.renewal->forcing[k].limit.name, "K min", 5) == 0;
        ck_assert_int_eq(named, i == 1);
        tear_down(&t);
    }
}
END_TEST

START_TANK_TEST(a_limit_that_is_broken_is_not_broken_further, set_up(t, "late"))
{
    t->waters[1].amount[SW_CL] = 300.0;
    /* potassium nitrate with chloride in it, and another source of K */
    t->mix.shelf->products[1].per_g.amount[SW_CL] = 50.0;
    row_of(t, SW_S)->weight = 0.0;
    row_of(t, SW_S)->target = NAN;
    renew(t, 0.5);
    ck_assert_ptr_nonnull(unreached(t, "Cl max 100"));
    double least = t->renewal->kept * t->waters[0].amount[SW_CL] +
                   (1.0 - t->renewal->kept) * 300.0;
    ck_assert_double_eq_tol(finished(t, SW_CL), least, 1e-3);
    ck_assert_double_eq_tol(finished(t, SW_K), 195.0, 19.501);
}
END_TEST

/* A solution gone acid, which no base of the shelf lifts. */
START_TANK_TEST(a_ph_may_force_the_letting_out, set_up(t, "early"))
{
    t->waters[0].amount[SW_ALKALINITY] = -0.6;
    t->waters[0].amount[SW_CARBON] = 0.02;
    t->waters[1].amount[SW_ALKALINITY] = 1.2;
    t->waters[1].amount[SW_CARBON] = 1.3;
    renew(t, 0.8);
    ck_assert_double_gt(t->renewal->drained, 0.1);
    ck_assert_uint_eq(t->renewal->forcing_count, 1);
    const sw_forcing *f = &t->renewal->forcing[0];
    ck_assert_str_eq(f->limit.name, "pH min 5.5 (basil.csv line 24)");
    ck_assert_double_lt(f->drained_alone, 1e-3);
    ck_assert(isnan(f->brought));
}
END_TEST

START_TANK_TEST(what_only_the_other_targets_keep_away_is_said_so,
                set_up(t, "early"))
{
    sw_target_row *row = ask_for_silicon(t);
    row->component = SW_NO3_N;
    snprintf(row->name, 3, "N");
    row->target = NAN;
    row->max = 60.0;
    renew(t, 0.5);
    const sw_unreached *n = unreached(t, "N min 135 mg/L (accepted range");
    ck_assert_ptr_nonnull(n);
    ck_assert_ptr_nonnull(strstr(n->reason, "with the other targets kept"));
    ck_assert(finished(t, SW_NO3_N) <= 60.0 * (1.0 + 1e-5));
}
END_TEST
