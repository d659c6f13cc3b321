/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Targets that cannot all be met: the largest part of them that can.  Each
 * question is a linear program over every mix of the waters and every recipe.
 * What is left out stays as near as the others allow, so that a limit once
 * broken is not broken further.
 */
#include "decide/renew.h"

#include "assess/verdict.h"
#include "chemistry/equilibrate.h"
#include "decide/variant.h"
#include "decide/elastic.h"
#include "solve/largest.h"
#include "decide/ratios.h"
#include "records/targets.h"
#include "quantity/status.h"

#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What is as near as can be is let go this much further, for rounding. */
static const double beyond = 1e-6;

/* A laboratory is off by some 5 % (common practice, no source), so that it can
 * tell an excess from none at twice that. */
static const double told_from = 1.10;

/* Of a max, no addition worth the name: what salts of trace elements bring
 * along (common practice, no source). */
static const double no_addition = 0.01;

/* And a pH meter, by some 0.05 (common practice, no source). */
static const double ph_told = 0.1;

/* Shares nearer than this are one. */
static const double least_apart = 1e-3;

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
                                                 .given = !isnan(given),
                                                 .kept = true};
}

/* Less is earlier: given max, given min, pH, then ranges by weight.  Up to 0
 * none is given up for a range that nobody gave. */
static double turn_of(const sw_target *target, const sw_reach_end *end)
{
    if (end->given)
        return end->end == SW_SIDE_MAX ? -2.0 : -1.0;
    if (target->rows[end->row].kind == SW_TARGET_PH)
        return DBL_MIN;
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

sw_status sw_reach_open(sw_solver *solver, const sw_problem *problem,
                        double held, sw_reach *reach, sw_error *error)
{
    const sw_target *target = problem->target;
    *reach = (sw_reach){.solver = solver,
                        .problem = problem,
                        .error = error,
                        .held = held,
                        .share = NAN};
    sw_status status = sw_variant_make(problem, &reach->variant, error);
    reach->ends = calloc(2 * target->count + 1, sizeof *reach->ends);
    reach->no_further = calloc(target->count + 1, sizeof *reach->no_further);
    if (!reach->ends || !reach->no_further)
        return sw_fail_memory(error);
    for (size_t i = 0; i < target->count; i++) {
        add_end(target, i, SW_SIDE_MAX, reach);
        add_end(target, i, SW_SIDE_MIN, reach);
    }
    sort_ends(target, reach);
    return status;
}

void sw_reach_close(sw_reach *reach)
{
    SW_FREE(reach->ends, reach->no_further);
    sw_variant_free(&reach->variant);
}

/* ---- Which of them can be kept ------------------------------------------ */

static const sw_target_row *row_of(const sw_reach *reach,
                                   const sw_reach_end *end)
{
    return &reach->problem->target->rows[end->row];
}

/* The variant is to be of `at`: the problem, with its shares or without. */
static void set_at(sw_reach *reach, const sw_problem *at)
{
    sw_problem *problem = &reach->variant.problem;
    *problem = *at;
    problem->target = &reach->variant.target;
    problem->shelf = &reach->variant.shelf;
    problem->no_further = reach->no_further;
}

static void clear(const sw_target *of, sw_target *target)
{
    for (size_t i = 0; i < target->count; i++) {
        sw_target_row *row = &target->rows[i];
        row->weight = of->rows[i].weight;
        if (counts(row))
            row->target = row->min = row->max = NAN;
    }
}

/* What a target asks for it still asks for with its ends given up: by that a
 * product is on the shelf for it.  Then nothing bounds it but what a litre
 * holds, and without a weight it keeps no amount in check; P and Si stay
 * without any, as bounds would let them serve a pH. */
static void open_all(const sw_target *of, sw_target *target)
{
    clear(of, target);
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &of->rows[i];
        bool asked = counts(row) && row->kind == SW_TARGET_COMPONENT &&
                     (row->target > 0.0 || row->min > 0.0);
        if (asked && !sw_component_is(row->component, SW_IS_BUFFER)) {
            target->rows[i].target = fmax(row->target, row->min);
            target->rows[i].min = 0.0;
            target->rows[i].max = mg_in_a_litre;
            target->rows[i].weight = 0;
        }
    }
}

