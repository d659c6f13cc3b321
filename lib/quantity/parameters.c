/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Names of what laboratories report and labels declare, from
 * reference/parameters.csv.  A name is tried as written, then without its
 * charge, without "total" or "dissolved", and as "name (symbol)".
 */
#include "quantity/units.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "quantity/components.h"
#include "quantity/formula_parse.h"
#include "quantity/label_text.h"
#include "quantity/status.h"
#include "quantity/text.h"
#include "quantity/unit_parse.h"

#include "table_refusals.h"

enum { MAX_NAME = 160 };

/* What a row may be that no reading is, and of a kind a part, or more. */
enum { SW_READS_AMBIGUOUS = SW_READS_OTHER + 1, SW_READS_PART = 1 << 4 };

#include "table_parameters.h"

typedef sw_parameters_row parameter_row;

static bool is_ambiguous(const parameter_row *row)
{
    return row->kind == SW_READS_AMBIGUOUS;
}

/* What a row says is reported: an element, or a formula of those that feeds
 * are made of. */
typedef struct substance {
    double mg_per_mmol; /* NaN: the row does not say */
    bool is_element;
    sw_parsed_formula formula;
} substance;

static substance substance_of(const parameter_row *row)
{
    substance s = {.mg_per_mmol = NAN};
    s.is_element = sw_element_index(row->formula, strlen(row->formula)) >= 0;
    if (s.is_element)
        s.mg_per_mmol = sw_element_weight(row->formula);
    else if (*row->formula &&
             sw_formula_parse(row->formula, &s.formula, NULL) == SW_OK)
        s.mg_per_mmol = sw_formula_molar_mass(&s.formula);
    return s;
}

static double atoms_in(const substance *s, const parameter_row *row,
                       const char *element)
{
    if (s->is_element)
        return !strcmp(row->formula, element);
    return sw_formula_atoms(&s->formula, element);
}

/* The row something in no mass balance is weighed as: NO2 as NO2-N. */
static const parameter_row *counted_as(const parameter_row *row)
{
    for (size_t i = 0; *row->component && i < sw_parameters_count; i++)
        if (!strcmp(sw_parameters_table[i].name, row->component))
            return &sw_parameters_table[i];
    return row;
}

/* Masses and moles are of `own`, whose formula holds `atoms` of what counts,
 * each of that mass or charge. */
static void weigh(sw_parameter *p, const substance *own, double atoms,
                  double mass_or_charge)
{
    p->component_per_mmol = mass_or_charge * atoms;
    p->component_per_mg = p->component_per_mmol / own->mg_per_mmol;
}

/*
 * What is in no mass balance is weighed as the row it counts as: NO2 as NO2-N,
 * atom for atom; OCl as Cl2, mole for mole.
 */
static void fill_other(const parameter_row *row, sw_parameter *p)
{
    const parameter_row *as = counted_as(row);
    substance own = substance_of(row);
    substance counted = substance_of(as);
    p->name = as->name;
    weigh(p, &own, counted.is_element ? atoms_in(&own, row, as->formula) : 1,
          counted.mg_per_mmol);
}

/* Component or meq per mg and per mmol of the formula that is reported. */
static void fill_factors(const parameter_row *row, sw_parameter *p)
{
    substance own = substance_of(row);
    bool counts_charge = p->component == SW_COMPONENT_COUNT;
    const char *element =
        counts_charge ? "" : sw_component_element(p->component);
    double per_mmol = counts_charge ? p->charge : sw_element_weight(element);
    p->component_per_mmol = per_mmol > 0 ? per_mmol : NAN;
    if (isnan(own.mg_per_mmol))
        return;
    /* CaCO3 stands for the Mg of "Mg as CaCO3", mole for mole. */
    double atoms = counts_charge ? 1 : atoms_in(&own, row, element);
    weigh(p, &own, atoms > 0 ? atoms : 1, per_mmol);
}

static double per_meq(const sw_parameter *p)
{
    if (p->kind > SW_READS_COMPONENT && p->kind <= SW_READS_CA_HARDNESS)
        return 1;
    return p->charge ? p->component_per_mmol / p->charge : (double)NAN;
}

