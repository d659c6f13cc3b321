/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Why a recipe is as it is: what each target, limit and product has to do with
 * it, and what the catalogue has that the shelf lacks.  Prices are the solve's
 * own and say where to look.  Whatever is then named is solved again in full.
 */
#include "decide/why.h"
#include "decide/ratios.h"
#include "quantity/components.h"
#include "quantity/status.h"
#include "quantity/ties.h"
#include "records/targets.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What closes less than this share of the misfit is not worth a bag. */
static const double worth_naming = 1e-6;
/* A product without which neither moves further than this can be left out. */
static const double spare_change = 1e-3, spare_objective = 1e-2;
/* A step that would take more than this off has left its price behind. */
static const double most_at_once = 0.5;
/* A misfit below it is rounding; so is the price of a gram per litre. */
static const double exact = 1e-12, no_price = 1e-9;

typedef struct sw_reasons {
    const sw_problem *problem;
    sw_solver *solver;
    sw_error *error;
    sw_solution *solution; /* of the problem */
    double price[SW_CARRIED_COUNT];
    bool has_ph; /* the pH has a say in the recipe */
    sw_why *why;
} sw_reasons;

/* Limits that had to give way. */
static size_t count_gave(const sw_solution *solution)
{
    size_t count = 0;
    for (size_t i = 0; i < solution->within_count; i++)
        count += solution->within[i].origin == SW_GAVE_WAY;
    return count;
}

/* ---- Prices ------------------------------------------------------------- */

/* What a first unit of the term's component does to the objective. */
static double slope_of_term(const sw_model *model, const sw_fit *fit, size_t e)
{
    const sw_terms *terms = &model->terms;
    if (model->problem->objective == SW_EVEN) {
        size_t above = model->form.rows + 2 * e; /* d - t <= 0, d + t >= 0 */
        return -(fit->point.row_price[above] + fit->point.row_price[above + 1]);
    }
    double deviation =
        sw_row_value(terms->matrix, e, model->form.columns, fit->point.y) -
        terms->goal[e];
    return 2 * deviation;
}

static void add_side(const sw_model *model, const sw_fit *fit,
                     const sw_side *side, double *price)
{
    if (side->kind != SW_SIDE_COMPONENT && side->kind != SW_SIDE_RATIO)
        return;
    double of_row =
        fit->point.row_price[side->index] / model->row_unit[side->index];
    price[side->target->component] -= of_row;
    if (side->kind == SW_SIDE_RATIO)
        price[side->target->other] += of_row * side->bound;
}

/*
 * Change of the objective with a first unit per litre of everything carried,
 * from nowhere and without a say in the pH.  Reduced costs: every term and
 * every row is linear in what the finished solution carries, so the gradient
 * less what the binding rows take of it is a price for each thing carried; a
 * product not on the shelf is worth the sum over what a gram of it brings
 * (Dantzig 1963, chapter 12: pricing out).
 */
static void price_contents(const sw_model *model, const sw_fit *fit,
                           double *price)
{
    for (int c = 0; c < SW_CARRIED_COUNT; c++)
        price[c] = 0;
    for (size_t e = 0; e < model->terms.count; e++)
        if (model->term_row[e]->kind == SW_TARGET_COMPONENT)
            price[model->term_row[e]->component] +=
                model->term_scale[e] * slope_of_term(model, fit, e);
    for (size_t i = 0; i < model->side_count; i++)
        add_side(model, fit, &model->sides[i], price);
}

/* Of a gram per litre of what carries `per_g`, without its own cost. */
static double price_of(const double *price, const sw_content *per_g)
{
    double sum = 0;
    for (int c = 0; c < SW_CARRIED_COUNT; c++)
        sum += price[c] * per_g->amount[c];
    return sum;
}

static sw_status tell_limits(sw_solver *solver, const sw_model *model,
                             const sw_fit *fit, sw_why *why)
{
    why->limits = calloc(model->side_count + 1, sizeof *why->limits);
    if (!why->limits)
        return SW_ERR_MEMORY;
    for (size_t i = 0; i < model->side_count; i++) {
        const sw_side *side = &model->sides[i];
        if (!sw_side_binds(side, &fit->point))
            continue;
        sw_priced_limit *limit = &why->limits[why->limit_count++];
        sw_range range = sw_range_of(solver, model, fit, side);
        limit->limit = sw_side_limit(model, side, &fit->point);
        limit->low = range.low;
        limit->high = range.high;
    }
    return SW_OK;
}

/* What only the model of the solve can tell. */
static sw_status look(sw_solver *solver, const sw_model *model,
                      const sw_fit *fit, void *context)
{
    sw_reasons *reasons = context;
    if (fit->outcome != SW_OPTIMAL)
        return SW_OK;
    reasons->why = calloc(1, sizeof *reasons->why);
    if (!reasons->why)
        return SW_ERR_MEMORY;
    reasons->why->objective = fit->objective;
    reasons->has_ph = model->ph_line_count > 0;
    price_contents(model, fit, reasons->price);
    memcpy(reasons->why->price, reasons->price, sizeof reasons->why->price);
    return tell_limits(solver, model, fit, reasons->why);
}