static sw_origin origin_of(const sw_reach_end *end, double bound)
{
    if (end->given)
        return SW_GIVEN;
    return end->end == SW_SIDE_MAX && bound > end->accepted ? SW_BY_LAB
                                                            : SW_BY_RANGE;
}

static void put(sw_target *target, const sw_reach_end *end, double bound,
                sw_origin origin)
{
    sw_target_row *row = &target->rows[end->row];
    bool is_min = end->end == SW_SIDE_MIN;
    *(is_min ? &row->min : &row->max) = bound;
    *(is_min ? &row->min_origin : &row->max_origin) = (unsigned char)origin;
}

static void keep(sw_target *target, const sw_reach_end *end, double bound)
{
    put(target, end, bound, origin_of(end, bound));
}

/* ---- What of a max no laboratory can tell -------------------------------- */

/* The share above which the first water and the second bring more than a max
 * that may be passed by that; infinite: none. */
static double passed_from(const sw_reach *reach, const sw_reach_end *end)
{
    const sw_target_row *row = row_of(reach, end);
    const sw_content *waters = reach->problem->waters;
    if (!reach->wide || end->given || end->end != SW_SIDE_MAX ||
        row->kind != SW_TARGET_COMPONENT)
        return INFINITY;
    double second = waters[1].amount[row->component];
    double more = waters[0].amount[row->component] - second;
    return more > 0.0 ? (end->accepted - second) / more : INFINITY;
}

double sw_reach_bound(const sw_reach *reach, const sw_reach_end *end,
                      double share)
{
    const sw_content *waters = reach->problem->waters;
    sw_component c = row_of(reach, end)->component;
    if (!(share > passed_from(reach, end)))
        return end->accepted;
    double brought =
        share * waters[0].amount[c] + (1.0 - share) * waters[1].amount[c];
    return fmin(told_from * end->accepted,
                brought + no_addition * end->accepted);
}

/* The same at every share; *next: the least from which the ends passed are. */
static void keep_passed(sw_reach *reach, const sw_reach_end *end, double from,
                        double *next)
{
    const sw_content *waters = reach->problem->waters;
    double passed = passed_from(reach, end);
    if (!(from > passed)) {
        keep(&reach->variant.target, end, end->accepted);
        return;
    }
    keep(&reach->variant.target, end, told_from * end->accepted);
    for (int k = 0; k < 2 && isfinite(from); k++)
        reach->no_further[end->row].max[k] =
            waters[k].amount[row_of(reach, end)->component] +
            no_addition * end->accepted;
    *next = fmax(*next, passed);
}

/* ---- How far the others may be off --------------------------------------- */

static sw_status read_ph(sw_reach *reach, sw_closest *closest)
{
    sw_status status = SW_OK;
    const sw_target *target = reach->problem->target;
    for (size_t i = 0; i < target->count && status == SW_OK; i++) {
        double ec;
        bool aired = target->rows[i].aired;
        if (target->rows[i].kind == SW_TARGET_PH)
            status = sw_read_meters(
                &closest->finished, 1, &reach->problem->conditions,
                aired ? SW_CARBONATE_AIRED : SW_CARBONATE_KEPT, &ec,
                &closest->ph[aired], reach->error);
    }
    return sw_of_trial(status);
}

/* With the objective's own aim where the target has none; limits give way. */
static sw_status find_closest(sw_reach *reach, double share, sw_closest *to)
{
    const sw_objective objectives[] = {SW_CLOSEST, reach->problem->objective};
    const double fractions[2] = {share, 1.0 - share};
    sw_status status = SW_OK;
    *to = (sw_closest){.share = share, .ph = {NAN, NAN}};
    set_at(reach, reach->problem);
    memcpy(reach->variant.target.rows, reach->problem->target->rows,
           reach->problem->target->count * sizeof(sw_target_row));
    sw_problem *problem = &reach->variant.problem;
    problem->fractions = fractions;
    problem->no_further = NULL;
    problem->keep_bands = problem->fewest = false;
    problem->nearest = true;
    for (size_t i = 0; i < 2 && !to->found && status == SW_OK; i++) {
        problem->objective = objectives[i];
        status = sw_variant_solve(reach->solver, &reach->variant, &to->found,
                                  reach->error);
    }
    problem->fractions = NULL;
    if (!to->found)
        return status;
    to->finished = reach->variant.solution->water;
    sw_content_add_recipe(&to->finished, 1, &reach->variant.shelf,
                          &reach->variant.solution->recipe);
    return read_ph(reach, to);
}

