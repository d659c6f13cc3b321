/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The target and the shelf as rows: terms to be kept small, limits to be kept.
 * Each limit has a name: the line that gives it, or a rule of ours.  A ratio
 * A:B within min and max is A - min B >= 0 and A - max B <= 0.  A row is
 * divided by a power of two near its largest coefficient.
 */
#include "formulate/model.h"

#include "quantity/notes.h"
#include "records/targets.h"
#include "records/feed_limits.h"

#include "table_words.h"
#include "table_refusals.h"

#include <math.h>

/* A litre of a usual product is hundreds of times what a target asks for; of a
 * weak one it is named as a limit. */
static const double many_times = 16;

bool sw_is_of_amounts(const sw_problem *problem)
{
    return sw_objective_facts_of(problem->objective)->kind == SW_OF_AMOUNTS;
}

static bool is_term(const sw_model *model, const sw_target_row *row)
{
    return !sw_is_of_amounts(model->problem) &&
           row->kind == SW_TARGET_COMPONENT && row->weight > 0 &&
           !isnan(row->target);
}

/* Closest weighs squares, even the deviations themselves. */
static double scale_of(const sw_model *model, const sw_target_row *row)
{
    bool squared = model->problem->objective == SW_CLOSEST;
    return (squared ? sqrt(row->weight) : row->weight) / sw_size_of(row);
}

static void add_term(sw_model *model, const sw_target_row *row)
{
    size_t e = model->terms.count++;
    size_t columns = model->form.columns;
    double coefficient[SW_CARRIED_COUNT] = {0};
    coefficient[row->component] = 1;
    double *a = model->terms.matrix + e * columns;
    double water = sw_model_row(model, coefficient, a);
    double scale = scale_of(model, row);
    for (size_t j = 0; j < columns; j++)
        a[j] *= scale;
    model->terms.goal[e] = scale * (row->target - water);
    model->term_row[e] = row;
    model->term_scale[e] = scale;
}

/* A line of a pH is written once there is a solution to be linear at. */
static void add_line(sw_model *model, const sw_ph_aim *aim, sw_side_end end,
                     size_t index, double ph)
{
    sw_ph_line *line = &model->ph_lines[model->ph_line_count++];
    const sw_setting *setting = model->setting;
    *line = (sw_ph_line){.aim = aim,
                         .end = end,
                         .is_both = aim->low == aim->high,
                         .index = index,
                         .unit = 1,
                         .memory = {.ph = ph,
                                    .aired = aim->row->aired,
                                    .possible = &setting->possible,
                                    .room = model->room}};
    for (size_t i = 0; i < setting->starts; i++)
        sw_ph_start(&line->memory, &setting->start[i]);
}

/* In order of the components, whatever the order of the file; pH last. */
sw_status sw_model_add_terms(sw_solver *solver, sw_model *model,
                             sw_error *error)
{
    const sw_target *target = model->problem->target;
    size_t count = 0;
    for (size_t i = 0; i < target->count; i++)
        count += is_term(model, &target->rows[i]);
    count += SW_MOST_AIMS;
    model->terms.matrix = sw_take_numbers(solver, count * model->form.columns);
    model->terms.goal = sw_take_numbers(solver, count);
    model->term_row = sw_take(solver, count, sizeof(sw_target_row *));
    model->term_scale = sw_take_numbers(solver, count);
    for (int c = 0; c < SW_COMPONENT_COUNT; c++)
        for (size_t i = 0; i < target->count; i++)
            if (is_term(model, &target->rows[i]) &&
                (int)target->rows[i].component == c)
                add_term(model, &target->rows[i]);
    for (size_t i = 0; i < model->setting->aims; i++) {
        const sw_ph_aim *aim = &model->setting->aim[i];
        if (isnan(aim->target) || sw_is_of_amounts(model->problem))
            continue;
        add_line(model, aim, SW_SIDE_FIXED, model->terms.count, aim->target);
        model->term_row[model->terms.count++] = aim->row;
    }
    if (model->terms.count == 0 && !sw_is_of_amounts(model->problem))
        return sw_fail_at(error, &(sw_place){target->name, 0, 0},
                          SW_BAD_NO_TERMS);
    return SW_OK;
}

