/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Target files: `parameter,target,min,max,weight,unit,stage`, a component, N,
 * pH, EC or a ratio by mass in each row.  A row keeps its name as written; its
 * numbers become mg/L of the component, pH, mS/cm or a ratio.  `base` names
 * published targets that the file starts from.
 */
#include "quantity/notes.h"
#include "quantity/status.h"
#include "quantity/text.h"
#include "quantity/units.h"
#include "records/feed_limits.h"
#include "records/table.h"
#include "records/targets.h"
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
    char bare[200];         /* names of components without a unit, */
    bool any_unit;          /* where others have one */
    sw_parameter parameter; /* of the current row, unless it is a ratio */
} reading;

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
static sw_component read_side(sw_table *t, const char *name)
{
    sw_parameter p = {.component = SW_COMPONENT_COUNT};
    sw_error cause;
    char shown[SW_SHOWN_BYTES];
    sw_shorten(name, shown);
    if (find_parameter(name, "", &p, &cause))
        sw_table_blame(t, PARAMETER, &cause);
    else if (p.kind != SW_READS_COMPONENT)
        sw_table_refuse(t, PARAMETER, SW_BAD_RATIO_NOT_COMPONENT, shown);
    else if (p.component_per_mg != 1.0)
        sw_table_refuse(t, PARAMETER, SW_BAD_RATIO_NOT_ELEMENT, shown,
                        sw_component_name(p.component));
    return p.component;
}

static void split_ratio(sw_table *t, sw_target_row *row, char *first)
{
    char *second = strchr(first, ':');
    *second++ = '\0';
    second += strspn(second, " ");
    sw_text_trim(first, " ");
    if (!*first || !*second || strchr(second, ':'))
        sw_table_refuse(t, PARAMETER, SW_BAD_RATIO_SIDES);
    row->component = read_side(t, first);
    row->other = read_side(t, second);
    if (row->component == row->other)
        sw_table_refuse(t, PARAMETER, SW_BAD_RATIO_OF_SAME);
}

static void read_ratio(sw_table *t, sw_target_row *row)
{
    row->kind = SW_TARGET_RATIO;
    if (*sw_table_text(t, UNIT))
        sw_table_refuse(t, UNIT, SW_BAD_RATIO_UNIT);
    char *sides = strdup(row->name);
    if (sides)
        split_ratio(t, row, sides);
    else
        sw_table_lack(t);
    free(sides);
}

static void read_kind(reading *r, sw_target_row *row)
{
    sw_error cause;
    sw_table *t = &r->table;
    sw_parameter *p = &r->parameter;
    if (find_parameter(row->name, sw_table_text(t, UNIT), p, &cause)) {
        sw_table_blame(t, PARAMETER, &cause);
        return;
    }
    row->component = row->other = p->component;
    bool lumped = p->partial && p->kind != SW_READS_ALKALINITY;
    switch (lumped ? SW_READS_OTHER : p->kind) {
    case SW_READS_COMPONENT:
        row->kind = SW_TARGET_COMPONENT;
        break;
    case SW_READS_PH:
        row->kind = SW_TARGET_PH;
        row->aired = is_aired(row->name);
        break;
    case SW_READS_EC:
        row->kind = SW_TARGET_EC;
        break;
    case SW_READS_ALKALINITY:
        sw_table_refuse(t, PARAMETER, SW_BAD_TARGET_ALKALINITY);
        break;
    default:
        sw_table_refuse(t, PARAMETER, SW_BAD_TARGET_PARAMETER);
    }
}

static void read_name(reading *r, sw_target_row *row)
{
    sw_table *t = &r->table;
    row->line = sw_table_place(t, PARAMETER).line;
    row->column = sw_table_place(t, TARGET).column;
    row->name = sw_table_name(t, PARAMETER);
    if (!row->name)
        sw_table_refuse(t, PARAMETER, SW_BAD_TARGET_NO_NAME);
    else if (strchr(row->name, ':'))
        read_ratio(t, row);
    else
        read_kind(r, row);
}

/* ---- Its numbers ------------------------------------------------------- */

static double convert(reading *r, const sw_target_row *row, double value)
{
    sw_error cause;
    const char *unit = sw_table_text(&r->table, UNIT);
    if (row->kind == SW_TARGET_RATIO || isnan(value))
        return value;
    if (!*unit)
        unit = row->kind == SW_TARGET_EC   ? "mS/cm"
               : row->kind == SW_TARGET_PH ? ""
                                           : "mg/L";
    if (sw_reading_convert(&r->parameter, value, unit, &value, &cause))
        sw_table_blame(&r->table, UNIT, &cause);
    return value;
}

