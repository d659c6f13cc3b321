/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Tables with a reading in each row: laboratories' lists, one or several side
 * by side, and public archives, where station and date make the sample.
 */
#include "records/lab.h"

#include "quantity/text.h"
#include "records/utf8.h"

#include <ctype.h>
#include <string.h>

enum { MOST_VALUES = 6, MOST_PANELS = 4, MOST_MARKS = 4, NOWHERE = -1 };

typedef struct value_column {
    int at;
    int unit_at;   /* its column of units; NOWHERE: the panel's */
    char unit[80]; /* of its head, or of a row of units below it */
} value_column;

/* Columns from one naming of parameters to the next. */
typedef struct panel {
    int at[SW_WORD_COUNT]; /* of each role; NOWHERE */
    int rank[SW_WORD_COUNT];
    int more_limits; /* of a second column of limits; NOWHERE */
    int more_units;  /* of a second column of units of the value; NOWHERE */
    int definitions[SW_LAB_DEFINITIONS];
    int marks[MOST_MARKS]; /* columns of marks, whatever their heads */
    size_t mark_count;
    value_column values[MOST_VALUES];
    size_t value_count;
    char section[80]; /* the unit a heading gives */
} panel;

typedef struct long_table {
    sw_lab *lab;
    size_t header, width;
    panel panels[MOST_PANELS];
    size_t panel_count;
    bool means;    /* the only values are means */
    size_t sample; /* of the row before */
} long_table;

/* ---- The header --------------------------------------------------------- */

static void clear_panel(panel *p)
{
    memset(p, 0, sizeof *p);
    p->more_limits = p->more_units = NOWHERE;
    for (int i = 0; i < SW_WORD_COUNT; i++)
        p->at[i] = NOWHERE;
    for (int i = 0; i < SW_LAB_DEFINITIONS; i++)
        p->definitions[i] = NOWHERE;
}

static void add_definition(panel *p, int column)
{
    for (int i = 0; i < SW_LAB_DEFINITIONS; i++)
        if (p->definitions[i] == NOWHERE) {
            p->definitions[i] = column;
            return;
        }
}

static void add_value(long_table *t, panel *p, int column,
                      const sw_lab_head *head)
{
    const sw_csv_cell *cell =
        sw_sheet_cell(&t->lab->sheet, t->header, (size_t)column);
    for (size_t i = 0; i < p->value_count; i++) {
        if (strcmp(p->values[i].unit, head->unit) != 0 ||
            p->values[i].unit_at != NOWHERE)
            continue;
        sw_lab_defect(
            t->lab, SW_WHOLE_FILE, SW_ERR_DUPLICATE, cell,
            "the columns '%.40s' and '%.40s' could both hold the "
            "value, expected one, or the unit of each in its name; "
            "rename or delete one of the two",
            sw_sheet_text(&t->lab->sheet, t->header, (size_t)p->values[i].at),
            cell->text);
        return;
    }
    if (p->value_count == MOST_VALUES)
        return;
    value_column *v = &p->values[p->value_count++];
    *v = (value_column){.at = column, .unit_at = NOWHERE};
    memcpy(v->unit, head->unit, sizeof v->unit);
    if (p->value_count > 1)
        sw_lab_remark(t->lab, SW_WHOLE_FILE, cell, cell->text,
                      "the same values in another unit; those read must agree "
                      "with them within 5 %%");
}

static sw_word role_of(const long_table *t, int column)
{
    sw_lab_head head;
    if (column < 0)
        return SW_WORD_NONE;
    sw_lab_head_of(sw_sheet_text(&t->lab->sheet, t->header, (size_t)column),
                   &head);
    return head.role;
}

/* Whether units in a column are those of what stands before it, which is no
 * value: of limits, of a column that is ignored. */
static bool is_of_another(const long_table *t, int column)
{
    sw_word before = role_of(t, column - 1);
    return before == SW_WORD_LIMIT || before == SW_WORD_IGNORED ||
           before == SW_WORD_EXTREME || before == SW_WORD_NONE ||
           (before == SW_WORD_MEAN && !t->means);
}

/* A column of units belongs to what stands before it; the only one to the
 * value wherever it stands.  Two of the value must say the same. */
