/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the meters say of the pepper recipe in the harbour's water. */
#include "bench.h"
#include "decide/meter.h"
#include "quantity/ties.h"
#include "tolerances.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct tank {
    bench mix;
    sw_tolerances off;
    sw_readings readings;
    sw_diagnosis *diagnosis;
} tank;

static void set_up(tank *t)
{
    bench_read(&t->mix, "town.csv", "pepper.csv", "straights.csv",
               "recipe.csv");
    t->off = sw_tolerances_default(1000.0);
    t->readings = sw_readings_default();
    t->diagnosis = NULL;
}

static void tear_down(tank *t)
{
    sw_diagnosis_free(t->diagnosis);
    bench_free(&t->mix);
}

static void diagnose(tank *t)
{
    sw_error error;
    sw_status status =
        sw_diagnose(&t->mix.mix, &t->off, &t->readings, &t->diagnosis, &error);
    ck_assert_msg(status == SW_OK, "%s", error.message);
}

static void expect_refusal(tank *t)
{
    ck_assert_int_eq(
        sw_diagnose(&t->mix.mix, &t->off, &t->readings, &t->diagnosis, NULL),
        SW_ERR_VALUE);
    ck_assert_ptr_null(t->diagnosis);
}

/* What the meters would show if a product were there `times`. */
static void measure(tank *t, const double *times)
{
    sw_content c = t->mix.water;
    sw_chemistry chemistry;
    for (size_t j = 0; j < t->mix.recipe->count; j++)
        sw_content_add(&c, times[j] * t->mix.recipe->g_per_l[j],
                       &t->mix.shelf->products[j].per_g);
    ck_assert_int_eq(sw_equilibrate(&c, &t->mix.mix.conditions,
                                    SW_CARBONATE_KEPT, &chemistry, NULL),
                     SW_OK);
    t->readings.ec_ms_per_cm = chemistry.ec_ms_per_cm;
    t->readings.ph = chemistry.ph;
}

/* So much of a product, or of all (NULL). */
static void measure_with(tank *t, const char *product, double times)
{
    double all[SW_MAX_PRODUCTS];
    for (size_t j = 0; j < t->mix.recipe->count; j++)
        all[j] = product && strcmp(t->mix.shelf->products[j].name, product)
                     ? 1.0
                     : times;
    measure(t, all);
}

static const char *product_of(const tank *t, const sw_mistake *m)
{
    return t->mix.shelf->products[m->product].name;
}

#define START_TANK_TEST(name)                                                  \
    START_TEST_WITH(name, tank, t, set_up(t), tear_down(t))

START_TANK_TEST(readings_as_on_paper_leave_nothing_wrong_first)
{
    measure_with(t, NULL, 1.0);
    diagnose(t);
    ck_assert_int_eq(t->diagnosis->mistakes[0].kind, SW_NOTHING_WRONG);
    ck_assert(t->diagnosis->mistakes[0].belief > 0.3);
    ck_assert_double_eq(t->diagnosis->ec_ms_per_cm, t->readings.ec_ms_per_cm);
    ck_assert(t->diagnosis->distance < 1.0);
}
END_TEST

START_TANK_TEST(a_salt_left_out_is_named)
{
    measure_with(t, "calcium nitrate", 0.0);
    diagnose(t);
    ck_assert_int_eq(t->diagnosis->mistakes[0].kind, SW_LEFT_OUT);
    ck_assert_str_eq(product_of(t, &t->diagnosis->mistakes[0]),
                     "calcium nitrate");
}
END_TEST

START_TANK_TEST(another_hydrate_is_named_with_its_strength)
{
    bool found = false;
    measure_with(t, "magnesium sulfate", 2.07);
    diagnose(t);
    for (size_t i = 0; i < t->diagnosis->mistake_count; i++) {
        const sw_mistake *m = &t->diagnosis->mistakes[i];
        if (strcmp(m->form, "magnesium sulfate anhydrous") != 0)
            continue;
        found = true;
        /* 246.47 over 120.36 g/mol, the heptahydrate of 99 % */
        ck_assert_double_eq_tol(m->factor, 2.0478 / 0.99, TOL_FORM);
        ck_assert_uint_eq(m->entry, 0);
    }
    ck_assert(found);
}
END_TEST

