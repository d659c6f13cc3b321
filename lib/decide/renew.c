/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A tank whose solution goes round is a blend: old solution, fresh water, and
 * additions.  Where the old solution brings too much, the largest share of it
 * that meets every target is one end of the range of a mix of waters.  Where
 * none does, the same is asked of as many of the targets as can be met.
 */
#include "assess/verdict.h"
#include "decide/blend.h"
#include "decide/forcing.h"
#include "quantity/status.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Kept below the largest share by this, so that rounding breaks no limit. */
static const double inside = 1e-7;

static sw_status check(const sw_problem *problem, double held, sw_error *error)
{
    if (problem->water_count != 2 || problem->fractions)
        return sw_fail(error, SW_ERR_VALUE,
                       "expected two waters without shares: the solution of "
                       "the tank and the fresh water");
    if (!(held > 0.0 && held <= 1.0))
        return sw_fail(error, SW_ERR_VALUE,
                       "the tank holds %g of what it is filled to; expected "
                       "above 0, at most 1",
                       held);
    return SW_OK;
}

/* Every verdict but that on EC. */
static bool all_met(const sw_assessment *a)
{
    for (size_t i = 0; i < SW_COMPONENT_COUNT; i++)
        if (a->rows[i].verdict == SW_SHORT || a->rows[i].verdict == SW_OVER)
            return false;
    for (size_t i = 0; i < a->measure_count; i++)
        if (a->measures[i].kind != SW_TARGET_EC &&
            a->measures[i].verdict != SW_MET)
            return false;
    return true;
}

static sw_mix mix_of(const sw_problem *problem, const sw_solution *solution)
{
    return (sw_mix){.water = &solution->water,
                    .target = problem->target,
                    .shelf = problem->shelf,
                    .recipe = &solution->recipe,
                    .conditions = problem->conditions};
}

static sw_status judge(const sw_problem *problem, const sw_solution *solution,
                       bool *met, sw_error *error)
{
    sw_assessment *assessment;
    sw_mix mix = mix_of(problem, solution);
    *met = false;
    if (!solution->recipe.count)
        return SW_OK;
    sw_status status = sw_assess(&mix, &assessment, error);
    if (status == SW_OK)
        *met = all_met(assessment);
    sw_assessment_free(assessment);
    return status;
}

/* A renewal under way. */
typedef struct renewing {
    sw_solver *solver;
    sw_problem problem;
    double held;
    sw_content range[2]; /* all of the old solution kept, and none: every tank
                            that can be is a mix of these */
    sw_renewal *out;
    sw_error *error;
} renewing;

static void set_kept(renewing *r, double kept)
{
    r->out->kept = kept;
    r->out->let_out = 1.0 - kept / r->held;
}

/*
 * The recipe beside a share of old solution, into the renewal; *met says
 * whether it meets every target.
 */
static sw_status solve(renewing *r, double kept, bool keep_bands, bool *met)
{
    double fractions[2] = {kept, 1.0 - kept};
    sw_problem problem = r->problem;
    problem.fractions = fractions;
    problem.keep_bands = keep_bands;
    sw_solution_free(r->out->solution);
    set_kept(r, kept);
    *met = false;
    sw_status status =
        sw_formulate(r->solver, &problem, &r->out->solution, r->error);
    if (status != SW_OK)
        return status;
    r->out->outcome = r->out->solution->outcome;
    return judge(&problem, r->out->solution, met, r->error);
}

static sw_problem over_range(const renewing *r)
{
    sw_problem problem = r->problem;
    problem.waters = r->range;
    return problem;
}

/* ---- What forces the letting out ---------------------------------------- */

/* What the waters bring at a share of what is held. */
static double brought_at(const renewing *r, const sw_reach_end *end,
                         double share)
{
    const sw_target_row *row = &r->problem.target->rows[end->row];
    if (row->kind != SW_TARGET_COMPONENT || end->end != SW_SIDE_MAX)
        return NAN;
    return share * r->range[0].amount[row->component] +
           (1.0 - share) * r->range[1].amount[row->component];
}

static sw_forcing forcing_of(const renewing *r, const sw_reach *reach,
                             const sw_forcing_end *found)
{
    const sw_reach_end *end = &reach->ends[found->end];
    double alone = fmin(found->alone, 1.0);
    double together = isnan(found->together) ? NAN : fmin(found->together, 1.0);
    sw_forcing made = {.row = end->row,
                       .is_max = end->end == SW_SIDE_MAX,
                       .by_band = !end->given,
                       .bound = end->bound,
                       .let_out_alone = 1.0 - alone,
                       .let_out_together = 1.0 - together};
    made.brought = brought_at(r, end, isnan(together) ? alone : together);
    sw_reach_name(&r->problem, end, made.name, sizeof made.name);
    return made;
}