static void fill(const parameter_row *row, sw_parameter *p)
{
    *p = (sw_parameter){
        .name = row->name,
        .component = sw_component_called(row->component),
        .component_per_mg = NAN,
        .component_per_mmol = NAN,
        .charge = row->charge,
        .row = (int)(row - sw_parameters_table),
        .kind = (sw_reading_kind)(row->kind & ~SW_READS_PART),
        .partial = row->kind & SW_READS_PART,
    };
    if (p->kind <= SW_READS_CA_HARDNESS)
        fill_factors(row, p);
    else if (p->kind == SW_READS_OTHER)
        fill_other(row, p);
    p->component_per_meq = per_meq(p);
}

/* Whether a name ends like "sulfate-S", whose key is that of "sulfates". */
static bool ends_apart_in_s(const char *name, size_t length)
{
    size_t start = strspn(name, "- _");
    return length > start + 2 && strchr("- _", name[length - 2]) &&
           tolower((unsigned char)name[length - 1]) == 's' &&
           (length < 5 || strncmp(name + length - 5, " as", 3) != 0);
}

static const parameter_row *row_named(const char *name)
{
    char spelled[2 * MAX_NAME + 8], key[SW_KEY_SIZE];
    size_t length = sw_text_cut(name, strlen(name), " ");
    if (length > 2 && !strncmp(name + length - 2, "/S", 2))
        return NULL; /* "Sulfate/S": no plural, and of which of the two? */
    if (ends_apart_in_s(name, length))
        snprintf(spelled, sizeof spelled, "%.*s as S", (int)length - 2, name);
    else
        snprintf(spelled, sizeof spelled, "%s", name);
    sw_text_key(spelled, key);
    if (!strcmp(key, "camg") && strpbrk(name, ":/"))
        return NULL; /* a ratio, no sum */
    int row = sw_names_row(&sw_parameters_names, key, 0);
    return row < 0 ? NULL : &sw_parameters_table[row];
}

/*
 * Cuts a charge off the end: "-", "++", "2+", "+2".  Returns its magnitude,
 * or 0 when there is none.
 */
static int cut_charge(char *name)
{
    size_t end = strlen(name);
    size_t start = end;
    while (start > 0 && strchr("+-= ", name[start - 1]))
        start--;
    bool signs = start < end;
    int magnitude = 0;
    for (size_t i = start; i < end; i++)
        magnitude += name[i] == '=' ? 2 : name[i] != ' ';
    if (start > 1 && isdigit((unsigned char)name[start - 1])) {
        size_t sign = start - 1;
        bool before = strchr("+-", name[sign - 1]) != NULL;
        if (!signs && !before)
            return 0;
        if (before || magnitude == 1) {
            magnitude = name[sign] - '0';
            start = sign - before;
        }
    }
    name[start] = '\0';
    return magnitude;
}

/* "Ca2+", "NO3-", "SO4--": only where the charge is the row's. */
static const parameter_row *row_with_charge(const char *name)
{
    char bare[MAX_NAME];
    (void)snprintf(bare, sizeof bare, "%s", name);
    int magnitude = cut_charge(bare);
    if (!magnitude)
        return NULL;
    const parameter_row *row = row_named(bare);
    if (row && (row->charge == magnitude || !row->charge))
        return row;
    return NULL;
}

/* Blanks out words that change nothing; false when there were none. */
static bool blank_fillers(char *name)
{
    bool warm = sw_text_blank_25_c(name);
    return sw_label_blank(name, SW_LABEL_BESIDE) || warm;
}

/* ---- Of what a reading is given ----------------------------------------- */

/* N, CaCO3, NaCl: no parameter, but what others are given as. */
static bool is_basis(const parameter_row *row)
{
    return is_ambiguous(row) && *row->formula && !*row->component;
}

/* The component of an ambiguous row, or what else it is of. */
static const char *element_meant(const parameter_row *ambiguous)
{
    sw_component component =
        sw_component_called(counted_as(ambiguous)->component);
    return component == SW_COMPONENT_COUNT ? ""
                                           : sw_component_element(component);
}

