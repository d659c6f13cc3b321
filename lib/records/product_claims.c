/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A product's name against its formula or label, and the strength that its name
 * says against its purity and density.  The catalogue is the measure of both;
 * what it does not know contradicts nothing.
 */
#include "records/product_claims.h"

#include "quantity/formula.h"
#include "quantity/units.h"
#include "records/catalogue.h"
#include "table_refusals.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The assay of a bottle strays so far from its grade, in % (common practice, no
 * source: nitric acid of 65 to 67 %, hydrochloric of 36.5 to 38 %). */
static const double grade_percent = 2.0;
/* Of the density: 20 K, two digits and the straight line between strengths of
 * the catalogue come to less; a bottle of another strength is farther off. */
static const double density_share = 0.05;
static const double water_g_per_ml = 0.998; /* at 20 degC */
/* Formulas of one salt differ by roundings alone. */
static const double same_share = 0.02;

/* ---- Strength ----------------------------------------------------------- */

/* The first row of a liquid with a formula that formula or name mean. */
static bool find_liquid(const sw_product *p, const char *name, sw_salt *liquid)
{
    sw_catalogue_matches found =
        sw_catalogue_match(p->formula ? p->formula : name);
    for (size_t i = 0; i < found.count; i++) {
        *liquid = sw_catalogue_salt(found.index[i]);
        if (liquid->is_liquid && *liquid->formula)
            return true;
    }
    return false;
}

/* What the product holds of that substance, %; NaN: it is none such. */
static double strength_of(const sw_product *p, const char *name,
                          sw_salt *liquid)
{
    sw_content pure;
    int most = 0;
    if (!find_liquid(p, name, liquid) ||
        sw_formula_content(liquid->formula, 1.0, &pure, NULL, NULL))
        return NAN;
    for (int i = 0; i < SW_N; i++)
        if (pure.amount[i] > pure.amount[most])
            most = i;
    return 100.0 * p->per_g.amount[most] / pure.amount[most];
}

/* The number before a "%" of a name, unless it is of something else, as in
 * "54 % P2O5"; NaN: none. */
static double said_before(const char *name, const char *percent)
{
    char of[40];
    char number[16];
    const char *start = percent;
    const char *after = percent + 1 + strspn(percent + 1, " ");
    (void)snprintf(of, sizeof of, "%.*s", (int)strcspn(after, " ,;()"), after);
    while (start > name && start[-1] == ' ')
        start--;
    while (start > name &&
           (isdigit((unsigned char)start[-1]) || strchr(".,", start[-1])))
        start--;
    if (!isdigit((unsigned char)*start) ||
        (*of && sw_parameter_known(of) != SW_UNKNOWN))
        return NAN;
    (void)snprintf(number, sizeof number, "%.15s", start);
    if (strchr(number, ','))
        *strchr(number, ',') = '.';
    return strtod(number, NULL);
}

static sw_status check_strength(const sw_product *p, const char *name,
                                sw_error *error)
{
    sw_salt liquid;
    double said = NAN;
    double strength = strength_of(p, name, &liquid);
    if (isnan(strength))
        return SW_OK;
    for (const char *at = strchr(name, '%'); at; at = strchr(at + 1, '%')) {
        double one = said_before(name, at);
        if (fabs(one - strength) <= grade_percent)
            return SW_OK;
        said = isnan(one) ? said : one;
    }
    return isnan(said) ? SW_OK
                       : sw_fail(error, SW_BAD_NAME_NOT_STRENGTH, said,
                                 strength, liquid.formula);
}

/* ---- Density ------------------------------------------------------------ */

/* By the catalogue, on a straight line between strengths and beyond the last;
 * its rows of a substance stand in their order. */
static double density_at(const char *formula, double percent)
{
    sw_catalogue_matches rows = sw_catalogue_match(formula);
    double low[2] = {0.0, water_g_per_ml};
    double high[2] = {0.0, water_g_per_ml};
    for (size_t i = 0; i < rows.count && high[0] < percent; i++) {
        sw_salt row = sw_catalogue_salt(rows.index[i]);
        if (!row.is_liquid)
            continue;
        memcpy(low, high, sizeof low);
        high[0] = 100.0 * row.purity;
        high[1] = row.density_g_per_ml;
    }
    return low[1] +
           (high[1] - low[1]) * (percent - low[0]) / (high[0] - low[0]);
}

sw_status sw_product_check_density(const sw_product *p, const char *name,
                                   sw_error *error)
{
    sw_salt liquid;
    double strength = strength_of(p, name, &liquid);
    if (isnan(strength) || isnan(p->density_g_per_ml))
        return SW_OK;
    double usual = density_at(liquid.formula, strength);
    if (fabs(p->density_g_per_ml / usual - 1.0) <= density_share)
        return SW_OK;
    return sw_fail(error, SW_BAD_DENSITY_NOT_STRENGTH, p->density_g_per_ml,
                   strength, liquid.formula, usual);
}

/* ---- Name and formula --------------------------------------------------- */

/* How many times as much a gram of one holds as of the other, where both hold
 * the same; else NaN. */
static double times(const sw_content *a, const sw_content *b)
{
    int most = 0;
    for (int i = 0; i <= SW_CITRATE; i++)
        if (b->amount[i] > b->amount[most])
            most = i;
    double factor =
        b->amount[most] > 0 ? a->amount[most] / b->amount[most] : 1.0;
    for (int i = 0; i <= SW_CITRATE; i++) {
        double one = a->amount[i];
        double other = factor * b->amount[i];
        if (!(fabs(one - other) <=
              same_share * (fabs(one) + fabs(other)) + 1e-6))
            return NAN;
    }
    return factor;
}

static bool holds_all(const sw_content *a, const sw_content *b)
{
    for (int i = 0; i <= SW_N; i++)
        if (!sw_component_is((sw_component)i, SW_IS_FORM) && a->amount[i] > 0 &&
            !(b->amount[i] > 0))
            return false;
    return true;
}

/* A label leaves out what it need not print, or prints traces too: of two
 * products one holds what the other does. */
static bool may_be(const sw_product *p, const sw_content *row)
{
    return holds_all(&p->per_g, row) || holds_all(row, &p->per_g);
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
    double factor = status ? NAN : times(&of_p, &of_row);
    *like = isnan(factor)                      ? OTHER
            : fabs(factor - 1.0) <= same_share ? SAME
                                               : HYDRATE;
    return status;
}

static sw_status check_formula(const sw_product *p, const char *name,
                               const char **hydrate, sw_error *error)
{
    sw_catalogue_matches found = sw_catalogue_match(name);
    likeness best = found.count ? OTHER : SAME;
    sw_salt row = {.name = ""};
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
    if (best != OTHER)
        return SW_OK;
    return sw_fail(error, SW_BAD_NAME_NOT_FORMULA, name,
                   *row.formula ? row.formula : row.name,
                   p->label ? p->label : p->formula);
}

sw_status sw_product_check_name(const sw_product *product, const char *name,
                                const char **hydrate, sw_error *error)
{
    *hydrate = NULL;
    sw_status status = check_formula(product, name, hydrate, error);
    return status ? status : check_strength(product, name, error);
}