static bool keeps_ranges(const sw_problem *problem)
{
    return sw_is_of_amounts(problem) || problem->keep_bands;
}

/* A ratio has no term: what it asks for is its range, where the shelf brings
 * the part that an end wants more of. */
static bool is_sought(const sw_problem *problem, const sw_target_row *row,
                      sw_component part)
{
    return !problem->ratios_judged && row->kind == SW_TARGET_RATIO &&
           row->target > 0 && row->weight > 0 &&
           sw_shelf_brings(problem->shelf, part);
}

bool sw_seeks_ratio(const sw_problem *problem, const sw_target_row *row)
{
    return !keeps_ranges(problem) &&
           ((isnan(row->min) && is_sought(problem, row, row->component)) ||
            (isnan(row->max) && is_sought(problem, row, row->other)));
}

sw_band sw_limits_of(const sw_problem *problem, const sw_target_row *row)
{
    sw_band band = {isnan(row->min) ? -INFINITY : row->min,
                    isnan(row->max) ? INFINITY : row->max};
    sw_band range = sw_band_of(row);
    if (keeps_ranges(problem) || is_sought(problem, row, row->component))
        band.low = range.low;
    if (keeps_ranges(problem) || is_sought(problem, row, row->other))
        band.high = range.high;
    if (row->held_low > 0)
        band.low = fmax(band.low, row->held_low);
    if (row->held_high > 0)
        band.high = fmin(band.high, row->held_high);
    return band;
}

static void add_side(sw_model *model, sw_side side)
{
    model->sides[model->side_count++] = side;
}

static size_t open_row(sw_model *model)
{
    size_t at = model->form.rows++;
    model->row_unit[at] = 1;
    model->form.row_low[at] = -INFINITY;
    model->form.row_high[at] = INFINITY;
    return at;
}

static const sw_gave *gave_of(const sw_model *model, const sw_target_row *row)
{
    size_t at = sw_place_of(model->problem->target, row);
    const sw_gave *gave = model->setting->gave;
    return gave && at < model->problem->target->count ? &gave[at] : NULL;
}

static sw_origin origin_of(const sw_model *model, const sw_target_row *row,
                           sw_side_end end, double bound)
{
    const sw_gave *gave = gave_of(model, row);
    double held = end == SW_SIDE_MIN ? row->held_low : row->held_high;
    if (row->assumed)
        return SW_OWN_CEILING;
    if (gave && !isnan(end == SW_SIDE_MIN ? gave->min : gave->max))
        return SW_GAVE_WAY;
    if (held > 0.0 && fabs(bound - held) <= 0.0)
        return SW_FOR_SULFUR;
    if (isnan(end == SW_SIDE_MIN ? row->min : row->max))
        return SW_BY_RANGE;
    return (sw_origin)(end == SW_SIDE_MIN ? row->min_origin : row->max_origin);
}

/* One end of a row of the target, in a row of its own. */
static void add_end(sw_model *model, const sw_target_row *row, sw_side_end end,
                    double bound)
{
    bool is_ratio = row->kind == SW_TARGET_RATIO;
    if (!isfinite(bound))
        return;
    size_t at = open_row(model);
    add_side(model,
             (sw_side){.kind = is_ratio ? SW_SIDE_RATIO : SW_SIDE_COMPONENT,
                       .end = end,
                       .origin = origin_of(model, row, end, bound),
                       .index = at,
                       .bound = bound,
                       .target = row});
    sw_side_move(model, &model->sides[model->side_count - 1], bound);
}

/* What a water holds of iron counts against a max alone, and none that is only
 * an accepted range's. */
static bool counts_all_iron(const sw_side *side)
{
    const sw_target_row *row = side->target;
    return row->component == SW_FE && side->end == SW_SIDE_MAX &&
           row->kind == SW_TARGET_COMPONENT && !row->assumed &&
           !isnan(row->max) && side->origin != SW_BY_RANGE &&
           side->origin != SW_BY_LAB && side->origin != SW_NO_FURTHER;
}

