/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * pH as rows and terms.  At a given pH the acids split in proportions fixed by
 * the activities, so a limit is linear, and so is the alkalinity by which a
 * solution misses a target.  The activities, and the little that products do
 * to the pH which are no levers of it, are those of a solution at hand and
 * refreshed from each solution found.
 */
#include "formulate/model.h"

#include "assess/agent.h"
#include "chemistry/equilibrate.h"
#include "quantity/components.h"

#include <math.h>

/* Rows of a pH settle to a tenth of it. */
static const double at_target_meq_per_l = 1e-9;

/* Half the step of the slope of a row along the pH. */
static const double ph_step = 1e-4;

/* By its own max, or by our cap on its target. */
static bool is_bounded(const sw_target *target, sw_component component)
{
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        if (row->kind == SW_TARGET_COMPONENT && row->component == component &&
            !row->assumed && (row->target > 0 || !isnan(row->max)))
            return true;
    }
    return false;
}

static bool serves(const sw_target_row *row, const sw_product *product)
{
    return row->kind == SW_TARGET_COMPONENT && row->target > 0 &&
           row->weight > 0 && sw_is_source(product, row->component);
}

static bool serves_any(const sw_target *target, const sw_product *product)
{
    for (size_t i = 0; i < target->count; i++)
        if (serves(&target->rows[i], product))
            return true;
    return false;
}

double sw_model_buffer_cap(const sw_model *model, size_t column)
{
    const sw_target *target = model->problem->target;
    const sw_product *product = sw_model_product(model, column);
    double cap = INFINITY, needed = 0;
    bool brings = false;
    for (int c = 0; c < SW_COMPONENT_COUNT && model->setting->seeks_ph; c++)
        brings |= product->per_g.amount[c] > 0 &&
                  sw_component_is((sw_component)c, SW_IS_BUFFER) &&
                  !is_bounded(target, (sw_component)c);
    if (!brings || sw_model_is_agent(model, column))
        return INFINITY;
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        double per_g = product->per_g.amount[row->component];
        if (!serves(row, product))
            continue;
        cap = fmin(cap, sw_band_of(row).high / per_g);
        needed = fmax(needed, row->min / per_g);
    }
    return fmax(cap, needed);
}

/* A target, or its price, keeps its amount in check, so that no salt is poured
 * for the little it does to the pH. */
static bool is_in_check(const sw_model *model, const sw_product *product)
{
    return sw_is_of_amounts(model->problem)
               ? product->price_per_kg > 0
               : serves_any(model->problem->target, product);
}

/* What its P and Si move the row by.  With nothing that bounds them they would
 * be raised without end for the pH. */
static double buffer_of(const sw_model *model, const sw_ph_row *row,
                        const sw_product *product)
{
    const sw_target *target = model->problem->target;
    double sum = 0;
    for (int c = 0; c < SW_COMPONENT_COUNT; c++)
        if (product->per_g.amount[c] != 0 &&
            sw_component_is((sw_component)c, SW_IS_BUFFER) &&
            (is_bounded(target, (sw_component)c) ||
             serves_any(target, product)))
            sum += row->coefficient[c] * product->per_g.amount[c];
    return sum;
}

/* meq/L that a gram per litre of the column's product moves the row by; of what
 * nothing keeps in check only what is of the sign that does harm. */
static double lever_of(const sw_model *model, const sw_ph_row *row,
                       size_t column, double harm)
{
    const sw_product *product = sw_model_product(model, column);
    sw_ph_role role = model->setting->role[model->shelf_index[column]];
    if (role == SW_PH_NEITHER && model->levers == SW_LEVERS_AGENTS)
        return 0;
    bool is_agent = sw_model_is_agent(model, column);
    if (role == SW_PH_NEITHER && model->levers != SW_LEVERS_ALL)
        return is_agent ? 0 : buffer_of(model, row, product);
    double all = sw_ph_row_sum(row, &product->per_g);
    if (role == SW_PH_BASIC_NUTRIENT)
        return is_agent || buffer_of(model, row, product) == 0 ? 0 : all;
    return is_agent || all * harm > 0 || is_in_check(model, product)
               ? all
               : buffer_of(model, row, product);
}

/* Levers of each column into `to`; answers what the rest gives of y, or of
 * none (NULL), of which ph_at is the content. */
static double write_levers(const sw_model *model, const sw_ph_row *row,
                           double harm, const double *y, double *to)
{
    double rest = sw_ph_row_excess(row, &model->ph_at);
    for (size_t j = 0; j < model->products; j++)
        to[j] = model->unit[j] * lever_of(model, row, j, harm);
    for (size_t k = 0; k < model->blends; k++)
        to[model->products + k] =
            sw_ph_row_sum(row, &model->problem->waters[k]);
    for (size_t j = 0; y && j < model->form.columns; j++)
        rest -= to[j] * y[j];
    return rest;
}

static bool is_term(const sw_ph_line *line)
{
    return line->end == SW_SIDE_FIXED;
}

/* What takes the solution further from where the line wants it, whose excess
 * is `is`. */
static double harm_of(const sw_ph_line *line, double is)
{
    if (is_term(line))
        return fabs(is) <= at_target_meq_per_l ? 0 : is;
    return line->is_both ? 0 : line->end == SW_SIDE_MIN ? -1 : 1;
}

static double *row_of(const sw_model *model, const sw_ph_line *line)
{
    double *matrix = is_term(line) ? model->terms.matrix : model->form.matrix;
    return matrix + line->index * model->form.columns;
}

