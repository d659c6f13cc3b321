/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What holds the share of the old solution down.  The ends of the targets are
 * given up one at a time, and the largest share is solved for again; the one
 * that gains most stays out, and so on until all of it may stay.  Where two
 * ends stop at the same share neither gains alone: then a set that gains is
 * thinned, end by end, until each of it is needed (deletion filter: Chinneck
 * J.W. & Dravnieks E.W. 1991, ORSA J. Comput. 3:157-168).
 */
#include "decide/renew.h"

#include "quantity/status.h"
#include "quantity/ties.h"

#include <math.h>
#include <stdlib.h>

/* Below the highest share by this, so that rounding breaks no end; and how near
 * to its bound, relative to it, an end may bind. */
static const double inside = 1e-6, near = 1e-2;
/* Of what is drained: to drain less by no more than this is no reason to change
 * a limit (common practice, no source). */
static const double worth_a_reason = 1e-2;

/* A search under way; arrays of one item an end. */
typedef struct search {
    sw_reach *reach; /* ends given up are not kept, until it is over */
    sw_renewal *out;
    double *without; /* the share without it, on the step in hand */
    double *alone;   /* the same on the first */
    bool *set;
} search;

static bool gains(double from, double share)
{
    return share - from > fmax(SW_LEAST_DRAINED, worth_a_reason * (1.0 - from));
}

static double kept_of(double share)
{
    return share > 1.0 - SW_LEAST_DRAINED ? share
                                          : fmax(share - SW_LEAST_DRAINED, 0.0);
}

/* `from`: the share with it; `together`: that without it and all before it,
 * NaN: it is no part of the way to all of the first water. */
static void tell(search *s, size_t at, double from, double together)
{
    const sw_reach_end *end = &s->reach->ends[at];
    const sw_problem *problem = s->reach->problem;
    const sw_target_row *row = &problem->target->rows[end->row];
    double bound = sw_reach_bound(s->reach, end, from);
    double alone = kept_of(fmin(s->alone[at], 1.0));
    double share = isnan(together) ? alone : kept_of(fmin(together, 1.0));
    sw_forcing *made = &s->out->forcing[s->out->forcing_count++];
    *made =
        (sw_forcing){.limit = sw_reach_limit(s->reach, end, bound),
                     .drained_alone = 1.0 - alone,
                     .drained_together = isnan(together) ? NAN : 1.0 - share,
                     .brought = NAN};
    if (row->kind == SW_TARGET_COMPONENT && end->end == SW_SIDE_MAX)
        made->brought =
            share * problem->waters[0].amount[row->component] +
            (1.0 - share) * problem->waters[1].amount[row->component];
}

/*
 * Shares and recipes that keep the ends are convex.  Where a recipe just below
 * the highest share leaves room to an end, the way from there to one that
 * breaks it is open for a part of its length, so giving it up gains next to
 * nothing.  A pH and a bound of 0 are always tried.
 */
static bool may_bind(const search *s, const sw_reach_end *end, double share,
                     const sw_content *finished)
{
    const sw_target_row *row = &s->reach->problem->target->rows[end->row];
    double bound = sw_reach_bound(s->reach, end, share);
    if (row->kind == SW_TARGET_PH || bound <= 0.0)
        return true;
    if (row->kind == SW_TARGET_RATIO)
        bound *= finished->amount[row->other];
    return fabs(finished->amount[row->component] - bound) <= near * bound;
}

/* The share without each of those kept that may bind; NaN for the others.
 * Where there is no recipe to tell, each has to be tried. */
static sw_status try_each(search *s)
{
    bool found;
    sw_content finished;
    double share = s->reach->share * (1.0 - inside);
    const double fractions[2] = {share, 1.0 - share};
    sw_problem at = *s->reach->problem;
    at.fractions = fractions;
    sw_status status = sw_reach_closest(s->reach, &at, &found, &finished);
    for (size_t i = 0; i < s->reach->count && status == SW_OK; i++) {
        sw_reach_end *end = &s->reach->ends[i];
        s->without[i] = NAN;
        if (!end->kept || (found && !may_bind(s, end, share, &finished)))
            continue;
        end->kept = false;
        status = sw_reach_highest(s->reach, &s->without[i]);
        end->kept = true;
    }
    return status;
}

