/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Which parameter in which unit a reading is of.
 *
 * Units, the nearest first: the row's own, one within the name or the value,
 * the column's, the section's, one given for the whole file.  Those of the row
 * must fit; the others are left where they do not, as mg/L over a column with a
 * pH in it.
 */
#include "records/lab.h"

#include "quantity/unit_parse.h"
#include "table_refusals.h"

#include <math.h>
#include <string.h>

/* What a unit is of; "" where it does not say, or is none. */
void sw_lab_species_of(const char *unit, char of[SW_KEY_SIZE])
{
    sw_unit parsed;
    of[0] = '\0';
    if (*unit && sw_unit_parse_of(unit, &parsed, of, NULL) != SW_OK)
        of[0] = '\0';
}

static const char letters[] =
    "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz";

/* "mg/l" and "as N" in one; the unit alone where it says the same, or where the
 * basis says nothing.  What says two things is no unit that is known. */
static void join_basis(const char *unit, const char *basis, char *to,
                       size_t size)
{
    char of[SW_KEY_SIZE], species[80];
    (void)snprintf(to, size, "%s", unit);
    if (!basis || !*basis || !*unit)
        return;
    (void)snprintf(species, sizeof species, "%s", basis);
    (void)sw_lab_cut_lead(species);
    sw_lab_species_of(unit, of);
    bool says_nothing = !species[strcspn(species, letters)];
    if (!says_nothing && !sw_lab_is_aside(species) &&
        !sw_same_name(of, species))
        (void)snprintf(to, size, "%.40s as %.40s", unit, species);
}

/* The units a reading may be in, the nearest first. */
typedef struct choices {
    char units[2 * (SW_LAB_UNITS + 3)][96];
    size_t count, own; /* the first so many are the row's */
    const char *said;  /* what words beside it say it is given as; "" */
} choices;

/* With what was said first, where nothing nearer says what it is of. */
static void add_choice(choices *c, const char *unit, const char *basis)
{
    char joined[96], of[SW_KEY_SIZE];
    join_basis(unit, basis, joined, sizeof joined);
    sw_lab_species_of(joined, of);
    if (*c->said && *joined && !*of)
        (void)snprintf(c->units[c->count++], sizeof joined, "%.40s as %.40s",
                       joined, c->said);
    if (*joined)
        memcpy(c->units[c->count++], joined, sizeof joined);
}

static void list_units(const sw_lab *lab, const sw_lab_cells *cells,
                       const sw_lab_split *split, choices *c)
{
    char of[SW_KEY_SIZE];
    const char *basis = *split->basis ? split->basis : cells->basis;
    c->count = 0;
    c->said = basis && *basis ? "" : cells->said.basis;
    sw_lab_species_of(split->unit, of);
    add_choice(c, *of ? split->unit : sw_cell_text(cells->unit), basis);
    if (!c->count)
        add_choice(c, split->unit, basis);
    c->own = c->count;
    for (size_t i = 0; i < SW_LAB_UNITS; i++)
        add_choice(c, cells->units[i], basis);
    add_choice(c, sw_given_unit_of(&lab->given, split->name), split->basis);
}

/* The first choice that fits; else what the nearest says. */
static const sw_lab_name *choose(sw_lab *lab, const char *name,
                                 const choices *c)
{
    const sw_lab_name *nearest = NULL;
    for (size_t i = 0; i < (c->own ? c->own : c->count + 1); i++) {
        const sw_lab_name *found =
            sw_lab_look_up(lab, name, i < c->count ? c->units[i] : "");
        if (!found || found->status == SW_OK)
            return found;
        if (!nearest)
            nearest = found;
    }
    return nearest;
}

/* In words of another column, where the name alone is not enough. */
static const sw_lab_name *choose_defined(sw_lab *lab, const sw_lab_cells *cells,
                                         const choices *c)
{
    for (size_t i = 0; i < SW_LAB_DEFINITIONS; i++) {
        const char *other = cells->definitions[i];
        if (!other || !*other || sw_parameter_known(other) != SW_KNOWN)
            continue;
        const sw_lab_name *found = choose(lab, other, c);
        if (!found || found->status == SW_OK)
            return found;
    }
    return NULL;
}

/* Two columns that name one reading must not mean two things; one may say at
 * 20 degC of what the other calls a conductivity. */
static bool contradicts(const sw_lab_name *name, const sw_lab_name *other)
{
    const sw_measure *a = &name->measure;
    const sw_measure *b = &other->measure;
    return a->parameter.kind == b->parameter.kind &&
           (a->parameter.component != b->parameter.component ||
            fabs(a->scale - b->scale) > 1e-6 * fabs(a->scale));
}