void sw_side_move(sw_model *model, const sw_side *side, double bound)
{
    size_t at = side->index;
    double coefficient[SW_CARRIED_COUNT] = {0};
    const sw_target_row *row = side->target;
    coefficient[row->component] = 1;
    if (row->kind == SW_TARGET_RATIO)
        coefficient[row->other] -= bound;
    if (counts_all_iron(side))
        coefficient[SW_WATER_FE] = 1;
    double water = sw_model_fill_row(model, at, coefficient, bound);
    double wanted = side->kind == SW_SIDE_RATIO ? 0 : bound;
    double scaled = (wanted - water) / model->row_unit[at];
    if (side->end == SW_SIDE_MIN)
        model->form.row_low[at] = scaled;
    else
        model->form.row_high[at] = scaled;
}

static void add_product_end(sw_model *model, size_t column, sw_side_end end,
                            double bound, sw_origin origin)
{
    const sw_product *product = sw_model_product(model, column);
    add_side(model, (sw_side){.kind = SW_SIDE_PRODUCT,
                              .end = end,
                              .origin = origin,
                              .index = column,
                              .bound = bound,
                              .product = product});
}

double sw_model_most(const sw_model *model, size_t column, sw_origin *origin)
{
    const sw_product *product = sw_model_product(model, column);
    double litre = sw_most_g_per_l(product);
    double given = product->max_g_per_l;
    double cap = fmax(product->min_g_per_l, sw_model_buffer_cap(model, column));
    *origin = cap < fmin(litre, given) ? SW_OWN_CAP
              : given < litre          ? SW_GIVEN
                                       : SW_OWN_LITRE;
    return fmin(cap, fmin(litre, given));
}

static void add_product(sw_model *model, size_t column)
{
    sw_origin origin;
    const sw_product *product = sw_model_product(model, column);
    double most = sw_model_most(model, column, &origin);
    if (!isnan(product->fixed_g_per_l)) {
        add_product_end(model, column, SW_SIDE_FIXED, product->fixed_g_per_l,
                        SW_GIVEN);
        return;
    }
    if (product->min_g_per_l > 0)
        add_product_end(model, column, SW_SIDE_MIN, product->min_g_per_l,
                        SW_GIVEN);
    if (!sw_model_is_shut(model, column) &&
        (origin != SW_OWN_LITRE || most < many_times * model->unit[column]))
        add_product_end(model, column, SW_SIDE_MAX, most, origin);
}

/* Fractions of the waters sum to 1. */
static void add_blend(sw_model *model)
{
    if (model->blends == 0)
        return;
    size_t at = open_row(model);
    double *row = model->form.matrix + at * model->form.columns;
    for (size_t k = 0; k < model->blends; k++)
        row[model->products + k] = 1;
    model->form.row_low[at] = model->form.row_high[at] = 1;
}

/* A recipe may cost so much and no more. */
static void add_cost(sw_model *model)
{
    double most = model->problem->most_cost_per_m3;
    if (!(most > 0))
        return;
    size_t at = open_row(model);
    size_t columns = model->form.columns;
    double *row = model->form.matrix + at * columns;
    sw_model_price_products(model, row);
    model->row_unit[at] =
        sw_row_scale(row, columns, sw_row_largest(row, columns));
    model->form.row_high[at] = most / model->row_unit[at];
    add_side(model, (sw_side){.kind = SW_SIDE_COST,
                              .end = SW_SIDE_MAX,
                              .index = at,
                              .bound = most});
}

/* What a row of the target cannot do is said once. */
static sw_status note_row(sw_model *model, const sw_target_row *row,
                          const sw_band *limits)
{
    const sw_gave *gave = gave_of(model, row);
    sw_band range = sw_band_of(row);
    bool low = isnan(row->min) && range.low > 0;
    bool high = isnan(row->max) && isfinite(range.high);
    bool ratio = row->kind == SW_TARGET_RATIO && row->weight > 0 &&
                 !model->problem->ratios_judged;
    if (row->kind == SW_TARGET_EC)
        return sw_notes_add(&model->notes, SW_SAY_EC_JUDGED_ONLY);
    if ((!low && !high) || !(ratio || keeps_ranges(model->problem)) ||
        model->problem->bands_unsaid ||
        (gave && !(isnan(gave->min) && isnan(gave->max))))
        return SW_OK;
    low = low && isinf(limits->low);
    if (low || (high && isinf(limits->high)))
        return sw_notes_add(
            &model->notes, SW_SAY_RATIO_UNSERVED, row->name,
            sw_component_name(low ? row->component : row->other));
    return sw_notes_add(&model->notes, SW_SAY_BAND_AS_LIMIT, row->name,
                        limits->low, limits->high);
}

