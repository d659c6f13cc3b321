/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The way out of a plan that a grower would take first: another source of what
 * finds no tank.  The recipe is formulated again without each product to
 * blame; where as many targets are met and the tanks work, that is offered.
 */
#include "stock/remedy.h"
#include "stock/remedy_words.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct attempt {
    sw_solver *solver;
    sw_problem problem;
    sw_shelf shelf;
    const sw_stock_setup *setup;
    sw_stock *stock; /* whose remedies these are */
    sw_assessment *asked;
    sw_status status;
} attempt;

static sw_mix mix_of(const attempt *a, const sw_solution *solution,
                     sw_content *water)
{
    *water = (sw_content){{0}};
    sw_content_add_waters(water, a->problem.waters, solution->fractions,
                          a->problem.water_count);
    return (sw_mix){.water = water,
                    .target = a->problem.target,
                    .shelf = a->problem.shelf,
                    .recipe = &solution->recipe,
                    .conditions = a->problem.conditions};
}

/* A share of a target that decides nothing (common practice, no source). */
static const double no_matter = 0.02;

/* Met where it was before, and no further off where it was not. */
static bool is_as_near(const sw_component_row *before,
                       const sw_component_row *after)
{
    if (before->verdict == SW_MET)
        return after->verdict == SW_MET;
    return isnan(before->target_mg_per_l) ||
           fabs(after->residual_mg_per_l) <=
               fabs(before->residual_mg_per_l) +
                   no_matter * before->target_mg_per_l;
}

/* Every target is as near as before, and nothing is a danger. */
static bool is_as_good(const sw_assessment *before, const sw_assessment *after)
{
    bool good = true;
    for (size_t c = 0; c < SW_COMPONENT_COUNT; c++)
        good = good && is_as_near(&before->rows[c], &after->rows[c]);
    for (size_t i = 0; i < before->measure_count; i++)
        good = good && (before->measures[i].verdict != SW_MET ||
                        after->measures[i].verdict == SW_MET);
    for (size_t i = 0; i < after->notes.count; i++)
        good = good && after->notes.items[i].severity != SW_DANGER;
    return good;
}

static bool comes_as_near(attempt *a, const sw_mix *mix)
{
    sw_assessment *assessment;
    a->status = sw_assess(mix, &assessment, NULL);
    if (a->status)
        return false;
    bool good = is_as_good(a->asked, assessment);
    sw_assessment_free(assessment);
    return good;
}

static bool tanks_work(attempt *a, const sw_mix *mix)
{
    sw_stock *stock;
    if (!a->status)
        a->status = sw_stock_try(mix, a->setup, &stock, NULL);
    if (a->status)
        return false;
    bool works = sw_stock_is_safe(stock);
    sw_stock_free(stock);
    return works;
}

static bool helps(attempt *a)
{
    sw_solution *solution;
    sw_content water;
    a->status = sw_formulate(a->solver, &a->problem, &solution, NULL);
    if (a->status)
        return false;
    bool works = false;
    if (solution->outcome != SW_CONFLICT) {
        sw_mix mix = mix_of(a, solution, &water);
        works = comes_as_near(a, &mix) && tanks_work(a, &mix);
    }
    sw_solution_free(solution);
    return works;
}

static void try_without(attempt *a, size_t product)
{
    sw_product *p = &a->shelf.products[product], was = *p;
    if (a->status || p->min_g_per_l > 0 || !isnan(p->fixed_g_per_l))
        return;
    p->max_g_per_l = 0;
    if (helps(a))
        sw_remedy_add(
            a->stock, sw_remedy_of(SW_REMEDY_SHELF, NAN, product, SW_TANKS),
            "Take %.60s off the shelf and formulate again: the "
            "others come as near to every target, and their tanks work.",
            was.name);
    *p = was;
}

sw_status sw_remedy_shelf(sw_solver *solver, const sw_problem *problem,
                          const sw_stock_setup *setup,
                          const sw_solution *solution, sw_stock *stock)
{
    sw_content water;
    size_t count = problem->shelf->count;
    attempt a = {.solver = solver,
                 .problem = *problem,
                 .shelf = *problem->shelf,
                 .setup = setup,
                 .stock = stock};
    sw_mix asked = mix_of(&a, solution, &water);
    a.status = sw_assess(&asked, &a.asked, NULL);
    if (a.status)
        return a.status;
    a.shelf.products = calloc(count + 1, sizeof *a.shelf.products);
    if (!a.shelf.products) {
        sw_assessment_free(a.asked);
        return SW_ERR_MEMORY;
    }
    /* shallow: whose memory it is stays as it was */
    memcpy(a.shelf.products, problem->shelf->products,
           count * sizeof *a.shelf.products);
    a.problem.shelf = &a.shelf;
    for (size_t i = 0; i < stock->clash_count; i++)
        try_without(&a, stock->clash[i]);
    free(a.shelf.products);
    sw_assessment_free(a.asked);
    return a.status;
}
