/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Published targets of crops: reference/crop_sets.csv names the works,
 * crop_targets.csv holds what they print in their own units, a stage of the
 * crop in each row.
 *
 * TRAP: me/L of phosphate counts one charge (H2PO4) or three (PO4), by the
 * work: `p_charge` says which, and P is read as moles.
 */

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "quantity/notes.h"
#include "quantity/status.h"
#include "quantity/text.h"
#include "quantity/units.h"
#include "records/targets.h"
#include "table_crop_sets.h"
#include "table_crop_targets.h"
#include "table_refusals.h"
#include "table_words.h"

typedef sw_crop_targets_row printed;

/* Of what a work does not print. */
static const char general[] = "general";

size_t sw_target_set_count(void)
{
    return sw_crop_sets_count;
}

sw_target_set sw_target_set_at(size_t index)
{
    const sw_crop_sets_row *row = &sw_crop_sets_table[index];
    return (sw_target_set){.name = row->name,
                           .crop = row->crop,
                           .other_names = row->other_names,
                           .system = row->system,
                           .known = row->known,
                           .cited = row->cited,
                           .remark = row->remark,
                           .source = row->source};
}

bool sw_target_set_is(const sw_target_set *set, const char *name)
{
    char key[SW_KEY_SIZE];
    sw_text_key(name, key);
    return sw_text_listed(set->name, key) || sw_text_listed(set->crop, key) ||
           sw_text_listed(set->other_names, key);
}

static const sw_crop_sets_row *set_named(const char *name)
{
    const sw_crop_sets_row *row = sw_crop_sets_table;
    while (strcmp(row->name, name) != 0)
        row++;
    return row;
}

sw_cited sw_target_set_cited(const char *set)
{
    sw_cited out;
    snprintf(out.text, sizeof out.text, "%.36s (%.36s)", set,
             set_named(set)->cited);
    return out;
}

sw_printed_stage sw_target_set_printed(const char *set, const char *stage)
{
    for (size_t i = 0; i < sw_crop_targets_count; i++) {
        const printed *row = &sw_crop_targets_table[i];
        if (strcmp(row->set, set) == 0 &&
            strcmp(row->stage, stage ? stage : "") == 0)
            return (sw_printed_stage){row->source, row->ec_ms_per_cm};
    }
    return (sw_printed_stage){NULL, NAN};
}

/* ---- From what is printed to mg/L ---------------------------------------- */

/* Cells of a row in the order of the components' names. */
enum {
    PRINTED_N,
    PRINTED_P = 3,
    PRINTED_S = 7,
    PRINTED_PH = 14,
    PRINTED_COUNT
};
static const char *const names[PRINTED_COUNT] = {
    "N",  "NO3-N", "NH4-N", "P",  "K", "Ca", "Mg", "S",
    "Fe", "Mn",    "Zn",    "Cu", "B", "Mo", "pH"};

static bool add_one(sw_target *target, const printed *row, size_t cell,
                    double value)
{
    sw_parameter p;
    bool moles = cell == PRINTED_P && strcmp(row->unit, "meq/L") == 0;
    const char *unit = cell <= PRINTED_S   ? row->unit
                       : cell < PRINTED_PH ? row->trace_unit
                                           : "";
    if (cell == PRINTED_N)
        sw_parameter_nitrogen(&p);
    else if (sw_parameter_find(names[cell], &p, NULL) != SW_OK)
        return false;
    if (sw_reading_convert(&p, moles ? value / row->p_charge : value,
                           moles ? "mmol/L" : unit, &value, NULL) != SW_OK)
        return false;
    return sw_target_add(
        target,
        &(sw_target_row){.kind = cell == PRINTED_PH ? SW_TARGET_PH
                                                    : SW_TARGET_COMPONENT,
                         .component = p.component,
                         .other = p.component,
                         .name = (char *)names[cell],
                         .target = value,
                         .min = NAN,
                         .max = NAN,
                         .weight = 1,
                         .set = row->set,
                         .stage = *row->stage ? (char *)row->stage : NULL});
}

/* Those of `row`; `lacking`: only what the target has nothing of. */
static bool add_printed(sw_target *target, const printed *row, bool lacking)
{
    const double cells[PRINTED_COUNT] = {
        row->n,  row->no3_n, row->nh4_n, row->p,  row->k,
        row->ca, row->mg,    row->s,     row->fe, row->mn,
        row->zn, row->cu,    row->b,     row->mo, row->ph};
    for (size_t i = 0; i < PRINTED_COUNT; i++) {
        bool skip = isnan(cells[i]);
        for (size_t k = 0; lacking && k < target->count; k++)
            skip |= strcmp(target->rows[k].name, names[i]) == 0;
        if (!skip && !add_one(target, row, i, cells[i]))
            return false;
    }
    return true;
}

