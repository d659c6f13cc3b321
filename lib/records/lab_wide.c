/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Tables with a sample in each row, or in each column of a sheet that is turned
 * then.  Units stand in the heads, in a row of their own, or are given for the
 * file.  A further header goes on with the same samples.
 */
#include "records/lab.h"

#include "quantity/text.h"
#include "records/utf8.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

typedef struct wide_column {
    sw_word role;        /* SW_WORD_PARAMETER: of readings */
    const char *spelled; /* "Ca [mg/L]", in the sheet */
    char name[160], unit[80];
    char part[24];            /* "irr" of "irr_Ca" */
    bool from_row;            /* the unit stands in a row of its own */
    bool resolved, bad;       /* its unit is looked at with the first reading */
    const sw_csv_cell *limit; /* of a row of limits */
    char of[160];             /* of marks: the parameter their head names */
} wide_column;

enum { LOOKED_AHEAD = 60 };

typedef struct wide_table {
    sw_lab *lab;
    size_t header, width;
    wide_column *columns;
    int names; /* the column that names samples; -1 */
    int date, time;
    size_t samples; /* rows of samples met */
} wide_table;

/* ---- The header --------------------------------------------------------- */

static bool column_filled(const wide_table *t, size_t column)
{
    const sw_sheet *sheet = &t->lab->sheet;
    for (size_t i = t->header + 1; i < sw_sheet_rows(sheet); i++)
        if (*sw_sheet_text(sheet, i, column))
            return true;
    return false;
}

static bool holds_numbers(const wide_table *t, size_t column)
{
    const sw_sheet *sheet = &t->lab->sheet;
    for (size_t i = t->header + 1; i < sw_sheet_rows(sheet); i++)
        if (isdigit((unsigned char)*sw_sheet_text(sheet, i, column)))
            return true;
    return false;
}

static void check_repeated(wide_table *t, size_t column)
{
    const sw_csv_cell *cell = sw_sheet_cell(&t->lab->sheet, t->header, column);
    for (size_t i = 0; i < column; i++) {
        if (t->columns[i].role != SW_WORD_PARAMETER ||
            !sw_same_name(sw_sheet_text(&t->lab->sheet, t->header, i),
                          cell->text))
            continue;
        sw_lab_defect(t->lab, SW_WHOLE_FILE, SW_ERR_DUPLICATE, cell,
                      "the column '%.60s' is there twice, expected it "
                      "once; delete one of the two",
                      cell->text);
        t->columns[column].role = SW_WORD_IGNORED;
        return;
    }
}

/* A head that names no parameter. */
static void leave_column(wide_table *t, size_t column)
{
    sw_error error;
    sw_parameter none;
    sw_lab_split split;
    char held[80];
    const sw_csv_cell *cell = sw_sheet_cell(&t->lab->sheet, t->header, column);
    sw_lab_split_name(cell->text, &split);
    if (!*cell->text && column_filled(t, column)) {
        sw_lab_defect(t->lab, SW_WHOLE_FILE, SW_ERR_NAME,
                      cell->line ? cell
                                 : sw_sheet_first(&t->lab->sheet, t->header),
                      "a column of the header has no name, expected a "
                      "parameter and its unit, such as Ca [mg/L]");
    } else if (*cell->text && column_filled(t, column) &&
               sw_parameter_is_near(split.name)) {
        (void)sw_parameter_find(split.name, &none, &error);
        sw_lab_blame(t->lab, SW_WHOLE_FILE, cell, &error);
    } else if (!t->lab->archive && holds_numbers(t, column) &&
               sw_lab_holds_name(cell->text, held)) {
        sw_lab_defect(t->lab, SW_WHOLE_FILE, SW_ERR_NAME, cell,
                      "'%.80s' is not known, but '%.40s' in it is, expected "
                      "its usual name if it is a reading of that; correct or "
                      "delete this column",
                      cell->text, held);
    } else if (*cell->text) {
        sw_lab_remark(t->lab, SW_WHOLE_FILE, cell, cell->text,
                      "no parameter that is known; ignored");
        if (holds_numbers(t, column))
            sw_lab_unread(t->lab, cell->text);
    }
}

