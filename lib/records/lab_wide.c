/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Tables with a sample in each row, or in each column of a sheet that is turned
 * then.  Units stand in the heads, in a row of their own, or are given for the
 * file.  A further header goes on with the same samples.
 */
#include "records/lab_wide.h"

#include "quantity/text.h"
#include "table_refusals.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { LOOKED_AT = 60 };

/* ---- Samples ------------------------------------------------------------ */

/* How long the name of a sample is without a unit at its end, which goes into
 * the row's. */
static size_t cut_unit(sw_lab_wide *t, const char *name)
{
    size_t length = strlen(name);
    for (size_t at = length; at-- > 1;) {
        if (!strchr(" ([", name[at]))
            continue;
        const char *unit = name + at + 1;
        (void)snprintf(t->row_unit, sizeof t->row_unit, "%.*s",
                       (int)strcspn(unit, ")]"), unit);
        bool ends =
            !unit[strcspn(unit, ")]")] || !unit[strcspn(unit, ")]") + 1];
        if (!ends || !sw_is_reading_unit(t->row_unit))
            continue;
        while (at && strchr(" ([,", name[at - 1]))
            at--;
        return at;
    }
    t->row_unit[0] = '\0';
    return length;
}

/* "North well 2024-05-01", as far as the row says. */
static void name_sample(sw_lab_wide *t, size_t row, char name[320])
{
    const char *station = sw_sheet_text(t->sheet, row, t->names);
    const char *date = sw_sheet_text(t->sheet, row, t->date);
    const char *time = sw_sheet_text(t->sheet, row, t->time);
    if (sw_word_of_head(station, NULL) == SW_WORD_VALUE)
        station = "";
    int length = (int)cut_unit(t, station);
    if (t->units != SW_NOWHERE)
        (void)snprintf(t->row_unit, sizeof t->row_unit, "%.79s",
                       sw_sheet_text(t->sheet, row, t->units));
    (void)snprintf(name, 320, "%.*s%s%.60s%s%.40s", length < 200 ? length : 200,
                   station, *station && *date ? " " : "", date,
                   *time ? " " : "", time);
}

/* The sample of that name; of a stream each row has its own. */
static size_t sample_called(sw_lab_wide *t, const char *name,
                            unsigned long line)
{
    char key[400];
    (void)snprintf(key, sizeof key, "%lu %s", t->lab->streamed ? line : 0,
                   name);
    return sw_lab_sample_of(t->lab, key, name, line);
}

/* What its name is wrong with, where it is. */
static void check_named(sw_lab_wide *t, size_t sample, const char *name,
                        const sw_csv_cell *named, const sw_csv_cell *at)
{
    const sw_lab_sample *s = &t->lab->samples[sample];
    bool again = s->table == t->lab->table;
    bool has_names = t->names != SW_NOWHERE || t->lab->streamed;
    if (again && *name && !*t->row_unit)
        sw_lab_defect(t->lab, sample, named, SW_BAD_LAB_SAMPLE_AGAIN, name,
                      s->line, name);
    else if (!*name && (again || (has_names && t->samples)))
        sw_lab_defect(t->lab, sample, at, SW_BAD_LAB_NO_SAMPLE);
}

/* The sample of a row; SW_WHOLE_FILE where it cannot be had. */
static size_t sample_of_row(sw_lab_wide *t, size_t row)
{
    char name[320];
    sw_error error;
    const sw_csv_cell *first = sw_sheet_first(t->sheet, row);
    const sw_csv_cell *named =
        t->names == SW_NOWHERE ? first : sw_sheet_cell(t->sheet, row, t->names);
    const sw_place place = {t->lab->name, named->line, named->column};
    name_sample(t, row, name);
    bool misnamed =
        t->names != SW_NOWHERE && sw_check_name(&place, named->text, &error);
    if (misnamed)
        (void)snprintf(name, sizeof name, "line %lu", first->line);
    size_t sample = misnamed && !t->lab->streamed
                        ? SW_WHOLE_FILE
                        : sample_called(t, name, first->line);
    if (misnamed)
        sw_lab_blame(t->lab, sample, NULL, &error);
    if (misnamed || sample == SW_WHOLE_FILE)
        return SW_WHOLE_FILE;
    check_named(t, sample, name, named, named->line ? named : first);
    bool again = t->lab->samples[sample].table == t->lab->table;
    t->lab->samples[sample].table = t->lab->table;
    t->samples += !again;
    return again && !*t->row_unit ? SW_WHOLE_FILE : sample;
}

