/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * For stocks made up with another water than the feed: formulate anew until the
 * finished solution is on target.  Where no tanks work, the recipe is
 * formulated again without each product to blame: another source of it is the
 * way out that a grower would take first.
 */
#include "assess/verdict.h"
#include "stock/dosing.h"
#include "stock/tank_plan.h"
#include "quantity/notes.h"
#include "quantity/status.h"

#include "table_words.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct joint {
    const sw_problem *problem;
    const sw_stock_setup *setup;
    sw_solver *solver;
    sw_content *waters; /* as the finished solution has them */
    double share;       /* of stock in the feed */
    sw_solution *solution;
    sw_stock *stock;
    sw_error *error;
} joint;

static void dilute(joint *j)
{
    for (size_t i = 0; i < j->problem->water_count; i++) {
        const sw_content *water = &j->problem->waters[i];
        j->waters[i] = (sw_content){{0}};
        sw_content_add(&j->waters[i], 1 - j->share, water);
        sw_content_add(&j->waters[i], j->share,
                       j->setup->make_up ? j->setup->make_up : water);
    }
}

static sw_status plan_solution(joint *j)
{
    const sw_problem *problem = j->problem;
    sw_content water = {{0}};
    sw_content_add_waters(&water, problem->waters, j->solution->fractions,
                          problem->water_count);
    sw_mix mix = {.water = &water,
                  .target = problem->target,
                  .shelf = problem->shelf,
                  .recipe = &j->solution->recipe,
                  .conditions = problem->conditions};
    return sw_stock_plan(j->solver, &mix, j->setup, &j->stock, j->error);
}

static void drop(joint *j)
{
    sw_solution_free(j->solution);
    sw_stock_free(j->stock);
    j->solution = NULL;
    j->stock = NULL;
}

/* Formulates in the diluted water, plans, sees what the heads take. */
static sw_status one_round(joint *j, bool *settled)
{
    sw_problem inner = *j->problem;
    inner.waters = j->waters;
    drop(j);
    dilute(j);
    *settled = true;
    sw_status status = sw_formulate(j->solver, &inner, &j->solution, j->error);
    if (!status && j->solution->recipe.count)
        status = plan_solution(j);
    if (status || !j->stock)
        return status;
    double share = sw_dose_stock_share(j->stock);
    *settled = !j->setup->make_up || share == j->share;
    j->share = share;
    return SW_OK;
}

/* ---- Another source ------------------------------------------------------ */

/* The recipe in the diluted water, without one product. */
typedef struct attempt {
    joint *joint;
    sw_problem problem;
    sw_shelf shelf;
    sw_assessment *asked;
    sw_status status;
} attempt;

static sw_mix mix_of(const attempt *a, const sw_solution *solution)
{
    return (sw_mix){.water = &solution->water,
                    .target = a->problem.target,
                    .shelf = a->problem.shelf,
                    .recipe = &solution->recipe,
                    .conditions = a->problem.conditions,
                    .brief = true};
}

static bool comes_as_near(attempt *a, const sw_mix *mix)
{
    sw_assessment *assessment;
    a->status = sw_of_trial(sw_assess(mix, &assessment, NULL));
    if (!assessment)
        return false;
    bool good = !sw_notes_dangers(&assessment->notes) &&
                sw_is_as_good(a->asked, assessment);
    sw_assessment_free(assessment);
    return good;
}

static bool tanks_work(attempt *a, const sw_mix *mix)
{
    sw_stock *stock;
    a->status = sw_of_trial(
        sw_stock_try(a->joint->solver, mix, a->joint->setup, &stock, NULL));
    if (!stock)
        return false;
    bool works = sw_stock_is_safe(stock);
    sw_stock_free(stock);
    return works;
}

static bool helps(attempt *a)
{
    sw_solution *solution;
    a->status = sw_of_trial(
        sw_formulate(a->joint->solver, &a->problem, &solution, NULL));
    if (!solution)
        return false;
    sw_mix mix = mix_of(a, solution);
    bool works = solution->outcome != SW_CONFLICT && comes_as_near(a, &mix) &&
                 tanks_work(a, &mix);
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
        sw_remedy_add(a->joint->stock,
                      (sw_remedy){.kind = SW_REMEDY_SHELF,
                                  .factor = NAN,
                                  .product = product,
                                  .tank = SW_TANKS},
                      SW_SAY_REMEDY_SHELF, was.name);
    *p = was;
}

/* Adds the remedies of other recipes to those of the plan. */
static sw_status look_for_sources(joint *j)
{
    const sw_shelf *shelf = j->problem->shelf;
    attempt a = {.joint = j, .problem = *j->problem, .shelf = *shelf};
    a.problem.waters = j->waters;
    a.problem.shelf = &a.shelf;
    sw_mix asked = mix_of(&a, j->solution);
    asked.shelf = shelf;
    a.shelf.products = calloc(shelf->count + 1, sizeof *a.shelf.products);
    if (!a.shelf.products)
        return sw_fail_memory(j->error);
    /* shallow: whose memory it is stays as it was */
    memcpy(a.shelf.products, shelf->products,
           shelf->count * sizeof *a.shelf.products);
    a.status = sw_of_trial(sw_assess(&asked, &a.asked, NULL));
    for (size_t i = 0; a.asked && i < j->stock->clash_count; i++)
        try_without(&a, j->stock->clash[i]);
    free(a.shelf.products);
    sw_assessment_free(a.asked);
    return a.status ? sw_fail_memory(j->error) : SW_OK;
}

/* ---- Both ---------------------------------------------------------------- */

sw_status sw_stock_formulate(sw_solver *solver, const sw_problem *problem,
                             const sw_stock_setup *setup,
                             sw_solution **solution, sw_stock **stock,
                             sw_error *error)
{
    SW_REQUIRE_FOR(solution, error, stock);
    SW_REQUIRE_FOR(stock, error, solver, sw_whole_problem(problem), setup);
    joint j = {
        .solver = solver, .problem = problem, .setup = setup, .error = error};
    bool settled = false;
    j.waters = calloc(problem->water_count + 1, sizeof *j.waters);
    sw_status status = j.waters ? SW_OK : sw_fail_memory(error);
    /* the share settles as soon as the same heads are in use twice */
    for (int round = 0; j.waters && !status && !settled && round < 8; round++)
        status = one_round(&j, &settled);
    if (!status && j.stock && j.stock->outcome == SW_CONFLICT)
        status = look_for_sources(&j);
    free(j.waters);
    if (status)
        drop(&j);
    *solution = j.solution;
    *stock = j.stock;
    return status;
}
