/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Target files: `parameter,target,min,max,weight,unit,stage`, a component, N,
 * pH, EC or a ratio by mass in each row.  A row keeps its name as written; its
 * numbers become mg/L of the component, pH, mS/cm or a ratio.  `base` names
 * published targets that the file starts from.
 */
#include "quantity/notes.h"
#include "quantity/status.h"
#include "quantity/units.h"
#include "records/harm.h"
#include "records/table.h"
#include "records/target_base.h"
#include "records/target_copy.h"
#include "records/utf8.h"
#include "table_refusals.h"
#include "table_words.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { PARAMETER, TARGET, MIN, MAX, WEIGHT, UNIT, STAGE };

static const sw_table_kind target_kind = {
    .what = "target file",
    .row = "row",
    .columns = {"parameter", "target", "min", "max", "weight", "unit", "stage"},
    .required = 1,
    .count = 7,
    .example = "parameter,target,min,max,weight,unit / Ca,150,,,,mg/L",
};

/* More mS/cm than any crop is fed. */
static const double most_ec_ms_per_cm = 20.0;

/* Beyond these a feed burns roots, locks up its nutrients and is no longer safe
 * to handle as one (common practice, no source). */
static const double least_feed_ph = 4.0, most_feed_ph = 8.5;

/* A target being read. */
typedef struct reading {
    sw_table table;
    sw_target *target;
    sw_target base; /* rows and notes of what it starts from */
    size_t stages;
    char blanks[200];       /* names of rows without numbers: a form's */
    sw_place blank;         /* of the first of them */
    sw_parameter parameter; /* of the current row, unless it is a ratio */
    sw_error *error;
} reading;

static sw_status fail(reading *r, size_t column, sw_status status,
                      const char *text)
{
    const sw_place place = sw_table_place(&r->table, column);
    return sw_fail_at(r->error, &place, status, "%s", text);
}

/* ---- What a row is about ----------------------------------------------- */

static bool is_aired(const char *name)
{
    return sw_same_name(name, "pH aired") || sw_same_name(name, "aired pH");
}

static sw_status find_parameter(const char *name, const char *unit,
                                sw_parameter *p, sw_error *error)
{
    if (is_aired(name))
        name = "pH";
    if (!sw_same_name(name, "N") && !sw_same_name(name, "total N"))
        return sw_parameter_find_in(name, unit, p, error);
    sw_parameter_nitrogen(p);
    return SW_OK;
}

/* One side of a ratio; only what is itself a component will do. */
static sw_status read_side(reading *r, const char *name, sw_component *side)
{
    sw_parameter p;
    const sw_place place = sw_table_place(&r->table, PARAMETER);
    char shown[SW_SHOWN_BYTES];
    sw_status status = find_parameter(name, "", &p, r->error);
    if (status)
        return sw_table_blame(&r->table, PARAMETER, status, r->error);
    *side = p.component;
    if (p.kind == SW_READS_COMPONENT && p.component_per_mg == 1.0)
        return SW_OK;
    sw_shorten(name, shown);
    if (p.kind == SW_READS_COMPONENT)
        return sw_fail_at(r->error, &place, SW_BAD_RATIO_NOT_ELEMENT, shown,
                          sw_component_name(p.component));
    return sw_fail_at(r->error, &place, SW_BAD_RATIO_NOT_COMPONENT, shown);
}

static void trim_end(char *text)
{
    size_t length = strlen(text);
    while (length > 0 && text[length - 1] == ' ')
        text[--length] = '\0';
}

static sw_status split_ratio(reading *r, sw_target_row *row, char *first)
{
    char *second = strchr(first, ':');
    *second++ = '\0';
    second += strspn(second, " ");
    trim_end(first);
    if (!*first || !*second || strchr(second, ':'))
        return fail(r, PARAMETER, SW_BAD_RATIO_SIDES);
    sw_status status = read_side(r, first, &row->component);
    if (!status)
        status = read_side(r, second, &row->other);
    if (!status && row->component == row->other)
        return fail(r, PARAMETER, SW_BAD_RATIO_OF_SAME);
    return status;
}

static sw_status read_ratio(reading *r, sw_target_row *row)
{
    row->kind = SW_TARGET_RATIO;
    if (*sw_table_text(&r->table, UNIT))
        return fail(r, UNIT, SW_BAD_RATIO_UNIT);
    char *sides = strdup(row->name);
    if (!sides)
        return sw_fail_memory(r->error);
    sw_status status = split_ratio(r, row, sides);
    free(sides);
    return status;
}

