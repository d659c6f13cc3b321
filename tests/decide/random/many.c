/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Writes invented wells through a year with the library's recipes for them as
 * raw doubles, for a script that solves them another way:
 *     decide_many WHAT FIRST COUNT FILE
 * WHAT is closest or even, for one recipe for all 12 samples; or fewest, for
 * the fewest recipes for 3 to 8.  Problems of odd seeds have a pH, acids and
 * perhaps bases.  The numbers are invented.
 */
#include "write.h"

#include "chemistry/ph_row.h"
#include "formulate/setting.h"
#include "quantity/formula.h"

#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_SAMPLES = 12 };

typedef struct year {
    invention of; /* but for its waters */
    sw_content sample[MOST_SAMPLES];
    size_t samples;
    gsl_rng *rng;
} year;

static double between(year *y, double low, double high)
{
    return low + (high - low) * gsl_rng_uniform(y->rng);
}

static bool chance(year *y, double probability)
{
    return gsl_rng_uniform(y->rng) < probability;
}

/* ---- A year ------------------------------------------------------------- */

static void add_product(year *y, const char *formula)
{
    size_t at = y->of.shelf.count++;
    sw_product *product = &y->of.product[at];
    *product = (sw_product){.name = y->of.name[at],
                            .purity = 1,
                            .density_g_per_ml = NAN,
                            .min_g_per_l = NAN,
                            .max_g_per_l = NAN,
                            .fixed_g_per_l = NAN,
                            .price_per_kg = NAN,
                            .pack_g = NAN,
                            .line = at + 2};
    snprintf(y->of.name[at], sizeof y->of.name[at], "%s", formula);
    if (sw_formula_content(formula, 1, &product->per_g, NULL, NULL) != SW_OK)
        abort();
}

static void add_some(year *y, const char *const *formula, size_t count,
                     double probability)
{
    for (size_t i = 0; i < count; i++)
        if (chance(y, probability))
            add_product(y, formula[i]);
}

static void add_shelf(year *y, bool ph)
{
    static const char *const salts[] = {"CaCl2·2H2O", "K2SO4", "Mg(NO3)2·6H2O",
                                        "NH4NO3",     "KCl",   "NH4H2PO4"};
    static const char *const always[] = {"Ca(NO3)2·4H2O", "KNO3", "KH2PO4",
                                         "MgSO4·7H2O"};
    static const char *const acids[] = {"HNO3", "H3PO4", "H2SO4"};
    static const char *const bases[] = {"KHCO3", "KOH"};
    add_some(y, always, sizeof always / sizeof *always, 1);
    add_some(y, salts, sizeof salts / sizeof *salts, 0.5);
    if (!ph)
        return;
    add_product(y, acids[gsl_rng_uniform_int(y->rng, 3)]);
    if (chance(y, 0.3))
        add_product(y, acids[gsl_rng_uniform_int(y->rng, 2)]);
    if (chance(y, 0.4))
        add_product(y, bases[gsl_rng_uniform_int(y->rng, 2)]);
}

/* A well that draws from another layer as the year goes on. */
static void add_samples(year *y, double swing)
{
    double alkalinity = between(y, 0.3, 5);
    sw_content mean = {{0}};
    mean.amount[SW_ALKALINITY] = alkalinity;
    mean.amount[SW_CARBON] = alkalinity * between(y, 1.02, 1.4);
    mean.amount[SW_CA] = between(y, 5, 20) * alkalinity;
    mean.amount[SW_MG] = between(y, 1, 30);
    mean.amount[SW_K] = between(y, 0, 20);
    mean.amount[SW_NA] = between(y, 1, 60);
    mean.amount[SW_CL] = between(y, 1, 60);
    mean.amount[SW_S] = between(y, 0, 40);
    mean.amount[SW_NO3_N] = between(y, 0, 25);
    for (size_t k = 0; k < y->samples; k++) {
        double season =
            1 + swing * sin(6.2832 * (double)k / (double)y->samples);
        for (int c = 0; c < SW_CARRIED_COUNT; c++)
            y->sample[k].amount[c] =
                mean.amount[c] * season * between(y, 0.95, 1.05);
        double least = 1.01 * y->sample[k].amount[SW_ALKALINITY];
        y->sample[k].amount[SW_CARBON] =
            fmax(y->sample[k].amount[SW_CARBON], least);
        y->sample[k].amount[SW_N] = y->sample[k].amount[SW_NO3_N];
    }
}