/* "B flag", "Ca (qualifier)", "flag_Fe": marks of the parameter named so. */
static bool names_marks(const char *text, char of[160])
{
    static const char marks[] = " _-()[]:,";
    sw_lab_split split;
    char word[160];
    size_t length = strlen(text);
    size_t end = length;
    while (end && strchr(marks, text[end - 1]))
        end--;
    size_t start = end;
    while (start && !strchr(marks, text[start - 1]))
        start--;
    size_t head = strcspn(text, marks);
    (void)snprintf(word, sizeof word, "%.*s", (int)(end - start), text + start);
    if (start && sw_word_of_head(word, NULL) == SW_WORD_QUALIFIER) {
        while (start && strchr(marks, text[start - 1]))
            start--;
        (void)snprintf(word, sizeof word, "%.*s", (int)start, text);
    } else {
        (void)snprintf(word, sizeof word, "%.*s", (int)head, text);
        if (!text[head] || sw_word_of_head(word, NULL) != SW_WORD_QUALIFIER)
            return false;
        head += strspn(text + head, marks);
        (void)snprintf(word, sizeof word, "%.*s", (int)(end - head),
                       text + head);
    }
    sw_lab_split_name(word, &split);
    memcpy(of, split.name, sizeof split.name);
    return split.known;
}

static void read_head(wide_table *t, size_t column)
{
    sw_lab_split split;
    wide_column *c = &t->columns[column];
    const char *text = sw_sheet_text(&t->lab->sheet, t->header, column);
    c->role = sw_word_of_head(text, NULL);
    if (c->role == SW_WORD_ORIGIN) /* a sample is of one kind */
        c->role = SW_WORD_IGNORED;
    sw_lab_split_name(text, &split);
    if (split.known) {
        c->role = SW_WORD_PARAMETER;
        c->spelled = text + (*split.part ? strlen(split.part) + 1 : 0);
        memcpy(c->part, split.part, sizeof split.part);
        memcpy(c->name, split.name, sizeof split.name);
        memcpy(c->unit, split.unit, sizeof split.unit);
        check_repeated(t, column);
    } else if (c->role == SW_WORD_PARAMETER || c->role == SW_WORD_VALUE ||
               c->role == SW_WORD_UNIT) {
        c->role = SW_WORD_SAMPLE; /* the corner of a turned table */
    } else if (names_marks(text, c->of) ||
               ((c->role == SW_WORD_NONE || c->role == SW_WORD_IGNORED) &&
                sw_lab_marks_in(&t->lab->sheet, t->header, column) ==
                    SW_LAB_ONLY_MARKS)) {
        c->role = SW_WORD_QUALIFIER;
    }
}

/* The column of names: headed so, or the first before the parameters. */
static void find_names(wide_table *t)
{
    int best = 1 << 20;
    t->names = t->date = t->time = -1;
    for (size_t i = 0; i < t->width; i++) {
        int rank = 0;
        const char *text = sw_sheet_text(&t->lab->sheet, t->header, i);
        sw_word role = t->columns[i].role;
        (void)sw_word_of_head(text, &rank);
        if (role == SW_WORD_SAMPLE && (t->names < 0 || rank < best)) {
            t->names = (int)i;
            best = rank;
        }
        if (role == SW_WORD_DATE && t->date < 0)
            t->date = (int)i;
        if (role == SW_WORD_TIME && t->time < 0)
            t->time = (int)i;
    }
    for (int want = 0; want < 2 && t->names < 0; want++)
        for (size_t i = 0; i < t->width && t->names < 0 &&
                           t->columns[i].role != SW_WORD_PARAMETER;
             i++)
            if (t->columns[i].role == (want ? SW_WORD_IGNORED : SW_WORD_NONE) &&
                column_filled(t, i))
                t->names = (int)i;
    if (t->names >= 0)
        t->columns[t->names].role = SW_WORD_SAMPLE;
}