static sw_status read_kind(reading *r, sw_target_row *row)
{
    sw_status status = find_parameter(row->name, sw_table_text(&r->table, UNIT),
                                      &r->parameter, r->error);
    if (status)
        return sw_table_blame(&r->table, PARAMETER, status, r->error);
    row->component = row->other = r->parameter.component;
    bool lumped =
        r->parameter.partial && r->parameter.kind != SW_READS_ALKALINITY;
    switch (lumped ? SW_READS_OTHER : r->parameter.kind) {
    case SW_READS_COMPONENT:
        row->kind = SW_TARGET_COMPONENT;
        return SW_OK;
    case SW_READS_PH:
        row->kind = SW_TARGET_PH;
        row->aired = is_aired(row->name);
        return SW_OK;
    case SW_READS_EC:
        row->kind = SW_TARGET_EC;
        return SW_OK;
    case SW_READS_ALKALINITY:
        return fail(r, PARAMETER, SW_BAD_TARGET_ALKALINITY);
    default:
        return fail(r, PARAMETER, SW_BAD_TARGET_PARAMETER);
    }
}

static sw_status read_name(reading *r, sw_target_row *row)
{
    const char *name = sw_table_text(&r->table, PARAMETER);
    const sw_place place = sw_table_place(&r->table, PARAMETER);
    if (!*name)
        return fail(r, PARAMETER, SW_BAD_TARGET_NO_NAME);
    sw_status status = sw_check_name(&place, name, r->error);
    if (status)
        return status;
    row->line = place.line;
    row->column = sw_table_place(&r->table, TARGET).column;
    row->name = sw_copy_text(name);
    if (!row->name)
        return sw_fail_memory(r->error);
    return strchr(name, ':') ? read_ratio(r, row) : read_kind(r, row);
}

/* ---- Its numbers ------------------------------------------------------- */

static sw_status convert(reading *r, const sw_target_row *row, double *value)
{
    const char *unit = sw_table_text(&r->table, UNIT);
    if (row->kind == SW_TARGET_RATIO || isnan(*value))
        return SW_OK;
    if (!*unit)
        unit = row->kind == SW_TARGET_EC   ? "mS/cm"
               : row->kind == SW_TARGET_PH ? ""
                                           : "mg/L";
    sw_status status =
        sw_reading_convert(&r->parameter, *value, unit, value, r->error);
    return status ? sw_table_blame(&r->table, UNIT, status, r->error) : SW_OK;
}

static bool is_nitrogen_share(const sw_target_row *row)
{
    return row->kind == SW_TARGET_RATIO && row->other == SW_N &&
           row->component <= SW_UREA_N;
}

static sw_status fail_ph(reading *r, size_t column, double value)
{
    const sw_place place = sw_table_place(&r->table, column);
    return sw_fail_at(r->error, &place, SW_BAD_TARGET_PH, value, least_feed_ph,
                      most_feed_ph);
}

static sw_status check_domain(reading *r, const sw_target_row *row,
                              size_t column, double value)
{
    if (row->kind == SW_TARGET_PH &&
        (value < least_feed_ph || value > most_feed_ph))
        return fail_ph(r, column, value);
    if (row->kind == SW_TARGET_EC && value > most_ec_ms_per_cm)
        return fail(r, column, SW_BAD_TARGET_EC);
    if (is_nitrogen_share(row) && value > 1.0)
        return fail(r, column, SW_BAD_TARGET_N_SHARE);
    return SW_OK;
}

/* mg/L, ratios and weights: a litre weighs a kilogram, a nanogram in it is
 * found by nobody, and the solver is lost in wider ranges. */
static const double least_size = 1e-6, most_size = 1e6;

static sw_status check_size(reading *r, size_t column, double value)
{
    const sw_place place = sw_table_place(&r->table, column);
    if (isnan(value) || value == 0.0 ||
        (value >= least_size && value <= most_size))
        return SW_OK;
    return sw_fail_at(r->error, &place, SW_BAD_TARGET_SIZE, value,
                      value > most_size ? "too large" : "too small");
}

static sw_status read_number(reading *r, const sw_target_row *row,
                             size_t column, double *value)
{
    sw_status status = sw_table_amount(&r->table, column, value, r->error);
    if (!status)
        status = convert(r, row, value);
    if (!status && row->kind <= SW_TARGET_RATIO)
        status = check_size(r, column, *value);
    return status ? status : check_domain(r, row, column, *value);
}

static const char no_numbers[] =
    "this row has neither target nor min nor max, expected at least one of "
    "them, such as Ca,150,,,,mg/L";

static bool has_numbers(const sw_target_row *row)
{
    return !isnan(row->target) || !isnan(row->min) || !isnan(row->max);
}

