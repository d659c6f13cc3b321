/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * 1,000 single mistakes, each in a tank where water, labels, fills and meters
 * are off too: how often is the one that was made among the first entries?
 */
#include "slips.h"

#include "decide/meter.h"

#include <stdio.h>
#include <string.h>

enum { MISTAKES = 1000, RIGHT = 400, FIRST = 3 };

typedef struct score {
    int all, among_first, leads, as_meant, untold;
    double members, members_first;
} score;

static void count(score *to, const sw_diagnosis *d, size_t entry,
                  size_t members)
{
    to->all++;
    to->among_first += entry < FIRST;
    to->leads += entry == 0;
    to->as_meant += d->as_meant;
    to->members += (double)members;
    for (size_t i = 0; i < d->mistake_count; i++)
        to->members_first += d->mistakes[i].entry < FIRST;
}

static void print(const char *what, const score *s)
{
    printf("%s: %d, among the first three %.1f %%, first %.1f %%; members of "
           "its entry %.1f, of the first three %.1f; as meant %.1f %%\n",
           what, s->all, 100.0 * s->among_first / s->all,
           100.0 * s->leads / s->all, s->members / s->all,
           s->members_first / s->all, 100.0 * s->as_meant / s->all);
}

/* Makes one mistake; those the meters tell from none are counted apart. */
static void try_one(const slips *s, size_t index, double aired, gsl_rng *rng,
                    score *all, score *visible)
{
    sw_diagnosis *d;
    size_t members;
    size_t none;
    sw_readings readings = slips_measure(s, index, aired, rng);
    ck_assert_int_eq(sw_meter_judge(s->outlook, &readings, &d, NULL), SW_OK);
    size_t entry = slips_entry(s, index, d, &members);
    count(all, d, entry, members);
    if (entry != slips_entry(s, 0, d, &none))
        count(visible, d, entry, members);
    sw_diagnosis_free(d);
}

START_TEST(nine_in_ten_single_mistakes_are_among_the_first_three)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    score all = {0};
    score visible = {0};
    int each = sw_cases(MISTAKES) / SLIPS_SETUPS + 1;
    for (int setup = 0; setup < SLIPS_SETUPS; setup++) {
        slips s;
        slips_open(&s, setup);
        for (int i = 0; i < each; i++)
            try_one(&s, slips_choose(&s, rng), 0.0, rng, &all, &visible);
        slips_close(&s);
    }
    print("all mistakes", &all);
    print("those the meters can see", &visible);
    ck_assert_int_ge(10 * all.among_first, 9 * all.all);
    ck_assert_int_ge(10 * visible.among_first, 9 * visible.all);
    ck_assert(visible.members < 3.0 * visible.all);
    gsl_rng_free(rng);
}
END_TEST

/* Fresh, at rest with the air, or somewhere between. */
static score try_right_ones(double low, double high, gsl_rng *rng)
{
    score all = {0};
    score visible = {0};
    int each = sw_cases(RIGHT) / SLIPS_SETUPS + 1;
    for (int setup = 0; setup < SLIPS_SETUPS; setup++) {
        slips s;
        slips_open(&s, setup);
        for (int i = 0; i < each; i++)
            try_one(&s, 0, low + (high - low) * gsl_rng_uniform(rng), rng, &all,
                    &visible);
        slips_close(&s);
    }
    return all;
}

START_TEST(a_tank_without_a_mistake_is_seldom_accused)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    score fresh = try_right_ones(0.0, 0.0, rng);
    score partly = try_right_ones(0.0, 1.0, rng);
    score aired = try_right_ones(1.0, 1.0, rng);
    print("nothing wrong", &fresh);
    print("nothing wrong, some CO2 gone", &partly);
    print("nothing wrong, aired", &aired);
    ck_assert_int_ge(10 * fresh.leads, 9 * fresh.all);
    ck_assert_int_gt(100 * fresh.as_meant, 95 * fresh.all);
    ck_assert_int_gt(100 * partly.as_meant, 95 * partly.all);
    ck_assert_int_gt(100 * aired.as_meant, 95 * aired.all);
    gsl_rng_free(rng);
}
END_TEST

static const double harmful_below = 4.5, harmful_above = 8.0;

/* Whether somebody who measures both, or EC alone, of a tank that harms roots
 * is told: by the pH read, or that something is off. */
