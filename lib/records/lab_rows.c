/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows of a table with a sample in each that are no samples: units, limits,
 * words and marks of the readings, headers, footnotes. */
#include "records/lab_wide.h"

#include "quantity/text.h"
#include "table_refusals.h"

#include <ctype.h>
#include <string.h>

enum { LOOKED_AHEAD = 60, MOST_BLANKS = 2 /* of a name that is no sentence */ };

/* Whether cells of readings hold units and nothing else that has digits. */
static bool holds_units(const sw_lab_wide *t, size_t row)
{
    size_t units = 0;
    size_t others = 0;
    for (size_t i = 0; i < t->width; i++) {
        const char *text = sw_sheet_text(t->sheet, row, i);
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

static void take_units(sw_lab_wide *t, size_t row)
{
    for (size_t i = 0; i < t->width; i++) {
        sw_wide_column *c = &t->columns[i];
        const sw_csv_cell *cell = sw_sheet_cell(t->sheet, row, i);
        if (c->role != SW_WORD_PARAMETER || !sw_is_reading_unit(cell->text))
            continue;
        if (!sw_is_reading_unit(c->unit)) /* "Nitrogen (nitrate)" */
            c->unit[0] = '\0';
        if (*c->unit && !sw_same_name(c->unit, cell->text))
            sw_lab_defect(t->lab, SW_WHOLE_FILE, cell,
                          SW_BAD_LAB_TWO_UNITS_HEAD, cell->text, c->unit);
        c->from_row = !*c->unit;
        (void)snprintf(c->unit, sizeof c->unit, "%.79s", cell->text);
    }
    if (t->names != SW_NOWHERE) /* "as CaCO3" at its start */
        sw_lab_hear(t->lab, sw_sheet_cell(t->sheet, row, t->names));
    sw_lab_remark(t->lab, SW_WHOLE_FILE, sw_sheet_first(t->sheet, row),
                  "a row of units");
}

static void take_limits(sw_lab_wide *t, size_t row)
{
    for (size_t i = 0; i < t->width; i++)
        t->columns[i].limit = sw_sheet_cell(t->sheet, row, i);
    t->limits = row;
    sw_lab_remark(t->lab, SW_WHOLE_FILE, sw_sheet_first(t->sheet, row),
                  "limits of detection");
}

/* What a row of words says of each column: a basis, a fraction, a remark. */
static void take_words(sw_lab_wide *t, size_t row, sw_word role)
{
    t->words = row > t->words ? row : t->words;
    for (size_t i = 0; i < t->width; i++) {
        sw_lab_said said;
        sw_wide_column *c = &t->columns[i];
        const sw_csv_cell *cell = sw_sheet_cell(t->sheet, row, i);
        const char *text = cell->text;
        if (c->role != SW_WORD_PARAMETER || !*text)
            continue;
        if (role == SW_WORD_DEFINITION)
            c->definition = text;
        else if (role == SW_WORD_BASIS)
            c->basis = text;
        else if (role == SW_WORD_FRACTION)
            c->fraction = text;
        else if (sw_lab_read_said(text, &said) && *said.factor)
            sw_lab_defect(t->lab, SW_WHOLE_FILE, cell, SW_BAD_LAB_MULTIPLIED,
                          text, said.factor);
        else
            sw_lab_add_said(&c->said, &said);
        if (role == SW_WORD_WARMTH)
            sw_lab_read_warmth(text, &c->said);
    }
    sw_lab_remark(t->lab, SW_WHOLE_FILE, sw_sheet_first(t->sheet, row),
                  "words about the readings beside them");
}

static bool same_as_header(const sw_lab_wide *t, size_t row)
{
    for (size_t i = 0; i < t->width; i++)
        if (strcmp(sw_sheet_text(t->sheet, row, i),
                   sw_sheet_text(t->sheet, t->header, i)) != 0)
            return false;
    return true;
}

/* A sample whose cells are separated otherwise, not a footnote: of a stream any
 * such row, else one with as many cells as the header. */
static bool is_otherwise_separated(const sw_lab_wide *t, size_t row)
{
    const char *text = sw_sheet_first(t->sheet, row)->text;
    const char *mark = strpbrk(text, ";|\t");
    size_t cells = 1;
    for (const char *at = mark; at; at = strchr(at + 1, *mark))
        cells++;
    return sw_sheet_filled(t->sheet, row) == 1 && mark &&
           strpbrk(text, "0123456789") &&
           (t->lab->streamed || (cells > 2 && cells == t->width));
}

/* Whether all it holds stands where no reading would: a footnote. */
static bool is_aside(const sw_lab_wide *t, size_t row)
{
    for (size_t i = 0; i < t->width; i++)
        if (t->columns[i].role == SW_WORD_PARAMETER &&
            *sw_sheet_text(t->sheet, row, i))
            return false;
    return true;
}

static bool holds_number(const sw_lab_wide *t, size_t row)
{
    for (size_t i = 0; i < sw_sheet_columns(t->sheet); i++) {
        const char *text = sw_sheet_text(t->sheet, row, i);
        if (i != t->names && isdigit((unsigned char)*text))
            return true;
    }
    return false;
}

/* A row of marks beside the row of a sample, headed so or not at all. */
static bool holds_marks(const sw_lab_wide *t, size_t row, sw_word role)
{
    size_t marks = 0;
    bool named =
        t->names != SW_NOWHERE && *sw_sheet_text(t->sheet, row, t->names);
    if (named ? role != SW_WORD_QUALIFIER : t->names == SW_NOWHERE)
        return false;
    for (size_t i = 0; i < t->width; i++) {
        const sw_csv_cell *cell = sw_sheet_cell(t->sheet, row, i);
        const sw_lab_cells cells = {.qualifier = cell};
        if (t->columns[i].role != SW_WORD_PARAMETER || !*cell->text)
            continue;
        if (!named && !sw_lab_marked_below(&cells) &&
            !sw_word_is(cell->text, SW_WORD_KEPT))
            return false;
        marks++;
    }
    return marks > 0 || named;
}

/* Where the last word of a name starts, and how long what precedes it is. */
static const char *last_word(const char *name, size_t *before)
{
    static const char apart[] = " _-()[]:,/";
    size_t length = sw_text_cut(name, strlen(name), apart);
    while (length && !strchr(apart, name[length - 1]))
        length--;
    *before = sw_text_cut(name, length, apart);
    return name + length;
}

/* Whether a sample is called so, "MW-1", or its values, "MW-1 Result". */
static bool is_called(const char *sample, const char *name, size_t length)
{
    size_t before;
    const char *word = last_word(sample, &before);
    bool values =
        before == length && sw_word_of_head(word, NULL) == SW_WORD_VALUE;
    return (values || strlen(sample) == length) &&
           strncmp(sample, name, length) == 0;
}

static bool has_sample(const sw_lab_wide *t, const char *name, size_t length)
{
    for (size_t i = t->header + 1; i < sw_sheet_rows(t->sheet); i++)
        if (is_called(sw_sheet_text(t->sheet, i, t->names), name, length))
            return true;
    return false;
}

/* "MW-1 Qual", "MW-1 RL" beside the sample MW-1, in a column each. */
static sw_word role_beside_sample(const sw_lab_wide *t, const char *name)
{
    char word[40];
    size_t length;
    const char *last = last_word(name, &length);
    (void)snprintf(word, sizeof word, "%.*s", (int)strcspn(last, ")]: "), last);
    sw_word role = sw_word_of_head(word, NULL);
    bool beside = role == SW_WORD_QUALIFIER || role == SW_WORD_LIMIT ||
                  role == SW_WORD_REMARK || role == SW_WORD_UNIT;
    if (!length || !beside || !has_sample(t, name, length))
        return SW_WORD_NONE;
    return role == SW_WORD_LIMIT || role == SW_WORD_REMARK ? SW_WORD_IGNORED
                                                           : role;
}

size_t sw_wide_marks_named_for(const sw_lab_wide *t, size_t row)
{
    for (size_t i = t->header + 1; t->sheet->turned && t->names != SW_NOWHERE &&
                                   i < sw_sheet_rows(t->sheet);
         i++) {
        size_t length;
        const char *name = sw_sheet_text(t->sheet, i, t->names);
        (void)last_word(name, &length);
        if (i != row && role_beside_sample(t, name) == SW_WORD_QUALIFIER &&
            is_called(sw_sheet_text(t->sheet, row, t->names), name, length))
            return i;
    }
    return 0;
}

/* Whether its readings are numbers, and no flags of 0 and 1. */
static bool is_measured(const sw_lab_wide *t, size_t row)
{
    bool measured = false;
    for (size_t i = 0; i < t->width; i++) {
        const char *text = sw_sheet_text(t->sheet, row, i);
        if (t->columns[i].role != SW_WORD_PARAMETER || !*text)
            continue;
        if (!isdigit((unsigned char)text[strspn(text, "<>= ")]))
            return false;
        measured |=
            !sw_word_is(text, SW_WORD_YES) && !sw_word_is(text, SW_WORD_NO);
    }
    return measured;
}

static bool has_statistics(const sw_lab_wide *t)
{
    for (size_t i = t->header + 1; i < sw_sheet_rows(t->sheet); i++) {
        sw_word role =
            sw_word_of_head(sw_sheet_text(t->sheet, i, t->names), NULL);
        if (role == SW_WORD_MEAN || role == SW_WORD_EXTREME)
            return true;
    }
    return false;
}

/* The word a row is named with, unless a sample is called so: wells and tanks
 * are N, S and Q, where an N that counts stands beside means; and marks are no
 * numbers. */
static sw_word role_named(const sw_lab_wide *t, size_t row, const char *name)
{
    sw_word role = sw_word_of_head(name, NULL);
    bool letter = name[0] && !name[1];
    bool of_sample = role == SW_WORD_QUALIFIER ||
                     (role != SW_WORD_NONE && letter && !has_statistics(t));
    return of_sample && is_measured(t, row) ? SW_WORD_NONE : role;
}

/* What a row is headed with, where samples are named. */
static sw_word role_of_row(const sw_lab_wide *t, size_t row)
{
    if (t->names == SW_NOWHERE)
        return sw_word_of_head(sw_sheet_first(t->sheet, row)->text, NULL);
    const char *name = sw_sheet_text(t->sheet, row, t->names);
    sw_word role =
        t->sheet->turned ? role_beside_sample(t, name) : SW_WORD_NONE;
    if (role == SW_WORD_NONE)
        role = role_named(t, row, name);
    return role || t->corner == SW_NOWHERE
               ? role
               : sw_word_of_head(sw_sheet_text(t->sheet, row, t->corner), NULL);
}

sw_row_kind sw_wide_kind_of_row(const sw_lab_wide *t, size_t row)
{
    sw_word role = role_of_row(t, row);
    if (same_as_header(t, row))
        return SW_ROW_HEADER_AGAIN;
    if (role == SW_WORD_FRACTION || role == SW_WORD_BASIS ||
        role == SW_WORD_REMARK || role == SW_WORD_WARMTH ||
        role == SW_WORD_DEFINITION)
        return SW_ROW_OF_WORDS;
    if (!holds_number(t, row) && sw_lab_count_names(t->lab, row) > 1)
        return SW_ROW_OTHER_HEADER;
    if (role == SW_WORD_UNIT || holds_units(t, row))
        return SW_ROW_OF_UNITS;
    if (role == SW_WORD_LIMIT)
        return SW_ROW_OF_LIMITS;
    if (holds_marks(t, row, role))
        return SW_ROW_OF_MARKS;
    return role == SW_WORD_IGNORED || role == SW_WORD_ORIGIN ||
                   (role >= SW_WORD_STATISTIC && role < SW_WORD_IGNORED) ||
                   role == SW_WORD_DATE ||
                   (is_aside(t, row) && !is_otherwise_separated(t, row)) ||
                   ((role == SW_WORD_MEAN || role == SW_WORD_EXTREME) &&
                    !t->sheet->turned)
               ? SW_ROW_ASIDE
               : SW_ROW_OF_SAMPLE;
}

/* More than a name is said of it, or it has a cell for each column; a footnote
 * is a sentence, or says something of readings. */
bool sw_wide_is_bare_sample(const sw_lab_wide *t, size_t row)
{
    sw_lab_said said;
    char unit[80];
    size_t blanks = 0;
    const char *name = sw_sheet_text(t->sheet, row, t->names);
    if (t->names == SW_NOWHERE || !*name || role_of_row(t, row) ||
        sw_wide_kind_of_row(t, row) != SW_ROW_ASIDE || !is_aside(t, row))
        return false;
    if (strpbrk(sw_sheet_text(t->sheet, row, t->date), "0123456789"))
        return true;
    for (const char *at = name; *at; at++)
        blanks += *at == ' ';
    sw_lab_find_unit(name, unit);
    bool whole = t->sheet->turned || t->sheet->lines[row].given >= t->width;
    return whole && blanks <= MOST_BLANKS && !strchr(name, ':') && !*unit &&
           !sw_lab_read_said(name, &said);
}

/* Units and limits may stand below the samples, in a turned sheet right of
 * them. */
static void look_ahead(sw_lab_wide *t)
{
    t->looked_to = t->header + LOOKED_AHEAD;
    for (size_t i = t->header + 1;
         i <= t->looked_to && i < sw_sheet_rows(t->sheet); i++) {
        sw_row_kind kind = sw_sheet_filled(t->sheet, i)
                               ? sw_wide_kind_of_row(t, i)
                               : SW_ROW_ASIDE;
        if (kind == SW_ROW_OTHER_HEADER)
            return;
        if (kind == SW_ROW_OF_UNITS)
            take_units(t, i);
        else if (kind == SW_ROW_OF_LIMITS)
            take_limits(t, i);
        else if (kind == SW_ROW_OF_WORDS)
            take_words(t, i, role_of_row(t, i));
    }
}

static bool is_of_samples(const sw_lab_wide *t, size_t row)
{
    sw_row_kind kind = sw_sheet_filled(t->sheet, row)
                           ? sw_wide_kind_of_row(t, row)
                           : SW_ROW_ASIDE;
    return kind == SW_ROW_OF_SAMPLE || kind == SW_ROW_OF_MARKS;
}

static size_t last_of_samples(const sw_lab_wide *t)
{
    size_t last = sw_sheet_rows(t->sheet) - 1;
    while (last > t->header && !is_of_samples(t, last))
        last--;
    return last;
}

/* Whether a line of a turned sheet holds a reading. */
static bool holds_reading(const sw_lab_wide *t, size_t column)
{
    for (size_t i = t->header + 1; i < t->sheet->lines[column].count; i++)
        if (is_of_samples(t, i) && *sw_sheet_text(t->sheet, i, column))
            return true;
    return false;
}

/* One that breaks off before the last sample may have lost the reading of an
 * earlier one, and those behind it are of others. */
static void check_turned(sw_lab_wide *t)
{
    size_t last = last_of_samples(t);
    for (size_t i = 0; i < t->width; i++) {
        const sw_sheet_line *line = &t->sheet->lines[i];
        if (t->columns[i].role == SW_WORD_PARAMETER && line->given <= last &&
            holds_reading(t, i))
            sw_lab_defect(t->lab, SW_WHOLE_FILE, &line->cells[0],
                          SW_BAD_LAB_ROW_WIDTH, line->given, last + 1);
    }
}

/* On which side of samples their marks stand; an empty line among them is one
 * of marks where the sheet is turned. */
static void find_row_side(sw_lab_wide *t)
{
    sw_marks_order order = {0};
    size_t last = last_of_samples(t);
    for (size_t i = t->header + 1; i <= last; i++) {
        bool empty = !sw_sheet_filled(t->sheet, i);
        sw_row_kind kind = empty ? SW_ROW_OF_MARKS : sw_wide_kind_of_row(t, i);
        if (kind == SW_ROW_OF_SAMPLE ||
            (kind == SW_ROW_OF_MARKS && !(empty && !order.values)))
            sw_marks_add(&order, kind == SW_ROW_OF_MARKS,
                         sw_sheet_text(t->sheet, i, t->names));
    }
    t->row_side = order.marks != order.values ? SW_MARKS_UNCLEAR
                                              : sw_marks_side_of(&order);
}

void sw_wide_take_header(sw_lab_wide *t, size_t row)
{
    if (!sw_wide_read_header(t, row))
        return;
    look_ahead(t);
    sw_wide_check_repeated(t);
    if (t->sheet->turned)
        check_turned(t);
    if (!t->lab->streamed)
        find_row_side(t);
}

static void ask_of_marks(sw_lab_wide *t, size_t row)
{
    if (t->names != SW_NOWHERE && t->sheet->turned &&
        role_beside_sample(t, sw_sheet_text(t->sheet, row, t->names)) ==
            SW_WORD_QUALIFIER)
        return;
    for (size_t i = 0; i < t->width; i++) {
        const sw_csv_cell *cell = sw_sheet_cell(t->sheet, row, i);
        const sw_lab_cells cells = {.qualifier = cell};
        if (t->columns[i].role == SW_WORD_PARAMETER &&
            sw_lab_marked_below(&cells))
            sw_lab_defect(t->lab, SW_WHOLE_FILE, cell, SW_BAD_LAB_MARK_OF_WHICH,
                          cell->text);
    }
}

/* Whether a row says something of rows that are gone, or of the next block. */
static bool comes_late(const sw_lab_wide *t, sw_row_kind kind)
{
    return kind == SW_ROW_OTHER_HEADER || kind == SW_ROW_OF_MARKS ||
           (kind == SW_ROW_OF_WORDS && !t->looked_to);
}

static void refuse_late(sw_lab_wide *t, sw_row_kind kind,
                        const sw_csv_cell *first)
{
    sw_lab *lab = t->lab;
    size_t before = lab->waters->defect_count;
    if (kind == SW_ROW_OTHER_HEADER)
        sw_lab_defect(lab, SW_WHOLE_FILE, first, SW_BAD_LAB_SECOND_HEADER);
    else
        sw_lab_defect(lab, SW_WHOLE_FILE, first, SW_BAD_LAB_ROW_NO_SAMPLE);
    if (lab->waters->defect_count == before)
        return; /* no memory */
    lab->late = lab->waters->defects[--lab->waters->defect_count].error;
    lab->is_late = true;
}

/* Whether it holds no sample; what else it holds is taken. */
bool sw_wide_take_other_row(sw_lab_wide *t, size_t row)
{
    const sw_csv_cell *first = sw_sheet_first(t->sheet, row);
    sw_row_kind kind = sw_wide_kind_of_row(t, row);
    bool looked_at = row <= t->looked_to;
    if (t->lab->streamed && comes_late(t, kind))
        refuse_late(t, kind, first);
    else if (kind == SW_ROW_OTHER_HEADER)
        sw_wide_take_header(t, row);
    else if (kind == SW_ROW_OF_UNITS && !looked_at)
        take_units(t, row);
    else if (kind == SW_ROW_OF_LIMITS && !looked_at)
        take_limits(t, row);
    else if (kind == SW_ROW_OF_WORDS && !looked_at)
        take_words(t, row, role_of_row(t, row));
    else if (kind == SW_ROW_OF_MARKS && t->row_side == SW_MARKS_UNCLEAR)
        ask_of_marks(t, row);
    else if ((kind == SW_ROW_HEADER_AGAIN || kind == SW_ROW_ASIDE) &&
             *first->text)
        sw_lab_remark(t->lab, SW_WHOLE_FILE, first,
                      kind == SW_ROW_ASIDE ? "no sample; ignored"
                                           : "the header again; ignored");
    if (kind == SW_ROW_ASIDE && holds_number(t, row) && !is_aside(t, row))
        sw_lab_list(t->lab->left, sizeof t->lab->left, first->text);
    size_t heard = t->lab->saying_count;
    if (kind == SW_ROW_ASIDE && sw_sheet_filled(t->sheet, row) == 1)
        sw_lab_hear(t->lab, first);
    if (t->lab->streamed && !t->looked_to && !t->lab->sample_count &&
        t->lab->saying_count > heard) /* each row it is of is gone */
        refuse_late(t, kind, first);
    return kind != SW_ROW_OF_SAMPLE;
}
