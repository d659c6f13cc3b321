/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Tables with a reading in each row: laboratories' lists, one or several side
 * by side, and public archives, where station and date make the sample.
 */
#include "records/lab_heads.h"

#include "quantity/text.h"
#include "table_refusals.h"

#include <ctype.h>
#include <string.h>

enum { LONGEST_HEADING = 60 };

/* ---- Samples ------------------------------------------------------------ */

static const sw_csv_cell *cell_at(const sw_lab_long *t, size_t row,
                                  size_t column)
{
    return sw_sheet_cell(t->sheet, row, column);
}

static const char *text_at(const sw_lab_long *t, size_t row, size_t column)
{
    return sw_sheet_text(t->sheet, row, column);
}

/* The day of "2024-05-01T09:30:00". */
static size_t day_length(const char *date)
{
    size_t length = strcspn(date, "T ");
    return length >= 8 ? length : strlen(date);
}

/* The sample of a row: the only one; or by station and date. */
static size_t sample_of(sw_lab_long *t, size_t row, const sw_lab_panel *p)
{
    char key[512];
    char name[400];
    const char *station = text_at(t, row, p->at[SW_WORD_SAMPLE]);
    const char *date = text_at(t, row, p->at[SW_WORD_DATE]);
    const char *time = text_at(t, row, p->at[SW_WORD_TIME]);
    const sw_csv_cell *first = sw_sheet_first(t->sheet, row);
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

/* Whether a mark takes its value away, or says it is above a range. */
static bool is_grave(const sw_csv_cell *mark)
{
    return *mark->text == '>' || sw_lab_says(mark, SW_WORD_ABOVE) ||
           sw_lab_says(mark, SW_WORD_UNMEASURED);
}

/* The mark of a row: the one that says most, of several columns. */
static void find_mark(const sw_lab_long *t, const sw_lab_panel *p, size_t row,
                      sw_lab_cells *c)
{
    const sw_csv_cell *first = NULL;
    for (size_t i = 0; i < p->mark_count; i++) {
        c->qualifier = cell_at(t, row, p->marks[i]);
        if (sw_lab_marked_below(c))
            return;
        if (*c->qualifier->text && (!first || is_grave(c->qualifier)))
            first = c->qualifier;
    }
    c->qualifier = first;
}

/* The row's own unit.  Beside columns with units in their heads it is that of
 * the one which has it, or of one without. */
static const sw_csv_cell *unit_of_row(const sw_lab_long *t,
                                      const sw_lab_panel *p, size_t row,
                                      const sw_lab_column *v)
{
    const sw_csv_cell *cell = cell_at(
        t, row, v->unit_at != SW_NOWHERE ? v->unit_at : p->at[SW_WORD_UNIT]);
    if (v->unit_at != SW_NOWHERE || !*v->unit)
        return cell;
    for (size_t i = 0; i < p->value_count; i++)
        if (&p->values[i] != v &&
            (*p->values[i].unit
                 ? sw_lab_same_unit(p->values[i].unit, cell->text)
                 : p->values[i].unit_at == SW_NOWHERE))
            return NULL;
    return cell;
}

static void fill_cells(const sw_lab_long *t, const sw_lab_panel *p, size_t row,
                       const sw_lab_column *v, sw_lab_cells *c)
{
    *c = (sw_lab_cells){.sample = t->sample};
    c->name = cell_at(t, row, p->at[SW_WORD_PARAMETER]);
    c->value = cell_at(t, row, v->at);
    c->unit = unit_of_row(t, p, row, v);
    c->units[0] = v->unit;
    c->units[1] = p->section;
    c->units[2] = t->lab->unit;
    for (int i = 0; i < SW_LAB_DEFINITIONS; i++)
        c->definitions[i] = text_at(t, row, p->definitions[i]);
    c->condition = cell_at(t, row, p->at[SW_WORD_CONDITION]);
    c->flag = cell_at(t, row, p->at[SW_WORD_FLAG]);
    for (int i = 0; i < 2; i++) {
        const char *unit = text_at(t, row, p->at[SW_WORD_LIMIT_UNIT]);
        c->limits[i] = cell_at(t, row, p->limits[i]);
        c->limit_units[i] = *unit ? unit : p->limit_units[i];
    }
    c->basis = text_at(t, row, p->at[SW_WORD_BASIS]);
    c->fraction = text_at(t, row, p->at[SW_WORD_FRACTION]);
    c->said = t->row_said;
    c->said_of_it = *t->row_said.basis;
    c->hint = t->hint;
    sw_lab_add_said(&c->said, &v->said);
    sw_lab_add_said(&c->said, &p->section_said);
    sw_lab_add_said(&c->said, &p->said);
    find_mark(t, p, row, c);
}

/* Whether a value is there, or a mark that stands for one. */
static bool holds_value(const sw_lab_long *t, const sw_lab_panel *p, size_t row)
{
    sw_lab_cells c;
    for (size_t i = 0; i < p->value_count; i++)
        if (*text_at(t, row, p->values[i].at))
            return true;
    if (p->value_count == 0)
        return false;
    fill_cells(t, p, row, &p->values[0], &c);
    return sw_lab_marked_below(&c) ||
           sw_word_is(c.condition->text, SW_WORD_ABOVE);
}

/* A row of units below the header; it names no parameter. */
static bool take_units(sw_lab_long *t, sw_lab_panel *p, size_t row)
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
        sw_lab_remark(t->lab, SW_WHOLE_FILE, sw_sheet_first(t->sheet, row),
                      "units of the columns above");
    return any;
}