static sw_status check_order(reading *r, const sw_target_row *row)
{
    if (!has_numbers(row) && !isnan(row->weight))
        return fail(r, PARAMETER, SW_ERR_MISSING, no_numbers);
    if (row->min > row->max)
        return fail(r, MIN, SW_BAD_TARGET_MIN_ABOVE_MAX);
    if (row->target < row->min)
        return fail(r, TARGET, SW_BAD_TARGET_BELOW_MIN);
    if (row->target > row->max)
        return fail(r, TARGET, SW_BAD_TARGET_ABOVE_MAX);
    return SW_OK;
}

/* A unit is checked even where no number needs it yet. */
static sw_status read_numbers(reading *r, sw_target_row *row)
{
    double unit = 1.0;
    sw_status status = convert(r, row, &unit);
    if (!status)
        status = read_number(r, row, TARGET, &row->target);
    if (!status)
        status = read_number(r, row, MIN, &row->min);
    if (!status)
        status = read_number(r, row, MAX, &row->max);
    if (!status)
        status = sw_table_amount(&r->table, WEIGHT, &row->weight, r->error);
    if (!status)
        status = check_size(r, WEIGHT, row->weight);
    return status ? status : check_order(r, row);
}

/* Of the crop; an empty cell is of every stage. */
static sw_status read_stage(reading *r, sw_target_row *row)
{
    const char *name = sw_table_text(&r->table, STAGE);
    const sw_place place = sw_table_place(&r->table, STAGE);
    if (!*name)
        return SW_OK;
    sw_status status = sw_check_name(&place, name, r->error);
    if (status)
        return status;
    row->stage = sw_copy_text(name);
    return row->stage ? SW_OK : sw_fail_memory(r->error);
}

/* ---- One row beside the others ----------------------------------------- */

static sw_status check_repeated(reading *r, const sw_target_row *row)
{
    const sw_place place = sw_table_place(&r->table, PARAMETER);
    for (size_t i = 0; i < r->target->count; i++) {
        const sw_target_row *other = &r->target->rows[i];
        if (sw_same_subject(other, row) && sw_same_stage(other, row))
            return sw_fail_at(r->error, &place, SW_BAD_TARGET_AGAIN, row->name,
                              other->name, other->line);
    }
    return SW_OK;
}

/* mg/L above which a target without a row of harm is more than any solution for
 * crops holds; common practice, no source. */
static const double improbable_mg_per_l = 1500.0;

static double largest(const sw_target_row *row)
{
    return fmax(row->target, fmax(row->min, row->max));
}

static sw_status note_row(reading *r, const sw_target_row *row)
{
    sw_notes *notes = &r->target->notes;
    double value = row->kind == SW_TARGET_PH ? row->target : largest(row);
    bool much = row->kind == SW_TARGET_COMPONENT && value > improbable_mg_per_l;
    if ((much || sw_feed_harms(row->kind, row->component, value)) &&
        sw_notes_add(notes, SW_SAY_TARGET_IMPROBABLE, row->name, value,
                     r->target->name, row->line))
        return sw_fail_memory(r->error);
    if (isnan(row->target) && !isnan(row->weight) &&
        sw_notes_add(notes, SW_SAY_WEIGHT_UNUSED, row->name, r->target->name,
                     row->line))
        return sw_fail_memory(r->error);
    return SW_OK;
}

static bool is_new_stage(const sw_target *target, const char *stage)
{
    for (size_t i = 0; stage && i < target->count; i++)
        if (target->rows[i].stage && sw_same_name(target->rows[i].stage, stage))
            return false;
    return stage != NULL;
}

static sw_status check_bounds(reading *r, const sw_target_row *row)
{
    const sw_place place = sw_table_place(&r->table, PARAMETER);
    const sw_place stage = sw_table_place(&r->table, STAGE);
    if (r->target->count == SW_MAX_TARGET_ROWS)
        return sw_fail_at(r->error, &place, SW_BAD_TARGET_ROWS_MANY,
                          SW_MAX_TARGET_ROWS);
    r->stages += is_new_stage(r->target, row->stage);
    if (r->stages > SW_MAX_STAGES)
        return sw_fail_at(r->error, &stage, SW_BAD_TARGET_STAGES_MANY,
                          SW_MAX_STAGES);
    return SW_OK;
}

/* ---- What the file starts from ------------------------------------------- */

/* The columns beside the name in a row that takes a set, or takes a row away.
 */
static sw_status check_bare(reading *r)
{
    for (size_t column = MIN; column <= UNIT; column++)
        if (*sw_table_text(&r->table, column))
            return fail(r, column, SW_BAD_BASE_CELLS);
    return SW_OK;
}

