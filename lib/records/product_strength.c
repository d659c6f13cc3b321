/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The strength of acids and solutions: one that is sold so has none until it is
 * given, and what its name says of it, in any measure of the trade, is held
 * against it.  Densities: the catalogue's.
 */
#include "records/product_strength.h"

#include "quantity/components.h"
#include "quantity/formula.h"
#include "quantity/text.h"
#include "quantity/units.h"
#include "records/catalogue.h"
#include "records/name_side.h"
#include "records/name_strength.h"
#include "table_refusals.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* The assay of a bottle strays so far from its grade, in % (common practice, no
 * source: nitric acid of 65 to 67 %, hydrochloric of 36.5 to 38 %). */
static const double grade_percent = 2.0 + 1e-9; /* and roundings */
/* "38 % + 62 % water": by their digits. */
static const double water_percent = 0.6;
/* Of the density: 20 K, two digits and the straight line between strengths of
 * the catalogue come to less; a bottle of another strength is farther off. */
static const double density_share = 0.05;
/* Of a density that a name says: 10 K and the straight line come to less. */
static const double said_density_share = 0.015;
static const double baume_degrees = 1.5;    /* the same in degrees */
static const double molar_share = 0.06;     /* the same, and two digits */
static const double water_g_per_ml = 0.998; /* at 20 degC */
/* Acids and bases below it, in %, are solutions, and of one that is sold as a
 * solution none is as pure as the other (common practice, no source). */
static const double least_solid = 80.0;
/* Salts that are sold as a solution too (common practice, no source). */
static const double least_solid_salt = 60.0;
static const double taken_as_pure = 0.995;

/* A product as a solution: percent of the formula, by mass. */
typedef struct solution {
    const char *formula;
    double percent, g_per_ml, g_per_mol; /* g_per_ml: NaN where unknown */
} solution;

/* ---- What is dissolved -------------------------------------------------- */

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

/* The formula of the first row of a liquid that formula or name mean; NULL:
 * there is none. */
static const char *find_liquid(const sw_product *p, const char *name)
{
    sw_catalogue_matches found =
        sw_catalogue_match(p->formula ? p->formula : name);
    if (!found.count && !p->formula)
        found = sw_catalogue_match_start(name);
    for (size_t i = 0; i < found.count; i++) {
        sw_salt row = sw_catalogue_salt(found.index[i]);
        if (row.is_liquid && *row.formula)
            return row.formula;
    }
    return NULL;
}

/* An acid or a base: citric acid by its citrate. */
static bool is_sided(const sw_product *p)
{
    const double *amount = p->per_g.amount;
    return amount[SW_ALKALINITY] != 0.0 || amount[SW_CITRATE] > 0.0;
}

/* What the product is a solution of, false: it is none. */
static bool find_solution(const sw_product *p, const char *name, solution *s)
{
    sw_content pure;
    int most = 0;
    const char *liquid = find_liquid(p, name);
    bool own =
        !liquid && !p->label && (!isnan(p->density_g_per_ml) || is_sided(p));
    s->formula = own ? p->formula : liquid;
    if (!s->formula ||
        sw_formula_content(s->formula, 1.0, &pure, &s->g_per_mol, NULL))
        return false;
    for (int i = 0; i < SW_N; i++)
        if (pure.amount[i] > pure.amount[most])
            most = i;
    s->percent = own ? 100.0 * p->purity
                     : 100.0 * p->per_g.amount[most] / pure.amount[most];
    s->g_per_ml = !isnan(p->density_g_per_ml) ? p->density_g_per_ml
                  : liquid && (is_sided(p) || s->percent < least_solid_salt)
                      ? density_at(liquid, s->percent)
                      : NAN;
    return s->percent > 0.0;
}

/* ---- What the name says ---------------------------------------------------
 */

/* By its density, for liquids denser than water and lighter ones. */
static double baume_of(double g_per_ml)
{
    return g_per_ml >= 1.0 ? 145.0 - 145.0 / g_per_ml
                           : 140.0 / g_per_ml - 130.0;
}