/* Not a name of ours: a slip of the pen, or nothing to read. */
static void leave_unknown(sw_lab *lab, const sw_lab_cells *cells,
                          const char *name)
{
    char held[80];
    bool numbered = strpbrk(sw_cell_text(cells->value), "0123456789");
    if (!lab->archive && numbered && sw_lab_holds_name(name, held)) {
        sw_lab_defect(lab, cells->sample, cells->name, SW_BAD_LAB_ROW_NEAR,
                      cells->name->text, held);
        return;
    }
    if (lab->archive || sw_lab_is_other_ec(cells->name->text) ||
        !sw_parameter_is_near(name)) {
        sw_lab_remark(lab, cells->sample, cells->name,
                      "no parameter that is known; ignored");
        if (numbered)
            sw_lab_unread(lab, cells->name->text);
        return;
    }
    sw_lab_blame_near(lab, cells->sample, cells->name, name);
}

/* Whether two units in one row are the same. */
bool sw_lab_same_unit(const char *a, const char *b)
{
    sw_unit first, second;
    char of_first[SW_KEY_SIZE] = "";
    char of_second[SW_KEY_SIZE] = "";
    return sw_unit_parse_of(a, &first, of_first, NULL) == SW_OK &&
           sw_unit_parse_of(b, &second, of_second, NULL) == SW_OK &&
           first.quantity == second.quantity &&
           (!*of_first || !*of_second || sw_same_name(of_first, of_second)) &&
           fabs(first.factor - second.factor) <= 1e-9 * first.factor;
}

static bool units_differ(sw_lab *lab, const sw_lab_cells *cells,
                         const sw_lab_split *split)
{
    const char *own = sw_cell_text(cells->unit);
    if (!*own || !*split->unit || !sw_is_reading_unit(split->unit) ||
        sw_lab_same_unit(own, split->unit))
        return false;
    sw_lab_defect(lab, cells->sample, cells->unit, SW_BAD_LAB_TWO_UNITS_NAME,
                  own, split->unit);
    return true;
}

/* The unit of the row against that of the column's head, where the reading
 * could be in either. */
static bool head_differs(sw_lab *lab, const sw_lab_cells *cells,
                         const sw_lab_split *split)
{
    const char *name = split->name;
    const char *own = sw_cell_text(cells->unit);
    const char *head = cells->units[0];
    if (!*own && !*split->unit)
        own = cells->units[1]; /* of the section */
    if (!*own || !*head || sw_lab_same_unit(own, head))
        return false;
    const sw_lab_name *by_head = sw_lab_look_up(lab, name, head);
    const sw_lab_name *by_row = sw_lab_look_up(lab, name, own);
    if (!by_head || by_head->status || (by_row && by_row->status))
        return false; /* mg/L is left over a pH; what is wrong is said */
    sw_lab_defect(lab, cells->sample,
                  *sw_cell_text(cells->unit) ? cells->unit : cells->name,
                  SW_BAD_LAB_TWO_UNITS_HEAD, own, head);
    return true;
}

/* What stands in brackets and is not understood is refused: it may be what the
 * number is given as. */
static bool leave_beside(sw_lab *lab, const sw_lab_cells *cells,
                         const sw_lab_split *split, sw_lab_beside beside)
{
    if (beside == SW_BESIDE_UNKNOWN && sw_lab_is_other_ec(cells->name->text)) {
        sw_lab_unread(lab, cells->name->text);
    } else if (beside == SW_BESIDE_UNKNOWN) {
        sw_lab_defect(lab, cells->sample, cells->name, SW_BAD_LAB_BESIDE_NAME,
                      cells->name->text);
    } else if (beside == SW_BESIDE_APART) {
        sw_lab_remark(lab, cells->sample, cells->name,
                      "a limit or a blank, not of the water; ignored");
        sw_lab_unread(lab, cells->name->text);
    }
    return split->known && beside != SW_BESIDE_CLEAR;
}

/* A conductivity at another temperature has another name; what is said of a
 * reading and cannot be of it is asked about. */
static const sw_lab_name *heed_said(sw_lab *lab, const sw_lab_cells *cells,
                                    const sw_lab_name *name)
{
    char of[SW_KEY_SIZE];
    const sw_lab_said *said = &cells->said;
    const char *spelled = sw_cell_text(cells->name);
    sw_lab_species_of(name->unit, of);
    bool at_25 = strstr(name->unit, "25") || strstr(spelled, "25");
    if (*said->warm && name->measure.parameter.kind == SW_READS_EC &&
        (!at_25 || said->certain)) {
        if (!at_25 && !strcmp(said->warm, "20"))
            return sw_lab_look_up(lab, "EC at 20 C", name->unit);
        sw_lab_defect(lab, cells->sample, cells->name, SW_BAD_LAB_EC_WARMTH,
                      spelled, name->unit, said->warm);
        return NULL;
    }
    if (!*said->basis || *of || !sw_lab_may_be_as(name) ||
        !(cells->said_of_it || sw_lab_is_of_all(said->basis)))
        return name;
    sw_lab_defect(lab, cells->sample, cells->name, SW_BAD_LAB_GIVEN_AS, spelled,
                  said->basis, name->unit, name->name);
    return NULL;
}