static sw_target_row *add_row(year *y, sw_component component, double target)
{
    size_t at = y->of.target.count++;
    sw_target_row *row = &y->of.row[at];
    *row = (sw_target_row){.kind = SW_TARGET_COMPONENT,
                           .component = component,
                           .name = y->of.row_name[at],
                           .target = target,
                           .min = NAN,
                           .max = NAN,
                           .weight = 1,
                           .line = at + 2};
    snprintf(row->name, sizeof y->of.row_name[at], "%s",
             sw_component_name(component));
    return row;
}

/* Around what a recipe gives in the mean of the samples, so that most meet
 * every target with a recipe of their own. */
static void aim_within_reach(year *y)
{
    sw_content reached = {{0}};
    for (size_t k = 0; k < y->samples; k++)
        sw_content_add(&reached, 1 / (double)y->samples, &y->sample[k]);
    for (size_t j = 0; j < y->of.shelf.count; j++) {
        const sw_content *per_g = &y->of.product[j].per_g;
        bool agent = fabs(per_g->amount[SW_ALKALINITY]) > 3;
        double g_per_l = agent ? 0 : between(y, 0.05, 0.5);
        sw_content_add(&reached, g_per_l, per_g);
    }
    for (size_t i = 0; i < y->of.target.count; i++) {
        sw_target_row *row = &y->of.row[i];
        double at = reached.amount[row->component];
        if (row->kind != SW_TARGET_COMPONENT)
            continue;
        row->min = NAN;
        row->max = isnan(row->target) ? at * between(y, 1, 1.5) : NAN;
        row->target = isnan(row->target) ? NAN : at * between(y, 0.97, 1.03);
    }
}

static void add_targets(year *y, bool ph)
{
    static const struct {
        sw_component component;
        double low, high;
    } wanted[] = {{SW_N, 100, 230},   {SW_P, 25, 60},  {SW_K, 120, 330},
                  {SW_CA, 80, 240},   {SW_MG, 20, 70}, {SW_S, 30, 140},
                  {SW_NO3_N, 90, 200}};
    size_t count = sizeof wanted / sizeof *wanted;
    for (size_t i = 0; i < count - 1 || (i < count && chance(y, 0.2)); i++) {
        double target = between(y, wanted[i].low, wanted[i].high);
        sw_target_row *row = add_row(y, wanted[i].component, target);
        if (chance(y, 0.15))
            row->min = target * between(y, 0.8, 1);
        if (chance(y, 0.15))
            row->max = target * between(y, 1, 1.3);
        if (chance(y, 0.2))
            row->weight = between(y, 0.2, 3);
    }
    if (chance(y, 0.5))
        add_row(y, SW_CL, NAN)->max = between(y, 40, 120);
    if (chance(y, 0.3)) {
        sw_target_row *row = add_row(y, SW_NH4_N, NAN);
        row->kind = SW_TARGET_RATIO;
        row->other = SW_N;
        row->max = between(y, 0.05, 0.15);
    }
    if (!ph)
        return;
    sw_target_row *row = add_row(y, SW_K, NAN);
    row->kind = SW_TARGET_PH;
    row->min = between(y, 5, 5.7);
    row->max = row->min + between(y, 0.4, 1);
    if (chance(y, 0.6))
        row->target = between(y, row->min, row->max);
    snprintf(row->name, 4, "pH");
}

