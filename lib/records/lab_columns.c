/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What the columns of a table with a sample in each row are: readings, marks of
 * them, the samples' names, or nothing of the water.
 */
#include "records/lab_wide.h"

#include "quantity/text.h"
#include "table_refusals.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

/* ---- Heads --------------------------------------------------------- */

static bool holds_numbers(const sw_lab_wide *t, size_t column)
{
    for (size_t i = t->header + 1; i < sw_sheet_rows(t->sheet); i++)
        if (isdigit((unsigned char)*sw_sheet_text(t->sheet, i, column)))
            return true;
    return false;
}

/* Units of the rows of samples, and nothing else. */
static bool holds_units(const sw_lab_wide *t, size_t column)
{
    size_t units = 0;
    for (size_t i = t->header + 1; i < sw_sheet_rows(t->sheet); i++) {
        const char *text = sw_sheet_text(t->sheet, i, column);
        if (*text && !sw_is_reading_unit(text))
            return false;
        units += *text != '\0';
    }
    return units > 0;
}

static bool same_text(const char *a, const char *b)
{
    return !strcmp(a ? a : "", b ? b : "");
}

/* Two columns of one name, in the same unit, of the same fraction. */
static bool is_again(const sw_lab_wide *t, size_t column, size_t before)
{
    const sw_wide_column *a = &t->columns[before];
    const sw_wide_column *b = &t->columns[column];
    return a->role == SW_WORD_PARAMETER && b->role == SW_WORD_PARAMETER &&
           sw_same_name(sw_sheet_text(t->sheet, t->header, before),
                        sw_sheet_text(t->sheet, t->header, column)) &&
           !strcmp(a->unit, b->unit) && same_text(a->basis, b->basis) &&
           same_text(a->fraction, b->fraction);
}

void sw_wide_check_repeated(sw_lab_wide *t)
{
    for (size_t i = 0; i < t->width; i++)
        for (size_t k = 0; k < i; k++) {
            const sw_csv_cell *cell = sw_sheet_cell(t->sheet, t->header, i);
            if (!is_again(t, i, k))
                continue;
            sw_lab_defect(t->lab, SW_WHOLE_FILE, cell, SW_BAD_LAB_COLUMN_AGAIN,
                          t->sheet->turned ? "row" : "column", cell->text);
            t->columns[i].role = SW_WORD_IGNORED;
        }
}

/* Whether readings follow what may be a heading, which is of them then. */
static bool follows(const sw_lab_wide *t, size_t column)
{
    for (size_t i = column + 1; i < t->width; i++)
        if (t->columns[i].role == SW_WORD_PARAMETER)
            return t->sheet->turned &&
                   !sw_sheet_below(t->sheet, t->header, column);
        else if (*sw_sheet_text(t->sheet, t->header, i) &&
                 !sw_sheet_below(t->sheet, t->header, i))
            return false;
    return false;
}

/* "tank_K [mmol/L]": a parameter behind a word that is not known. */
static bool ends_in_name(const sw_lab_split *split, char held[80])
{
    const char *tail = split->name + strlen(split->name);
    while (tail > split->name && !strchr(" _.-", tail[-1]))
        tail--;
    (void)snprintf(held, 80, "%.79s", tail);
    return tail > split->name && sw_is_reading_unit(split->unit) &&
           sw_parameter_known(tail) != SW_UNKNOWN;
}

/* "Calcum mg/L", where no name is known that would part it from its unit. */
static void cut_unit(sw_lab_split *split)
{
    char *unit = strrchr(split->name, ' ');
    if (*split->unit || !unit || !sw_is_reading_unit(unit + 1))
        return;
    (void)snprintf(split->unit, sizeof split->unit, "%s", unit + 1);
    *unit = '\0';
}

