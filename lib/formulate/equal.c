/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Equal recipes as linear rows.  A laboratory is off by some 5 %, a hand meter
 * by 0.1 of pH: what lies closer is the same to the crop, and may be decided by
 * the number of products and their price.
 */
#include "formulate/equal.h"

#include "assess/verdict.h"
#include "chemistry/ph_row.h"
#include "records/targets.h"
#include "records/feed_limits.h"

#include <math.h>

typedef struct maker {
    const sw_model *model;
    const double *y;
    sw_nearness apart;
    sw_content finished; /* at y */
    sw_equal *equal;
} maker;

/* low <= sum coefficient * content <= high, all divided by `scale`. */
static void add_row(maker *m, const double *coefficient, sw_band band,
                    double scale)
{
    sw_equal *equal = m->equal;
    size_t columns = m->model->form.columns, at = equal->rows++;
    double *row = equal->matrix + at * columns;
    double water = sw_model_row(m->model, coefficient, row);
    for (size_t j = 0; j < columns; j++)
        row[j] /= scale;
    /* y itself is equal to y, whatever rounding says */
    double here = sw_row_value(equal->matrix, at, columns, m->y);
    equal->low[at] = fmin((band.low - water) / scale, here);
    equal->high[at] = fmax((band.high - water) / scale, here);
}

/* The share of `scale`, or what the coarsest step of what is used brings. */
static double most_apart(const maker *m, sw_component component, double scale)
{
    double most = m->apart.share * scale;
    for (size_t j = 0; m->apart.step && j < m->model->products; j++)
        if (m->y[j] > 0)
            most = fmax(
                most,
                m->apart.step[j] * m->model->unit[j] *
                    sw_model_product(m->model, j)->per_g.amount[component]);
    return most;
}

static void add_component(maker *m, const sw_target_row *row)
{
    double coefficient[SW_CARRIED_COUNT] = {0};
    double at = m->finished.amount[row->component];
    sw_band range = sw_band_of(row);
    double scale = sw_size_of(row);
    if (!(scale > 0) || row->assumed)
        return;
    range.high =
        fmin(range.high,
             row->max + at - sw_against_max(row->component, &m->finished));
    if (sw_band_judge(&range, at) != SW_MET)
        range = (sw_band){-INFINITY, INFINITY};
    if (!isnan(row->target)) {
        double by = most_apart(m, row->component, scale);
        range.low = fmax(range.low, at - by);
        range.high = fmin(range.high, at + by);
    }
    coefficient[row->component] = 1;
    if (isfinite(range.low) || isfinite(range.high))
        add_row(m, coefficient, range, scale);
}

/* What nobody asked for must not rise: by that share of what there is of it,
 * of N for its forms, or of what feeds usually get at most. */
static void add_unnamed(maker *m, sw_component component)
{
    double coefficient[SW_CARRIED_COUNT] = {0};
    const double *c = m->finished.amount;
    double scale =
        sw_component_is(component, SW_IS_FORM)
            ? c[SW_N]
            : fmax(c[component], sw_feed_ceiling_mg_per_l(component));
    sw_band band = {-INFINITY, c[component] + most_apart(m, component, scale)};
    coefficient[component] = 1;
    add_row(m, coefficient, band, scale > 0 ? scale : 1);
}

/* part - bound * whole, on the side of the bound it is on. */
static void add_ratio(maker *m, const sw_target_row *row)
{
    const double *c = m->finished.amount;
    double part = c[row->component], whole = c[row->other];
    sw_band range = sw_band_of(row);
    if (!(whole > 0) || sw_band_judge_ratio(&range, part, whole) != SW_MET)
        return;
    for (int side = 0; side < 2; side++) {
        double coefficient[SW_CARRIED_COUNT] = {0};
        double bound = side ? range.high : range.low;
        coefficient[row->component] += 1;
        coefficient[row->other] -= bound;
        if (isfinite(bound))
            add_row(m, coefficient,
                    side ? (sw_band){-INFINITY, 0} : (sw_band){0, INFINITY},
                    whole * fmax(1, fabs(bound)));
    }
}

/* With the activities of y the pH is not below `low` where the row's sum is not
 * below 0 (chemistry/ph_row.h), nor above `high` where that is not above. */
