/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A tank whose solution goes round is a blend: old solution, fresh water, and
 * additions.  Where the old solution brings too much, the largest share of it
 * that meets every target is one end of the range of a mix of waters.  Where
 * none does, the same is asked of as many of the targets as can be met.
 */
#include "decide/renew.h"

#include "assess/verdict.h"
#include "quantity/status.h"
#include "records/targets.h"
#include "table_words.h"
#include "table_refusals.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Kept below the largest share by this, so that rounding breaks no limit. */
static const double inside = 1e-7;

/* Of a max, what is added beyond it. */
static const double worth_a_word = 0.01;

/* Of a search repeated. */
enum { MOST_TURNS = 24 };

static sw_status check(const sw_problem *problem, double held, sw_error *error)
{
    if (problem->water_count != 2 || problem->fractions)
        return sw_fail(error, SW_BAD_RENEW_WATERS);
    if (!(held > 0.0 && held <= 1.0))
        return sw_fail(error, SW_BAD_TANK_LEVEL, held);
    return SW_OK;
}

/* Every verdict but that on EC. */
static bool all_met(const sw_assessment *a)
{
    for (size_t i = 0; i < sw_row_count(a); i++) {
        sw_row row = sw_row_at(a, i);
        bool fails = row.kind == SW_TARGET_COMPONENT ? sw_is_missed(row.verdict)
                                                     : row.verdict != SW_MET;
        if (fails && row.kind != SW_TARGET_EC)
            return false;
    }
    return true;
}

/* A renewal under way. */
typedef struct renewing {
    sw_solver *solver;
    sw_problem at;       /* with the shares in hand */
    double fractions[2]; /* of the filled tank: old solution, fresh water */
    double held;
    sw_problem over_range; /* its shares are free over these: */
    sw_content range[2];   /* all of the old solution kept, and none: every tank
                              that can be is a mix of them */
    sw_renewal *out;
    sw_error *error;
} renewing;

static void keep(renewing *r, double kept)
{
    r->fractions[0] = kept;
    r->fractions[1] = 1.0 - kept;
    r->out->kept = kept;
    r->out->drained = 1.0 - kept / r->held;
}

static sw_status assess(const renewing *r, sw_assessment **assessment)
{
    sw_mix mix = {.water = &r->out->solution->water,
                  .target = r->at.target,
                  .shelf = r->at.shelf,
                  .recipe = &r->out->solution->recipe,
                  .conditions = r->at.conditions,
                  .brief = true};
    return sw_assess(&mix, assessment, r->error);
}

/*
 * The recipe beside a share of old solution, into the renewal; *met says
 * whether it meets every target.
 */
static sw_status solve(renewing *r, double kept, bool keep_bands, bool *met)
{
    sw_assessment *assessment;
    sw_problem problem = r->at;
    problem.keep_bands = keep_bands;
    sw_solution_free(r->out->solution);
    keep(r, kept);
    *met = false;
    sw_status status =
        sw_formulate(r->solver, &problem, &r->out->solution, r->error);
    if (status != SW_OK)
        return status;
    r->out->outcome = r->out->solution->outcome;
    if (!r->out->solution->recipe.count)
        return SW_OK;
    status = assess(r, &assessment);
    *met = status == SW_OK && all_met(assessment);
    sw_assessment_free(assessment);
    return status;
}

/* ---- Where some target cannot be met ------------------------------------ */

/* What is added to it, where that is worth a word. */
static void say_fresh_water(const renewing *r, const sw_target_row *row,
                            const sw_reach_end *end, sw_unreached *u)
{
    double fresh = r->at.waters[1].amount[row->component];
    double added = u->finished - r->out->solution->water.amount[row->component];
    snprintf(u->reason, sizeof u->reason, SW_SAY_UNMET_BY_FRESH_WATER,
             r->at.waters[0].amount[row->component], fresh);
    size_t at = strlen(u->reason);
    if (added > worth_a_word * end->accepted)
        snprintf(u->reason + at, sizeof u->reason - at, SW_SAY_UNMET_AND_ADDED,
                 added);
}

