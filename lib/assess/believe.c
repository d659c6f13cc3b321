/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Whether a water, or a kept solution, may be mixed at all: nobody knows what
 * acid it needs where its alkalinity is told by nothing, nor where its report
 * cannot be true, since any of its figures may be the wrong one.  Method:
 * reference/methods.md, Formulate.
 */
#include "assess/believe.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "assess/evidence.h"
#include "assess/guidelines.h"
#include "chemistry/equilibrate.h"
#include "quantity/components.h"
#include "quantity/notes.h"
#include "quantity/status.h"
#include "records/water.h"
#include "table_words.h"

static bool is_far(const sw_check_row *row)
{
    return row->finding == SW_DISAGREES;
}

/* Of a nearly pure water little can be missing, whatever it is times. */
static bool is_far_in_ec(const sw_check_row *ec)
{
    return is_far(ec) &&
           fabs(ec->reported - ec->calculated) > SW_PURE_MS_PER_CM;
}

/* Both sums as they are told. */
typedef struct sums {
    char cations[SW_FIGURE_BYTES], anions[SW_FIGURE_BYTES];
} sums;

static sums sums_of(const sw_charge *charge)
{
    sums told;
    sw_figure(charge->cations_meq_per_l, told.cations);
    sw_figure(charge->anions_meq_per_l, told.anions);
    return told;
}

static void tell_alkalinity(const sw_water *water, const sw_charge *charge,
                            double gap, sw_notes *notes)
{
    double given = water->per_l.amount[SW_ALKALINITY];
    const sums told = sums_of(charge);
    bool is_least = sw_charge_is_least(charge);
    const char *least = is_least ? SW_SAY_AT_LEAST " " : "";
    const char *most = is_least ? SW_SAY_AT_MOST " " : "";
    sw_notes_add(notes, SW_SAY_CHARGE_CONTRADICTS, sw_water_name(water),
                 told.cations, told.anions, SW_MG_CACO3_PER_MEQ * given,
                 gap > 0.0 ? least : most, SW_MG_CACO3_PER_MEQ * (given + gap),
                 least, fabs(gap), gap > 0.0 ? "more" : "less",
                 gap > 0.0 && !water->reported[SW_NO3_N] ? SW_SAY_OR_NITRATE
                                                         : "");
}

/* Alkalinity on one side against it, a cation or an anion on the other: that it
 * is the alkalinity, and what it would be, is told where it could be. */
static bool doubt_charge(const sw_water *water, sw_notes *notes)
{
    sw_charge charge;
    char nitrate[SW_FIGURE_BYTES];
    double gap =
        sw_charge_alkalinity_gap(water, SW_CHARGE_FALSE_PERCENT, &charge);
    double given = water->per_l.amount[SW_ALKALINITY], closing = given + gap;
    const char *name = sw_water_name(water);
    if (gap == 0.0)
        return false;
    const sums told = sums_of(&charge);
    if (closing < 0.0)
        sw_notes_add(notes, SW_SAY_ANIONS_CONTRADICT, name, told.anions,
                     told.cations);
    else if (closing > sw_most_alkalinity_meq_per_l())
        sw_notes_add(notes, SW_SAY_CATIONS_CONTRADICT, name, told.cations,
                     told.anions);
    else if (sw_charge_nitrate(water, gap) > 0.0)
        sw_notes_add(
            notes, SW_SAY_NITRATE_LACKING, name, told.cations, told.anions,
            sw_figure(sw_charge_nitrate(water, gap), nitrate),
            SW_MG_CACO3_PER_MEQ * closing, SW_MG_CACO3_PER_MEQ * given, gap);
    else
        tell_alkalinity(water, &charge, gap, notes);
    return true;
}

/* mmol/L of CO2 in a hard water after acid, before it has left: no solution
 * holds more (common practice, no source). */
static const double most_co2_mmol_per_l = 5.0;

double sw_solution_open_alkalinity(const sw_water *water, double percent,
                                   sw_charge *charge)
{
    sw_charge_add_up(water, charge);
    double gap = sw_charge_gap(charge);
    double most = most_co2_mmol_per_l * pow(10.0, water->ph - SW_CARBONIC_PK);
    bool explains = water->is_solution && !water->alkalinity_reported &&
                    gap > 0.0 && gap <= most &&
                    sw_charge_is_wide(charge, gap, percent);
    return explains ? gap : 0.0;
}

