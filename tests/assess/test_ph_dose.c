/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Acid and base by the pH alone: against a titration worked out here from the
 * carbonate constants, and 50 invented waters (SALTWRIGHT_TITRATIONS: more)
 * whose every amount is poured in and calculated by the full equilibrium; where
 * none is told, a scan of amounts finds none either.
 */
#include "suite.h"
#include "tolerances.h"

#include "chemistry/equilibrate.h"

#include <gsl/gsl_rng.h>
#include <math.h>
#include <string.h>

typedef struct bench {
    sw_content water;
    sw_target_row rows[2];
    sw_target target;
    sw_product products[3];
    double g_per_l[3];
    sw_shelf shelf;
    sw_recipe recipe;
    sw_mix mix;
    sw_ph_options *found;
    sw_error error;
} bench;

/* A water of calcium and sodium bicarbonate; the shelf is empty. */
static void set_up(bench *b, double alkalinity_meq_per_l, double carbon)
{
    memset(b, 0, sizeof *b);
    double half = 0.5 * fmax(alkalinity_meq_per_l, 0);
    b->water.amount[SW_CA] = half * 20.04;
    b->water.amount[SW_NA] = half * 22.99;
    b->water.amount[SW_CL] = fmax(-alkalinity_meq_per_l, 0) * 35.45;
    b->water.amount[SW_ALKALINITY] = alkalinity_meq_per_l;
    b->water.amount[SW_CARBON] = carbon;
    b->target = (sw_target){.name = "target.csv", .rows = b->rows};
    b->shelf = (sw_shelf){.products = b->products};
    b->recipe = (sw_recipe){.g_per_l = b->g_per_l};
    b->mix = (sw_mix){.water = &b->water,
                      .target = &b->target,
                      .shelf = &b->shelf,
                      .recipe = &b->recipe,
                      .conditions = {.temperature_c = 25, .co2_atm = 4.2e-4}};
}

static sw_target_row *ask(bench *b, bool aired, double target)
{
    sw_target_row *row = &b->rows[b->target.count++];
    *row = (sw_target_row){.kind = SW_TARGET_PH,
                           .name = aired ? "pH aired" : "pH",
                           .aired = aired,
                           .target = target,
                           .min = NAN,
                           .max = NAN,
                           .weight = 1};
    return row;
}

static sw_product *stand(bench *b, const char *name)
{
    sw_product *copy;
    sw_product *to = &b->products[b->shelf.count++];
    ck_assert_int_eq(sw_catalogue_find(name, &copy, NULL), SW_OK);
    *to = *copy;
    free(copy); /* what it holds is let go in tear_down */
    b->recipe.count = b->shelf.count;
    return to;
}

static void find(bench *b)
{
    ck_assert_msg(sw_ph_options_find(&b->mix, &b->found, &b->error) == SW_OK,
                  "%s", b->error.message);
}

static void tear_down(bench *b)
{
    sw_ph_options_free(b->found);
    for (size_t j = 0; j < b->shelf.count; j++) {
        sw_product *copy = malloc(sizeof *copy);
        *copy = b->products[j];
        sw_product_free(copy);
    }
}

static const sw_ph_option *option(const bench *b, const char *name)
{
    for (size_t i = 0; i < b->found->count; i++)
        if (!strcmp(b->found->items[i].product->name, name))
            return &b->found->items[i];
    return NULL;
}

/* ---- A titration of its own --------------------------------------------- */

/* Davies (1962) at 25 degC, A 0.509. */
static double activity(double charge, double ionic)
{
    double root = sqrt(ionic);
    return pow(10,
               -0.509 * charge * charge * (root / (1 + root) - 0.3 * ionic));
}

/*
 * meq/L of alkalinity of sodium bicarbonate at a pH, its carbon in mmol/L:
 * pK1 6.352, pK2 10.329 (Plummer & Busenberg 1982), pKw 13.995 (25 degC).  With
 * air of 4.2e-4 atm CO2 it holds 10^-1.468 mol/(L atm) of that.
 */