/* The other way round: the heptahydrate for an anhydrous salt of 99 %. */
START_TANK_TEST(a_hydrate_with_more_water_is_named_too)
{
    static const double stronger = 2.0478;
    bool found = false;
    for (size_t j = 0; j < t->mix.shelf->count; j++) {
        sw_product *product = &t->mix.shelf->products[j];
        if (strcmp(product->name, "magnesium sulfate") != 0)
            continue;
        for (int c = 0; c < SW_CARRIED_COUNT; c++)
            product->per_g.amount[c] *= stronger;
        t->mix.recipe->g_per_l[j] /= stronger;
    }
    measure_with(t, "magnesium sulfate", 0.49);
    diagnose(t);
    for (size_t i = 0; i < t->diagnosis->mistake_count; i++) {
        const sw_mistake *m = &t->diagnosis->mistakes[i];
        if (strncmp(m->form, "magnesium sulfate hepta", 23))
            continue;
        found = true;
        ck_assert_double_eq_tol(m->factor, 1 / stronger / 0.99, TOL_FORM);
    }
    ck_assert(found);
}
END_TEST

START_TANK_TEST(too_much_water_is_found_with_how_much)
{
    measure_with(t, NULL, 1.0 / 1.6);
    diagnose(t);
    ck_assert_int_eq(t->diagnosis->mistakes[0].kind, SW_FILL_OFF);
    ck_assert_double_eq_tol(t->diagnosis->mistakes[0].factor, 1.6, TOL_FILL);
}
END_TEST

START_TANK_TEST(what_the_likeliest_leaves_unexplained_is_measured)
{
    measure_with(t, NULL, 1.0 / 1.6);
    diagnose(t);
    ck_assert_double_lt(t->diagnosis->mistakes[0].misfit, 1.0);
    sw_diagnosis_free(t->diagnosis);
    t->readings.ph += 0.3;
    diagnose(t);
    const sw_mistake *m = &t->diagnosis->mistakes[0];
    ck_assert(t->diagnosis->explained);
    ck_assert_double_gt(m->ph_off, 0.2);
    ck_assert_double_gt(m->misfit, 2.0);
    /* what is read less what is given, by the errors of reference/methods.md */
    double ec = log(t->readings.ec_ms_per_cm /
                    (t->readings.ec_ms_per_cm - m->ec_off_ms_per_cm));
    ck_assert_double_eq_tol(
        m->misfit, hypot(ec / hypot(0.02, 0.03), m->ph_off / hypot(0.05, 0.1)),
        1e-9);
    if (m->kind == SW_FILL_OFF)
        ck_assert_double_eq_tol(m->ph_off, t->readings.ph - m->ph, 1e-12);
}
END_TEST

/* Whether a mistake is one of what a look looks at. */
static bool concerns(const sw_look *look, const sw_mistake *m)
{
    if (look->kind == SW_LOOK_HEAD)
        return m->kind == SW_HEAD_OFF && m->head == look->head;
    if (look->kind == SW_LOOK_FILL)
        return m->kind == SW_FILL_OFF;
    return m->kind <= SW_OTHER_FORM && m->product == look->product;
}

/* What has nothing to do with a mistake is as it was meant. */
static size_t check_others_as_meant(const sw_diagnosis *d, sw_look_kind kind)
{
    size_t checked = 0;
    for (size_t i = 0; i < d->look_count; i++)
        for (size_t m = 0; m < d->mistake_count; m++) {
            const sw_mistake *what = &d->mistakes[m];
            if (d->looks[i].kind != kind || what->kind == SW_NOTHING_IN ||
                concerns(&d->looks[i], what))
                continue;
            ck_assert_double_eq(d->looks[i].expected[m], 1);
            checked++;
        }
    return checked;
}

START_TANK_TEST(a_head_that_stands_still_is_found_and_no_fill_is_blamed)
{
    int head[16] = {0};
    double times[SW_MAX_PRODUCTS];
    t->off.head = head;
    for (size_t j = 0; j < t->mix.recipe->count; j++) {
        head[j] = j % 2 ? 4 : 1;
        times[j] = head[j] == 4 ? 0.1 : 1.0;
    }
    measure(t, times);
    diagnose(t);
    ck_assert_uint_eq(t->diagnosis->mistakes[0].kind, SW_HEAD_OFF);
    ck_assert_int_eq(t->diagnosis->mistakes[0].head, 4);
    ck_assert(t->diagnosis->mistakes[0].factor < 0.3);
    for (size_t i = 0; i < t->diagnosis->mistake_count; i++)
        ck_assert_uint_ne(t->diagnosis->mistakes[i].kind, SW_FILL_OFF);
    int heads = 0;
    for (size_t i = 0; i < t->diagnosis->look_count; i++) {
        ck_assert_uint_ne(t->diagnosis->looks[i].kind, SW_LOOK_FILL);
        heads += t->diagnosis->looks[i].kind == SW_LOOK_HEAD;
    }
    ck_assert_int_gt(heads, 0);
    ck_assert_uint_gt(check_others_as_meant(t->diagnosis, SW_LOOK_HEAD), 0);
}
END_TEST

