/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The harbour's premix, and labels that leave things open. */
#include "bench.h"
#include "quantity/formula.h"
#include "tolerances.h"
#include "solver.h"

#include <math.h>
#include <string.h>

/* The premix is the shelf's first product. */
static void set_up(bench *b)
{
    bench_read(b, "town.csv", "basil.csv", "premix.csv", "label-rate.csv");
    b->recipe->g_per_l[1] = b->recipe->g_per_l[2] = 0.0;
}

static sw_premix *review(const bench *b)
{
    sw_premix *premix;
    ck_assert_int_eq(sw_premix_review(&b->mix, 0, &premix, NULL), SW_OK);
    return premix;
}

static bool notes(const sw_premix *premix, const char *code, const char *words)
{
    const sw_note *found = sw_notes_find(&premix->notes, code);
    return found && strstr(found->text, words);
}

/* Weighted squared relative deviations at a rate. */
static double deviation(const bench *b, double g_per_l)
{
    double sum = 0.0;
    for (size_t i = 0; i < b->target->count; i++) {
        const sw_target_row *row = &b->target->rows[i];
        if (row->kind != SW_TARGET_COMPONENT || isnan(row->target))
            continue;
        double c = b->water.amount[row->component] +
                   g_per_l * b->shelf->products[0].per_g.amount[row->component];
        sum += row->weight * pow(c / row->target - 1.0, 2.0);
    }
    return sum;
}

START_BENCH_TEST(a_label_of_many_elements_is_a_premix_and_a_salt_is_none)
{
    ck_assert(sw_is_premix(&b->shelf->products[0]));
    ck_assert(!sw_is_premix(&b->shelf->products[1]));
    ck_assert(!sw_is_premix(&b->shelf->products[2]));
}
END_TEST

/* The premix alone, in place of what the recipe has of it. */
static sw_status fit_first(const bench *b, sw_premix_rate *rate,
                           sw_notes *notes)
{
    sw_premix_rate rates[8];
    static const size_t set[8] = {1};
    ck_assert_uint_le(b->recipe->count, 8);
    sw_status status =
        sw_premix_fit(one_solver(), &b->mix, set, rates, notes, NULL);
    *rate = rates[0];
    return status;
}

/* The best rate of the premix, which nothing is said of but with `held`. */
static sw_premix_rate fit(const bench *b, bool held)
{
    sw_premix_rate rate;
    sw_notes notes = {NULL, 0};
    ck_assert_int_eq(fit_first(b, &rate, &notes), SW_OK);
    ck_assert_uint_eq(notes.count, held);
    ck_assert_int_eq(rate.held_by[0] != '\0', held);
    if (held) {
        ck_assert_str_eq(notes.items[0].code, "best-held");
        ck_assert_ptr_nonnull(strstr(notes.items[0].text, rate.held_by));
        ck_assert(rate.g_per_l < rate.free_g_per_l);
    } else {
        ck_assert_double_eq(rate.g_per_l, rate.free_g_per_l);
    }
    sw_notes_free(&notes);
    return rate;
}

static sw_target_row *row_of(const bench *b, sw_component component)
{
    for (size_t i = 0; i < b->target->count; i++)
        if (b->target->rows[i].kind == SW_TARGET_COMPONENT &&
            b->target->rows[i].component == component)
            return &b->target->rows[i];
    ck_abort_msg("the target has no such row");
    return NULL;
}

START_BENCH_TEST(no_other_rate_fits_better)
{
    double best = fit(b, false).g_per_l;
    ck_assert(best > 0.1);
    ck_assert(deviation(b, best) < deviation(b, best * 1.001));
    ck_assert(deviation(b, best) < deviation(b, best * 0.999));
}
END_TEST

START_TEST(a_premix_of_what_is_there_already_fits_at_nothing)
{
    for (int counts = 0; counts < 2; counts++) {
        bench b;
        set_up(&b);
        for (int c = 0; c < SW_COMPONENT_COUNT; c++)
            b.water.amount[c] = 1000.0;
        row_of(&b, SW_K)->max = 200.0;
        row_of(&b, SW_MG)->weight = counts;
        sw_premix_rate rate;
        sw_notes said = {NULL, 0};
        ck_assert_int_eq(fit_first(&b, &rate, &said), SW_OK);
        ck_assert_double_eq(rate.g_per_l, 0.0);
        ck_assert_uint_eq(said.count, 1);
        ck_assert_str_eq(said.items[0].code, "best-zero");
        const char *text = said.items[0].text;
        ck_assert_ptr_nonnull(strstr(text, "is 0, since"));
        ck_assert_ptr_nonnull(strstr(text, "K, "));
        /* what counts for nothing is no reason */
        ck_assert_int_eq(strstr(text, "Mg") != NULL, counts);
        /* nor what the label does not declare */
        ck_assert_ptr_null(strstr(text, "Ca"));
        sw_notes_free(&said);
        bench_free(&b);
    }
}
END_TEST

