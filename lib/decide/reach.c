/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Targets that cannot all be met: the largest part of them that can.  Each
 * question is a linear program over every mix of the waters and every recipe.
 * What is left out stays as near as the others allow, so that a limit once
 * broken is not broken further.
 */
#include "decide/reach.h"

#include "assess/verdict.h"
#include "decide/blend.h"
#include "decide/elastic.h"
#include "formulate/largest.h"
#include "formulate/onlooker.h"
#include "quantity/status.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What is as near as can be is let go this much further, for rounding. */
static const double beyond = 1e-6;

/* A laboratory is off by some 5 % (common practice, no source), so that it can
 * tell an excess from none at twice that. */
static const double told_from = 1.10;

static const double mg_in_a_litre = 1e6;

/* EC is only judged; a ceiling on what the target does not name bounds what
 * products add, so it can always be kept. */
static bool counts(const sw_target_row *row)
{
    return row->kind != SW_TARGET_EC && !row->assumed;
}

static sw_side_kind kind_of_side(const sw_target_row *row)
{
    static const sw_side_kind kind_of[] = {[SW_TARGET_COMPONENT] =
                                               SW_SIDE_COMPONENT,
                                           [SW_TARGET_RATIO] = SW_SIDE_RATIO,
                                           [SW_TARGET_PH] = SW_SIDE_PH};
    return kind_of[row->kind];
}

/* ---- The ends ----------------------------------------------------------- */

static void add_end(const sw_target *target, size_t row, sw_side_end end,
                    sw_reach *reach)
{
    const sw_target_row *of = &target->rows[row];
    sw_band band = sw_band_of(of);
    double bound = end == SW_SIDE_MIN ? band.low : band.high;
    double given = end == SW_SIDE_MIN ? of->min : of->max;
    if (!counts(of) || !isfinite(bound))
        return;
    reach->ends[reach->count++] = (sw_reach_end){.row = row,
                                                 .end = end,
                                                 .accepted = bound,
                                                 .bound = bound,
                                                 .given = !isnan(given)};
}

/* Less is earlier: given max, given min, then bands by weight. */
static double turn_of(const sw_target *target, const sw_reach_end *end)
{
    if (end->given)
        return end->end == SW_SIDE_MAX ? -2.0 : -1.0;
    return 1.0 / (1.0 + target->rows[end->row].weight);
}

/* By insertion: equals stay in the order of the file. */
static void sort_ends(const sw_target *target, sw_reach *reach)
{
    for (size_t i = 1; i < reach->count; i++) {
        sw_reach_end end = reach->ends[i];
        size_t at = i;
        for (; at > 0 &&
               turn_of(target, &reach->ends[at - 1]) > turn_of(target, &end);
             at--)
            reach->ends[at] = reach->ends[at - 1];
        reach->ends[at] = end;
    }
}

static sw_status list_ends(const sw_target *target, sw_reach *reach,
                           sw_error *error)
{
    reach->ends = calloc(2 * target->count + 1, sizeof *reach->ends);
    if (!reach->ends)
        return sw_fail_memory(error);
    for (size_t i = 0; i < target->count; i++) {
        add_end(target, i, SW_SIDE_MAX, reach);
        add_end(target, i, SW_SIDE_MIN, reach);
    }
    sort_ends(target, reach);
    return SW_OK;
}

/* ---- Which of them can be kept ------------------------------------------ */

static void clear(sw_target *target)
{
    for (size_t i = 0; i < target->count; i++)
        if (counts(&target->rows[i]))
            target->rows[i].target = target->rows[i].min = target->rows[i].max =
                NAN;
}

/* What a target asks for it still asks for with its ends given up: by that a
 * product is on the shelf for it.  Then nothing bounds it but what a litre
 * holds; P and Si stay without any, as bounds would let them serve a pH. */