/* The sample of a column's part: "well drain". */
static size_t sample_of_part(sw_lab_wide *t, size_t sample, const char *part)
{
    char name[360];
    const sw_lab_sample *s = &t->lab->samples[sample];
    (void)snprintf(name, sizeof name, "%.300s %s", s->name, part);
    size_t found = sample_called(t, name, s->line);
    if (found != SW_WHOLE_FILE)
        t->lab->samples[found].table = t->lab->table;
    return found;
}

/* A head without a unit, or with one that does not fit, is wrong once. */
static bool is_sound(sw_lab_wide *t, sw_wide_column *c,
                     const sw_lab_cells *cells)
{
    bool unit;
    if (c->resolved)
        return !c->bad;
    const sw_lab_name *name = sw_lab_resolve(t->lab, cells, &unit);
    c->resolved = true;
    c->bad = !name || (name->status != SW_OK && !name->open);
    if (!name || !c->bad)
        return !c->bad;
    if (name->status == SW_ERR_UNIT && !*c->unit)
        sw_lab_defect(
            t->lab, SW_WHOLE_FILE, cells->name, name->status,
            "the %s '%.60s' has no unit, expected it in brackets, "
            "such as %.60s [%s]",
            t->sheet->turned ? "row" : "column", cells->name->text, c->name,
            name->measure.parameter.kind == SW_READS_EC ? "mS/cm" : "mg/L");
    else
        sw_lab_blame_name(t->lab, SW_WHOLE_FILE, cells->name, name);
    return false;
}

/* A column of that role next to readings, no others between; 0: none. */
static size_t next_column(const sw_lab_wide *t, size_t column, sw_word role,
                          bool before)
{
    for (size_t i = before ? column - 1 : column + 1;
         i < t->width && t->columns[i].role != SW_WORD_PARAMETER;
         i = before ? i - 1 : i + 1)
        if (t->columns[i].role == role && !*t->columns[i].of)
            return i;
    return 0;
}

static const sw_csv_cell *beside(const sw_lab_wide *t, size_t row,
                                 size_t column, sw_word role, bool before)
{
    size_t at = next_column(t, column, role, before);
    return at ? sw_sheet_cell(t->sheet, row, at) : NULL;
}

/* A mark between two values that could be of either. */
static void ask_of_mark(sw_lab_wide *t, size_t row, size_t column)
{
    const sw_csv_cell *mark = beside(t, row, column, SW_WORD_QUALIFIER, true);
    const sw_lab_cells cells = {.qualifier = mark};
    if (sw_lab_marked_below(&cells))
        sw_lab_defect(t->lab, SW_WHOLE_FILE, mark, SW_BAD_LAB_MARK_SIDE,
                      mark->text, t->columns[column].name);
}

/* The marks of a column: those whose head names it, or next to it. */
static const sw_csv_cell *mark_of(const sw_lab_wide *t, size_t row,
                                  size_t column)
{
    for (size_t i = 0; i < t->width; i++)
        if (*t->columns[i].of &&
            sw_same_name(t->columns[i].of, t->columns[column].name))
            return sw_sheet_cell(t->sheet, row, i);
    return beside(t, row, column, SW_WORD_QUALIFIER,
                  t->side == SW_MARKS_BEFORE);
}

/* The row of marks of a sample; 0: none. */
static size_t row_of_marks(const sw_lab_wide *t, size_t row)
{
    size_t at = t->row_side == SW_MARKS_BEFORE ? row - 1 : row + 1;
    size_t named = sw_wide_marks_named_for(t, row);
    if (named)
        return named;
    return !t->lab->streamed && t->row_side != SW_MARKS_UNCLEAR &&
                   at > t->header && at < sw_sheet_rows(t->sheet) &&
                   sw_sheet_filled(t->sheet, at) &&
                   sw_wide_kind_of_row(t, at) == SW_ROW_OF_MARKS
               ? at
               : 0;
}

