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
#include "records/target_copy.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Factors beyond these are no strength any more. */
static const double weakest = 0.01;
static const double strongest = 50.0;
static const double step = 1.25;
/* Where limits first conflict is found to this. */
enum { HALVINGS = 20 };
/* An EC this near to the one asked for is it; one that grew by less stands. */
static const double same_ec = 1e-4;
static const double factor_tolerance = 1e-9;
/* More than any crop is fed. */
static const double most_ec_ms_per_cm = 20.0;

/* What is asked, and how it went at the factor last tried. */
typedef struct sw_probe {
    sw_solver *solver;
    sw_problem problem; /* its target is of strength 1 */
    const sw_strength_aim *aim;
    bool stands;    /* limits conflict, or the solve was cut short */
    char held[320]; /* by what limits: those in conflict, or binding */
} sw_probe;

/* A crop that is fed more takes no more of these. */
static bool harms_in_excess(sw_component component)
{
    return component == SW_NH4_N || sw_component_is(component, SW_IS_CAPPED);
}

static void scale_row(sw_target_row *row, double factor)
{
    row->target *= factor;
    row->min *= factor;
    if (!harms_in_excess(row->component)) {
        row->max *= factor;
        return;
    }
    if (row->target > row->max)
        row->target = row->max;
    if (row->min > row->max)
        row->min = row->max;
}

sw_status sw_target_scale(const sw_target *target, double factor,
                          sw_target **scaled, sw_error *error)
{
    *scaled = NULL;
    if (!(factor > 0.0) || !isfinite(factor))
        return sw_fail(
            error, SW_ERR_VALUE,
            "a strength of %g times the target, expected more than 0", factor);
    sw_target *copy = sw_target_copy(target);
    if (!copy)
        return sw_fail_memory(error);
    for (size_t i = 0; i < copy->count; i++) {
        sw_target_row *row = &copy->rows[i];
        if (row->kind != SW_TARGET_COMPONENT || !(row->target > 0.0))
            continue;
        scale_row(row, factor);
    }
    *scaled = copy;
    return SW_OK;
}

static sw_status ec_of(const sw_content *per_l, const sw_conditions *conditions,
                       double *ec, sw_error *error)
{
    sw_chemistry chemistry = {.ec_ms_per_cm = NAN};
    sw_status status = sw_equilibrate_briefly(
        per_l, conditions, SW_CARBONATE_KEPT, &chemistry, error);
    *ec = chemistry.ec_ms_per_cm;
    return status;
}

static void keep_limits(sw_probe *probe, const sw_solution *solution)
{
    probe->held[0] = '\0';
    for (size_t i = 0; i < solution->limit_count; i++) {
        size_t used = strlen(probe->held);
        snprintf(probe->held + used, sizeof probe->held - used, "%s%s",
                 i ? "; " : "", solution->limits[i].name);
    }
}

/* EC of a solution, or of what the stocks deliver of it. */
static sw_status read_ec(sw_probe *probe, const sw_solution *solution,
                         const sw_stock *stock, double *ec, sw_error *error)
{
    sw_content finished = solution->water;
    keep_limits(probe, solution);
    probe->stands = solution->outcome != SW_OPTIMAL;
    *ec = NAN;
    if (probe->stands)
        return SW_OK;
    if (stock && stock->outcome == SW_OPTIMAL)
        finished = stock->finished;
    else
        sw_content_add_recipe(&finished, 1, probe->problem.shelf,
                              &solution->recipe);
    return ec_of(&finished, &probe->problem.conditions, ec, error);
}

/* The solution at a factor; *ec is NaN where there is none. */
static sw_status try_factor(sw_probe *probe, double factor, double *ec,
                            sw_error *error)
{
    sw_target *target = NULL;
    sw_solution *solution = NULL;
    sw_stock *stock = NULL;
    sw_problem problem = probe->problem;
    sw_status status = sw_target_scale(problem.target, factor, &target, error);
    if (status != SW_OK)
        return status;
    problem.target = target;
    if (probe->aim->setup && probe->aim->setup->make_up)
        status = sw_stock_formulate(&problem, probe->aim->setup, &solution,
                                    &stock, error);
    else
        status = sw_formulate(probe->solver, &problem, &solution, error);
    if (status == SW_OK)
        status = read_ec(probe, solution, stock, ec, error);
    sw_stock_free(stock);
    sw_solution_free(solution);
    sw_target_free(target);
    return status;
}

/* Two factors with the EC asked for between them; or `high` cannot be had. */
typedef struct sw_bracket {
    double low, low_ec;
    double high, high_ec;
} sw_bracket;