static bool is_nitrogen_share(const sw_target_row *row)
{
    return row->kind == SW_TARGET_RATIO && row->other == SW_N &&
           row->component <= SW_UREA_N;
}

static void check_domain(sw_table *t, const sw_target_row *row, size_t column,
                         double value)
{
    if (row->kind == SW_TARGET_PH &&
        (value < least_feed_ph || value > most_feed_ph))
        sw_table_refuse(t, column, SW_BAD_TARGET_PH, value, least_feed_ph,
                        most_feed_ph);
    if (row->kind == SW_TARGET_EC && value > most_ec_ms_per_cm)
        sw_table_refuse(t, column, SW_BAD_TARGET_EC);
    if (is_nitrogen_share(row) && value > 1.0)
        sw_table_refuse(t, column, SW_BAD_TARGET_N_SHARE);
}

/* mg/L, ratios and weights: a litre weighs a kilogram, a nanogram in it is
 * found by nobody, and the solver is lost in wider ranges. */
static const double least_size = 1e-6, most_size = 1e6;

static void check_size(sw_table *t, size_t column, double value)
{
    if (!isnan(value) && value != 0.0 &&
        (value < least_size || value > most_size))
        sw_table_refuse(t, column, SW_BAD_TARGET_SIZE, value,
                        value > most_size ? "too large" : "too small");
}

/* mg/L: a kilogram of seawater holds 19 353 mg of chloride and less of all else
 * (Millero et al. 2008, Deep-Sea Research I 55:50; value from memory). */
static const double most_target = 20000;

static void check_possible(sw_table *t, const sw_target_row *row, size_t column,
                           double value)
{
    if (row->kind == SW_TARGET_COMPONENT && column != MAX &&
        value > most_target && value <= most_size)
        sw_table_refuse(t, column, SW_BAD_TARGET_IMPOSSIBLE, row->name, value,
                        most_target);
}

static double read_number(reading *r, const sw_target_row *row, size_t column)
{
    double value = convert(r, row, sw_table_amount(&r->table, column));
    if (row->kind <= SW_TARGET_RATIO)
        check_size(&r->table, column, value);
    check_possible(&r->table, row, column, value);
    check_domain(&r->table, row, column, value);
    return value;
}

static const char no_numbers[] =
    "this row has neither target nor min nor max, expected at least one of "
    "them, such as Ca,150,,,,mg/L";

static bool has_numbers(const sw_target_row *row)
{
    return !isnan(row->target) || !isnan(row->min) || !isnan(row->max);
}

static void check_order(sw_table *t, const sw_target_row *row)
{
    if (!has_numbers(row) && !isnan(row->weight))
        sw_table_refuse(t, PARAMETER, SW_ERR_MISSING, no_numbers);
    if (row->min > row->max)
        sw_table_refuse(t, MIN, SW_BAD_TARGET_MIN_ABOVE_MAX);
    if (row->target < row->min)
        sw_table_refuse(t, TARGET, SW_BAD_TARGET_BELOW_MIN);
    if (row->target > row->max)
        sw_table_refuse(t, TARGET, SW_BAD_TARGET_ABOVE_MAX);
    /* Of a component it may be left out by its weight. */
    if (row->target == 0 && isnan(row->max) &&
        (row->kind == SW_TARGET_RATIO || row->kind == SW_TARGET_EC))
        sw_table_refuse(t, TARGET, SW_BAD_ZERO_NEEDS_MAX, row->name);
}

/* A unit is checked even where no number needs it yet. */
static void read_numbers(reading *r, sw_target_row *row)
{
    (void)convert(r, row, 1.0);
    row->target = read_number(r, row, TARGET);
    row->min = read_number(r, row, MIN);
    row->max = read_number(r, row, MAX);
    row->weight = sw_table_amount(&r->table, WEIGHT);
    check_size(&r->table, WEIGHT, row->weight);
    check_order(&r->table, row);
}

/* ---- One row beside the others ----------------------------------------- */

static void check_repeated(reading *r, const sw_target_row *row)
{
    for (size_t i = 0; i < r->target->count; i++) {
        const sw_target_row *other = &r->target->rows[i];
        if (sw_same_subject(other, row) && sw_same_stage(other, row))
            sw_table_refuse(&r->table, PARAMETER, SW_BAD_TARGET_AGAIN,
                            row->name, other->name, other->line);
    }
}

