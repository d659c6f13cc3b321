/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One reading from its cells: whether it was found at all, and up to what it
 * may be there unseen. */
#include "records/lab.h"

#include "quantity/text.h"

#include <math.h>
#include <string.h>

#include "table_detection_limits.h"
#include "table_refusals.h"

/* ---- Found or not ------------------------------------------------------- */

/* "Potassium 99 G", for a note. */
static void list_reading(char *list, size_t size, const sw_lab_cells *cells,
                         const char *mark)
{
    char text[96];
    (void)snprintf(text, sizeof text, "%.40s %.20s%s%.20s",
                   cells->spelled ? cells->spelled : sw_cell_text(cells->name),
                   sw_cell_text(cells->value), *mark ? " " : "", mark);
    sw_text_mend(text);
    sw_lab_list(list, size, text);
}

static bool ask_found(sw_lab *lab, const sw_lab_cells *cells,
                      const sw_csv_cell *hint)
{
    sw_lab_defect(lab, cells->sample, hint, SW_BAD_LAB_MAY_BE_BELOW, hint->text,
                  cells->name->text, sw_cell_text(cells->value));
    return false;
}

/* What the columns beside the value say of it; false with a defect. */
static bool qualify(sw_lab *lab, const sw_lab_cells *cells, sw_lab_value *value)
{
    const char *mark = sw_cell_text(cells->qualifier);
    if (*mark == '>' || sw_lab_says(cells->condition, SW_WORD_ABOVE)) {
        sw_lab_defect(lab, cells->sample, cells->name, SW_BAD_LAB_ABOVE_RANGE,
                      cells->name->text);
        return false;
    }
    const sw_csv_cell *hint =
        sw_lab_hints_below(mark) ? cells->qualifier : cells->hint;
    if (sw_lab_marked_below(cells))
        value->measured = value->below = true;
    else if (hint && value->has_number && !value->below)
        return ask_found(lab, cells, hint);
    else if (sw_lab_says(cells->qualifier, SW_WORD_UNMEASURED))
        value->measured = false; /* "R": the laboratory rejects it */
    else if (!sw_lab_mark_is_known(cells->qualifier)) {
        sw_lab_remark(lab, cells->sample, cells->qualifier,
                      "a mark that is not known; the value beside it is kept");
        list_reading(lab->marks, sizeof lab->marks, cells, mark);
    }
    return true;
}

/* A limit in its own column as a number in the unit of the reading; 0: none. */
static double read_limit(sw_lab *lab, const sw_lab_cells *cells, int which,
                         const sw_lab_name *name)
{
    sw_lab_value value;
    const sw_csv_cell *limit = cells->limits[which];
    if (!*sw_cell_text(limit) ||
        sw_lab_value_of(&lab->sheet, limit, &value, NULL) != SW_OK ||
        !value.has_number)
        return 0.0;
    const char *unit = *value.unit                 ? value.unit
                       : cells->limit_units[which] ? cells->limit_units[which]
                                                   : "";
    if (!*unit || sw_lab_same_unit(unit, name->unit))
        return value.number;
    const sw_lab_name *own = sw_lab_look_up(lab, name->name, unit);
    if (!own || own->status != SW_OK)
        return 0.0;
    double amount = own->measure.offset + own->measure.scale * value.number;
    return (amount - name->measure.offset) / name->measure.scale;
}

/* What laboratories usually detect it from, in the unit of the reading; NaN
 * where the table has none. */
static double usual_limit(const sw_measure *measure)
{
    for (size_t i = 0; i < sw_detection_limits_count; i++) {
        const sw_detection_limits_row *row = &sw_detection_limits_table[i];
        sw_measure usual;
        if (sw_measure_find(row->parameter, row->unit, &usual, NULL) != SW_OK ||
            usual.parameter.kind != measure->parameter.kind ||
            usual.parameter.component != measure->parameter.component)
            continue;
        double amount = usual.offset + usual.scale * row->limit;
        return (amount - measure->offset) / measure->scale;
    }
    return NAN;
}

static double limit_of(sw_lab *lab, const sw_lab_cells *cells,
                       const sw_lab_name *name)
{
    return fmax(read_limit(lab, cells, 0, name),
                read_limit(lab, cells, 1, name));
}

/* A value that is not above its limit, without a mark that says so. */
static void note_at_limit(sw_lab *lab, const sw_lab_cells *cells,
                          const sw_lab_name *name, double value)
{
    if (name->status != SW_OK || value <= 0.0 ||
        value > limit_of(lab, cells, name))
        return;
    sw_lab_remark(lab, cells->sample, cells->value,
                  "not above the limit beside it; taken as measured");
    list_reading(lab->at_limit, sizeof lab->at_limit, cells, "");
}

