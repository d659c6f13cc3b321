/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Times the pH of random feeds: by the convex solve, and by the kernel so many
 * at a time, each the best of a few:
 *     bench_equilibria COUNT
 * Writes the microseconds of each way; then the species, and totals and ln
 * activities of the first feeds, for another solver to find the same.
 */
#include "clock.h"

#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "chemistry/lanes.h"
#include "chemistry/random_content.h"

enum { REPEATS = 5, SEED = 20261129, SHARED = 20 };

typedef struct feeds {
    sw_constants constants;
    int count;
    sw_speciation *solution;
} feeds;

static void draw(feeds *f)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, SEED);
    for (int n = 0; n < f->count; n++) {
        sw_content content = random_content(rng);
        sw_speciation *s = &f->solution[n];
        content.amount[SW_ALKALINITY] = between(rng, 0, 5);
        *s = (sw_speciation){.constants = &f->constants};
        if (sw_totals_of(&content, f->constants.water_kg_per_l, false,
                         &s->totals, NULL) != SW_OK)
            exit(EXIT_FAILURE);
        s->ln_water = sw_ln_water_of(&s->totals);
    }
    gsl_rng_free(rng);
}

static void solve_surely(feeds *f)
{
    for (int n = 0; n < f->count; n++) {
        f->solution[n].warm = false;
        if (sw_speciate_surely(&f->solution[n], NULL) != SW_OK)
            exit(EXIT_FAILURE);
    }
}

static void solve_by(feeds *f, int width)
{
    static sw_lanes lanes;
    lanes.constants = &f->constants;
    lanes.count = width;
    for (int first = 0; first + width <= f->count; first += width) {
        for (int l = 0; l < width; l++)
            sw_lanes_put(&lanes, l, &f->solution[first + l]);
        if (!sw_lanes_solve_by(&lanes, width))
            return;
        for (int l = 0; l < width && !lanes.found[l]; l++)
            exit(EXIT_FAILURE);
    }
}

/* Microseconds a feed. */
static double time_of(feeds *f, int width)
{
    double best = HUGE_VAL;
    for (int i = 0; i < REPEATS; i++) {
        double start = now_s();
        if (width > 0)
            solve_by(f, width);
        else
            solve_surely(f);
        best = fmin(best, now_s() - start);
    }
    return 1e6 * best / f->count;
}

static void write_species(const sw_constants *c)
{
    printf("%d %d\n", c->plan.unknowns, c->plan.terms);
    for (int i = 0; i < c->plan.terms; i++) {
        const sw_product_term *t = &c->plan.term[i];
        const sw_coefficient *k = &c->plan.coefficient[t->coefficient];
        double count[SW_UNKNOWN_MAX] = {0};
        for (int n = 0; n < t->unknowns; n++)
            count[t->unknown[n]] = t->count[n];
        printf("%.17g %.17g %d %.17g %.17g %.17g", log(t->beta), t->half_z2,
               t->water, k->az2, k->ba, k->b);
        for (int j = 0; j < c->plan.unknowns; j++)
            printf(" %g", count[j]);
        printf("\n");
    }
}

/* The total of each unknown of the plan and ln of its activity, 0 of none. */
static void write_feed(const sw_constants *c, const sw_speciation *s)
{
    static sw_lanes lanes;
    double total[SW_UNKNOWN_MAX], ln_activity[SW_UNKNOWN_MAX] = {0};
    int proton = c->plan.unknowns - 1;
    lanes.constants = c;
    sw_lanes_ask(&lanes, s);
    sw_lanes_put(&lanes, 0, s);
    for (int j = 0; j <= proton; j++)
        total[j] = lanes.total[j][0];
    sw_lanes_solve(&lanes);
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++)
        if (lanes.plan.place[m] >= 0)
            ln_activity[c->plan.place[m]] =
                lanes.ln_activity[lanes.plan.place[m]][0];
    ln_activity[proton] = lanes.ln_activity[lanes.plan.unknowns - 1][0];
    printf("%.17g %.17g %.17g", s->ln_water, lanes.alone[0],
           lanes.ionic_strength[0]);
    for (int j = 0; j <= proton; j++)
        printf(" %.17g %.17g", total[j], ln_activity[j]);
    printf("\n");
}

int main(int argc, char **argv)
{
    static feeds f;
    f.count = argc > 1 ? atoi(argv[1]) / SW_LANES * SW_LANES : 0;
    f.solution = calloc((size_t)f.count + 1, sizeof *f.solution);
    if (f.count < SHARED || !f.solution)
        return EXIT_FAILURE;
    sw_constants_at(25, &f.constants);
    draw(&f);
    printf("%.3f", time_of(&f, 0));
    for (int width = 1; width <= SW_LANES; width *= 2)
        printf(" %.3f", time_of(&f, width));
    printf("\n");
    write_species(&f.constants);
    for (int n = 0; n < SHARED; n++)
        write_feed(&f.constants, &f.solution[n]);
    free(f.solution);
    return EXIT_SUCCESS;
}