/* Each end of an aim's range has a row unless they are one; in force once there
 * is a solution to be linear at. */
static void add_ph_end(sw_model *model, const sw_ph_aim *aim, sw_side_end end)
{
    bool low = end == SW_SIDE_MIN;
    double ph = low ? aim->low : aim->high;
    if (!isfinite(ph))
        return;
    if (low || aim->low != ph)
        add_line(model, aim, end, open_row(model), ph);
    add_side(model,
             (sw_side){.kind = SW_SIDE_PH,
                       .end = end,
                       .origin = low ? aim->low_origin : aim->high_origin,
                       .index = model->form.rows - 1,
                       .bound = ph,
                       .target = aim->row,
                       .aim = aim});
}

/* ---- Limits of ours ----------------------------------------------------- */

/* What fixed and least rates bring is the user's own word. */
static double promised(const sw_model *model, sw_component component)
{
    double sum = 0;
    for (size_t j = 0; j < model->products; j++)
        sum += model->form.low[j] * model->unit[j] *
               sw_model_product(model, j)->per_g.amount[component];
    return sum;
}

static double most_of_waters(const sw_model *model, sw_component component)
{
    double most = model->water.amount[component];
    for (size_t k = 0; k < model->blends; k++)
        most = fmax(most, model->problem->waters[k].amount[component]);
    return most;
}

/* Of a ceiling, or a cap: what rates promise is let through. */
static double own_bound(const sw_model *model, const sw_target_row *row)
{
    double most = promised(model, row->component);
    return row->assumed ? fmax(row->max, most)
                        : fmax(sw_band_of(row).high,
                               most_of_waters(model, row->component) + most);
}

void sw_model_move_own(sw_model *model)
{
    for (size_t s = 0; s < model->side_count; s++) {
        const sw_side *side = &model->sides[s];
        if (side->target &&
            (side->origin == SW_OWN_CEILING || side->origin == SW_OWN_CAP))
            model->form.row_high[side->index] +=
                (own_bound(model, side->target) - side->bound) /
                model->row_unit[side->index];
    }
}

/* However far what is given up may be off: with free shares, what the second
 * water alone may be, and of the first as much more as that may. */
static void add_no_further(sw_model *model, const sw_target_row *row,
                           sw_side_end end)
{
    const sw_problem *problem = model->problem;
    const sw_no_further *of =
        &problem->no_further[sw_place_of(problem->target, row)];
    const double *bound = end == SW_SIDE_MIN ? of->min : of->max;
    const double *share = problem->fractions;
    double at_shares =
        share ? share[0] * bound[0] + share[1] * bound[1] : bound[1];
    size_t at = model->form.rows;
    if (share && end == SW_SIDE_MIN && at_shares <= 0.0)
        return;
    add_end(model, row, end, at_shares);
    if (at == model->form.rows)
        return;
    model->sides[model->side_count - 1].origin = SW_NO_FURTHER;
    if (!share)
        model->form.matrix[at * model->form.columns + model->products] -=
            (bound[0] - bound[1]) / model->row_unit[at];
}

/* On what products add of what the target does not name. */
static void add_ceiling(sw_model *model, const sw_target_row *row)
{
    double bound = own_bound(model, row);
    size_t at = model->form.rows;
    add_end(model, row, SW_SIDE_MAX, bound);
    for (size_t j = model->products; j < model->form.columns; j++)
        *sw_form_at(&model->form, at, j) = 0;
    model->form.row_high[at] = bound / model->row_unit[at];
}