/* What the line in force says of y, meq/L. */
static double said_of(const sw_model *model, const sw_ph_line *line,
                      const double *y)
{
    return line->rest + line->unit * sw_row_value(row_of(model, line), 0,
                                                  model->form.columns, y);
}

/* Above 0 is more alkaline: a min keeps it from below, a max from above. */
static void put_limit(sw_model *model, sw_ph_line *line, double *row)
{
    size_t columns = model->form.columns;
    bool is_min = line->end == SW_SIDE_MIN;
    line->unit = sw_row_scale(row, columns, sw_row_largest(row, columns));
    model->row_unit[line->index] = line->unit;
    double bound = -line->rest / line->unit;
    bool low = is_min || line->is_both;
    bool high = !is_min || line->is_both;
    model->form.row_low[line->index] = low ? bound : -INFINITY;
    model->form.row_high[line->index] = high ? bound : INFINITY;
}

/* The scale is that of the side of the target on which `excess` stands; what is
 * met but for rounding stands above, whichever way the rounding goes. */
static void put_term(sw_model *model, sw_ph_line *line, double excess,
                     double *row)
{
    double weight = line->aim->row->weight;
    double scale = excess < -at_target_meq_per_l ? line->aim->scale_below
                                                 : line->aim->scale_above;
    if (model->problem->objective == SW_CLOSEST)
        weight = sqrt(weight);
    scale *= weight;
    for (size_t j = 0; j < model->form.columns; j++)
        row[j] *= scale;
    line->unit = 1 / scale;
    model->terms.goal[line->index] = -line->rest * scale;
    model->term_scale[line->index] = scale;
}

/* What y is off by, in meq/L: what it was said to be, and how that counts. */
static double change_of(double was, double was_unit, double is, double is_unit)
{
    return fmax(fabs(is - was), fabs(is - was * is_unit / was_unit));
}

sw_status sw_model_see(const sw_model *model, const sw_content *finished,
                       bool aired, sw_seen *seen, sw_error *error)
{
    sw_start start;
    sw_conditions from = model->problem->conditions;
    *seen = model->seen[aired];
    if (!isnan(seen->at.ph) && sw_content_is_same(finished, &seen->content))
        return SW_OK;
    *seen = (sw_seen){.content = *finished, .at = {.ph = NAN}};
    const sw_start *seen_last = sw_model_start(model, &start);
    if (seen_last)
        from.start = seen_last;
    return sw_equilibrium_ph(finished, &from,
                             aired ? SW_CARBONATE_AIRED : SW_CARBONATE_KEPT,
                             &seen->at, error);
}

/* Once for each content: other levers are of the same rows. */
static sw_status find_rows(sw_model *model, const sw_content *finished,
                           sw_error *error)
{
    sw_ph_memory *memory[SW_MOST_PH_LINES];
    bool same = !model->ph_asked && sw_content_is_same(finished, &model->ph_at);
    bool has = model->ph_in_force ? same : model->ph_asked;
    model->ph_at = *finished;
    if (has)
        return SW_OK;
    model->ph_asked = false;
    for (size_t i = 0; i < model->ph_line_count; i++) {
        memory[i] = &model->ph_lines[i].memory;
        memory[i]->guess = finished;
    }
    return sw_ph_rows_near(memory, model->ph_line_count,
                           &model->problem->conditions, error);
}

sw_status sw_model_set_ph(sw_model *model, const double *y, double *moved,
                          sw_error *error)
{
    *moved = 0;
    sw_content finished;
    sw_model_content(model, y, &finished);
    sw_status status = find_rows(model, &finished, error);
    for (size_t i = 0; i < model->ph_line_count && status == SW_OK; i++) {
        sw_ph_line *line = &model->ph_lines[i];
        const sw_ph_row *row = &line->memory.row;
        double was = said_of(model, line, y);
        double was_unit = line->unit;
        double is = sw_ph_row_excess(row, &finished);
        double *to = row_of(model, line);
        line->rest = write_levers(model, row, harm_of(line, is), y, to);
        if (is_term(line))
            put_term(model, line, is, to);
        else
            put_limit(model, line, to);
        double change = is_term(line) ? change_of(was, was_unit, is, line->unit)
                                      : fabs(is - was);
        *moved = fmax(*moved, model->ph_in_force ? change : INFINITY);
    }
    model->ph_in_force = true;
    return status;
}

const sw_start *sw_model_start(const sw_model *model, sw_start *room)
{
    const sw_ph_line *nearest = NULL;
    double least = INFINITY;
    if (!isnan(model->seen[false].at.ph)) {
        *room = model->seen[false].at;
        return room;
    }
    for (size_t i = 0; i < model->ph_line_count; i++) {
        const sw_ph_line *line = &model->ph_lines[i];
        double off = fabs(sw_ph_row_excess(&line->memory.row, &model->ph_at));
        if (line->memory.aired || !line->memory.found.warm || !(off < least))
            continue;
        least = off;
        nearest = line;
    }
    if (!nearest)
        return NULL;
    sw_start_keep(&nearest->memory.found, room);
    return room;
}

double sw_model_ph_slope(const sw_model *model, const sw_side *side,
                         const sw_content *finished)
{
    sw_constants room;
    sw_ph_memory low = {.ph = side->bound - ph_step,
                        .guess = finished,
                        .aired = side->aim->row->aired,
                        .room = &room},
                 high = low;
    high.ph = side->bound + ph_step;
    if (sw_ph_rows_near((sw_ph_memory *[]){&low, &high}, 2,
                        &model->problem->conditions, NULL))
        return NAN;
    return (sw_ph_row_excess(&high.row, finished) -
            sw_ph_row_excess(&low.row, finished)) /
           (2 * ph_step);
}