static void open_all(const sw_target *of, sw_target *target)
{
    clear(target);
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &of->rows[i];
        bool asked = counts(row) && row->kind == SW_TARGET_COMPONENT &&
                     (row->target > 0.0 || row->min > 0.0);
        if (asked && !sw_component_is(row->component, SW_IS_BUFFER)) {
            target->rows[i].target = fmax(row->target, row->min);
            target->rows[i].min = 0.0;
            target->rows[i].max = mg_in_a_litre;
        }
    }
}

static sw_origin origin_of(const sw_reach_end *end)
{
    if (end->given)
        return SW_GIVEN;
    return end->bound > end->accepted ? SW_BY_LAB : SW_BY_RANGE;
}

static void put(sw_target *target, const sw_reach_end *end, double bound,
                sw_origin origin)
{
    sw_target_row *row = &target->rows[end->row];
    bool is_min = end->end == SW_SIDE_MIN;
    *(is_min ? &row->min : &row->max) = bound;
    *(is_min ? &row->min_origin : &row->max_origin) = (unsigned char)origin;
}

static void keep(sw_target *target, const sw_reach_end *end)
{
    put(target, end, end->bound, origin_of(end));
}

static sw_status highest(sw_solver *solver, const sw_variant *variant,
                         double *share, sw_error *error)
{
    sw_problem problem = sw_variant_problem(variant);
    return sw_blend_highest(solver, &problem, 0, share, error);
}

/* A search for the ends that can be kept together. */
typedef struct keeping {
    sw_solver *solver;
    sw_variant *variant;
    const sw_reach *reach;
    sw_error *error;
} keeping;

static sw_status share_of(keeping *k, const bool *kept, double *share)
{
    size_t count = 0;
    *share = 1.0;
    open_all(k->variant->problem.target, &k->variant->target);
    for (size_t i = 0; i < k->reach->count; i++)
        if (kept[i] && ++count)
            keep(&k->variant->target, &k->reach->ends[i]);
    return count ? highest(k->solver, k->variant, share, k->error) : SW_OK;
}

static sw_status holds(void *context, const bool *kept, bool *yes)
{
    double share = NAN;
    sw_status status = share_of(context, kept, &share);
    *yes = !isnan(share);
    return status;
}

static sw_status keep_ends(keeping *k, bool *room, sw_reach *reach)
{
    bool *kept = room;
    sw_largest search = {.count = reach->count,
                         .holds = holds,
                         .context = k,
                         .given_up = room + reach->count,
                         .conflicts = room + 2 * reach->count};
    while (search.first < reach->count && reach->ends[search.first].given)
        search.first++;
    sw_status status = sw_largest_set(&search, kept, &reach->proved);
    if (status == SW_OK)
        status = share_of(k, kept, &reach->share);
    for (size_t i = 0; i < reach->count; i++)
        reach->ends[i].kept = kept[i];
    return status;
}

sw_status sw_reach_find(sw_solver *solver, const sw_problem *problem,
                        sw_reach *reach, sw_error *error)
{
    sw_variant variant;
    *reach = (sw_reach){.share = NAN};
    sw_status status = list_ends(problem->target, reach, error);
    if (status == SW_OK)
        status = sw_variant_make(problem, &variant, error);
    if (status != SW_OK)
        return status;
    keeping k = {solver, &variant, reach, error};
    bool *room =
        calloc((SW_MOST_CONFLICTS + 2) * reach->count + 1, sizeof *room);
    status = room ? keep_ends(&k, room, reach) : sw_fail_memory(error);
    free(room);
    sw_variant_free(&variant);
    return status;
}

void sw_reach_free(sw_reach *reach)
{
    free(reach->ends);
    *reach = (sw_reach){.share = NAN};
}

sw_status sw_reach_all(const sw_target *target, sw_reach *reach,
                       sw_error *error)
{
    *reach = (sw_reach){.share = NAN};
    sw_status status = list_ends(target, reach, error);
    for (size_t i = 0; i < reach->count; i++)
        reach->ends[i].kept = true;
    return status;
}

