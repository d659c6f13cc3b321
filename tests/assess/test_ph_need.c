/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What an assessment says would bring the pH to its target, poured in and
 * calculated again by the full equilibrium.
 */
#include "suite.h"
#include "tolerances.h"

#include "saltwright.h"

#include <math.h>
#include <string.h>

/* A water with nothing added, and one row that asks for a pH. */
typedef struct bench {
    sw_content water;
    sw_target_row row;
    sw_target target;
    sw_shelf shelf;
    sw_recipe recipe;
    sw_mix mix;
    sw_assessment *assessed;
} bench;

static void set_up(bench *b, double alkalinity_meq_per_l, double ph)
{
    memset(b, 0, sizeof *b);
    b->water.amount[SW_CA] = 20.0 * fabs(alkalinity_meq_per_l);
    b->water.amount[SW_ALKALINITY] = alkalinity_meq_per_l;
    b->water.amount[SW_CARBON] = 1.1 * fabs(alkalinity_meq_per_l);
    b->row = (sw_target_row){.kind = SW_TARGET_PH,
                             .name = "pH",
                             .target = ph,
                             .min = NAN,
                             .max = NAN,
                             .weight = 1};
    b->target = (sw_target){.rows = &b->row, .count = 1};
    b->mix = (sw_mix){.water = &b->water,
                      .target = &b->target,
                      .shelf = &b->shelf,
                      .recipe = &b->recipe,
                      .conditions = sw_conditions_default()};
}

static void assess(bench *b)
{
    ck_assert_int_eq(sw_assess(&b->mix, &b->assessed, NULL), SW_OK);
}

static const sw_note *note_with(const bench *b, const char *code,
                                const char *start)
{
    const sw_notes *notes = &b->assessed->notes;
    for (size_t i = 0; i < notes->count; i++)
        if (!strcmp(notes->items[i].code, code) &&
            !strncmp(notes->items[i].text, start, strlen(start)))
            return &notes->items[i];
    return NULL;
}

/* pH of the water with what the note says of the product poured in. */
static double ph_with(const bench *b, const char *name)
{
    sw_content poured = b->water;
    sw_product *product;
    sw_chemistry chemistry;
    const sw_note *note = note_with(b, "ph-option", name);
    ck_assert_ptr_nonnull(note);
    double per_m3 = strtod(note->text + strlen(name) + 2, NULL);
    ck_assert_int_eq(sw_catalogue_find(name, &product, NULL), SW_OK);
    double density =
        isnan(product->density_g_per_ml) ? 1.0 : product->density_g_per_ml;
    sw_content_add(&poured, per_m3 * density / 1000.0, &product->per_g);
    sw_product_free(product);
    ck_assert_int_eq(sw_equilibrate(&poured, &b->mix.conditions,
                                    SW_CARBONATE_KEPT, &chemistry, NULL),
                     SW_OK);
    return chemistry.ph;
}

#define START_BENCH_TEST(name, set_up)                                         \
    START_TEST_WITH(name, bench, b, set_up, sw_assessment_free(b->assessed))

START_BENCH_TEST(each_acid_named_brings_the_water_to_its_target,
                 set_up(b, 5.0, 5.8))
{
    static const char *const acids[] = {
        "nitric acid 60 %", "phosphoric acid 75 %", "sulfuric acid 35 %",
        "citric acid monohydrate"};
    assess(b);
    ck_assert_ptr_nonnull(note_with(b, "acid-needed", ""));
    for (size_t i = 0; i < sizeof acids / sizeof *acids; i++)
        ck_assert_double_eq_tol(ph_with(b, acids[i]), 5.8, TOL_ROUNDED_DOSE);
}
END_TEST

START_BENCH_TEST(the_charge_missing_is_said_with_its_caution,
                 set_up(b, 5.0, 5.8))
{
    assess(b);
    const char *text = note_with(b, "acid-needed", "")->text;
    /* At pH 5.8 22 % of the carbonate is bicarbonate (pKa1 6.35, dilute). */
    double meq = strtod(strstr(text, "about ") + 6, NULL);
    ck_assert_double_eq_tol(meq, 5.0 - 0.22 * 5.5, 0.1);
    ck_assert_ptr_nonnull(strstr(text, "never water into acid"));
}
END_TEST

START_BENCH_TEST(a_base_is_named_for_an_acid_water, set_up(b, -0.5, 5.8))
{
    assess(b);
    ck_assert_ptr_nonnull(note_with(b, "base-needed", ""));
    ck_assert_double_eq_tol(ph_with(b, "potassium bicarbonate"), 5.8,
                            TOL_ROUNDED_DOSE);
}
END_TEST

START_TEST(with_limits_alone_the_broken_one_is_aimed_at)
{
    bench b;
    set_up(&b, 5.0, NAN);
    b.row.min = 5.5;
    b.row.max = 6.2;
    assess(&b);
    ck_assert_double_eq_tol(ph_with(&b, "nitric acid 60 %"), 6.2,
                            TOL_ROUNDED_DOSE);
    sw_assessment_free(b.assessed);
    set_up(&b, -0.5, NAN);
    b.row.min = 5.5;
    assess(&b);
    ck_assert_double_eq_tol(ph_with(&b, "potassium bicarbonate"), 5.5,
                            TOL_ROUNDED_DOSE);
    sw_assessment_free(b.assessed);
}
END_TEST

START_BENCH_TEST(a_ph_that_is_met_needs_nothing, set_up(b, 5.0, 7.3))
{
    assess(b);
    ck_assert_ptr_null(note_with(b, "acid-needed", ""));
    ck_assert_ptr_null(note_with(b, "ph-option", ""));
}
END_TEST

