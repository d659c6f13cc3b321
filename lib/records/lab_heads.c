/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Heads of columns of a table with a reading in each row, by their words. */
#include "records/lab_heads.h"

#include "quantity/text.h"
#include "table_refusals.h"

#include <string.h>

static void clear_panel(sw_lab_panel *p)
{
    memset(p, 0, sizeof *p);
    p->limits[0] = p->limits[1] = p->more_units = SW_NOWHERE;
    for (int i = 0; i < SW_WORD_COUNT; i++)
        p->at[i] = SW_NOWHERE;
    for (int i = 0; i < SW_LAB_DEFINITIONS; i++)
        p->definitions[i] = SW_NOWHERE;
}

static void add_definition(sw_lab_panel *p, size_t column)
{
    for (int i = 0; i < SW_LAB_DEFINITIONS; i++)
        if (p->definitions[i] == SW_NOWHERE) {
            p->definitions[i] = column;
            return;
        }
}

static sw_word role_of(const sw_lab_long *t, size_t column)
{
    sw_lab_head head;
    sw_lab_head_of(sw_sheet_text(t->sheet, t->header, column), &head);
    return head.role;
}

static bool has_numbers(const sw_lab_long *t, size_t column)
{
    for (size_t i = t->header + 1; i < sw_sheet_rows(t->sheet); i++)
        if (strpbrk(sw_sheet_text(t->sheet, i, column), "0123456789"))
            return true;
    return false;
}

/* Whether two columns of values, each with its units behind it, are two waters
 * and not one in two units: no row has two. */
static bool are_two_waters(const sw_lab_long *t, size_t one, size_t other)
{
    size_t same = 0;
    for (size_t i = t->header + 1; i < sw_sheet_rows(t->sheet); i++) {
        const char *unit = sw_sheet_text(t->sheet, i, one + 1);
        const char *again = sw_sheet_text(t->sheet, i, other + 1);
        if (!*unit || !*again)
            continue;
        if (!sw_lab_same_unit(unit, again))
            return false;
        same++;
    }
    return same > 0;
}

static void refuse_two_waters(sw_lab_long *t, const sw_lab_panel *p,
                              size_t column)
{
    const sw_csv_cell *cell = sw_sheet_cell(t->sheet, t->header, column);
    size_t first = p->values[0].at;
    for (size_t i = first; i < column; i++)
        if (role_of(t, i) == SW_WORD_PARAMETER)
            return; /* of another panel */
    if (role_of(t, first + 1) == SW_WORD_UNIT &&
        role_of(t, column + 1) == SW_WORD_UNIT &&
        are_two_waters(t, first, column))
        sw_lab_defect(t->lab, SW_WHOLE_FILE, cell, SW_BAD_LAB_TWO_WATERS,
                      sw_sheet_text(t->sheet, t->header, first), cell->text);
}

static void add_value(sw_lab_long *t, sw_lab_panel *p, size_t column,
                      const sw_lab_head *head)
{
    const sw_csv_cell *cell = sw_sheet_cell(t->sheet, t->header, column);
    if (p->value_count)
        refuse_two_waters(t, p, column);
    for (size_t i = 0; i < p->value_count; i++) {
        if (strcmp(p->values[i].unit, head->unit) != 0 ||
            p->values[i].unit_at != SW_NOWHERE ||
            (role_of(t, p->values[i].at + 1) == SW_WORD_UNIT &&
             role_of(t, column + 1) == SW_WORD_UNIT)) /* each has its own */
            continue;
        size_t *other = &p->values[i].at;
        bool idle = !has_numbers(t, column);
        if (idle || !has_numbers(t, *other)) { /* "Level", of "low" and "ok" */
            const sw_csv_cell *left =
                sw_sheet_cell(t->sheet, t->header, idle ? column : *other);
            sw_lab_remark(t->lab, SW_WHOLE_FILE, left,
                          "a column without a number; ignored");
            *other = idle ? *other : column;
            return;
        }
        sw_lab_defect(
            t->lab, SW_WHOLE_FILE, cell, SW_BAD_LAB_TWO_VALUES_BY_UNIT,
            sw_sheet_text(t->sheet, t->header, p->values[i].at), cell->text);
        return;
    }
    if (p->value_count == SW_LAB_MOST_VALUES)
        return;
    sw_lab_column *v = &p->values[p->value_count++];
    *v = (sw_lab_column){.at = column, .unit_at = SW_NOWHERE};
    memcpy(v->unit, head->unit, sizeof v->unit);
    v->said = head->said;
    if (p->value_count > 1)
        sw_lab_remark(t->lab, SW_WHOLE_FILE, cell,
                      "the same values in another unit; those read must agree "
                      "with them within 5 %%");
}