/* A fiftieth to a fifth of the bound: 1 of 45, 0.01 of 0.5; less where its
 * price would not hold so far.  A fixed amount may go either way. */
static double step_of(const sw_limit *limit, double objective)
{
    double bound = limit->bound;
    double step = bound > 0 ? pow(10, floor(log10(bound / 5))) : 1;
    while (fabs(limit->price) * step > most_at_once * objective)
        step /= 10;
    return limit->price < 0 ? step : -step;
}

/* A pH that the target does not name, and what is held for another's sake, are
 * nobody's to move. */
static bool can_move(const sw_problem *problem, const sw_limit *limit)
{
    return limit->origin != SW_OWN_LITRE && limit->origin != SW_BY_LAB &&
           limit->origin != SW_FOR_SULFUR && limit->origin != SW_NO_FURTHER &&
           (limit->kind != SW_SIDE_PH || limit->index < problem->target->count);
}

/* A price is of the activities and the products of this recipe: what a step
 * takes off is what it is found to. */
static sw_status try_step(const sw_reasons *reasons, sw_priced_limit *priced)
{
    sw_variant variant;
    bool solved = false;
    double before = reasons->why->objective;
    const sw_limit *limit = &priced->limit;
    priced->moved = priced->objective = NAN;
    if (!(before > exact) || !can_move(reasons->problem, limit))
        return SW_OK;
    priced->moved = step_of(limit, before);
    sw_status status =
        sw_variant_make(reasons->problem, &variant, reasons->error);
    if (status == SW_OK) {
        variant.problem.fewest = false;
        sw_variant_set(&variant, limit, limit->bound + priced->moved);
        status = sw_variant_solve(reasons->solver, &variant, &solved,
                                  reasons->error);
    }
    if (solved && count_gave(variant.solution) <= count_gave(reasons->solution))
        priced->objective = variant.solution->certificate.objective;
    if (!(priced->objective < before))
        priced->objective = NAN;
    sw_variant_free(&variant);
    return status;
}

static sw_status try_steps(const sw_reasons *reasons)
{
    sw_status status = SW_OK;
    for (size_t i = 0; status == SW_OK && i < reasons->why->limit_count; i++)
        status = try_step(reasons, &reasons->why->limits[i]);
    return status;
}

/* ---- What each target and product has to do with it --------------------- */

static double share_key(const void *miss)
{
    return -((const sw_miss *)miss)->share;
}

static void add_miss(const sw_reasons *reasons, const sw_content *finished,
                     size_t at)
{
    sw_why *why = reasons->why;
    const sw_target_row *row = &reasons->problem->target->rows[at];
    if (row->kind != SW_TARGET_COMPONENT || !(row->weight > 0) ||
        isnan(row->target))
        return;
    double deviation =
        (finished->amount[row->component] - row->target) / sw_size_of(row);
    double share = row->weight * deviation * deviation / why->objective;
    if (share > worth_naming)
        why->misses[why->miss_count++] = (sw_miss){at, deviation, share};
}

static sw_status tell_misses(const sw_reasons *reasons)
{
    const sw_problem *problem = reasons->problem;
    sw_why *why = reasons->why;
    sw_content finished = reasons->solution->water;
    why->misses = calloc(problem->target->count + 1, sizeof *why->misses);
    if (!why->misses)
        return sw_fail_memory(reasons->error);
    if (problem->objective != SW_CLOSEST || !(why->objective > 0))
        return SW_OK;
    sw_content_add_recipe(&finished, 1, problem->shelf,
                          &reasons->solution->recipe);
    for (size_t i = 0; i < problem->target->count; i++)
        add_miss(reasons, &finished, i);
    sw_sort_close(why->misses, why->miss_count, sizeof *why->misses, share_key);
    return SW_OK;
}

/* The largest change of what the target names from one solution to another. */
static double change_of(const sw_problem *problem, const sw_solution *with,
                        const sw_solution *without)
{
    double most = 0.0;
    sw_content before = with->water;
    sw_content after = without->water;
    sw_content_add_recipe(&before, 1, problem->shelf, &with->recipe);
    sw_content_add_recipe(&after, 1, problem->shelf, &without->recipe);
    for (size_t i = 0; i < problem->target->count; i++) {
        const sw_target_row *row = &problem->target->rows[i];
        double was = before.amount[row->component];
        double is = after.amount[row->component];
        if (row->kind == SW_TARGET_COMPONENT && !row->assumed && is != was)
            most = fmax(most, fabs(is - was) / fmax(is, was));
    }
    return most;
}

