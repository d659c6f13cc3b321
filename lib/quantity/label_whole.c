/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Whether a gram can hold what its label prints, and what it says if figures of
 * elements are those of oxides.  Any dry salt weighs what the oxides of its
 * metals, the anhydrides of its acids and its ammonia do (KNO3: K2O and N2O5),
 * and never less with water or carbon; a halide takes the place of half an
 * oxygen, and a strong acid that no metal holds keeps half a water.
 */
#include "quantity/label.h"

#include <math.h>
#include <stdio.h>

#include "quantity/components.h"
#include "quantity/text.h"
#include "table_refusals.h"

/* mg/g; a hundredth is for analyses (common practice, no source). */
static const double whole_mg_per_g = 1010;
/* Of the charges, a gap worth an explanation (common practice, no source). */
static const double open_share = 0.05;
/* Charges nearer than this, of their sum, close: atomic weights, analysis. */
static const double closed_share = 0.005;
/* Gaps nearer to one another than this, of the charges, tell no readings
 * apart. */
static const double alike_share = 0.01;
/* As of calcium nitrate with ammonium. */
static const int most_ions = 3;
/* mg/g that is listed in a refusal. */
static const double least_listed = 10;

/* What is printed by its element and labels often print as its oxide. */
static const sw_component twofold[] = {SW_P, SW_K, SW_CA, SW_MG, SW_S};
enum { TWOFOLD = sizeof twofold / sizeof *twofold };

/* Which of these are taken as oxides: bits by their place. */
typedef unsigned reread;

static bool is_reread(reread as, sw_component component)
{
    for (unsigned k = 0; k < TWOFOLD; k++)
        if (twofold[k] == component)
            return as >> k & 1U;
    return false;
}

/* Read as its oxide a figure is less of the component. */
static double read_as(reread as, sw_component c, double mg_per_g)
{
    double oxide;
    (void)sw_component_oxide(c, &oxide);
    return is_reread(as, c) ? mg_per_g / oxide : mg_per_g;
}

static bool is_halide(sw_component c)
{
    return c == SW_CL || c == SW_F;
}

/* ---- What it weighs ------------------------------------------------------ */

static double least_of(const sw_label *label, sw_component c)
{
    double low = label->per_g.amount[c] - label->below_mg_per_g[c];
    return label->printed[c] ? fmax(low, 0) : 0;
}

/* mg of what holds so much of a component, at the least. */
static double carrier_of(const sw_label *label, sw_component c, double mg)
{
    double oxide;
    (void)sw_component_oxide(c, &oxide);
    if (c == SW_S) /* elemental sulfur is sold */
        return mg;
    if (c == SW_UREA_N) /* of which some has no named form */
        return oxide * fmax(mg - label->n_unformed_mg_per_g, 0) +
               fmin(mg, label->n_unformed_mg_per_g);
    if (is_halide(c))
        return mg - 0.5 * mg * sw_meq_per_mg(c) * sw_element_weight("O");
    return mg * oxide;
}

/* Strong acids, meq/g, less the metals that may hold them at their most. */
static double acids_of(const sw_label *label, reread as)
{
    double meq = 0;
    for (int i = 0; i < SW_N; i++) {
        sw_component c = (sw_component)i;
        int charge = sw_charge_in_water(c);
        double most = label->per_g.amount[c] + label->above_mg_per_g[c];
        if (c == SW_NO3_N || is_halide(c))
            meq += least_of(label, c) * sw_meq_per_mg(c);
        else if (charge > 0 && c != SW_NH4_N)
            meq -= read_as(as, c, most) * fmax(charge, sw_chelated_charge(c)) /
                   sw_element_weight(sw_component_element(c));
    }
    return fmax(meq, 0);
}

static double water_of(const sw_label *label, reread as)
{
    return acids_of(label, as) *
           (sw_element_weight("H") + 0.5 * sw_element_weight("O"));
}

static double weight_of(const sw_label *label, reread as)
{
    double mg = label->chelators_mg_per_g + water_of(label, as);
    for (int i = 0; i < SW_N; i++) {
        sw_component c = (sw_component)i;
        mg += carrier_of(label, c, read_as(as, c, least_of(label, c)));
    }
    return mg;
}

/* ---- What else it may say ------------------------------------------------ */

/* Cations less anions, meq/g, bases among them. */
static double gap_of(const sw_label *label, reread as)
{
    double gap = label->gap_meq_per_g - label->base_meq_per_g;
    for (unsigned k = 0; k < TWOFOLD; k++) {
        double mg = label->per_g.amount[twofold[k]];
        gap +=
            (read_as(as, twofold[k], mg) - mg) * sw_charge_per_mg(twofold[k]);
    }
    return gap;
}

static bool is_by_element(const sw_label *label, sw_component c)
{
    return label->by_element[c] && label->per_g.amount[c] > 0;
}

/* Bags print P and K alike, as oxides both or neither: those of a grade. */
static bool can_be(const sw_label *label, reread as)
{
    for (unsigned k = 0; k < TWOFOLD; k++)
        if ((as >> k & 1U) && !is_by_element(label, twofold[k]))
            return false;
    return !(is_by_element(label, SW_P) && is_by_element(label, SW_K)) ||
           is_reread(as, SW_P) == is_reread(as, SW_K);
}

