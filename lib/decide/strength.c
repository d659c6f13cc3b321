/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * How strong: the factor on a target, or on a recipe, at which the finished
 * solution reads an EC.  It is bracketed by steps, for limits and water may
 * keep it from being reached, and found by Brent's method on formulate and
 * the full equilibrium.
 */
#include "chemistry/equilibrate.h"
#include "chemistry/root.h"
#include "quantity/status.h"
#include "quantity/text.h"
#include "records/targets.h"
#include "table_words.h"
#include "table_refusals.h"

#include <math.h>
#include <stdlib.h>

/* Factors beyond these are no strength any more. */
static const double weakest = 0.01, strongest = 50.0, step = 1.25;
/* Where limits first conflict is found to this. */
enum { HALVINGS = 20 };
/* An EC this near to the one asked for is it; one that grew by less stands. */
static const double same_ec = 1e-4;
static const double factor_tolerance = 1e-9;
/* More than any crop is fed. */
static const double most_ec_ms_per_cm = 20.0;

/* What is asked, and how it went at the factor last tried. */
typedef struct sw_probe {
    double asked_ms_per_cm;
    sw_solver *solver;
    const sw_problem *problem;   /* its target is of strength 1 */
    const sw_stock_setup *setup; /* or NULL */
    const sw_mix *mix; /* a recipe that is given, in place of a problem */
    bool stands;       /* limits conflict, or the solve was cut short */
    bool undetermined; /* for want of an alkalinity */
    char held[320];    /* by what limits: those in conflict, or binding */
} sw_probe;

/* ---- A target of another strength --------------------------------------- */

/* ---- The EC at a factor ------------------------------------------------- */

static sw_status ec_of(const sw_content *per_l, const sw_conditions *conditions,
                       double *ec, sw_error *error)
{
    double unread;
    return sw_read_meters(per_l, 1, conditions, SW_CARBONATE_KEPT, ec, &unread,
                          error);
}

static void keep_limits(sw_probe *probe, const sw_solution *solution)
{
    probe->held[0] = '\0';
    for (size_t i = 0; i < solution->limit_count; i++)
        sw_text_join(probe->held, sizeof probe->held, "; ", "%s",
                     solution->limits[i].name);
}

/* EC of a solution, or of what the stocks deliver of it. */
static sw_status read_ec(sw_probe *probe, const sw_solution *solution,
                         const sw_stock *stock, double *ec, sw_error *error)
{
    sw_content finished = solution->water;
    keep_limits(probe, solution);
    probe->undetermined = solution->outcome == SW_UNDETERMINED;
    probe->stands = solution->outcome != SW_OPTIMAL;
    if (probe->stands)
        return SW_OK;
    if (stock && stock->outcome == SW_OPTIMAL)
        finished = stock->finished;
    else
        sw_content_add_recipe(&finished, 1, probe->problem->shelf,
                              &solution->recipe);
    return ec_of(&finished, &probe->problem->conditions, ec, error);
}

static sw_status solve(sw_probe *probe, double factor, double *ec,
                       sw_error *error)
{
    sw_target *target;
    sw_solution *solution = NULL;
    sw_stock *stock = NULL;
    sw_problem problem = *probe->problem;
    sw_status status = sw_target_scale(problem.target, factor, &target, error);
    problem.target = target;
    if (status == SW_OK && probe->setup && probe->setup->make_up)
        status = sw_stock_formulate(probe->solver, &problem, probe->setup,
                                    &solution, &stock, error);
    else if (status == SW_OK)
        status = sw_formulate(probe->solver, &problem, &solution, error);
    if (status == SW_OK)
        status = read_ec(probe, solution, stock, ec, error);
    sw_stock_free(stock);
    sw_solution_free(solution);
    sw_target_free(target);
    return status;
}

/* NaN where limits leave no solution of that strength. */
static sw_status try_factor(sw_probe *probe, double factor, double *ec,
                            sw_error *error)
{
    *ec = NAN;
    if (!probe->mix)
        return solve(probe, factor, ec, error);
    sw_content finished = *probe->mix->water;
    sw_content_add_recipe(&finished, factor, probe->mix->shelf,
                          probe->mix->recipe);
    return ec_of(&finished, &probe->mix->conditions, ec, error);
}

/* ---- Between which factors ---------------------------------------------- */

typedef struct sw_strong {
    double factor, ec;
} sw_strong;

/* The EC asked for lies between the two; or one of them cannot be passed. */
typedef struct sw_bracket {
    sw_strong low, high;
} sw_bracket;

