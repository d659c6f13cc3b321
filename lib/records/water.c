/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Waters: read from a file one by one or all at once, found, copied, rebuilt
 * from their readings, released.
 */
#include "records/water.h"

#include "quantity/status.h"
#include "records/water_build.h"
#include "records/water_file.h"

#include <stdlib.h>
#include <string.h>

struct sw_water_stream {
    char *name;
    sw_water_file file;
    sw_water water; /* the one last handed out */
};

/* ---- One water --------------------------------------------------------- */

/* Copies `text` to *at and moves *at past it. */
static char *put_text(char **at, const char *text)
{
    size_t size = strlen(text) + 1;
    char *copy = memcpy(*at, text, size);
    *at += size;
    return copy;
}

/* Readings and their texts in one block, so that a water is few blocks. */
static sw_reading *pack_readings(const sw_reading *from, size_t count)
{
    size_t bytes = (count ? count : 1) * sizeof *from;
    for (size_t i = 0; i < count; i++)
        bytes += strlen(from[i].parameter) + strlen(from[i].unit) + 2;
    sw_reading *packed = malloc(bytes);
    if (!packed)
        return NULL;
    char *text = (char *)(packed + count);
    for (size_t i = 0; i < count; i++) {
        packed[i] = from[i];
        packed[i].parameter = put_text(&text, from[i].parameter);
        packed[i].unit = put_text(&text, from[i].unit);
    }
    return packed;
}

void sw_water_clear(sw_water *water)
{
    free(water->sample);
    free(water->file);
    free(water->readings);
    memset(water, 0, sizeof *water);
}

/* Gives the water what it owns; clears it when there is no memory. */
static sw_status own(sw_water *water, const char *sample, const char *file,
                     const sw_reading *readings, sw_error *error)
{
    water->sample = strdup(sample);
    water->file = strdup(file);
    water->readings = pack_readings(readings, water->reading_count);
    if (water->sample && water->file && water->readings)
        return SW_OK;
    sw_water_clear(water);
    return sw_fail_memory(error);
}

sw_status sw_water_copy(const sw_water *water, sw_water *copy, sw_error *error)
{
    *copy = *water;
    return own(copy, water->sample, water->file, water->readings, error);
}

static sw_status find_measures(const sw_water *water, sw_measure *measures,
                               sw_error *error)
{
    for (size_t i = 0; i < water->reading_count; i++) {
        const sw_reading *r = &water->readings[i];
        sw_status status =
            sw_measure_find(r->parameter, r->unit, &measures[i], error);
        if (status && error) {
            (void)snprintf(error->file, sizeof error->file, "%s", water->file);
            error->line = r->line;
            error->column = r->column;
        }
        if (status)
            return status;
    }
    return SW_OK;
}

sw_status sw_water_from_readings(sw_water *water, sw_notes *notes,
                                 sw_error *error)
{
    sw_measure *measures = calloc(water->reading_count + 1, sizeof *measures);
    if (!measures)
        return sw_fail_memory(error);
    sw_status status = find_measures(water, measures, error);
    if (!status)
        status = sw_water_build(water, measures, notes, error);
    free(measures);
    return status;
}

sw_status sw_water_notes(const sw_water *water, sw_notes *notes,
                         sw_error *error)
{
    SW_REQUIRE(error, water, notes);
    sw_water copy;
    sw_status status = sw_water_copy(water, &copy, error);
    if (status)
        return status;
    status = sw_water_from_readings(&copy, notes, error);
    sw_water_clear(&copy);
    return status;
}

static sw_status take_said(sw_water *water, const sw_said *said, size_t count,
                           const char *name, sw_error *error)
{
    sw_reading *readings = calloc(count + 1, sizeof *readings);
    if (!readings)
        return sw_fail_memory(error);
    for (size_t i = 0; i < count; i++)
        readings[i] = (sw_reading){.parameter = (char *)said[i].parameter,
                                   .unit = (char *)said[i].unit,
                                   .value = said[i].value,
                                   .below_detection = said[i].below,
                                   .column = i + 1};
    water->reading_count = count;
    sw_status status = own(water, name, name, readings, error);
    free(readings);
    return status;
}