/* Whether units in a column are those of what stands before it, which is no
 * value: of limits, of a column that is ignored. */
static bool is_of_another(const sw_lab_long *t, size_t column)
{
    sw_word before = role_of(t, column - 1);
    return before == SW_WORD_LIMIT || before == SW_WORD_IGNORED ||
           before == SW_WORD_EXTREME || before == SW_WORD_NONE ||
           (before == SW_WORD_MEAN && !t->means);
}

/* A column of units belongs to what stands before it; the only one to the
 * value wherever it stands.  Two of the value must say the same. */
static void add_unit(const sw_lab_long *t, sw_lab_panel *p, size_t column)
{
    sw_lab_column *last =
        p->value_count ? &p->values[p->value_count - 1] : NULL;
    size_t *unit = &p->at[SW_WORD_UNIT];
    if (*unit == SW_NOWHERE) {
        *unit = column;
        return;
    }
    if (last && p->value_count > 1 && last->unit_at == SW_NOWHERE &&
        !*last->unit && !is_of_another(t, column)) {
        last->unit_at = column;
        return;
    }
    size_t other = column;
    if (is_of_another(t, *unit) && !is_of_another(t, column)) {
        other = *unit;
        *unit = column;
    }
    if (role_of(t, other - 1) == SW_WORD_LIMIT &&
        p->at[SW_WORD_LIMIT_UNIT] == SW_NOWHERE)
        p->at[SW_WORD_LIMIT_UNIT] = other;
    else if (!is_of_another(t, other) || is_of_another(t, *unit))
        p->more_units = other;
}

/* A parameter's name, or the same in other words. */
static void add_name(sw_lab_panel *p, size_t column, int rank)
{
    if (p->at[SW_WORD_PARAMETER] == SW_NOWHERE) {
        p->at[SW_WORD_PARAMETER] = column;
    } else if (rank < p->rank[SW_WORD_PARAMETER]) {
        add_definition(p, p->at[SW_WORD_PARAMETER]);
        p->at[SW_WORD_PARAMETER] = column;
    } else {
        add_definition(p, column);
        return;
    }
    p->rank[SW_WORD_PARAMETER] = rank;
}

static void add_origin(sw_lab_panel *p, size_t column, sw_word role,
                       const char *head)
{
    if (p->origin_count < SW_LAB_MOST_ORIGINS)
        p->origins[p->origin_count++] =
            (sw_lab_origin){.at = column,
                            .role = role,
                            .of_state = sw_same_name(head, "status")};
}

/* Of columns an archive has of its own only those that are meant for words. */
static void add_words(const sw_lab_long *t, sw_lab_panel *p, size_t column,
                      sw_word role)
{
    bool meant = role == SW_WORD_REMARK || role == SW_WORD_WARMTH ||
                 role == SW_WORD_DEFINITION;
    if (p->word_count < SW_LAB_MOST_WORDS && (meant || !t->lab->archive))
        p->words[p->word_count++] = (sw_lab_words){.at = column, .role = role};
}

/* Columns that say nothing of a reading, listed once. */
static void add_ignored(char *list, size_t size, const char *head)
{
    if (*head && strlen(list) + strlen(head) + 8 < size)
        sw_text_join(list, size, ", ", "%s", head);
    else if (*head && strlen(list) + 5 < size && !strstr(list, " ..."))
        sw_text_add(list, size, " ...");
}