/* Some factor at which the limits hold: `low`; its EC is NaN if none does. */
static sw_status find_start(sw_probe *probe, sw_bracket *b, sw_error *error)
{
    static const double starts[] = {1.0, 0.7, 0.5, 0.3, 0.15, 1.5, 2.2};
    sw_status status = SW_OK;
    b->low.ec = NAN;
    for (size_t i = 0; status == SW_OK && isnan(b->low.ec) &&
                       i < sizeof starts / sizeof starts[0];
         i++) {
        b->low.factor = starts[i];
        status = try_factor(probe, starts[i], &b->low.ec, error);
    }
    b->high = b->low;
    return status;
}

/*
 * Moves one end up or down, and the other after it, until the EC asked for is
 * passed.  Where limits stand in the way, halves the step before them a few
 * times.
 */
static sw_status walk(sw_probe *probe, bool up, sw_bracket *b, sw_error *error)
{
    sw_strong *front = up ? &b->high : &b->low;
    sw_strong *back = up ? &b->low : &b->high;
    double ratio = up ? step : 1.0 / step;
    sw_status status = SW_OK;
    for (int halvings = 0; status == SW_OK && halvings < HALVINGS;) {
        sw_strong next = {front->factor * ratio, NAN};
        if (up ? front->ec >= probe->asked_ms_per_cm || next.factor > strongest
               : front->ec <= probe->asked_ms_per_cm || next.factor < weakest)
            return SW_OK;
        status = try_factor(probe, next.factor, &next.ec, error);
        if (isnan(next.ec)) {
            ratio = sqrt(ratio);
            halvings++;
            continue;
        }
        *back = *front;
        *front = next;
    }
    return status;
}

static sw_status off_by(double factor, void *context, double *y,
                        sw_error *error)
{
    sw_probe *probe = context;
    double ec;
    sw_status status = try_factor(probe, factor, &ec, error);
    *y = ec - probe->asked_ms_per_cm;
    return status;
}

/* How near it came is judged by the caller. */
static sw_status close_in(sw_probe *probe, const sw_bracket *b,
                          sw_strength *strength, sw_error *error)
{
    sw_error unbracketed;
    sw_search search = {.function = off_by,
                        .context = probe,
                        .low = b->low.factor,
                        .high = b->high.factor,
                        .relative_tolerance = factor_tolerance};
    sw_status status = sw_root_find(&search, &strength->factor, &unbracketed);
    if (status == SW_ERR_NUMERIC) /* limits conflict in between */
        return SW_OK;
    if (status == SW_OK)
        return try_factor(probe, strength->factor, &strength->ec_ms_per_cm,
                          error);
    if (error)
        *error = unbracketed;
    return status;
}

/* ---- Why it is not reached ---------------------------------------------- */

static void say_water(sw_strength *strength)
{
    snprintf(strength->reason, sizeof strength->reason, SW_SAY_EC_OF_WATER,
             strength->water_ms_per_cm);
}

static void say_unreached(const sw_probe *probe, const sw_bracket *b,
                          sw_strength *strength)
{
    double asked = probe->asked_ms_per_cm;
    char *text = strength->reason;
    size_t size = sizeof strength->reason;
    if (probe->undetermined) {
        snprintf(text, size, SW_SAY_EC_UNDETERMINED);
    } else if (isnan(b->low.ec)) {
        snprintf(text, size, SW_SAY_EC_NEVER, probe->held);
    } else if (b->high.ec < asked) {
        strength->ec_ms_per_cm = b->high.ec;
        snprintf(text, size, SW_SAY_EC_HELD, b->high.ec,
                 probe->held[0] ? probe->held : "the shelf");
    } else if (b->low.ec > asked && !probe->stands) {
        strength->ec_ms_per_cm = b->low.ec;
        if (strength->water_ms_per_cm > asked)
            say_water(strength);
        else
            snprintf(text, size, SW_SAY_EC_WEAKEST, b->low.ec);
    } else {
        strength->ec_ms_per_cm = b->low.ec > asked ? b->low.ec : b->high.ec;
        snprintf(text, size, SW_SAY_EC_CONFLICT, strength->ec_ms_per_cm,
                 probe->held);
    }
}

static void aim_ec_row(sw_target *target, double ec)
{
    for (size_t i = 0; i < target->count; i++)
        if (target->rows[i].kind == SW_TARGET_EC &&
            !isnan(target->rows[i].target))
            target->rows[i].target = ec;
}

/* The target's own limits on EC; true when they allow it. */
static bool allows(const sw_target *target, double ec, sw_strength *strength)
{
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        if (row->kind != SW_TARGET_EC || !(ec < row->min || ec > row->max))
            continue;
        snprintf(strength->reason, sizeof strength->reason, SW_SAY_EC_OWN_LIMIT,
                 ec < row->min ? "min" : "max",
                 ec < row->min ? row->min : row->max, target->name, row->line);
        return false;
    }
    return true;
}

