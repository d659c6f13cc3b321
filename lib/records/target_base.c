/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What a target file says replaces what its base says of the same, in the
 * stages it says it of: a base's row of every stage is parted into rows of the
 * stages that are left.
 */

#include <string.h>

#include "quantity/notes.h"
#include "quantity/status.h"
#include "records/table.h"
#include "records/targets.h"
#include "table_refusals.h"

const char sw_base_none[] = "none";

bool sw_same_subject(const sw_target_row *a, const sw_target_row *b)
{
    bool straight = a->component == b->component && a->other == b->other;
    bool crossed = a->component == b->other && a->other == b->component;
    return a->kind == b->kind && a->aired == b->aired && (straight || crossed);
}

bool sw_same_stage(const sw_target_row *a, const sw_target_row *b)
{
    return !a->stage || !b->stage || sw_same_name(a->stage, b->stage);
}

/* ---- A set --------------------------------------------------------------- */

/* All rows are of every stage. */
static bool move_to_stage(sw_target *set, const char *stage)
{
    for (size_t i = 0; i < set->count; i++) {
        set->rows[i].stage = strdup(stage);
        if (!set->rows[i].stage)
            return false;
    }
    return true;
}

sw_status sw_base_open(const char *name, const char *stage, sw_target **set,
                       sw_error *error)
{
    sw_target *all;
    sw_status status = sw_target_named(name, set, error);
    if (status != SW_OK || !*stage)
        return status;
    all = *set;
    if (sw_target_stage_name(all, 0)) {
        status = sw_target_stage(all, stage, set, error);
        sw_target_free(all);
    }
    if (status == SW_OK && !move_to_stage(*set, stage)) {
        sw_target_free(*set);
        *set = NULL;
        status = sw_fail_memory(error);
    }
    return status;
}

bool sw_base_join(sw_target *base, const sw_target *set)
{
    for (size_t i = 0; i < set->count; i++)
        if (!sw_target_add(base, &set->rows[i]))
            return false;
    return sw_notes_append(&base->notes, &set->notes) == SW_OK;
}

/* ---- Under the file's own rows --------------------------------------------
 */

typedef struct laying {
    sw_target *own;
    size_t count; /* rows of the file; those of the base follow */
    const sw_target *base;
    sw_error *error;
} laying;

/* Whether a row of the file is about the same as `row` in `stage`, NULL: in
 * every one. */
static bool is_replaced(const laying *l, const sw_target_row *row,
                        const char *stage)
{
    for (size_t i = 0; i < l->count; i++) {
        const sw_target_row *own = &l->own->rows[i];
        if (sw_same_subject(own, row) &&
            (!own->stage || (stage && sw_same_name(own->stage, stage))))
            return true;
    }
    return false;
}

static bool is_replaced_somewhere(const laying *l, const sw_target_row *row)
{
    for (size_t i = 0; i < l->count; i++)
        if (sw_same_subject(&l->own->rows[i], row))
            return true;
    return false;
}

/* The row, of every stage until now, in each of the file's that lacks it. */
static bool add_in_stages(const laying *l, const sw_target_row *row)
{
    const sw_target *from[] = {l->own, l->base};
    for (size_t k = 0; k < 2; k++) {
        const char *stage;
        for (size_t i = 0; (stage = sw_target_stage_name(from[k], i)); i++) {
            sw_target_row one = *row;
            one.stage = (char *)stage;
            bool there = is_replaced(l, row, stage);
            for (size_t j = l->count; j < l->own->count; j++)
                there |= sw_same_subject(&l->own->rows[j], row) &&
                         sw_same_stage(&l->own->rows[j], &one);
            if (!there && !sw_target_add(l->own, &one))
                return false;
        }
    }
    return true;
}

static bool lay_row(const laying *l, const sw_target_row *row)
{
    if (is_replaced(l, row, row->stage))
        return true;
    return !row->stage && is_replaced_somewhere(l, row)
               ? add_in_stages(l, row)
               : sw_target_add(l->own, row);
}

/* Two numbers for one thing where a file sets N and its base the forms. */
static bool is_form_of(const sw_target_row *form, const sw_target_row *n)
{
    return n->kind == SW_TARGET_COMPONENT && n->component == SW_N && !n->set &&
           form->kind == SW_TARGET_COMPONENT &&
           (form->component == SW_NO3_N || form->component == SW_NH4_N) &&
           sw_same_stage(form, n);
}

static sw_status check_nitrogen(const laying *l)
{
    for (size_t i = 0; i < l->count; i++)
        for (size_t k = l->count; k < l->own->count; k++) {
            const sw_target_row *n = &l->own->rows[i];
            const sw_target_row *form = &l->own->rows[k];
            if (is_form_of(form, n))
                return sw_fail_at(
                    l->error, &(sw_place){l->own->name, n->line, n->column},
                    SW_BAD_BASE_N_FORMS, form->name, form->target, form->name);
        }
    return SW_OK;
}

/* Whether the base has anything that `row` takes away. */
static bool takes_away(const laying *l, const sw_target_row *row)
{
    for (size_t i = 0; i < l->base->count; i++)
        if (sw_same_subject(row, &l->base->rows[i]) &&
            sw_same_stage(row, &l->base->rows[i]))
            return true;
    return false;
}

static sw_status drop_taken(const laying *l)
{
    size_t kept = 0;
    sw_target *own = l->own;
    for (size_t i = 0; i < own->count; i++) {
        sw_target_row *row = &own->rows[i];
        if (row->set != sw_base_none) {
            sw_target_row other = own->rows[kept];
            own->rows[kept++] = *row;
            *row = other;
        } else if (!takes_away(l, row)) {
            return sw_fail_at(
                l->error, &(sw_place){own->name, row->line, row->column},
                SW_BAD_BASE_NOTHING_TO_TAKE, row->name, row->name);
        }
    }
    for (size_t i = kept; i < own->count; i++) {
        SW_FREE(own->rows[i].name, own->rows[i].stage);
    }
    own->count = kept;
    return SW_OK;
}

sw_status sw_base_lay(sw_target *own, const sw_target *base, sw_error *error)
{
    laying l = {own, own->count, base, error};
    bool done = sw_notes_append(&own->notes, &base->notes) == SW_OK;
    for (size_t i = 0; done && i < base->count; i++)
        done = lay_row(&l, &base->rows[i]);
    if (!done)
        return sw_fail_memory(error);
    sw_status status = check_nitrogen(&l);
    return status == SW_OK ? drop_taken(&l) : status;
}