static bool is_percent(double said, double percent)
{
    return fabs(said - percent) <= grade_percent;
}

/* g/mL of that or of kg/m3. */
static double as_density(double said)
{
    return said > 500.0 ? said / 1000.0 : said;
}

static bool is_density(double said, double g_per_ml)
{
    return fabs(as_density(said) / g_per_ml - 1.0) <= said_density_share;
}

static bool is_share(double said, double held)
{
    return fabs(said / held - 1.0) <= molar_share;
}

/* Where eq/L are said it may give off one to three protons. */
static bool is_normal(double said, double molar)
{
    return is_share(said, molar) || is_share(said, 2.0 * molar) ||
           is_share(said, 3.0 * molar);
}

static bool fits(const sw_said_strength *said, const solution *s)
{
    double value = said->value;
    double g_per_l = 10.0 * s->percent * s->g_per_ml;
    switch (said->measure) {
    case SW_MEASURE_DENSITY:
        return is_density(value, s->g_per_ml);
    case SW_MEASURE_BAUME:
        return fabs(value - baume_of(s->g_per_ml)) <= baume_degrees;
    case SW_MEASURE_MOLAR:
        return is_share(value, g_per_l / s->g_per_mol);
    case SW_MEASURE_NORMAL:
        return is_normal(value, g_per_l / s->g_per_mol);
    case SW_MEASURE_MASS:
        return is_share(value, g_per_l) || is_density(value, s->g_per_ml);
    case SW_MEASURE_SHARE:
        return is_percent(value / 10.0, s->percent);
    case SW_MEASURE_PERCENT:
        return is_percent(value, s->percent);
    default:
        return is_percent(value < 1.0 ? 100.0 * value : value, s->percent) ||
               is_density(value, s->g_per_ml);
    }
}

enum { LONGEST_SYMBOL = 5 }; /* "NO3-N" */

/* What a number may be of that is not the liquid: "P2O5", "N"; "al 60" is not
 * of aluminium. */
static bool names_other(const char *word, size_t length, const solution *s)
{
    char of[40];
    sw_parameter found;
    (void)snprintf(of, sizeof of, "%.*s", (int)length, word);
    if (!*of || strcasecmp(of, s->formula) == 0)
        return false;
    return sw_parameter_find(of, &found, NULL)
               ? sw_parameter_known(of) == SW_KNOWN_OPEN
               : found.kind != SW_READS_OTHER;
}

/* As in "54 % P2O5" or "N 8.5 %". */
static bool is_of_other(const sw_said_strength *said, const char *name,
                        const solution *s)
{
    static const char marks[] = " ,;()";
    const char *behind = said->end + strspn(said->end, " ");
    const char *ahead = said->start;
    while (ahead > name && ahead[-1] == ' ')
        ahead--;
    const char *word = ahead;
    while (word > name && !strchr(marks, word[-1]))
        word--;
    bool long_word = ahead - word > LONGEST_SYMBOL; /* a name, no symbol */
    return names_other(behind, strcspn(behind, marks), s) ||
           (!long_word && names_other(word, (size_t)(ahead - word), s));
}

/* A number alone that is below what such a liquid is sold at: "nitric acid 25"
 * is of a place or a vessel. */
static bool is_too_weak(const sw_said_strength *said, const char *liquid)
{
    sw_catalogue_matches rows = sw_catalogue_match(liquid ? liquid : "");
    if (said->measure != SW_MEASURE_BARE || said->value < 10.0)
        return false;
    for (size_t i = 0; i < rows.count; i++) {
        sw_salt row = sw_catalogue_salt(rows.index[i]);
        if (row.is_liquid)
            return said->value < 100.0 * row.purity - grade_percent;
    }
    return false;
}

