/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Invented doses with their best rates, a case a line of numbers, for
 * verify_best.py: products scaled alone or in proportion, beside amounts that
 * stay, some of which are over a max already.
 */
#include "saltwright.h"
#include "solver.h"

#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum { MOST_PRODUCTS = 6, COMPONENTS = 7 };

static const sw_component components[COMPONENTS] = {
    SW_NO3_N, SW_K, SW_CA, SW_MG, SW_S, SW_NA, SW_CL};

typedef struct dosing {
    sw_content water;
    sw_target_row rows[COMPONENTS];
    sw_product products[MOST_PRODUCTS];
    double g_per_l[MOST_PRODUCTS];
    size_t set[MOST_PRODUCTS];
    sw_target target;
    sw_shelf shelf;
    sw_recipe recipe;
} dosing;

static double between(gsl_rng *dice, double low, double high)
{
    return low + (high - low) * gsl_rng_uniform(dice);
}

static bool happens(gsl_rng *dice, double share)
{
    return gsl_rng_uniform(dice) < share;
}

static void invent_row(gsl_rng *dice, sw_target_row *row, sw_component c)
{
    *row = (sw_target_row){.kind = SW_TARGET_COMPONENT,
                           .component = c,
                           .name = (char *)sw_component_name(c),
                           .target = between(dice, 20, 250),
                           .min = NAN,
                           .max = NAN,
                           .weight = between(dice, 0.2, 3),
                           .line = 1};
    if (happens(dice, 0.4))
        row->max = row->target * between(dice, 1, 1.5);
}

static void invent_product(gsl_rng *dice, sw_product *product)
{
    static char name[] = "dose";
    *product = (sw_product){.name = name,
                            .density_g_per_ml = NAN,
                            .min_g_per_l = NAN,
                            .max_g_per_l = NAN,
                            .fixed_g_per_l = NAN,
                            .price_per_kg = NAN,
                            .pack_g = NAN};
    for (size_t c = 0; c < COMPONENTS; c++)
        if (c == 0 || happens(dice, 0.5))
            product->per_g.amount[components[c]] = between(dice, 5, 200);
    product->per_g.amount[SW_N] = product->per_g.amount[SW_NO3_N];
    if (happens(dice, 0.2))
        product->max_g_per_l = between(dice, 0.05, 1);
}

static void invent(gsl_rng *dice, dosing *d)
{
    *d = (dosing){.target = {.name = "target.csv", .count = COMPONENTS},
                  .shelf = {.name = "shelf.csv"}};
    d->shelf.count = 1 + gsl_rng_uniform_int(dice, MOST_PRODUCTS);
    for (size_t c = 0; c < COMPONENTS; c++) {
        invent_row(dice, &d->rows[c], components[c]);
        d->water.amount[components[c]] = between(dice, 0, 60);
    }
    for (size_t j = 0; j < d->shelf.count; j++) {
        invent_product(dice, &d->products[j]);
        d->g_per_l[j] = between(dice, 0.1, 1);
        d->set[j] = j == 0 ? 1 : gsl_rng_uniform_int(dice, 4);
        if (d->set[j] > 1 && d->set[j] > d->set[j - 1] + 1)
            d->set[j] = 1;
        if (j > 0 && d->set[j] > d->set[j - 1] && d->set[j - 1] == 0)
            d->set[j] = 1;
    }
    d->target.rows = d->rows;
    d->shelf.products = d->products;
    d->recipe = (sw_recipe){.g_per_l = d->g_per_l, .count = d->shelf.count};
}

/* products; water; target, weight and max of each component; then of each
 * product its set, amount, max, contents, and the rates found. */
static void print(const dosing *d, const sw_premix_rate *rates)
{
    printf("%zu", d->shelf.count);
    for (size_t c = 0; c < COMPONENTS; c++)
        printf(" %.17g %.17g %.17g %.17g", d->water.amount[components[c]],
               d->rows[c].target, d->rows[c].weight, d->rows[c].max);
    for (size_t j = 0; j < d->shelf.count; j++) {
        printf(" %zu %.17g %.17g", d->set[j], d->g_per_l[j],
               d->products[j].max_g_per_l);
        for (size_t c = 0; c < COMPONENTS; c++)
            printf(" %.17g", d->products[j].per_g.amount[components[c]]);
        printf(" %.17g %.17g", rates[j].g_per_l, rates[j].free_g_per_l);
    }
    putchar('\n');
}

int main(int argc, char **argv)
{
    int count = argc > 1 ? atoi(argv[1]) : 10;
    gsl_rng *dice = gsl_rng_alloc(gsl_rng_mt19937);
    for (int seed = 1; seed <= count; seed++) {
        dosing d;
        sw_error error;
        sw_premix_rate rates[MOST_PRODUCTS];
        sw_notes notes = {0};
        gsl_rng_set(dice, (unsigned long)seed);
        invent(dice, &d);
        sw_mix mix = {.water = &d.water,
                      .target = &d.target,
                      .shelf = &d.shelf,
                      .recipe = &d.recipe,
                      .conditions = sw_conditions_default(),
                      .unguarded = seed % 2};
        if (sw_premix_fit(one_solver(), &mix, d.set, rates, &notes, &error) !=
            SW_OK) {
            fprintf(stderr, "seed %d: %s\n", seed, error.message);
            return EXIT_FAILURE;
        }
        print(&d, rates);
        sw_notes_free(&notes);
    }
    gsl_rng_free(dice);
    return EXIT_SUCCESS;
}
