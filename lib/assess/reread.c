/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A lab report with one reading taken as another: "SO4=SO4-S" (the number under
 * SO4 is sulfur), "Ca=[mmol/L]" (it is in another unit), or "[mg/L]=[meq/L]"
 * (every ion given in mg/L is in meq/L).
 */
#include "assess/rereadings.h"

#include "quantity/status.h"
#include "quantity/text.h"
#include "records/water.h"
#include "records/water_build.h"
#include "table_refusals.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_BYTES = 96 };

/* The parts of "NAME=NAME [UNIT]" or "[UNIT]=[UNIT]"; those left out "". */
typedef struct order {
    char old_name[MOST_BYTES], old_unit[MOST_BYTES];
    char new_name[MOST_BYTES], new_unit[MOST_BYTES];
} order;

/* A report being changed: its readings and what they measure. */
typedef struct draft {
    sw_water water; /* all but the readings borrowed */
    sw_measure *measures;
    size_t changed;
} draft;

/* ---- What to change ----------------------------------------------------- */

/* "NAME [UNIT]" in `length` bytes, either part optional. */
static bool split(const char *text, size_t length, char *name, char *unit)
{
    const char *open = memchr(text, '[', length);
    const char *end = text + sw_text_cut(text, length, " ");
    if (!open) {
        sw_text_inner(text, length, " ", name, MOST_BYTES);
        return true;
    }
    if (end[-1] != ']')
        return false;
    sw_text_inner(text, (size_t)(open - text), " ", name, MOST_BYTES);
    sw_text_inner(open + 1, (size_t)(end - open - 2), " ", unit, MOST_BYTES);
    return *unit != '\0';
}

static bool is_order(const char *text, order *o)
{
    const char *equals = strchr(text, '=');
    if (!equals || strlen(text) >= MOST_BYTES ||
        !split(text, (size_t)(equals - text), o->old_name, o->old_unit) ||
        !split(equals + 1, strlen(equals + 1), o->new_name, o->new_unit))
        return false;
    if (*o->old_unit) /* of every ion in a unit, only the unit can change */
        return !*o->old_name && !*o->new_name && *o->new_unit;
    return *o->old_name && (*o->new_name || *o->new_unit);
}

static sw_status parse(const char *text, order *o, sw_error *error)
{
    memset(o, 0, sizeof *o);
    if (is_order(text, o))
        return SW_OK;
    return sw_fail(error, SW_BAD_REREADING_FORM, text);
}

/* ---- Changing ----------------------------------------------------------- */

bool sw_lookup_is_in(const sw_lookup *reader, size_t index, const char *unit)
{
    const sw_measure *m = &reader->measures[index];
    double one;
    bool is_ion = m->parameter.kind == SW_READS_COMPONENT ||
                  m->parameter.kind == SW_READS_ALKALINITY;
    return is_ion &&
           sw_reading_convert(&m->parameter, 1.0, unit, &one, NULL) == SW_OK &&
           fabs(one - m->scale) <= 1e-9 * fabs(one);
}

/* Of every ion: one that cannot be in the new unit stays as it is. */
static bool can_be_in(const sw_measure *m, const char *unit)
{
    double one;
    return sw_reading_convert(&m->parameter, 1.0, unit, &one, NULL) == SW_OK;
}

static bool is_meant(const sw_lookup *r, size_t index, const order *o,
                     const char *canonical)
{
    if (*o->old_unit)
        return sw_lookup_is_in(r, index, o->old_unit) &&
               can_be_in(&r->measures[index], o->new_unit);
    return !strcmp(r->measures[index].parameter.name, canonical);
}

static sw_status change(draft *d, size_t index, order *o, sw_error *error)
{
    sw_reading *reading = &d->water.readings[index];
    if (*o->new_name)
        reading->parameter = o->new_name;
    if (*o->new_unit)
        reading->unit = o->new_unit;
    d->changed++;
    return sw_measure_find(reading->parameter, reading->unit,
                           &d->measures[index], error);
}