/* A head that names no parameter. */
static void leave_column(sw_lab_wide *t, size_t column)
{
    sw_lab_split split;
    char held[80];
    const sw_csv_cell *cell = sw_sheet_cell(t->sheet, t->header, column);
    sw_lab_split_name(cell->text, &split);
    cut_unit(&split);
    if (!*cell->text && sw_sheet_below(t->sheet, t->header, column)) {
        sw_lab_defect(t->lab, SW_WHOLE_FILE,
                      cell->line ? cell : sw_sheet_first(t->sheet, t->header),
                      SW_BAD_LAB_COLUMN_UNNAMED);
    } else if (*cell->text && sw_sheet_below(t->sheet, t->header, column) &&
               !sw_lab_is_other_ec(cell->text) &&
               sw_parameter_is_near(split.name)) {
        sw_lab_blame_near(t->lab, SW_WHOLE_FILE, cell, split.name);
    } else if (!t->lab->archive && holds_numbers(t, column) &&
               (sw_lab_holds_name(cell->text, held) ||
                ends_in_name(&split, held))) {
        sw_lab_defect(t->lab, SW_WHOLE_FILE, cell, SW_BAD_LAB_COLUMN_NEAR,
                      cell->text, held);
    } else if (*cell->text) {
        if (!sw_sheet_below(t->sheet, t->header, column) && !follows(t, column))
            sw_lab_hear(t->lab, cell);
        sw_lab_remark(t->lab, SW_WHOLE_FILE, cell,
                      follows(t, column)
                          ? "a heading, with what it says of what follows"
                          : "no parameter that is known; ignored");
        if (holds_numbers(t, column))
            sw_lab_unread(t->lab, cell->text);
    }
}

/* "r" as the United States Geological Survey heads them (common practice, no
 * source). */
static bool is_of_marks(const char *word)
{
    sw_word role = sw_word_of_head(word, NULL);
    return role == SW_WORD_QUALIFIER || role == SW_WORD_REMARK ||
           sw_same_name(word, "r");
}

/* "B flag", "Ca (qualifier)", "flag_Fe": marks of the parameter named so. */
static bool names_marks(const char *text, char of[160])
{
    static const char marks[] = " _-()[]:,";
    sw_lab_split split;
    char word[160];
    size_t end = sw_text_cut(text, strlen(text), marks);
    size_t start = end;
    while (start && !strchr(marks, text[start - 1]))
        start--;
    size_t head = strcspn(text, marks);
    (void)snprintf(word, sizeof word, "%.*s", (int)(end - start), text + start);
    if (start && is_of_marks(word)) {
        (void)snprintf(word, sizeof word, "%.*s",
                       (int)sw_text_cut(text, start, marks), text);
    } else {
        (void)snprintf(word, sizeof word, "%.*s", (int)head, text);
        if (!text[head] || !is_of_marks(word))
            return false;
        head += strspn(text + head, marks);
        (void)snprintf(word, sizeof word, "%.*s", (int)(end - head),
                       text + head);
    }
    sw_lab_split_name(word, &split);
    memcpy(of, split.name, sizeof split.name);
    return split.known;
}

static void read_head(sw_lab_wide *t, size_t column)
{
    sw_lab_split split;
    sw_wide_column *c = &t->columns[column];
    const char *text = sw_sheet_text(t->sheet, t->header, column);
    sw_lab_head head;
    sw_lab_head_of(text, &head); /* "Sample (all mg/L)" */
    c->role = head.role;
    if (*head.unit &&
        (head.role == SW_WORD_SAMPLE || head.role == SW_WORD_PARAMETER))
        memcpy(t->lab->unit, head.unit, sizeof head.unit);
    else if (*head.unit)
        c->role = sw_word_of_head(text, NULL);
    c->of_kind = c->role == SW_WORD_ORIGIN;
    c->of_state = sw_same_name(text, "status");
    if (c->of_kind)
        c->role = SW_WORD_IGNORED;
    c->heard = c->role == SW_WORD_REMARK || c->role == SW_WORD_WARMTH;
    if (c->role >= SW_WORD_REMARK && c->role < SW_WORD_IGNORED)
        c->role = SW_WORD_IGNORED;
    sw_lab_split_name(text, &split);
    if (!split.known && c->role != SW_WORD_NONE) /* "Results as CaCO3" */
        sw_lab_hear(t->lab, sw_sheet_cell(t->sheet, t->header, column));
    if (split.known) {
        c->role = SW_WORD_PARAMETER;
        c->spelled = text + (*split.part ? strlen(split.part) + 1 : 0);
        memcpy(c->part, split.part, sizeof split.part);
        memcpy(c->name, split.name, sizeof split.name);
        memcpy(c->unit, split.unit, sizeof split.unit);
    } else if ((c->role == SW_WORD_UNIT || !*text) && holds_units(t, column)) {
        c->role = SW_WORD_UNIT;
        t->units = column;
    } else if (c->role == SW_WORD_PARAMETER || c->role == SW_WORD_VALUE ||
               c->role == SW_WORD_UNIT) {
        c->role = SW_WORD_SAMPLE; /* the corner of a turned table */
        if (t->corner == SW_NOWHERE)
            t->corner = column;
    } else if ((!holds_numbers(t, column) && names_marks(text, c->of)) ||
               ((c->role == SW_WORD_NONE || c->role == SW_WORD_IGNORED) &&
                sw_lab_marks_in(t->sheet, t->header, column) ==
                    SW_LAB_ONLY_MARKS)) {
        c->role = SW_WORD_QUALIFIER;
    }
}

