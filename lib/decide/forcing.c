/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What holds the share of the old solution down.  The ends of the targets are
 * left aside one at a time, and the largest share is solved for again; the one
 * that gains most stays out, and so on until all of it may stay.  Where two
 * ends stop at the same share neither gains alone: then a set that gains is
 * thinned, end by end, until each of it is needed (deletion filter: Chinneck
 * J.W. & Dravnieks E.W. 1991, ORSA J. Comput. 3:157-168).
 */
#include "decide/forcing.h"

#include "quantity/status.h"
#include "quantity/ties.h"

#include <math.h>
#include <stdlib.h>

/* Below the highest share by this, so that rounding breaks no end; and how near
 * to its bound, relative to it, an end may bind. */
static const double inside = 1e-6, near = 1e-2;

/* A search under way; arrays of one item an end. */
typedef struct search {
    sw_solver *solver;
    const sw_problem *problem;
    sw_reach reach; /* its ends are copies: those left aside are not kept */
    double *without;
    sw_forcing_ends *out;
    sw_error *error;
} search;

static bool gains(const search *s, double share)
{
    return share > s->reach.share + SW_FORCING_WORTH;
}

static sw_status share_now(search *s, double *share)
{
    return sw_reach_highest(s->solver, s->problem, &s->reach, share, s->error);
}

/*
 * Shares and recipes that keep the ends are convex.  Where a recipe just below
 * the highest share leaves room to an end, the way from there to one that
 * breaks it is open for a part of its length, so leaving it aside gains next
 * to nothing.  A pH and a bound of 0 are always tried.
 */
static bool may_bind(const search *s, const sw_reach_end *end,
                     const sw_content *finished)
{
    const sw_target_row *row = &s->problem->target->rows[end->row];
    double bound = end->bound;
    if (row->kind == SW_TARGET_PH || bound <= 0.0)
        return true;
    if (row->kind == SW_TARGET_RATIO)
        bound *= finished->amount[row->other];
    return fabs(finished->amount[row->component] - bound) <= near * bound;
}

/* *all: there is no recipe to tell, so that each has to be tried. */
static sw_status finish(search *s, sw_content *finished, bool *all)
{
    bool found;
    double share = s->reach.share * (1.0 - inside);
    const double fractions[2] = {share, 1.0 - share};
    sw_problem problem = *s->problem;
    problem.fractions = fractions;
    sw_status status = sw_reach_closest(s->solver, &problem, &s->reach, &found,
                                        finished, s->error);
    *all = !found;
    return status;
}

/* The share without each of those kept that may bind; NaN for the others. */
static sw_status try_each(search *s)
{
    bool all;
    sw_content finished;
    sw_status status = finish(s, &finished, &all);
    for (size_t i = 0; i < s->reach.count && status == SW_OK; i++) {
        s->without[i] = NAN;
        if (!s->reach.ends[i].kept ||
            !(all || may_bind(s, &s->reach.ends[i], &finished)))
            continue;
        s->reach.ends[i].kept = false;
        status = share_now(s, &s->without[i]);
        s->reach.ends[i].kept = true;
    }
    return status;
}

/* What gains most; of those that gain alike, what has gathered (a max) before
 * what is short, then the first. */
static size_t best_of(const search *s)
{
    size_t best = sw_first_most(s->without, s->reach.count);
    for (size_t i = best; i < s->reach.count; i++)
        if (s->reach.ends[i].end == SW_SIDE_MAX && !isnan(s->without[i]) &&
            !sw_is_less(s->without[i], s->without[best], SW_SOLVED))
            return i;
    return best;
}

/* Leaves an end aside for good. */
static sw_status step(search *s, size_t end, const double *alone)
{
    double share;
    s->reach.ends[end].kept = false;
    sw_status status = share_now(s, &share);
    if (status == SW_OK && share > s->reach.share)
        s->reach.share = share;
    s->out->items[s->out->count++] =
        (sw_forcing_end){end, alone[end], s->reach.share};
    return status;
}

/* Into `set`: ends that gain together, none of which can be spared. */
static sw_status thin(search *s, bool *set, bool *any)
{
    double share;
    for (size_t i = 0; i < s->reach.count; i++) {
        set[i] = s->reach.ends[i].kept;
        s->reach.ends[i].kept = false;
    }
    sw_status status = share_now(s, &share);
    *any = gains(s, share);
    for (size_t i = 0; i < s->reach.count && status == SW_OK && *any; i++) {
        if (!set[i])
            continue;
        s->reach.ends[i].kept = true;
        status = share_now(s, &share);
        if (gains(s, share))
            set[i] = false;
        else
            s->reach.ends[i].kept = false;
    }
    for (size_t i = 0; i < s->reach.count; i++)
        s->reach.ends[i].kept = s->reach.ends[i].kept || set[i];
    return status;
}

static sw_status step_together(search *s, const double *alone, bool *any)
{
    bool *set = calloc(s->reach.count + 1, sizeof *set);
    if (!set)
        return sw_fail_memory(s->error);
    sw_status status = thin(s, set, any);
    for (size_t i = 0; i < s->reach.count && status == SW_OK && *any; i++)
        if (set[i])
            status = step(s, i, alone);
    free(set);
    return status;
}

/* The way to all of the first water; `alone` is filled on its first step. */
static sw_status climb(search *s, double *alone)
{
    sw_status status = SW_OK;
    bool any = true;
    for (size_t done = 0; status == SW_OK && any && gains(s, 1.0); done++) {
        status = try_each(s);
        for (size_t i = 0; i < s->reach.count && done == 0; i++)
            alone[i] = fmax(s->without[i], s->reach.share);
        if (status != SW_OK)
            break;
        size_t best = best_of(s);
        bool gains_alone = best < s->reach.count && gains(s, s->without[best]);
        status =
            gains_alone ? step(s, best, alone) : step_together(s, alone, &any);
    }
    return status;
}

/* What gains alone and is still kept. */
static void add_others(search *s, double start, const double *alone)
{
    for (size_t i = 0; i < s->reach.count; i++)
        if (s->reach.ends[i].kept && alone[i] > start + SW_FORCING_WORTH)
            s->out->items[s->out->count++] = (sw_forcing_end){i, alone[i], NAN};
}

static sw_status search_all(search *s, const sw_reach *reach, double *alone)
{
    sw_status status = SW_OK;
    for (size_t i = 0; i < reach->count; i++)
        s->reach.ends[i] = reach->ends[i];
    if (reach->count)
        status = climb(s, alone);
    if (status == SW_OK)
        add_others(s, reach->share, alone);
    return status;
}

sw_status sw_forcing_find(sw_solver *solver, const sw_problem *problem,
                          const sw_reach *reach, sw_forcing_ends *forcing,
                          sw_error *error)
{
    size_t room = reach->count + 1;
    double *alone = calloc(room, sizeof *alone);
    search s = {.solver = solver,
                .problem = problem,
                .reach = *reach,
                .without = calloc(room, sizeof *s.without),
                .out = forcing,
                .error = error};
    sw_status status;
    s.reach.ends = calloc(room, sizeof *s.reach.ends);
    *forcing = (sw_forcing_ends){calloc(room, sizeof *forcing->items), 0};
    if (alone && s.without && s.reach.ends && forcing->items)
        status = search_all(&s, reach, alone);
    else
        status = sw_fail_memory(error);
    free(s.reach.ends);
    free(s.without);
    free(alone);
    return status;
}
