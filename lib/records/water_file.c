/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Water files.  Long: `parameter,value,unit`, one sample a file.  Wide: a
 * sample a row, its name first, each other column headed `parameter [unit]`.
 * A header that names parameter, value or unit is a long one.
 */
#include "records/water_file.h"

#include "records/utf8.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#define LONG_EXAMPLE "parameter,value,unit"
#define WIDE_EXAMPLE "sample,pH,Ca [mg/L]"

enum { PARAMETER, VALUE, UNIT };

static const sw_table_kind long_kind = {
    .what = "water file",
    .columns = {"parameter", "value", "unit"},
    .required = 2,
    .count = 3,
    .example = LONG_EXAMPLE " / Ca,48,mg/L",
    .other_names = {"parameters|analyte|determinand|determination|element|ion|"
                    "paramètre|parámetro|parametro|Messgröße|Bestimmung",
                    "values|result|results|concentration|resultado|résultat|"
                    "valeur|valor|valore|risultato|Wert|Ergebnis|Messwert|"
                    "waarde|resultaat",
                    "units|unité|unidad|unidades|unità|Einheit|eenheid"},
};

/* ---- Gathering --------------------------------------------------------- */

void sw_gathered_clear(sw_gathered *gathered)
{
    for (size_t i = 0; gathered->owns_texts && i < gathered->count; i++) {
        free(gathered->readings[i].parameter);
        free(gathered->readings[i].unit);
    }
    free(gathered->sample);
    free(gathered->readings);
    free(gathered->measures);
    *gathered = (sw_gathered){0};
}

static bool make_room(sw_gathered *g)
{
    if (g->count < g->room)
        return true;
    size_t room = g->room ? 2 * g->room : 32;
    sw_reading *readings = realloc(g->readings, room * sizeof *readings);
    if (readings)
        g->readings = readings;
    sw_measure *measures = realloc(g->measures, room * sizeof *measures);
    if (measures)
        g->measures = measures;
    if (!readings || !measures)
        return false;
    g->room = room;
    return true;
}

static sw_status gather(sw_gathered *g, const sw_reading *reading,
                        const sw_measure *measure, sw_error *error)
{
    if (!make_room(g))
        return sw_fail_memory(error);
    g->readings[g->count] = *reading;
    g->measures[g->count] = *measure;
    if (g->owns_texts) {
        sw_reading *kept = &g->readings[g->count];
        kept->parameter = sw_copy_text(reading->parameter);
        kept->unit = sw_copy_text(reading->unit);
        g->count++;
        return kept->parameter && kept->unit ? SW_OK : sw_fail_memory(error);
    }
    g->count++;
    return SW_OK;
}

/* ---- Values ------------------------------------------------------------ */

static sw_status fail_wordy(const sw_water_file *file, const sw_csv_cell *cell,
                            sw_error *error)
{
    char shown[SW_SHOWN_BYTES];
    const sw_place place = sw_csv_place(file->reader, cell);
    sw_shorten(cell->text, shown);
    return sw_fail_at(
        error, SW_ERR_SYNTAX, &place,
        "'%s' is not a value, expected a number such as 12.5, <0.05 "
        "where it is below a limit of detection, or an empty "
        "cell where nothing was measured",
        shown);
}

/* A number, or `<` and the limit of detection. */
static sw_status read_value(const sw_water_file *file, const sw_csv_cell *cell,
                            const sw_parameter *parameter, sw_reading *reading,
                            sw_error *error)
{
    const char *text = cell->text;
    bool other = parameter->kind == SW_READS_OTHER;
    reading->line = cell->line;
    reading->column = cell->column;
    reading->below_detection = *text == '<';
    if (reading->below_detection)
        text += 1 + strspn(text + 1, " ");
    bool wordy = !strpbrk(text, "0123456789");
    if (other && (wordy || sw_parameter_is_bare(parameter))) {
        /* "not detected" of what is in no mass balance; "absent", "clear" */
        if (sw_csv_number(file->reader, cell, text, &reading->value, NULL))
            reading->value = NAN;
        return SW_OK;
    }
    if (wordy)
        return fail_wordy(file, cell, error);
    return sw_csv_number(file->reader, cell, text, &reading->value, error);
}

/* ---- Long -------------------------------------------------------------- */

/* "data/well.csv" names the sample "well". */
static char *sample_of_file(const char *name)
{
    const char *slash = strrchr(name, '/');
    char *sample = sw_copy_text(slash && slash[1] ? slash + 1 : name);
    size_t length = sample ? strlen(sample) : 0;
    if (length > 4 && !strcasecmp(sample + length - 4, ".csv"))
        sample[length - 4] = '\0';
    return sample;
}