/* "42 °Bé"; a number alone as what it would most likely be. */
static void say_strength(const sw_said_strength *said, char *text, size_t size)
{
    static const char *const units[] = {
        [SW_MEASURE_BARE] = "%",       [SW_MEASURE_PERCENT] = "%",
        [SW_MEASURE_DENSITY] = "g/mL", [SW_MEASURE_BAUME] = "°Bé",
        [SW_MEASURE_MOLAR] = "mol/L",  [SW_MEASURE_NORMAL] = "eq/L",
        [SW_MEASURE_MASS] = "g/L",     [SW_MEASURE_SHARE] = "g/kg",
    };
    bool bare = said->measure == SW_MEASURE_BARE;
    bool dense = said->measure == SW_MEASURE_DENSITY ||
                 (bare && said->value > 1.0 && said->value < 10.0);
    double value = dense                     ? as_density(said->value)
                   : bare && said->value < 1 ? 100.0 * said->value
                                             : said->value;
    (void)snprintf(text, size, "%g %s", value,
                   units[dense ? SW_MEASURE_DENSITY : said->measure]);
}

static sw_status refuse(const solution *s, const char *said, sw_error *error)
{
    char held[80];
    (void)snprintf(held, sizeof held, "%.3g %% of %.40s", s->percent,
                   s->formula);
    if (!isnan(s->g_per_ml))
        sw_text_add(held, sizeof held, " (%.2f g/mL, %.0f °Bé)", s->g_per_ml,
                    baume_of(s->g_per_ml));
    return sw_fail(error, SW_BAD_NAME_NOT_STRENGTH, said, held);
}

/* ---- Is it given? -------------------------------------------------------- */

/* The first row of the catalogue that is the same as a liquid, or as a solid;
 * their count where there is none. */
static size_t find_same(const sw_product *p, bool liquid)
{
    size_t i = 0;
    for (; i < sw_catalogue_count(); i++) {
        sw_content per_g;
        sw_chelator chelator;
        sw_salt row = sw_catalogue_salt(i);
        if (*row.formula && row.is_liquid == liquid &&
            !sw_catalogue_content(i, &per_g, &chelator, NULL) &&
            !isnan(sw_content_times(&p->per_g, &per_g)))
            break;
    }
    return i;
}

/* Of a density, by the catalogue, to whole per cent. */
static double percent_at(const char *formula, double g_per_ml)
{
    int best = 1;
    for (int percent = 2; percent < 100; percent++)
        if (fabs(density_at(formula, percent) - g_per_ml) <
            fabs(density_at(formula, best) - g_per_ml))
            best = percent;
    return best;
}

/* The first per cent of a name that is of the product; NaN: there is none. */
static double said_percent(const sw_product *p, const char *name)
{
    sw_said_strength said[SW_MOST_SAID];
    char folded[SW_NAME_BYTES];
    const solution s = {.formula = p->formula};
    sw_text_lower(name, folded, sizeof folded);
    size_t count = sw_name_strengths(folded, said);
    for (size_t i = 0; i < count; i++)
        if (said[i].measure == SW_MEASURE_PERCENT && said[i].value < 100.0 &&
            !is_of_other(&said[i], folded, &s))
            return said[i].value;
    return NAN;
}

/* What the bottle itself says of it, by name or density; else any. */
static double find_such(const sw_product *p, const char *name, double any)
{
    const char *liquid = find_liquid(p, name);
    double percent = said_percent(p, name);
    if (isnan(percent) && liquid && !isnan(p->density_g_per_ml))
        percent = percent_at(liquid, p->density_g_per_ml);
    return !isnan(percent) ? percent / 100.0 : isnan(any) ? 0.5 : any;
}