static bool read_header(wide_table *t, size_t row)
{
    size_t width = 0;
    const sw_sheet *sheet = &t->lab->sheet;
    for (size_t i = 0; i < sw_sheet_columns(sheet); i++)
        if (*sw_sheet_text(sheet, row, i))
            width = i + 1;
    free(t->columns);
    t->header = row;
    t->width = width;
    t->columns = calloc(width + 1, sizeof *t->columns);
    if (!t->columns) {
        t->lab->lost = true;
        t->width = 0;
        return false;
    }
    for (size_t i = 0; i < width; i++)
        read_head(t, i);
    find_names(t);
    for (size_t i = 0; i < width; i++) {
        const sw_csv_cell *cell = sw_sheet_cell(sheet, row, i);
        if (t->columns[i].role == SW_WORD_NONE)
            leave_column(t, i);
        else if (t->columns[i].role == SW_WORD_IGNORED)
            sw_lab_remark(t->lab, SW_WHOLE_FILE, cell, cell->text,
                          "no reading; ignored");
    }
    t->lab->table++;
    return true;
}

/* ---- Rows that are no sample -------------------------------------------- */

/* Whether cells of readings hold units and nothing else that has digits. */
static bool holds_units(const wide_table *t, size_t row)
{
    size_t units = 0;
    size_t others = 0;
    for (size_t i = 0; i < t->width; i++) {
        const char *text = sw_sheet_text(&t->lab->sheet, row, i);
        if (t->columns[i].role != SW_WORD_PARAMETER || !*text)
            continue;
        bool number = isdigit((unsigned char)*text) || strchr("<>.", *text);
        if (!number && sw_is_reading_unit(text))
            units++;
        else
            others += number ? 100 : 1;
    }
    return units > 0 && units >= others;
}

static void take_units(wide_table *t, size_t row)
{
    const sw_sheet *sheet = &t->lab->sheet;
    for (size_t i = 0; i < t->width; i++) {
        wide_column *c = &t->columns[i];
        const sw_csv_cell *cell = sw_sheet_cell(sheet, row, i);
        if (c->role != SW_WORD_PARAMETER || !sw_is_reading_unit(cell->text))
            continue;
        if (*c->unit && !sw_same_name(c->unit, cell->text))
            sw_lab_defect(t->lab, SW_WHOLE_FILE, SW_ERR_UNIT, cell,
                          "the unit is '%.40s' here and '%.40s' in the head "
                          "of the column, expected one unit; delete one of "
                          "the two",
                          cell->text, c->unit);
        c->from_row = !*c->unit;
        (void)snprintf(c->unit, sizeof c->unit, "%.79s", cell->text);
    }
    sw_lab_remark(t->lab, SW_WHOLE_FILE, sw_sheet_first(sheet, row),
                  sw_sheet_first(sheet, row)->text, "a row of units");
}

static void take_limits(wide_table *t, size_t row)
{
    const sw_sheet *sheet = &t->lab->sheet;
    for (size_t i = 0; i < t->width; i++)
        t->columns[i].limit = sw_sheet_cell(sheet, row, i);
    sw_lab_remark(t->lab, SW_WHOLE_FILE, sw_sheet_first(sheet, row),
                  sw_sheet_first(sheet, row)->text, "limits of detection");
}

static bool same_as_header(const wide_table *t, size_t row)
{
    for (size_t i = 0; i < t->width; i++)
        if (strcmp(sw_sheet_text(&t->lab->sheet, row, i),
                   sw_sheet_text(&t->lab->sheet, t->header, i)) != 0)
            return false;
    return true;
}