static void add_unit(const long_table *t, panel *p, int column)
{
    value_column *last = p->value_count ? &p->values[p->value_count - 1] : NULL;
    int *unit = &p->at[SW_WORD_UNIT];
    if (*unit == NOWHERE) {
        *unit = column;
        return;
    }
    if (last && p->value_count > 1 && last->unit_at == NOWHERE &&
        !*last->unit && !is_of_another(t, column)) {
        last->unit_at = column;
        return;
    }
    int other = column;
    if (is_of_another(t, *unit) && !is_of_another(t, column)) {
        other = *unit;
        *unit = column;
    }
    if (role_of(t, other - 1) == SW_WORD_LIMIT &&
        p->at[SW_WORD_LIMIT_UNIT] == NOWHERE)
        p->at[SW_WORD_LIMIT_UNIT] = other;
    else if (!is_of_another(t, other) || is_of_another(t, *unit))
        p->more_units = other;
}

/* A parameter's name, or the same in other words. */
static void add_name(panel *p, int column, int rank)
{
    if (p->at[SW_WORD_PARAMETER] == NOWHERE) {
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

/* Columns that say nothing of a reading, listed once. */
static void add_ignored(char *list, size_t size, const char *head)
{
    if (*head && strlen(list) + strlen(head) + 8 < size)
        sw_text_add(list, size, "%s%s", *list ? ", " : "", head);
    else if (*head && strlen(list) + 5 < size && !strstr(list, " ..."))
        sw_text_add(list, size, " ...");
}

static bool starts_panel(const long_table *t, size_t column,
                         const sw_lab_head *head)
{
    const panel *p = &t->panels[t->panel_count - 1];
    int first = p->at[SW_WORD_PARAMETER];
    return head->role == SW_WORD_PARAMETER && first != NOWHERE &&
           (int)column != first && p->value_count &&
           t->panel_count < MOST_PANELS &&
           sw_same_name(sw_sheet_text(&t->lab->sheet, t->header, (size_t)first),
                        sw_sheet_text(&t->lab->sheet, t->header, column));
}

/* The first cell below the header that holds anything; NULL: none does. */
static const sw_csv_cell *headless(const long_table *t, size_t column)
{
    const sw_sheet *sheet = &t->lab->sheet;
    for (size_t i = t->header + 1; i < sw_sheet_rows(sheet); i++)
        if (*sw_sheet_text(sheet, i, column))
            return sw_sheet_cell(sheet, i, column);
    return NULL;
}

/* A column that says nothing of a reading by its head, and does by its cells.
 */
static void take_as_marks(const long_table *t, size_t column, sw_lab_head *head)
{
    bool idle = head->role == SW_WORD_NONE || head->role == SW_WORD_IGNORED ||
                head->role == SW_WORD_DEFINITION || head->role == SW_WORD_MEAN;
    if (idle && !t->lab->archive &&
        sw_lab_marks_in(&t->lab->sheet, t->header, column) != SW_LAB_NO_MARKS)
        head->role = SW_WORD_QUALIFIER;
}

static void add_column(long_table *t, size_t column, char *ignored, size_t size)
{
    sw_lab_head head;
    panel *p = &t->panels[t->panel_count - 1];
    const char *text = sw_sheet_text(&t->lab->sheet, t->header, column);
    int at = (int)column;
    sw_lab_head_of(text, &head);
    if (p->at[SW_WORD_PARAMETER] != at)
        take_as_marks(t, column, &head);
    if (starts_panel(t, column, &head)) {
        p = &t->panels[t->panel_count++];
        clear_panel(p);
    }
    bool named = p->at[SW_WORD_PARAMETER] == at;
    if (named)
        p->rank[SW_WORD_PARAMETER] =
            head.role == SW_WORD_PARAMETER ? head.rank : -1;
    else if (head.role == SW_WORD_PARAMETER)
        add_name(p, at, head.rank);
    else if (head.role == SW_WORD_DEFINITION)
        add_definition(p, at);
    else if (head.role == SW_WORD_VALUE ||
             (head.role == SW_WORD_MEAN && t->means))
        add_value(t, p, at, &head);
    else if (head.role == SW_WORD_UNIT)
        add_unit(t, p, at);
    else if (head.role == SW_WORD_NONE || head.role == SW_WORD_IGNORED ||
             head.role == SW_WORD_MEAN || head.role == SW_WORD_EXTREME ||
             head.role == SW_WORD_PART)
        add_ignored(ignored, size,
                    *text || !headless(t, column) ? text : "(no name)");
    else if (head.role == SW_WORD_QUALIFIER && p->mark_count < MOST_MARKS)
        p->marks[p->mark_count++] = at;
    else if (head.role == SW_WORD_LIMIT && p->at[SW_WORD_LIMIT] != NOWHERE)
        p->more_limits = at;
    else if (p->at[head.role] == NOWHERE || head.rank < p->rank[head.role]) {
        p->at[head.role] = at;
        p->rank[head.role] = head.rank;
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

static void refuse_second_values(long_table *t)
{
    const sw_sheet *sheet = &t->lab->sheet;
    const panel *p = &t->panels[0];
    for (size_t i = 0; i < t->width && p->value_count; i++) {
        const sw_csv_cell *cell = sw_sheet_cell(sheet, t->header, i);
        const sw_csv_cell *below = headless(t, i);
        if (role_of(t, (int)i) == SW_WORD_NONE && below &&
            says_value(cell->text))
            sw_lab_defect(
                t->lab, SW_WHOLE_FILE, SW_ERR_DUPLICATE, cell,
                "the columns '%.40s' and '%.40s' could both hold the "
                "value, expected one; rename or delete one of the two",
                sw_sheet_text(sheet, t->header, (size_t)p->values[0].at),
                cell->text);
    }
}

static bool is_archive(const char *head)
{
    return strpbrk(head, "._") || !strcmp(head, "CharacteristicName") ||
           strstr(head, "Determinand") || !strcmp(head, "VARIABLE");
}

static void read_header(long_table *t, size_t row, size_t names)
{
    char ignored[400] = "";
    const sw_sheet *sheet = &t->lab->sheet;
    t->header = row;
    t->width = 0;
    t->panel_count = 1;
    clear_panel(&t->panels[0]);
    t->panels[0].at[SW_WORD_PARAMETER] = (int)names;
    t->lab->archive = is_archive(sw_sheet_text(sheet, row, names));
    t->means = true;
    for (size_t i = 0; i < sw_sheet_columns(sheet); i++)
        t->means &= role_of(t, (int)i) != SW_WORD_VALUE;
    for (size_t i = 0; i < sw_sheet_columns(sheet); i++) {
        add_column(t, i, ignored, sizeof ignored);
        if (*sw_sheet_text(sheet, row, i))
            t->width = i + 1;
    }
    if (!t->lab->archive)
        refuse_second_values(t);
    if (*ignored)
        sw_lab_remark(t->lab, SW_WHOLE_FILE, sw_sheet_first(sheet, row),
                      ignored, "columns without a reading; ignored");
}

/* ---- Samples ------------------------------------------------------------ */

static const sw_csv_cell *cell_at(const long_table *t, size_t row, int column)
{
    return column == NOWHERE
               ? NULL
               : sw_sheet_cell(&t->lab->sheet, row, (size_t)column);
}

static const char *text_at(const long_table *t, size_t row, int column)
{
    const sw_csv_cell *cell = cell_at(t, row, column);
    return cell ? cell->text : "";
}

/* The day of "2024-05-01T09:30:00". */
static size_t day_length(const char *date)
{
    size_t length = strcspn(date, "T ");
    return length >= 8 ? length : strlen(date);
}

/* The sample of a row: the only one; or by station and date. */
static size_t sample_of(long_table *t, size_t row, const panel *p)
{
    char key[512];
    char name[400];
    const char *station = text_at(t, row, p->at[SW_WORD_SAMPLE]);
    const char *date = text_at(t, row, p->at[SW_WORD_DATE]);
    const char *time = text_at(t, row, p->at[SW_WORD_TIME]);
    const sw_csv_cell *first = sw_sheet_first(&t->lab->sheet, row);
    bool said = *station || *date;
    if (!said && t->sample != SW_WHOLE_FILE)
        return t->sample;
    (void)snprintf(key, sizeof key, "%.150s|%.80s|%.80s", station, date, time);
    (void)snprintf(name, sizeof name, "%.150s%s%.*s", station,
                   *station && *date ? " " : "", (int)day_length(date), date);
    const char *title =
        *t->lab->title && !*station && !*date ? t->lab->title : name;
    return sw_lab_sample_of(t->lab, key, title, first->line);
}

/* ---- Rows --------------------------------------------------------------- */

/* The mark of a row: the one that says most, of several columns. */
static void find_mark(const long_table *t, const panel *p, size_t row,
                      sw_lab_cells *c)
{
    const sw_csv_cell *first = NULL;
    for (size_t i = 0; i < p->mark_count; i++) {
        c->qualifier = cell_at(t, row, p->marks[i]);
        if (sw_lab_marked_below(c))
            return;
        if (!first && *c->qualifier->text)
            first = c->qualifier;
    }
    c->qualifier = first;
}

static void fill_cells(const long_table *t, const panel *p, size_t row,
                       const value_column *v, sw_lab_cells *c)
{
    *c = (sw_lab_cells){.sample = t->sample};
    c->name = cell_at(t, row, p->at[SW_WORD_PARAMETER]);
    c->value = cell_at(t, row, v->at);
    c->unit = cell_at(t, row,
                      v->unit_at != NOWHERE ? v->unit_at
                      : *v->unit            ? NOWHERE
                                            : p->at[SW_WORD_UNIT]);
    c->units[0] = v->unit;
    c->units[1] = p->section;
    for (int i = 0; i < SW_LAB_DEFINITIONS; i++)
        c->definitions[i] = text_at(t, row, p->definitions[i]);
    c->condition = cell_at(t, row, p->at[SW_WORD_CONDITION]);
    c->flag = cell_at(t, row, p->at[SW_WORD_FLAG]);
    c->limits[0] = cell_at(t, row, p->at[SW_WORD_LIMIT]);
    c->limits[1] = cell_at(t, row, p->more_limits);
    c->limit_unit = text_at(t, row, p->at[SW_WORD_LIMIT_UNIT]);
    c->basis = text_at(t, row, p->at[SW_WORD_BASIS]);
    c->fraction = text_at(t, row, p->at[SW_WORD_FRACTION]);
    find_mark(t, p, row, c);
}

/* Whether a value is there, or a mark that stands for one. */
static bool holds_value(const long_table *t, const panel *p, size_t row)
{
    sw_lab_cells c;
    for (size_t i = 0; i < p->value_count; i++)
        if (*text_at(t, row, p->values[i].at))
            return true;
    if (p->value_count == 0)
        return false;
    fill_cells(t, p, row, &p->values[0], &c);
    return sw_lab_marked_below(&c);
}

/* A row of units below the header; it names no parameter. */
static bool take_units(long_table *t, panel *p, size_t row)
{
    bool any = false;
    if (*text_at(t, row, p->at[SW_WORD_PARAMETER]))
        return false;
    for (size_t i = 0; i < p->value_count; i++) {
        const char *text = text_at(t, row, p->values[i].at);
        if (!sw_is_reading_unit(text))
            continue;
        any = true;
        (void)snprintf(p->values[i].unit, sizeof p->values[i].unit, "%.79s",
                       text);
    }
    if (any)
        sw_lab_remark(t->lab, SW_WHOLE_FILE,
                      sw_sheet_first(&t->lab->sheet, row),
                      sw_sheet_first(&t->lab->sheet, row)->text,
                      "units of the columns above");
    return any;
}

/* A heading, "Cations (mmol/L)", which may give the unit of what follows; or a
 * parameter that was not measured. */
static void take_heading(long_table *t, panel *p, size_t row)
{
    sw_lab_split split;
    const sw_csv_cell *cell = cell_at(t, row, p->at[SW_WORD_PARAMETER]);
    sw_lab_split_name(cell->text, &split);
    bool number = false; /* in a column that is not read, or of a limit */
    for (size_t i = 0; i < t->width; i++)
        number |=
            isdigit((unsigned char)*sw_sheet_text(&t->lab->sheet, row, i));
    if (split.known &&
        ((!*split.unit && *text_at(t, row, p->at[SW_WORD_UNIT])) || number)) {
        sw_lab_remark(t->lab, t->sample, cell, cell->text, "not measured");
        return;
    }
    const char *open = strpbrk(cell->text, "([");
    p->section[0] = '\0';
    if (open)
        (void)snprintf(p->section, sizeof p->section, "%.*s",
                       (int)strcspn(open + 1, ")]"), open + 1);
    if (!sw_is_reading_unit(p->section))
        p->section[0] = '\0';
    sw_lab_remark(t->lab, SW_WHOLE_FILE, cell, cell->text,
                  *p->section ? "a heading, with the unit of what follows"
                              : "a heading or a remark; ignored");
}

/* The column a row is read from: the first that holds something and settles
 * what the name leaves open, as meq/L does of nitrate; else the first. */
static size_t column_read(long_table *t, const panel *p, size_t row)
{
    size_t first = MOST_VALUES;
    for (size_t i = 0; i < p->value_count; i++) {
        sw_lab_cells c;
        if (!*text_at(t, row, p->values[i].at))
            continue;
        if (first == MOST_VALUES)
            first = i;
        fill_cells(t, p, row, &p->values[i], &c);
        if (p->value_count > 1 && sw_lab_settles(t->lab, &c))
            return i;
    }
    return first == MOST_VALUES ? 0 : first;
}

/* Two columns of units of one value. */
static bool units_disagree(long_table *t, const panel *p, size_t row)
{
    const sw_csv_cell *unit = cell_at(t, row, p->at[SW_WORD_UNIT]);
    const sw_csv_cell *other = cell_at(t, row, p->more_units);
    if (!unit || !other || !*unit->text || !*other->text ||
        sw_same_name(unit->text, other->text))
        return false;
    sw_lab_defect(t->lab, t->sample, SW_ERR_UNIT, other,
                  "the unit is '%.40s' here and '%.40s' in another column of "
                  "this row, expected one unit; delete one of the two, or say "
                  "in its head what it is of",
                  other->text, unit->text);
    return true;
}

static void take_values(long_table *t, panel *p, size_t row)
{
    if (units_disagree(t, p, row))
        return;
    sw_lab_cells read, other;
    size_t taken = column_read(t, p, row);
    fill_cells(t, p, row, &p->values[taken], &read);
    sw_lab_take(t->lab, &read);
    for (size_t i = 0; i < p->value_count; i++) {
        if (i == taken || !*text_at(t, row, p->values[i].at))
            continue;
        fill_cells(t, p, row, &p->values[i], &other);
        sw_lab_compare(t->lab, &read, &other);
    }
}

static void take_panel(long_table *t, panel *p, size_t row)
{
    const sw_csv_cell *name = cell_at(t, row, p->at[SW_WORD_PARAMETER]);
    bool holds = holds_value(t, p, row);
    if (!*name->text && !holds)
        return;
    if (take_units(t, p, row))
        return;
    if (!*name->text) {
        const sw_csv_cell *first = sw_sheet_first(&t->lab->sheet, row);
        if (sw_sheet_filled(&t->lab->sheet, row) == 1)
            sw_lab_remark(t->lab, SW_WHOLE_FILE, first, first->text,
                          "a heading or a remark; ignored");
        else
            sw_lab_defect(t->lab, t->sample, SW_ERR_MISSING,
                          name->line ? name : first,
                          "this row names no parameter, expected one such as "
                          "Ca in a row such as Ca,48,mg/L");
        return;
    }
    if (holds)
        take_values(t, p, row);
    else
        take_heading(t, p, row);
}

/* A header that comes again, or a further one. */
static bool take_header(long_table *t, size_t row)
{
    size_t names;
    const sw_sheet *sheet = &t->lab->sheet;
    const panel *p = &t->panels[0];
    const char *value = text_at(t, row, p->values[0].at);
    if (!p->value_count ||
        (sw_word_of_head(text_at(t, row, p->at[SW_WORD_PARAMETER]), NULL) !=
             SW_WORD_PARAMETER &&
         sw_word_of_head(value, NULL) != SW_WORD_VALUE &&
         !sw_is_reading_unit(value)) ||
        !sw_lab_heads_long(t->lab, row, &names))
        return false;
    size_t same = 0;
    for (size_t i = 0; i < t->width; i++)
        same += !strcmp(sw_sheet_text(sheet, row, i),
                        sw_sheet_text(sheet, t->header, i));
    if (same == t->width)
        sw_lab_remark(t->lab, SW_WHOLE_FILE, sw_sheet_first(sheet, row),
                      sw_sheet_first(sheet, row)->text,
                      "the header again; ignored");
    else
        read_header(t, row, names);
    return true;
}

/* Titles: ignored, but for the sample they may name. */
static void take_title(sw_lab *lab, size_t row)
{
    const sw_sheet *sheet = &lab->sheet;
    const sw_csv_cell *first = sw_sheet_first(sheet, row);
    const char *name = "";
    if (!*first->text)
        return;
    for (size_t i = 1; i < sw_sheet_columns(sheet) && !*name; i++)
        name = sw_sheet_text(sheet, row, i);
    bool names = sw_word_of_head(first->text, NULL) == SW_WORD_SAMPLE &&
                 *name && !*lab->title && sw_sheet_filled(sheet, row) == 2;
    if (names)
        (void)snprintf(lab->title, sizeof lab->title, "%.119s", name);
    sw_lab_remark(lab, SW_WHOLE_FILE, first, first->text,
                  names ? "the name of the sample" : "a title; ignored");
}

void sw_lab_read_long(sw_lab *lab, const sw_lab_table *table)
{
    long_table t = {.lab = lab, .sample = SW_WHOLE_FILE};
    for (size_t i = 0; i < table->row; i++)
        take_title(lab, i);
    read_header(&t, table->row, table->column);
    for (size_t i = table->row + 1; i < sw_sheet_rows(&lab->sheet); i++) {
        if (take_header(&t, i) || !sw_lab_fits(lab, i, t.width))
            continue;
        bool holds = false;
        for (size_t k = 0; k < t.panel_count; k++)
            holds |= holds_value(&t, &t.panels[k], i);
        if (holds)
            t.sample = sample_of(&t, i, &t.panels[0]);
        for (size_t k = 0; k < t.panel_count; k++)
            take_panel(&t, &t.panels[k], i);
    }
}