/* The unit of this row, or the one given for it. */
static const char *long_unit(sw_water_file *file)
{
    const char *unit = sw_table_text(&file->table, UNIT);
    return *unit ? unit
                 : sw_given_unit_of(&file->given,
                                    sw_table_text(&file->table, PARAMETER));
}

static sw_status find_parameter(sw_water_file *file, sw_parameter *parameter,
                                sw_error *error)
{
    sw_table *table = &file->table;
    const char *name = sw_table_text(table, PARAMETER);
    if (!*name) {
        const sw_place place = sw_table_place(table, PARAMETER);
        return sw_fail_at(error, SW_ERR_MISSING, &place,
                          "this row names no parameter, expected one such as "
                          "Ca in a row such as Ca,48,mg/L");
    }
    sw_status status =
        sw_parameter_find_in(name, long_unit(file), parameter, error);
    return status ? sw_table_blame(table, PARAMETER, status, error) : SW_OK;
}

/* As many as a wide file could have. */
static sw_status fail_too_many(sw_water_file *file, sw_error *error)
{
    const sw_place place = sw_table_place(&file->table, PARAMETER);
    return sw_fail_at(error, SW_ERR_LIMIT, &place,
                      "this water has more than %d readings, expected one "
                      "sample in a file with " LONG_EXAMPLE "; several samples "
                      "go into rows under " WIDE_EXAMPLE,
                      SW_MAX_COLUMNS);
}

/* The name is looked at even where nothing was measured. */
static sw_status gather_long_row(sw_water_file *file, sw_gathered *g,
                                 sw_error *error)
{
    sw_measure measure = {0};
    sw_reading reading = {0};
    sw_table *table = &file->table;
    sw_status status = find_parameter(file, &measure.parameter, error);
    if (status || !*sw_table_text(table, VALUE))
        return status;
    if (g->count == SW_MAX_COLUMNS)
        return fail_too_many(file, error);
    status = read_value(file, sw_table_cell(table, VALUE), &measure.parameter,
                        &reading, error);
    if (status)
        return status;
    reading.parameter = (char *)sw_table_text(table, PARAMETER);
    reading.unit = (char *)long_unit(file);
    status = sw_measure_unit(&measure, reading.unit, error);
    if (status)
        return sw_table_blame(table, UNIT, status, error);
    return gather(g, &reading, &measure, error);
}

static sw_status fail_no_readings(const sw_water_file *file, const char *what,
                                  unsigned long line, sw_error *error)
{
    const sw_place place = {file->name, line, line ? 1 : 0};
    return sw_fail_at(error, SW_ERR_MISSING, &place,
                      "%s has no readings, expected at least one, such as "
                      "Ca,48,mg/L under " LONG_EXAMPLE
                      " or well,7.2,48 under " WIDE_EXAMPLE,
                      what);
}

static sw_status gather_long(sw_water_file *file, sw_gathered *g,
                             sw_error *error)
{
    g->owns_texts = true;
    g->sample = sample_of_file(file->name);
    sw_status status =
        g->sample ? sw_table_next(&file->table, error) : sw_fail_memory(error);
    while (!status && file->table.row) {
        status = gather_long_row(file, g, error);
        if (!status)
            status = sw_table_next(&file->table, error);
    }
    file->done = true;
    if (!status && g->count == 0)
        return fail_no_readings(file, "this water file", 0, error);
    return status;
}

/* ---- Wide: the header -------------------------------------------------- */

static sw_status fail_header(const sw_water_file *file, const sw_csv_cell *cell,
                             sw_error *error)
{
    char shown[SW_SHOWN_BYTES];
    const sw_place place = sw_csv_place(file->reader, cell);
    sw_shorten(cell->text, shown);
    return sw_fail_at(error, SW_ERR_NAME, &place,
                      "the column '%s' belongs to neither form of a water "
                      "file, expected " LONG_EXAMPLE " with a reading in each "
                      "row, or " WIDE_EXAMPLE " with a sample in each row",
                      shown);
}

/* Where the unit opens in "Ca [mg/L]" or "Ca (mg/L)", NULL without one; some
 * names hold parentheses of their own, such as Si(OH)4. */
static const char *unit_opens(const char *text)
{
    sw_parameter parameter;
    char last = text[strlen(text) - 1];
    if (last == ']')
        return strrchr(text, '[');
    if (last != ')' || sw_parameter_find(text, &parameter, NULL) == SW_OK)
        return NULL;
    return strrchr(text, '(');
}