/* Some factor at which the limits hold: `low`; its EC is NaN if none does. */
static sw_status find_start(sw_probe *probe, sw_bracket *b, sw_error *error)
{
    static const double starts[] = {1.0, 0.7, 0.5, 0.3, 0.15, 1.5, 2.2};
    sw_status status = SW_OK;
    b->low_ec = NAN;
    for (size_t i = 0; status == SW_OK && isnan(b->low_ec) &&
                       i < sizeof starts / sizeof starts[0];
         i++) {
        b->low = starts[i];
        status = try_factor(probe, b->low, &b->low_ec, error);
    }
    b->high = b->low;
    b->high_ec = b->low_ec;
    return status;
}

/*
 * Moves `from` up or down until the EC asked for is passed.  Where limits
 * stand in the way, halves the step before them a few times.
 */
static sw_status walk(sw_probe *probe, bool up, sw_bracket *b, sw_error *error)
{
    double ratio = up ? step : 1.0 / step;
    int halvings = 0;
    sw_status status = SW_OK;
    while (status == SW_OK && halvings < HALVINGS) {
        double *from = up ? &b->high : &b->low;
        double *ec = up ? &b->high_ec : &b->low_ec;
        double next = *from * ratio;
        double next_ec = NAN;
        if (up ? *ec >= probe->aim->ec_ms_per_cm || next > strongest
               : *ec <= probe->aim->ec_ms_per_cm || next < weakest)
            return SW_OK;
        status = try_factor(probe, next, &next_ec, error);
        if (isnan(next_ec)) {
            ratio = sqrt(ratio);
            halvings++;
            continue;
        }
        if (up)
            b->low = b->high, b->low_ec = b->high_ec;
        else
            b->high = b->low, b->high_ec = b->low_ec;
        *from = next;
        *ec = next_ec;
    }
    return status;
}

static sw_status off_by(double factor, void *context, double *y,
                        sw_error *error)
{
    sw_probe *probe = context;
    double ec = NAN;
    sw_status status = try_factor(probe, factor, &ec, error);
    *y = ec - probe->aim->ec_ms_per_cm;
    return status;
}

/* Between the brackets; how near it came is judged by the caller. */
static sw_status close_in(sw_probe *probe, const sw_bracket *b,
                          sw_strength *strength, sw_error *error)
{
    sw_error ignored;
    sw_search search = {.function = off_by,
                        .context = probe,
                        .low = b->low,
                        .high = b->high,
                        .relative_tolerance = factor_tolerance};
    sw_status status = sw_root_find(&search, &strength->factor, &ignored);
    if (status == SW_ERR_NUMERIC) /* limits conflict in between */
        return SW_OK;
    if (status != SW_OK) {
        if (error)
            *error = ignored;
        return status;
    }
    return try_factor(probe, strength->factor, &strength->ec_ms_per_cm, error);
}

static void say_water(sw_strength *strength)
{
    snprintf(strength->reason, sizeof strength->reason,
             "the water alone reads %.2f mS/cm: nothing that is added makes it "
             "less; blend it with purified water",
             strength->water_ms_per_cm);
}

static void say_unreached(const sw_probe *probe, const sw_bracket *b,
                          sw_strength *strength)
{
    double asked = probe->aim->ec_ms_per_cm;
    char *text = strength->reason;
    size_t size = sizeof strength->reason;
    if (isnan(b->low_ec)) {
        snprintf(text, size,
                 "at no strength of this target can all limits hold: %s",
                 probe->held);
    } else if (b->high_ec < asked) {
        strength->ec_ms_per_cm = b->high_ec;
        snprintf(text, size,
                 "no more than %.2f mS/cm can be reached; what holds it "
                 "there: %s",
                 b->high_ec, probe->held[0] ? probe->held : "the shelf");
    } else if (b->low_ec > asked && !probe->stands) {
        strength->ec_ms_per_cm = b->low_ec;
        if (strength->water_ms_per_cm > asked)
            say_water(strength);
        else
            snprintf(text, size,
                     "with what the pH and the limits take the weakest "
                     "solution in this water reads %.3f mS/cm",
                     b->low_ec);
    } else {
        strength->ec_ms_per_cm = b->low_ec > asked ? b->low_ec : b->high_ec;
        snprintf(text, size,
                 "at %.2f mS/cm it comes to a stop where limits conflict: %s",
                 strength->ec_ms_per_cm, probe->held);
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
        snprintf(strength->reason, sizeof strength->reason,
                 "the target's own limit is EC %s %g (%s line %lu)",
                 ec < row->min ? "min" : "max",
                 ec < row->min ? row->min : row->max, target->name, row->line);
        return false;
    }
    return true;
}

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
    double asked = probe->aim->ec_ms_per_cm;
    if (!(fabs(strength->ec_ms_per_cm - asked) <= same_ec)) {
        strength->factor = NAN;
        say_unreached(probe, b, strength);
        return SW_OK;
    }
    sw_status status = sw_target_scale(probe->problem.target, strength->factor,
                                       &strength->target, error);
    strength->reached = strength->target != NULL;
    if (strength->reached)
        aim_ec_row(strength->target, asked);
    return status;
}