static double alkalinity_at(double ph, double carbon, double ionic, bool air)
{
    double h = pow(10, -ph), one = activity(1, ionic), two = activity(2, ionic);
    double k1 = pow(10, -6.352) / one, k2 = pow(10, -10.329) * one / two;
    double co2 = air ? 4.2e-4 * pow(10, -1.468)
                     : carbon / 1000 / (1 + k1 / h + k1 * k2 / (h * h));
    double hco3 = co2 * k1 / h, co3 = hco3 * k2 / h;
    return 1000 * (hco3 + 2 * co3 + pow(10, -13.995) / h / one - h / one);
}

START_TEST(a_bicarbonate_takes_what_its_constants_say)
{
    static const double wanted[] = {4.8, 5.5, 5.8, 6.2, 7.0};
    bench b;
    for (size_t i = 0; i < sizeof wanted / sizeof *wanted; i++) {
        double alkalinity = 4, carbon = 4.4;
        set_up(&b, 0, carbon);
        b.water.amount[SW_NA] = alkalinity * 22.98977;
        b.water.amount[SW_ALKALINITY] = alkalinity;
        ask(&b, false, wanted[i]);
        find(&b);
        const sw_ph_option *nitric = option(&b, "nitric acid 60 %");
        for (int t = 0; t < SW_PH_TANKS; t++) {
            double left =
                alkalinity_at(wanted[i], carbon, alkalinity / 1000, t);
            double told = nitric->amount[t].g_per_l * 0.60 / 0.063012;
            ck_assert_double_eq_tol(told, alkalinity - left,
                                    TOL_TITRATION * alkalinity);
            ck_assert_double_eq_tol(b.found->need[t].acid_meq_per_l, told,
                                    TOL_TITRATION * alkalinity);
        }
        tear_down(&b);
    }
}
END_TEST

/* ---- Every amount poured in --------------------------------------------- */

static double ph_with(const bench *b, const sw_product *product, double g_per_l,
                      int tank)
{
    sw_chemistry chemistry;
    sw_content poured = b->water;
    sw_content_add(&poured, g_per_l, &product->per_g);
    return sw_equilibrate_briefly(&poured, &b->mix.conditions,
                                  (sw_carbonate)tank, &chemistry, NULL)
               ? NAN
               : chemistry.ph;
}

/* Whether some amount up to 30 g/L lies between one too small and one too
 * large. */
static bool has_amount(const bench *b, const sw_product *product, int tank)
{
    double wanted = b->found->need[tank].wanted;
    double before = b->found->need[tank].ph - wanted;
    for (double g = 1e-5; g < 30; g *= 1.5) {
        double off = ph_with(b, product, g, tank) - wanted;
        if (off * before < 0)
            return true;
        before = off;
    }
    return false;
}

typedef struct tally {
    int told, none;
    double ph;
} tally;

static void pour(const bench *b, const sw_ph_option *o, int tank, tally *t)
{
    const sw_ph_need *need = &b->found->need[tank];
    const sw_ph_amount *amount = &o->amount[tank];
    bool acid = need->acid_meq_per_l > 0;
    bool any = fabs(need->ph - need->wanted) > 0.005;
    if (isnan(amount->g_per_l) && any && o->is_acid == acid) {
        t->none++;
        ck_assert_msg(!has_amount(b, o->product, tank),
                      "%s: no amount told for pH %.2f from %.2f",
                      o->product->name, need->wanted, need->ph);
    }
    if (isnan(amount->g_per_l))
        return;
    double ph = ph_with(b, o->product, amount->g_per_l, tank);
    double said =
        tank == SW_CARBONATE_KEPT ? amount->ph_mixed : amount->ph_aired;
    ck_assert_double_eq_tol(ph, said, 1e-6);
    t->ph = fmax(t->ph, fabs(ph - need->wanted));
    t->told++;
}

/* Waters from acid rain to a limestone well, feeds with phosphate among them.
 */