sw_status sw_water_said(const sw_said *said, size_t count, const char *name,
                        sw_water **water, sw_notes *notes, sw_error *error)
{
    SW_REQUIRE_FOR(water, error, said, name, notes);
    if (count == 0)
        return sw_fail(error, SW_ERR_MISSING,
                       "no reading is given, expected at least one, such as "
                       "Ca = 48 mg/L");
    sw_water *made = calloc(1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    sw_status status = take_said(made, said, count, name, error);
    if (!status)
        status = sw_water_from_readings(made, notes, error);
    if (status) {
        sw_water_clear(made);
        free(made);
    } else {
        *water = made;
    }
    return status;
}

/* ---- Reading ----------------------------------------------------------- */

/* The next water into *water, whose sample is NULL at the end. */
static sw_status next_water(sw_water_file *file, sw_water *water,
                            sw_notes *notes, sw_error *error)
{
    sw_gathered gathered;
    memset(water, 0, sizeof *water);
    sw_status status = sw_water_file_next(file, &gathered, error);
    if (status || !gathered.sample)
        return status;
    water->reading_count = gathered.count;
    status = own(water, gathered.sample, file->name, gathered.readings, error);
    if (!status) {
        status = sw_water_build(water, gathered.measures, notes, error);
        if (status)
            sw_water_clear(water);
    }
    sw_gathered_clear(&gathered);
    return status;
}

static sw_status append(sw_waters *waters, size_t *room, const sw_water *water,
                        sw_error *error)
{
    if (waters->count == *room) {
        size_t more = *room ? 2 * *room : 4;
        sw_water *items = realloc(waters->items, more * sizeof *items);
        if (!items)
            return sw_fail_memory(error);
        waters->items = items;
        *room = more;
    }
    waters->items[waters->count++] = *water;
    return SW_OK;
}

static sw_status read_all(sw_water_file *file, sw_waters *waters,
                          sw_error *error)
{
    size_t room = 0;
    for (;;) {
        sw_water water;
        sw_status status = next_water(file, &water, &waters->notes, error);
        if (status || !water.sample)
            return status;
        status = append(waters, &room, &water, error);
        if (status) {
            sw_water_clear(&water);
            return status;
        }
    }
}

/* A water in the order of the samples' names. */
typedef struct ranked {
    const sw_water *water;
} ranked;

static int by_sample(const void *a, const void *b)
{
    const sw_water *first = ((const ranked *)a)->water;
    const sw_water *second = ((const ranked *)b)->water;
    int order = strcmp(first->sample, second->sample);
    return order ? order : (first > second) - (first < second);
}

static sw_status fail_repeated(const sw_water *first, const sw_water *second,
                               sw_error *error)
{
    const sw_place place = {second->file, second->readings[0].line, 1};
    return sw_fail_at(error, SW_ERR_DUPLICATE, &place,
                      "the sample '%s' is already in line %lu, expected names "
                      "that differ, such as %.40s 2",
                      second->sample, first->readings[0].line, second->sample);
}

static sw_status check_samples(const sw_waters *waters, sw_error *error)
{
    ranked *order = malloc((waters->count + 1) * sizeof *order);
    if (!order)
        return sw_fail_memory(error);
    for (size_t i = 0; i < waters->count; i++)
        order[i].water = &waters->items[i];
    qsort(order, waters->count, sizeof *order, by_sample);
    sw_status status = SW_OK;
    for (size_t i = 1; !status && i < waters->count; i++)
        if (!strcmp(order[i - 1].water->sample, order[i].water->sample))
            status = fail_repeated(order[i - 1].water, order[i].water, error);
    free(order);
    return status;
}

static sw_status fail_no_samples(const char *name, sw_error *error)
{
    const sw_place place = {name, 0, 0};
    return sw_fail_at(error, SW_ERR_MISSING, &place,
                      "this water file has a header but no sample, expected "
                      "rows such as well,7.2,48 under sample,pH,Ca [mg/L]");
}

/* A defect, unless memory ran out or the stream fails. */
static sw_status keep_defect(sw_waters *waters, size_t sample, sw_status status,
                             const sw_error *defect, sw_error *error)
{
    if (status == SW_ERR_MEMORY || status == SW_ERR_IO) {
        if (error)
            *error = *defect;
        return status;
    }
    sw_water_defect *grown =
        realloc(waters->defects, (waters->defect_count + 1) * sizeof *grown);
    if (!grown)
        return sw_fail_memory(error);
    waters->defects = grown;
    grown[waters->defect_count++] = (sw_water_defect){sample, *defect};
    return SW_OK;
}

static sw_status read_items(sw_water_file *file, sw_waters *waters,
                            sw_error *error)
{
    sw_error defect;
    sw_status status = read_all(file, waters, &defect);
    if (!status)
        status = waters->count ? check_samples(waters, &defect)
                               : fail_no_samples(file->name, &defect);
    return status ? keep_defect(waters, SW_WHOLE_FILE, status, &defect, error)
                  : SW_OK;
}

sw_status sw_waters_gather(FILE *stream, const char *name, const char *units,
                           sw_waters **waters, sw_error *error)
{
    SW_REQUIRE_FOR(waters, error, stream, name);
    sw_water_file file;
    sw_error defect;
    sw_given_units given;
    sw_status status = sw_given_units_read(units, &given, error);
    if (status)
        return status;
    sw_given_units_clear(&given);
    sw_waters *made = calloc(1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    status = sw_water_file_open(&file, stream, name, units, &defect);
    if (status) {
        status = keep_defect(made, SW_WHOLE_FILE, status, &defect, error);
    } else {
        status = read_items(&file, made, error);
        sw_water_file_close(&file);
    }
    if (status)
        sw_waters_free(made);
    else
        *waters = made;
    return status;
}

bool sw_waters_sound(const sw_waters *waters, const sw_water *water)
{
    for (size_t i = 0; i < waters->defect_count; i++) {
        size_t sample = waters->defects[i].sample;
        if (sample == SW_WHOLE_FILE || &waters->items[sample] == water)
            return false;
    }
    return true;
}

sw_status sw_waters_read(FILE *stream, const char *name, sw_waters **waters,
                         sw_error *error)
{
    sw_status status = sw_waters_gather(stream, name, NULL, waters, error);
    if (status || !(*waters)->defect_count)
        return status;
    if (error)
        *error = (*waters)->defects[0].error;
    status = (*waters)->defects[0].error.status;
    sw_waters_free(*waters);
    *waters = NULL;
    return status;
}

const sw_water *sw_waters_find(const sw_waters *waters, const char *sample)
{
    if (!sample)
        return waters->count == 1 ? &waters->items[0] : NULL;
    for (size_t i = 0; i < waters->count; i++)
        if (!strcmp(waters->items[i].sample, sample))
            return &waters->items[i];
    return NULL;
}

void sw_waters_free(sw_waters *waters)
{
    if (!waters)
        return;
    for (size_t i = 0; i < waters->count; i++)
        sw_water_clear(&waters->items[i]);
    free(waters->items);
    for (size_t i = 0; i < waters->remark_count; i++) {
        free(waters->remarks[i].written);
        free(waters->remarks[i].taken_as);
    }
    free(waters->remarks);
    free(waters->defects);
    sw_notes_free(&waters->notes);
    free(waters);
}

/* ---- One by one -------------------------------------------------------- */

sw_status sw_water_stream_open(FILE *stream, const char *name,
                               sw_water_stream **waters, sw_error *error)
{
    SW_REQUIRE_FOR(waters, error, stream, name);
    sw_water_stream *made = calloc(1, sizeof *made);
    if (made)
        made->name = strdup(name);
    sw_status status =
        made && made->name
            ? sw_water_file_open(&made->file, stream, made->name, NULL, error)
            : sw_fail_memory(error);
    if (status)
        sw_water_stream_close(made);
    else
        *waters = made;
    return status;
}

sw_status sw_water_stream_next(sw_water_stream *waters, const sw_water **water,
                               sw_notes *notes, sw_error *error)
{
    SW_REQUIRE_FOR(water, error, waters);
    sw_water_clear(&waters->water);
    sw_status status = next_water(&waters->file, &waters->water, notes, error);
    if (!status && waters->water.sample)
        *water = &waters->water;
    return status;
}

void sw_water_stream_close(sw_water_stream *waters)
{
    if (!waters)
        return;
    sw_water_file_close(&waters->file);
    sw_water_clear(&waters->water);
    free(waters->name);
    free(waters);
}