static void try_harmful(const slips *s, gsl_rng *rng, score *both, score *bare)
{
    sw_diagnosis *d;
    size_t index = slips_choose(s, rng);
    sw_readings readings = slips_measure(s, index, 0.0, rng);
    if (readings.ph >= harmful_below && readings.ph <= harmful_above)
        return;
    ck_assert_int_eq(sw_meter_judge(s->outlook, &readings, &d, NULL), SW_OK);
    both->all++;
    both->untold += d->as_meant && !d->notes.count;
    sw_diagnosis_free(d);
    readings.ph = NAN;
    ck_assert_int_eq(sw_meter_judge(s->outlook, &readings, &d, NULL), SW_OK);
    bare->all++;
    bare->untold += d->as_meant;
    sw_diagnosis_free(d);
}

START_TEST(a_mistake_that_makes_a_harmful_ph_is_told)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    score both = {0};
    score bare = {0};
    int each = sw_cases(MISTAKES) / SLIPS_SETUPS + 1;
    for (int setup = 0; setup < SLIPS_SETUPS; setup++) {
        slips s;
        slips_open(&s, setup);
        for (int i = 0; i < each; i++)
            try_harmful(&s, rng, &both, &bare);
        slips_close(&s);
    }
    printf("harmful pH: %d, not told %d; by EC alone not told %d\n", both.all,
           both.untold, bare.untold);
    ck_assert_int_gt(both.all, 0);
    ck_assert_int_eq(both.untold, 0);
    gsl_rng_free(rng);
}
END_TEST

START_TEST(readings_of_the_water_alone_say_that_nothing_is_in)
{
    for (int setup = 0; setup < SLIPS_SETUPS; setup++) {
        slips s;
        sw_diagnosis *d;
        sw_chemistry water;
        sw_readings readings = sw_readings_default();
        slips_open(&s, setup);
        ck_assert_int_eq(sw_equilibrate(s.outlook->mix->water,
                                        &s.outlook->mix->conditions,
                                        SW_CARBONATE_KEPT, &water, NULL),
                         SW_OK);
        readings.ec_ms_per_cm = water.ec_ms_per_cm;
        readings.ph = water.ph;
        ck_assert_int_eq(sw_meter_judge(s.outlook, &readings, &d, NULL), SW_OK);
        ck_assert_int_eq(d->mistakes[0].kind, SW_NOTHING_IN);
        ck_assert(d->explained && !d->as_meant);
        for (size_t i = 0; i < d->look_count; i++)
            if (d->looks[i].kind == SW_LOOK_PRODUCT)
                ck_assert_double_eq(d->looks[i].expected[0], 0);
        sw_diagnosis_free(d);
        slips_close(&s);
    }
}
END_TEST

/* What the meters show of a fresh mix with so much of the acid. */
static sw_readings read_with(const slips *s, size_t acid, double times)
{
    sw_content c = *s->outlook->mix->water;
    sw_chemistry seen;
    sw_readings readings = sw_readings_default();
    for (size_t j = 0; j < s->mix.recipe->count; j++)
        sw_content_add(&c,
                       (j == acid ? times : 1.0) * s->mix.recipe->g_per_l[j],
                       &s->mix.shelf->products[j].per_g);
    ck_assert_int_eq(sw_equilibrate(&c, &s->outlook->mix->conditions,
                                    SW_CARBONATE_KEPT, &seen, NULL),
                     SW_OK);
    readings.ec_ms_per_cm = seen.ec_ms_per_cm;
    readings.ph = seen.ph;
    return readings;
}

/* Between a fresh mix and an aired one nobody can tell CO2 gone from acid that
 * is not there; of a fresh mix there is nothing else to say. */
START_TEST(acid_left_out_is_told_beside_co2_gone)
{
    static const double times[] = {0.0, 0.5, 1.0};
    enum { BASIL_AT_THE_WELL = 3 };
    slips s;
    size_t acid = 0;
    slips_open(&s, BASIL_AT_THE_WELL);
    while (strcmp(s.mix.shelf->products[acid].name, "nitric acid 38 %"))
        acid++;
    for (size_t i = 0; i < sizeof times / sizeof *times; i++) {
        sw_diagnosis *d;
        sw_readings readings = read_with(&s, acid, times[i]);
        ck_assert_int_eq(sw_meter_judge(s.outlook, &readings, &d, NULL), SW_OK);
        const sw_mistake *other = d->or_else;
        ck_assert_int_eq(other != NULL, times[i] < 1.0);
        if (other) {
            ck_assert_int_eq(other->kind, SW_LEFT_OUT);
            ck_assert_uint_eq(other->product, acid);
            ck_assert_double_eq(other->factor, times[i]);
        }
        ck_assert(d->in_order > 0.3 && d->in_order <= 1.0);
        sw_diagnosis_free(d);
    }
    slips_close(&s);
}
END_TEST