/* Nobody looked for it, and it may be all that lacks. */
static bool ask_alkalinity(const sw_water *water, sw_notes *notes)
{
    sw_charge charge;
    char acid[SW_FIGURE_BYTES];
    double gap =
        sw_solution_open_alkalinity(water, SW_CHARGE_FALSE_PERCENT, &charge);
    const sums told = sums_of(&charge);
    if (gap > 0.0)
        sw_notes_add(notes, SW_SAY_SOLUTION_ALKALINITY, sw_water_name(water),
                     SW_MG_CACO3_PER_MEQ * gap, told.cations, told.anions,
                     sw_figure(gap, acid));
    return gap > 0.0;
}

/* Of a solution that is kept in a tank all that is added hangs on its ions. */
static bool doubt_solution(const sw_water *water, sw_notes *notes)
{
    sw_charge charge;
    char much[SW_FIGURE_BYTES];
    sw_charge_add_up(water, &charge);
    double gap = sw_charge_gap(&charge);
    if (!water->is_solution || ask_alkalinity(water, notes) ||
        !sw_charge_is_wide(&charge, gap, SW_CHARGE_FALSE_PERCENT))
        return false;
    const sums told = sums_of(&charge);
    sw_notes_add(notes, SW_SAY_SOLUTION_CONTRADICTS, sw_water_name(water),
                 told.cations, told.anions, sw_figure(fabs(gap), much),
                 gap > 0.0 ? "anions" : "cations",
                 gap > 0.0 ? "its cations" : "its anions");
    return true;
}

/* Only then it may be the EC alone that is wrong. */
static bool is_balanced(const sw_water *water)
{
    sw_charge charge;
    sw_charge_add_up(water, &charge);
    return !charge.missing_count &&
           fabs(sw_charge_percent(&charge)) <= SW_CHARGE_DOUBTFUL_PERCENT;
}

/* What may be done about an EC that its ions do not give; a sentence's end. */
static const char *next_of_ec(const sw_water *water, const sw_check_row *ec,
                              char *text, size_t size)
{
    sw_charge charge;
    char amount[SW_FIGURE_BYTES];
    double nitrate = sw_charge_nitrate(
        water,
        sw_charge_alkalinity_gap(water, SW_CHARGE_DOUBTFUL_PERCENT, &charge));
    *text = '\0';
    if (is_balanced(water))
        return SW_SAY_OR_LEAVE_OUT_EC;
    if (nitrate > 0.0 && ec->reported > ec->calculated)
        snprintf(text, size, SW_SAY_ASK_FOR_NITRATE,
                 sw_figure(nitrate, amount));
    return text;
}

/* What is left of the checks that an audit makes: a sum.  The solids, weighed
 * or reckoned in several ways, say nothing of the acid where the charges
 * balance, and where they do not, those tell it. */
static void doubt_sums(const sw_water *water, const sw_evidence *found,
                       sw_notes *notes)
{
    static const sw_check told[] = {SW_CHECK_CATIONS, SW_CHECK_ANIONS,
                                    SW_CHECK_SAR};
    char value[SW_FIGURE_BYTES];
    for (size_t i = 0; i < sizeof told / sizeof *told; i++) {
        const sw_check_row *row = &found->rows[told[i]];
        if (!is_far(row))
            continue;
        sw_notes_add(notes, SW_SAY_REPORT_INCONSISTENT, sw_water_name(water),
                     row->name, row->measure, sw_figure(row->value, value),
                     row->low, row->high);
        return;
    }
}

/* The acid that a wrong pH moves is little: mixed, with a word. */
static void doubt_ph(const sw_water *water, const sw_evidence *found,
                     sw_notes *notes)
{
    const sw_check_row *ph = &found->rows[SW_CHECK_PH];
    if (is_far(ph))
        sw_notes_add(notes, SW_SAY_PH_OVER_AIR, water->ph,
                     SW_MG_CACO3_PER_MEQ * water->per_l.amount[SW_ALKALINITY],
                     sw_water_name(water), ph->high);
    else
        doubt_sums(water, found, notes);
}

static void doubt_calcite(const sw_water *water, const sw_evidence *found,
                          sw_notes *notes)
{
    const double *held = water->per_l.amount;
    const sw_check_row *calcite = &found->rows[SW_CHECK_CALCITE];
    char calcium[SW_FIGURE_BYTES];
    if (!water->is_solution && is_far(calcite))
        sw_notes_add(notes, SW_SAY_CALCITE_CONTRADICTS, water->ph,
                     SW_MG_CACO3_PER_MEQ * held[SW_ALKALINITY],
                     sw_figure(held[SW_CA], calcium), sw_water_name(water),
                     calcite->value);
    else
        doubt_ph(water, found, notes);
}

