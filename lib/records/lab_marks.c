/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The marks beside a value: which of them say that nothing was found. */
#include "records/lab.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

bool sw_lab_says(const sw_csv_cell *cell, sw_word role)
{
    return cell && sw_word_is(cell->text, role);
}

/* "U", "UJ", "J,U": in the marks of laboratories a U is "not detected", with
 * whatever else. */
static bool holds_u(const char *mark)
{
    size_t letters = strspn(mark, "ABCDEFGHIJKLMNOPQRSTUVWXYZ,/ *");
    return letters <= 4 && !mark[letters] && strchr(mark, 'U');
}

/* "<", "ND": not detected in any column, unlike "false" or the name of a
 * limit. */
static bool is_clear_mark(const char *text)
{
    return !strcmp(text, "<") || !strcmp(text, "\xE2\x89\xA4") ||
           !strcmp(text, "<=") ||
           (sw_word_is(text, SW_WORD_BELOW) &&
            !sw_word_is(text, SW_WORD_LIMIT) && !sw_same_name(text, "false"));
}

sw_lab_marks sw_lab_marks_in(const sw_sheet *sheet, size_t header,
                             size_t column)
{
    const char *head = sw_sheet_text(sheet, header, column);
    size_t clear = 0;
    size_t letters = 0; /* U, which means other things among other words */
    size_t others = 0;
    for (size_t i = header + 1; i < sw_sheet_rows(sheet); i++) {
        const char *text = sw_sheet_text(sheet, i, column);
        if (!*text || !strcmp(text, head))
            continue;
        if (holds_u(text))
            letters++;
        else if (is_clear_mark(text))
            clear++;
        else if (strcmp(text, ">") != 0 && strcmp(text, "=") != 0 &&
                 text[strspn(text, "*")] &&
                 !(strlen(text) <= 2 && sw_word_is(text, SW_WORD_KEPT)))
            others++;
    }
    if (others)
        return clear ? SW_LAB_SOME_MARKS : SW_LAB_NO_MARKS;
    return clear || letters ? SW_LAB_ONLY_MARKS : SW_LAB_NO_MARKS;
}

bool sw_lab_marked_below(const sw_lab_cells *cells)
{
    const char *mark = sw_cell_text(cells->qualifier);
    return *mark == '<' || !strncmp(mark, "\xE2\x89\xA4", 3) || holds_u(mark) ||
           sw_lab_says(cells->qualifier, SW_WORD_BELOW) ||
           sw_lab_says(cells->condition, SW_WORD_BELOW) ||
           sw_lab_says(cells->condition, SW_WORD_NO) ||
           sw_lab_says(cells->flag, SW_WORD_YES) ||
           is_clear_mark(sw_cell_text(cells->flag));
}

bool sw_lab_hints_below(const char *text)
{
    enum { LONGEST_MARK = 5 };
    bool limit = *text == '<' && !strpbrk(text, "0123456789");
    return limit || sw_word_within(text, SW_WORD_BELOW) > LONGEST_MARK;
}

bool sw_lab_mark_is_known(const sw_csv_cell *mark)
{
    return !mark || !*mark->text || strchr("<=*", *mark->text) ||
           sw_lab_says(mark, SW_WORD_KEPT) ||
           sw_lab_says(mark, SW_WORD_BELOW) ||
           sw_lab_says(mark, SW_WORD_UNMEASURED);
}

/* ---- Footnotes ---------------------------------------------------------- */

enum { MOST_FOOTNOTES = 100 };

/* The number of "(3)"; 0: that is not what stands there. */
static size_t footnote_of(const char *text, const char **rest)
{
    size_t digits = *text == '(' ? strspn(text + 1, "0123456789") : 0;
    if (digits < 1 || digits > 2 || text[1 + digits] != ')')
        return 0;
    *rest = text + digits + 2;
    return (size_t)strtoul(text + 1, NULL, 10);
}

/* "(3) measured on receipt": what row explains, unless that leaves another
 * value, or none; 0: it is no such row. */
static size_t explained_in(const sw_sheet *sheet, size_t row)
{
    static const sw_word others[] = {SW_WORD_UNMEASURED, SW_WORD_UNCLEAR,
                                     SW_WORD_FOREIGN, SW_WORD_APART,
                                     SW_WORD_LIMIT};
    char unit[80] = "";
    const char *rest = "";
    size_t number = footnote_of(sw_sheet_first(sheet, row)->text, &rest);
    if (!number || sw_sheet_filled(sheet, row) != 1 || *rest != ' ' ||
        strchr(rest, '<') || sw_lab_hints_below(rest) ||
        sw_word_is(rest + 1, SW_WORD_BELOW) ||
        sw_word_is(rest + 1, SW_WORD_CHECK))
        return 0;
    sw_lab_find_unit(rest, unit);
    if (*unit)
        return 0;
    for (size_t i = 0; i < sizeof others / sizeof *others; i++)
        if (sw_word_within(rest, others[i]))
            return 0;
    return number;
}

/* Cuts "(3)" off a name that is known or, behind the first column, off a
 * value. */
static void cut_mark(sw_csv_cell *cell, bool first,
                     const bool explained[MOST_FOOTNOTES])
{
    sw_lab_split split;
    const char *rest = "";
    char *open = strrchr(cell->text, '(');
    size_t number = open ? footnote_of(open, &rest) : 0;
    if (!number || *rest || !explained[number])
        return;
    while (open > cell->text && open[-1] == ' ')
        open--;
    char kept = *open;
    *open = '\0';
    bool value =
        !first && (isdigit((unsigned char)*cell->text) || *cell->text == '<');
    if (!value)
        sw_lab_split_name(cell->text, &split);
    if (!value && !split.known)
        *open = kept;
}

void sw_lab_cut_footnotes(sw_sheet *sheet)
{
    bool explained[MOST_FOOTNOTES] = {false};
    for (size_t row = sheet->line_count; row-- > 0;) {
        const sw_sheet_line *line = &sheet->lines[row];
        explained[explained_in(sheet, row)] = true;
        explained[0] = false;
        for (size_t i = 0; i < line->count; i++)
            cut_mark(&line->cells[i], i == 0, explained);
    }
}