static sw_status change_all(const sw_lookup *r, order *o, draft *d,
                            sw_error *error)
{
    sw_parameter named = {.name = ""};
    sw_status status = SW_OK;
    bool open =
        *o->new_name && sw_parameter_known(o->old_name) == SW_KNOWN_OPEN;
    if (*o->old_name) /* what it was read as where it alone says too little */
        status =
            sw_parameter_find(open ? o->new_name : o->old_name, &named, error);
    for (size_t i = 0; status == SW_OK && i < r->water->reading_count; i++)
        if (is_meant(r, i, o, named.name))
            status = change(d, i, o, error);
    if (status == SW_OK && d->changed == 0)
        status = sw_fail(error, SW_BAD_REREADING_UNKNOWN, r->water->sample,
                         *o->old_unit ? "in " : "", o->old_name, o->old_unit);
    return status;
}

static sw_status open_draft(const sw_lookup *r, draft *d, sw_error *error)
{
    size_t count = r->water->reading_count;
    d->water = *r->water;
    d->changed = 0;
    d->water.readings = calloc(count + 1, sizeof *d->water.readings);
    d->measures = calloc(count + 1, sizeof *d->measures);
    if (!d->water.readings || !d->measures)
        return sw_fail_memory(error);
    for (size_t i = 0; i < count; i++) {
        d->water.readings[i] = r->water->readings[i];
        d->measures[i] = r->measures[i];
    }
    return SW_OK;
}

static void close_draft(draft *d)
{
    SW_FREE(d->water.readings, d->measures);
}

/* A water of its own from the draft, calculated anew. */
static sw_status build(const draft *d, sw_water **reread, sw_error *error)
{
    sw_notes notes = {0};
    sw_water *copy = calloc(1, sizeof *copy);
    sw_status status =
        copy ? sw_water_copy(&d->water, copy, error) : sw_fail_memory(error);
    if (status == SW_OK)
        status = sw_water_build(copy, d->measures, &notes, NULL, error);
    sw_notes_free(&notes);
    SW_GIVE(status, reread, copy, sw_water_free);
}

sw_status sw_lookup_take(const sw_lookup *reader, const char *read_as,
                         sw_water **reread, sw_error *error)
{
    order o;
    draft d;
    *reread = NULL;
    sw_status status = parse(read_as, &o, error);
    if (status != SW_OK)
        return status;
    status = open_draft(reader, &d, error);
    if (status == SW_OK)
        status = change_all(reader, &o, &d, error);
    if (status == SW_OK)
        status = build(&d, reread, error);
    close_draft(&d);
    return status;
}

sw_status sw_lookup_slip(const sw_lookup *reader, size_t index, double times,
                         sw_water **reread, sw_error *error)
{
    draft d;
    *reread = NULL;
    sw_status status = open_draft(reader, &d, error);
    if (status == SW_OK) {
        d.water.readings[index].value *= times;
        status = build(&d, reread, error);
    }
    close_draft(&d);
    return status;
}

/* ---- The reader of a report -------------------------------------------- */

void sw_lookup_close(sw_lookup *reader)
{
    free(reader->measures);
    reader->measures = NULL;
}

sw_status sw_lookup_open(sw_lookup *reader, const sw_water *water,
                         sw_error *error)
{
    sw_status status = SW_OK;
    reader->water = water;
    reader->measures =
        calloc(water->reading_count + 1, sizeof *reader->measures);
    if (!reader->measures)
        return sw_fail_memory(error);
    for (size_t i = 0; status == SW_OK && i < water->reading_count; i++)
        status = sw_measure_find(water->readings[i].parameter,
                                 water->readings[i].unit, &reader->measures[i],
                                 error);
    if (status != SW_OK)
        sw_lookup_close(reader);
    return status;
}

sw_status sw_water_reread(const sw_water *water, const char *read_as,
                          sw_water **reread, sw_error *error)
{
    SW_REQUIRE_FOR(reread, error, water, read_as);
    sw_lookup reader;
    sw_status status = sw_lookup_open(&reader, water, error);
    if (status != SW_OK)
        return status;
    status = sw_lookup_take(&reader, read_as, reread, error);
    sw_lookup_close(&reader);
    return status;
}

void sw_water_free(sw_water *water)
{
    if (!water)
        return;
    sw_water_clear(water);
    free(water);
}