static bool add_set(sw_target *target, const char *set, bool lacking)
{
    for (size_t i = 0; i < sw_crop_targets_count; i++)
        if (strcmp(sw_crop_targets_table[i].set, set) == 0 &&
            !add_printed(target, &sw_crop_targets_table[i], lacking))
            return false;
    return true;
}

/* ---- What is said of it -------------------------------------------------- */

static sw_status note_set(sw_target *target, const sw_crop_sets_row *set)
{
    return sw_notes_add(&target->notes, SW_SAY_SET_TAKEN, set->name, set->crop,
                        *set->system ? ", " : "", set->system, set->source,
                        set->known, *set->remark ? " " : "", set->remark);
}

/* "Fe, Mn" from row `first` on. */
static sw_status note_added(sw_target *target, const char *set, size_t first)
{
    char list[64] = "";
    for (size_t i = first; i < target->count; i++)
        sw_text_join(list, sizeof list, ", ", "%s", target->rows[i].name);
    if (!*list)
        return SW_OK;
    return sw_notes_add(&target->notes, SW_SAY_SET_STATES_NONE, set, list,
                        general, set_named(general)->source,
                        set_named(general)->known);
}

/* ---- By name ------------------------------------------------------------- */

static bool is_called(const sw_crop_sets_row *set, const char *key, bool own)
{
    return own ? sw_text_listed(set->name, key)
               : sw_text_listed(set->crop, key) ||
                     sw_text_listed(set->other_names, key);
}

/* How many sets are called so, and the first of them. */
static size_t match(const char *key, bool own, const sw_crop_sets_row **first)
{
    size_t count = 0;
    for (size_t i = sw_crop_sets_count; i-- > 0;)
        if (is_called(&sw_crop_sets_table[i], key, own)) {
            *first = &sw_crop_sets_table[i];
            count++;
        }
    return count;
}

static sw_status say_choices(const char *name, const char *key, sw_error *error)
{
    char list[400] = "";
    for (size_t i = 0; i < sw_crop_sets_count; i++) {
        const sw_crop_sets_row *set = &sw_crop_sets_table[i];
        if (is_called(set, key, false))
            sw_text_join(list, sizeof list, ", ", "%s (%s)", set->name,
                         set->cited);
    }
    return sw_fail(error, SW_BAD_SET_UNCLEAR, name, list);
}

static sw_status say_unknown(const char *name, const char *key, sw_error *error)
{
    char text[300];
    sw_near near = {.key = key};
    for (size_t i = 0; i < sw_crop_sets_count; i++) {
        const sw_crop_sets_row *set = &sw_crop_sets_table[i];
        sw_near_consider(&near, set->name, set->name);
        sw_near_consider(&near, set->crop, set->crop);
        sw_near_consider_list(&near, set->other_names, set->name);
    }
    sw_near_say(&near, text, sizeof text);
    return sw_fail(error, SW_BAD_SET_UNKNOWN, name, text);
}

static sw_status fill(const sw_crop_sets_row *set, sw_target *target,
                      sw_error *error)
{
    target->name = strdup(sw_target_set_cited(set->name).text);
    if (!target->name || !add_set(target, set->name, false))
        return sw_fail_memory(error);
    size_t own = target->count;
    if (!add_set(target, general, true) || note_set(target, set) != SW_OK ||
        note_added(target, set->name, own) != SW_OK)
        return sw_fail_memory(error);
    return SW_OK;
}

sw_status sw_target_named(const char *name, sw_target **target, sw_error *error)
{
    SW_REQUIRE_FOR(target, error, name);
    char key[SW_KEY_SIZE];
    const sw_crop_sets_row *set = NULL;
    sw_text_key(name, key);
    if (!*key)
        return sw_fail(error, SW_BAD_CROP_UNKNOWN, name);
    size_t count = match(key, true, &set);
    if (!count)
        count = match(key, false, &set);
    if (!count)
        return say_unknown(name, key, error);
    if (count > 1)
        return say_choices(name, key, error);
    sw_target *made = calloc(1, sizeof *made);
    sw_status status = made ? fill(set, made, error) : sw_fail_memory(error);
    SW_GIVE(status, target, made, sw_target_free);
}