static void make_year(year *y, unsigned long seed, bool fewest)
{
    bool ph = seed % 2;
    memset(y, 0, sizeof *y);
    y->rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(y->rng, seed);
    y->of.target = (sw_target){.name = "t.csv", .rows = y->of.row};
    y->of.shelf = (sw_shelf){.name = "s.csv", .products = y->of.product};
    y->of.problem = (sw_problem){.waters = y->sample,
                                 .target = &y->of.target,
                                 .shelf = &y->of.shelf,
                                 .no_ceilings = true,
                                 .nearest = true,
                                 .conditions = {25, 4e-4, NULL, NULL}};
    y->samples = MOST_SAMPLES;
    if (fewest)
        y->samples = 3 + gsl_rng_uniform_int(y->rng, 6);
    add_shelf(y, ph);
    add_samples(y, between(y, 0, fewest ? 0.6 : 0.4));
    add_targets(y, ph);
    if (fewest)
        aim_within_reach(y);
    y->of.problem.water_count = y->samples;
    gsl_rng_free(y->rng);
}

/* ---- What is written ---------------------------------------------------- */

/* The shelf and the target as record_problem puts them, then the waters. */
static void put_year(sw_record *to, year *y)
{
    y->of.problem.water_count = 1;
    record_problem(to, &y->of);
    y->of.problem.water_count = y->samples;
    record_put(to, (double)y->samples);
    for (size_t k = 0; k < y->samples; k++)
        for (int c = 0; c < SW_COMPONENT_COUNT; c++)
            record_put(to, y->sample[k].amount[c]);
}

/* Brings something that has a target. */
static bool is_in_check(const year *y, size_t j)
{
    for (size_t i = 0; i < y->of.target.count; i++) {
        const sw_target_row *row = &y->of.target.rows[i];
        if (row->kind == SW_TARGET_COMPONENT && row->target > 0 &&
            row->weight > 0 &&
            y->of.product[j].per_g.amount[row->component] >= 1)
            return true;
    }
    return false;
}

/* A pH in a solution, which `harm` takes further off: what each product does to
 * it in all, and as far as that of a salt counts; and the solution's excess,
 * all in meq/L. */
static void put_line(sw_record *to, const year *y, const sw_content *finished,
                     sw_levers levers, double ph, double scale, double harm)
{
    sw_ph_row row;
    if (sw_ph_row_at(ph, finished, &y->of.problem.conditions, &row, NULL) !=
        SW_OK)
        abort();
    record_put(to, scale);
    record_put(to, sw_ph_row_sum(&row, finished) + row.constant);
    for (size_t j = 0; j < y->of.shelf.count; j++) {
        const sw_content *per_g = &y->of.product[j].per_g;
        double all = sw_ph_row_sum(&row, per_g);
        bool whole =
            levers == SW_LEVERS_ALL && (is_in_check(y, j) || all * harm > 0);
        record_put(to, all);
        record_put(to, whole
                           ? all
                           : row.coefficient[SW_P] * per_g->amount[SW_P] +
                                 row.coefficient[SW_SI] * per_g->amount[SW_SI]);
    }
}

static void put_lines(sw_record *to, sw_solver *solver, year *y, size_t k,
                      sw_levers levers, const sw_content *finished)
{
    sw_problem alone = y->of.problem;
    sw_setting setting;
    alone.waters = &y->sample[k];
    alone.water_count = 1;
    if (sw_setting_make(solver, &alone, NULL, &setting, NULL) != SW_OK)
        abort();
    const sw_ph_aim *aim = &setting.aim[0];
    bool with_term = !isnan(aim->target);
    record_put(to, with_term ? 3 : 2);
    put_line(to, y, finished, levers, aim->row->min, NAN, -1);
    put_line(to, y, finished, levers, aim->row->max, NAN, 1);
    if (!with_term)
        return;
    sw_ph_row row;
    if (sw_ph_row_at(aim->target, finished, &alone.conditions, &row, NULL) !=
        SW_OK)
        abort();
    double excess = sw_ph_row_sum(&row, finished) + row.constant;
    put_line(to, y, finished, levers, aim->target,
             excess < 0 ? aim->scale_below : aim->scale_above, excess);
}