/* Whether all it holds stands where no reading would: a footnote. */
static bool is_aside(const wide_table *t, size_t row)
{
    for (size_t i = 0; i < t->width; i++)
        if (t->columns[i].role == SW_WORD_PARAMETER &&
            *sw_sheet_text(&t->lab->sheet, row, i))
            return false;
    return true;
}

static bool holds_number(const wide_table *t, size_t row)
{
    for (size_t i = 0; i < sw_sheet_columns(&t->lab->sheet); i++) {
        const char *text = sw_sheet_text(&t->lab->sheet, row, i);
        if ((int)i != t->names && isdigit((unsigned char)*text))
            return true;
    }
    return false;
}

typedef enum row_kind {
    OF_SAMPLE,
    OF_UNITS,
    OF_LIMITS,
    HEADER_AGAIN,
    OTHER_HEADER,
    ASIDE
} row_kind;

static row_kind kind_of_row(const wide_table *t, size_t row)
{
    const sw_sheet *sheet = &t->lab->sheet;
    sw_word role = sw_word_of_head(
        t->names >= 0 ? sw_sheet_text(sheet, row, (size_t)t->names)
                      : sw_sheet_first(sheet, row)->text,
        NULL);
    if (same_as_header(t, row))
        return HEADER_AGAIN;
    if (!holds_number(t, row) && sw_lab_count_names(t->lab, row) > 1)
        return OTHER_HEADER;
    if (role == SW_WORD_UNIT || holds_units(t, row))
        return OF_UNITS;
    if (role == SW_WORD_LIMIT)
        return OF_LIMITS;
    return role == SW_WORD_IGNORED || role == SW_WORD_ORIGIN ||
                   role == SW_WORD_DEFINITION || role == SW_WORD_DATE ||
                   is_aside(t, row) ||
                   ((role == SW_WORD_MEAN || role == SW_WORD_EXTREME) &&
                    !sheet->turned)
               ? ASIDE
               : OF_SAMPLE;
}

/* Units and limits may stand below the samples, in a turned sheet right of
 * them. */
static void look_ahead(wide_table *t)
{
    const sw_sheet *sheet = &t->lab->sheet;
    size_t last = t->header + LOOKED_AHEAD;
    for (size_t i = t->header + 1; i <= last && i < sw_sheet_rows(sheet); i++) {
        row_kind kind = sw_sheet_filled(sheet, i) ? kind_of_row(t, i) : ASIDE;
        if (kind == OTHER_HEADER)
            return;
        if (kind == OF_UNITS)
            take_units(t, i);
        else if (kind == OF_LIMITS)
            take_limits(t, i);
    }
}

static void take_header(wide_table *t, size_t row)
{
    if (read_header(t, row))
        look_ahead(t);
}

/* Whether it holds no sample; what else it holds is taken. */
static bool take_other_row(wide_table *t, size_t row)
{
    const sw_csv_cell *first = sw_sheet_first(&t->lab->sheet, row);
    row_kind kind = kind_of_row(t, row);
    bool looked_at = row <= t->header + LOOKED_AHEAD;
    if (kind == OTHER_HEADER)
        take_header(t, row);
    else if (kind == OF_UNITS && !looked_at)
        take_units(t, row);
    else if (kind == OF_LIMITS && !looked_at)
        take_limits(t, row);
    else if ((kind == HEADER_AGAIN || kind == ASIDE) && *first->text)
        sw_lab_remark(t->lab, SW_WHOLE_FILE, first, first->text,
                      kind == ASIDE ? "no sample; ignored"
                                    : "the header again; ignored");
    return kind != OF_SAMPLE;
}

/* ---- Samples ------------------------------------------------------------ */