/* The larger of what the value and the limit's column say; else a usual one. */
static void set_limit(sw_lab *lab, const sw_lab_cells *cells,
                      const sw_lab_name *name, const sw_lab_value *value,
                      sw_reading *r)
{
    double limit = limit_of(lab, cells, name);
    r->below_detection = true;
    r->value = value->has_number ? fmax(value->number, limit) : limit;
    if (value->has_number || limit > 0.0)
        return;
    bool other = name->measure.parameter.kind == SW_READS_OTHER;
    r->value = usual_limit(&name->measure);
    r->limit_assumed = !isnan(r->value);
    r->below_detection = r->limit_assumed || !other;
    if (isnan(r->value) && !other)
        r->value = 0.0; /* a pH: refused with its reading */
}

static sw_fraction place_of(const char *name)
{
    return sw_word_within(name, SW_WORD_FIELD)        ? SW_FRACTION_FIELD
           : sw_word_within(name, SW_WORD_LABORATORY) ? SW_FRACTION_LAB
                                                      : SW_FRACTION_UNSAID;
}

/* Dissolved or total, said in the name; of what is no component, where
 * it was read. */
static sw_fraction fraction_in(const char *name, const sw_parameter *parameter)
{
    if (parameter->kind != SW_READS_COMPONENT)
        return place_of(name);
    /* "total dissolved", but "acid soluble" */
    size_t dissolved = sw_word_within(name, SW_WORD_DISSOLVED);
    size_t total = sw_word_within(name, SW_WORD_TOTAL);
    return dissolved > total ? SW_FRACTION_DISSOLVED
           : total           ? SW_FRACTION_TOTAL
                             : SW_FRACTION_UNSAID;
}

/* The same, or said beside the name. */
static sw_fraction fraction_of(const sw_lab_cells *cells,
                               const sw_parameter *parameter)
{
    const char *said = cells->fraction ? cells->fraction : "";
    if (*said)
        return sw_word_is(said, SW_WORD_DISSOLVED) ? SW_FRACTION_DISSOLVED
               : sw_word_is(said, SW_WORD_TOTAL)   ? SW_FRACTION_TOTAL
                                                   : SW_FRACTION_UNSAID;
    int found = cells->fraction_kept ? *cells->fraction_kept : 0;
    if (!found)
        found = 1 + (int)fraction_in(cells->spelled ? cells->spelled
                                                    : cells->name->text,
                                     parameter);
    if (cells->fraction_kept)
        *cells->fraction_kept = found;
    return (sw_fraction)(found - 1);
}

/* ---- The whole ---------------------------------------------------------- */

/* The value of the cells, with what stands beside it. */
static bool read_value(sw_lab *lab, const sw_lab_cells *cells,
                       const sw_lab_name *name, sw_lab_value *value)
{
    sw_error error;
    const sw_parameter *p = &name->measure.parameter;
    bool other = name->status == SW_OK && p->kind == SW_READS_OTHER;
    *value = (sw_lab_value){0};
    if (*sw_cell_text(cells->value) &&
        sw_lab_value_of(&lab->sheet, cells->value, value, &error) != SW_OK) {
        bool wordy = !strpbrk(cells->value->text, "0123456789") ||
                     (other && sw_parameter_is_bare(p));
        if (!other || !wordy) {
            sw_lab_blame(lab, cells->sample, NULL, &error);
            return false;
        }
        value->measured = true; /* "absent", "clear" */
    }
    return qualify(lab, cells, value);
}

static void take_named(sw_lab *lab, const sw_lab_cells *cells,
                       const sw_lab_name *name, bool names_unit)
{
    sw_lab_value value;
    sw_lab_reading taken = {.name = name, .cell = cells->name};
    sw_reading *r = &taken.reading;
    if (!read_value(lab, cells, name, &value))
        return;
    const sw_csv_cell *at =
        *sw_cell_text(cells->value) ? cells->value : cells->name;
    r->line = at->line;
    r->column = at->column;
    r->value = value.has_number ? value.number : NAN;
    if (value.below && name->status == SW_OK)
        set_limit(lab, cells, name, &value, r);
    else if (value.measured && value.has_number)
        note_at_limit(lab, cells, name, value.number);
    if (value.measured) {
        taken.own_unit =
            *sw_cell_text(cells->unit) || names_unit || cells->own_unit;
        taken.fraction = fraction_of(cells, &name->measure.parameter);
        sw_lab_add(lab, cells->sample, &taken);
    } else {
        const sw_parameter *p = &name->measure.parameter;
        if (name->status == SW_OK && p->kind == SW_READS_COMPONENT &&
            *sw_cell_text(cells->value))
            lab->samples[cells->sample].blank[p->component] = true;
        sw_lab_remark(lab, cells->sample, cells->name, "not measured");
    }
}