/*
 * What an ambiguous row is once it is known to be of `species`: nitrate as N
 * is NO3-N, as NO3 is NO3; nitrogen as NO3-N is that.  NULL: still open, or a
 * contradiction.
 */
static const parameter_row *settled(const parameter_row *ambiguous,
                                    const parameter_row *species)
{
    if (!species)
        return NULL;
    if (is_basis(species))
        return !strcmp(species->formula, element_meant(ambiguous))
                   ? counted_as(ambiguous)
                   : NULL;
    if (is_basis(ambiguous))
        return species->kind == SW_READS_COMPONENT &&
                       !strcmp(species->formula, ambiguous->formula)
                   ? species
                   : NULL;
    bool same = !strcmp(species->component, ambiguous->component) ||
                !strcmp(species->name, ambiguous->component);
    return same && !is_ambiguous(species) ? species : NULL;
}

static bool has_letter(const char *text)
{
    while (*text && !isalpha((unsigned char)*text))
        text++;
    return *text != '\0';
}

/*
 * A name said twice, "Calcium (Ca)", "Nitrate as NO3-N": the second makes the
 * first clearer, and must not contradict it.
 */
static const parameter_row *row_of_both(const char *first, const char *second)
{
    char joined[2 * MAX_NAME + 4];
    if (!has_letter(first) || !has_letter(second))
        return NULL; /* of "total" nothing is left, and " as " is arsenic */
    (void)snprintf(joined, sizeof joined, "%s as %s", first, second);
    const parameter_row *row = row_named(joined);
    if (row)
        return row;
    const parameter_row *of_first = row_named(first);
    const parameter_row *of_second = row_named(second);
    if (!of_second)
        of_second = row_with_charge(second);
    if (of_first && is_ambiguous(of_first))
        return settled(of_first, of_second);
    return of_first == of_second ? of_first : NULL;
}

static const parameter_row *row_with_bracket(const char *name)
{
    char outer[MAX_NAME];
    char inner[MAX_NAME];
    const char *open = strpbrk(name, "([");
    const char *close = open ? strpbrk(open, ")]") : NULL;
    if (!close || open == name || close[1 + strspn(close + 1, " ,;")])
        return NULL;
    (void)snprintf(outer, sizeof outer, "%.*s", (int)(open - name), name);
    (void)snprintf(inner, sizeof inner, "%.*s", (int)(close - open - 1),
                   open + 1);
    return row_of_both(outer, inner);
}

/* "Boron, B", "Calcium Ca", "Iron as Fe", "Ca - Calcium". */
static const parameter_row *row_in_two_words(const char *name)
{
    char first[MAX_NAME];
    for (const char *at = name + strcspn(name, " ,-"); *at;
         at += strcspn(at, " ,-")) {
        (void)snprintf(first, sizeof first, "%.*s", (int)(at - name), name);
        at += strspn(at, " ,-");
        /* "Sulphate (S-SO4)" is not of "Sulphates" */
        if (strchr(first, '(') && !strchr(first, ')'))
            continue;
        if (sw_text_word_at(name, at, "as"))
            at += 2 + strspn(at + 2, " ");
        const parameter_row *row = row_of_both(first, at);
        if (row)
            return row;
    }
    return NULL;
}

static const parameter_row *row_as_written(const char *name)
{
    const parameter_row *row = row_with_bracket(name);
    if (!row)
        row = row_named(name);
    if (!row)
        row = row_with_charge(name);
    return row ? row : row_in_two_words(name);
}

/* "Sodium %" is a share of the cations; only what is not used may be in %. */
static bool unit_belies(const parameter_row *row, const char *name)
{
    return row && strchr(name, '%') && row->kind != SW_READS_OTHER;
}

/* "Ça" is no Ca: symbols have no accents. */
static bool is_accented_symbol(const char *text)
{
    size_t letters = 0;
    bool accented = false;
    while (*text) {
        bool wide = (unsigned char)*text >= 0x80;
        bool letter = isalpha((unsigned char)sw_text_next(&text));
        letters += letter;
        accented = accented || (wide && letter);
    }
    return accented && letters <= 2;
}

