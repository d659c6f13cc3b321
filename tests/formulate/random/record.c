/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A problem and its answer as raw doubles; peers.py names them in order. */
#include "record.h"

#include "assess/agent.h"
#include "formulate/setting.h"
#include "quantity/components.h"

#include <stdlib.h>
#include <string.h>

void record_put(sw_record *to, double value)
{
    if (to->count == sizeof to->value / sizeof *to->value)
        abort();
    to->value[to->count++] = value;
}

static void put_all(sw_record *to, const double *value, size_t count)
{
    for (size_t i = 0; i < count; i++)
        record_put(to, value[i]);
}

/* Some of it, or a ratio with it. */
static bool asks_for(const sw_target_row *row, sw_component component)
{
    if (row->kind == SW_TARGET_RATIO)
        return row->component == component || row->other == component;
    return row->kind == SW_TARGET_COMPONENT && row->component == component &&
           (row->target > 0 || row->min > 0);
}

/* A trace source none of whose trace elements the target asks for. */
static bool is_idle(const invention *from, const sw_product *product)
{
    bool asked = false;
    for (int c = 0; c < SW_COMPONENT_COUNT; c++)
        for (size_t i = 0; i < from->target.count; i++)
            asked |= sw_component_is((sw_component)c, SW_IS_TRACE) &&
                     asks_for(&from->row[i], (sw_component)c) &&
                     product->per_g.amount[c] >= SW_SOURCE_MG_PER_G;
    return !asked && sw_is_trace_source(product) &&
           sw_is_for_traces(&product->per_g);
}

void record_problem(sw_record *to, const invention *from)
{
    record_put(to, (double)from->shelf.count);
    record_put(to, (double)from->problem.water_count);
    record_put(to, (double)from->target.count);
    record_put(to, from->problem.fractions ? 0 : 1);
    for (size_t j = 0; j < from->shelf.count; j++) {
        const sw_product *product = &from->product[j];
        put_all(to, product->per_g.amount, SW_COMPONENT_COUNT);
        record_put(to, product->min_g_per_l);
        record_put(to, product->max_g_per_l);
        record_put(to, product->fixed_g_per_l);
        record_put(to, product->price_per_kg);
        record_put(to,
                   is_idle(from, product) ||
                       sw_is_outlasted(&from->shelf, &from->target, product));
    }
    for (size_t k = 0; k < from->problem.water_count; k++) {
        put_all(to, from->water[k].amount, SW_COMPONENT_COUNT);
        record_put(to, from->fraction[k]);
    }
    for (size_t i = 0; i < from->target.count; i++) {
        const sw_target_row *row = &from->row[i];
        record_put(to, row->kind);
        record_put(to, row->component);
        record_put(to, row->other);
        record_put(to, row->target);
        record_put(to, row->min);
        record_put(to, row->max);
        record_put(to, row->weight);
    }
}

static int component_of(const sw_limit *limit)
{
    size_t length = strcspn(limit->name, " ");
    for (int c = 0; c < SW_COMPONENT_COUNT; c++) {
        const char *name = sw_component_name((sw_component)c);
        if (strlen(name) == length && !strncmp(name, limit->name, length))
            return c;
    }
    abort();
}

/* Product, row or ceiling, its line or component, and which end: read back from
 * the name. */
static void put_limit(sw_record *to, const sw_limit *limit)
{
    bool ceiling = limit->origin == SW_OWN_CEILING;
    record_put(to, ceiling ? 2 : strstr(limit->name, "s.csv line") ? 1 : 0);
    record_put(to, ceiling ? component_of(limit) : (double)limit->line - 2);
    record_put(to, strstr(limit->name, " min ")   ? 0
                   : strstr(limit->name, " max ") ? 1
                                                  : 2);
    record_put(to, limit->price);
}

/* Rows of the target whose ratios the accepted range bounds. */
static void put_sought(sw_record *to, const sw_solution *solution)
{
    size_t count = to->count;
    record_put(to, 0);
    for (size_t i = 0; i < solution->within_count; i++) {
        const sw_limit *limit = &solution->within[i];
        if (limit->kind == SW_SIDE_RATIO && limit->origin == SW_BY_RANGE) {
            record_put(to, (double)limit->index);
            to->value[count]++;
        }
    }
}

void record_solution(sw_record *to, const sw_solution *solution)
{
    const sw_certificate *proof = &solution->certificate;
    record_put(to, solution->outcome);
    record_put(to, proof->objective);
    record_put(to, proof->lower_bound);
    record_put(to, proof->gap);
    record_put(to, proof->kkt_residual);
    record_put(to, proof->pivots);
    record_put(to, (double)solution->recipe.count);
    put_all(to, solution->recipe.g_per_l, solution->recipe.count);
    record_put(to, (double)solution->water_count);
    put_all(to, solution->fractions, solution->water_count);
    record_put(to, (double)solution->limit_count);
    for (size_t i = 0; i < solution->limit_count; i++)
        put_limit(to, &solution->limits[i]);
    size_t ceilings = 0;
    for (size_t i = 0; i < solution->within_count; i++)
        ceilings += solution->within[i].origin == SW_OWN_CEILING;
    record_put(to, (double)ceilings);
    for (size_t i = 0; i < solution->within_count; i++) {
        const sw_limit *limit = &solution->within[i];
        if (limit->origin != SW_OWN_CEILING)
            continue;
        record_put(to, component_of(limit));
        record_put(to, limit->bound);
    }
    record_put(to, solution->ratios_judged);
    put_sought(to, solution);
}

void record_write(const sw_record *record, FILE *file)
{
    double length = (double)record->count;
    if (fwrite(&length, sizeof length, 1, file) != 1 ||
        fwrite(record->value, sizeof length, record->count, file) !=
            record->count)
        abort();
}
