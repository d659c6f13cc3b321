/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Where the table of a sheet is, and which way it lies.  Heads that are words
 * of the trade tell a table with a reading a row.  Else it is the row, or the
 * column, that names most parameters: a sample a row, or a column, which is the
 * same sheet turned.
 */
#include "records/lab.h"

#include "quantity/text.h"
#include "table_refusals.h"

#include <ctype.h>
#include <stdint.h>
#include <string.h>
#include <strings.h>

/* Where a table is looked for. */
enum {
    LOOKED_ROWS = 200,
    NAMED_ROWS = 60,
    NAMED_COLUMNS = 6,
    NAMED_CELLS = 512,
    SURE = 1000
};

/* ---- Names and heads ---------------------------------------------------- */

static void put(char *to, size_t size, const char *from, size_t length)
{
    while (length && strchr(" ,;:_-", from[length - 1]))
        length--;
    (void)snprintf(to, size, "%.*s", (int)length, from);
}

/* Where a bracket at the end of a text opens; NULL: there is none. */
static const char *bracket(const char *text)
{
    size_t length = strlen(text);
    char last = length ? text[length - 1] : '\0';
    const char *open = last == ']'   ? strrchr(text, '[')
                       : last == ')' ? strrchr(text, '(')
                                     : NULL;
    return open == text ? NULL : open;
}

/* Whether the name is known, or what is left of it without what stands beside
 * it and is no unit: "Silica (as Si)", "pH (18 °C)". */
static bool find_name(sw_lab_split *split)
{
    sw_lab_split beside = {0};
    if (sw_parameter_known(split->name) != SW_UNKNOWN)
        return split->known = true;
    const char *open = bracket(split->name);
    if (!open || strlen(open) >= sizeof beside.unit)
        return false;
    put(beside.name, sizeof beside.name, split->name,
        (size_t)(open - split->name));
    (void)snprintf(beside.unit, sizeof beside.unit, "%.*s",
                   (int)strlen(open) - 2, open + 1);
    split->known = sw_parameter_known(beside.name) != SW_UNKNOWN &&
                   sw_lab_read_beside(&beside) == SW_BESIDE_CLEAR &&
                   !*beside.unit;
    if (split->known) {
        memcpy(split->name, beside.name, sizeof split->name);
        memcpy(split->basis, beside.basis, sizeof split->basis);
    }
    return split->known;
}

/* "Ca [mg/L]", "Calcium (mg/L)": the name before, the unit in brackets. */
static bool split_brackets(const char *text, sw_lab_split *split)
{
    const char *open = bracket(text);
    if (!open)
        return false;
    put(split->name, sizeof split->name, text, (size_t)(open - text));
    (void)snprintf(split->unit, sizeof split->unit, "%.*s",
                   (int)strlen(open) - 2, open + 1);
    if (!sw_is_reading_unit(split->unit)) {
        (void)snprintf(split->name, sizeof split->name, "%s", text);
        if (find_name(split)) { /* no unit but what it is given as */
            split->unit[0] = '\0';
            return true;
        }
        put(split->name, sizeof split->name, text, (size_t)(open - text));
    }
    return find_name(split) || text[strlen(text) - 1] == ']' ||
           sw_is_reading_unit(split->unit);
}

/* Whether a text is a unit, or one with its strokes and spaces written "_",
 * "uS_cm", "mg_CaCO3_L", or not at all, "ugL"; into `unit` as it is read. */
static bool read_unit(const char *text, char unit[80])
{
    (void)snprintf(unit, 80, "%.79s", text);
    if (sw_is_reading_unit(unit))
        return true;
    char *last = strrchr(unit, '_');
    if (last) {
        *last = '/';
        while ((last = strchr(unit, '_')))
            *last = ' ';
    } else if (!strcmp(unit, "ugL")) {
        (void)snprintf(unit, 80, "ug/L");
    }
    return sw_is_reading_unit(unit);
}