/* The unit of a head or a row of units against that of the sample, where the
 * reading could be in either. */
static bool units_differ(sw_lab_wide *t, const sw_wide_column *c,
                         const sw_csv_cell *value)
{
    if (!*t->row_unit || !*c->unit || sw_lab_same_unit(t->row_unit, c->unit))
        return false;
    const sw_lab_name *name = sw_lab_look_up(t->lab, c->name, t->row_unit);
    if (!name || name->status)
        return false;
    sw_lab_defect(t->lab, SW_WHOLE_FILE, value, SW_BAD_LAB_TWO_UNITS_SAMPLE,
                  t->row_unit, c->unit);
    return true;
}

static void take_cell(sw_lab_wide *t, size_t sample, size_t row, size_t column)
{
    sw_wide_column *c = &t->columns[column];
    const sw_csv_cell *value = sw_sheet_cell(t->sheet, row, column);
    sw_lab_cells cells = {.sample = sample,
                          .name = sw_sheet_cell(t->sheet, t->header, column),
                          .spelled = c->spelled,
                          .fraction_kept = &c->fraction_kept,
                          .value = value,
                          .units = {c->from_row ? c->unit : t->row_unit,
                                    c->section, t->lab->unit},
                          .limits = {c->limit}};
    cells.own_unit = c->from_row || *t->row_unit || *c->section;
    cells.said = c->said;
    cells.said_of_it = *c->said.basis;
    cells.basis = c->basis;
    cells.definitions[0] = c->definition;
    cells.fraction = c->fraction;
    sw_lab_add_said(&cells.said, &t->said);
    cells.qualifier = t->marks_row
                          ? sw_sheet_cell(t->sheet, t->marks_row, column)
                          : mark_of(t, row, column);
    if (t->side == SW_MARKS_UNCLEAR)
        ask_of_mark(t, row, column);
    cells.limits[1] = beside(t, row, column, SW_WORD_LIMIT, false);
    if (*value->text && units_differ(t, c, value))
        return;
    bool marked =
        cells.qualifier && sw_word_is(cells.qualifier->text, SW_WORD_BELOW);
    if ((*value->text || marked) && is_sound(t, c, &cells))
        sw_lab_take(t->lab, &cells);
}

/* "Value (as CaCO3)" where a sample would be named; the name of a file, which
 * one without a name bears, is nobody's word on its values. */
static void heed_name(sw_lab_wide *t, size_t sample, size_t row)
{
    const char *name = sw_sheet_text(t->sheet, row, t->names);
    if (sw_lab_read_said(name, &t->said) && *t->said.factor)
        sw_lab_defect(t->lab, sample, sw_sheet_first(t->sheet, row),
                      SW_BAD_LAB_ROW_MULTIPLIED, name, t->said.factor);
}

/* Words in the row of a sample are of all its readings. */
static void heed_words(sw_lab_wide *t, size_t sample, size_t row)
{
    for (size_t i = 0; i < t->width; i++) {
        sw_lab_said said;
        const sw_csv_cell *cell = sw_sheet_cell(t->sheet, row, i);
        if (!t->columns[i].heard || !*cell->text)
            continue;
        if (sw_lab_read_said(cell->text, &said))
            sw_lab_add_said(&t->said, &said);
        if (*said.factor)
            sw_lab_defect(t->lab, sample, cell, SW_BAD_LAB_MULTIPLIED,
                          cell->text, said.factor);
        sw_lab_read_warmth(cell->text, &t->said);
    }
}

/* The cell that says a row is of no water, of soil, of a blank; NULL: none. */
static const sw_csv_cell *foreign_by(const sw_lab_wide *t, size_t row)
{
    for (size_t i = 0; i < t->width; i++) {
        const sw_csv_cell *cell = sw_sheet_cell(t->sheet, row, i);
        if (t->columns[i].of_kind &&
            sw_word_says_foreign(cell->text, t->columns[i].of_state))
            return cell;
    }
    return NULL;
}

/* "Max allowed", "Method blank", "Soil": no water of a grower's; which is said.
 */
