/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "slips.h"

#include "chemistry/equilibrate.h"

#include <gsl/gsl_randist.h>
#include <math.h>
#include <string.h>

/* What EC and pH calculated from known amounts may be off: the method's own. */
static const double model_ec = 0.03, model_ph = 0.1;

/* Recipe NULL: the closest one. */
static const struct {
    const char *water, *target, *shelf, *recipe;
    double batch_l;
    bool heads;
} setups[SLIPS_SETUPS] = {
    {"well.csv", "pepper.csv", "straights.csv", "recipe.csv", 1000, false},
    {"town.csv", "pepper.csv", "straights.csv", "recipe.csv", 1000, false},
    {"town.csv", "pepper.csv", "straights.csv", "recipe.csv", 20000, true},
    {"well.csv", "basil.csv", "straights.csv", NULL, 1500, false},
    {"well.csv", "basil.csv", "straights.csv", NULL, 20000, true},
    {"town.csv", "basil.csv", "straights.csv", NULL, 20000, true},
    {"town.csv", "basil.csv", "premix.csv", "label-rate.csv", 1500, false}};

static void solve(bench *b)
{
    sw_solver *solver;
    sw_solution *solution;
    sw_problem problem = {.waters = &b->water,
                          .water_count = 1,
                          .target = b->target,
                          .shelf = b->shelf,
                          .objective = SW_CLOSEST,
                          .conditions = b->mix.conditions};
    ck_assert_int_eq(sw_solver_new(&solver, NULL), SW_OK);
    ck_assert_int_eq(sw_formulate(solver, &problem, &solution, NULL), SW_OK);
    memcpy(b->recipe->g_per_l, solution->recipe.g_per_l,
           b->recipe->count * sizeof(double));
    sw_solution_free(solution);
    sw_solver_free(solver);
}

void slips_open(slips *s, int setup)
{
    const char *recipe = setups[setup].recipe;
    *s = (slips){.off = sw_tolerances_default(setups[setup].batch_l)};
    bench_read(&s->mix, setups[setup].water, setups[setup].target,
               setups[setup].shelf, recipe ? recipe : "recipe.csv");
    if (!recipe)
        solve(&s->mix);
    for (size_t j = 0; j < s->mix.shelf->count; j++)
        s->head[j] = s->mix.shelf->products[j].per_g.amount[SW_S] > 5.0;
    if (setups[setup].heads) {
        s->off.head = s->head;
        s->off.injector = 0.05;
    }
    ck_assert_int_eq(sw_outlook_find(&s->mix.mix, &s->off, &s->outlook, NULL),
                     SW_OK);
}

void slips_close(slips *s)
{
    sw_outlook_free(s->outlook);
    bench_free(&s->mix);
}

size_t slips_choose(const slips *s, gsl_rng *rng)
{
    const sw_mistakes *all = &s->outlook->mistakes;
    double left = gsl_rng_uniform(rng) *
                  (1.0 - all->items[0].belief - all->items[1].belief);
    size_t i = 2;
    while (i + 1 < all->count && left > all->items[i].belief)
        left -= all->items[i++].belief;
    return i;
}

static double about(gsl_rng *rng, double relative)
{
    return 1.0 + relative * gsl_ran_ugaussian(rng);
}

static sw_content mix_water(const slips *s, gsl_rng *rng)
{
    sw_content out = s->mix.water;
    double *c = out.amount;
    for (int i = 0; i < SW_N; i++)
        c[i] *= about(rng, s->off.lab);
    double alkalinity = about(rng, s->off.lab);
    double co2 = fmax(0.0, c[SW_CARBON] - c[SW_ALKALINITY]) *
                 pow(10.0, s->off.lab_ph * gsl_ran_ugaussian(rng));
    c[SW_CARBON] = alkalinity * (c[SW_ALKALINITY] + co2);
    c[SW_ALKALINITY] *= alkalinity;
    c[SW_N] = c[SW_NO3_N] + c[SW_NH4_N] + c[SW_UREA_N];
    return out;
}

static sw_content mix(const slips *s, size_t index, gsl_rng *rng)
{
    const sw_mistake *slip = &s->outlook->mistakes.items[index];
    double factor = sw_mistake_factor(slip, gsl_rng_uniform(rng));
    sw_content out = mix_water(s, rng);
    double head[2];
    for (int h = 0; h < 2; h++)
        head[h] = about(rng, s->off.injector) / about(rng, s->off.fill);
    for (size_t j = 0; j < s->mix.recipe->count; j++) {
        int on = s->off.head ? s->head[j] : 0;
        double g_per_l = s->mix.recipe->g_per_l[j] * about(rng, s->off.label);
        sw_content_add(
            &out, g_per_l * head[on] * sw_mistake_times(slip, factor, j, on),
            &s->mix.shelf->products[j].per_g);
    }
    return out;
}

sw_readings slips_measure(const slips *s, size_t index, double aired,
                          gsl_rng *rng)
{
    sw_readings out = sw_readings_default();
    sw_content tank = mix(s, index, rng);
    sw_chemistry chemistry, at_rest;
    ck_assert_int_eq(sw_equilibrate_briefly(&tank, &s->mix.mix.conditions,
                                            SW_CARBONATE_KEPT, &chemistry,
                                            NULL),
                     SW_OK);
    ck_assert_int_eq(sw_equilibrate_briefly(&tank, &s->mix.mix.conditions,
                                            SW_CARBONATE_AIRED, &at_rest, NULL),
                     SW_OK);
    out.ec_ms_per_cm =
        chemistry.ec_ms_per_cm * exp(out.ec_error * gsl_ran_ugaussian(rng) +
                                     model_ec * gsl_ran_ugaussian(rng));
    out.ph = chemistry.ph + aired * (at_rest.ph - chemistry.ph) +
             out.ph_error * gsl_ran_ugaussian(rng) +
             model_ph * gsl_ran_ugaussian(rng);
    return out;
}

/* The same mistake; heads and fills on the same side of what was meant. */
static bool is_same(const sw_mistake *a, const sw_mistake *b)
{
    bool sided = a->kind == SW_HEAD_OFF || a->kind == SW_FILL_OFF;
    return a->kind == b->kind && a->product == b->product &&
           a->head == b->head && strcmp(a->form, b->form) == 0 &&
           (!sided || (a->factor < 1.0) == (b->factor < 1.0));
}

size_t slips_entry(const slips *s, size_t index, const sw_diagnosis *diagnosis,
                   size_t *members)
{
    size_t entry = diagnosis->entry_count;
    const sw_mistake *made = &s->outlook->mistakes.items[index];
    for (size_t i = 0; i < diagnosis->mistake_count; i++)
        if (is_same(made, &diagnosis->mistakes[i]))
            entry = diagnosis->mistakes[i].entry;
    *members = 0;
    for (size_t i = 0; i < diagnosis->mistake_count; i++)
        *members += diagnosis->mistakes[i].entry == entry;
    return entry;
}
