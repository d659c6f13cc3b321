/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The kernel against the convex solve, which shares none of its arithmetic, on
 * random contents and extreme totals; and its digits, which depend neither on
 * the company of a lane nor on how many go at a time.
 *
 *     test_lanes         a quick sample
 *     test_lanes 10000   that many of each kind
 */
#include "suite.h"

#include <gsl/gsl_randist.h>

#include <string.h>

#include "chemistry/conductivity.h"
#include "chemistry/lanes.h"
#include "chemistry/saturation.h"
#include "random_content.h"
#include "tolerances.h"

enum { SEED = 20261129 };

static int sample_count = 300;

/* ---- Random solutions ---------------------------------------------------- */

static gsl_rng *seeded(void)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    ck_assert_ptr_nonnull(rng);
    gsl_rng_set(rng, SEED);
    return rng;
}

/* From traces to brines of each master on its own, whatever its charge. */
static sw_totals extreme_totals(gsl_rng *rng)
{
    sw_totals t = {.water_kg_per_l = 0.99};
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++)
        if (gsl_rng_uniform(rng) < 0.7)
            t.mol_per_kg[m] = pow(10, between(rng, -12, -0.7));
    t.alkalinity_eq_per_kg = pow(10, between(rng, -9, -0.7));
    if (gsl_rng_uniform(rng) < 0.5)
        t.alkalinity_eq_per_kg = -t.alkalinity_eq_per_kg;
    return t;
}

static sw_totals usual_totals(gsl_rng *rng, const sw_constants *c, bool aired)
{
    sw_totals t;
    sw_content content = random_content(rng);
    content.amount[SW_ALKALINITY] =
        between(rng, -1, 1) * pow(10, between(rng, -3, 1.5));
    ck_assert_int_eq(sw_totals_of(&content, c->water_kg_per_l, aired, &t, NULL),
                     SW_OK);
    return t;
}

static sw_speciation any_solution(gsl_rng *rng, const sw_constants *c,
                                  bool extreme)
{
    bool aired = gsl_rng_uniform(rng) < 0.4;
    return (sw_speciation){.constants = c,
                           .totals = extreme ? extreme_totals(rng)
                                             : usual_totals(rng, c, aired),
                           .carbon_open = aired,
                           .ln_co2 = sw_ln_co2(c, 4.2e-4),
                           .ph_given = gsl_rng_uniform(rng) < 0.4,
                           .ph = between(rng, 2, 12)};
}

/* ---- Against the convex solve -------------------------------------------- */

typedef struct tally {
    int solutions, beyond, surely;
    double ph, ec, index;
} tally;

static double further(double most, double one, double other)
{
    return isnan(one) && isnan(other) ? most : fmax(most, fabs(one - other));
}

static void compare(const sw_speciation *one, const sw_speciation *other,
                    tally *t)
{
    t->ph = further(t->ph, one->ph, other->ph);
    t->ec = further(t->ec, 1, sw_conductivity(one) / sw_conductivity(other));
    for (int i = 0; i < SW_SOLID_COUNT; i++) {
        const sw_species *solid = &one->constants->solid[i];
        t->index = further(t->index, sw_ln_saturation(one, solid),
                           sw_ln_saturation(other, solid));
    }
}

static void solve_both(gsl_rng *rng, bool extreme, tally *t)
{
    sw_constants c;
    sw_constants_at(between(rng, 5, 40), &c);
    sw_speciation own = any_solution(rng, &c, extreme);
    sw_speciation sure = own;
    sw_status status = sw_speciate(&own, NULL);
    sure.ln_water = sw_ln_water_of(&sure.totals);
    ck_assert_int_eq(sw_speciate_surely(&sure, NULL), status);
    t->solutions++;
    t->beyond += status == SW_ERR_VALUE;
    if (status != SW_OK)
        return;
    sw_speciation again = sure; /* from its own end */
    again.warm = true;
    ck_assert_int_eq(sw_speciate_surely(&again, NULL), SW_OK);
    ck_assert_double_le(fabs(again.ph - sure.ph), TOL_KERNEL);
    t->surely += own.surely;
    compare(&own, &sure, t);
}