/* "North well 2024-05-01", as far as the row says. */
static void name_sample(const wide_table *t, size_t row, char name[320])
{
    const sw_sheet *sheet = &t->lab->sheet;
    const char *station =
        t->names < 0 ? "" : sw_sheet_text(sheet, row, (size_t)t->names);
    const char *date =
        t->date < 0 ? "" : sw_sheet_text(sheet, row, (size_t)t->date);
    const char *time =
        t->time < 0 ? "" : sw_sheet_text(sheet, row, (size_t)t->time);
    if (sw_word_of_head(station, NULL) == SW_WORD_VALUE)
        station = "";
    (void)snprintf(name, 320, "%.*s%s%.60s%s%.40s", 200, station,
                   *station && *date ? " " : "", date, *time ? " " : "", time);
}

/* The sample of a row; SW_WHOLE_FILE where it cannot be had. */
static size_t sample_of_row(wide_table *t, size_t row)
{
    char name[320];
    sw_error error;
    const sw_csv_cell *first = sw_sheet_first(&t->lab->sheet, row);
    const sw_csv_cell *named =
        t->names < 0 ? first
                     : sw_sheet_cell(&t->lab->sheet, row, (size_t)t->names);
    const sw_place place = {t->lab->name, named->line, named->column};
    const sw_csv_cell *at = named->line ? named : first;
    name_sample(t, row, name);
    if (sw_check_name(&place, named->text, &error) != SW_OK && t->names >= 0) {
        sw_lab_blame(t->lab, SW_WHOLE_FILE, NULL, &error);
        return SW_WHOLE_FILE;
    }
    size_t before = t->lab->sample_count;
    size_t sample = sw_lab_sample_of(t->lab, name, name, first->line);
    if (sample == SW_WHOLE_FILE)
        return sample;
    sw_lab_sample *s = &t->lab->samples[sample];
    if (sample < before && s->table == t->lab->table) {
        if (*name)
            sw_lab_defect(t->lab, sample, SW_ERR_DUPLICATE, named,
                          "the sample '%.120s' is already in line %lu, "
                          "expected names that differ, such as %.40s 2",
                          name, s->line, name);
        else
            sw_lab_defect(t->lab, sample, SW_ERR_MISSING, at,
                          "this row names no sample, expected a name such as "
                          "well in its first cell");
        return SW_WHOLE_FILE;
    }
    if (!*name && t->names >= 0 && t->samples)
        sw_lab_defect(t->lab, sample, SW_ERR_MISSING, at,
                      "this row names no sample, expected a name such as well "
                      "in its first cell");
    s->table = t->lab->table;
    t->samples++;
    return sample;
}

/* The sample of a column's part: "well drain". */
static size_t sample_of_part(wide_table *t, size_t sample, const char *part)
{
    char name[360];
    const sw_lab_sample *s = &t->lab->samples[sample];
    (void)snprintf(name, sizeof name, "%.300s %s", s->name, part);
    size_t found = sw_lab_sample_of(t->lab, name, name, s->line);
    if (found != SW_WHOLE_FILE)
        t->lab->samples[found].table = t->lab->table;
    return found;
}

/* A head without a unit, or with one that does not fit, is wrong once. */
static bool is_sound(wide_table *t, wide_column *c, const sw_lab_cells *cells)
{
    if (c->resolved)
        return !c->bad;
    const sw_lab_name *name = sw_lab_resolve(t->lab, cells);
    c->resolved = true;
    c->bad = !name || (name->status != SW_OK && !name->open);
    if (!name || !c->bad)
        return !c->bad;
    if (name->status == SW_ERR_UNIT && !*c->unit)
        sw_lab_defect(t->lab, SW_WHOLE_FILE, name->status, cells->name,
                      "the column '%.60s' has no unit, expected it in "
                      "brackets, such as %.20s [%s]",
                      cells->name->text, c->name,
                      name->measure.parameter.kind == SW_READS_EC ? "mS/cm"
                                                                  : "mg/L");
    else
        sw_lab_blame(t->lab, SW_WHOLE_FILE, cells->name, &name->error);
    return false;
}