START_TANK_TEST(beliefs_are_shares_and_entries_are_ranked)
{
    double sum = 0.0;
    double of_entry[64] = {0.0};
    measure_with(t, "magnesium sulfate", 0.0);
    diagnose(t);
    for (size_t i = 0; i < t->diagnosis->mistake_count; i++) {
        const sw_mistake *m = &t->diagnosis->mistakes[i];
        sum += m->belief;
        of_entry[m->entry] += m->belief;
        ck_assert(i == 0 || m->entry >= m[-1].entry);
        ck_assert(i == 0 || m->entry != m[-1].entry ||
                  m->belief <= m[-1].belief);
    }
    ck_assert_double_eq_tol(sum, 1.0, TOL_BELIEF);
    for (size_t e = 1; e < t->diagnosis->entry_count; e++)
        ck_assert(!sw_is_less(of_entry[e - 1], of_entry[e], SW_SOLVED));
}
END_TEST

START_TANK_TEST(an_entry_holds_what_agrees_within_the_meters_error)
{
    const sw_mistake *lead = NULL;
    measure_with(t, "magnesium sulfate", 0.0);
    diagnose(t);
    for (size_t i = 0; i < t->diagnosis->mistake_count; i++) {
        const sw_mistake *m = &t->diagnosis->mistakes[i];
        if (!lead || lead->entry != m->entry)
            lead = m;
        double ec = log(m->ec_ms_per_cm / lead->ec_ms_per_cm) / 0.02;
        double ph = (m->ph - lead->ph) / 0.05;
        ck_assert(m->kind == SW_CO2_LEFT || hypot(ec, ph) <= 1.0);
    }
}
END_TEST

START_TANK_TEST(one_meter_alone_is_enough_and_the_other_may_be_asked_for)
{
    bool asked = false;
    measure_with(t, NULL, 1.0);
    t->readings.ec_ms_per_cm = NAN;
    diagnose(t);
    for (size_t i = 0; i < t->diagnosis->look_count; i++) {
        asked = asked || t->diagnosis->looks[i].kind == SW_LOOK_EC;
        ck_assert(t->diagnosis->looks[i].kind != SW_LOOK_PH);
    }
    ck_assert(asked);
}
END_TEST

START_TANK_TEST(what_no_mistake_explains_has_no_beliefs_but_the_nearest_first)
{
    t->readings.ec_ms_per_cm = 12.0;
    t->readings.ph = 3.0;
    diagnose(t);
    const sw_diagnosis *d = t->diagnosis;
    ck_assert(!d->explained);
    ck_assert(d->distance > 5.0);
    ck_assert_uint_eq(d->look_count, 0);
    ck_assert_double_eq(d->mistakes[0].distance, d->distance);
    for (size_t i = 0; i < d->mistake_count; i++) {
        ck_assert(isnan(d->mistakes[i].belief));
        ck_assert(i == 0 || d->mistakes[i].entry != d->mistakes[i - 1].entry ||
                  d->mistakes[i].distance >= d->mistakes[i - 1].distance);
    }
}
END_TEST

/* From the EC on paper up: a single mistake makes at most about twice it. */
START_TANK_TEST(what_explains_stops_at_three_errors)
{
    sw_outlook *outlook;
    bool explained = true;
    ck_assert_int_eq(sw_outlook_find(&t->mix.mix, &t->off, &outlook, NULL),
                     SW_OK);
    for (int tenths = 10; tenths <= 40; tenths += 5) {
        t->readings.ec_ms_per_cm = 0.1 * tenths * outlook->paper_ec;
        ck_assert_int_eq(
            sw_meter_judge(outlook, &t->readings, &t->diagnosis, NULL), SW_OK);
        ck_assert_int_eq(t->diagnosis->explained,
                         t->diagnosis->distance <= 3.0);
        ck_assert(explained || !t->diagnosis->explained);
        ck_assert_int_eq(isnan(t->diagnosis->mistakes[0].belief) == 0,
                         t->diagnosis->explained);
        explained = t->diagnosis->explained;
        sw_diagnosis_free(t->diagnosis);
    }
    t->diagnosis = NULL;
    ck_assert(!explained);
    sw_outlook_free(outlook);
}
END_TEST

