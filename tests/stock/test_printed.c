/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Amounts as printed, read back from their digits and assessed anew, against
 * the assessment of the exact recipe: invented feeds whose limits bind, half
 * of them with acid and a pH, in metric and US units.  SALTWRIGHT_PRINTED in
 * the environment is the number of feeds (5,000 before a release); what the
 * usual figures alone would lose is printed beside it.
 */
#include "suite.h"

#include "invent.h"

#include "quantity/formula.h"

#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

static const double g_per_oz = 28.349523125;
static invention feed;
static gsl_rng *dice;

static double between(double low, double high)
{
    return low + (high - low) * gsl_rng_uniform(dice);
}

static void add_acid(bool aired)
{
    sw_product *acid = &feed.product[feed.shelf.count++];
    sw_target_row *row = &feed.row[feed.target.count++];
    *acid = feed.product[0];
    acid->name = (char *)"acid";
    acid->per_g = (sw_content){{0}};
    acid->min_g_per_l = 0;
    acid->max_g_per_l = INFINITY;
    acid->fixed_g_per_l = NAN;
    ck_assert_int_eq(sw_formula_content("HNO3", 0.38, &acid->per_g, NULL, NULL),
                     SW_OK);
    *row = (sw_target_row){.kind = SW_TARGET_PH,
                           .name = (char *)"pH",
                           .target = NAN,
                           .min = between(5, 5.8),
                           .max = between(5.8, 6.5),
                           .aired = aired,
                           .weight = 1};
    for (size_t k = 0; k < feed.problem.water_count; k++) {
        double *water = feed.water[k].amount;
        water[SW_ALKALINITY] = between(1, 6);
        water[SW_CARBON] = water[SW_ALKALINITY] * between(1.02, 1.4);
    }
}

static sw_solution *solve(unsigned long seed, bool acid)
{
    sw_solver *solver;
    sw_solution *solution = NULL;
    invent(&feed, seed, SW_CLOSEST);
    if (acid && feed.shelf.count < MOST_PRODUCTS &&
        feed.target.count < MOST_ROWS)
        add_acid(seed % 4 == 3);
    ck_assert_int_eq(sw_solver_new(&solver, NULL), SW_OK);
    if (sw_formulate(solver, &feed.problem, &solution, NULL) == SW_OK &&
        (solution->outcome != SW_OPTIMAL || !solution->recipe.count)) {
        sw_solution_free(solution);
        solution = NULL;
    }
    sw_solver_free(solver);
    return solution;
}

static sw_assessment *assess(const sw_content *water, const sw_recipe *recipe)
{
    sw_assessment *out;
    sw_mix mix = {.water = water,
                  .target = &feed.target,
                  .shelf = &feed.shelf,
                  .recipe = recipe,
                  .conditions = sw_conditions_default()};
    return sw_assess(&mix, &out, NULL) == SW_OK ? out : NULL;
}

/* Whether the target has a pH in air. */
static bool is_aired(void)
{
    bool aired = false;
    for (size_t i = 0; i < feed.target.count; i++)
        aired |= feed.row[i].kind == SW_TARGET_PH && feed.row[i].aired;
    return aired;
}

/* Verdicts that differ, and a pH that moved. */
static int lost(const sw_assessment *a, const sw_assessment *b)
{
    int count = !(fabs(a->mixed.ph - b->mixed.ph) <= 0.02 + 1e-9);
    count += is_aired() && !(fabs(a->aired.ph - b->aired.ph) <= 0.02 + 1e-9);
    for (int c = 0; c < SW_COMPONENT_COUNT; c++)
        count += a->rows[c].verdict != b->rows[c].verdict;
    for (size_t i = 0; i < a->measure_count; i++)
        count += a->measures[i].verdict != b->measures[i].verdict;
    return count;
}

