/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Copies of targets: whole, or of one stage of the crop.  Rows without a stage
 * belong to every one.
 */
#include "records/targets.h"

#include "quantity/notes.h"
#include "quantity/status.h"
#include "quantity/text.h"
#include "records/table.h"
#include "table_refusals.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

bool sw_target_has_stage(const sw_target *target, size_t count,
                         const char *stage)
{
    for (size_t i = 0; i < count; i++)
        if (target->rows[i].stage && sw_same_name(target->rows[i].stage, stage))
            return true;
    return false;
}

const char *sw_target_stage_name(const sw_target *target, size_t index)
{
    for (size_t i = 0; i < target->count; i++) {
        const char *stage = target->rows[i].stage;
        if (stage && !sw_target_has_stage(target, i, stage) && index-- == 0)
            return stage;
    }
    return NULL;
}

bool sw_target_add(sw_target *to, const sw_target_row *from)
{
    sw_target_row *rows = sw_grow(to->rows, to->count, sizeof *rows);
    if (!rows)
        return false;
    to->rows = rows;
    sw_target_row *row = &to->rows[to->count++];
    *row = *from;
    row->name = strdup(from->name);
    row->stage = from->stage ? strdup(from->stage) : NULL;
    return row->name && (row->stage || !from->stage);
}

/* Those of `stage`, or with NULL all. */
static sw_target *copy_rows(const sw_target *from, const char *stage)
{
    sw_target *to = calloc(1, sizeof *to);
    if (!to)
        return NULL;
    to->name = strdup(from->name);
    bool done = to->name && sw_notes_append(&to->notes, &from->notes) == SW_OK;
    for (size_t i = 0; done && i < from->count; i++)
        if (!stage || !from->rows[i].stage ||
            sw_same_name(from->rows[i].stage, stage))
            done = sw_target_add(to, &from->rows[i]);
    if (done)
        return to;
    sw_target_free(to);
    return NULL;
}

sw_target *sw_target_copy(const sw_target *target)
{
    return copy_rows(target, NULL);
}

/* A crop that is fed more takes no more of these. */
static bool harms_in_excess(sw_component c)
{
    return c == SW_NH4_N || c == SW_F ||
           sw_component_is(c, SW_IS_TRACE | SW_IS_SALT);
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
    SW_REQUIRE_FOR(scaled, error, target);
    if (!(factor > 0.0) || !isfinite(factor))
        return sw_fail(error, SW_BAD_STRENGTH, factor);
    sw_target *copy = sw_target_copy(target);
    if (!copy)
        return sw_fail_memory(error);
    for (size_t i = 0; i < copy->count; i++) {
        sw_target_row *row = &copy->rows[i];
        if (row->kind == SW_TARGET_COMPONENT && row->target > 0.0)
            scale_row(row, factor);
    }
    *scaled = copy;
    return SW_OK;
}

/* "seedling, harvest" */
static void list_stages(const sw_target *target, char *text, size_t size)
{
    const char *name;
    text[0] = '\0';
    for (size_t i = 0; (name = sw_target_stage_name(target, i)) != NULL; i++)
        sw_text_join(text, size, ", ", "%s", name);
}

sw_status sw_target_stage(const sw_target *target, const char *stage,
                          sw_target **one, sw_error *error)
{
    SW_REQUIRE_FOR(one, error, target, stage);
    const sw_place place = {target->name, 0, 0};
    char list[256];
    if (!sw_target_has_stage(target, target->count, stage)) {
        list_stages(target, list, sizeof list);
        if (!list[0])
            return sw_fail_at(error, &place, SW_BAD_STAGE_NONE, stage);
        return sw_fail_at(error, &place, SW_BAD_STAGE_UNKNOWN, stage, list);
    }
    sw_target *copy = copy_rows(target, stage);
    if (!copy)
        return sw_fail_memory(error);
    for (size_t i = 0; i < copy->count; i++) {
        free(copy->rows[i].stage);
        copy->rows[i].stage = NULL;
    }
    *one = copy;
    return SW_OK;
}

void sw_target_clear(sw_target *target)
{
    for (size_t i = 0; i < target->count; i++) {
        SW_FREE(target->rows[i].name, target->rows[i].stage);
    }
    sw_notes_free(&target->notes);
    SW_FREE(target->rows, target->name);
    *target = (sw_target){0};
}

void sw_target_free(sw_target *target)
{
    if (target)
        sw_target_clear(target);
    free(target);
}

/* ---- What is asked for --------------------------------------------------- */

bool sw_target_names(const sw_target *target, sw_component component)
{
    for (size_t i = 0; i < target->count; i++)
        if (target->rows[i].kind == SW_TARGET_COMPONENT &&
            target->rows[i].component == component)
            return true;
    return false;
}

const sw_target_row *sw_target_row_of(const sw_target *target,
                                      sw_component component)
{
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        if (row->kind == SW_TARGET_COMPONENT && row->component == component &&
            !row->assumed)
            return row;
    }
    return NULL;
}

size_t sw_place_of(const sw_target *target, const sw_target_row *row)
{
    bool is_row = row >= target->rows && row < target->rows + target->count;
    return is_row ? (size_t)(row - target->rows) : target->count;
}

double sw_size_of(const sw_target_row *row)
{
    return row->target > 0 ? row->target : fmax(row->max, row->min);
}

bool sw_row_asks(const sw_target_row *row)
{
    return row->kind == SW_TARGET_COMPONENT &&
           (row->target > 0 || row->min > 0);
}

bool sw_target_asks(const sw_target *target, sw_component component)
{
    const sw_target_row *row = sw_target_row_of(target, component);
    return row && sw_row_asks(row);
}

bool sw_target_asks_aired(const sw_target *target)
{
    for (size_t i = 0; i < target->count; i++)
        if (target->rows[i].aired)
            return true;
    return false;
}

bool sw_shelf_brings(const sw_shelf *shelf, sw_component component)
{
    for (size_t j = 0; j < shelf->count; j++)
        if (shelf->products[j].per_g.amount[component] > 0 &&
            !(shelf->products[j].max_g_per_l <= 0))
            return true;
    return false;
}