/* A note on a reading of a recipe that makes `made` mS/cm, for a target with
 * these limits on pH; NULL for `code`: there is none. */
typedef struct case_of_harm {
    double made, min, max, ec, ph;
    const char *code;
    sw_severity severity;
} case_of_harm;

static void expect_notes(const case_of_harm *cases, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const case_of_harm *c = &cases[i];
        sw_target_row row = {
            .kind = SW_TARGET_PH, .target = NAN, .min = c->min, .max = c->max};
        sw_target target = {.rows = &row, .count = 1};
        sw_mix mix = {.target = &target};
        sw_outlook outlook = {.mix = &mix, .paper_ec = c->made};
        sw_readings readings = sw_readings_default();
        sw_notes notes = {NULL, 0};
        readings.ec_ms_per_cm = c->ec;
        readings.ph = c->ph;
        ck_assert_int_eq(sw_readings_warn(&outlook, &readings, &notes, NULL),
                         SW_OK);
        ck_assert_uint_eq(notes.count, c->code != NULL);
        if (c->code) {
            const sw_note *note = &notes.items[0];
            ck_assert_str_eq(note->code, c->code);
            ck_assert_int_eq(note->severity, c->severity);
            ck_assert_ptr_nonnull(strstr(note->text, "Measure again"));
            ck_assert_int_eq(strstr(note->text, "Do not feed") != NULL,
                             c->severity == SW_DANGER);
        }
        sw_notes_free(&notes);
    }
}

START_TEST(a_ph_that_harms_is_a_danger_and_one_off_a_warning)
{
    static const case_of_harm cases[] = {
        {2.2, 5.5, 6.2, NAN, 5.8, NULL, SW_INFO},
        {2.2, 5.5, 6.2, NAN, 2.0, "measured-ph-harmful", SW_DANGER},
        {2.2, 5.5, 6.2, NAN, 3.99, "measured-ph-harmful", SW_DANGER},
        {2.2, 5.5, 6.2, NAN, 8.01, "measured-ph-harmful", SW_DANGER},
        {2.2, 5.5, 6.2, NAN, 9.5, "measured-ph-harmful", SW_DANGER},
        {2.2, 5.5, 6.2, NAN, 4.9, "measured-ph-off", SW_WARNING},
        {2.2, 5.5, 6.2, NAN, 5.2, "measured-ph-off", SW_WARNING},
        {2.2, 5.5, 6.2, NAN, 6.4, "measured-ph-off", SW_WARNING},
        {2.2, 5.5, 6.2, NAN, 6.6, "measured-ph-off", SW_WARNING},
    };
    expect_notes(cases, sizeof cases / sizeof *cases);
}
END_TEST

START_TEST(the_targets_own_limits_say_what_ph_is_off)
{
    static const case_of_harm cases[] = {
        {2.2, NAN, 7.0, NAN, 6.9, NULL, SW_INFO},
        {2.2, NAN, 7.0, NAN, 4.9, "measured-ph-off", SW_WARNING},
        {2.2, NAN, 7.0, NAN, 5.1, NULL, SW_INFO},
        {2.2, 4.6, NAN, NAN, 6.4, NULL, SW_INFO},
        {2.2, 4.6, NAN, NAN, 4.7, NULL, SW_INFO},
        {2.2, 4.6, NAN, NAN, 6.6, "measured-ph-off", SW_WARNING},
        {2.2, 3.0, 9.0, NAN, 4.4, "measured-ph-harmful", SW_DANGER},
    };
    expect_notes(cases, sizeof cases / sizeof *cases);
}
END_TEST