static void put_recipe(sw_record *to, sw_solver *solver, year *y,
                       const sw_many *many)
{
    const sw_common *recipe = &many->recipes[0];
    record_put(to, recipe->outcome);
    record_put(to, recipe->proved);
    record_put(to, recipe->certificate.objective);
    record_put(to, recipe->certificate.gap);
    for (size_t j = 0; j < many->product_count; j++)
        record_put(to, many->own[j]);
    for (size_t k = 0; k < y->samples && recipe->outcome != SW_CONFLICT; k++) {
        sw_content finished = y->sample[k];
        for (size_t j = 0; j < many->product_count; j++) {
            double g_per_l = many->waters[k].amounts.g_per_l[j];
            sw_content_add(&finished, g_per_l, &y->of.product[j].per_g);
            record_put(to, g_per_l);
        }
        if (y->of.row[y->of.target.count - 1].kind == SW_TARGET_PH)
            put_lines(to, solver, y, k, recipe->certificate.levers, &finished);
    }
}

/* To 0.005, as verdicts are; a target without a pH is kept. */
static bool keeps_ph(const year *y, const sw_content *water,
                     const sw_recipe *recipe)
{
    sw_chemistry chemistry;
    sw_content finished = *water;
    const sw_target_row *row = &y->of.row[y->of.target.count - 1];
    if (row->kind != SW_TARGET_PH)
        return true;
    for (size_t j = 0; j < recipe->count; j++)
        sw_content_add(&finished, recipe->g_per_l[j], &y->of.product[j].per_g);
    if (sw_equilibrate(&finished, &y->of.problem.conditions, SW_CARBONATE_KEPT,
                       &chemistry, NULL) != SW_OK)
        abort();
    return chemistry.ph > row->min - 0.005 && chemistry.ph < row->max + 0.005;
}

typedef struct asked {
    sw_solver *solver;
    sw_objective objective;
    bool fewest;
} asked;

/* Which sets of waters one recipe serves, by one solve for each. */
static void put_served(sw_record *to, const asked *a, year *y)
{
    for (size_t set = 1; set < (size_t)1 << y->samples; set++) {
        sw_content water[MOST_SAMPLES];
        sw_problem problem = y->of.problem;
        sw_many *many = NULL;
        problem.waters = water;
        problem.water_count = 0;
        problem.keep_bands = true;
        problem.nearest = false;
        for (size_t k = 0; k < y->samples; k++)
            if (set >> k & 1)
                water[problem.water_count++] = y->sample[k];
        if (sw_one_recipe(a->solver, &problem, &many, NULL) != SW_OK)
            abort();
        bool serves = many->recipes[0].outcome == SW_OPTIMAL;
        for (size_t k = 0; k < many->water_count && serves; k++)
            serves = keeps_ph(y, &water[k], &many->waters[k].amounts);
        record_put(to, serves);
        sw_many_free(many);
    }
}

static bool answer(void *context, unsigned long seed, sw_record *to)
{
    static year y;
    const asked *a = context;
    sw_many *many = NULL;
    make_year(&y, seed, a->fewest);
    y.of.problem.objective = a->objective;
    record_put(to, (double)seed);
    put_year(to, &y);
    sw_status status =
        a->fewest ? sw_fewest_recipes(a->solver, &y.of.problem, &many, NULL)
                  : sw_one_recipe(a->solver, &y.of.problem, &many, NULL);
    record_put(to, status);
    if (status != SW_OK)
        return true;
    if (a->fewest) {
        record_put(to, (double)many->recipe_count);
        record_put(to, (double)many->changes);
        record_put(to, many->fewest_proved);
        for (size_t k = 0; k < y.samples; k++)
            record_put(to, (double)many->waters[k].recipe);
        put_served(to, a, &y);
    } else {
        put_recipe(to, a->solver, &y, many);
    }
    sw_many_free(many);
    return true;
}

int main(int argc, char **argv)
{
    asked a = {.objective = SW_CLOSEST};
    const sw_writer writer = {.answer = answer, .context = &a};
    if (argc != 5 || sw_solver_new(&a.solver, NULL) != SW_OK)
        return EXIT_FAILURE;
    a.fewest = !strcmp(argv[1], "fewest");
    if (!strcmp(argv[1], "even"))
        a.objective = SW_EVEN;
    int status = write_answers(&writer, argv + 2);
    sw_solver_free(a.solver);
    return status;
}