/* False when it is too long; nothing is of the name "". */
static bool fold_name(const char *name, char folded[MAX_NAME])
{
    return sw_text_fold(is_accented_symbol(name) ? "" : name, folded, MAX_NAME);
}

static const parameter_row *find_row(char *name)
{
    const parameter_row *row = row_as_written(name);
    if (!row && blank_fillers(name))
        row = row_as_written(name);
    return unit_belies(row, name) ? NULL : row;
}

/* "; did you mean A?", or "". */
static void say_near(const char *name, char *text, size_t size)
{
    char key[SW_KEY_SIZE], folded[MAX_NAME];
    sw_near near = {.key = key};
    bool filled =
        sw_text_fold(name, folded, sizeof folded) && blank_fillers(folded);
    sw_text_key(filled ? folded : name, key);
    for (size_t i = 0; i < sw_parameters_count; i++) {
        const parameter_row *row = &sw_parameters_table[i];
        sw_near_consider(&near, row->name, row->name);
        sw_near_consider_list(&near, row->other_names, row->name);
    }
    sw_near_say(&near, text, size);
    if (near.count && !strpbrk(key, "abcdefghijklmnopqrstuvwxyz"))
        (void)snprintf(text, size, "; is this the column of the names?");
}

bool sw_parameter_is_near(const char *name)
{
    char text[160];
    const char *colon = strchr(name, ':');
    if (colon && isalpha((unsigned char)colon[1]))
        return false; /* "Ca:Mg" */
    say_near(name, text, sizeof text);
    return *text != '\0';
}

static sw_status say_unknown(const char *name, sw_error *error)
{
    char near_text[160];
    if (!error) /* near names take long to find, and nobody listens */
        return SW_ERR_NAME;
    say_near(name, near_text, sizeof near_text);
    return sw_fail(error, SW_BAD_NAME_UNKNOWN, name,
                   *near_text ? near_text
                              : "; write one like NO3-N, SO4, "
                                "alkalinity, EC");
}

/* What a unit's text after "as" is; NULL: nothing readings are given as. */
static const parameter_row *species_named(const char *text)
{
    char folded[MAX_NAME];
    if (!fold_name(text, folded) || strpbrk(text, "/%<>"))
        return NULL;
    const parameter_row *row = row_as_written(folded);
    bool given = row && *row->formula && (!is_ambiguous(row) || is_basis(row));
    return given ? row : NULL;
}

bool sw_species_known(const char *species)
{
    return species_named(species) != NULL;
}

/* An ambiguous name beside its unit. */
static const parameter_row *settled_by(const parameter_row *row,
                                       const char *text)
{
    sw_unit unit;
    char of[SW_KEY_SIZE];
    if (sw_unit_parse_of(text, &unit, of, NULL) != SW_OK)
        return NULL;
    if (*of)
        return settled(row, species_named(of));
    bool counts =
        unit.quantity == SW_Q_MOLAR_CONC || unit.quantity == SW_Q_EQ_CONC;
    if (!counts || is_basis(row))
        return NULL;
    return *row->formula         ? row_named(row->formula)
           : *element_meant(row) ? counted_as(row)
                                 : NULL;
}

sw_status sw_parameter_find(const char *name, sw_parameter *parameter,
                            sw_error *error)
{
    return sw_parameter_find_in(name, "", parameter, error);
}

sw_status sw_parameter_find_in(const char *name, const char *unit,
                               sw_parameter *parameter, sw_error *error)
{
    char folded[MAX_NAME];
    memset(parameter, 0, sizeof *parameter);
    if (!fold_name(name, folded))
        return sw_fail(error, SW_BAD_NAME_LONG, MAX_NAME - 1);
    const parameter_row *row = find_row(folded);
    if (!row)
        return say_unknown(name, error);
    const parameter_row *meant =
        is_ambiguous(row) && *unit ? settled_by(row, unit) : row;
    if (!meant || is_ambiguous(meant))
        return sw_fail(error, SW_BAD_NAME_UNCLEAR, name, row->remark);
    fill(meant, parameter);
    return SW_OK;
}