sw_status sw_reach_measure(sw_reach *reach, double share)
{
    sw_status status = SW_OK;
    if (!reach->all.found)
        status = find_closest(reach, 1.0, &reach->all);
    return status == SW_OK ? find_closest(reach, share, &reach->some) : status;
}

/* How far the end may be off beside what it is in the closest recipe. */
static double bound_beside(const sw_reach *reach, const sw_reach_end *end,
                           const sw_closest *closest)
{
    const sw_target_row *row = row_of(reach, end);
    double sign = end->end == SW_SIDE_MIN ? -1.0 : 1.0;
    double size = row->target > 0.0 ? row->target : end->accepted;
    double told = (told_from - 1.0) * size, farthest = told_from - 1.0;
    double is = closest->finished.amount[row->component];
    if (!closest->found)
        return NAN;
    if (row->kind == SW_TARGET_RATIO)
        is /= closest->finished.amount[row->other];
    if (row->kind == SW_TARGET_PH) {
        is = closest->ph[row->aired];
        told = ph_told;
        farthest = 0.0;
    }
    double beside = is + sign * told;
    double beyond_end = end->accepted * (1.0 + sign * farthest);
    return end->end == SW_SIDE_MIN ? fmin(beside, beyond_end)
                                   : fmax(beside, beyond_end);
}

/* In each water alone, so that mixes of both pass through the bounds of the
 * closest recipes; at the share, where that is given. */
static void spread(const sw_reach *reach, double share, double some, double all,
                   double bound[2])
{
    double apart = reach->all.share - reach->some.share;
    if (apart < least_apart)
        all = some;
    double slope = apart < least_apart ? 0.0 : (all - some) / apart;
    bound[0] = all;
    bound[1] = all - slope * reach->all.share;
    if (!isnan(share))
        bound[0] = bound[1] = all + slope * (share - reach->all.share);
}

static void hold_ph(sw_reach *reach, const sw_reach_end *end, double bound)
{
    sw_no_further *of = &reach->no_further[end->row];
    double *at = end->end == SW_SIDE_MIN ? of->min : of->max;
    at[0] = at[1] = bound;
}

static void let_go(sw_reach *reach, const sw_reach_end *end, double share)
{
    bool is_min = end->end == SW_SIDE_MIN;
    sw_no_further *of = &reach->no_further[end->row];
    /* one alone where nothing at all is a recipe at the other's share */
    const sw_closest *a = reach->some.found ? &reach->some : &reach->all;
    const sw_closest *b = reach->all.found ? &reach->all : &reach->some;
    double some = bound_beside(reach, end, a);
    double all = bound_beside(reach, end, b);
    sw_target_kind kind = row_of(reach, end)->kind;
    double wider = is_min ? fmin(some, all) : fmax(some, all);
    if (is_min && kind == SW_TARGET_COMPONENT && isnan(share) &&
        !reach->repeats)
        some = all = wider; /* nothing is drained for what is short anyhow */
    if (kind == SW_TARGET_COMPONENT)
        spread(reach, share, some, all, is_min ? of->min : of->max);
    else if (kind == SW_TARGET_PH) /* what both keep, a mix of them does */
        hold_ph(reach, end, wider);
    else if (isfinite(some) && isfinite(all))
        put(&reach->variant.target, end, fmax(wider, 0.0), SW_NO_FURTHER);
}

/* Ends that are not kept, at a share or, NaN, at any. */
static void let_go_rest(sw_reach *reach, double share)
{
    for (size_t i = 0; i < reach->problem->target->count; i++)
        reach->no_further[i] = (sw_no_further){{NAN, NAN}, {NAN, NAN}};
    for (size_t i = 0; i < reach->count; i++)
        if (!reach->ends[i].kept && !reach->ends[i].aside)
            let_go(reach, &reach->ends[i], share);
}