static void invent(gsl_rng *dice, bench *b)
{
    double alkalinity = 8.3 * gsl_rng_uniform(dice) - 0.3;
    double carbon = fabs(alkalinity) * (1 + 0.5 * gsl_rng_uniform(dice)) + 0.02;
    set_up(b, alkalinity, carbon);
    b->water.amount[SW_SI] = 10 * gsl_rng_uniform(dice);
    if (gsl_rng_uniform(dice) < 0.3) {
        b->water.amount[SW_P] = 60 * gsl_rng_uniform(dice);
        b->water.amount[SW_K] = b->water.amount[SW_P] / 30.974 * 39.098;
    }
    ask(b, gsl_rng_uniform(dice) < 0.5, 4.5 + 3.5 * gsl_rng_uniform(dice));
}

START_TEST(every_amount_told_has_the_ph_and_what_has_none_is_not_told)
{
    const char *asked = getenv("SALTWRIGHT_TITRATIONS"); /* 1000 once */
    int waters = asked ? atoi(asked) : sw_cases(50);
    tally t = {0, 0, 0};
    gsl_rng *dice = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(dice, 23);
    for (int i = 0; i < waters; i++) {
        bench b;
        invent(dice, &b);
        find(&b);
        for (size_t k = 0; k < b.found->count; k++)
            for (int tank = 0; tank < SW_PH_TANKS; tank++)
                pour(&b, &b.found->items[k], tank, &t);
        tear_down(&b);
    }
    gsl_rng_free(dice);
    printf("%d waters: %d amounts, pH off by %.2g at most; %d with none\n",
           waters, t.told, t.ph, t.none);
    ck_assert_int_gt(t.told, 10 * waters);
    ck_assert_double_le(t.ph, TOL_MODEL_PH);
}
END_TEST

/* ---- What is listed ----------------------------------------------------- */

#define START_BENCH_TEST(name, set_up)                                         \
    START_TEST_WITH(name, bench, b, set_up, tear_down(b))

START_BENCH_TEST(the_acids_of_the_shelf_come_before_those_of_the_catalogue,
                 set_up(b, 4, 4.4))
{
    ask(b, false, 5.8);
    stand(b, "phosphoric acid 75 %")->max_g_per_l = 0.01;
    stand(b, "potassium nitrate");
    find(b);
    ck_assert_uint_eq(b->found->count, 1);
    ck_assert(b->found->items[0].on_shelf);
    const sw_ph_amount *amount = &b->found->items[0].amount[SW_CARBONATE_KEPT];
    ck_assert(amount->over_max);
    b->products[0].max_g_per_l = amount->g_per_l; /* just enough */
    sw_ph_options_free(b->found);
    find(b);
    ck_assert(!b->found->items[0].amount[SW_CARBONATE_KEPT].over_max);
}
END_TEST

START_BENCH_TEST(each_tank_goes_by_its_own_row, set_up(b, 4, 4.4))
{
    ask(b, true, 6.4);
    ask(b, false, 5.8);
    find(b);
    ck_assert_double_eq(b->found->need[SW_CARBONATE_KEPT].wanted, 5.8);
    ck_assert_double_eq(b->found->need[SW_CARBONATE_AIRED].wanted, 6.4);
    const sw_ph_amount *amount = option(b, "nitric acid 60 %")->amount;
    ck_assert_double_eq_tol(
        amount[0].ml_per_l,
        amount[0].g_per_l /
            option(b, "nitric acid 60 %")->product->density_g_per_ml,
        1e-12);
    ck_assert_double_gt(amount[1].g_per_l, amount[0].g_per_l);
}
END_TEST

/* Much CO2: in a closed tank it is too acid, aired too alkaline. */
START_BENCH_TEST(one_tank_may_need_base_and_the_other_acid, set_up(b, 2, 6))
{
    ask(b, false, 6.5);
    find(b);
    ck_assert_double_lt(b->found->need[SW_CARBONATE_KEPT].acid_meq_per_l, 0);
    ck_assert_double_gt(b->found->need[SW_CARBONATE_AIRED].acid_meq_per_l, 0);
    const sw_ph_amount *acid = option(b, "sulfuric acid 35 %")->amount;
    const sw_ph_amount *base = option(b, "potassium bicarbonate")->amount;
    ck_assert(isnan(acid[0].g_per_l) && acid[1].g_per_l > 0);
    ck_assert(base[0].g_per_l > 0 && isnan(base[1].g_per_l));
}
END_TEST

