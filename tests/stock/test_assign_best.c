/* SPDX-License-Identifier: GPL-3.0-or-later */
/* No assignment to tanks is better: every one tried, one by one. */
#include "suite.h"

#include "recipes.h"
#include "stock/tank_assign.h"
#include "stock/product_classes.h"
#include "tolerances.h"

#include <gsl/gsl_rng.h>

static sw_pitzer pitzer;
static sw_solubility at_20;

typedef struct brute {
    const sw_assign *assign;
    size_t option[RECIPE_ROWS];
    double best;
    long tried;
} brute;

static double carries(const sw_assigned *item, const sw_option *o, int tank,
                      sw_component component)
{
    return o->share[tank] > 0 ? item->per_g->amount[component] : 0;
}

/* The sulfate of a metal: its saturation beside calcium decides. */
static bool is_trace(const sw_assigned *item)
{
    const double *a = item->per_g->amount;
    return a[SW_MN] + a[SW_ZN] + a[SW_CU] + a[SW_FE] > 150;
}

/* The tank rule straight from the contents, in its own words. */
static bool rule_holds(const brute *b, int tank)
{
    bool calcium = false, spoils = false, chelate = false;
    double alkalinity = 0;
    for (size_t j = 0; j < b->assign->count; j++) {
        const sw_assigned *item = &b->assign->items[j];
        const sw_option *o = &item->option[b->option[j]];
        calcium = calcium || carries(item, o, tank, SW_CA) > 5;
        spoils = spoils ||
                 (carries(item, o, tank, SW_S) > 5 && !is_trace(item)) ||
                 carries(item, o, tank, SW_P) > 5;
        chelate = chelate || carries(item, o, tank, SW_CHELATED_FE) > 0 ||
                  carries(item, o, tank, SW_CHELATED_MN) > 0;
        alkalinity += o->share[tank] * item->g_per_l[tank] *
                      item->per_g->amount[SW_ALKALINITY];
    }
    return !(calcium && spoils) && !(chelate && alkalinity < -0.1);
}

static bool works(const brute *b)
{
    for (int t = 0; t < SW_TANKS; t++) {
        sw_tank_content content;
        size_t solid;
        if (!rule_holds(b, t))
            return false;
        sw_assign_tank(b->assign, b->option, (sw_tank)t, &content);
        if (sw_tank_saturation(&at_20, &content, 1, &solid) > 1)
            return false;
    }
    return true;
}

/* One assignment: its options as the digits of a number. */
typedef struct whole {
    double cost;
    uint64_t digits;
} whole;

static void take_options(brute *b, uint64_t digits)
{
    for (size_t j = 0; j < b->assign->count; j++) {
        b->option[j] = digits % b->assign->items[j].option_count;
        digits /= b->assign->items[j].option_count;
    }
}

static int by_cost(const void *one, const void *other)
{
    double a = ((const whole *)one)->cost, b = ((const whole *)other)->cost;
    return (a > b) - (a < b);
}

/* Of options chosen: the fuller of A and B, and the options' own. */
static double cost_of(const sw_assign *a, const size_t *option)
{
    double load[SW_TANKS] = {0}, cost = 0, all = 0;
    for (size_t j = 0; j < a->count; j++) {
        const sw_assigned *item = &a->items[j];
        const sw_option *o = &item->option[option[j]];
        cost += o->cost;
        all += item->g_per_l[SW_TANK_A];
        for (int t = 0; t < SW_TANKS; t++)
            load[t] += o->share[t] * item->g_per_l[t];
    }
    return cost + fmax(load[SW_TANK_A], load[SW_TANK_B]) / fmax(all, 1e-12);
}

/* Every assignment there is, the cheapest first, until one works. */
static void try_all(brute *b)
{
    uint64_t count = 1;
    for (size_t j = 0; j < b->assign->count; j++)
        count *= b->assign->items[j].option_count;
    whole *all = calloc(count, sizeof *all);
    ck_assert_ptr_nonnull(all);
    for (uint64_t i = 0; i < count; i++) {
        take_options(b, i);
        all[i] = (whole){cost_of(b->assign, b->option), i};
    }
    qsort(all, count, sizeof *all, by_cost);
    for (uint64_t i = 0; i < count && isinf(b->best); i++) {
        take_options(b, all[i].digits);
        if (works(b))
            b->best = all[i].cost;
    }
    b->tried = (long)count;
    free(all);
}

typedef struct duel {
    const sw_mix *mix;
    sw_stock_setup setup;
    long checks_max;
    double found, best; /* INFINITY: none */
    bool open;          /* the search was cut short */
    long tried;
} duel;

static sw_status fight(sw_solver *solver, void *context)
{
    duel *d = context;
    sw_assign a = {.solubility = &at_20, .checks_max = d->checks_max};
    ck_assert_int_eq(sw_assign_build(solver, d->mix, &d->setup, &a, NULL),
                     SW_OK);
    sw_assignment s = sw_assign_solve(solver, &a, 1, SW_ASSIGN_BEST);
    d->found = s.found ? s.objective : INFINITY;
    d->open = s.open;
    brute b = {.assign = &a, .best = INFINITY};
    try_all(&b);
    d->best = b.best;
    d->tried = b.tried;
    return SW_OK;
}