/* With what is passed at the share `from` passed at all: *next is then the
 * least share at which it is. */
static sw_status highest_from(sw_reach *reach, double from, double *next,
                              double *share)
{
    sw_variant *variant = &reach->variant;
    size_t count = 0;
    set_at(reach, reach->problem);
    open_all(reach->problem->target, &variant->target);
    let_go_rest(reach, NAN);
    *next = -INFINITY;
    for (size_t i = 0; i < reach->count; i++)
        if (reach->ends[i].kept && ++count)
            keep_passed(reach, &reach->ends[i], from, next);
    *share = 1.0;
    return count ? sw_blend_highest(reach->solver, &variant->problem, 0, share,
                                    reach->error)
                 : SW_OK;
}

/*
 * Which ends are passed depends on the share alone, so each such set is a
 * program, from the fullest down.  The first has no more than what a laboratory
 * cannot tell, whoever brings it: it bounds the rest.
 */
sw_status sw_reach_highest(sw_reach *reach, double *share)
{
    double next, from = INFINITY;
    sw_status status = highest_from(reach, from, &next, share);
    bool any = isfinite(next);
    for (from = *share; any && status == SW_OK && !isnan(from); from = next) {
        status = highest_from(reach, from, &next, share);
        any = isfinite(next) && !(*share >= next);
    }
    return status;
}

static sw_status holds(void *context, const bool *kept, bool *yes)
{
    sw_reach *reach = context;
    for (size_t i = 0; i < reach->count; i++)
        reach->ends[i].kept = kept[i];
    sw_status status = sw_reach_highest(reach, &reach->share);
    *yes = !isnan(reach->share);
    return status;
}

sw_status sw_reach_most(sw_reach *reach)
{
    bool proved, together;
    size_t count = reach->count;
    bool *kept = calloc((SW_MOST_CONFLICTS + 2) * count + 1, sizeof *kept);
    if (!kept)
        return sw_fail_memory(reach->error);
    sw_largest search = {
        .count = count, .holds = holds, .context = reach, .room = kept + count};
    const sw_target *target = reach->problem->target;
    while (search.first < count &&
           turn_of(target, &reach->ends[search.first]) <= 0.0)
        search.first++;
    reach->wide = false;
    sw_status status = sw_largest_set(&search, kept, &proved);
    if (status == SW_OK && !proved) /* else it was the last to be asked */
        status = holds(reach, kept, &together);
    free(kept);
    return status;
}

sw_status sw_reach_widen(sw_reach *reach)
{
    reach->wide = true;
    return sw_reach_highest(reach, &reach->share);
}

sw_limit sw_reach_limit(const sw_reach *reach, const sw_reach_end *end,
                        double bound)
{
    sw_side side = {.kind = kind_of_side(row_of(reach, end)),
                    .end = end->end,
                    .bound = bound,
                    .origin = origin_of(end, bound),
                    .target = row_of(reach, end)};
    sw_model model = {.problem = reach->problem};
    return sw_side_limit(&model, &side, NULL);
}

/* ---- The nearest of the rest -------------------------------------------- */

/* Where a limit would have to stand, the others kept. */
typedef struct sw_nearest {
    size_t row; /* of the target */
    sw_side_end end;
    double stand; /* NaN: it can be kept after all, or stands nowhere */
} sw_nearest;

static sw_status look(sw_solver *solver, const sw_model *model,
                      const sw_fit *fit, void *context)
{
    sw_nearest *of = context;
    for (size_t s = 0; fit->outcome == SW_CONFLICT && s < model->side_count;
         s++) {
        double share;
        const sw_side *side = &model->sides[s];
        if (side->target && side->end == of->end &&
            side->origin != SW_NO_FURTHER &&
            sw_place_of(model->problem->target, side->target) == of->row)
            of->stand = sw_elastic_alone(solver, model, s, &share);
    }
    return SW_OK;
}

/* Puts an end that cannot be kept where it comes nearest, no further off than
 * it may be: beyond that there is no recipe. */