START_TEST(a_ph_aired_alone_asks_nothing_of_a_closed_tank)
{
    bench b;
    set_up(&b, 4, 4.5);
    ask(&b, true, 5.8);
    find(&b);
    const sw_ph_need *closed = &b.found->need[SW_CARBONATE_KEPT];
    const sw_ph_need *open = &b.found->need[SW_CARBONATE_AIRED];
    ck_assert(!closed->asked && !closed->needed);
    ck_assert_double_nan(closed->wanted);
    ck_assert_double_nan(closed->acid_meq_per_l);
    ck_assert(open->asked && open->needed);
    ck_assert_double_eq(open->wanted, 5.8);
    ck_assert_uint_gt(b.found->count, 5);
    for (size_t i = 0; i < b.found->count; i++)
        ck_assert_double_nan(
            b.found->items[i].amount[SW_CARBONATE_KEPT].g_per_l);
    tear_down(&b);
}

START_TEST(a_ph_alone_asks_the_same_of_both_tanks)
{
    bench b;
    set_up(&b, 4, 4.5);
    ask(&b, false, 5.8);
    find(&b);
    for (int t = 0; t < SW_PH_TANKS; t++) {
        ck_assert(b.found->need[t].asked);
        ck_assert_double_eq(b.found->need[t].wanted, 5.8);
    }
    tear_down(&b);
}

/* Without its carbon a water has no pH in a closed tank; in the air it has. */
START_TEST(where_the_carbon_is_not_known_only_what_is_aired_is_told)
{
    for (int aired = 0; aired < 2; aired++) {
        bench b;
        set_up(&b, 4, 0);
        b.water.amount[SW_UNKNOWN_CO2] = 1;
        ask(&b, aired, 5.8);
        find(&b);
        ck_assert_int_eq(b.found != NULL, aired);
        tear_down(&b);
    }
}
END_TEST

START_TEST(a_water_within_limits_needs_nothing)
{
    bench b;
    set_up(&b, 0.1, 0.2);
    sw_target_row *row = ask(&b, false, NAN);
    row->min = 5;
    row->max = 8;
    find(&b);
    ck_assert_uint_eq(b.found->count, 0);
    ck_assert_double_nan(b.found->need[SW_CARBONATE_KEPT].wanted);
    ck_assert(!b.found->need[SW_CARBONATE_KEPT].needed);
    tear_down(&b);
}
END_TEST

START_BENCH_TEST(what_is_in_the_recipe_counts, set_up(b, 4, 4.4))
{
    ask(b, false, 5.8);
    stand(b, "nitric acid 60 %");
    find(b);
    double all = b->found->items[0].amount[0].g_per_l;
    sw_ph_options_free(b->found);
    b->g_per_l[0] = 0.25 * all;
    find(b);
    ck_assert_double_eq_tol(b->found->items[0].amount[0].g_per_l, 0.75 * all,
                            1e-6);
}
END_TEST

START_BENCH_TEST(what_labels_leave_open_is_not_sized, set_up(b, 4, 4.4))
{
    ask(b, false, 5.8);
    sw_product *salt = stand(b, "potassium nitrate");
    b->g_per_l[0] = 1;
    find(b);
    ck_assert(b->found->need[SW_CARBONATE_KEPT].sized);
    sw_ph_options_free(b->found);
    salt->open_acid_meq_per_g = 0.5;
    find(b);
    ck_assert(!b->found->need[SW_CARBONATE_KEPT].sized);
}
END_TEST

START_TEST(a_target_without_a_ph_is_refused)
{
    bench b;
    set_up(&b, 4, 4.4);
    ck_assert(!sw_target_is_ph_alone(&b.target));
    ck_assert_int_eq(sw_ph_options_find(&b.mix, &b.found, &b.error),
                     SW_ERR_MISSING);
    ck_assert_ptr_null(b.found);
    ask(&b, true, 6);
    ck_assert(sw_target_is_ph_alone(&b.target));
    ask(&b, false, 1)->kind = SW_TARGET_EC;
    ck_assert(!sw_target_is_ph_alone(&b.target));
}
END_TEST