/* ---- The strength ------------------------------------------------------- */

static sw_status read_water(const sw_problem *problem, sw_strength *strength,
                            sw_error *error)
{
    sw_content water = {{0}};
    strength->water_ms_per_cm = NAN;
    if (!problem->fractions && problem->water_count != 1)
        return SW_OK;
    sw_content_add_waters(&water, problem->waters, problem->fractions,
                          problem->water_count);
    return ec_of(&water, &problem->conditions, &strength->water_ms_per_cm,
                 error);
}

/* Keeps the scaled target where the EC came out as asked. */
static sw_status conclude(const sw_probe *probe, const sw_bracket *b,
                          sw_strength *strength, sw_error *error)
{
    double asked = probe->asked_ms_per_cm;
    if (!(fabs(strength->ec_ms_per_cm - asked) <= same_ec)) {
        strength->factor = NAN;
        say_unreached(probe, b, strength);
        return SW_OK;
    }
    sw_status status = sw_target_scale(probe->problem->target, strength->factor,
                                       &strength->target, error);
    strength->reached = status == SW_OK;
    if (strength->reached)
        aim_ec_row(strength->target, asked);
    return status;
}

static sw_status seek(sw_probe *probe, sw_strength *strength, sw_error *error)
{
    sw_bracket b = {{NAN, NAN}, {NAN, NAN}};
    double asked = probe->asked_ms_per_cm;
    sw_status status = read_water(probe->problem, strength, error);
    if (status != SW_OK || !allows(probe->problem->target, asked, strength))
        return status;
    status = find_start(probe, &b, error);
    if (status == SW_OK && !isnan(b.low.ec))
        status = walk(probe, b.low.ec < asked, &b, error);
    if (status == SW_OK && b.low.ec <= asked && b.high.ec >= asked)
        status = close_in(probe, &b, strength, error);
    return status == SW_OK ? conclude(probe, &b, strength, error) : status;
}

/* A given recipe, from nothing of it up. */
static sw_status dilute(sw_probe *probe, sw_strength *strength, sw_error *error)
{
    sw_bracket b = {{0.0, NAN}, {1.0, NAN}};
    double asked = probe->asked_ms_per_cm;
    sw_status status = try_factor(probe, 0.0, &b.low.ec, error);
    strength->water_ms_per_cm = strength->ec_ms_per_cm = b.low.ec;
    if (status == SW_OK && b.low.ec > asked) {
        say_water(strength);
        return SW_OK;
    }
    if (status == SW_OK)
        status = try_factor(probe, 1.0, &b.high.ec, error);
    if (status == SW_OK)
        status = walk(probe, true, &b, error);
    if (status == SW_OK && b.high.ec < asked)
        snprintf(strength->reason, sizeof strength->reason, SW_SAY_EC_BEYOND,
                 strongest);
    else if (status == SW_OK)
        status = close_in(probe, &b, strength, error);
    strength->reached = status == SW_OK && !strength->reason[0];
    return status;
}

static sw_status find(sw_probe *probe, sw_strength **strength, sw_error *error)
{
    double ec = probe->asked_ms_per_cm;
    *strength = NULL;
    if (!(ec > 0.0 && ec <= most_ec_ms_per_cm))
        return sw_fail(error, SW_BAD_STRENGTH_EC, ec, most_ec_ms_per_cm);
    sw_strength *made = calloc(1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    made->factor = made->ec_ms_per_cm = NAN;
    sw_status status =
        probe->mix ? dilute(probe, made, error) : seek(probe, made, error);
    SW_GIVE(status, strength, made, sw_strength_free);
}

sw_status sw_strength_find(sw_solver *solver, const sw_problem *problem,
                           const sw_strength_aim *aim, sw_strength **strength,
                           sw_error *error)
{
    SW_REQUIRE_FOR(strength, error, solver, sw_whole_problem(problem), aim);
    sw_probe probe = {.asked_ms_per_cm = aim->ec_ms_per_cm,
                      .solver = solver,
                      .problem = problem,
                      .setup = aim->setup};
    return find(&probe, strength, error);
}

sw_status sw_strength_of_recipe(const sw_mix *mix, double ec_ms_per_cm,
                                sw_strength **strength, sw_error *error)
{
    SW_REQUIRE_FOR(strength, error, sw_whole_mix(mix));
    sw_probe probe = {.asked_ms_per_cm = ec_ms_per_cm, .mix = mix};
    return find(&probe, strength, error);
}

void sw_strength_free(sw_strength *strength)
{
    if (!strength)
        return;
    sw_target_free(strength->target);
    free(strength);
}