/* Numbers below a unit, or a name that is spelled nearly as a reading's: no
 * names of samples. */
static bool may_be_reading(const sw_lab_wide *t, size_t column)
{
    enum { LEAST_NEAR = 5 }; /* letters; "No" is near NO3 */
    sw_lab_split split;
    sw_lab_split_name(sw_sheet_text(t->sheet, t->header, column), &split);
    return t->columns[column].role == SW_WORD_NONE &&
           holds_numbers(t, column) &&
           (sw_is_reading_unit(split.unit) ||
            (strlen(split.name) >= LEAST_NEAR &&
             sw_parameter_is_near(split.name)));
}

/* The column of names: headed so, or the first before the parameters. */
static void find_names(sw_lab_wide *t)
{
    int best = 1 << 20;
    t->names = t->date = t->time = SW_NOWHERE;
    for (size_t i = 0; i < t->width; i++) {
        int rank = 0;
        const char *text = sw_sheet_text(t->sheet, t->header, i);
        sw_word role = t->columns[i].role;
        (void)sw_word_of_head(text, &rank);
        if (i == t->corner) /* what is headed "Sample" goes before */
            rank += 1 << 10;
        if (role == SW_WORD_SAMPLE && (t->names == SW_NOWHERE || rank < best)) {
            t->names = i;
            best = rank;
        }
        if (role == SW_WORD_DATE && t->date == SW_NOWHERE)
            t->date = i;
        if (role == SW_WORD_TIME && t->time == SW_NOWHERE)
            t->time = i;
    }
    for (int want = 0; want < 2 && t->names == SW_NOWHERE; want++)
        for (size_t i = 0; i < t->width && t->names == SW_NOWHERE &&
                           t->columns[i].role != SW_WORD_PARAMETER;
             i++)
            if (t->columns[i].role == (want ? SW_WORD_IGNORED : SW_WORD_NONE) &&
                sw_sheet_below(t->sheet, t->header, i) && !may_be_reading(t, i))
                t->names = i;
    if (t->names != SW_NOWHERE)
        t->columns[t->names].role = SW_WORD_SAMPLE;
}

/* Which columns may hold marks: those that do, and unnamed ones among them. */
static bool may_mark(const sw_lab_wide *t, size_t column)
{
    const sw_wide_column *c = &t->columns[column];
    return (c->role == SW_WORD_QUALIFIER && !*c->of) ||
           (c->role == SW_WORD_NONE &&
            !sw_sheet_below(t->sheet, t->header, column) &&
            !*sw_sheet_text(t->sheet, t->header, column));
}

/* "Qual" stands after its value; "<" may stand on either side. */
static bool stands_after(const char *head)
{
    return sw_word_of_head(head, NULL) == SW_WORD_QUALIFIER &&
           !sw_word_is(head, SW_WORD_SIGN) && strcmp(head, "<") != 0;
}

void sw_marks_add(sw_marks_order *order, bool marks, const char *head)
{
    bool any = order->values || order->marks;
    order->first_marks |= !any && marks;
    order->last_marks = marks;
    order->values += !marks;
    order->after = (order->after || !any) && (!marks || stands_after(head));
    order->marks += marks;
}

/* Marks stand before the values they are of where each value has one so and the
 * last has none after it; after them where it is the other way round. */
