/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A recipe as a point of a front, and which of its products were chosen. */
#include "decide/point.h"

#include <math.h>

/* Amounts below this are none. */
static const double nothing_g_per_l = 1e-9;

bool sw_is_chosen(const sw_product *product, double g_per_l)
{
    return g_per_l > nothing_g_per_l && isnan(product->fixed_g_per_l) &&
           !(product->min_g_per_l > 0);
}

size_t sw_count_chosen(const sw_shelf *shelf, const sw_recipe *recipe)
{
    size_t count = 0;
    for (size_t j = 0; j < recipe->count; j++)
        count += sw_is_chosen(&shelf->products[j], recipe->g_per_l[j]);
    return count;
}

static double cost_of(const sw_shelf *shelf, const sw_recipe *recipe)
{
    double sum = 0;
    for (size_t j = 0; j < recipe->count; j++)
        if (recipe->g_per_l[j] > 0)
            sum += recipe->g_per_l[j] * shelf->products[j].price_per_kg;
    return sum;
}

sw_front_point sw_front_point_of(const sw_problem *problem,
                                 sw_solution *solution)
{
    sw_front_point made = {
        .objective = solution->certificate.objective,
        .lower_bound = solution->certificate.lower_bound,
        .cost_per_m3 = cost_of(problem->shelf, &solution->recipe),
        .slope = NAN,
        .products = sw_count_chosen(problem->shelf, &solution->recipe),
        .misses_ph = sw_misses_ph(solution),
        .recipe = solution->recipe,
    };
    solution->recipe = (sw_recipe){0};
    return made;
}