static bool leaves_out(sw_lab_wide *t, size_t row)
{
    const sw_csv_cell *named = sw_sheet_cell(t->sheet, row, t->names);
    const sw_csv_cell *foreign = foreign_by(t, row);
    bool norm =
        t->names != SW_NOWHERE && sw_word_within(named->text, SW_WORD_NORM);
    if (!norm && !foreign)
        return false;
    for (size_t i = 0; i < t->width; i++)
        t->lab->apart += t->columns[i].role == SW_WORD_PARAMETER &&
                         *sw_sheet_text(t->sheet, row, i);
    if (norm)
        sw_lab_remark(t->lab, SW_WHOLE_FILE, named,
                      "a limit or a control, not a water; left out");
    else
        sw_lab_remark(t->lab, SW_WHOLE_FILE, foreign,
                      "'%.60s' is of no water; left out", foreign->text);
    const char *name = *named->text ? named->text : foreign->text;
    if (norm)
        sw_lab_list(t->lab->left, sizeof t->lab->left, name);
    else
        sw_lab_list(t->lab->foreign, sizeof t->lab->foreign, name);
    return true;
}

/* With one decimal mark at most: no date. */
static bool is_number(const char *text)
{
    size_t digits = strspn(text, "0123456789");
    size_t mark = digits && strchr(".,", text[digits]) && text[digits];
    return digits &&
           !text[digits + mark + strspn(text + digits + mark, "0123456789")];
}

/* Whether a column without readings holds numbers: by its first cells, where
 * all are empty by its head. */
static bool may_hold_numbers(const sw_lab_wide *t, size_t column)
{
    size_t last = t->header + LOOKED_AT;
    bool words = false;
    for (size_t i = t->header + 1; i <= last && i < sw_sheet_rows(t->sheet);
         i++) {
        const char *text = sw_sheet_text(t->sheet, i, column);
        if (is_number(text))
            return true;
        words |= *text && sw_wide_kind_of_row(t, i) == SW_ROW_OF_SAMPLE;
    }
    const char *head = sw_sheet_text(t->sheet, t->header, column);
    return !words && *head && sw_word_of_head(head, NULL) != SW_WORD_REMARK;
}

/* Whether the last cell, a number under the head of a reading, may be of a
 * column that the row seems to leave off. */
static bool may_be_shifted(const sw_lab_wide *t, const sw_sheet_line *line)
{
    size_t i = line->given;
    if (i == 0 || i > t->width || t->columns[i - 1].role != SW_WORD_PARAMETER ||
        !is_number(line->cells[line->count - 1].text))
        return false;
    while (i < t->width && !may_hold_numbers(t, i))
        i++;
    return i < t->width;
}

/* A row that breaks off may have lost a reading in its middle, and what follows
 * that stands under heads that are not its own.  Left off where they are empty
 * may be cells that are no readings. */
static bool is_cut_short(sw_lab_wide *t, size_t sample, size_t row)
{
    const sw_sheet_line *line = &t->sheet->lines[row];
    size_t i = line->given;
    bool cut = t->lab->streamed || !*line->cells[line->count - 1].text ||
               may_be_shifted(t, line);
    while (i < t->width && !cut && t->columns[i].role != SW_WORD_PARAMETER)
        i++;
    if (i >= t->width)
        return false;
    sw_lab_defect(t->lab, sample, sw_sheet_first(t->sheet, row),
                  SW_BAD_LAB_ROW_WIDTH, line->given, t->width);
    return true;
}

/* In a stream it has its row all the same, which says so. */
static void tell_bare(sw_lab_wide *t, size_t sample, size_t row,
                      const char *name)
{
    const sw_csv_cell *cell = sw_sheet_first(t->sheet, row);
    sw_lab_remark_of(t->lab, sample, cell, name, "nothing was measured");
    if (t->lab->streamed)
        sw_lab_defect(t->lab, sample, cell, SW_BAD_LAB_SAMPLE_BARE, name);
    else
        sw_lab_list(t->lab->bare, sizeof t->lab->bare, name);
}