sw_known sw_parameter_known(const char *name)
{
    char folded[MAX_NAME];
    if (!fold_name(name, folded))
        return SW_UNKNOWN;
    const parameter_row *row = find_row(folded);
    return !row ? SW_UNKNOWN : is_ambiguous(row) ? SW_KNOWN_OPEN : SW_KNOWN;
}

const char *sw_parameter_choices(const char *open)
{
    char folded[MAX_NAME];
    const parameter_row *row =
        fold_name(open, folded) ? find_row(folded) : NULL;
    return row && is_ambiguous(row) ? row->remark : "";
}

bool sw_parameter_is_bare(const sw_parameter *parameter)
{
    return parameter->kind == SW_READS_OTHER &&
           isnan(parameter->component_per_mg);
}

void sw_parameter_nitrogen(sw_parameter *parameter)
{
    const parameter_row *row = row_named("N");
    fill(row, parameter);
    parameter->kind = SW_READS_COMPONENT;
    parameter->component = SW_N;
    fill_factors(row, parameter);
    parameter->component_per_meq = NAN;
}

/* Whether the name itself says of what: "NO3-N", "alkalinity as CaCO3". */
static bool says_of_what(const parameter_row *row)
{
    return strstr(row->name, " as ") || strstr(row->name, "-N");
}

/* mg of a component per mmol of the species; 0: none of it. */
static double mass_share(const sw_parameter *p, const parameter_row *species,
                         const substance *own)
{
    const char *element = sw_component_element(p->component);
    double atoms = atoms_in(own, species, element);
    bool hard = p->component == SW_CA || p->component == SW_MG;
    bool counts_hardness =
        !strcmp(species->formula, "CaCO3") || !strcmp(species->formula, "CaO");
    if (atoms > 0 && (is_basis(species) ||
                      sw_component_called(species->component) == p->component))
        return atoms * sw_element_weight(element);
    return hard && counts_hardness ? sw_element_weight(element) : 0;
}

/* meq of alkalinity or hardness per mmol of the species; 0: none of it. */
static double charge_share(const sw_parameter *p, const parameter_row *species)
{
    const parameter_row *row = &sw_parameters_table[p->row];
    if (!strcmp(species->formula, "CaCO3") || !strcmp(species->formula, "CaO"))
        return 2;
    if (p->kind != SW_READS_ALKALINITY)
        return strcmp(species->name, "Ca") ? 0 : species->charge;
    bool same = !p->partial || !strcmp(row->component, species->component);
    return same && species->kind == (SW_READS_ALKALINITY | SW_READS_PART)
               ? species->charge
               : 0;
}

/* mg of what is in no mass balance per mmol of the species; 0: none of it. */
static double other_share(const sw_parameter *p, const parameter_row *species)
{
    sw_parameter found = {.kind = SW_READS_OTHER};
    const char *formula = counted_as(&sw_parameters_table[p->row])->formula;
    bool other = species->kind == SW_READS_OTHER;
    if ((other || is_basis(species)) && !strcmp(species->formula, formula))
        return substance_of(species).mg_per_mmol;
    if (!other)
        return 0;
    fill_other(species, &found);
    return strcmp(found.name, p->name) ? 0 : found.component_per_mmol;
}

const char *sw_parameter_express(sw_parameter *p, const char *text)
{
    char joined[2 * MAX_NAME];
    const parameter_row *row = &sw_parameters_table[p->row];
    const parameter_row *species = species_named(text);
    if (!species ||
        (says_of_what(row) && strcmp(species->formula, row->formula) != 0))
        return "";
    (void)snprintf(joined, sizeof joined, "%s as %s", row->name,
                   species->formula);
    const parameter_row *doubtful = row_named(joined);
    if (doubtful && is_ambiguous(doubtful))
        return doubtful->remark;
    substance own = substance_of(species);
    double share = p->kind == SW_READS_COMPONENT ? mass_share(p, species, &own)
                   : p->kind <= SW_READS_CA_HARDNESS ? charge_share(p, species)
                   : p->kind == SW_READS_OTHER       ? other_share(p, species)
                                                     : 0;
    if (!(share > 0))
        return "";
    weigh(p, &own, 1, share);
    if (isnan(p->component_per_meq) && species->charge)
        p->component_per_meq = share / species->charge;
    return NULL;
}