static bool starts_panel(const sw_lab_long *t, size_t column,
                         const sw_lab_head *head)
{
    const sw_lab_panel *p = &t->panels[t->panel_count - 1];
    size_t first = p->at[SW_WORD_PARAMETER];
    return head->role == SW_WORD_PARAMETER && first != SW_NOWHERE &&
           column != first && p->value_count &&
           t->panel_count < SW_LAB_MOST_PANELS &&
           sw_same_name(sw_sheet_text(t->sheet, t->header, first),
                        sw_sheet_text(t->sheet, t->header, column));
}

/* A column that says nothing of a reading by its head, and does by its cells.
 */
static void take_as_marks(const sw_lab_long *t, size_t column,
                          sw_lab_head *head)
{
    bool idle = head->role == SW_WORD_NONE || head->role == SW_WORD_IGNORED ||
                head->role == SW_WORD_REMARK ||
                head->role == SW_WORD_DEFINITION || head->role == SW_WORD_MEAN;
    if (idle && !t->lab->archive &&
        sw_lab_marks_in(t->sheet, t->header, column) != SW_LAB_NO_MARKS)
        head->role = SW_WORD_QUALIFIER;
}

static void add_limit(sw_lab_panel *p, size_t column, const sw_lab_head *head)
{
    bool first = p->limits[0] == SW_NOWHERE;
    if (!first && p->limits[1] != SW_NOWHERE)
        return;
    p->limits[!first] = column;
    memcpy(p->limit_units[!first], head->unit, sizeof head->unit);
}

/* What a head says beside its word; a factor is not worked out. */
static void heed_head(const sw_lab_long *t, sw_lab_panel *p, size_t column,
                      const sw_lab_head *head)
{
    const sw_csv_cell *cell = sw_sheet_cell(t->sheet, t->header, column);
    if (*head->said.factor)
        sw_lab_defect(t->lab, SW_WHOLE_FILE, cell, SW_BAD_LAB_HEAD_MULTIPLIED,
                      cell->text, head->said.factor);
    if (head->role == SW_WORD_PARAMETER || head->role == SW_WORD_UNIT)
        sw_lab_add_said(&p->said, &head->said);
    if (head->role == SW_WORD_PARAMETER && *head->unit)
        memcpy(t->lab->unit, head->unit, sizeof t->lab->unit);
}

static void add_column(sw_lab_long *t, size_t column, char *ignored,
                       size_t size)
{
    sw_lab_head head;
    sw_lab_panel *p = &t->panels[t->panel_count - 1];
    const char *text = sw_sheet_text(t->sheet, t->header, column);
    sw_lab_head_of(text, &head);
    if (p->at[SW_WORD_PARAMETER] != column)
        take_as_marks(t, column, &head);
    if (starts_panel(t, column, &head)) {
        p = &t->panels[t->panel_count++];
        clear_panel(p);
    }
    heed_head(t, p, column, &head);
    if (head.role == SW_WORD_NONE || head.role == SW_WORD_IGNORED ||
        head.role == SW_WORD_REMARK || head.role == SW_WORD_WARMTH ||
        head.role == SW_WORD_DEFINITION)
        add_words(t, p, column, head.role);
    bool named = p->at[SW_WORD_PARAMETER] == column;
    if (named)
        p->rank[SW_WORD_PARAMETER] =
            head.role == SW_WORD_PARAMETER ? head.rank : -1;
    else if (head.role == SW_WORD_PARAMETER)
        add_name(p, column, head.rank);
    else if (head.role == SW_WORD_DEFINITION)
        add_definition(p, column);
    else if (head.role == SW_WORD_VALUE ||
             (head.role == SW_WORD_MEAN && t->means))
        add_value(t, p, column, &head);
    else if (head.role == SW_WORD_UNIT)
        add_unit(t, p, column);
    else if (head.role == SW_WORD_ORIGIN || head.role == SW_WORD_STATISTIC ||
             head.role == SW_WORD_VALIDITY || head.role == SW_WORD_INVALIDITY)
        add_origin(p, column, head.role, text);
    else if (head.role == SW_WORD_WARMTH)
        ; /* heard with the reading */
    else if (head.role == SW_WORD_NONE || head.role == SW_WORD_IGNORED ||
             head.role == SW_WORD_REMARK || head.role == SW_WORD_MEAN ||
             head.role == SW_WORD_EXTREME || head.role == SW_WORD_PART)
        add_ignored(ignored, size,
                    *text || !sw_sheet_below(t->sheet, t->header, column)
                        ? text
                        : "(no name)");
    else if (head.role == SW_WORD_QUALIFIER &&
             p->mark_count < SW_LAB_MOST_MARKS)
        p->marks[p->mark_count++] = column;
    else if (head.role == SW_WORD_LIMIT)
        add_limit(p, column, &head);
    else if (p->at[head.role] == SW_NOWHERE || head.rank < p->rank[head.role]) {
        p->at[head.role] = column;
        p->rank[head.role] = head.rank;
        if (head.role == SW_WORD_FRACTION)
            add_origin(p, column, SW_WORD_ORIGIN, text);
    }
}

