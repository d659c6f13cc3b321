/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which product of a recipe is told to have taken the pH where it is. */
#include "suite.h"
#include "tolerances.h"

#include "quantity/formula.h"
#include "saltwright.h"

#include <math.h>
#include <string.h>

enum { ROOM = 4 };

typedef struct bench {
    sw_content water;
    sw_target_row row;
    sw_target target;
    sw_product product[ROOM];
    double g_per_l[ROOM];
    sw_shelf shelf;
    sw_recipe recipe;
    sw_mix mix;
    sw_assessment *assessed;
} bench;

/* Purified water (invented) and a target of the pH alone. */
static void set_up(bench *b, double ph)
{
    memset(b, 0, sizeof *b);
    b->water.amount[SW_CARBON] = 0.02;
    b->row = (sw_target_row){.kind = SW_TARGET_PH,
                             .name = "pH",
                             .target = ph,
                             .min = NAN,
                             .max = NAN,
                             .weight = 1};
    b->target = (sw_target){.rows = &b->row, .count = (size_t)!isnan(ph)};
    b->shelf = (sw_shelf){.products = b->product};
    b->recipe = (sw_recipe){.g_per_l = b->g_per_l};
    b->mix = (sw_mix){.water = &b->water,
                      .target = &b->target,
                      .shelf = &b->shelf,
                      .recipe = &b->recipe,
                      .conditions = sw_conditions_default()};
}

static void pour(bench *b, const char *formula, double g_per_l)
{
    size_t at = b->shelf.count++;
    b->recipe.count = b->shelf.count;
    b->g_per_l[at] = g_per_l;
    b->product[at] = (sw_product){
        .name = (char *)formula, .density_g_per_ml = NAN, .price_per_kg = NAN};
    ck_assert_int_eq(
        sw_formula_content(formula, 1, &b->product[at].per_g, NULL, NULL),
        SW_OK);
}

/* The text of the note that starts so; "" without one. */
static const char *told(bench *b, const char *code, const char *start)
{
    const char *text = "";
    ck_assert_int_eq(sw_assess(&b->mix, &b->assessed, NULL), SW_OK);
    for (size_t i = 0; i < b->assessed->notes.count; i++) {
        const sw_note *note = &b->assessed->notes.items[i];
        if (!strcmp(note->code, code) &&
            !strncmp(note->text, start, strlen(start)))
            text = note->text;
    }
    return text;
}

#define START_BENCH_TEST(name, set_up)                                         \
    START_TEST_WITH(name, bench, b, set_up, sw_assessment_free(b->assessed))

START_BENCH_TEST(a_dibasic_phosphate_is_named_with_the_monobasic_one,
                 set_up(b, 5.8))
{
    pour(b, "K2HPO4", 0.22);
    pour(b, "KNO3", 0.5);
    const char *text = told(b, "basic-product", "K2HPO4 raises the pH");
    ck_assert_ptr_nonnull(strstr(text, "Monopotassium phosphate"));
}
END_TEST

/* With the ions of its potassium, mole for mole, beside what else there is. */
START_TEST(the_ph_without_it_is_that_of_what_is_left)
{
    static const struct {
        const char *base, *rest;
        double base_g_per_l, rest_g_per_l; /* of the rest with the base */
        const char *left;
        double left_g_per_l, kcl_g_per_l;
    } cases[] = {
        {"K2HPO4", "KCl", 0.174176, 0, "KH2PO4", 0.136085, 0.0745513},
        {"KHCO3", "C6H8O7", 1.00115, 0.3, "C6H8O7", 0.3, 0.745513},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        bench with, without;
        set_up(&with, 5.8);
        pour(&with, cases[i].base, cases[i].base_g_per_l);
        pour(&with, cases[i].rest, cases[i].rest_g_per_l);
        const char *text = told(&with, "basic-product", cases[i].base);
        ck_assert_str_ne(text, "");
        double said = strtod(strstr(text, "from ") + 5, NULL);
        set_up(&without, NAN);
        pour(&without, cases[i].left, cases[i].left_g_per_l);
        pour(&without, "KCl", cases[i].kcl_g_per_l);
        (void)told(&without, "", "");
        ck_assert_double_eq_tol(said, without.assessed->mixed.ph, TOL_SHOWN_PH);
        sw_assessment_free(with.assessed);
        sw_assessment_free(without.assessed);
    }
}
END_TEST