START_TEST(an_ec_that_burns_is_a_danger_and_a_high_one_a_warning)
{
    static const case_of_harm cases[] = {
        {2.2, NAN, NAN, 2.2, NAN, NULL, SW_INFO},
        {2.2, NAN, NAN, 0.3, NAN, NULL, SW_INFO},
        {2.2, NAN, NAN, 3.6, NAN, "measured-ec-high", SW_WARNING},
        {2.2, NAN, NAN, 4.6, NAN, "measured-ec-harmful", SW_DANGER},
        /* thrice as strong, and no more than many feeds */
        {0.8, NAN, NAN, 2.4, NAN, NULL, SW_INFO},
        {0.8, NAN, NAN, 2.5, NAN, NULL, SW_INFO},
        {0.8, NAN, NAN, 2.51, NAN, "measured-ec-harmful", SW_DANGER},
        /* no more than the recipe makes, and more than any crop takes */
        {9.0, NAN, NAN, 8.5, NAN, "measured-ec-harmful", SW_DANGER},
        {9.0, NAN, NAN, 7.9, NAN, NULL, SW_INFO},
    };
    expect_notes(cases, sizeof cases / sizeof *cases);
}
END_TEST

START_TANK_TEST(harm_in_a_reading_is_said_in_the_diagnosis)
{
    t->readings.ec_ms_per_cm = 6.0;
    t->readings.ph = 2.0;
    diagnose(t);
    ck_assert_uint_eq(t->diagnosis->notes.count, 2);
    ck_assert_str_eq(t->diagnosis->notes.items[0].code, "measured-ec-harmful");
    ck_assert_str_eq(t->diagnosis->notes.items[1].code, "measured-ph-harmful");
}
END_TEST

/* Bits in the question which of the outcomes 0, 1 and 2 a bag has. */
static double bag_entropy(const tank *t, size_t product)
{
    double share[3] = {0.0, 0.0, 0.0};
    double bits = 0.0;
    for (size_t i = 0; i < t->diagnosis->mistake_count; i++) {
        const sw_mistake *m = &t->diagnosis->mistakes[i];
        bool own = m->product == product && m->kind >= SW_LEFT_OUT &&
                   m->kind <= SW_OTHER_FORM;
        share[!own ? 1 : m->kind == SW_DOUBLED ? 2 : 0] += m->belief;
    }
    for (int i = 0; i < 3; i++)
        bits -= share[i] > 0.0 ? share[i] * log2(share[i]) : 0.0;
    return bits;
}

START_TANK_TEST(a_look_into_a_bag_tells_the_entropy_of_its_outcomes)
{
    int bags = 0;
    measure_with(t, "magnesium sulfate", 0.0);
    diagnose(t);
    for (size_t i = 0; i < t->diagnosis->look_count; i++) {
        const sw_look *look = &t->diagnosis->looks[i];
        ck_assert(i == 0 || look->bits <= look[-1].bits);
        if (look->kind != SW_LOOK_PRODUCT)
            continue;
        bags++;
        ck_assert_double_eq_tol(look->bits, bag_entropy(t, look->product),
                                TOL_BITS);
    }
    ck_assert_int_ge(bags, 1);
}
END_TEST

START_TEST(a_look_says_what_to_expect_of_each_mistake)
{
    tank t;
    set_up(&t);
    measure_with(&t, "magnesium sulfate", 0.0);
    diagnose(&t);
    for (size_t i = 0; i < t.diagnosis->look_count; i++) {
        const sw_look *look = &t.diagnosis->looks[i];
        if (look->kind != SW_LOOK_COMPONENT || look->component != SW_MG)
            continue;
        for (size_t m = 0; m < t.diagnosis->mistake_count; m++) {
            const sw_mistake *what = &t.diagnosis->mistakes[m];
            if (what->kind == SW_LEFT_OUT &&
                strcmp(product_of(&t, what), "magnesium sulfate") == 0)
                ck_assert_double_eq_tol(look->expected[m], 2.1, 0.3);
        }
        tear_down(&t);
        return;
    }
    ck_abort_msg("magnesium is not among the looks");
}
END_TEST

/* Nothing is gone from any bag, though the tank was filled as meant. */
START_TANK_TEST(where_nothing_was_put_in_no_bag_is_lighter)
{
    size_t bags = 0;
    measure_with(t, "magnesium sulfate", 0.0);
    diagnose(t);
    for (size_t i = 0; i < t->diagnosis->look_count; i++) {
        const sw_look *look = &t->diagnosis->looks[i];
        for (size_t m = 0; m < t->diagnosis->mistake_count; m++) {
            const sw_mistake *what = &t->diagnosis->mistakes[m];
            if (what->kind != SW_NOTHING_IN || look->kind <= SW_LOOK_PH)
                continue;
            ck_assert_double_eq(look->expected[m],
                                look->kind == SW_LOOK_FILL ? 1 : 0);
            bags += look->kind == SW_LOOK_PRODUCT;
        }
    }
    ck_assert_uint_gt(bags, 0);
    ck_assert_uint_gt(check_others_as_meant(t->diagnosis, SW_LOOK_PRODUCT), 0);
    check_others_as_meant(t->diagnosis, SW_LOOK_FILL);
}
END_TEST