static void judge_spare(const sw_reasons *reasons, const sw_solution *without,
                        sw_worth *worth)
{
    double before = reasons->why->objective;
    worth->change = change_of(reasons->problem, reasons->solution, without);
    worth->spare =
        worth->change <= spare_change && !worth->loses_ph &&
        worth->objective <= before + spare_objective * before + exact;
}

/* The problem without product `j`. */
static sw_status leave_out(const sw_reasons *reasons, size_t j)
{
    sw_worth *worth = &reasons->why->products[reasons->why->product_count++];
    sw_variant variant;
    bool solved = false;
    *worth = (sw_worth){.product = j, .objective = NAN, .change = NAN};
    sw_status status =
        sw_variant_make(reasons->problem, &variant, reasons->error);
    if (status == SW_OK) {
        variant.shelf.products[j].max_g_per_l = 0;
        status = sw_variant_solve(reasons->solver, &variant, &solved,
                                  reasons->error);
    }
    const sw_solution *without = variant.solution;
    if (solved && count_gave(without) <= count_gave(reasons->solution)) {
        worth->objective = without->certificate.objective;
        worth->loses_ph = without->misses_ph && !reasons->solution->misses_ph;
        judge_spare(reasons, without, worth);
    }
    sw_variant_free(&variant);
    return status;
}

/* Without which there is no recipe first, then the dearest to lose. */
static double loss_key(const void *worth)
{
    double loss = ((const sw_worth *)worth)->objective;
    return isnan(loss) ? -INFINITY : -loss;
}

static sw_status tell_products(const sw_reasons *reasons)
{
    size_t count = reasons->problem->shelf->count;
    sw_why *why = reasons->why;
    why->products = calloc(count, sizeof *why->products);
    if (!why->products)
        return sw_fail_memory(reasons->error);
    sw_status status = SW_OK;
    for (size_t j = 0; status == SW_OK && j < count; j++)
        if (sw_is_chosen(&reasons->problem->shelf->products[j],
                         reasons->solution->recipe.g_per_l[j]))
            status = leave_out(reasons, j);
    sw_sort_close(why->products, why->product_count, sizeof *why->products,
                  loss_key);
    return status;
}

/* ---- What the shelf lacks ----------------------------------------------- */

/*
 * Convexity: what costs with its first gram costs with every gram.  What moves
 * the pH may be worth its place for that: an acid or a base, and where there
 * is a pH to keep a phosphate or a silicate.
 */
static bool may_help(const sw_reasons *reasons, const sw_product *product,
                     double price)
{
    bool buffers = sw_sum_of(&product->per_g, SW_IS_BUFFER) > 0;
    bool costs = price > no_price || !(reasons->why->objective > exact);
    return !costs || sw_moves_ph(product) || (reasons->has_ph && buffers) ||
           reasons->solution->misses_ph;
}

static bool helps(const sw_reasons *reasons, const sw_addition *addition)
{
    double before = reasons->why->objective;
    return addition->mends_ph ||
           addition->objective < before - worth_naming * fmax(before, 1e-12);
}

static sw_status consider(void *context, const sw_product *product,
                          sw_addition *addition, bool *kept)
{
    sw_reasons *reasons = context;
    double price = price_of(reasons->price, &product->per_g);
    bool moves_ph = sw_moves_ph(product);
    reasons->why->tried++;
    if (reasons->problem->objective == SW_CHEAPEST) {
        /* what a kilogram would be worth, as its price is not known */
        addition->price = -price;
        *kept = !moves_ph && price < -no_price;
        return SW_OK;
    }
    if (!may_help(reasons, product, price))
        return SW_OK;
    sw_status status = sw_try_product(reasons->solver, reasons->problem,
                                      product, addition, kept, reasons->error);
    addition->price = moves_ph ? NAN : price;
    addition->mends_ph = addition->mends_ph && reasons->solution->misses_ph;
    *kept = *kept && helps(reasons, addition);
    return status;
}

sw_status sw_why_find(sw_solver *solver, const sw_problem *problem,
                      sw_why **why, sw_error *error)
{
    SW_REQUIRE_FOR(why, error, solver, sw_whole_problem(problem));
    sw_reasons reasons = {.solver = solver, .problem = problem, .error = error};
    sw_onlooker onlooker = {look, &reasons};
    sw_status status = sw_formulate_before(solver, problem, &onlooker,
                                           &reasons.solution, error);
    if (status == SW_OK && reasons.why)
        status = try_steps(&reasons);
    if (status == SW_OK && reasons.why)
        status = tell_misses(&reasons);
    if (status == SW_OK && reasons.why)
        status = tell_products(&reasons);
    if (status == SW_OK && reasons.why)
        status = sw_additions_find(problem, consider, &reasons,
                                   &reasons.why->additions,
                                   &reasons.why->addition_count, error);
    sw_solution_free(reasons.solution);
    SW_GIVE(status, why, reasons.why, sw_why_free);
}

void sw_why_free(sw_why *why)
{
    if (why)
        SW_FREE(why->misses, why->limits, why->products, why->additions, why);
}
