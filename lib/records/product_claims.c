/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A product's name against its formula or label.  The catalogue is the measure;
 * what it does not know contradicts nothing.
 */
#include "records/product_claims.h"

#include "quantity/components.h"
#include "quantity/formula.h"
#include "quantity/label.h"
#include "quantity/label_claims.h"
#include "quantity/label_text.h"
#include "records/catalogue.h"
#include "records/name_ions.h"
#include "records/name_side.h"
#include "records/product_strength.h"
#include "table_refusals.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* Formulas of one salt differ by roundings alone. */
static const double hydrate_share = 0.02;
/* What is sold holds less than its formula: 50 % K2O for 54. */
static const double pure_share = 0.15;
/* From so many meq/g on a product is an acid or a base: of a tenth of nitric
 * or phosphoric acid; roundings of a label come to less. */
static const double least_side = 1.0;

/* ---- Name and formula --------------------------------------------------- */

/* The whole name, or its start where a grade, a bracket or a number follows,
 * which may say which of several salts it is, or which bag. */
static sw_catalogue_matches match_name(const char *name)
{
    sw_catalogue_matches found = sw_catalogue_match(name);
    return found.count ? found : sw_catalogue_match_start(name);
}

static bool holds_all(const sw_content *a, const sw_content *b)
{
    for (int i = 0; i <= SW_N; i++)
        if (!sw_component_is((sw_component)i, SW_IS_FORM) && a->amount[i] > 0 &&
            !(b->amount[i] > 0))
            return false;
    return true;
}

/* 1: a base, -1: an acid, 0: neither. */
static int side_of(const sw_content *per_g)
{
    double base = per_g->amount[SW_ALKALINITY];
    return (base > least_side) - (base < -least_side);
}

/* A label leaves out what it need not print, or prints traces too: of two
 * products one holds what the other does. */
static bool may_be(const sw_product *p, const sw_content *row)
{
    return side_of(&p->per_g) == side_of(row) &&
           (holds_all(&p->per_g, row) || holds_all(row, &p->per_g));
}

/* How a row of its name goes with the product: not at all; as far as a label
 * tells; the same salt with other crystal water; the same. */
typedef enum likeness { OTHER, MAY_BE, HYDRATE, SAME } likeness;

static sw_status compare(const sw_product *p, size_t index, likeness *like,
                         sw_error *error)
{
    sw_content of_p, of_row;
    sw_chelator chelator;
    sw_salt salt = sw_catalogue_salt(index);
    sw_status status;
    if (p->label || salt.has_label) {
        status = sw_catalogue_content(index, &of_row, &chelator, error);
        *like = chelator || may_be(p, &of_row) ? MAY_BE : OTHER;
        return status;
    }
    status = sw_formula_content(p->formula, 1.0, &of_p, NULL, error);
    if (!status)
        status = sw_formula_content(salt.formula, 1.0, &of_row, NULL, error);
    double factor = status ? NAN : sw_content_times(&of_p, &of_row);
    *like = isnan(factor)                         ? OTHER
            : fabs(factor - 1.0) <= hydrate_share ? SAME
                                                  : HYDRATE;
    return status;
}

static sw_status refuse_name(const sw_product *p, const char *name,
                             const char *known, sw_error *error)
{
    return sw_fail(error, SW_BAD_NAME_NOT_FORMULA, name, known,
                   p->label ? p->label : p->formula);
}

static sw_status check_formula(const sw_product *p, const char *name,
                               const char **hydrate, sw_error *error)
{
    sw_catalogue_matches found = match_name(name);
    likeness best = OTHER;
    sw_salt row = {.name = "", .formula = ""};
    for (size_t i = 0; i < found.count && best != SAME; i++) {
        likeness like = OTHER;
        sw_status status = compare(p, found.index[i], &like, error);
        if (status)
            return status;
        if (i == 0 || like > best)
            row = sw_catalogue_salt(found.index[i]);
        best = like > best ? like : best;
    }
    *hydrate = best == HYDRATE ? row.name : NULL;
    return best != OTHER
               ? SW_OK
               : refuse_name(p, name, *row.formula ? row.formula : row.name,
                             error);
}