/* What gains most; of those that gain alike, what has gathered (a max) before
 * what is short, then the first. */
static size_t best_of(const search *s)
{
    size_t best = sw_first_most(s->without, s->reach->count);
    for (size_t i = best; i < s->reach->count; i++)
        if (s->reach->ends[i].end == SW_SIDE_MAX && !isnan(s->without[i]) &&
            !sw_is_less(s->without[i], s->without[best], SW_SOLVED))
            return i;
    return best;
}

/* Gives an end up for good. */
static sw_status step(search *s, size_t end)
{
    double share, from = s->reach->share;
    s->reach->ends[end].kept = false;
    sw_status status = sw_reach_highest(s->reach, &share);
    if (status == SW_OK && share > from)
        s->reach->share = share;
    tell(s, end, from, s->reach->share);
    return status;
}

/* Into the set: ends that gain together, none of which can be spared. */
static sw_status thin(search *s, bool *any)
{
    double share;
    sw_reach_end *ends = s->reach->ends;
    for (size_t i = 0; i < s->reach->count; i++) {
        s->set[i] = ends[i].kept;
        ends[i].kept = false;
    }
    sw_status status = sw_reach_highest(s->reach, &share);
    bool gained = gains(s->reach->share, share);
    *any = false;
    for (size_t i = 0; i < s->reach->count && status == SW_OK && gained; i++) {
        if (!s->set[i])
            continue;
        ends[i].kept = true;
        status = sw_reach_highest(s->reach, &share);
        s->set[i] = !gains(s->reach->share, share);
        *any = *any || s->set[i];
        ends[i].kept = !s->set[i]; /* what can be spared */
    }
    return status;
}

static sw_status step_together(search *s, bool *any)
{
    sw_status status = thin(s, any);
    for (size_t i = 0; i < s->reach->count; i++)
        s->reach->ends[i].kept = s->reach->ends[i].kept || s->set[i];
    for (size_t i = 0; i < s->reach->count && status == SW_OK && *any; i++)
        if (s->set[i])
            status = step(s, i);
    return status;
}

/* The way to all of the first water; `alone` is filled on its first step. */
static sw_status climb(search *s)
{
    sw_status status = SW_OK;
    size_t count = s->reach->count;
    bool any = true;
    for (size_t done = 0; status == SW_OK && any && gains(s->reach->share, 1.0);
         done++) {
        status = try_each(s);
        for (size_t i = 0; i < count && done == 0; i++)
            s->alone[i] = fmax(s->without[i], s->reach->share);
        if (status != SW_OK)
            break;
        size_t best = best_of(s);
        bool gains_alone =
            best < count && gains(s->reach->share, s->without[best]);
        status = gains_alone ? step(s, best) : step_together(s, &any);
    }
    return status;
}

/* What gains alone and is still kept. */
static void add_others(search *s, double start)
{
    for (size_t i = 0; i < s->reach->count; i++)
        if (s->reach->ends[i].kept && gains(start, s->alone[i]))
            tell(s, i, start, NAN);
}

sw_status sw_forcing_find(sw_reach *reach, sw_renewal *renewal)
{
    size_t count = reach->count;
    double start = reach->share;
    double *shares = calloc(2 * count + 1, sizeof *shares);
    bool *flags = calloc(2 * count + 1, sizeof *flags);
    renewal->forcing = calloc(count + 1, sizeof *renewal->forcing);
    if (!shares || !flags || !renewal->forcing) {
        SW_FREE(shares, flags);
        return sw_fail_memory(reach->error);
    }
    bool *was = flags + count;
    search s = {reach, renewal, shares, shares + count, flags};
    for (size_t i = 0; i < count; i++)
        was[i] = reach->ends[i].aside = reach->ends[i].kept;
    sw_status status = count ? climb(&s) : SW_OK;
    if (status == SW_OK)
        add_others(&s, start);
    for (size_t i = 0; i < count; i++) {
        reach->ends[i].kept = was[i];
        reach->ends[i].aside = false;
    }
    SW_FREE(shares, flags);
    return status;
}