/* One set for each stage, or one for all. */
static sw_status check_base_repeated(reading *r, const sw_target *set)
{
    for (size_t i = 0; i < r->base.count; i++)
        for (size_t k = 0; k < set->count; k++)
            if (sw_same_subject(&r->base.rows[i], &set->rows[k]) &&
                sw_same_stage(&r->base.rows[i], &set->rows[k]))
                return fail(r, PARAMETER, SW_BAD_BASE_AGAIN);
    return SW_OK;
}

static sw_status read_base(reading *r)
{
    sw_target *set = NULL;
    sw_status status = check_bare(r);
    if (status)
        return status;
    status = sw_base_open(sw_table_text(&r->table, TARGET),
                          sw_table_text(&r->table, STAGE), &set, r->error);
    if (status)
        return sw_table_blame(&r->table, TARGET, status, r->error);
    status = check_base_repeated(r, set);
    if (!status && !sw_base_join(&r->base, set))
        status = sw_fail_memory(r->error);
    sw_target_free(set);
    return status;
}

/* ---- The whole ----------------------------------------------------------- */

static sw_status read_values(reading *r, sw_target_row *row)
{
    if (!sw_same_name(sw_table_text(&r->table, TARGET), "none"))
        return read_numbers(r, row);
    row->set = sw_base_none;
    row->target = row->min = row->max = NAN;
    return check_bare(r);
}

static sw_status keep_row(reading *r, sw_target_row *row)
{
    sw_status status = check_bounds(r, row);
    if (!status)
        status = check_repeated(r, row);
    if (!status)
        status = note_row(r, row);
    if (isnan(row->weight))
        row->weight = 1.0;
    if (!status && !sw_target_add(r->target, row))
        status = sw_fail_memory(r->error);
    return status;
}

/* A row of a form that was left blank asks for nothing. */
static void pass_blank(reading *r, const sw_target_row *row)
{
    size_t used = strlen(r->blanks);
    if (!used)
        r->blank = sw_table_place(&r->table, PARAMETER);
    snprintf(r->blanks + used, sizeof r->blanks - used, "%s%s",
             used ? ", " : "", row->name);
}

static sw_status conclude_blanks(reading *r)
{
    if (!r->blanks[0])
        return SW_OK;
    if (!r->target->count && !r->base.count && !strchr(r->blanks, ','))
        return sw_fail_at(r->error, &r->blank, SW_ERR_MISSING, "%s",
                          no_numbers);
    if (!r->target->count && !r->base.count)
        return sw_fail_at(r->error, &(sw_place){.file = r->blank.file},
                          SW_BAD_TARGET_BLANK);
    return sw_notes_add(&r->target->notes, SW_SAY_TARGET_BLANK, r->blanks)
               ? sw_fail_memory(r->error)
               : SW_OK;
}

static sw_status read_row(void *context)
{
    reading *r = context;
    sw_target_row row = {.weight = NAN};
    if (sw_same_name(sw_table_text(&r->table, PARAMETER), "base"))
        return read_base(r);
    sw_status status = read_name(r, &row);
    if (!status)
        status = read_values(r, &row);
    if (!status)
        status = read_stage(r, &row);
    if (!status && row.set != sw_base_none && !has_numbers(&row))
        pass_blank(r, &row);
    else if (!status)
        status = keep_row(r, &row);
    free(row.name);
    free(row.stage);
    return status;
}

sw_status sw_target_read(FILE *stream, const char *name, sw_target **target,
                         sw_error *error)
{
    SW_REQUIRE_FOR(target, error, stream, name);
    reading r = {.target = calloc(1, sizeof *r.target), .error = error};
    if (r.target)
        r.target->name = strdup(name);
    sw_status status =
        r.target && r.target->name
            ? sw_table_open(&r.table, &target_kind, stream, name, error)
            : sw_fail_memory(error);
    if (!status) {
        status = sw_table_read(&r.table, read_row, &r, error);
        if (!status)
            status = conclude_blanks(&r);
        sw_table_close(&r.table);
    }
    if (!status)
        status = sw_base_lay(r.target, &r.base, error);
    sw_target_clear(&r.base);
    if (status)
        sw_target_free(r.target);
    else
        *target = r.target;
    return status;
}

const sw_target_row *sw_target_ph(const sw_target *target)
{
    const sw_target_row *aired = NULL;
    for (size_t i = 0; target && i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        if (row->kind == SW_TARGET_PH && !row->aired)
            return row;
        if (row->kind == SW_TARGET_PH && !aired)
            aired = row;
    }
    return aired;
}