/* "Ca mg/L", "Calcium, mg/L", "EC_uS/cm": the longest name that leaves a
 * unit. */
static bool split_plain(const char *text, sw_lab_split *split)
{
    static const char marks[] = " ,;_";
    for (const char *rest = text + strlen(text); rest-- > text + 1;) {
        if (!strchr(marks, rest[-1]) || strchr(marks, *rest))
            continue;
        size_t length = (size_t)(rest - text);
        if (length > 4 && !strncmp(rest - 4, " in ", 4))
            length -= 4;
        put(split->name, sizeof split->name, text, length);
        if (read_unit(rest, split->unit) && find_name(split))
            return true;
    }
    return false;
}

/* "irr_Ca [mg/L]", "drain pH": which of two solutions, and the rest. */
static bool split_part(const char *text, sw_lab_split *split)
{
    char part[sizeof split->part];
    size_t length = strcspn(text, "_ ");
    if (!text[length] || length >= sizeof part)
        return false;
    (void)snprintf(part, sizeof part, "%.*s", (int)length, text);
    if (sw_word_of_head(part, NULL) != SW_WORD_PART)
        return false;
    sw_lab_split_name(text + length + 1, split);
    memcpy(split->part, part, sizeof part);
    return split->known;
}

void sw_lab_split_name(const char *text, sw_lab_split *split)
{
    *split = (sw_lab_split){0};
    if (strlen(text) < sizeof split->name &&
        sw_parameter_known(text) == SW_UNKNOWN) {
        bool bracket = split_brackets(text, split);
        sw_lab_split as_unit = *split;
        if (bracket && split->known)
            return;
        if ((!bracket && split_plain(text, split)) || split_part(text, split))
            return;
        *split = as_unit;
        if (bracket)
            return;
    }
    *split = (sw_lab_split){0};
    (void)snprintf(split->name, sizeof split->name, "%s", text);
    sw_text_mend(split->name);
    split->known = sw_parameter_known(text) != SW_UNKNOWN;
}

/* "in mg/L", "all mg/L", "mg/L as ion": the unit alone. */
static void trim_unit(char *unit)
{
    char cut[80];
    static const char *const ends[] = {" as ion", " as ions"};
    bool all = !strncasecmp(unit, "all ", 4) || !strncasecmp(unit, "alle ", 5);
    for (size_t i = 0; i < sizeof ends / sizeof *ends; i++) {
        size_t length = strlen(unit);
        size_t end = strlen(ends[i]);
        if (length > end && !strcasecmp(unit + length - end, ends[i]))
            unit[length - end] = '\0';
    }
    (void)snprintf(cut, sizeof cut, "%s",
                   all ? unit + strcspn(unit, " ") + 1 : unit);
    if (!sw_is_reading_unit(cut))
        (void)sw_lab_cut_lead(cut);
    memcpy(unit, cut, sizeof cut);
}

/* A word up to `at`, and behind it a unit. */
static bool parts_in_unit(const char *text, size_t at, sw_lab_head *head)
{
    char word[64];
    size_t start = at + strspn(text + at, "([ ,_");
    size_t length = strcspn(text + start, ")]");
    if (at >= sizeof word) /* prose */
        return false;
    put(word, sizeof word, text, at);
    (void)snprintf(head->unit, sizeof head->unit, "%.*s", (int)length,
                   text + start);
    head->role = sw_word_of_head(word, &head->rank);
    if (length >= sizeof head->unit ||
        (head->role != SW_WORD_VALUE && head->role != SW_WORD_LIMIT &&
         head->role != SW_WORD_PARAMETER && head->role != SW_WORD_SAMPLE))
        return false;
    trim_unit(head->unit);
    return sw_is_reading_unit(head->unit);
}

