/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Waters: read from a file, found, copied, rebuilt from their readings,
 * released.
 */
#include "records/water.h"

#include "quantity/status.h"
#include "quantity/text.h"
#include "quantity/unit_parse.h"
#include "quantity/units.h"
#include "records/lab.h"
#include "table_purified_water.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

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

/* In one of the writings of meq/L, as alkalinity is converted. */
static bool is_in_meq(const char *unit)
{
    sw_parameter alkalinity;
    double one;
    return sw_parameter_find("alkalinity", &alkalinity, NULL) == SW_OK &&
           sw_reading_convert(&alkalinity, 1.0, unit, &one, NULL) == SW_OK &&
           one == 1.0 && strncasecmp(unit, "mmol/", strlen("mmol/")) != 0;
}

double sw_reading_told(const sw_reading *reading, const char *name)
{
    bool is_sar = strcmp(name, "SAR") == 0; /* others go by that name too */
    bool is = reading->name && strcmp(reading->name, name) == 0 &&
              !reading->below_detection && reading->value > 0.0;
    if (is && is_sar)
        is = strcasecmp(reading->parameter, name) == 0 ||
             strcasecmp(reading->parameter, "sodium adsorption ratio") == 0;
    else if (is)
        is = is_in_meq(reading->unit);
    return is ? reading->value : (double)NAN;
}

double sw_reading_acidity(const sw_reading *reading)
{
    sw_parameter as;
    sw_unit unit;
    double meq_per_l;
    if (!reading->name || strcmp(reading->name, "base capacity") != 0 ||
        reading->below_detection)
        return NAN;
    const char *name = reading->parameter && strstr(reading->parameter, "CaCO3")
                           ? "alkalinity as CaCO3"
                           : "alkalinity";
    if (sw_unit_parse(reading->unit, &unit, NULL) == SW_OK &&
        unit.quantity == SW_Q_MOLAR_CONC)
        return reading->value * unit.factor;
    bool fits = sw_parameter_find(name, &as, NULL) == SW_OK &&
                sw_reading_convert(&as, reading->value, reading->unit,
                                   &meq_per_l, NULL) == SW_OK;
    return fits ? meq_per_l : (double)NAN;
}

const char *sw_water_name(const sw_water *water)
{
    return water->sample ? water->sample : "the water";
}

void sw_water_clear(sw_water *water)
{
    SW_FREE(water->sample, water->file, water->readings);
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
        status = sw_water_build(water, measures, notes, NULL, error);
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

sw_status sw_water_of(sw_water *water, const sw_gathered *gathered,
                      sw_notes *notes, const sw_told *told, sw_error *error)
{
    memset(water, 0, sizeof *water);
    water->reading_count = gathered->count;
    (void)snprintf(water->fed, sizeof water->fed, "%s", gathered->fed);
    sw_status status =
        own(water, gathered->sample, gathered->file, gathered->readings, error);
    if (!status)
        status = sw_water_build(water, gathered->measures, notes, told, error);
    if (status)
        sw_water_clear(water);
    return status;
}

/* ---- Reading ----------------------------------------------------------- */

sw_status sw_waters_gather(FILE *stream, const char *name, const char *units,
                           sw_waters **waters, sw_error *error)
{
    SW_REQUIRE_FOR(waters, error, stream, name);
    sw_lab lab = {.name = name};
    sw_status status = sw_given_units_read(units, &lab.given, error);
    lab.waters = status ? NULL : calloc(1, sizeof *lab.waters);
    if (!status && !lab.waters)
        status = sw_fail_memory(error);
    if (!status)
        status = sw_sheet_read(stream, name, &lab.sheet, error);
    if (!status)
        status = sw_lab_read(&lab, error);
    sw_lab_clear(&lab);
    SW_GIVE(status, waters, lab.waters, sw_waters_free);
}

bool sw_waters_sound(const sw_waters *waters, const sw_water *water)
{
    if (water->unsound)
        return false;
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

/* ---- Purified water, for those who have no analysis of it ---------------- */

enum {
    ROWS = sizeof sw_purified_water_table / sizeof *sw_purified_water_table,
    REPORT_BYTES = 1024
};

/* The table as a lab report of one sample: 1,024 bytes hold it four times. */
static void write_report(char text[REPORT_BYTES])
{
    text[0] = '\0';
    sw_text_add(text, REPORT_BYTES, "sample");
    for (size_t i = 0; i < ROWS; i++)
        sw_text_add(text, REPORT_BYTES, ",%s [%s]",
                    sw_purified_water_table[i].parameter,
                    sw_purified_water_table[i].unit);
    sw_text_add(text, REPORT_BYTES, "\npurified");
    for (size_t i = 0; i < ROWS; i++)
        sw_text_add(text, REPORT_BYTES, ",%.10g",
                    sw_purified_water_table[i].value);
    sw_text_add(text, REPORT_BYTES, "\n");
}

sw_status sw_purified_water(sw_waters **waters, sw_error *error)
{
    SW_REQUIRE(error, waters);
    *waters = NULL;
    char text[REPORT_BYTES];
    write_report(text);
    FILE *stream = fmemopen(text, strlen(text), "r");
    if (!stream)
        return sw_fail_memory(error);
    sw_status status =
        sw_waters_read(stream, "typical purified water", waters, error);
    fclose(stream);
    return status;
}

/* ---- Found and released -------------------------------------------------- */

/* Whether every word asked for is one of the sample's: station, date or both,
 * whatever their case. */
static bool has_words(const char *sample, const char *asked)
{
    while (*asked) {
        size_t length = strcspn(asked, " ");
        bool found = length == 0;
        for (const char *at = sample; *at && !found;) {
            size_t word = strcspn(at, " ");
            found = word == length && !strncasecmp(at, asked, length);
            at += word + (at[word] == ' ');
        }
        if (!found)
            return false;
        asked += length + (asked[length] == ' ');
    }
    return true;
}

const sw_water *sw_waters_find(const sw_waters *waters, const char *sample)
{
    const sw_water *found = NULL;
    if (!sample)
        return waters->count == 1 ? &waters->items[0] : NULL;
    for (size_t i = 0; i < waters->count; i++)
        if (!strcmp(waters->items[i].sample, sample))
            return &waters->items[i];
    for (size_t i = 0; *sample && i < waters->count; i++)
        if (has_words(waters->items[i].sample, sample)) {
            if (found)
                return NULL;
            found = &waters->items[i];
        }
    return found;
}

void sw_waters_free(sw_waters *waters)
{
    if (!waters)
        return;
    for (size_t i = 0; i < waters->count; i++)
        sw_water_clear(&waters->items[i]);
    free(waters->items);
    for (size_t i = 0; i < waters->remark_count; i++) {
        SW_FREE(waters->remarks[i].written, waters->remarks[i].taken_as);
    }
    sw_notes_free(&waters->notes);
    SW_FREE(waters->remarks, waters->defects, waters);
}