sw_status sw_reach_highest(sw_solver *solver, const sw_problem *problem,
                           const sw_reach *reach, double *share,
                           sw_error *error)
{
    sw_variant variant;
    keeping k = {solver, &variant, reach, error};
    bool *kept = calloc(reach->count + 1, sizeof *kept);
    *share = NAN;
    if (!kept)
        return sw_fail_memory(error);
    for (size_t i = 0; i < reach->count; i++)
        kept[i] = reach->ends[i].kept;
    sw_status status = sw_variant_make(problem, &variant, error);
    if (status == SW_OK) {
        status = share_of(&k, kept, share);
        sw_variant_free(&variant);
    }
    free(kept);
    return status;
}

void sw_reach_name(const sw_problem *problem, const sw_reach_end *end,
                   char *name, size_t size)
{
    const sw_target_row *row = &problem->target->rows[end->row];
    sw_side side = {.kind = kind_of_side(row),
                    .end = end->end,
                    .bound = end->bound,
                    .origin = origin_of(end),
                    .target = row};
    sw_model model = {.problem = problem};
    sw_side_text(&model, &side, name, size);
}

sw_status sw_reach_alone(sw_solver *solver, const sw_problem *problem,
                         const sw_reach_end *end, bool *reached,
                         sw_error *error)
{
    double share;
    sw_reach_end alone = *end;
    alone.kept = true;
    const sw_reach reach = {.ends = &alone, .count = 1, .share = NAN};
    sw_status status = sw_reach_highest(solver, problem, &reach, &share, error);
    *reached = !isnan(share);
    return status;
}

/* ---- The nearest of the rest -------------------------------------------- */

/* Where a limit would have to stand, the others kept. */
typedef struct sw_nearest {
    sw_handle limit;
    double stand; /* NaN: it can be kept after all, or stands nowhere */
} sw_nearest;

static sw_status look(sw_solver *solver, const sw_model *model,
                      const sw_fit *fit, void *context)
{
    sw_nearest *of = context;
    if (fit->outcome != SW_CONFLICT)
        return SW_OK;
    for (size_t s = 0; s < model->side_count; s++) {
        sw_handle found = sw_handle_of(model->problem, &model->sides[s]);
        if (found.kind != of->limit.kind || found.end != of->limit.end ||
            found.index != of->limit.index)
            continue;
        double share;
        of->stand = sw_elastic_alone(solver, model, s, &share);
    }
    return SW_OK;
}

/* Puts an end that cannot be kept where it comes nearest. */
static sw_status ease(sw_solver *solver, sw_variant *variant,
                      const sw_reach_end *end, sw_error *error)
{
    const sw_target_row *row = &variant->target.rows[end->row];
    sw_nearest nearest = {.limit = {.kind = kind_of_side(row),
                                    .end = end->end,
                                    .index = end->row},
                          .stand = NAN};
    sw_onlooker onlooker = {look, &nearest};
    sw_solution *solution = NULL;
    keep(&variant->target, end);
    sw_problem problem = sw_variant_problem(variant);
    sw_status status =
        sw_formulate_before(solver, &problem, &onlooker, &solution, error);
    double sign = end->end == SW_SIDE_MIN ? -1.0 : 1.0;
    if (!isnan(nearest.stand))
        put(&variant->target, end,
            fmax(0.0, nearest.stand + sign * beyond * (1.0 + nearest.stand)),
            SW_GAVE_WAY);
    else if (status == SW_OK && !solution->recipe.count)
        put(&variant->target, end, NAN, SW_GIVEN);
    sw_solution_free(solution);
    return status;
}

/* The targets themselves stay what is aimed at; so does a pH that has one,
 * which formulate brings as near as it can be had. */