bool sw_product_lacks_strength(const sw_product *product, const char *name,
                               bool given, double *such)
{
    size_t count = sw_catalogue_count(), same = find_same(product, true);
    bool sided = is_sided(product);
    double as = same < count ? sw_catalogue_salt(same).purity : NAN;
    double least = sided ? least_solid : same < count ? least_solid_salt : 0.0;
    bool liquid = (same < count && find_same(product, false) == count) ||
                  sw_name_is_liquid(name) ||
                  (sided && sw_name_is_dissolved(name));
    bool lacks = given ? liquid && product->purity > taken_as_pure
                       : liquid || !isnan(product->density_g_per_ml) ||
                             said_percent(product, name) < least;
    if (lacks)
        *such = find_such(product, name, as);
    return lacks;
}

/* ---- Does the name fit? -------------------------------------------------- */

/* By words: "fuming". */
static sw_status check_grade(const solution *s, const char *name,
                             sw_error *error)
{
    char word[40];
    double least = sw_name_least_percent(name, s->formula, word, sizeof word);
    return isnan(least) || s->percent >= least - grade_percent
               ? SW_OK
               : refuse(s, word, error);
}

/* Numbers of one place, "60-65 %", are one strength. */
static bool any_fits(const sw_said_strength *said, size_t last,
                     const solution *s)
{
    for (size_t i = last + 1; i > 0 && said[i - 1].start == said[last].start;
         i--)
        if (fits(&said[i - 1], s))
            return true;
    return false;
}

/* Whether a number with a % contradicts another that fits: "60 %, was 38 %";
 * what adds up to 100 is the water, small ones are impurities. */
static bool is_other_percent(const sw_said_strength *said, const solution *s)
{
    return said->measure == SW_MEASURE_PERCENT && said->value >= 10.0 &&
           fabs(100.0 - said->value - s->percent) > water_percent;
}

/* "sixty percent", "LX %", or by digits that are no number: "60.60.60 %" */
static bool is_spelled(const char *name, const sw_said_strength *said,
                       size_t count)
{
    bool counted = false;
    for (size_t i = 0; i < count; i++)
        counted |= said[i].measure == SW_MEASURE_PERCENT;
    return !counted && sw_name_spells_percent(name);
}

/* One number that goes with it will do, for the others count bottles: but a
 * per cent counts none. */
sw_status sw_product_check_strength(const sw_product *product, const char *name,
                                    sw_error *error)
{
    char text[40];
    solution s;
    sw_said_strength said[SW_MOST_SAID];
    const sw_said_strength *other = NULL, *fit = NULL, *percent = NULL;
    char folded[SW_NAME_BYTES];
    if (!find_solution(product, name, &s))
        return SW_OK;
    sw_text_lower(name, folded, sizeof folded);
    size_t count = sw_name_strengths(folded, said);
    if (is_spelled(folded, said, count))
        return sw_fail(error, SW_BAD_NAME_SPELLED, name);
    for (size_t i = 0; i < count; i++) {
        const char *start = said[i].start;
        bool alone = !i || said[i - 1].start != start;
        bool last = i + 1 == count || said[i + 1].start != start;
        if (!last || is_of_other(&said[i], folded, &s) ||
            (alone && is_too_weak(&said[i], s.formula)))
            continue;
        if (any_fits(said, i, &s))
            fit = &said[i];
        else if (is_other_percent(&said[i], &s))
            percent = &said[i];
        else
            other = &said[i];
    }
    if (!percent && (fit || !other))
        return fit ? SW_OK : check_grade(&s, folded, error);
    say_strength(percent ? percent : other, text, sizeof text);
    return refuse(&s, text, error);
}

/* ---- What the density says ------------------------------------------------
 */

sw_status sw_product_check_density(const sw_product *product, const char *name,
                                   sw_error *error)
{
    solution s;
    const char *liquid = find_liquid(product, name);
    if (!liquid || isnan(product->density_g_per_ml) ||
        !find_solution(product, name, &s))
        return SW_OK;
    double usual = density_at(liquid, s.percent);
    if (fabs(product->density_g_per_ml / usual - 1.0) <= density_share)
        return SW_OK;
    return sw_fail(error, SW_BAD_DENSITY_NOT_STRENGTH,
                   product->density_g_per_ml, s.percent, liquid, usual);
}