static void say_why(const renewing *r, const sw_reach_end *end, bool alone,
                    sw_unreached *u)
{
    const sw_target_row *row = &r->at.target->rows[end->row];
    double old = r->at.waters[0].amount[row->component];
    double fresh = r->at.waters[1].amount[row->component];
    if (alone)
        snprintf(u->reason, sizeof u->reason, SW_SAY_UNMET_BESIDE_OTHERS);
    else if (row->kind != SW_TARGET_COMPONENT)
        snprintf(u->reason, sizeof u->reason, SW_SAY_UNMET_BY_SHELF);
    else if (end->end == SW_SIDE_MAX && fmin(old, fresh) > end->accepted)
        say_fresh_water(r, row, end, u);
    else if (end->end == SW_SIDE_MAX)
        snprintf(u->reason, sizeof u->reason, SW_SAY_UNMET_BY_RATES);
    else
        snprintf(u->reason, sizeof u->reason, SW_SAY_UNMET_SHORT, old, fresh,
                 sw_shelf_brings(r->at.shelf, row->component)
                     ? SW_SAY_UNMET_SHORT_USED
                     : SW_SAY_UNMET_SHORT_NONE);
}

/* Into u->finished; answers whether the end is met. */
static bool judge_end(const sw_assessment *a, const sw_target_row *row,
                      sw_unreached *u)
{
    bool is_max = u->limit.end == SW_SIDE_MAX;
    sw_band side = {is_max ? -INFINITY : u->limit.bound,
                    is_max ? u->limit.bound : INFINITY};
    const double *finished = a->finished.amount;
    u->finished = sw_finished_of(row, a);
    sw_verdict verdict =
        row->kind == SW_TARGET_RATIO
            ? sw_band_judge_ratio(&side, finished[row->component],
                                  finished[row->other])
            : sw_band_judge(&side, u->finished);
    return verdict != SW_SHORT && verdict != SW_OVER;
}

/* Whether any mix keeps this end, were it alone. */
static sw_status reach_alone(sw_reach *reach, const sw_reach_end *end,
                             bool *reached)
{
    double share;
    sw_reach_end *ends = reach->ends;
    size_t count = reach->count;
    bool wide = reach->wide;
    sw_reach_end alone = *end;
    alone.kept = true;
    reach->ends = &alone;
    reach->count = 1;
    reach->wide = false;
    sw_status status = sw_reach_highest(reach, &share);
    *reached = !isnan(share);
    reach->ends = ends;
    reach->count = count;
    reach->wide = wide;
    return status;
}

/* What the recipe happens to meet all the same is not told. */
static sw_status tell_end(const renewing *r, sw_reach *reach,
                          const sw_reach_end *end, const sw_assessment *a)
{
    bool alone = end->kept;
    const sw_target_row *row = &r->at.target->rows[end->row];
    double stands = sw_reach_bound(reach, end, r->out->kept / r->held);
    sw_unreached *u = &r->out->unreached[r->out->unreached_count];
    *u = (sw_unreached){.limit = sw_reach_limit(reach, end, end->accepted),
                        .within_error = end->kept && stands > end->accepted};
    if (judge_end(a, row, u))
        return SW_OK;
    r->out->unreached_count++;
    if (u->within_error) {
        snprintf(u->reason, sizeof u->reason, SW_SAY_UNMET_WITHIN_ERROR);
        return SW_OK;
    }
    r->out->outcome = SW_CONFLICT;
    sw_status status = SW_OK;
    if (row->kind != SW_TARGET_PH || !end->kept) /* that may be a limit the
                                                    cheapest is left with */
        status = reach_alone(reach, end, &alone);
    say_why(r, end, alone, u);
    return status;
}