/* Heads with a word for values in them, "Corrected result", beside a column of
 * values: which of the two holds is not said. */
static bool says_value(const char *head)
{
    static const char marks[] = " ,;_()[]";
    bool value = false;
    for (const char *at = head + strspn(head, marks); *at;) {
        char word[64];
        size_t length = strcspn(at, marks);
        (void)snprintf(word, sizeof word, "%.*s", (int)length, at);
        sw_word role = sw_word_of_head(word, NULL);
        value |= role == SW_WORD_VALUE;
        if ((role != SW_WORD_NONE && role != SW_WORD_VALUE) ||
            sw_same_name(word, "id") || sw_same_name(word, "code"))
            return false;
        at += length;
        at += strspn(at, marks);
    }
    return value;
}

static void refuse_second_values(sw_lab_long *t)
{
    const sw_lab_panel *p = &t->panels[0];
    for (size_t i = 0; i < t->width && p->value_count; i++) {
        const sw_csv_cell *cell = sw_sheet_cell(t->sheet, t->header, i);
        const sw_csv_cell *below = sw_sheet_below(t->sheet, t->header, i);
        if (role_of(t, i) == SW_WORD_NONE && below && says_value(cell->text))
            sw_lab_defect(t->lab, SW_WHOLE_FILE, cell, SW_BAD_LAB_TWO_VALUES,
                          sw_sheet_text(t->sheet, t->header, p->values[0].at),
                          cell->text);
    }
}

bool sw_lab_is_archive(const char *head)
{
    return strpbrk(head, "._") || !strcmp(head, "CharacteristicName") ||
           strstr(head, "Determinand") || !strcmp(head, "VARIABLE");
}

void sw_lab_read_header(sw_lab_long *t, size_t row, size_t names)
{
    char ignored[400] = "";
    t->header = row;
    t->width = 0;
    t->panel_count = 1;
    clear_panel(&t->panels[0]);
    t->panels[0].at[SW_WORD_PARAMETER] = names;
    t->lab->archive = sw_lab_is_archive(sw_sheet_text(t->sheet, row, names));
    t->means = true;
    for (size_t i = 0; i < sw_sheet_columns(t->sheet); i++)
        t->means &= role_of(t, i) != SW_WORD_VALUE;
    for (size_t i = 0; i < sw_sheet_columns(t->sheet); i++) {
        add_column(t, i, ignored, sizeof ignored);
        if (*sw_sheet_text(t->sheet, row, i))
            t->width = i + 1;
    }
    if (!t->lab->archive)
        refuse_second_values(t);
    if (*ignored)
        sw_lab_remark_of(t->lab, SW_WHOLE_FILE, sw_sheet_first(t->sheet, row),
                         ignored, "columns without a reading; ignored");
}