static sw_status add_ph(maker *m, double low, double high, bool aired,
                        sw_error *error)
{
    sw_constants room;
    sw_ph_memory below = {.ph = low,
                          .guess = &m->finished,
                          .aired = aired,
                          .possible = &m->model->setting->possible,
                          .room = &room},
                 above;
    sw_ph_memory *memory[] = {&below, &above};
    above = below;
    above.ph = high;
    for (size_t i = 0; i < m->model->ph_line_count; i++) {
        sw_ph_start(&below, &m->model->ph_lines[i].memory);
        sw_ph_start(&above, &m->model->ph_lines[i].memory);
    }
    size_t first = low >= SW_LEAST_PH ? 0 : 1;
    size_t count = (high <= SW_MOST_PH ? 2 : 1) - first;
    sw_status status = sw_ph_rows_near(&memory[first], count,
                                       &m->model->problem->conditions, error);
    for (size_t i = first; i < first + count && status == SW_OK; i++) {
        double bound = -memory[i]->row.constant;
        add_row(m, memory[i]->row.coefficient,
                i == 0 ? (sw_band){bound, INFINITY}
                       : (sw_band){-INFINITY, bound},
                1);
    }
    return status;
}

/* `row`: of the target, NULL where it has none on that pH. */
static sw_status add_ph_rows(maker *m, const sw_target_row *row, bool aired,
                             sw_error *error)
{
    sw_seen seen;
    sw_status status =
        sw_model_see(m->model, &m->finished, aired, &seen, error);
    bool same = row && m->apart.share <= SW_SAME_SHARE;
    double ph = seen.at.ph, by = same ? SW_SAME_SHARE : m->apart.ph;
    double low = ph - by, high = ph + by;
    if (status == SW_OK && row) {
        sw_band range = sw_band_of(row);
        if (sw_band_judge(&range, ph) == SW_MET) {
            low = fmax(low, range.low);
            high = fmin(high, range.high);
        }
    }
    low = fmin(fmax(low, SW_LEAST_PH), ph);
    high = fmax(fmin(high, SW_MOST_PH), ph);
    return status == SW_OK ? add_ph(m, low, high, aired, error) : status;
}

sw_status sw_equal_to(sw_solver *solver, const sw_model *model, const double *y,
                      sw_nearness apart, sw_equal *equal, sw_error *error)
{
    const sw_target *target = model->problem->target;
    size_t room = 2 * target->count + SW_COMPONENT_COUNT + 4;
    const sw_target_row *ph[] = {NULL, NULL}; /* as mixed, aired */
    maker m = {.model = model, .y = y, .apart = apart, .equal = equal};
    *equal = (sw_equal){.matrix =
                            sw_take_numbers(solver, room * model->form.columns),
                        .low = sw_take_numbers(solver, room),
                        .high = sw_take_numbers(solver, room)};
    sw_model_content(model, y, &m.finished);
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        if (row->kind == SW_TARGET_COMPONENT)
            add_component(&m, row);
        else if (row->kind == SW_TARGET_RATIO)
            add_ratio(&m, row);
        else if (row->kind == SW_TARGET_PH)
            ph[row->aired] = row;
    }
    for (int c = 0; c < SW_COMPONENT_COUNT; c++)
        if (c != SW_N && !sw_target_row_of(target, (sw_component)c))
            add_unnamed(&m, (sw_component)c);
    sw_status status = add_ph_rows(&m, ph[0], false, error);
    if (status == SW_OK && ph[1])
        status = add_ph_rows(&m, ph[1], true, error);
    return status;
}

sw_form sw_equal_form(sw_solver *solver, const sw_block *block,
                      const sw_equal *equal, const double *y)
{
    const sw_form *form = &block->all->form;
    size_t rows = 0, to = form->rows;
    for (size_t i = 0; i < block->count; i++)
        rows += equal[i].rows;
    sw_form made = sw_form_wider(solver, form, 0, rows);
    if (y)
        sw_form_take_in(&made, y); /* a pH out of reach stays there */
    for (size_t i = 0; i < block->count; i++)
        for (size_t r = 0; r < equal[i].rows; r++, to++) {
            sw_block_spread(block, i,
                            equal[i].matrix + r * block->model[i]->form.columns,
                            made.matrix + to * form->columns);
            made.row_low[to] = equal[i].low[r];
            made.row_high[to] = equal[i].high[r];
        }
    return made;
}