static void put_kept(const sw_problem *problem, const sw_reach *reach,
                     sw_target *target)
{
    clear(target);
    for (size_t i = 0; i < target->count; i++)
        if (problem->objective != SW_CHEAPEST ||
            target->rows[i].kind == SW_TARGET_PH)
            target->rows[i].target = problem->target->rows[i].target;
    for (size_t i = 0; i < reach->count; i++) {
        const sw_reach_end *end = &reach->ends[i];
        bool band_of_ph =
            !end->given && target->rows[end->row].kind == SW_TARGET_PH;
        if (end->kept && !band_of_ph)
            keep(target, end);
    }
    /* a target of nothing is measured by its max */
    for (size_t i = 0; i < target->count; i++)
        if (target->rows[i].target == 0.0 && isnan(target->rows[i].max))
            target->rows[i].target = NAN;
}

sw_status sw_reach_closest(sw_solver *solver, const sw_problem *problem,
                           const sw_reach *reach, bool *found,
                           sw_content *finished, sw_error *error)
{
    sw_variant variant;
    sw_solution *solution = NULL;
    *found = false;
    sw_status status = sw_variant_make(problem, &variant, error);
    if (status != SW_OK)
        return status;
    variant.problem.objective = SW_CLOSEST;
    variant.problem.keep_bands = false;
    put_kept(&variant.problem, reach, &variant.target);
    status = sw_variant_solve(solver, &variant, found, &solution, error);
    if (*found) {
        *finished = solution->water;
        sw_content_add_recipe(finished, 1, &variant.shelf, &solution->recipe);
    }
    sw_solution_free(solution);
    sw_variant_free(&variant);
    return status;
}

sw_status sw_reach_widen(sw_solver *solver, const sw_problem *problem,
                         sw_reach *reach, sw_error *error)
{
    for (size_t i = 0; i < reach->count; i++) {
        sw_reach_end *end = &reach->ends[i];
        if (end->kept && !end->given && end->end == SW_SIDE_MAX &&
            problem->target->rows[end->row].kind == SW_TARGET_COMPONENT)
            end->bound = told_from * end->accepted;
    }
    return sw_reach_highest(solver, problem, reach, &reach->share, error);
}

sw_status sw_reach_tighten(sw_solver *solver, const sw_problem *problem,
                           sw_reach *reach, bool *any, sw_error *error)
{
    sw_content unseen;
    sw_status status = SW_OK;
    *any = false;
    for (size_t i = 0; i < reach->count && status == SW_OK; i++) {
        bool found;
        sw_reach_end *end = &reach->ends[i];
        double wider = end->bound;
        if (!end->kept || wider == end->accepted)
            continue;
        end->bound = end->accepted;
        status =
            sw_reach_closest(solver, problem, reach, &found, &unseen, error);
        if (!found)
            end->bound = wider;
        *any = *any || found;
    }
    return status;
}

static bool needs_easing(const sw_problem *problem, const sw_reach_end *end)
{
    const sw_target_row *row = &problem->target->rows[end->row];
    if (end->kept || (row->kind == SW_TARGET_PH && !isnan(row->target)))
        return false;
    return end->given || problem->objective == SW_CHEAPEST;
}

sw_status sw_reach_solve(sw_solver *solver, const sw_problem *problem,
                         const sw_reach *reach, sw_solution **solution,
                         sw_error *error)
{
    sw_variant variant;
    *solution = NULL;
    sw_status status = sw_variant_make(problem, &variant, error);
    if (status != SW_OK)
        return status;
    variant.problem.keep_bands = false;
    put_kept(problem, reach, &variant.target);
    for (size_t i = 0; i < reach->count && status == SW_OK; i++)
        if (needs_easing(problem, &reach->ends[i]))
            status = ease(solver, &variant, &reach->ends[i], error);
    if (status == SW_OK) {
        sw_problem eased = sw_variant_problem(&variant);
        status = sw_formulate(solver, &eased, solution, error);
    }
    sw_variant_free(&variant);
    return status;
}