static void compare_many(bool extreme)
{
    gsl_rng *rng = seeded();
    tally t = {.solutions = 0};
    for (int n = 0; n < sample_count; n++)
        solve_both(rng, extreme, &t);
    printf("%d %s: %d beyond the model, %d by the convex solve; apart by %.1e "
           "in pH, %.1e of the EC, %.1e in ln of the indices\n",
           t.solutions, extreme ? "extreme totals" : "waters and feeds",
           t.beyond, t.surely, t.ph, t.ec, t.index);
    ck_assert_double_le(t.ph, TOL_KERNEL);
    ck_assert_double_le(t.ec, TOL_KERNEL);
    ck_assert_double_le(t.index, TOL_KERNEL);
    ck_assert_int_eq(t.surely, 0);
    gsl_rng_free(rng);
}

START_TEST(the_kernel_finds_the_waters_and_feeds_of_the_convex_solve)
{
    compare_many(false);
}
END_TEST

START_TEST(the_kernel_finds_the_extreme_totals_of_the_convex_solve)
{
    compare_many(true);
}
END_TEST

/* From a start that is none, the convex solve finds the end; the kernel goes on
 * from there to the slope. */
START_TEST(a_solution_found_the_long_way_has_the_same_slope)
{
    sw_constants c;
    gsl_rng *rng = seeded();
    sw_constants_at(25, &c);
    for (int n = 0; n < 20; n++) {
        sw_speciation own = any_solution(rng, &c, false);
        own.ph_given = own.wants_slope = true;
        own.ph = between(rng, 4, 9);
        sw_speciation other = own;
        ck_assert_int_eq(sw_speciate(&own, NULL), SW_OK);
        other.warm = true;
        other.ionic_strength = 1e-4;
        for (int m = 0; m < SW_MASTER_COUNT; m++)
            other.ln_activity[m] = 1e4;
        ck_assert_int_eq(sw_speciate(&other, NULL), SW_OK);
        ck_assert(!own.surely && other.surely);
        for (int m = 0; m < SW_MASTER_COUNT; m++)
            ck_assert_double_le(fabs(own.slope[m] - other.slope[m]),
                                TOL_KERNEL * (1 + fabs(own.slope[m])));
    }
    gsl_rng_free(rng);
}
END_TEST

/* At a pH an alkalinity and the carbon that makes it follow from each other,
 * but for a(H2O): here by the species of carbon, there by its total. */
START_TEST(carbon_that_follows_from_an_alkalinity_is_what_gave_it)
{
    sw_constants c;
    sw_lanes lanes;
    gsl_rng *rng = seeded();
    int tried = 0;
    sw_constants_at(15, &c);
    for (int n = 0; n < 200; n++) {
        sw_speciation own = any_solution(rng, &c, false);
        double carbon = pow(10, between(rng, -3.5, -1.7));
        own.carbon_open = false;
        own.ph_given = true;
        own.ph = between(rng, 6, 9);
        own.totals.mol_per_kg[SW_AT_CO3] = carbon;
        if (sw_speciate(&own, NULL) != SW_OK || own.alkalinity <= 1e-4)
            continue;
        sw_speciation found = own;
        found.warm = false;
        found.carbon_open = true;
        found.totals.alkalinity_eq_per_kg = own.alkalinity;
        found.ln_co2 = log(own.alkalinity) + SW_LN10 * (6.35 - own.ph);
        found.ln_water = sw_ln_water_of(&found.totals);
        sw_lanes_ask(&lanes, &found);
        lanes.closing = SW_CARBON_FOLLOWS;
        sw_lanes_put(&lanes, 0, &found);
        sw_lanes_solve(&lanes);
        ck_assert(lanes.found[0]);
        sw_lanes_take(&lanes, 0, &found);
        ck_assert_double_le(fabs(sw_carbon_of(&found) / carbon - 1), 1e-3);
        tried++;
    }
    ck_assert_int_gt(tried, 100);
    gsl_rng_free(rng);
}
END_TEST

/* ---- Onsets ---------------------------------------------------------------
 */