/* Of the ends that are kept. */
static sw_status tell_forcing(renewing *r, const sw_reach *reach)
{
    sw_forcing_ends found = {NULL, 0};
    sw_problem range = over_range(r);
    sw_status status =
        sw_forcing_find(r->solver, &range, reach, &found, r->error);
    r->out->forcing = calloc(found.count + 1, sizeof *r->out->forcing);
    if (r->out->forcing)
        for (size_t i = 0; i < found.count && status == SW_OK; i++)
            r->out->forcing[r->out->forcing_count++] =
                forcing_of(r, reach, &found.items[i]);
    else if (status == SW_OK)
        status = sw_fail_memory(r->error);
    free(found.items);
    return status;
}

/* ---- Where some target cannot be met ------------------------------------ */

static bool brings(const sw_shelf *shelf, sw_component component)
{
    for (size_t j = 0; j < shelf->count; j++)
        if (shelf->products[j].per_g.amount[component] > 0.0 &&
            !(shelf->products[j].max_g_per_l <= 0.0))
            return true;
    return false;
}

static void say_why(const renewing *r, const sw_reach_end *end, bool alone,
                    sw_unreached *u)
{
    const sw_target_row *row = &r->problem.target->rows[end->row];
    double old = r->problem.waters[0].amount[row->component];
    double fresh = r->problem.waters[1].amount[row->component];
    if (alone)
        snprintf(u->reason, sizeof u->reason,
                 "with the other targets kept no share of fresh water and no "
                 "addition meets it");
    else if (row->kind != SW_TARGET_COMPONENT)
        snprintf(u->reason, sizeof u->reason,
                 "no share of fresh water brings it there, and no product of "
                 "the shelf");
    else if (end->end == SW_SIDE_MAX && fmin(old, fresh) > end->bound)
        snprintf(u->reason, sizeof u->reason,
                 "the old solution holds %.3g mg/L, and letting it out leads "
                 "to no less than the %.3g of the fresh water",
                 old, fresh);
    else if (end->end == SW_SIDE_MAX)
        snprintf(u->reason, sizeof u->reason,
                 "what the shelf says must be used brings more");
    else
        snprintf(u->reason, sizeof u->reason,
                 "the old solution holds %.3g mg/L and the fresh water %.3g, "
                 "and %s",
                 old, fresh,
                 brings(r->problem.shelf, row->component)
                     ? "what brings it may not be used so much"
                     : "no product of the shelf brings any");
}

/* Into u->finished; answers whether the end is met. */
static bool judge_end(const sw_assessment *a, const sw_target_row *row,
                      sw_unreached *u)
{
    sw_band side = {u->is_max ? -INFINITY : u->bound,
                    u->is_max ? u->bound : INFINITY};
    const double *finished = a->finished.amount;
    u->finished = sw_finished_of(row, a);
    sw_verdict verdict =
        row->kind == SW_TARGET_RATIO
            ? sw_band_judge_ratio(&side, finished[row->component],
                                  finished[row->other])
            : sw_band_judge(&side, u->finished);
    return verdict != SW_SHORT && verdict != SW_OVER;
}

/* What the recipe happens to meet all the same is not told. */
static sw_status tell_end(const renewing *r, const sw_reach_end *end,
                          const sw_assessment *a)
{
    bool alone = false;
    const sw_target_row *row = &r->problem.target->rows[end->row];
    sw_unreached *u = &r->out->unreached[r->out->unreached_count];
    *u = (sw_unreached){.row = end->row,
                        .bound = end->accepted,
                        .is_max = end->end == SW_SIDE_MAX,
                        .within_error = end->bound > end->accepted};
    if (judge_end(a, row, u))
        return SW_OK;
    r->out->unreached_count++;
    sw_reach_end accepted = *end;
    accepted.bound = accepted.accepted;
    sw_reach_name(&r->problem, &accepted, u->name, sizeof u->name);
    if (u->within_error) {
        snprintf(u->reason, sizeof u->reason,
                 "above it by less than the 10 %% that a laboratory can tell, "
                 "so that nothing is drained for it");
        return SW_OK;
    }
    r->out->outcome = SW_CONFLICT;
    sw_problem problem = over_range(r);
    sw_status status = SW_OK;
    if (row->kind ==
        SW_TARGET_PH) /* no limit the cheapest could be left with */
        alone = end->kept;
    else
        status = sw_reach_alone(r->solver, &problem, end, &alone, r->error);
    say_why(r, end, alone, u);
    return status;
}

static sw_status tell_unreached(renewing *r, const sw_reach *reach)
{
    sw_assessment *a;
    sw_mix mix = mix_of(&r->problem, r->out->solution);
    r->out->unreached = calloc(reach->count + 1, sizeof *r->out->unreached);
    if (!r->out->unreached)
        return sw_fail_memory(r->error);
    sw_status status = sw_assess(&mix, &a, r->error);
    for (size_t i = 0; i < reach->count && status == SW_OK; i++)
        status = tell_end(r, &reach->ends[i], a);
    sw_assessment_free(a);
    return status;
}