static const sw_lab_name *resolve(sw_lab *lab, const sw_lab_cells *cells,
                                  bool *names_unit)
{
    choices c;
    sw_lab_split split;
    sw_lab_split_name(
        cells->spelled ? cells->spelled : sw_cell_text(cells->name), &split);
    *names_unit = *split.unit != '\0';
    if (!split.known)
        split.known = sw_lab_split_words(&split);
    sw_lab_beside beside =
        split.known ? sw_lab_read_beside(&split) : SW_BESIDE_CLEAR;
    if (beside == SW_BESIDE_UNKNOWN) { /* words of another column may do */
        list_units(lab, cells, &split, &c);
        const sw_lab_name *defined = choose_defined(lab, cells, &c);
        if (defined && defined->status == SW_OK)
            return heed_said(lab, cells, defined);
    }
    if (leave_beside(lab, cells, &split, beside))
        return NULL;
    if (units_differ(lab, cells, &split) ||
        (split.known && head_differs(lab, cells, &split)))
        return NULL;
    list_units(lab, cells, &split, &c);
    const sw_lab_name *name = split.known ? choose(lab, split.name, &c) : NULL;
    const sw_lab_name *defined = choose_defined(lab, cells, &c);
    bool twice = defined && defined->status == SW_OK;
    if (!name || name->status != SW_OK) {
        name = defined ? defined : name;
    } else if (twice && name->measure.parameter.kind == SW_READS_EC &&
               defined->measure.parameter.kind == SW_READS_EC) {
        name = defined->measure.parameter.partial ? defined : name;
    } else if (twice && contradicts(name, defined)) {
        sw_lab_defect(lab, cells->sample, cells->name,
                      SW_BAD_LAB_NAME_TWO_THINGS, cells->name->text);
        return NULL;
    }
    if (!name && !lab->lost)
        leave_unknown(lab, cells, split.name);
    return name && name->status == SW_OK ? heed_said(lab, cells, name) : name;
}

/* All that a name depends on; false where it is too long to keep. */
static bool spell_out(const sw_lab_cells *c, char words[512])
{
    const char *const parts[] = {
        c->spelled ? c->spelled : sw_cell_text(c->name),
        sw_cell_text(c->unit),
        c->units[0],
        c->units[1],
        c->units[2],
        c->basis,
        c->definitions[0],
        c->definitions[1],
        c->definitions[2],
        c->said.basis,
        c->said.warm,
        c->said_of_it ? "of it" : "",
        c->said.certain ? "certain" : "",
    };
    size_t used = 0;
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
        size_t length = parts[i] ? strlen(parts[i]) : 0;
        if (used + length + 2 > 512)
            return false;
        if (length)
            memcpy(words + used, parts[i], length);
        used += length;
        words[used++] = '|';
    }
    words[used] = '\0';
    return true;
}

const sw_lab_name *sw_lab_resolve(sw_lab *lab, const sw_lab_cells *cells,
                                  bool *names_unit)
{
    char words[512];
    bool short_enough = spell_out(cells, words);
    const sw_lab_memo *memo = short_enough ? sw_lab_recall(lab, words) : NULL;
    if (memo) {
        *names_unit = memo->names_unit;
        return memo->name;
    }
    sw_lab_cells own = *cells;
    sw_csv_cell unit = cells->unit ? *cells->unit : (sw_csv_cell){.text = ""};
    char text[80];
    if (!sw_is_reading_unit(unit.text) &&
        sw_lab_cut_warmth(unit.text, text, own.said.warm)) {
        own.said.certain = true;
        unit.text = text;
        own.unit = &unit;
    }
    const sw_lab_name *name = resolve(lab, &own, names_unit);
    if (name && short_enough)
        sw_lab_keep(lab, words, name, *names_unit);
    return name;
}

/* Units of columns alone are tried: who has its own needs no second. */
bool sw_lab_settles(sw_lab *lab, const sw_lab_cells *cells)
{
    choices c;
    sw_lab_split split;
    sw_lab_split_name(sw_cell_text(cells->name), &split);
    if (split.known && sw_lab_read_beside(&split) != SW_BESIDE_CLEAR)
        return false;
    list_units(lab, cells, &split, &c);
    const sw_lab_name *name = split.known ? choose(lab, split.name, &c) : NULL;
    return name && name->status == SW_OK;
}