/* Of what cannot be true one note, of the worse. */
static void doubt(const sw_water *water, const sw_evidence *found,
                  sw_notes *notes)
{
    char given[SW_FIGURE_BYTES], ions[SW_FIGURE_BYTES], next[192];
    const char *name = sw_water_name(water);
    const sw_check_row *ec = &found->rows[SW_CHECK_EC];
    const sw_check_row *ph = &found->rows[SW_CHECK_PH];
    if (is_far(ph) && ph->value < ph->low)
        sw_notes_add(notes, SW_SAY_PH_IMPOSSIBLE, water->ph,
                     SW_MG_CACO3_PER_MEQ * water->per_l.amount[SW_ALKALINITY],
                     name);
    else if (!doubt_solution(water, notes) && !doubt_charge(water, notes) &&
             is_far_in_ec(ec))
        sw_notes_add(notes, SW_SAY_EC_CONTRADICTS,
                     sw_figure(ec->reported, given), name,
                     sw_figure(ec->calculated, ions),
                     next_of_ec(water, ec, next, sizeof next));
    else
        doubt_calcite(water, found, notes);
}

static bool has_since(const sw_notes *notes, size_t from, const char *code)
{
    for (size_t i = from; i < notes->count; i++)
        if (strcmp(notes->items[i].code, code) == 0)
            return true;
    return false;
}

/* A pH that needs more alkalinity was told as its carbon was sought. */
static void look_for_doubt(const sw_water *water, const sw_content *completed,
                           const sw_conditions *conditions, size_t before,
                           sw_notes *notes)
{
    sw_evidence found;
    bool told = has_since(notes, before, "ph-alkalinity");
    if (!sw_notes_found(notes, sw_evidence_glance(water, completed, conditions,
                                                  &found, NULL)))
        return;
    if (told)
        found.rows[SW_CHECK_PH].finding = SW_NOT_CHECKED;
    doubt(water, &found, notes);
    sw_evidence_free(&found);
}

/* ---- Mixed, but not poured before something is measured ------------------ */

/* Of ions that lack and would close the gap; else no gap. */
static void gap_for_lack(const sw_water *water, sw_gap *open)
{
    const sw_charge *charge = &open->charge;
    double gap = sw_charge_either_gap(water, &open->charge);
    open->meq_per_l = gap;
    open->closing_mg_per_l = sw_charge_closing_amount(charge);
    snprintf(open->lacking, sizeof open->lacking, "%s",
             gap > 0.0 ? charge->missing_anions : charge->missing_cations);
}

sw_gap sw_gap_of(const sw_water *water)
{
    sw_gap open = {.lacking = ""};
    double gap = sw_charge_alkalinity_gap(water, SW_CHARGE_DOUBTFUL_PERCENT,
                                          &open.charge);
    open.meq_per_l = gap;
    if (gap == 0.0 || water->per_l.amount[SW_ALKALINITY] + gap < 0.0) {
        gap_for_lack(water, &open);
        return open;
    }
    open.closing_mg_per_l = sw_charge_nitrate(water, gap);
    if (open.closing_mg_per_l > 0.0)
        snprintf(open.lacking, sizeof open.lacking, "%s",
                 sw_component_name(SW_NO3_N));
    return open;
}

void sw_say_acid(double meq_per_l, char *text, size_t size)
{
    char amount[SW_FIGURE_BYTES];
    snprintf(text, size, "%s meq/L of acid %s",
             sw_figure(fabs(meq_per_l), amount),
             meq_per_l < 0.0 ? "less or of base more" : "more");
}

/* Of several ions nobody knows how much of each. */
static sw_status say_either(const sw_water *water, const sw_gap *open,
                            const char *acid, sw_notes *notes)
{
    double gap = open->meq_per_l, closing = open->closing_mg_per_l;
    double given = water->per_l.amount[SW_ALKALINITY];
    char amount[SW_FIGURE_BYTES];
    const sums told = sums_of(&open->charge);
    return sw_notes_add(notes, SW_SAY_EITHER_LACKING, open->lacking,
                        sw_water_name(water), told.cations, told.anions,
                        sw_figure(isnan(closing) ? fabs(gap) : closing, amount),
                        isnan(closing) ? "meq/L" : "mg/L", open->lacking,
                        SW_MG_CACO3_PER_MEQ * (given + gap),
                        SW_MG_CACO3_PER_MEQ * given, acid);
}