START_BENCH_TEST(a_ph_out_of_reach_fails_no_run, set_up(b, 5.0, 13.5))
{
    assess(b);
    ck_assert_int_eq(b->assessed->measures[0].verdict, SW_SHORT);
    ck_assert_ptr_null(note_with(b, "ph-option", "citric"));
}
END_TEST

/* It takes 1 mg in a gram. */
START_TEST(an_acid_that_brings_next_to_no_nitrogen_is_not_nitric_acid)
{
    static const double mg_per_g[] = {0.99, 1.0, 1.01};
    for (size_t i = 0; i < sizeof mg_per_g / sizeof *mg_per_g; i++) {
        bench b;
        double none = 0.0;
        sw_product weak = {.name = (char *)"weak",
                           .density_g_per_ml = NAN,
                           .price_per_kg = NAN,
                           .purity = 1,
                           .min_g_per_l = NAN,
                           .max_g_per_l = NAN,
                           .fixed_g_per_l = NAN};
        set_up(&b, 5.0, 5.8);
        weak.per_g.amount[SW_NO3_N] = weak.per_g.amount[SW_N] = mg_per_g[i];
        weak.per_g.amount[SW_ALKALINITY] = -2;
        b.shelf = (sw_shelf){.products = &weak, .count = 1};
        b.recipe = (sw_recipe){.g_per_l = &none, .count = 1};
        assess(&b);
        bool own = note_with(&b, "ph-option", "weak") != NULL;
        ck_assert_int_eq(own, mg_per_g[i] >= 1);
        ck_assert_int_eq(note_with(&b, "ph-option", "nitric acid 60 %") != NULL,
                         !own);
        sw_assessment_free(b.assessed);
    }
}
END_TEST

START_TEST(the_acid_on_the_shelf_is_named_at_its_own_strength)
{
    bench b;
    double none = 0.0;
    sw_product *nitric;
    set_up(&b, 5.0, 5.8);
    ck_assert_int_eq(sw_catalogue_find("nitric acid 38 %", &nitric, NULL),
                     SW_OK);
    b.shelf = (sw_shelf){.products = nitric, .count = 1};
    b.recipe = (sw_recipe){.g_per_l = &none, .count = 1};
    assess(&b);
    const sw_note *own = note_with(&b, "ph-option", "nitric acid 38 %, on");
    ck_assert_ptr_nonnull(own);
    ck_assert_ptr_null(strstr(own->text, "Add it"));
    ck_assert_ptr_null(note_with(&b, "ph-option", "nitric acid 60 %"));
    ck_assert_ptr_nonnull(note_with(&b, "ph-option", "phosphoric acid 75 %"));
    sw_assessment_free(b.assessed);
    sw_product_free(nitric);
}
END_TEST

/* Nitric acid is held to the range of nitrate as to that of N in all. */
START_TEST(an_acid_that_leaves_the_range_of_a_form_of_n_is_said_to)
{
    static const struct {
        sw_component of;
        double max;
        const char *says;
    } cases[] = {{SW_N, 10, " mg/L N, more than the target allows"},
                 {SW_N, 200, " mg/L N. Add"},
                 {SW_NO3_N, 10, " mg/L NO3-N, more than the target allows"},
                 {SW_NO3_N, 200, " mg/L N. Add"},
                 {SW_NH4_N, 0, " mg/L N. Add"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        bench b;
        set_up(&b, 5.0, 5.8);
        sw_target_row rows[] = {b.row, b.row};
        rows[1].kind = SW_TARGET_COMPONENT;
        rows[1].component = cases[i].of;
        char name[16];
        snprintf(name, sizeof name, "%s", sw_component_name(cases[i].of));
        rows[1].name = name;
        rows[1].target = NAN;
        rows[1].max = cases[i].max;
        b.target = (sw_target){.rows = rows, .count = 2};
        assess(&b);
        const sw_note *note = note_with(&b, "ph-option", "nitric acid 60 %");
        ck_assert_ptr_nonnull(note);
        ck_assert_msg(strstr(note->text, cases[i].says) != NULL, "%s",
                      note->text);
        sw_assessment_free(b.assessed);
    }
}
END_TEST

/* 10^-3.5 is 0.316 meq/L, which the pH tells; 0.1 more are worth a word. */
START_TEST(acid_that_the_ph_of_the_water_does_not_tell_leaves_the_ph_open)
{
    static const struct {
        double acidity, share;
        bool told;
    } cases[] = {{0.3, 1, false},
                 {0.41, 1, false},
                 {0.43, 1, true},
                 {0.43, 0, false},
                 {5, 0.5, true}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        bench b;
        char name[] = "base capacity", unit[] = "mmol/L";
        sw_reading acidity = {.name = name,
                              .unit = unit,
                              .kind = SW_READS_OTHER,
                              .value = cases[i].acidity};
        sw_water well = {.sample = name,
                         .ph = 3.5,
                         .readings = &acidity,
                         .reading_count = 1,
                         .ec_ms_per_cm = NAN};
        const sw_water *reports[] = {&well};
        set_up(&b, -0.316, 3.5);
        b.mix.reports = reports;
        b.mix.shares = &cases[i].share;
        b.mix.report_count = 1;
        assess(&b);
        const sw_row *ph = &b.assessed->measures[0];
        ck_assert_int_eq(note_with(&b, "acidity-more", "") != NULL,
                         cases[i].told);
        ck_assert_int_eq(ph->kind, SW_TARGET_PH);
        ck_assert_int_eq(ph->verdict, cases[i].told ? SW_OPEN : SW_MET);
        ck_assert_int_eq(b.assessed->all_met, !cases[i].told);
        sw_assessment_free(b.assessed);
    }
}
END_TEST
