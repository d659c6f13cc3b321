/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What a label says of the pH, against the formulas behind it: each salt of
 * the catalogue and thirty premixes, in purified and in hard water.  Either
 * the pH is that of the formula or it is said to be open.
 */
#include "printed.h"

#include "chemistry/equilibrate.h"

/* Of the formula's pH; beyond, it has to be said that it is not known. */
static const double said_ph = 0.2;

typedef struct sweep {
    sw_content waters[2];
    int seen, known, said, asked, wrong, missed;
} sweep;

static void set_up(sweep *s)
{
    static const double purified[SW_CARRIED_COUNT] = {
        [SW_CA] = 0.5, [SW_NA] = 3,           [SW_CL] = 2,
        [SW_S] = 0.2,  [SW_ALKALINITY] = 0.1, [SW_CARBON] = 0.15};
    static const double hard[SW_CARRIED_COUNT] = {
        [SW_CA] = 110, [SW_MG] = 18,           [SW_NA] = 25,     [SW_CL] = 40,
        [SW_S] = 25,   [SW_ALKALINITY] = 5.37, [SW_CARBON] = 5.7};
    memset(s, 0, sizeof *s);
    memcpy(s->waters[0].amount, purified, sizeof purified);
    memcpy(s->waters[1].amount, hard, sizeof hard);
}

static sw_assessment *assess(const sw_content *water, sw_product *product,
                             double g_per_l)
{
    sw_target target = {.name = "t"};
    sw_shelf shelf = {.name = "s", .products = product, .count = 1};
    sw_recipe recipe = {.g_per_l = &g_per_l, .count = 1};
    sw_mix mix = {.water = water,
                  .target = &target,
                  .shelf = &shelf,
                  .recipe = &recipe,
                  .conditions = sw_conditions_default()};
    sw_assessment *a = NULL;
    sw_error error = {0};
    ck_assert_msg(sw_assess(&mix, &a, &error) == SW_OK, "%s", error.message);
    return a;
}

static void compare(sweep *s, const sw_content *truth, const sw_product *p,
                    const char *label)
{
    double g_per_l = dose_of(truth);
    for (int w = 0; w < 2; w++) {
        sw_product product = *p;
        sw_content mixed = s->waters[w];
        sw_chemistry right;
        sw_conditions air = sw_conditions_default();
        sw_content_add(&mixed, g_per_l, truth);
        ck_assert_int_eq(sw_equilibrate_briefly(&mixed, &air, SW_CARBONATE_KEPT,
                                                &right, NULL),
                         SW_OK);
        sw_assessment *a = assess(&s->waters[w], &product, g_per_l);
        bool near = fabs(a->mixed.ph - right.ph) <= said_ph;
        bool said = a->undeclared.text[0] && !isnan(a->undeclared.ph_low);
        s->seen++;
        s->known += near && !said;
        s->said += said;
        if (!near && !said && ++s->wrong < 20)
            printf("  '%s': pH %.2f, by formula %.2f\n", label, a->mixed.ph,
                   right.ph);
        if (said &&
            (right.ph < a->undeclared.ph_low - said_ph ||
             right.ph > a->undeclared.ph_high + said_ph) &&
            ++s->missed < 20)
            printf("  '%s': pH %.2f to %.2f, by formula %.2f\n", label,
                   a->undeclared.ph_low, a->undeclared.ph_high, right.ph);
        sw_assessment_free(a);
    }
}

static void print_and_compare(sweep *s, const sw_content *truth,
                              const char *name)
{
    for (int how = 0; how < ROUNDINGS; how++)
        for (int all = 0; all < 2; all++) {
            char label[600];
            sw_product product = {.name = "bag", .label = label};
            sw_error error = {0};
            print_label(truth, (rounding)how, all, label);
            if (!label[0])
                continue;
            sw_status status = sw_label_compose(
                label, &(sw_label_names){name, NULL}, &product, &error);
            product.name = product.name ? product.name : "bag";
            s->asked += status == SW_ERR_MISSING;
            ck_assert_msg(status == SW_OK || status == SW_ERR_MISSING,
                          "'%s': %s", label, error.message);
            if (status == SW_OK)
                compare(s, truth, &product, label);
        }
}

static void report(const char *what, const sweep *s)
{
    printf("%s: %d solutions, %d known, %d said to be open, %d labels asked "
           "about, %d wrong, %d with the truth outside both ends\n",
           what, s->seen, s->known, s->said, s->asked, s->wrong, s->missed);
    ck_assert_int_gt(s->known, s->seen / 3);
    ck_assert_int_eq(s->wrong, 0);
    ck_assert_int_eq(s->missed, 0);
}

static void sweep_catalogue(sweep *s, bool named)
{
    for (size_t i = 0; i < sw_catalogue_count(); i++) {
        sw_product *p;
        sw_content truth;
        ck_assert_int_eq(sw_catalogue_get(i, &p, NULL), SW_OK);
        bool is_salt = p->formula && isnan(p->density_g_per_ml);
        if (is_salt)
            ck_assert_int_eq(
                sw_formula_content(p->formula, 1, &truth, NULL, NULL), SW_OK);
        if (is_salt)
            print_and_compare(s, &truth, named ? p->name : "bag");
        sw_product_free(p);
    }
}

START_TEST(the_ph_of_a_nameless_salt_is_right_or_said_to_be_open)
{
    sweep s;
    set_up(&s);
    sweep_catalogue(&s, false);
    report("salts by their digits", &s);
}
END_TEST

START_TEST(the_ph_of_a_salt_by_its_name_is_right_or_said_to_be_open)
{
    sweep s;
    set_up(&s);
    sweep_catalogue(&s, true);
    report("salts by their names", &s);
    ck_assert_int_eq(s.asked, 0);
}
END_TEST

START_TEST(the_ph_of_a_premix_is_right_or_said_to_be_open)
{
    sweep s;
    set_up(&s);
    for (int i = 0; i < PREMIXES; i++) {
        sw_content truth = content_of_premix(&premixes[i]);
        print_and_compare(&s, &truth, "bag");
    }
    report("premixes", &s);
}
END_TEST