/* ---- Nitrogen and its forms ---------------------------------------------- */

/* Roundings of what is a sum. */
static const double sum_share = 0.01;

static bool is_nitrogen(const sw_target_row *row)
{
    return row->kind == SW_TARGET_COMPONENT &&
           (row->component == SW_N ||
            sw_component_is(row->component, SW_IS_FORM));
}

/* What a row asks for, where it has no target by one of its limits, NaN. */
static double asked(const sw_target_row *row, double limit)
{
    return isnan(row->target) ? limit : row->target;
}

/* The forms of nitrogen in a stage together, and N itself. */
typedef struct nitrogen {
    double low, high; /* of the forms: asked for, and allowed */
    double n_low, n_high;
    size_t forms;
    char names[100];
} nitrogen;

static nitrogen sum_nitrogen(const sw_target *target, const char *stage)
{
    nitrogen sum = {.n_high = INFINITY};
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        bool other = row->stage && !(stage && sw_same_name(row->stage, stage));
        double low = fmax(0.0, asked(row, row->min));
        double high = fmin(INFINITY, asked(row, row->max));
        if (other || !is_nitrogen(row))
            continue;
        if (row->component == SW_N) {
            sum.n_low = low;
            sum.n_high = high;
            continue;
        }
        sum.low += low;
        sum.high += high;
        sum.forms++;
        sw_text_join(sum.names, sizeof sum.names, " and ", "%.20s (line %lu)",
                     row->name, row->line);
    }
    return sum;
}

/* N is the sum of three forms. */
static void check_nitrogen(reading *r, const sw_target_row *row)
{
    for (size_t i = 0; is_nitrogen(row) && i < r->target->count; i++) {
        nitrogen n = sum_nitrogen(r->target, r->target->rows[i].stage);
        if (n.low > n.n_high * (1.0 + sum_share))
            sw_table_refuse(&r->table, PARAMETER, SW_BAD_TARGET_NITROGEN,
                            n.names, n.forms == 1 ? "asks" : "ask", n.low,
                            n.n_high);
        if (n.forms == 3 && n.high < n.n_low * (1.0 - sum_share))
            sw_table_refuse(&r->table, PARAMETER, SW_BAD_TARGET_NITROGEN_SHORT,
                            n.names, n.high, n.n_low);
    }
}

/* mg/L above which a target without a row of harm is more than any solution for
 * crops holds; common practice, no source. */
static const double improbable_mg_per_l = 1500.0;

static double largest(const sw_target_row *row)
{
    return fmax(row->target, fmax(row->min, row->max));
}

static void note_row(const sw_target_row *row, sw_target *target)
{
    double value = row->kind == SW_TARGET_PH ? row->target : largest(row);
    bool much = row->kind == SW_TARGET_COMPONENT && value > improbable_mg_per_l;
    if (much || sw_feed_harms(row->kind, row->component, value))
        sw_notes_add(&target->notes, SW_SAY_TARGET_IMPROBABLE, row->name, value,
                     target->name, row->line);
    if (isnan(row->target) && !isnan(row->weight))
        sw_notes_add(&target->notes, SW_SAY_WEIGHT_UNUSED, row->name,
                     target->name, row->line);
}

static void check_bounds(reading *r, const sw_target_row *row)
{
    if (r->target->count == SW_MAX_TARGET_ROWS)
        sw_table_refuse(&r->table, PARAMETER, SW_BAD_TARGET_ROWS_MANY,
                        SW_MAX_TARGET_ROWS);
    r->stages += row->stage &&
                 !sw_target_has_stage(r->target, r->target->count, row->stage);
    if (r->stages > SW_MAX_STAGES)
        sw_table_refuse(&r->table, STAGE, SW_BAD_TARGET_STAGES_MANY,
                        SW_MAX_STAGES);
}

/* ---- What the file starts from ------------------------------------------- */

/* The columns beside the name in a row that takes a set, or takes a row away.
 */
static void check_bare(sw_table *t)
{
    for (size_t column = MIN; column <= UNIT; column++)
        if (*sw_table_text(t, column))
            sw_table_refuse(t, column, SW_BAD_BASE_CELLS);
}

/* One set for each stage, or one for all. */
static void check_base_repeated(reading *r, const sw_target *set)
{
    for (size_t i = 0; i < r->base.count; i++)
        for (size_t k = 0; k < set->count; k++)
            if (sw_same_subject(&r->base.rows[i], &set->rows[k]) &&
                sw_same_stage(&r->base.rows[i], &set->rows[k]))
                sw_table_refuse(&r->table, PARAMETER, SW_BAD_BASE_AGAIN);
}