/* A unit beside the value, "48 mg/L" in one cell, against those of its columns.
 */
static bool unit_within_differs(sw_lab *lab, const sw_lab_cells *cells,
                                const char *within)
{
    const char *own = sw_cell_text(cells->unit);
    if (!*own)
        own = cells->units[0];
    if (!*within || !*own || sw_lab_same_unit(own, within))
        return false;
    sw_lab_defect(lab, cells->sample, cells->value, SW_BAD_LAB_TWO_UNITS_COLUMN,
                  within, own);
    return true;
}

/* Whether the row, its name or its columns give a unit. */
static bool says_unit(const sw_lab_cells *cells)
{
    sw_lab_split split;
    sw_lab_split_name(
        cells->spelled ? cells->spelled : sw_cell_text(cells->name), &split);
    bool any = *sw_cell_text(cells->unit) || *split.unit;
    for (size_t i = 0; i < SW_LAB_UNITS; i++)
        any |= *cells->units[i] != '\0';
    return any;
}

/* Of what was not detected: its limit's; with no limit to have one any will do
 * that the name can be in.  "": none. */
static const char *unit_of_nothing(sw_lab *lab, const sw_lab_cells *cells,
                                   const sw_lab_value *value)
{
    sw_lab_split split;
    if (cells->limit_units[0] && *cells->limit_units[0])
        return cells->limit_units[0];
    if (!(value->below || sw_lab_marked_below(cells)) ||
        *sw_cell_text(cells->limits[0]) || *sw_cell_text(cells->limits[1]))
        return "";
    sw_lab_split_name(
        cells->spelled ? cells->spelled : sw_cell_text(cells->name), &split);
    const sw_lab_name *name =
        split.known ? sw_lab_look_up(lab, split.name, "mg/L") : NULL;
    return name && name->status == SW_OK ? "mg/L" : "";
}

void sw_lab_take(sw_lab *lab, const sw_lab_cells *cells)
{
    sw_lab_value value = {0};
    sw_lab_cells own = *cells;
    sw_csv_cell unit;
    char of[SW_KEY_SIZE];
    bool names_unit;
    if (*sw_cell_text(cells->value))
        (void)sw_lab_value_of(&lab->sheet, cells->value, &value, NULL);
    if (unit_within_differs(lab, cells, value.unit))
        return;
    sw_lab_species_of(value.unit, of);
    if (*value.unit && (*of || !*sw_cell_text(cells->unit))) {
        unit = *cells->value;
        unit.text = value.unit;
        own.unit = &unit;
    } else if (!value.has_number && !says_unit(cells)) {
        unit = *cells->name;
        unit.text = (char *)unit_of_nothing(lab, cells, &value);
        own.unit = *unit.text ? &unit : own.unit;
    }
    const sw_lab_name *name = sw_lab_resolve(lab, &own, &names_unit);
    if (!name)
        return;
    if (name->status == SW_OK || name->open) {
        take_named(lab, &own, name, names_unit);
        return;
    }
    sw_lab_blame_name(lab, own.sample,
                      name->status == SW_ERR_UNIT && own.unit && own.unit->line
                          ? own.unit
                          : own.name,
                      name);
}

void sw_lab_compare(sw_lab *lab, const sw_lab_cells *first,
                    const sw_lab_cells *second)
{
    bool unit;
    sw_lab_value a, b;
    if (!sw_lab_settles(lab, first) || !sw_lab_settles(lab, second))
        return;
    const sw_lab_name *name = sw_lab_resolve(lab, first, &unit);
    const sw_lab_name *other = sw_lab_resolve(lab, second, &unit);
    if (!name || !other || name->status || other->status ||
        name->measure.parameter.kind == SW_READS_OTHER ||
        sw_lab_value_of(&lab->sheet, first->value, &a, NULL) ||
        sw_lab_value_of(&lab->sheet, second->value, &b, NULL) ||
        !a.has_number || !b.has_number || (a.below && b.below))
        return;
    sw_measure m = name->measure;
    sw_measure n = other->measure;
    double found = m.offset + m.scale * a.number;
    double again = n.offset + n.scale * b.number;
    double slack = fabs(m.scale) * sw_half_last_digit(a.number) +
                   fabs(n.scale) * sw_half_last_digit(b.number);
    double off = a.below   ? again - found /* up to its limit it may be all */
                 : b.below ? found - again
                           : fabs(found - again);
    if (off <= 0.05 * fmax(fabs(found), fabs(again)) + slack)
        return;
    sw_lab_defect(lab, first->sample, second->value, SW_BAD_LAB_TWO_READINGS,
                  first->name->text, a.number, name->unit, b.number,
                  other->unit, found, again);
}