sw_status sw_say_gap(const sw_water *water, const sw_gap *open,
                     const char *acid, sw_notes *notes)
{
    double gap = open->meq_per_l;
    double given = water->per_l.amount[SW_ALKALINITY];
    bool is_least = sw_charge_is_least(&open->charge);
    const char *least = is_least ? SW_SAY_AT_LEAST " " : "";
    const sums told = sums_of(&open->charge);
    if (*open->lacking)
        return say_either(water, open, acid, notes);
    return sw_notes_add(notes, SW_SAY_ALKALINITY_DOUBTFUL, sw_water_name(water),
                        told.cations, told.anions,
                        is_least && gap < 0.0 ? SW_SAY_AT_MOST " " : least,
                        SW_MG_CACO3_PER_MEQ * (given + gap),
                        SW_MG_CACO3_PER_MEQ * given, least, acid);
}

double sw_lacking_by_charge(const sw_water *water, sw_charge *charge)
{
    bool either = sw_charge_either_gap(water, charge) != 0.0;
    double closing = sw_charge_closing_amount(charge);
    bool is_much = fabs(sw_charge_percent(charge)) > SW_CHARGE_FALSE_PERCENT;
    return either || charge->last_missing == SW_ALKALINITY || !is_much
               ? NAN
               : closing;
}

static void tell_lacking(const sw_water *water, sw_notes *notes)
{
    sw_charge charge;
    char amount[SW_FIGURE_BYTES];
    double closing = sw_lacking_by_charge(water, &charge);
    if (!isnan(closing))
        sw_notes_add(notes, SW_SAY_LACKING_BY_CHARGE, sw_water_name(water),
                     sw_figure(closing, amount), charge.missing);
}

/* Charges further apart than 1030 E allows, and no acid worth a doubt: what an
 * audit calls doubtful too. */
static void tell_apart(const sw_water *water, sw_notes *notes)
{
    sw_charge charge;
    sw_charge_add_up(water, &charge);
    const sums told = sums_of(&charge);
    double gap = sw_charge_gap(&charge);
    double sum = charge.cations_meq_per_l + charge.anions_meq_per_l;
    double limit =
        fmax(SW_CHARGE_DOUBTFUL_PERCENT, sw_charge_limit_percent(&charge));
    if (water->is_solution || !water->alkalinity_reported ||
        fabs(gap) > SW_LEAST_ACID_MEQ_PER_L ||
        !(100.0 * fabs(gap) > limit * sum))
        return;
    sw_notes_add(notes, SW_SAY_CHARGES_APART, sw_water_name(water),
                 told.cations, told.anions, fabs(gap),
                 gap > 0.0 ? "more" : "less");
}

sw_status sw_water_complete(const sw_water *water,
                            const sw_conditions *conditions, sw_content *per_l,
                            sw_notes *notes, sw_error *error)
{
    SW_REQUIRE(error, water, conditions, per_l, notes);
    size_t before = notes->count;
    sw_status status = sw_water_carbon(water, conditions, per_l, notes, error);
    if (status != SW_OK)
        return status;
    if (!sw_notes_are_about(notes, before, SW_ABOUT_REPORT))
        look_for_doubt(water, per_l, conditions, before, notes);
    if (sw_notes_are_about(notes, before, SW_ABOUT_REPORT))
        per_l->amount[SW_UNKNOWN_WATER] = 1;
    else {
        tell_lacking(water, notes);
        tell_apart(water, notes);
    }
    return sw_notes_status(notes, error);
}

/* ---- Of a water that fills tanks ------------------------------------------
 *
 * No acid hangs on it, but what settles out in them.
 */

static void tell_tanks(const sw_water *make_up, sw_notes *notes)
{
    const sw_gap open = sw_gap_of(make_up);
    const sums told = sums_of(&open.charge);
    if (open.meq_per_l == 0.0)
        return;
    sw_notes_add(notes, SW_SAY_MAKE_UP_DOUBTFUL, sw_water_name(make_up),
                 told.cations, told.anions,
                 *open.charge.missing ? "; not reported: " : "",
                 open.charge.missing);
}

sw_status sw_make_up_judge(const sw_water *make_up, sw_notes *notes,
                           sw_error *error)
{
    SW_REQUIRE(error, make_up, notes);
    if (!sw_notes_are_about(notes, 0, SW_ABOUT_REPORT))
        tell_tanks(make_up, notes);
    if (sw_guidelines_warn_of_gas(make_up, notes) != SW_OK)
        return sw_fail_memory(error);
    return sw_notes_status(notes, error);
}