/* A word and its unit: "Result (mg/L)", "Conc. mg/L"; or a unit alone. */
static bool is_in_unit(const char *text, sw_lab_head *head)
{
    sw_lab_split split;
    size_t at = strcspn(text, "([");
    sw_lab_split_name(text, &split); /* "Ca [mg/L]" reads as mg/L of Ca */
    if (split.known)
        return false;
    (void)snprintf(head->unit, sizeof head->unit, "%.79s", text);
    trim_unit(head->unit);
    if (sw_is_reading_unit(head->unit) &&
        (strpbrk(head->unit, "/_") || sw_same_name(head->unit, "ppm") ||
         sw_same_name(head->unit, "ppb") || sw_same_name(head->unit, "epm"))) {
        head->role = SW_WORD_VALUE;
        return true;
    }
    if (text[at])
        return parts_in_unit(text, at, head);
    for (at = strlen(text); at-- > 1;)
        if (strchr(" ,_", text[at]) && parts_in_unit(text, at, head))
            return true;
    return false;
}

/* A word, and what it says of the values: "Value (as CaCO3)", "Result as N",
 * "Parameter (20 °C)". */
static bool is_word_that_says(const char *text, sw_lab_head *head)
{
    char word[64];
    size_t at = strcspn(text, "([");
    if (!text[at])
        at = strcspn(text, " ,");
    if (!text[at] || !sw_lab_read_said(text + at, &head->said))
        return false;
    put(word, sizeof word, text, at);
    head->role = sw_word_of_head(word, &head->rank);
    return head->role == SW_WORD_VALUE || head->role == SW_WORD_PARAMETER ||
           head->role == SW_WORD_UNIT;
}

/* Or nothing. */
static bool is_number(const char *text)
{
    return !text[strspn(text, "0123456789.,")];
}

void sw_lab_head_of(const char *text, sw_lab_head *head)
{
    *head = (sw_lab_head){0};
    head->role = sw_word_of_head(text, &head->rank);
    if (head->role != SW_WORD_NONE || is_number(text) || is_in_unit(text, head))
        return;
    head->unit[0] = '\0';
    if (!is_word_that_says(text, head))
        head->role = SW_WORD_NONE;
}

/* ---- A reading a row ---------------------------------------------------- */

/* A cell that may name a parameter: no number, not empty. */
static bool is_named(const char *text)
{
    sw_lab_split split;
    if (!*text || isdigit((unsigned char)*text) || strchr("<>-+", *text))
        return false;
    sw_lab_split_name(text, &split);
    return split.known;
}

/* "Cations" may be a sum, and a heading. */
static bool may_head(const char *text)
{
    sw_parameter p;
    return *text &&
           (!is_named(text) || sw_word_within(text, SW_WORD_SECTION)) &&
           (sw_parameter_find(text, &p, NULL) != SW_OK ||
            p.kind == SW_READS_OTHER);
}

/* Whether parameters are named in the rows right below. */
static bool names_follow(const sw_lab *lab, size_t row, size_t column)
{
    for (size_t i = row + 1; i < row + 4 && i < sw_sheet_rows(&lab->sheet); i++)
        if (is_named(sw_sheet_text(&lab->sheet, i, column)))
            return true;
    return false;
}

/* Whether a column of that head could be a sample's: not known, and with
 * numbers in the rows right below. */
static bool may_be_sample(const sw_lab *lab, size_t row, size_t column,
                          sw_word role)
{
    if (role != SW_WORD_NONE && role != SW_WORD_SAMPLE)
        return false;
    for (size_t i = row + 1; i < row + 20 && i < sw_sheet_rows(&lab->sheet);
         i++)
        if (strpbrk(sw_sheet_text(&lab->sheet, i, column), "0123456789"))
            return true;
    return false;
}

/* Whether a row has a number in a cell: then it heads nothing. */
static bool holds_number(const sw_lab *lab, size_t row)
{
    for (size_t i = 0; i < sw_sheet_columns(&lab->sheet); i++) {
        const char *text = sw_sheet_text(&lab->sheet, row, i);
        text += strspn(text, "< ");
        if (*text && !text[strspn(text, "0123456789.,")])
            return true;
    }
    return false;
}