static double charges_of(const sw_label *label)
{
    return sw_content_charges(&label->per_g) + label->base_meq_per_g;
}

/* The reading that fits into a gram and leaves the least charge over, of two
 * that come near the one of fewer oxides; 0: the one printed, or none. */
static reread nearest(const sw_label *label)
{
    reread best = 0;
    double least = INFINITY;
    for (reread as = 0; as < 1U << TWOFOLD; as++) {
        double off = fabs(gap_of(label, as));
        for (reread rest = as; rest; rest &= rest - 1)
            off += alike_share * charges_of(label);
        if (off < least && can_be(label, as) &&
            weight_of(label, as) <= whole_mg_per_g) {
            least = off;
            best = as;
        }
    }
    return best;
}

/* "P2O5 52; K2O 34" */
static void say_reread(const sw_label *label, reread as, char *text,
                       size_t size)
{
    for (unsigned k = 0; k < TWOFOLD; k++) {
        double oxide;
        if (as >> k & 1U)
            sw_text_join(text, size, "; ", "%s %.4g",
                         sw_component_oxide(twofold[k], &oxide),
                         label->per_g.amount[twofold[k]] / 10);
    }
}

/* "P2O5 119 %, K2O 41 %" */
static void say_parts(const sw_label *label, char *text, size_t size,
                      unsigned long *column)
{
    double most = 0;
    for (int i = 0; i < SW_N; i++) {
        double oxide;
        sw_component c = (sw_component)i;
        double mg = carrier_of(label, c, least_of(label, c));
        const char *name = sw_component_oxide(c, &oxide);
        if (c == SW_UREA_N)
            name = "urea";
        if (mg > most)
            *column = label->columns[c];
        most = fmax(most, mg);
        if (mg >= least_listed)
            sw_text_join(text, size, ", ", "%s %.3g %%",
                         *name && c != SW_S ? name : sw_component_name(c),
                         mg / 10);
    }
    if (label->chelators_mg_per_g >= least_listed)
        sw_text_join(text, size, ", ", "the chelator %.3g %%",
                     label->chelators_mg_per_g / 10);
    if (water_of(label, 0) >= least_listed)
        sw_text_join(text, size, ", ", "water of the acid %.3g %%",
                     water_of(label, 0) / 10);
}

sw_status sw_label_check_whole(const sw_label *label, sw_error *error)
{
    char parts[240] = "", meant[SW_LABEL_REREAD_BYTES] = "";
    unsigned long column = 1;
    double mg_per_g = weight_of(label, 0);
    if (mg_per_g <= whole_mg_per_g)
        return SW_OK;
    say_parts(label, parts, sizeof parts, &column);
    say_reread(label, nearest(label), meant, sizeof meant);
    return sw_fail_at(error, &(sw_place){NULL, 0, column},
                      SW_BAD_LABEL_OVER_WHOLE, parts, mg_per_g / 10,
                      *meant ? ", such as " : "", meant,
                      *meant ? " where oxides are meant" : "");
}

bool sw_label_closes(const sw_label *label, double gap, double charges)
{
    double slack = closed_share * charges;
    return gap - label->gap_below_meq_per_g <= slack &&
           gap + label->gap_above_meq_per_g >= -slack;
}

/* Of a single salt, as a rule: more ions, or traces, close by chance. */
static bool is_plain(const sw_label *label)
{
    int ions = 0;
    for (int i = 0; i < SW_N; i++) {
        sw_component c = (sw_component)i;
        bool traces = sw_component_is(c, SW_IS_TRACE) || c == SW_SI;
        if (traces && label->per_g.amount[c] > 0)
            return false;
        ions += label->per_g.amount[c] > 0 && sw_charge_in_water(c) != 0;
    }
    return ions <= most_ions;
}

/*
 * Sulfur and phosphorus need not be sulfate and dihydrogen phosphate.
 * Thiosulfate has one charge for each sulfur, polysulfide fewer, elemental
 * sulfur none, and an acid its hydrogen: with them anions alone are too many.
 * Hydrogen phosphate and phosphite have two charges for each phosphorus.
 */
static bool is_otherwise(const sw_label *label, double gap)
{
    double second = label->by_element[SW_P]
                        ? label->per_g.amount[SW_P] / sw_element_weight("P")
                        : 0;
    return gap < 0 || gap - label->gap_below_meq_per_g <= second;
}

bool sw_label_reread(const sw_label *label, char text[SW_LABEL_REREAD_BYTES])
{
    double charges = charges_of(label);
    double gap = gap_of(label, 0);
    reread as = nearest(label);
    text[0] = '\0';
    if (!as || !is_plain(label) || sw_label_closes(label, gap, charges) ||
        is_otherwise(label, gap) || fabs(gap) < open_share * charges ||
        !sw_label_closes(label, gap_of(label, as), charges))
        return false;
    say_reread(label, as, text, SW_LABEL_REREAD_BYTES);
    return true;
}