/* A heading that no reading followed was a footnote: of the whole file. */
static void end_section(sw_lab_long *t, sw_lab_panel *p)
{
    if (p->unheeded)
        sw_lab_hear(t->lab, p->unheeded);
    p->unheeded = NULL;
}

/* "Cations (as CaCO3)" is of what follows, "* as CaCO3" of what stands above;
 * conductivity may be on either side. */
static void hear_heading(sw_lab_long *t, sw_lab_panel *p,
                         const sw_csv_cell *cell)
{
    end_section(t, p);
    p->section_said = (sw_lab_said){.basis = ""};
    char lead[80];
    (void)snprintf(lead, sizeof lead, "%.79s", cell->text);
    bool footnote = strchr("*(", *cell->text) ||
                    isdigit((unsigned char)*cell->text) ||
                    sw_is_reading_unit(cell->text) ||
                    (sw_lab_cut_lead(lead) && sw_species_known(lead));
    if (!footnote && sw_lab_read_said(cell->text, &p->section_said))
        p->unheeded = cell;
    if (footnote || *p->section_said.warm || *p->section_said.factor)
        end_section(t, p), sw_lab_hear(t->lab, cell);
}

/* Of which water what follows a heading is.  "ND = below the limit" and whole
 * sentences are remarks; what is neither of limits nor of a kind of readings
 * may be of another water, or of limits still. */
static void find_owner(sw_lab_panel *p, const sw_csv_cell *cell,
                       const sw_lab_split *split)
{
    const char *text = cell->text;
    bool remark = strpbrk(text, "=<*") || strlen(text) > LONGEST_HEADING;
    bool limits = sw_word_within(text, SW_WORD_CHECK);
    bool section = !sw_word_within(text, SW_WORD_SAMPLE) &&
                   (sw_word_within(text, SW_WORD_SECTION) || split->known ||
                    *p->section || p->unheeded);
    if (remark)
        return;
    p->unclear = !limits && !section && (p->apart_from || p->any) ? cell : NULL;
    p->apart_from = limits ? cell : NULL;
}

/* Readings follow a heading of which it is not known what it is of. */
static void ask_owner(sw_lab_long *t, sw_lab_panel *p)
{
    if (p->unclear)
        sw_lab_defect(t->lab, SW_WHOLE_FILE, p->unclear, SW_BAD_LAB_OTHER_WATER,
                      p->unclear->text);
    p->unclear = NULL;
    p->any = true;
}