static void take_sample(sw_lab_wide *t, size_t row)
{
    if (leaves_out(t, row))
        return;
    size_t sample = sample_of_row(t, row);
    bool parts = false;
    t->said = (sw_lab_said){.basis = ""};
    t->marks_row = row_of_marks(t, row);
    if (sample != SW_WHOLE_FILE)
        heed_name(t, sample, row);
    for (size_t i = 0; i < t->width; i++)
        if (t->columns[i].of_kind)
            sw_lab_hear_kind(t->lab, sample, sw_sheet_text(t->sheet, row, i));
    heed_words(t, sample, row);
    if (sample == SW_WHOLE_FILE ||
        (t->lab->streamed && !sw_lab_fits(t->lab, sample, row, t->width)) ||
        (!t->sheet->turned && is_cut_short(t, sample, row)))
        return;
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
        tell_bare(t, sample, row, t->lab->samples[sample].name);
}

/* A row with a name alone may as well head those of that name below it, so it
 * is made a sample only where each row is one of its own. */
static void take_bare(sw_lab_wide *t, size_t row)
{
    char name[320];
    name_sample(t, row, name);
    if (t->lab->streamed)
        take_sample(t, row);
    else if (!leaves_out(t, row))
        tell_bare(t, SW_WHOLE_FILE, row, name);
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
    for (size_t i = first; i < lab->sheet.line_count && !lab->sheet.turned;
         i++) {
        size_t count = lab->sheet.lines[i].count;
        bool headless = count > width && count <= lab->sheet.lines[first].given;
        fits &= headless || sw_lab_fits(lab, SW_WHOLE_FILE, i, width);
    }
    return fits;
}

sw_lab_wide *sw_lab_wide_new(sw_lab *lab, const sw_lab_table *table)
{
    sw_lab_wide *t = calloc(1, sizeof *t);
    lab->lost |= !t;
    if (!t)
        return NULL;
    t->lab = lab;
    t->sheet = &lab->sheet;
    t->limits = SIZE_MAX;
    for (size_t i = 0; i < table->row; i++) {
        const sw_csv_cell *first = sw_sheet_first(&lab->sheet, i);
        sw_lab_hear_title(lab, i);
        if (*first->text)
            sw_lab_remark(lab, SW_WHOLE_FILE, first, "a title; ignored");
    }
    if (lab->streamed || check_lines(lab, table))
        sw_wide_take_header(t, table->row);
    return t;
}

void sw_lab_wide_free(sw_lab_wide *wide)
{
    if (wide)
        free(wide->columns);
    free(wide);
}

bool sw_lab_wide_is_plain(const sw_lab_wide *wide)
{
    for (size_t i = wide->header + 1; i < sw_sheet_rows(wide->sheet); i++) {
        sw_row_kind kind = sw_sheet_filled(wide->sheet, i)
                               ? sw_wide_kind_of_row(wide, i)
                               : SW_ROW_ASIDE;
        if (kind == SW_ROW_OTHER_HEADER || kind == SW_ROW_OF_MARKS)
            return false;
    }
    return true;
}

void sw_lab_wide_take(sw_lab_wide *wide, size_t first)
{
    for (size_t i = first; i < sw_sheet_rows(wide->sheet) && !wide->lab->lost &&
                           !wide->lab->is_late;
         i++) {
        if (!sw_sheet_filled(wide->sheet, i))
            continue;
        if (sw_wide_is_bare_sample(wide, i)) {
            take_bare(wide, i);
        } else if (!sw_wide_take_other_row(wide, i)) {
            sw_wide_wake(wide, i);
            take_sample(wide, i);
        }
    }
}

size_t sw_lab_wide_forget(sw_lab_wide *wide)
{
    sw_sheet *sheet = &wide->lab->sheet;
    size_t first =
        1 + (wide->words > wide->header ? wide->words : wide->header);
    bool apart = wide->limits != SIZE_MAX && wide->limits >= first;
    sw_sheet_forget(sheet, first, apart ? wide->limits : SIZE_MAX);
    wide->looked_to = 0;
    if (apart)
        wide->limits = first++;
    return first;
}

void sw_lab_read_wide(sw_lab *lab, const sw_lab_table *table)
{
    sw_lab_wide *wide = sw_lab_wide_new(lab, table);
    if (wide && wide->columns)
        sw_lab_wide_take(wide, table->row + 1);
    sw_lab_wide_free(wide);
}