/* ---- Grade ------------------------------------------------------------- */

/* Whether a number of a grade is a product's, %: a label is rounded or cut to
 * whole per cent, and what a formula says is purer than what is sold. */
static bool is_near(const sw_product *p, double said, double held)
{
    double slack = p->label ? 1 : 1 + pure_share * held;
    bool by_volume =
        fabs(said - held * p->density_g_per_ml) < slack; /* false for NaN */
    return fabs(said - held) < slack || by_volume;
}

/* "20-20-20": N, and P and K both as oxides or both as elements. */
static sw_status check_grade(const sw_product *p, const char *name,
                             sw_error *error)
{
    double said[3], held[2][3];
    if (strstr(name, "CAS") || strstr(name, "ratio") ||
        !sw_label_grade(name, strlen(name), said))
        return SW_OK;
    sw_grade_of(&p->per_g, p->per_g.amount[SW_N], held);
    for (int as = 0; as < 2; as++)
        if (is_near(p, said[0], held[as][0]) &&
            is_near(p, said[1], held[as][1]) &&
            is_near(p, said[2], held[as][2]))
            return SW_OK;
    return sw_fail(error, SW_BAD_NAME_NOT_GRADE, said[0], said[1], said[2],
                   held[0][0], held[0][1], held[0][2]);
}

/* ---- Acid, base, water or none of these ------------------------------------
 */

static sw_status check_side(const sw_product *p, const char *name,
                            sw_error *error)
{
    static const char *const said[] = {
        [SW_NAMES_ACID] = "an acid",
        [SW_NAMES_BASE] = "a base",
        [SW_NAMES_WATER] = "water",
        [SW_NAMES_PEROXIDE] = "an oxidiser that is none of the salts here",
        [SW_NAMES_VINEGAR] = "acetic acid",
    };
    static const char *const is[] = {"an acid", "neither", "a base"};
    sw_name_side side = sw_name_side_of(name);
    double base = p->per_g.amount[SW_ALKALINITY];
    bool fits = side == SW_NAMES_ACID   ? base < least_side
                : side == SW_NAMES_BASE ? base > -least_side
                : side != SW_NAMES_NONE
                    ? !(sw_content_charges(&p->per_g) > least_side)
                    : true;
    return fits ? SW_OK
                : sw_fail(error, SW_BAD_NAME_NOT_SIDE, name, said[side],
                          p->label ? p->label : p->formula,
                          is[side_of(&p->per_g) + 1]);
}

/* Whether a text has the chelator's name as a word: "HEDTA" is not EDTA. */
static bool names_chelator(const char *text, const char *word)
{
    size_t length = strlen(word);
    for (const char *at = text; *at; at++)
        if (strncasecmp(at, word, length) == 0 &&
            (at == text || !isalpha((unsigned char)at[-1])) &&
            !isalpha((unsigned char)at[length]))
            return true;
    return false;
}

/* A chelate's name against its label, where each names a chelator. */
static sw_status check_chelator(const sw_product *p, const char *name,
                                sw_error *error)
{
    const char *said = NULL;
    bool other = false;
    for (int i = SW_EDTA; i <= SW_EDDHA; i++) {
        const char *word = sw_chelator_word((sw_chelator)i);
        bool in_name = names_chelator(name, word);
        bool in_label = p->label && names_chelator(p->label, word);
        if (in_name && in_label)
            return SW_OK;
        said = in_name ? word : said;
        other |= in_label;
    }
    return said && other
               ? sw_fail(error, SW_BAD_NAME_NOT_CHELATOR, said, p->label)
               : SW_OK;
}

sw_status sw_product_check_name(const sw_product *product, const char *name,
                                const char **hydrate, sw_error *error)
{
    *hydrate = NULL;
    sw_status status = match_name(name).count
                           ? check_formula(product, name, hydrate, error)
                           : sw_product_check_ions(product, name, error);
    if (!status)
        status = check_side(product, name, error);
    if (!status)
        status = check_grade(product, name, error);
    if (!status)
        status = check_chelator(product, name, error);
    return status ? status : sw_product_check_strength(product, name, error);
}