/* The items a page prints of a recipe for `volume_l`. */
static size_t list_items(const sw_recipe *recipe, double volume_l, bool us,
                         sw_printed *items)
{
    size_t count = 0;
    for (size_t j = 0; j < recipe->count; j++) {
        double g = recipe->g_per_l[j] * volume_l;
        double unit_g = us && g >= g_per_oz ? g_per_oz
                        : g >= 1000         ? 1000
                        : g >= 1            ? 1
                                            : 1e-3;
        if (recipe->g_per_l[j] > 1e-9)
            items[count++] = (sw_printed){.product = j,
                                          .g_per_l = recipe->g_per_l[j],
                                          .unit_g_per_l = unit_g / volume_l};
    }
    return count;
}

/* What somebody pours who reads the digits. */
static void pour(const sw_printed *items, size_t count, double *g_per_l)
{
    char text[64];
    for (size_t i = 0; i < count; i++) {
        int shown = items[i].decimals > 0 ? items[i].decimals : 0;
        snprintf(text, sizeof text, "%.*f", shown, items[i].value);
        g_per_l[items[i].product] = strtod(text, NULL) * items[i].unit_g_per_l;
    }
}

static double figures_of(const sw_printed *item)
{
    return item->decimals + floor(log10(item->value)) + 1;
}

static void pour_plainly(const sw_printed *items, size_t count, double *g_per_l)
{
    for (size_t i = 0; i < count; i++) {
        double exact = items[i].g_per_l / items[i].unit_g_per_l;
        double power = pow(10, floor(log10(exact)));
        double step = power * (exact < 2 * power ? 1e-3 : 1e-2);
        g_per_l[items[i].product] =
            round(exact / step) * step * items[i].unit_g_per_l;
    }
}

typedef struct tally {
    int feeds, plain, lost, amounts;
    int beyond_four; /* figures */
    double figures, most_figures;
} tally;

static void keeps_limits(const sw_recipe *poured)
{
    for (size_t j = 0; j < poured->count; j++) {
        const sw_product *p = &feed.product[j];
        bool fixed = !isnan(p->fixed_g_per_l);
        double x = poured->g_per_l[j];
        ck_assert(fixed || !(x > p->max_g_per_l * (1 + 1e-6)));
        ck_assert(fixed || !(x < p->min_g_per_l * (1 - 1e-6)));
    }
}

static void print_one(const sw_solution *solution, bool us, tally *t)
{
    sw_printed items[MOST_PRODUCTS];
    double g_per_l[MOST_PRODUCTS] = {0};
    sw_recipe poured = {.g_per_l = g_per_l, .count = solution->recipe.count};
    sw_assessment *exact = assess(&solution->water, &solution->recipe);
    if (!exact)
        return;
    double volume_l = exp(between(log(20), log(20000)));
    size_t count = list_items(&solution->recipe, volume_l, us, items);
    sw_mix mix = {.water = &solution->water,
                  .target = &feed.target,
                  .shelf = &feed.shelf,
                  .recipe = &solution->recipe,
                  .conditions = sw_conditions_default()};
    const sw_assessment *found = exact;
    ck_assert_int_eq(sw_print_amounts(&mix, &found, 1, items, count, NULL),
                     SW_OK);
    pour_plainly(items, count, g_per_l);
    sw_assessment *plain = assess(&solution->water, &poured);
    pour(items, count, g_per_l);
    sw_assessment *printed = assess(&solution->water, &poured);
    ck_assert(plain && printed);
    keeps_limits(&poured);
    t->feeds++;
    t->plain += lost(exact, plain) > 0;
    t->lost += lost(exact, printed) > 0;
    for (size_t i = 0; i < count; i++) {
        t->amounts++;
        t->figures += figures_of(&items[i]);
        t->beyond_four += figures_of(&items[i]) > 4;
        t->most_figures = fmax(t->most_figures, figures_of(&items[i]));
    }
    sw_assessment_free(exact);
    sw_assessment_free(plain);
    sw_assessment_free(printed);
}

/* The same amounts in three waters, but for the last product's, which are each
 * water's own; how many waters lose something by what is printed. */