/* "Ca [mg/L]" in two; the unit is "" without brackets. */
static bool split_header(const char *text, sw_water_column *column)
{
    size_t length = strlen(text);
    const char *open = unit_opens(text);
    column->parameter = sw_copy_text(text);
    column->unit = sw_copy_text("");
    if (!column->parameter || !column->unit)
        return false;
    if (!open)
        return true;
    size_t at = (size_t)(open - text);
    free(column->unit);
    column->unit = sw_copy_text(open + 1);
    if (!column->unit)
        return false;
    column->unit[length - at - 2] = '\0';
    while (at > 0 && column->parameter[at - 1] == ' ')
        at--;
    column->parameter[at] = '\0';
    return true;
}

static bool any_brackets(const sw_csv_row *header)
{
    for (size_t i = 0; i < header->count; i++)
        if (strpbrk(header->cells[i].text, "[("))
            return true;
    return false;
}

static sw_status fail_column(const sw_water_file *file,
                             const sw_csv_row *header, size_t at,
                             sw_status status, sw_error *error)
{
    const sw_csv_cell *cell = &header->cells[at];
    const sw_place place = sw_csv_place(file->reader, cell);
    const sw_water_column *column = &file->columns[at];
    char shown[SW_SHOWN_BYTES];
    if (status == SW_ERR_NAME && !any_brackets(header))
        return fail_header(file, cell, error);
    sw_shorten(cell->text, shown);
    if (status == SW_ERR_UNIT && !*column->unit)
        return sw_fail_at(
            error, status, &place,
            "the column '%s' has no unit, expected it in "
            "brackets, such as %.20s [%s]",
            shown, column->parameter,
            column->measure.parameter.kind == SW_READS_EC ? "mS/cm" : "mg/L");
    if (error) {
        (void)snprintf(error->file, sizeof error->file, "%s", place.file);
        error->line = place.line;
        error->column = place.column;
    }
    return status;
}

static sw_status check_repeated(const sw_water_file *file,
                                const sw_csv_row *header, size_t at,
                                sw_error *error)
{
    for (size_t i = 1; i < at; i++) {
        if (!sw_same_name(header->cells[i].text, header->cells[at].text))
            continue;
        const sw_place place = sw_csv_place(file->reader, &header->cells[at]);
        return sw_fail_at(error, SW_ERR_DUPLICATE, &place,
                          "the column '%.60s' is there twice, expected it "
                          "once; delete one of the two",
                          header->cells[at].text);
    }
    return SW_OK;
}

static sw_status add_column(sw_water_file *file, const sw_csv_row *header,
                            size_t at, sw_error *error)
{
    sw_water_column *column = &file->columns[at];
    const sw_csv_cell *cell = &header->cells[at];
    if (!*cell->text) {
        const sw_place place = sw_csv_place(file->reader, cell);
        return sw_fail_at(error, SW_ERR_NAME, &place,
                          "a column of the header has no name, expected a "
                          "parameter and its unit, such as Ca [mg/L]");
    }
    if (!split_header(cell->text, column))
        return sw_fail_memory(error);
    if (!*column->unit) {
        free(column->unit);
        column->unit =
            sw_copy_text(sw_given_unit_of(&file->given, column->parameter));
        if (!column->unit)
            return sw_fail_memory(error);
    }
    sw_status status = sw_measure_find(column->parameter, column->unit,
                                       &column->measure, error);
    if (status)
        return fail_column(file, header, at, status, error);
    return check_repeated(file, header, at, error);
}

/* The first column names the sample: it must not look like a parameter. */
static sw_status check_sample_column(const sw_water_file *file,
                                     const sw_csv_row *header, sw_error *error)
{
    sw_parameter parameter;
    const sw_csv_cell *cell = &header->cells[0];
    const sw_place place = sw_csv_place(file->reader, cell);
    if (file->width < 2)
        return fail_header(file, cell, error);
    if (!strchr(cell->text, '[') &&
        sw_parameter_find(cell->text, &parameter, NULL) != SW_OK)
        return SW_OK;
    return sw_fail_at(error, SW_ERR_MISSING, &place,
                      "the first column is '%.60s', expected the name of the "
                      "sample there, such as " WIDE_EXAMPLE,
                      cell->text);
}