/* Words stand in two columns of a head at least: most rows are soon told. */
static bool has_words(const sw_lab *lab, size_t row)
{
    size_t words = 0;
    for (size_t i = 0; i < sw_sheet_columns(&lab->sheet); i++)
        words += !is_number(sw_sheet_text(&lab->sheet, row, i));
    return words > 1;
}

bool sw_lab_heads_long(const sw_lab *lab, size_t row, size_t *column)
{
    size_t names = SIZE_MAX;
    size_t values = 0;
    size_t means = 0;
    size_t samples = 0;
    size_t first_value = 0;
    *column = names;
    if (!has_words(lab, row))
        return false;
    for (size_t i = 0; i < sw_sheet_columns(&lab->sheet); i++) {
        sw_lab_head head;
        sw_lab_head_of(sw_sheet_text(&lab->sheet, row, i), &head);
        if (head.role == SW_WORD_PARAMETER && names == SIZE_MAX)
            names = i;
        if (head.role == SW_WORD_VALUE && values++ == 0)
            first_value = i;
        means += head.role == SW_WORD_MEAN;
        samples += may_be_sample(lab, row, i, head.role);
    }
    /* "Cations;mg/l;meq/l": a heading where "Parameter" would stand */
    bool heads = values && names == SIZE_MAX && !holds_number(lab, row);
    for (size_t i = 0; heads && names == SIZE_MAX && i < first_value; i++)
        if (may_head(sw_sheet_text(&lab->sheet, row, i)) &&
            names_follow(lab, row, i))
            names = i;
    *column = names;
    bool archive = names != SIZE_MAX &&
                   sw_lab_is_archive(sw_sheet_text(&lab->sheet, row, names));
    return names != SIZE_MAX &&
           (values || (means == 1 && (!samples || archive)));
}

/* ---- A sample a row or a column ----------------------------------------- */

size_t sw_lab_count_names(const sw_lab *lab, size_t row)
{
    size_t count = 0;
    size_t columns = sw_sheet_columns(&lab->sheet);
    for (size_t i = 0; i < columns && i < NAMED_CELLS; i++)
        count += is_named(sw_sheet_text(&lab->sheet, row, i));
    return count;
}

/* Whether a head names samples. */
static bool heads_samples(const sw_lab *lab, size_t row)
{
    for (size_t i = 0; i < sw_sheet_columns(&lab->sheet) && i < NAMED_CELLS;
         i++)
        if (sw_word_of_head(sw_sheet_text(&lab->sheet, row, i), NULL) ==
            SW_WORD_SAMPLE)
            return true;
    return false;
}

/* The row of most names among the first ones, and how many in *most; one that
 * heads samples too is taken for sure. */
static size_t best_row(const sw_lab *lab, size_t rows, size_t *most)
{
    size_t best = 0;
    *most = 0;
    for (size_t i = 0; i < rows && i < sw_sheet_rows(&lab->sheet); i++) {
        size_t count = sw_lab_count_names(lab, i);
        if (count && !lab->sheet.turned && heads_samples(lab, i))
            count += SURE;
        if (count && rows == NAMED_ROWS && count < SURE && holds_number(lab, i))
            count--; /* of one name and its values */
        if (count > *most) {
            *most = count;
            best = i;
        }
    }
    return best;
}

/* Nothing is named: which word is lacking, where there are others. */
static void fail_no_table(sw_lab *lab)
{
    static const char form[] =
        "expected parameter,value,unit with a reading in each row, or "
        "sample,pH,Ca [mg/L] with a sample in each row";
    const sw_csv_cell *first = sw_sheet_first(&lab->sheet, 0);
    for (size_t i = 0; i < sw_sheet_columns(&lab->sheet); i++) {
        sw_word role = sw_word_of_head(sw_sheet_text(&lab->sheet, 0, i), NULL);
        if (role == SW_WORD_PARAMETER || role == SW_WORD_VALUE) {
            sw_lab_defect(lab, SW_WHOLE_FILE, first, SW_BAD_LAB_HEADER_LACKS,
                          role == SW_WORD_VALUE ? "parameters" : "values",
                          form);
            return;
        }
    }
    sw_lab_defect(lab, SW_WHOLE_FILE, first, SW_BAD_LAB_NONE_NAMED, form);
}