static int lost_of_three(const sw_solution *solution, bool us)
{
    enum { WATERS = 3 };
    static const double richer[WATERS] = {1, 0.8, 1.3};
    sw_printed items[MOST_PRODUCTS + WATERS];
    sw_content water[WATERS] = {{{0}}};
    sw_assessment *exact[WATERS] = {NULL};
    sw_mix mixes[WATERS];
    int count = 0;
    size_t common = list_items(&solution->recipe, 1000, us, items);
    if (!common--)
        return 0;
    for (int k = 0; k < WATERS; k++) {
        sw_content_add(&water[k], richer[k], &solution->water);
        exact[k] = assess(&water[k], &solution->recipe);
        ck_assert_ptr_nonnull(exact[k]);
        mixes[k] = (sw_mix){.water = &water[k],
                            .target = &feed.target,
                            .shelf = &feed.shelf,
                            .recipe = &solution->recipe,
                            .conditions = sw_conditions_default()};
        items[common + (size_t)k] = items[common];
        items[common + (size_t)k].mix = k;
    }
    for (size_t i = 0; i < common; i++)
        items[i].mix = SW_EACH_MIX;
    ck_assert_int_eq(sw_print_amounts(mixes,
                                      (const sw_assessment *const *)exact,
                                      WATERS, items, common + WATERS, NULL),
                     SW_OK);
    for (int k = 0; k < WATERS; k++) {
        double g_per_l[MOST_PRODUCTS] = {0};
        sw_recipe poured = {.g_per_l = g_per_l,
                            .count = solution->recipe.count};
        pour(items, common, g_per_l);
        pour(&items[common + (size_t)k], 1, g_per_l);
        sw_assessment *printed = assess(&water[k], &poured);
        ck_assert_ptr_nonnull(printed);
        count += lost(exact[k], printed) > 0;
        sw_assessment_free(printed);
        sw_assessment_free(exact[k]);
    }
    return count;
}

START_TEST(amounts_poured_into_several_waters_keep_the_verdicts_of_each)
{
    int feeds = 0, waters_lost = 0;
    dice = gsl_rng_alloc(gsl_rng_taus2);
    for (unsigned long seed = 1; feeds < sw_cases(20); seed++) {
        gsl_rng_set(dice, seed);
        sw_solution *solution = solve(seed, seed % 2);
        if (solution) {
            waters_lost += lost_of_three(solution, seed % 3 == 0);
            feeds++;
        }
        sw_solution_free(solution);
    }
    gsl_rng_free(dice);
    ck_assert_int_eq(waters_lost, 0);
}
END_TEST

START_TEST(printed_amounts_keep_every_verdict)
{
    const char *asked = getenv("SALTWRIGHT_PRINTED");
    int feeds = asked ? atoi(asked) : sw_cases(120);
    tally t = {0};
    dice = gsl_rng_alloc(gsl_rng_taus2);
    for (unsigned long seed = 1; t.feeds < feeds; seed++) {
        gsl_rng_set(dice, seed);
        sw_solution *solution = solve(seed, seed % 2);
        if (solution)
            print_one(solution, seed % 3 == 0, &t);
        sw_solution_free(solution);
    }
    gsl_rng_free(dice);
    printf("%d feeds: %d lose a verdict or the pH in 3 to 4 figures, %d as "
           "printed; %.2f figures, at most %.0f, more than 4 in %d of %d\n",
           t.feeds, t.plain, t.lost, t.figures / t.amounts, t.most_figures,
           t.beyond_four, t.amounts);
    ck_assert_int_eq(t.lost, 0);
    ck_assert_int_gt(t.plain, feeds / 50);
    ck_assert(t.figures / t.amounts < 3.5);
    ck_assert_double_le(t.most_figures, 7);
    ck_assert_int_le(t.beyond_four, 1 + t.amounts / 500);
}
END_TEST

/* Two products that bring one nutrient each, in the least or the most ratio
 * that is met: of traces as of plenty no digit that is left off may spoil it.
 */