START_BENCH_TEST(a_rate_that_is_not_none_needs_no_excuse)
{
    b->water.amount[SW_S] = row_of(b, SW_S)->target;
    ck_assert(fit(b, false).g_per_l > 0.1);
}
END_TEST

/* For its nitrogen alone there would be more of it. */
START_BENCH_TEST(an_acid_is_held_where_no_ph_is_given_and_that_is_said)
{
    b->shelf->products[0].per_g = (sw_content){{0}};
    sw_formula_content("HNO3", 1, &b->shelf->products[0].per_g, NULL, NULL);
    ck_assert_ptr_eq(row_of(b, SW_N), b->target->rows);
    size_t rows = b->target->count;
    b->target->count = 1;
    sw_premix_rate rate;
    sw_notes said = {NULL, 0};
    ck_assert_int_eq(fit_first(b, &rate, &said), SW_OK);
    ck_assert_double_lt(rate.g_per_l, 0.5);
    ck_assert_uint_eq(said.count, 1);
    ck_assert_str_eq(said.items[0].code, "acid-held-back");
    b->target->count = rows;
    sw_notes_free(&said);
}
END_TEST

START_BENCH_TEST(the_best_rate_keeps_the_products_own_max)
{
    double best = fit(b, false).g_per_l;
    b->shelf->products[0].max_g_per_l = 1.01 * best;
    fit(b, false);
    b->shelf->products[0].max_g_per_l = 0.3;
    sw_premix_rate rate = fit(b, true);
    ck_assert_double_eq(rate.g_per_l, 0.3);
    ck_assert_double_eq(rate.free_g_per_l, best);
    ck_assert_str_eq(rate.held_by,
                     "leaf premix max 0.3 g/L (premix.csv line 4)");
}
END_TEST

START_BENCH_TEST(the_best_rate_keeps_each_max_of_the_target)
{
    const double *per_g = b->shelf->products[0].per_g.amount;
    row_of(b, SW_S)->max = 50.0;
    row_of(b, SW_K)->max = 199.0;
    sw_premix_rate rate = fit(b, true);
    ck_assert_double_eq_tol(b->water.amount[SW_S] + rate.g_per_l * per_g[SW_S],
                            50.0, TOL_RATIO);
    ck_assert_ptr_nonnull(strstr(rate.held_by, "S max 50 mg/L (basil.csv"));
    /* a max without a target, that water and the rest have passed already */
    b->recipe->g_per_l[1] = 1.0;
    row_of(b, SW_CA)->target = NAN;
    row_of(b, SW_CA)->max = 100.0;
    b->shelf->products[0].per_g.amount[SW_CA] = 1.0;
    rate = fit(b, true);
    ck_assert_double_eq(rate.g_per_l, 0.0);
    ck_assert_ptr_nonnull(strstr(rate.held_by, "Ca max 100 mg/L"));
    /* and one that the water alone has */
    b->recipe->g_per_l[1] = 0.0;
    row_of(b, SW_CA)->max = 0.9 * b->water.amount[SW_CA];
    rate = fit(b, true);
    ck_assert_double_eq(rate.g_per_l, 0.0);
    ck_assert_ptr_nonnull(strstr(rate.held_by, "Ca max "));
}
END_TEST

START_BENCH_TEST(the_best_rate_keeps_the_ceilings_on_what_is_not_named)
{
    double *per_g = b->shelf->products[0].per_g.amount;
    per_g[SW_F] = 2.0;
    b->water.amount[SW_F] = 0.9; /* the water's share is not the products' */
    sw_premix_rate rate = fit(b, true);
    /* reference/components.csv: F 1 mg/L */
    ck_assert_double_eq_tol(rate.g_per_l * per_g[SW_F], 1.0, TOL_RATIO);
    ck_assert_ptr_nonnull(strstr(rate.held_by, "F from products max 1 mg/L"));
    /* what the other amounts add counts in */
    b->recipe->g_per_l[1] = 0.1;
    b->shelf->products[1].per_g.amount[SW_F] = 4.0;
    ck_assert_double_eq_tol(fit(b, true).g_per_l, 0.3, TOL_RATIO);
}
END_TEST