/* "parameter,unit": nothing that could be a value or a sample. */
static bool lacks_values(const sw_lab *lab)
{
    bool names = false;
    for (size_t i = 0; i < lab->sheet.lines[0].count; i++) {
        sw_word role = sw_word_of_head(lab->sheet.lines[0].cells[i].text, NULL);
        names |= role == SW_WORD_PARAMETER;
        if (role == SW_WORD_NONE || role == SW_WORD_SAMPLE)
            return false;
    }
    return names;
}

/* Blanks in a text, one for several together. */
static size_t count_gaps(const char *text)
{
    size_t count = 0;
    for (; *text; text++)
        count += *text == ' ' && text[1] != ' ' && text[1];
    return count;
}

/* A long text of sentences, hardly a short cell with a digit among them: more
 * than what a laboratory says below its table.  Common practice, no source. */
static bool is_letter(const sw_lab *lab, size_t *sentences, size_t *numbers)
{
    enum { SENTENCE_GAPS = 5, LETTER_GAPS = 150, TO_A_NUMBER = 8 };
    size_t gaps = 0;
    *sentences = *numbers = 0;
    for (size_t i = 0; i < lab->sheet.line_count; i++)
        for (size_t j = 0; j < lab->sheet.lines[i].count; j++) {
            const char *text = lab->sheet.lines[i].cells[j].text;
            size_t own = count_gaps(text);
            gaps += own >= SENTENCE_GAPS ? own : 0;
            *sentences += own >= SENTENCE_GAPS;
            *numbers += own < SENTENCE_GAPS && strpbrk(text, "0123456789");
        }
    return gaps > LETTER_GAPS && *numbers * TO_A_NUMBER < *sentences;
}

bool sw_lab_find_table(sw_lab *lab, sw_lab_table *table)
{
    size_t in_row = 0;
    size_t in_column = 0;
    size_t sentences, numbers;
    *table = (sw_lab_table){0};
    if (is_letter(lab, &sentences, &numbers)) {
        sw_lab_defect(lab, SW_WHOLE_FILE, sw_sheet_first(&lab->sheet, 0),
                      SW_BAD_LAB_PROSE, sentences, numbers);
        return false;
    }
    for (size_t i = 0; i < LOOKED_ROWS && i < sw_sheet_rows(&lab->sheet); i++) {
        if (!sw_lab_heads_long(lab, i, &table->column))
            continue;
        table->row = i;
        return table->is_long = true;
    }
    if (lacks_values(lab)) {
        fail_no_table(lab);
        return false;
    }
    table->row = best_row(lab, NAMED_ROWS, &in_row);
    lab->sheet.turned = true;
    size_t column = best_row(lab, NAMED_COLUMNS, &in_column);
    lab->sheet.turned = in_column > in_row;
    if (lab->sheet.turned)
        table->row = column;
    if (in_row == 0 && in_column == 0)
        fail_no_table(lab);
    return in_row > 0 || in_column > 0;
}

bool sw_lab_fits(sw_lab *lab, size_t sample, size_t row, size_t width)
{
    sw_error error;
    const sw_sheet_line *line = &lab->sheet.lines[row];
    /* empty cells at the end count, but are not kept */
    bool whole = line->given >= width && line->count < width;
    if (sw_csv_check_width(lab->sheet.reader, line->cells,
                           whole ? width : line->count, width, &error) == SW_OK)
        return true;
    sw_lab_blame(lab, sample, NULL, &error);
    return false;
}