sw_marks_side sw_marks_side_of(const sw_marks_order *order)
{
    bool before = order->first_marks && !order->last_marks;
    if (before)
        return order->marks == order->values ? SW_MARKS_BEFORE
                                             : SW_MARKS_UNCLEAR;
    return order->after || (order->last_marks && !order->first_marks)
               ? SW_MARKS_AFTER
               : SW_MARKS_UNCLEAR;
}

static void find_side(sw_lab_wide *t)
{
    sw_marks_order order = {0};
    for (size_t i = 0; i < t->width; i++)
        if (may_mark(t, i) || t->columns[i].role == SW_WORD_PARAMETER)
            sw_marks_add(&order, may_mark(t, i),
                         sw_sheet_text(t->sheet, t->header, i));
    if (!t->sheet->turned && t->sheet->lines[t->header].given > t->width)
        order.last_marks = true; /* the last has no head, nor a mark */
    t->side = sw_marks_side_of(&order);
}

/* What the head of a column comes to that names neither samples nor readings.
 */
static void settle_column(sw_lab_wide *t, size_t column)
{
    sw_wide_column *c = &t->columns[column];
    const sw_csv_cell *cell = sw_sheet_cell(t->sheet, t->header, column);
    c->asleep = t->lab->streamed &&
                !sw_sheet_below(t->sheet, t->header, column) &&
                (c->role == SW_WORD_NONE || c->role == SW_WORD_IGNORED);
    if (c->role == SW_WORD_NONE)
        leave_column(t, column);
    else if (c->role == SW_WORD_IGNORED)
        sw_lab_remark(t->lab, SW_WHOLE_FILE, cell,
                      c->of_kind ? "no reading; what the samples are of"
                                 : "no reading; ignored");
}

void sw_wide_wake(sw_lab_wide *t, size_t row)
{
    for (size_t i = 0; i < t->width; i++)
        if (t->columns[i].asleep && *sw_sheet_text(t->sheet, row, i)) {
            read_head(t, i);
            settle_column(t, i);
        }
}

/* Headings among the names of a turned sheet, "Cations (mmol/l)": the unit, and
 * what else they say, of what follows up to the next. */
static void take_sections(sw_lab_wide *t)
{
    char unit[80] = "";
    sw_lab_said said = {.basis = ""};
    for (size_t i = 0; i < t->width; i++) {
        sw_wide_column *c = &t->columns[i];
        const char *text = sw_sheet_text(t->sheet, t->header, i);
        const char *open = strpbrk(text, "([");
        if (c->role == SW_WORD_PARAMETER) {
            memcpy(c->section, unit, sizeof unit);
            sw_lab_add_said(&c->said, &said);
        } else if (*text && !sw_sheet_below(t->sheet, t->header, i)) {
            (void)sw_lab_read_said(text, &said);
            (void)snprintf(unit, sizeof unit, "%.*s",
                           open ? (int)strcspn(open + 1, ")]") : 0,
                           open ? open + 1 : "");
            if (!sw_is_reading_unit(unit))
                unit[0] = '\0';
            if (!open)
                sw_lab_hear_unit(t->lab, text);
        }
    }
}

bool sw_wide_read_header(sw_lab_wide *t, size_t row)
{
    size_t width = 0;
    for (size_t i = 0; i < sw_sheet_columns(t->sheet); i++)
        if (*sw_sheet_text(t->sheet, row, i))
            width = i + 1;
    free(t->columns);
    t->header = row;
    t->width = width;
    t->units = t->corner = SW_NOWHERE;
    while (sw_sheet_below(t->sheet, t->header, t->width) && !t->sheet->turned &&
           t->width < t->sheet->lines[row].given)
        t->width++; /* without a head: of marks, or a defect */
    width = t->width;
    t->columns = calloc(width + 1, sizeof *t->columns);
    if (!t->columns) {
        t->lab->lost = true;
        t->width = 0;
        return false;
    }
    for (size_t i = 0; i < width; i++)
        read_head(t, i);
    find_names(t);
    find_side(t);
    if (t->sheet->turned)
        take_sections(t);
    for (size_t i = 0; i < width; i++)
        settle_column(t, i);
    t->lab->table++;
    return true;
}