/* A column of marks or limits right after the readings it belongs to. */
static const sw_csv_cell *beside(const wide_table *t, size_t row, size_t column,
                                 sw_word role)
{
    for (size_t i = column + 1;
         i < t->width && t->columns[i].role != SW_WORD_PARAMETER; i++)
        if (t->columns[i].role == role && !*t->columns[i].of)
            return sw_sheet_cell(&t->lab->sheet, row, i);
    return NULL;
}

/* The marks of a column: those whose head names it, or right after it. */
static const sw_csv_cell *mark_of(const wide_table *t, size_t row,
                                  size_t column)
{
    for (size_t i = 0; i < t->width; i++)
        if (*t->columns[i].of &&
            sw_same_name(t->columns[i].of, t->columns[column].name))
            return sw_sheet_cell(&t->lab->sheet, row, i);
    return beside(t, row, column, SW_WORD_QUALIFIER);
}

static void take_cell(wide_table *t, size_t sample, size_t row, size_t column)
{
    const sw_sheet *sheet = &t->lab->sheet;
    wide_column *c = &t->columns[column];
    const sw_csv_cell *value = sw_sheet_cell(sheet, row, column);
    sw_lab_cells cells = {.sample = sample,
                          .name = sw_sheet_cell(sheet, t->header, column),
                          .spelled = c->spelled,
                          .value = value,
                          .units = {c->from_row ? c->unit : ""},
                          .limits = {c->limit}};
    cells.qualifier = mark_of(t, row, column);
    cells.limits[1] = beside(t, row, column, SW_WORD_LIMIT);
    bool marked =
        cells.qualifier && sw_word_is(cells.qualifier->text, SW_WORD_BELOW);
    if ((*value->text || marked) && is_sound(t, c, &cells))
        sw_lab_take(t->lab, &cells);
}

static void take_sample(wide_table *t, size_t row)
{
    size_t sample = sample_of_row(t, row);
    bool parts = false;
    for (size_t i = 0; i < t->width && sample != SW_WHOLE_FILE; i++) {
        const char *part = t->columns[i].part;
        if (t->columns[i].role != SW_WORD_PARAMETER)
            continue;
        size_t own = *part ? sample_of_part(t, sample, part) : sample;
        parts |= *part != '\0';
        if (own != SW_WHOLE_FILE)
            take_cell(t, own, row, i);
    }
    if (sample != SW_WHOLE_FILE && !parts && !t->lab->samples[sample].count)
        sw_lab_remark(t->lab, sample, sw_sheet_first(&t->lab->sheet, row),
                      t->lab->samples[sample].name, "nothing was measured");
}

/* Lines that cells are torn in: each must fit the header. */
static bool check_lines(sw_lab *lab, const sw_lab_table *table)
{
    bool fits = true;
    size_t first = lab->sheet.turned ? 0 : table->row;
    size_t width = 0;
    for (size_t i = 0; i < lab->sheet.lines[first].count; i++)
        if (*lab->sheet.lines[first].cells[i].text)
            width = i + 1;
    for (size_t i = first; i < lab->sheet.line_count && !lab->sheet.turned; i++)
        fits &= sw_lab_fits(lab, i, width);
    return fits;
}

void sw_lab_read_wide(sw_lab *lab, const sw_lab_table *table)
{
    wide_table t = {.lab = lab};
    const sw_sheet *sheet = &lab->sheet;
    for (size_t i = 0; i < table->row; i++) {
        const sw_csv_cell *first = sw_sheet_first(sheet, i);
        if (*first->text)
            sw_lab_remark(lab, SW_WHOLE_FILE, first, first->text,
                          "a title; ignored");
    }
    if (!check_lines(lab, table))
        return;
    take_header(&t, table->row);
    for (size_t i = table->row + 1; i < sw_sheet_rows(sheet) && !lab->lost; i++)
        if (sw_sheet_filled(sheet, i) && !take_other_row(&t, i))
            take_sample(&t, i);
    free(t.columns);
}