START_TEST(each_kind_of_base_has_its_advice)
{
    static const struct {
        const char *formula, *advice;
    } cases[] = {{"KHCO3", "Potassium nitrate or sulfate"},
                 {"K2SiO3", "Silicates"},
                 {"NaOH", "Use less"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        bench b;
        set_up(&b, NAN);
        pour(&b, cases[i].formula, 0.2);
        const char *text = told(&b, "basic-product", cases[i].formula);
        ck_assert_ptr_nonnull(strstr(text, cases[i].advice));
        sw_assessment_free(b.assessed);
    }
}
END_TEST

START_BENCH_TEST(too_much_acid_is_named, set_up(b, 5.8))
{
    pour(b, "HNO3", 0.1);
    pour(b, "KNO3", 0.5);
    ck_assert_str_ne(told(b, "acid-product", "HNO3 lowers the pH"), "");
}
END_TEST

/* Water full of carbon dioxide harms as it is mixed; air mends it, where it is
 * told to be asked of the solution in air. */
START_TEST(a_feed_full_of_gas_is_aerated_before_it_is_used)
{
    static const struct {
        bool aired, gas;
    } cases[] = {{true, true}, {false, true}, {true, false}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        bench b;
        set_up(&b, 6);
        b.row.aired = cases[i].aired;
        b.water.amount[SW_ALKALINITY] = cases[i].gas ? 0.1 : -1;
        b.water.amount[SW_CARBON] = cases[i].gas ? 20 : 0.02;
        const char *text = told(&b, "ph-extreme", "");
        ck_assert_str_ne(text, "");
        ck_assert((strstr(text, "aerate it until") != NULL) == (i == 0));
        sw_assessment_free(b.assessed);
    }
}
END_TEST

START_BENCH_TEST(a_base_is_not_blamed_for_a_low_ph, set_up(b, 5.8))
{
    pour(b, "HNO3", 0.1);
    pour(b, "KHCO3", 0.1);
    ck_assert_str_eq(told(b, "basic-product", ""), "");
}
END_TEST

START_BENCH_TEST(a_trace_of_base_is_not_named, set_up(b, NAN))
{
    b->water.amount[SW_ALKALINITY] = 3;
    b->water.amount[SW_CARBON] = 3.1;
    pour(b, "KHCO3", 0.001);
    ck_assert_str_eq(told(b, "basic-product", ""), "");
}
END_TEST

START_BENCH_TEST(a_ph_that_is_met_blames_nobody, set_up(b, 7.0))
{
    b->row.min = 2;
    b->row.max = 12;
    pour(b, "K2HPO4", 0.22);
    ck_assert_str_eq(told(b, "basic-product", ""), "");
}
END_TEST

START_BENCH_TEST(carbonate_and_acid_together_foam, set_up(b, 6.0))
{
    pour(b, "HNO3", 0.1);
    pour(b, "KHCO3", 0.17);
    ck_assert_ptr_nonnull(
        strstr(told(b, "carbonate-and-acid", "KHCO3"), "foam"));
}
END_TEST

START_BENCH_TEST(carbonate_alone_does_not_foam, set_up(b, 6.0))
{
    pour(b, "HNO3", 0);
    pour(b, "KHCO3", 0.01);
    ck_assert_str_eq(told(b, "carbonate-and-acid", ""), "");
}
END_TEST

START_BENCH_TEST(citric_acid_foams_as_well, set_up(b, 6.0))
{
    pour(b, "C6H8O7·H2O", 0.1);
    pour(b, "KHCO3", 0.1);
    ck_assert_str_ne(told(b, "carbonate-and-acid", "KHCO3"), "");
}
END_TEST