static sw_status tell_unreached(renewing *r, sw_reach *reach)
{
    sw_assessment *a;
    r->out->unreached = calloc(reach->count + 1, sizeof *r->out->unreached);
    if (!r->out->unreached)
        return sw_fail_memory(r->error);
    sw_status status = assess(r, &a);
    for (size_t i = 0; i < reach->count && status == SW_OK; i++)
        status = tell_end(r, reach, &reach->ends[i], a);
    sw_assessment_free(a);
    return status;
}

/* The recipe of the ends kept; *found says whether there is one. */
static sw_status solve_kept(renewing *r, sw_reach *reach, double kept,
                            bool *found)
{
    sw_solution *solution;
    keep(r, kept);
    sw_status status = sw_reach_solve(reach, &r->at, &solution);
    *found = status == SW_OK && solution->recipe.count > 0;
    if (*found) {
        sw_solution_free(r->out->solution);
        r->out->solution = solution;
    } else {
        sw_solution_free(solution);
    }
    return status;
}

/* At a share, or just beside it, where it is a single one. */
static sw_status solve_near(renewing *r, sw_reach *reach, double at,
                            bool *found)
{
    const double beside[] = {1.0 - inside, 1.0, 1.0 + inside};
    sw_status status = sw_reach_measure(reach, at);
    for (size_t i = 0; i < 3 && !*found && status == SW_OK; i++) {
        double share = at * r->held * beside[i];
        if (at >= 1.0 - inside) /* all that is held */
            share = r->held;
        status = solve_kept(r, reach, fmin(share, r->held), found);
    }
    return status;
}

/* Where anything is drained, a little more, unless that keeps less. */
static sw_status solve_below(renewing *r, sw_reach *reach, bool *found)
{
    sw_status status = SW_OK;
    *found = false;
    if (reach->share < 1.0 - inside)
        status = solve_near(r, reach, fmax(reach->share - SW_LEAST_DRAINED, 0),
                            found);
    return status == SW_OK && !*found
               ? solve_near(r, reach, reach->share, found)
               : status;
}

/*
 * The largest set that some share keeps, at the highest that does.  At that
 * share the closest recipe may be nearer in what is given up than the mix of
 * closest recipes that bounds it; where the set then has no recipe, the search
 * is repeated with bounds through that one.
 */
static sw_status search(renewing *r, sw_reach *reach, bool *done)
{
    sw_status status = sw_reach_measure(reach, 0.0);
    for (int turn = 0; turn < MOST_TURNS && !*done && status == SW_OK; turn++) {
        reach->repeats = turn > 0;
        status = sw_reach_most(reach);
        if (status == SW_OK && reach->share < 1.0 - inside)
            status = sw_reach_widen(reach);
        if (status != SW_OK || isnan(reach->share))
            return status;
        status = solve_below(r, reach, done);
    }
    reach->repeats = false;
    return status;
}

/* As many targets as can be met, the rest as near as can be; *done where that
 * has a recipe. */
static sw_status meet_most(renewing *r, bool *done)
{
    sw_reach reach;
    *done = false;
    sw_status status =
        sw_reach_open(r->solver, &r->over_range, r->held, &reach, r->error);
    if (status == SW_OK)
        status = search(r, &reach, done);
    if (status == SW_OK && *done && r->out->kept < r->held)
        status = sw_forcing_find(&reach, r->out);
    if (status == SW_OK && *done) {
        r->out->outcome = SW_OPTIMAL;
        status = tell_unreached(r, &reach);
    }
    sw_reach_close(&reach);
    return status;
}

/* The closest recipe with nothing drained, whatever it misses. */
static sw_status come_close(renewing *r)
{
    bool met;
    sw_reach reach;
    sw_status status = solve(r, r->held, false, &met);
    if (status != SW_OK || met || !r->out->solution->recipe.count)
        return status;
    status =
        sw_reach_open(r->solver, &r->over_range, r->held, &reach, r->error);
    if (status == SW_OK)
        status = tell_unreached(r, &reach);
    sw_reach_close(&reach);
    return status;
}