/* The recipe of the ends kept; *found says whether there is one. */
static sw_status solve_kept(renewing *r, const sw_reach *reach, double kept,
                            bool *found)
{
    double fractions[2] = {kept, 1.0 - kept};
    sw_solution *solution = NULL;
    sw_problem problem = r->problem;
    problem.fractions = fractions;
    sw_status status =
        sw_reach_solve(r->solver, &problem, reach, &solution, r->error);
    *found = status == SW_OK && solution && solution->recipe.count > 0;
    if (!*found) {
        sw_solution_free(solution);
        return status;
    }
    sw_solution_free(r->out->solution);
    r->out->solution = solution;
    set_kept(r, kept);
    return status;
}

/* At the highest share, or just beside it, where it is a single one. */
static sw_status solve_near(renewing *r, const sw_reach *reach, bool *found)
{
    const double beside[] = {1.0 - inside, 1.0, 1.0 + inside};
    sw_status status = SW_OK;
    *found = false;
    for (size_t i = 0; i < 3 && !*found && status == SW_OK; i++) {
        double share = reach->share * r->held * beside[i];
        if (reach->share >= 1.0 - inside) /* all that is held */
            share = r->held;
        status = solve_kept(r, reach, fmin(share, r->held), found);
    }
    return status;
}

/* No further above an accepted range than the share makes it be. */
static sw_status tighten(renewing *r, sw_reach *reach)
{
    bool any, found;
    double kept = r->out->kept;
    double fractions[2] = {kept, 1.0 - kept};
    sw_problem problem = r->problem;
    problem.fractions = fractions;
    sw_status status =
        sw_reach_tighten(r->solver, &problem, reach, &any, r->error);
    if (status == SW_OK && any)
        status = solve_kept(r, reach, kept, &found);
    return status;
}

/* As many targets as can be met, the rest as near as can be; *done where that
 * has a recipe. */
static sw_status meet_most(renewing *r, bool *done)
{
    sw_reach reach;
    sw_problem range = over_range(r);
    *done = false;
    sw_status status = sw_reach_find(r->solver, &range, &reach, r->error);
    if (status == SW_OK && reach.share < 1.0 - inside)
        status = sw_reach_widen(r->solver, &range, &reach, r->error);
    if (status == SW_OK && !isnan(reach.share))
        status = solve_near(r, &reach, done);
    if (status == SW_OK && *done && r->out->kept < r->held)
        status = tell_forcing(r, &reach);
    if (status == SW_OK && *done)
        status = tighten(r, &reach);
    if (status == SW_OK && *done) {
        r->out->outcome = SW_OPTIMAL;
        status = tell_unreached(r, &reach);
    }
    sw_reach_free(&reach);
    return status;
}

/* The closest recipe with nothing let out, whatever it misses. */
static sw_status come_close(renewing *r)
{
    bool met;
    sw_reach reach;
    sw_status status = solve(r, r->held, false, &met);
    if (status != SW_OK || met || !r->out->solution->recipe.count)
        return status;
    status = sw_reach_all(r->problem.target, &reach, r->error);
    if (status == SW_OK)
        status = tell_unreached(r, &reach);
    sw_reach_free(&reach);
    return status;
}

static sw_status renew(renewing *r)
{
    bool met;
    sw_status status = solve(r, r->held, false, &met);
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

/* What alone forces the letting out holds the recipe back, though at the share
 * kept the solve may find it at no price: another binds at the same point. */
static sw_status hold_back(sw_solution *solution, const char *name,
                           sw_error *error)
{
    for (size_t i = 0; i < solution->within_count; i++) {
        sw_limit *limit = &solution->within[i];
        if (limit->binds || strcmp(limit->name, name) != 0)
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
        if (out->forcing[i].let_out_alone < out->let_out - SW_FORCING_WORTH)
            status = hold_back(out->solution, out->forcing[i].name, r->error);
    return status;
}

/* That bands were limits goes without saying: the outcome says so. */
static void drop_band_notes(sw_notes *notes)
{
    size_t kept = 0;
    for (size_t i = 0; i < notes->count; i++)
        if (strcmp(notes->items[i].code, "band-as-limit") != 0)
            notes->items[kept++] = notes->items[i];
    notes->count = kept;
}

sw_status sw_renew(sw_solver *solver, const sw_problem *problem, double held,
                   sw_renewal **renewal, sw_error *error)
{
    *renewal = NULL;
    sw_status status = check(problem, held, error);
    if (status != SW_OK)
        return status;
    sw_renewal *made = calloc(1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    renewing r = {.solver = solver,
                  .problem = *problem,
                  .held = held,
                  .out = made,
                  .error = error};
    const double all[2] = {held, 1.0 - held};
    sw_content_add_waters(&r.range[0], problem->waters, all, 2);
    r.range[1] = problem->waters[1];
    status = renew(&r);
    if (status == SW_OK)
        status = hold_what_forces(&r);
    if (status != SW_OK) {
        sw_renewal_free(made);
        return status;
    }
    drop_band_notes(&made->solution->notes);
    *renewal = made;
    return status;
}

void sw_renewal_free(sw_renewal *renewal)
{
    if (!renewal)
        return;
    sw_solution_free(renewal->solution);
    free(renewal->unreached);
    free(renewal->forcing);
    free(renewal);
}