/* A shelf taken apart by tanks counts a product in each as one; two mistakes
 * that would show alike are enough to weigh every look. */
START_TANK_TEST(a_recipe_of_more_rows_than_a_shelf_has_is_no_trouble)
{
    enum { ROWS = SW_MAX_PRODUCTS + 60, MISTAKES = 2 };
    sw_product *products = calloc(ROWS, sizeof *products);
    double *g_per_l = calloc(ROWS, sizeof *g_per_l);
    for (size_t i = 0; i < ROWS; i++) {
        products[i] = t->mix.shelf->products[0];
        g_per_l[i] = 1e-3;
    }
    sw_shelf shelf = {.products = products, .count = ROWS};
    sw_recipe recipe = {.g_per_l = g_per_l, .count = ROWS};
    sw_mix mix = {.water = &t->mix.water,
                  .target = t->mix.target,
                  .shelf = &shelf,
                  .recipe = &recipe};
    sw_outlook *outlook = calloc(1, sizeof *outlook);
    *outlook = (sw_outlook){
        .mix = &mix,
        .mistakes = {calloc(MISTAKES, sizeof(sw_mistake)), MISTAKES},
        .g_per_l = calloc(ROWS * SW_OUTLOOK_DRAWS, sizeof(double)),
        .ln_ec = calloc(MISTAKES * SW_OUTLOOK_DRAWS, sizeof(double)),
        .ph = calloc(MISTAKES * SW_OUTLOOK_DRAWS, sizeof(double)),
        .paper_ec = 1.0};
    outlook->mistakes.items[0] =
        (sw_mistake){.kind = SW_NOTHING_WRONG, .factor = 1.0, .belief = 0.5};
    outlook->mistakes.items[1] =
        (sw_mistake){.kind = SW_LEFT_OUT, .product = ROWS - 1, .belief = 0.5};
    t->readings.ec_ms_per_cm = 1.0;
    ck_assert_int_eq(sw_meter_judge(outlook, &t->readings, &t->diagnosis, NULL),
                     SW_OK);
    ck_assert_uint_ge(t->diagnosis->look_count, 1);
    ck_assert_int_eq(t->diagnosis->looks[0].kind, SW_LOOK_PRODUCT);
    ck_assert_uint_eq(t->diagnosis->looks[0].product, ROWS - 1);
    ck_assert_double_eq_tol(t->diagnosis->looks[0].bits, 1.0, TOL_BITS);
    sw_outlook_free(outlook);
    free(products);
    free(g_per_l);
}
END_TEST

START_TANK_TEST(readings_errors_and_solutions_beyond_what_is_known_are_refused)
{
    sw_readings good = {2.0, 6.0, 0.02, 0.05};
    sw_readings bad[] = {good, good, good, good, good, good, good, good, good};
    bad[0].ec_ms_per_cm = bad[0].ph = NAN;
    bad[1].ec_ms_per_cm = 0.0;
    bad[2].ec_ms_per_cm = 501.0;
    bad[3].ph = 15.0;
    bad[4].ec_error = 0.0;
    bad[5].ph_error = 3.0;
    bad[6].ec_error = 0.6;
    bad[7].ph_error = 0.0;
    bad[8].ph = -0.1;
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        t->readings = bad[i];
        expect_refusal(t);
    }
    t->readings = good;
    t->off.label = -1.0;
    expect_refusal(t);
    t->off = sw_tolerances_default(1000.0); /* beyond the chemistry: */
    t->mix.recipe->g_per_l[0] = 400.0;
    expect_refusal(t);
}
END_TEST

START_TEST(each_kind_of_mistake_has_a_name)
{
    ck_assert_str_eq(sw_mistake_text(SW_LEFT_OUT), "left out");
    ck_assert_ptr_null(sw_mistake_text(SW_MISTAKE_KINDS));
    sw_diagnosis_free(NULL);
}
END_TEST