static sw_status start_wide(sw_water_file *file, const sw_csv_row *header,
                            sw_error *error)
{
    file->wide = true;
    file->width = header->count;
    while (file->width > 0 && !*header->cells[file->width - 1].text)
        file->width--;
    file->columns = calloc(file->width + 1, sizeof *file->columns);
    if (!file->columns)
        return sw_fail_memory(error);
    sw_status status = check_sample_column(file, header, error);
    for (size_t i = 1; !status && i < file->width; i++)
        status = add_column(file, header, i, error);
    return status;
}

/* ---- Wide: the rows ---------------------------------------------------- */

static sw_status gather_cell(sw_water_file *file, sw_gathered *g,
                             const sw_csv_row *row, size_t at, sw_error *error)
{
    const sw_water_column *column = &file->columns[at];
    sw_reading reading = {.parameter = column->parameter, .unit = column->unit};
    if (!*row->cells[at].text)
        return SW_OK;
    sw_status status = read_value(file, &row->cells[at],
                                  &column->measure.parameter, &reading, error);
    return status ? status : gather(g, &reading, &column->measure, error);
}

static sw_status gather_sample(sw_water_file *file, sw_gathered *g,
                               const sw_csv_row *row, sw_error *error)
{
    const sw_csv_cell *name = &row->cells[0];
    const sw_place place = sw_csv_place(file->reader, name);
    if (!*name->text)
        return sw_fail_at(error, SW_ERR_MISSING, &place,
                          "this row names no sample, expected a name such as "
                          "well in its first cell");
    sw_status status = sw_check_name(&place, name->text, error);
    if (status)
        return status;
    g->sample = sw_copy_text(name->text);
    return g->sample ? SW_OK : sw_fail_memory(error);
}

static sw_status gather_wide(sw_water_file *file, sw_gathered *g,
                             sw_error *error)
{
    const sw_csv_row *row = NULL;
    sw_status status = sw_csv_next(file->reader, &row, error);
    file->done = !row;
    if (status || !row)
        return status;
    status = sw_csv_check_width(file->reader, row, file->width, error);
    if (!status)
        status = gather_sample(file, g, row, error);
    for (size_t i = 1; !status && i < file->width && i < row->count; i++)
        status = gather_cell(file, g, row, i, error);
    if (!status && g->count == 0)
        return fail_no_readings(file, "this sample", row->cells[0].line, error);
    return status;
}

/* ---- The file ---------------------------------------------------------- */

static bool is_long(const sw_csv_row *header)
{
    int named = 0;
    for (size_t i = 0; i < header->count; i++) {
        int column = sw_table_column(&long_kind, header->cells[i].text);
        if (column < 0)
            continue;
        if (sw_same_name(header->cells[i].text, long_kind.columns[column]))
            return true;
        named |= 1 << column;
    }
    return (named & 3) == 3; /* parameter and value, by other names */
}

static sw_status read_header(sw_water_file *file, sw_error *error)
{
    const sw_csv_row *header = NULL;
    sw_status status = sw_csv_next(file->reader, &header, error);
    if (status)
        return status;
    if (!header) {
        const sw_place place = {file->name, 0, 0};
        return sw_fail_at(error, SW_ERR_MISSING, &place,
                          "this water file is empty, expected a header and "
                          "rows, such as %s",
                          long_kind.example);
    }
    if (!is_long(header))
        return start_wide(file, header, error);
    return sw_table_start(&file->table, &long_kind, file->reader, header,
                          error);
}

sw_status sw_water_file_open(sw_water_file *file, FILE *stream,
                             const char *name, const char *units,
                             sw_error *error)
{
    *file = (sw_water_file){.name = name};
    sw_status status = sw_given_units_read(units, &file->given, error);
    if (!status)
        status = sw_csv_open(stream, name, &file->reader, error);
    if (!status)
        status = read_header(file, error);
    if (status)
        sw_water_file_close(file);
    return status;
}

void sw_water_file_close(sw_water_file *file)
{
    for (size_t i = 0; file->columns && i < file->width; i++) {
        free(file->columns[i].parameter);
        free(file->columns[i].unit);
    }
    free(file->columns);
    sw_given_units_clear(&file->given);
    sw_csv_close(file->reader);
    *file = (sw_water_file){0};
}

sw_status sw_water_file_next(sw_water_file *file, sw_gathered *gathered,
                             sw_error *error)
{
    *gathered = (sw_gathered){0};
    if (file->done)
        return SW_OK;
    sw_status status = file->wide ? gather_wide(file, gathered, error)
                                  : gather_long(file, gathered, error);
    if (status)
        sw_gathered_clear(gathered);
    return status;
}