/* Where the alkalinity of either is not known, nor is the share to drain. */
static sw_status look_for_unknown(renewing *r)
{
    sw_problem both = r->at;
    both.fractions = NULL;
    if (sw_co2_is_known(&both.waters[0]) && sw_co2_is_known(&both.waters[1]))
        return SW_OK;
    sw_status status =
        sw_formulate(r->solver, &both, &r->out->solution, r->error);
    if (status != SW_OK || r->out->solution->outcome != SW_UNDETERMINED)
        return status;
    r->out->outcome = SW_UNDETERMINED;
    r->out->kept = r->out->drained = NAN;
    return SW_OK;
}

static sw_status renew(renewing *r)
{
    bool met;
    sw_status status = look_for_unknown(r);
    if (status != SW_OK || r->out->outcome == SW_UNDETERMINED)
        return status;
    status = solve(r, r->held, false, &met);
    if (status == SW_OK && !met)
        status = solve(r, r->held, true, &met);
    if (status == SW_OK && !met)
        status = meet_most(r, &met);
    if (status != SW_OK || met)
        return status;
    status = come_close(r);
    if (r->out->outcome == SW_OPTIMAL)
        r->out->outcome = SW_CONFLICT;
    return status;
}

/* What alone forces the draining holds the recipe back, though at the share
 * kept the solve may find it at no price: another binds at the same point. */
static sw_status hold_back(sw_solution *solution, const sw_limit *by,
                           sw_error *error)
{
    for (size_t i = 0; i < solution->within_count; i++) {
        sw_limit *limit = &solution->within[i];
        if (limit->binds || limit->kind != by->kind ||
            limit->index != by->index || limit->end != by->end)
            continue;
        size_t size = (solution->limit_count + 1) * sizeof *limit;
        sw_limit *grown = realloc(solution->limits, size);
        if (!grown)
            return sw_fail_memory(error);
        limit->binds = true;
        grown[solution->limit_count++] = *limit;
        solution->limits = grown;
    }
    return SW_OK;
}

static sw_status hold_what_forces(renewing *r)
{
    const sw_renewal *out = r->out;
    sw_status status = SW_OK;
    for (size_t i = 0; i < out->forcing_count && status == SW_OK; i++)
        if (out->forcing[i].drained_alone < out->drained - SW_LEAST_DRAINED)
            status = hold_back(out->solution, &out->forcing[i].limit, r->error);
    return status;
}

sw_status sw_renew(sw_solver *solver, const sw_problem *problem, double held,
                   sw_renewal **renewal, sw_error *error)
{
    SW_REQUIRE_FOR(renewal, error, solver, sw_whole_problem(problem));
    sw_status status = check(problem, held, error);
    if (status != SW_OK)
        return status;
    sw_renewal *made = calloc(1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    renewing r = {.solver = solver,
                  .at = *problem,
                  .held = held,
                  .over_range = *problem,
                  .out = made,
                  .error = error};
    const double all[2] = {held, 1.0 - held};
    sw_content_add_waters(&r.range[0], problem->waters, all, 2);
    r.range[1] = problem->waters[1];
    r.over_range.waters = r.range;
    r.at.fractions = r.fractions;
    r.at.ratios_yield = r.over_range.ratios_yield = false; /* it lets out */
    r.at.ratios_judged = r.over_range.ratios_judged = true;
    r.at.bands_unsaid = true; /* the outcome says so */
    status = renew(&r);
    if (status == SW_OK)
        status = hold_what_forces(&r);
    SW_GIVE(status, renewal, made, sw_renewal_free);
}

void sw_renewal_free(sw_renewal *renewal)
{
    if (!renewal)
        return;
    sw_solution_free(renewal->solution);
    SW_FREE(renewal->unreached, renewal->forcing, renewal);
}