static sw_status ease(sw_reach *reach, const sw_reach_end *end)
{
    sw_target *target = &reach->variant.target;
    const sw_target_row *row = &target->rows[end->row];
    bool is_min = end->end == SW_SIDE_MIN;
    double farthest = is_min ? row->min : row->max; /* NaN: any */
    sw_nearest nearest = {end->row, end->end, NAN};
    sw_onlooker onlooker = {look, &nearest};
    sw_solution *solution;
    keep(target, end, end->accepted);
    sw_status status =
        sw_formulate_before(reach->solver, &reach->variant.problem, &onlooker,
                            &solution, reach->error);
    double room = (is_min ? -beyond : beyond) * (1.0 + nearest.stand);
    double stand = fmax(0.0, nearest.stand + room);
    if (!isnan(nearest.stand))
        put(target, end, is_min ? fmax(stand, farthest) : fmin(stand, farthest),
            SW_GAVE_WAY);
    else if (status == SW_OK && !solution->recipe.count)
        put(target, end, farthest, SW_NO_FURTHER);
    sw_solution_free(solution);
    return status;
}

/* Of the first water of the search. */
static double share_at(const sw_reach *reach, const sw_problem *at)
{
    double first = at->fractions[0];
    return at->waters == reach->problem->waters ? first : first / reach->held;
}

/* What is kept as limits.  The targets themselves stay what is aimed at; so
 * does a pH that has one, which formulate brings as near as it can be had. */
static void put_kept(sw_reach *reach, const sw_problem *at)
{
    sw_target *target = &reach->variant.target;
    double share = share_at(reach, at);
    set_at(reach, at);
    reach->variant.problem.keep_bands = false;
    clear(at->target, target);
    let_go_rest(reach, share);
    for (size_t i = 0; i < target->count; i++)
        if (target->rows[i].kind == SW_TARGET_PH ||
            (!sw_is_of_amounts(&reach->variant.problem) &&
             target->rows[i].kind != SW_TARGET_RATIO))
            target->rows[i].target = at->target->rows[i].target;
    for (size_t i = 0; i < reach->count; i++) {
        const sw_reach_end *end = &reach->ends[i];
        bool band_of_ph =
            !end->given && row_of(reach, end)->kind == SW_TARGET_PH;
        if (end->kept && band_of_ph) /* its target counts as it did */
            hold_ph(reach, end, end->accepted);
        else if (end->kept)
            keep(target, end, sw_reach_bound(reach, end, share));
    }
    /* a target of nothing is measured by its max */
    for (size_t i = 0; i < target->count; i++)
        if (target->rows[i].target == 0.0 && isnan(target->rows[i].max))
            target->rows[i].target = NAN;
}

sw_status sw_reach_closest(sw_reach *reach, const sw_problem *at, bool *found,
                           sw_content *finished)
{
    sw_variant *variant = &reach->variant;
    sw_problem closest = *at;
    closest.objective = SW_CLOSEST;
    put_kept(reach, &closest);
    sw_status status =
        sw_variant_solve(reach->solver, variant, found, reach->error);
    if (*found) {
        *finished = variant->solution->water;
        sw_content_add_recipe(finished, 1, &variant->shelf,
                              &variant->solution->recipe);
    }
    return status;
}

static bool needs_easing(const sw_reach *reach, const sw_reach_end *end)
{
    const sw_target_row *row = row_of(reach, end);
    if (end->kept || (row->kind == SW_TARGET_PH && !isnan(row->target)))
        return false;
    return end->given || sw_is_of_amounts(reach->problem);
}

sw_status sw_reach_solve(sw_reach *reach, const sw_problem *at,
                         sw_solution **solution)
{
    sw_status status = SW_OK;
    *solution = NULL;
    put_kept(reach, at);
    for (size_t i = 0; i < reach->count && status == SW_OK; i++)
        if (needs_easing(reach, &reach->ends[i]))
            status = ease(reach, &reach->ends[i]);
    if (status != SW_OK)
        return status;
    return sw_formulate(reach->solver, &reach->variant.problem, solution,
                        reach->error);
}