static void add_ceilings(sw_solver *solver, sw_model *model)
{
    for (int c = 0; c < SW_COMPONENT_COUNT; c++) {
        sw_component component = (sw_component)c;
        double most = sw_feed_ceiling_mg_per_l(component);
        if (isnan(most) || sw_target_names(model->problem->target, component))
            continue;
        sw_target_row *row = sw_take(solver, 1, sizeof *row);
        *row = (sw_target_row){.kind = SW_TARGET_COMPONENT,
                               .component = component,
                               .name = (char *)sw_component_name(component),
                               .target = NAN,
                               .min = NAN,
                               .max = most,
                               .assumed = true};
        add_ceiling(model, row);
    }
}

/* Too much P or Si spoils a feed: while a pH is sought they stay below the end
 * of their accepted range, so that no phosphate stands in for an acid. */
static void add_cap(sw_model *model, const sw_target_row *row)
{
    bool capped = row->kind == SW_TARGET_COMPONENT &&
                  sw_component_is(row->component, SW_IS_BUFFER) &&
                  row->target > 0 && isnan(row->max) &&
                  sw_limits_of(model->problem, row).high == INFINITY;
    if (!capped || !model->setting->seeks_ph)
        return;
    add_end(model, row, SW_SIDE_MAX, own_bound(model, row));
    model->sides[model->side_count - 1].origin = SW_OWN_CAP;
}

static sw_status add_row(sw_model *model, const sw_target_row *row)
{
    sw_band limits = sw_limits_of(model->problem, row);
    if (row->assumed) {
        add_ceiling(model, row);
        return SW_OK;
    }
    const sw_gave *gave = gave_of(model, row);
    if (gave && gave->brings > 0) /* products that add to it are shut */
        return SW_OK;
    if (row->kind == SW_TARGET_COMPONENT || row->kind == SW_TARGET_RATIO) {
        add_end(model, row, SW_SIDE_MIN, limits.low);
        add_end(model, row, SW_SIDE_MAX, limits.high);
        add_cap(model, row);
    }
    if (row->kind == SW_TARGET_COMPONENT && model->problem->no_further) {
        add_no_further(model, row, SW_SIDE_MIN);
        add_no_further(model, row, SW_SIDE_MAX);
    }
    return note_row(model, row, &limits);
}

size_t sw_model_most_rows(const sw_problem *problem)
{
    size_t ends = problem->no_further ? 4 : 2;
    return ends * problem->target->count + SW_COMPONENT_COUNT +
           2 * SW_MOST_AIMS + 4; /* caps of P and Si, shares, cost */
}

static void take_rows(sw_solver *solver, sw_model *model)
{
    size_t rows = sw_model_most_rows(model->problem);
    model->form.matrix = sw_take_numbers(solver, rows * model->form.columns);
    model->form.row_low = sw_take_numbers(solver, rows);
    model->form.row_high = sw_take_numbers(solver, rows);
    model->row_unit = sw_take_numbers(solver, rows);
    model->sides = sw_take(solver, rows + 2 * model->products, sizeof(sw_side));
}

/* Limits of ours ask for nothing. */
static bool is_asked_anything(const sw_model *model)
{
    for (size_t i = 0; i < model->side_count; i++)
        if (model->sides[i].origin == SW_GIVEN ||
            model->sides[i].origin == SW_BY_RANGE ||
            model->sides[i].origin == SW_FOR_SULFUR ||
            model->sides[i].origin == SW_BY_LAB)
            return true;
    return false;
}

sw_status sw_model_add_limits(sw_solver *solver, sw_model *model,
                              sw_error *error)
{
    const sw_target *target = model->problem->target;
    sw_status status = SW_OK;
    take_rows(solver, model);
    for (size_t i = 0; status == SW_OK && i < target->count; i++)
        status = add_row(model, &target->rows[i]);
    if (!model->problem->no_ceilings)
        add_ceilings(solver, model);
    for (size_t i = 0; i < model->setting->aims; i++) {
        add_ph_end(model, &model->setting->aim[i], SW_SIDE_MIN);
        add_ph_end(model, &model->setting->aim[i], SW_SIDE_MAX);
    }
    for (size_t j = 0; j < model->products; j++)
        add_product(model, j);
    add_blend(model);
    add_cost(model);
    if (status != SW_OK)
        return sw_fail_memory(error);
    if (sw_is_of_amounts(model->problem) && !is_asked_anything(model))
        return sw_fail(error, SW_BAD_NOTHING_TO_KEEP);
    return SW_OK;
}