START_TEST(a_ratio_at_its_bound_is_kept_of_traces_too)
{
    tally t = {0};
    dice = gsl_rng_alloc(gsl_rng_taus2);
    for (int i = 0; i < 40; i++) {
        double part_mg = (i % 4 < 2 ? 0.005 : 50) * between(1, 2);
        double bound = between(1.5, 2.5);
        double g_per_l[] = {part_mg / 1000, part_mg / 1000 / bound};
        sw_solution solution = {.recipe = {.g_per_l = g_per_l, .count = 2}};
        feed = (invention){.target = {.rows = feed.row, .count = 1},
                           .shelf = {.products = feed.product, .count = 2}};
        for (int j = 0; j < 2; j++) {
            feed.product[j] = (sw_product){.name = (char *)"salt",
                                           .density_g_per_ml = NAN,
                                           .max_g_per_l = NAN,
                                           .min_g_per_l = NAN,
                                           .fixed_g_per_l = NAN};
            feed.product[j].per_g.amount[j ? SW_ZN : SW_MN] = 1000;
        }
        feed.row[0] = (sw_target_row){.kind = SW_TARGET_RATIO,
                                      .component = SW_MN,
                                      .other = SW_ZN,
                                      .name = (char *)"Mn:Zn",
                                      .target = NAN,
                                      .min = i % 2 ? bound : NAN,
                                      .max = i % 2 ? NAN : bound,
                                      .weight = 1};
        print_one(&solution, false, &t);
    }
    gsl_rng_free(dice);
    ck_assert_int_eq(t.lost, 0);
    ck_assert_int_gt(t.plain, 10);
}
END_TEST

/* What three figures would spoil goes to the figure on the other side, the max
 * or min of the product itself; where that is beyond, to more figures, as many
 * as a verdict tells apart: half a millionth of its limit. */
START_TEST(an_amount_may_be_printed_at_its_own_limit)
{
    static const struct {
        double g_per_l, min_mg, max_mg, low, high; /* high, low: g/L */
        double value;
        int decimals;
    } cases[] = {{0.4993, 499.2, 600, 0, 0.5, 0.5, 3},
                 {0.4993, 499.2, 600, 0, 0.4999, 0.4993, 4},
                 {0.5007, 400, 500.8, 0.5, 1, 0.5, 3},
                 {0.5007, 400, 500.8, 0.5001, 1, 0.5007, 4},
                 {9.0 / 14, 9e3 / 14, 9e3 / 14, 0, 1, 0.642857, 6}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        double g_per_l = cases[i].g_per_l;
        sw_recipe recipe = {.g_per_l = &g_per_l, .count = 1};
        const sw_content none = {{0}};
        feed = (invention){.target = {.rows = feed.row, .count = 1},
                           .shelf = {.products = feed.product, .count = 1}};
        feed.product[0] = (sw_product){.name = (char *)"salt",
                                       .density_g_per_ml = NAN,
                                       .min_g_per_l = cases[i].low,
                                       .max_g_per_l = cases[i].high,
                                       .fixed_g_per_l = NAN};
        feed.product[0].per_g.amount[SW_K] = 1000;
        feed.row[0] = (sw_target_row){.kind = SW_TARGET_COMPONENT,
                                      .component = SW_K,
                                      .name = (char *)"K",
                                      .target = NAN,
                                      .min = cases[i].min_mg,
                                      .max = cases[i].max_mg,
                                      .weight = 1};
        sw_mix mix = {.water = &none,
                      .target = &feed.target,
                      .shelf = &feed.shelf,
                      .recipe = &recipe,
                      .conditions = sw_conditions_default()};
        sw_assessment *exact = assess(&none, &recipe);
        sw_printed item = {.g_per_l = g_per_l, .unit_g_per_l = 1};
        ck_assert_int_eq(sw_print_amounts(&mix,
                                          (const sw_assessment *const *)&exact,
                                          1, &item, 1, NULL),
                         SW_OK);
        ck_assert_double_eq_tol(item.value, cases[i].value, 1e-9);
        ck_assert_int_eq(item.decimals, cases[i].decimals);
        sw_assessment_free(exact);
    }
}
END_TEST