/* By the convex solve; false beyond the model. */
static bool sure_index(const sw_speciation *s, double ph, int solid,
                       double *index)
{
    sw_speciation at = *s;
    at.ph_given = true;
    at.ph = ph;
    at.warm = false;
    at.totals.mol_per_kg[SW_AT_Fe3] += at.totals.mol_per_kg[SW_AT_Fe2];
    at.totals.mol_per_kg[SW_AT_Fe2] = 0;
    if (sw_speciate_surely(&at, NULL) != SW_OK)
        return false;
    *index = sw_ln_saturation(&at, &s->constants->solid[solid]);
    return true;
}

/* The first pH of 3, 4 ... 10 after which the index rises through 0; 0: none.
 */
static int rises_after(const sw_speciation *s, int solid)
{
    double low, high;
    for (int ph = 3; ph < 11; ph++)
        if (!sure_index(s, ph, solid, &low) ||
            !sure_index(s, ph + 1, solid, &high))
            return 0;
        else if (low < 0 && high >= 0)
            return ph;
    return 0;
}

static int check_onsets(const sw_speciation *s)
{
    double ph[SW_SOLID_COUNT], index;
    int found = 0;
    ck_assert_int_eq(sw_saturation_onsets(s, ph, NULL), SW_OK);
    for (int solid = 0; solid < SW_SOLID_COUNT; solid++) {
        int after = rises_after(s, solid);
        ck_assert_int_eq(!isnan(ph[solid]), after > 0);
        if (after == 0)
            continue;
        ck_assert(ph[solid] >= after && ph[solid] <= after + 1);
        ck_assert(sure_index(s, ph[solid], solid, &index));
        ck_assert_double_le(fabs(index), TOL_KERNEL);
        found++;
    }
    return found;
}

START_TEST(at_an_onset_the_convex_solve_has_an_index_of_zero)
{
    sw_constants c;
    int found = 0;
    gsl_rng *rng = seeded();
    sw_constants_at(20, &c);
    for (int n = 0; n < sample_count / 20; n++) {
        sw_speciation s = any_solution(rng, &c, false);
        s.ph_given = false;
        if (sw_speciate(&s, NULL) == SW_OK)
            found += check_onsets(&s);
    }
    ck_assert_int_gt(found, sample_count / 20);
    gsl_rng_free(rng);
}
END_TEST

/* ---- Digits ---------------------------------------------------------------
 */

static void put_all(sw_lanes *lanes, const sw_speciation *s, const int *order)
{
    lanes->count = SW_LANES;
    for (int l = 0; l < SW_LANES; l++)
        sw_lanes_put(lanes, l, &s[order[l]]);
}

static sw_speciation same_question(gsl_rng *rng, const sw_lanes *lanes)
{
    sw_speciation s =
        any_solution(rng, lanes->constants, gsl_rng_uniform(rng) < 0.2);
    s.carbon_open = lanes->carbon_open;
    s.ph_given = lanes->closing == SW_PH_GIVEN;
    s.ln_water = sw_ln_water_of(&s.totals);
    return s;
}

/* What is taken of two lanes that were put from one solution. */
static void assert_same_lane(const sw_speciation *put, const sw_lanes *a,
                             int at, const sw_lanes *b, int there)
{
    static sw_speciation one, other; /* the bytes between their parts too */
    ck_assert(a->found[at] == b->found[there]);
    if (!a->found[at])
        return;
    memcpy(&one, put, sizeof one);
    memcpy(&other, put, sizeof other);
    sw_lanes_take(a, at, &one);
    sw_lanes_take(b, there, &other);
    ck_assert_mem_eq(&one, &other, sizeof one);
}

/* By what serves where the processor has nothing wider. */
static void solve_narrow(sw_lanes *lanes, sw_kernel *solve, int width)
{
    sw_lanes_prepare(lanes, width);
    for (int first = 0; first < lanes->count; first += width)
        solve(lanes, first);
}