static void read_base(reading *r)
{
    sw_error cause;
    sw_target *set = NULL;
    sw_table *t = &r->table;
    check_bare(t);
    if (sw_base_open(sw_table_text(t, TARGET), sw_table_text(t, STAGE), &set,
                     &cause)) {
        sw_table_blame(t, TARGET, &cause);
        return;
    }
    check_base_repeated(r, set);
    if (!sw_base_join(&r->base, set))
        sw_table_lack(t);
    sw_target_free(set);
}

/* ---- The whole ----------------------------------------------------------- */

static void read_values(reading *r, sw_target_row *row)
{
    if (!sw_same_name(sw_table_text(&r->table, TARGET), "none")) {
        read_numbers(r, row);
        return;
    }
    row->set = sw_base_none;
    row->target = row->min = row->max = NAN;
    check_bare(&r->table);
}

/* What has no unit is in mg/L, which is told where others have one. */
static void note_unit(reading *r, const sw_target_row *row)
{
    bool united = *sw_table_text(&r->table, UNIT) != '\0';
    if (row->kind != SW_TARGET_COMPONENT || !has_numbers(row))
        return;
    r->any_unit = r->any_unit || united;
    if (!united)
        sw_text_join(r->bare, sizeof r->bare, ", ", "%s", row->name);
}

static void keep_row(reading *r, sw_target_row *row)
{
    note_unit(r, row);
    check_bounds(r, row);
    check_repeated(r, row);
    note_row(row, r->target);
    if (isnan(row->weight))
        row->weight = 1.0;
    if (!sw_target_add(r->target, row))
        sw_table_lack(&r->table);
    check_nitrogen(r, row);
}

/* A row of a form that was left blank asks for nothing. */
static void pass_blank(reading *r, const sw_target_row *row)
{
    if (!*r->blanks)
        r->blank = sw_table_place(&r->table, PARAMETER);
    sw_text_join(r->blanks, sizeof r->blanks, ", ", "%s", row->name);
}

static void conclude_blanks(reading *r)
{
    bool nothing = !r->target->count && !r->base.count;
    if (!r->blanks[0])
        return;
    if (nothing && !strchr(r->blanks, ','))
        sw_table_refuse_at(&r->table, &r->blank, SW_ERR_MISSING, no_numbers);
    else if (nothing)
        sw_table_refuse_at(&r->table, &(sw_place){.file = r->blank.file},
                           SW_BAD_TARGET_BLANK);
    else
        sw_notes_add(&r->target->notes, SW_SAY_TARGET_BLANK, r->blanks);
}

static bool read_row(void *context)
{
    reading *r = context;
    sw_target_row row = {.weight = NAN};
    if (sw_same_name(sw_table_text(&r->table, PARAMETER), "base")) {
        read_base(r);
        return true;
    }
    read_name(r, &row);
    if (!sw_table_is_refused(&r->table)) {
        read_values(r, &row);
        row.stage = sw_table_name(&r->table, STAGE); /* none: of every one */
        if (row.set != sw_base_none && !has_numbers(&row))
            pass_blank(r, &row);
        else
            keep_row(r, &row);
    }
    SW_FREE(row.name, row.stage);
    return true;
}

static sw_status read_all(reading *r, FILE *stream, const char *name,
                          sw_error *error)
{
    sw_target *target = r->target;
    target->name = strdup(name);
    if (!target->name)
        return sw_fail_memory(error);
    sw_table_open(&r->table, &target_kind, stream, name);
    sw_table_read(&r->table, read_row, r);
    conclude_blanks(r);
    if (r->any_unit && *r->bare)
        sw_notes_add(&target->notes, SW_SAY_TARGET_NO_UNIT, name, r->bare);
    sw_status status = sw_table_close(&r->table, error);
    if (!status)
        status = sw_base_lay(target, &r->base, error);
    return status ? status : sw_notes_status(&target->notes, error);
}

sw_status sw_target_read(FILE *stream, const char *name, sw_target **target,
                         sw_error *error)
{
    SW_REQUIRE_FOR(target, error, stream, name);
    reading r = {.target = calloc(1, sizeof *r.target)};
    if (!r.target)
        return sw_fail_memory(error);
    sw_status status = read_all(&r, stream, name, error);
    sw_target_clear(&r.base);
    SW_GIVE(status, target, r.target, sw_target_free);
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