START_BENCH_TEST(products_of_a_set_keep_their_proportion)
{
    sw_premix_rate rates[3];
    static const size_t set[] = {1, 1, 0};
    sw_notes said = {NULL, 0};
    b->recipe->g_per_l[0] = 0.6;
    b->recipe->g_per_l[1] = 0.2;
    ck_assert_int_eq(
        sw_premix_fit(one_solver(), &b->mix, set, rates, &said, NULL), SW_OK);
    ck_assert_double_gt(rates[0].g_per_l, 0.1);
    ck_assert_double_eq_tol(rates[0].g_per_l, 3 * rates[1].g_per_l, TOL_RATIO);
    ck_assert_double_nan(rates[2].g_per_l);
    /* the nearest max is that of both */
    b->shelf->products[1].max_g_per_l = 0.01;
    ck_assert_int_eq(
        sw_premix_fit(one_solver(), &b->mix, set, rates, &said, NULL), SW_OK);
    ck_assert_double_eq_tol(rates[0].g_per_l, 0.03, TOL_RATIO);
    ck_assert_ptr_nonnull(
        strstr(rates[0].held_by, "leaf premix + calcium nitrate max 0.04 g/L"));
    b->recipe->g_per_l[0] = b->recipe->g_per_l[1] = 0;
    ck_assert_int_eq(
        sw_premix_fit(one_solver(), &b->mix, set, rates, &said, NULL),
        SW_ERR_VALUE);
    sw_notes_free(&said);
}
END_TEST

START_BENCH_TEST(proportions_are_to_nitrogen_on_both_sides)
{
    sw_premix *premix = review(b);
    ck_assert_int_eq(premix->base, SW_N);
    for (size_t i = 0; i < premix->row_count; i++) {
        const sw_premix_row *row = &premix->rows[i];
        if (row->component != SW_K)
            continue;
        /* label: N 4.1 %, K2O 33 % (K 0.8301); target less the water */
        ck_assert_double_eq_tol(row->ratio, 33 * 0.8301 / 4.1, TOL_RATIO);
        ck_assert_double_eq_tol(row->wanted_ratio,
                                (195 - 0.9) / (150 - 2.2 * 0.2259), TOL_RATIO);
    }
    sw_premix_free(premix);
}
END_TEST

START_BENCH_TEST(what_the_label_leaves_open_is_said)
{
    sw_premix *premix = review(b);
    ck_assert(notes(premix, "label-undeclared", "Ca"));
    ck_assert(!notes(premix, "label-urea", ""));
    ck_assert(!notes(premix, "label-chelator", ""));
    sw_premix_free(premix);
    double *per_g = b->shelf->products[0].per_g.amount;
    per_g[SW_UREA_N] = 50.0;
    per_g[SW_N] += 50.0;
    per_g[SW_CHELATED_FE] = 0.0;
    premix = review(b);
    ck_assert(notes(premix, "label-urea", "55 %"));
    ck_assert(notes(premix, "label-chelator", "chelator"));
    sw_premix_free(premix);
}
END_TEST

START_TEST(without_nitrogen_another_is_the_base_and_without_any_none)
{
    bench b;
    set_up(&b);
    double *per_g = b.shelf->products[0].per_g.amount;
    per_g[SW_NO3_N] = per_g[SW_N] = 0.0;
    sw_premix *premix = review(&b);
    ck_assert_int_eq(premix->base, SW_P);
    ck_assert(isnan(premix->urea_share));
    sw_premix_free(premix);
    memset(&b.shelf->products[0].per_g, 0, sizeof b.shelf->products[0].per_g);
    premix = review(&b);
    ck_assert_int_eq(premix->base, SW_COMPONENT_COUNT);
    sw_premix_free(premix);
    sw_premix_rate rate;
    ck_assert_int_eq(fit_first(&b, &rate, NULL), SW_ERR_MISSING);
    bench_free(&b);
}
END_TEST

START_BENCH_TEST(a_product_that_is_not_there_is_refused)
{
    sw_premix *premix;
    ck_assert_int_eq(sw_premix_review(&b->mix, 9, &premix, NULL), SW_ERR_VALUE);
    ck_assert_ptr_null(premix);
    sw_premix_free(NULL);
}
END_TEST

/* Its rows would be those of all stages on top of each other. */
START_BENCH_TEST(a_target_with_stages_is_refused)
{
    sw_premix_rate rate;
    sw_premix *premix;
    char stage[] = "young";
    sw_notes notes = {0};
    sw_error error;
    sw_target_row row = b->mix.target->rows[0];
    row.stage = stage;
    sw_target staged = {.rows = &row, .count = 1};
    b->mix.target = &staged;
    ck_assert_int_eq(sw_premix_review(&b->mix, 0, &premix, &error),
                     SW_ERR_VALUE);
    ck_assert_ptr_null(premix);
    ck_assert_ptr_nonnull(strstr(error.message, "stages"));
    ck_assert_int_eq(fit_first(b, &rate, &notes), SW_ERR_VALUE);
    ck_assert(isnan(rate.g_per_l));
    ck_assert_uint_eq(notes.count, 0);
}
END_TEST