/* A heading, "Cations (mmol/L)", which may give the unit of what follows; or a
 * parameter that was not measured. */
static void take_heading(sw_lab_long *t, sw_lab_panel *p, size_t row)
{
    sw_lab_split split;
    const sw_csv_cell *cell = cell_at(t, row, p->at[SW_WORD_PARAMETER]);
    sw_lab_split_name(cell->text, &split);
    bool number = false; /* in a column that is not read, or of a limit */
    for (size_t i = 0; i < t->width; i++)
        number |= isdigit((unsigned char)*sw_sheet_text(t->sheet, row, i));
    if (split.known &&
        ((!*split.unit && *text_at(t, row, p->at[SW_WORD_UNIT])) || number)) {
        sw_lab_remark(t->lab, t->sample, cell, "not measured");
        return;
    }
    const char *open = strpbrk(cell->text, "([");
    p->section[0] = '\0';
    if (open)
        (void)snprintf(p->section, sizeof p->section, "%.*s",
                       (int)strcspn(open + 1, ")]"), open + 1);
    if (!sw_is_reading_unit(p->section))
        sw_lab_find_unit(cell->text, p->section);
    hear_heading(t, p, cell);
    find_owner(p, cell, &split);
    sw_lab_remark(t->lab, SW_WHOLE_FILE, cell,
                  p->apart_from ? "a heading; what follows is not of the water"
                  : *p->section ? "a heading, with the unit of what follows"
                  : p->unheeded ? "a heading; what follows is taken as it says"
                                : "a heading or a remark; ignored");
}

/* The column a row is read from: the first that holds something and settles
 * what the name leaves open, as meq/L does of nitrate; else the first. */
static size_t column_read(sw_lab_long *t, const sw_lab_panel *p, size_t row)
{
    size_t first = SW_LAB_MOST_VALUES;
    for (size_t i = 0; i < p->value_count; i++) {
        sw_lab_cells c;
        if (!*text_at(t, row, p->values[i].at))
            continue;
        if (first == SW_LAB_MOST_VALUES)
            first = i;
        fill_cells(t, p, row, &p->values[i], &c);
        if (p->value_count > 1 && sw_lab_settles(t->lab, &c))
            return i;
    }
    return first == SW_LAB_MOST_VALUES ? 0 : first;
}

/* Two columns of units of one value. */
static bool units_disagree(sw_lab_long *t, const sw_lab_panel *p, size_t row)
{
    const sw_csv_cell *unit = cell_at(t, row, p->at[SW_WORD_UNIT]);
    const sw_csv_cell *other = cell_at(t, row, p->more_units);
    if (!*unit->text || !*other->text || sw_same_name(unit->text, other->text))
        return false;
    sw_lab_defect(t->lab, t->sample, other, SW_BAD_LAB_TWO_UNITS_ROW,
                  other->text, unit->text);
    return true;
}

/* What a column of words says of a row. */
static void hear_words(sw_lab_words *w, const char *text)
{
    if (!strncmp(text, w->text, sizeof w->text - 1))
        return;
    (void)snprintf(w->text, sizeof w->text, "%.99s", text);
    w->below = (w->role == SW_WORD_REMARK || w->role == SW_WORD_NONE) &&
               sw_lab_hints_below(text);
    (void)sw_lab_read_said(text, &w->said);
    if (w->role == SW_WORD_WARMTH)
        sw_lab_read_warmth(text, &w->said);
    /* a method or a lot, or another name, is of other things too */
    if (w->role != SW_WORD_REMARK && w->role != SW_WORD_NONE)
        w->said.factor[0] = '\0';
    if (w->role == SW_WORD_IGNORED || (w->role == SW_WORD_DEFINITION &&
                                       sw_parameter_known(text) != SW_UNKNOWN))
        w->said.basis[0] = '\0';
}