static void solve_in_all_ways(gsl_rng *rng, const sw_lanes *asked)
{
    static const int plain[] = {0, 1, 2, 3, 4, 5, 6, 7};
    static sw_kernel *const narrow[] = {sw_kernel_1, sw_kernel_2};
    int order[SW_LANES];
    sw_speciation s[SW_LANES];
    sw_lanes one = *asked, other = *asked;
    memcpy(order, plain, sizeof plain);
    gsl_ran_shuffle(rng, order, SW_LANES, sizeof *order);
    for (int l = 0; l < SW_LANES; l++)
        s[l] = same_question(rng, asked);
    put_all(&one, s, plain);
    ck_assert(sw_lanes_solve_by(&one, 1));
    for (int width = 2; width <= SW_LANES; width *= 2) {
        put_all(&other, s, order);
        bool solved = sw_lanes_solve_by(&other, width);
        for (int l = 0; solved && l < SW_LANES; l++)
            assert_same_lane(&s[order[l]], &one, order[l], &other, l);
    }
    for (int width = 1; width <= 2; width++) {
        put_all(&other, s, order);
        solve_narrow(&other, narrow[width - 1], width);
        for (int l = 0; l < SW_LANES; l++)
            assert_same_lane(&s[order[l]], &one, order[l], &other, l);
    }
}

START_TEST(digits_depend_neither_on_width_nor_on_company)
{
    sw_constants c;
    gsl_rng *rng = seeded();
    sw_constants_at(25, &c);
    for (int n = 0; n < sample_count / SW_LANES; n++) {
        sw_lanes asked = {.constants = &c,
                          .closing = n % 2 ? SW_PH_GIVEN : SW_PROTONS_BALANCE,
                          .wants_slope = n % 2,
                          .carbon_open = n % 4 > 1};
        solve_in_all_ways(rng, &asked);
    }
    gsl_rng_free(rng);
}
END_TEST

/* ---- Several that ask different things ----------------------------------- */

enum { SEVERAL = 70 }; /* more than go in one block of blocks */

/* One that the model can answer, and what it answers alone. */
static void ask_alone(gsl_rng *rng, const sw_constants *c, const double *ideal,
                      sw_speciation *asked, sw_speciation *alone)
{
    do {
        *asked = any_solution(rng, c, gsl_rng_uniform(rng) < 0.3);
        asked->ln_gamma = ideal;
        asked->wants_slope =
            asked->ph_given && !ideal && gsl_rng_uniform(rng) < 0.5;
        *alone = *asked;
    } while (sw_speciate(alone, NULL) != SW_OK);
}

START_TEST(several_come_out_as_each_alone)
{
    static const double ideal[SW_SPECIES_MAX];
    static sw_speciation asked[SEVERAL], alone[SEVERAL];
    sw_speciation *all[SEVERAL];
    sw_constants c[2];
    gsl_rng *rng = seeded();
    sw_constants_at(25, &c[0]);
    sw_constants_at(12, &c[1]);
    for (int n = 0; n < SEVERAL; n++) {
        ask_alone(rng, &c[n % 5 == 0], n % 9 ? NULL : ideal, &asked[n],
                  &alone[n]);
        all[n] = &asked[n];
    }
    ck_assert_int_eq(sw_speciate_all(all, SEVERAL, NULL), SW_OK);
    for (int n = 0; n < SEVERAL; n++) {
        ck_assert(asked[n].ph == alone[n].ph);
        ck_assert(asked[n].alkalinity == alone[n].alkalinity);
        ck_assert(asked[n].ionic_strength == alone[n].ionic_strength);
        ck_assert_mem_eq(asked[n].ln_activity, alone[n].ln_activity,
                         sizeof asked[n].ln_activity);
        if (asked[n].wants_slope)
            ck_assert_mem_eq(asked[n].slope, alone[n].slope,
                             sizeof asked[n].slope);
    }
    gsl_rng_free(rng);
}
END_TEST

START_TEST(one_beyond_the_model_is_an_error_of_all)
{
    sw_constants c;
    sw_error error;
    sw_constants_at(25, &c);
    sw_speciation fresh = {.constants = &c, .ph_given = true, .ph = 7};
    fresh.totals.water_kg_per_l = 0.99;
    sw_speciation brine = fresh;
    brine.totals.mol_per_kg[SW_AT_Ca] = 5;
    sw_speciation *all[] = {&fresh, &brine, &fresh};
    ck_assert_int_eq(sw_speciate_all(all, 3, &error), SW_ERR_VALUE);
    ck_assert_ptr_nonnull(strstr(error.message, "ionic strength"));
}
END_TEST

int main(int argc, char **argv)
{
    if (argc > 1)
        sample_count = sw_cases(atoi(argv[1]));
    return run_suite(suite_of_all());
}