static sw_status seek(sw_probe *probe, sw_strength *strength, sw_error *error)
{
    sw_bracket b = {NAN, NAN, NAN, NAN};
    double asked = probe->aim->ec_ms_per_cm;
    sw_status status = read_water(&probe->problem, strength, error);
    strength->factor = strength->ec_ms_per_cm = NAN;
    if (status != SW_OK || !allows(probe->problem.target, asked, strength))
        return status;
    status = find_start(probe, &b, error);
    if (status == SW_OK && !isnan(b.low_ec))
        status = walk(probe, b.low_ec < asked, &b, error);
    if (status == SW_OK && b.low_ec <= asked && b.high_ec >= asked)
        status = close_in(probe, &b, strength, error);
    return status == SW_OK ? conclude(probe, &b, strength, error) : status;
}

static sw_status check_ec(double ec, sw_error *error)
{
    if (ec > 0.0 && ec <= most_ec_ms_per_cm)
        return SW_OK;
    return sw_fail(error, SW_ERR_VALUE,
                   "an EC of %g mS/cm, expected more than 0 and at most %g, "
                   "such as 1.8",
                   ec, most_ec_ms_per_cm);
}

sw_status sw_strength_find(sw_solver *solver, const sw_problem *problem,
                           const sw_strength_aim *aim, sw_strength **strength,
                           sw_error *error)
{
    sw_probe probe = {.solver = solver, .problem = *problem, .aim = aim};
    *strength = NULL;
    sw_status status = check_ec(aim->ec_ms_per_cm, error);
    if (status != SW_OK)
        return status;
    sw_strength *made = calloc(1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    status = seek(&probe, made, error);
    if (status == SW_OK)
        *strength = made;
    else
        sw_strength_free(made);
    return status;
}

/* ---- A recipe that is given -------------------------------------------- */

typedef struct sw_dilution {
    const sw_mix *mix;
    double ec_ms_per_cm;
} sw_dilution;

static sw_status recipe_off_by(double factor, void *context, double *y,
                               sw_error *error)
{
    const sw_dilution *d = context;
    sw_content finished = *d->mix->water;
    double ec = NAN;
    sw_content_add_recipe(&finished, factor, d->mix->shelf, d->mix->recipe);
    sw_status status = ec_of(&finished, &d->mix->conditions, &ec, error);
    *y = ec - d->ec_ms_per_cm;
    return status;
}

/* Doubles the recipe until it reads more than is asked; *high is 0 if never. */
static sw_status double_up(sw_dilution *d, double *high, sw_error *error)
{
    double off = -1.0;
    for (*high = 1.0; *high <= strongest; *high *= 2.0) {
        sw_status status = recipe_off_by(*high, d, &off, error);
        if (status != SW_OK || off >= 0.0)
            return status;
    }
    *high = 0.0;
    return SW_OK;
}

static sw_status dilute(sw_dilution *d, sw_strength *strength, sw_error *error)
{
    double high = 0.0;
    double off = NAN;
    sw_search search = {.function = recipe_off_by,
                        .context = d,
                        .relative_tolerance = factor_tolerance};
    sw_status status = recipe_off_by(0.0, d, &off, error);
    strength->water_ms_per_cm = strength->ec_ms_per_cm = off + d->ec_ms_per_cm;
    strength->factor = NAN;
    if (status == SW_OK && off > 0.0) {
        say_water(strength);
        return SW_OK;
    }
    if (status == SW_OK)
        status = double_up(d, &high, error);
    if (status == SW_OK && high == 0.0) {
        snprintf(strength->reason, sizeof strength->reason,
                 "even %g times these amounts do not reach it", strongest);
        return SW_OK;
    }
    search.high = high;
    if (status == SW_OK)
        status = sw_root_find(&search, &strength->factor, error);
    if (status == SW_OK)
        status = recipe_off_by(strength->factor, d, &off, error);
    strength->ec_ms_per_cm = off + d->ec_ms_per_cm;
    strength->reached = status == SW_OK;
    return status;
}

sw_status sw_strength_of_recipe(const sw_mix *mix, double ec_ms_per_cm,
                                sw_strength **strength, sw_error *error)
{
    sw_dilution d = {mix, ec_ms_per_cm};
    *strength = NULL;
    sw_status status = check_ec(ec_ms_per_cm, error);
    if (status != SW_OK)
        return status;
    sw_strength *made = calloc(1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    status = dilute(&d, made, error);
    if (status == SW_OK)
        *strength = made;
    else
        sw_strength_free(made);
    return status;
}

void sw_strength_free(sw_strength *strength)
{
    if (!strength)
        return;
    sw_target_free(strength->target);
    free(strength);
}