static duel run_duel_within(const sw_mix *mix, double factor, bool third_tank,
                            long checks_max)
{
    sw_solver *solver;
    duel d = {.mix = mix,
              .setup = sw_stock_setup_default(100),
              .checks_max = checks_max};
    d.setup.factor = factor;
    d.setup.third_tank = third_tank;
    ck_assert_int_eq(sw_solver_new(&solver, NULL), SW_OK);
    ck_assert_int_eq(sw_solver_run(solver, fight, &d), SW_OK);
    sw_solver_free(solver);
    return d;
}

static duel run_duel(const sw_mix *mix, double factor, bool third_tank)
{
    return run_duel_within(mix, factor, third_tank, 100000);
}

/* What a search found before its checks were spent is kept, and told to be no
 * more than that. */
START_STOCKED_TEST(a_search_cut_short_says_so, &published[5])
{
    int cut = 0, finished = 0;
    for (long checks = 1; checks < 200; checks += 1 + checks / 4) {
        duel d = run_duel_within(&s->mix, 300, true, checks);
        if (!d.open)
            ck_assert_double_eq_tol(d.found, d.best, TOL_STOCK_MIP);
        cut += d.open && isfinite(d.found);
        finished += !d.open;
    }
    ck_assert_int_gt(cut, 0);
    ck_assert_int_gt(finished, 0);
}
END_TEST

START_TEST(no_assignment_of_a_published_recipe_is_better)
{
    stocked s;
    long tried = 0;
    for (int i = 0; i < PUBLISHED_COUNT; i++)
        for (int acid = 0; acid < 2; acid++) {
            stock_up(&s, &published[i]);
            duel d = run_duel(&s.mix, 100, acid);
            ck_assert_msg(d.found < INFINITY, "%s: none", published[i].name);
            ck_assert_double_eq_tol(d.found, d.best, TOL_STOCK_MIP);
            tried += d.tried;
        }
    ck_assert_int_gt(tried, 4000);
}
END_TEST

/* Where saturation decides, cuts must not lose the best one either. */
START_TEST(no_assignment_is_better_where_saturation_binds)
{
    const double factors[] = {200, 250, 300, 350, 400, 450};
    stocked s;
    int refused = 0;
    for (int i = 0; i < PUBLISHED_COUNT; i++)
        for (int f = 0; f < 6; f++) {
            stock_up(&s, &published[i]);
            duel d = run_duel(&s.mix, factors[f], false);
            if (isinf(d.best)) {
                ck_assert(isinf(d.found));
                refused++;
            } else
                ck_assert_double_eq_tol(d.found, d.best, TOL_STOCK_MIP);
        }
    ck_assert_int_gt(refused, 3);
}
END_TEST

/* Salts that go into one tank only, then some that fit both; without the first,
 * the calcium, all fit both, which takes long to try. */
static const char *const salts_to_draw[] = {
    "Ca(NO3)2.4H2O", "MgSO4.7H2O", "KH2PO4", "K2SO4", "HNO3",
    "NH4H2PO4",      "KNO3",       "KCl",    "NH4NO3"};
enum { TIED_SALTS = 6, SALTS = 9 };

static void draw_recipe(gsl_rng *rng, published_recipe *recipe)
{
    size_t rows = 0;
    *recipe = (published_recipe){.name = "random", .source = "invented"};
    for (int i = 0; i < SALTS; i++)
        if (i >= TIED_SALTS || gsl_rng_uniform(rng) < (i > 0 ? 0.6 : 0.9))
            recipe->row[rows++] = (recipe_row){
                salts_to_draw[i], 10 + 600 * gsl_rng_uniform(rng), 0};
}

START_TEST(no_assignment_of_a_random_recipe_is_better)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    int refused = 0;
    for (int i = 0; i < sw_cases(20); i++) {
        published_recipe recipe;
        stocked s;
        draw_recipe(rng, &recipe);
        stock_up(&s, &recipe);
        /* hard water in one half of them */
        s.water.amount[SW_CA] = i % 2 * 90 * gsl_rng_uniform(rng);
        s.water.amount[SW_ALKALINITY] = s.water.amount[SW_CA] / 20;
        s.water.amount[SW_CARBON] = s.water.amount[SW_ALKALINITY] * 1.05;
        duel d = run_duel(&s.mix, 100 + 400 * gsl_rng_uniform(rng), i % 3 == 0);
        ck_assert_int_eq(isinf(d.found), isinf(d.best));
        refused += isinf(d.best);
        if (isfinite(d.best))
            ck_assert_double_eq_tol(d.found, d.best, TOL_STOCK_MIP);
    }
    ck_assert_int_gt(refused, 3);
    gsl_rng_free(rng);
}
END_TEST

int main(void)
{
    sw_pitzer_load(&pitzer);
    sw_solubility_at(&pitzer, 20, &at_20);
    return run_suite(suite_of_all());
}