/* What the row's words say of its values; false with a defect. */
static bool hear_row(sw_lab_long *t, sw_lab_panel *p, size_t row)
{
    t->row_said = (sw_lab_said){.basis = ""};
    t->hint = NULL;
    for (size_t i = 0; i < p->word_count; i++) {
        sw_lab_words *w = &p->words[i];
        const sw_csv_cell *cell = cell_at(t, row, w->at);
        hear_words(w, cell->text);
        sw_lab_add_said(&t->row_said, &w->said);
        t->hint = w->below ? cell : t->hint;
        if (*w->said.factor) {
            sw_lab_defect(t->lab, t->sample, cell, SW_BAD_LAB_MULTIPLIED,
                          cell->text, w->said.factor);
            return false;
        }
    }
    return true;
}

static void take_values(sw_lab_long *t, sw_lab_panel *p, size_t row)
{
    if (units_disagree(t, p, row) || !hear_row(t, p, row))
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

/* A maximum is no reading, a mean may be. */
static bool is_apart(const sw_lab_origin *o)
{
    switch (o->role) {
    case SW_WORD_STATISTIC:
        return *o->said && sw_word_of_head(o->said, NULL) != SW_WORD_MEAN;
    case SW_WORD_VALIDITY:
        return sw_word_is(o->said, SW_WORD_NO);
    case SW_WORD_INVALIDITY:
        return sw_word_is(o->said, SW_WORD_YES);
    default:
        return sw_word_says_foreign(o->said, o->of_state);
    }
}

/* The cell that says a row is not of the water: of a blank, of sediment, of a
 * result that was rejected, of limits; NULL: none. */
static const sw_csv_cell *apart_by(const sw_lab_long *t, sw_lab_panel *p,
                                   size_t row)
{
    for (size_t i = 0; i < p->origin_count; i++) {
        sw_lab_origin *o = &p->origins[i];
        const sw_csv_cell *cell = cell_at(t, row, o->at);
        if (strncmp(cell->text, o->said, sizeof o->said - 1) != 0) {
            (void)snprintf(o->said, sizeof o->said, "%.99s", cell->text);
            o->apart = is_apart(o);
            o->fed = sw_word_within(o->said, SW_WORD_FED);
        }
        if (o->apart)
            return cell;
    }
    return p->apart_from;
}

/* Whether a row is left out, which is said. */
static bool leaves_out(sw_lab_long *t, sw_lab_panel *p, size_t row)
{
    const sw_csv_cell *name = cell_at(t, row, p->at[SW_WORD_PARAMETER]);
    const sw_csv_cell *by = apart_by(t, p, row);
    if (!by)
        return false;
    t->lab->apart++;
    sw_lab_remark(t->lab, SW_WHOLE_FILE, name,
                  "of '%.60s', not of the water; left out", by->text);
    return true;
}

static void take_remark(sw_lab_long *t, const sw_csv_cell *cell)
{
    sw_lab_hear(t->lab, cell);
    sw_lab_remark(t->lab, SW_WHOLE_FILE, cell,
                  "a heading or a remark; ignored");
}

/* "Mg;27;mg/L" among commas, "Mg 27": a name and its value in one cell. */
static bool joins_value(const char *text)
{
    static const char marks[] = " ;|\t";
    for (const char *at = strpbrk(text, marks); at;
         at = strpbrk(at + 1, marks)) {
        char name[80];
        const char *next = at + strspn(at, marks);
        size_t digits = strspn(next, "<0123456789.,");
        (void)snprintf(name, sizeof name, "%.*s", (int)(at - text), text);
        if (digits && (!next[digits] || (*at != ' ' && next[digits] == *at)) &&
            sw_parameter_known(name) != SW_UNKNOWN)
            return sw_parameter_known(text) == SW_UNKNOWN;
    }
    return false;
}

/* And no number where the value would stand. */
static bool has_joined(const sw_lab_long *t, const sw_lab_panel *p, size_t row)
{
    for (size_t i = 0; i < p->value_count; i++) {
        const char *text = text_at(t, row, p->values[i].at);
        if (isdigit((unsigned char)*text) || (*text && strchr("<.-", *text)))
            return false;
    }
    return joins_value(text_at(t, row, p->at[SW_WORD_PARAMETER]));
}

static void take_panel(sw_lab_long *t, sw_lab_panel *p, size_t row)
{
    const sw_csv_cell *name = cell_at(t, row, p->at[SW_WORD_PARAMETER]);
    bool holds = holds_value(t, p, row);
    if (!*name->text && !holds)
        return;
    if (take_units(t, p, row))
        return;
    if (!*name->text) {
        const sw_csv_cell *first = sw_sheet_first(t->sheet, row);
        if (sw_sheet_filled(t->sheet, row) == 1)
            take_remark(t, first);
        else
            sw_lab_defect(t->lab, t->sample, name->line ? name : first,
                          SW_BAD_LAB_NO_PARAMETER);
        return;
    }
    if (holds && leaves_out(t, p, row))
        return;
    if (sw_sheet_filled(t->sheet, row) < 3 && has_joined(t, p, row)) {
        sw_lab_defect(t->lab, t->sample, name, SW_BAD_LAB_JOINED, name->text);
        return;
    }
    if (holds) {
        p->unheeded = NULL;
        ask_owner(t, p);
    }
    for (size_t i = 0; holds && i < p->origin_count; i++)
        if (p->origins[i].fed)
            sw_lab_hear_kind(t->lab, t->sample, p->origins[i].said);
    if (holds)
        take_values(t, p, row);
    else
        take_heading(t, p, row);
}

/* A header that comes again, or a further one. */
static bool take_header(sw_lab_long *t, size_t row)
{
    size_t names;
    const sw_lab_panel *p = &t->panels[0];
    const char *value = text_at(t, row, p->values[0].at);
    if (!p->value_count ||
        joins_value(text_at(t, row, p->at[SW_WORD_PARAMETER])) ||
        (sw_word_of_head(text_at(t, row, p->at[SW_WORD_PARAMETER]), NULL) !=
             SW_WORD_PARAMETER &&
         sw_word_of_head(value, NULL) != SW_WORD_VALUE &&
         !sw_is_reading_unit(value)) ||
        !sw_lab_heads_long(t->lab, row, &names))
        return false;
    size_t same = 0;
    for (size_t i = 0; i < t->width; i++)
        same += !strcmp(sw_sheet_text(t->sheet, row, i),
                        sw_sheet_text(t->sheet, t->header, i));
    if (same == t->width)
        sw_lab_remark(t->lab, SW_WHOLE_FILE, sw_sheet_first(t->sheet, row),
                      "the header again; ignored");
    else
        sw_lab_read_header(t, row, names);
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
    sw_lab_hear_title(lab, row);
    sw_lab_remark(lab, SW_WHOLE_FILE, first,
                  names ? "the name of the sample" : "a title; ignored");
}

void sw_lab_read_long(sw_lab *lab, const sw_lab_table *table)
{
    sw_lab_long t = {.lab = lab, .sheet = &lab->sheet, .sample = SW_WHOLE_FILE};
    for (size_t i = 0; i < table->row; i++)
        take_title(lab, i);
    sw_lab_read_header(&t, table->row, table->column);
    for (size_t i = table->row + 1; i < sw_sheet_rows(&lab->sheet); i++) {
        if (take_header(&t, i) || !sw_lab_fits(lab, SW_WHOLE_FILE, i, t.width))
            continue;
        bool holds = false;
        for (size_t k = 0; k < t.panel_count; k++)
            holds |= holds_value(&t, &t.panels[k], i);
        if (holds)
            t.sample = sample_of(&t, i, &t.panels[0]);
        for (size_t k = 0; k < t.panel_count; k++)
            take_panel(&t, &t.panels[k], i);
    }
    for (size_t k = 0; k < t.panel_count; k++)
        end_section(&t, &t.panels[k]);
}
