/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A lab report against itself: charge, conductivity, dissolved solids and
 * hardness; its carbonate, in carbonate_checks.c.  Each check gives a row for
 * people and a standardised discrepancy for the score: reference/methods.md,
 * Assess.
 */
#include "assess/checks.h"

#include "assess/believe.h"
#include "assess/guidelines.h"
#include "chemistry/equilibrate.h"
#include "quantity/components.h"
#include "quantity/notes.h"
#include "quantity/status.h"
#include "quantity/text.h"
#include "quantity/units.h"
#include "records/water.h"
#include "table_checks.h"
#include "table_words.h"

#include <math.h>
#include <string.h>

/* Relative standard uncertainties beside those of the table; how chosen:
 * reference/methods.md. */
static const double meter_uncertainty = 0.03;
static const double ec_least_uncertainty = 0.05;
static const double rule_uncertainty = 0.2; /* of cations / 10 */
static const double hardness_floor_meq_per_l = 0.05;
/* Ions not reported may conduct as much again as those that are (common
 * practice, no source). */
static const double most_unreported = 2.0;

/* Half-width of a 90 % interval over its standard deviation. */
static const double half_of_90_percent = 1.645;

sw_check_row *sw_check_start(sw_checked *f, sw_check check)
{
    sw_check_row *row = &f->out->rows[check];
    *row = (sw_check_row){.reported = NAN,
                          .calculated = NAN,
                          .value = NAN,
                          .low = NAN,
                          .high = NAN};
    const sw_checks_row *t = &sw_checks_table[check];
    snprintf(row->name, sizeof row->name, "%s", t->name);
    snprintf(row->unit, sizeof row->unit, "%s", t->unit);
    snprintf(row->source, sizeof row->source, "%s", t->source);
    f->out->z[check] = 0.0;
    return row;
}

sw_check_bounds sw_check_bounds_of(sw_check check, double most)
{
    const sw_checks_row *t = &sw_checks_table[check];
    return (sw_check_bounds){t->low, t->high * most, t->doubt_low,
                             t->doubt_high * most};
}

void sw_check_judge(sw_checked *f, sw_check check, double value,
                    const sw_check_bounds *b)
{
    sw_check_row *row = &f->out->rows[check];
    snprintf(row->measure, sizeof row->measure, "%s",
             sw_checks_table[check].measure);
    row->value = value;
    row->low = b->low;
    row->high = b->high;
    /* what is not bounded from below is NaN there */
    if (!(value < b->low) && value <= b->high)
        row->finding = SW_AGREES;
    else if (!(value < b->doubt_low) && value <= b->doubt_high)
        row->finding = SW_DOUBTFUL;
    else
        row->finding = SW_DISAGREES;
}

void sw_check_lacks(sw_check_row *row, const char *what)
{
    snprintf(row->reason, sizeof row->reason, "%s not reported", what);
}

void sw_check_excuse(sw_check_row *row, double low, double high)
{
    if (row->finding == SW_AGREES && (row->value > high || row->value < low))
        snprintf(row->reason, sizeof row->reason,
                 "with what may hide below the detection limits");
}

/* Two numbers that should be the same, as a ratio; `most` times what is
 * calculated may be there with what detection limits hide. */
static void compare(sw_checked *f, sw_check check, double reported,
                    double calculated, double most)
{
    sw_check_bounds b = sw_check_bounds_of(check, most);
    sw_check_row *row = &f->out->rows[check];
    row->reported = reported;
    row->calculated = calculated;
    sw_check_judge(f, check, reported / calculated, &b);
    sw_check_excuse(row, -INFINITY, sw_checks_table[check].high);
}

static void lacks_majors(const sw_checked *f, sw_check_row *row)
{
    char amount[SW_FIGURE_BYTES];
    double closing = sw_charge_closing_amount(&f->charge);
    sw_check_lacks(row, f->charge.missing);
    if (isnan(closing))
        return;
    sw_text_add(row->reason, sizeof row->reason,
                "; %s %s of it would balance the charge",
                sw_figure(closing, amount),
                f->charge.last_missing == SW_ALKALINITY ? "meq/L" : "mg/L");
}

static void check_charge(sw_checked *f)
{
    sw_check_row *row = sw_check_start(f, SW_CHECK_CHARGE);
    double percent = sw_charge_percent(&f->charge);
    double limit = sw_charge_limit_percent(&f->charge);
    double doubt = fmax(2.0 * limit, SW_CHARGE_DOUBTFUL_PERCENT);
    if (f->charge.missing_count > 0 || isnan(percent)) {
        if (f->charge.missing_count > 0)
            lacks_majors(f, row);
        else
            sw_check_lacks(row, "any ion");
        return;
    }
    row->reported = f->charge.cations_meq_per_l;
    row->calculated = f->charge.anions_meq_per_l;
    /* as far as ions below detection may close the gap */
    double cations = f->charge.hidden_cations_meq_per_l;
    double anions = f->charge.hidden_anions_meq_per_l;
    double up = sw_charge_percent(
                    &(sw_charge){.cations_meq_per_l = row->reported + cations,
                                 .anions_meq_per_l = row->calculated}) -
                percent;
    double down = percent - sw_charge_percent(&(sw_charge){
                                .cations_meq_per_l = row->reported,
                                .anions_meq_per_l = row->calculated + anions});
    sw_check_judge(f, SW_CHECK_CHARGE, percent,
                   &(sw_check_bounds){-limit - up, limit + down, -doubt - up,
                                      doubt + down});
    sw_check_excuse(row, -limit, limit);
    sw_charge open;
    double nitrate =
        sw_charge_nitrate(f->water, row->reported - row->calculated);
    bool asks = sw_solution_open_alkalinity(f->water, 0.0, &open) > 0.0;
    if (row->finding != SW_AGREES)
        snprintf(row->reason, sizeof row->reason, "%s%s",
                 percent > 0.0 ? "too few anions, or too many cations"
                               : "too few cations, or too many anions",
                 asks            ? SW_SAY_OR_ALKALINITY
                 : nitrate > 0.0 ? SW_SAY_OR_NITRATE
                                 : "");
    f->out->z[SW_CHECK_CHARGE] =
        sw_charge_gap(&f->charge) / f->charge.uncertainty_meq_per_l;
}

/* Relative standard uncertainty of measured over calculated. */
static double ec_uncertainty(const sw_evidence *e)
{
    if (!e->calculated)
        return rule_uncertainty;
    const sw_chemistry *c = &e->chemistry;
    double half = log(c->ec_high_ms_per_cm / c->ec_low_ms_per_cm) / 2.0;
    double calculated = fmax(half / half_of_90_percent, ec_least_uncertainty);
    return hypot(calculated, meter_uncertainty);
}

/* What is not reported only adds to what conducts, and balances what is. */
static void check_ec_of_part(const sw_checked *f, double ec, sw_check_row *row)
{
    const sw_checks_row *t = &sw_checks_table[SW_CHECK_EC];
    double ions = fmax(f->charge.cations_meq_per_l, f->charge.anions_meq_per_l);
    double least = fmax(f->out->calculated ? ec : 0.0,
                        (1.0 - rule_uncertainty) * ions / 10.0);
    double found = f->water->ec_ms_per_cm;
    bool above = found < t->doubt_low * least;
    double part = above ? least : fmax(ec, ions / 10.0), ratio = found / part;
    sw_check_lacks(row, f->charge.missing);
    if (!(part > 0.0) || !(above || ratio > t->doubt_high) ||
        !(fabs(found - part) > SW_PURE_MS_PER_CM))
        return;
    snprintf(row->measure, sizeof row->measure, "%s", t->measure);
    row->reported = found;
    row->calculated = part;
    row->value = ratio;
    *(above ? &row->low : &row->high) = above ? t->doubt_low : t->doubt_high;
    row->finding =
        above || ratio > most_unreported ? SW_DISAGREES : SW_DOUBTFUL;
    sw_text_add(row->reason, sizeof row->reason, "%s",
                above ? SW_SAY_EC_PART_TOO_MUCH : SW_SAY_EC_PART_TOO_LITTLE);
}

static void check_ec(sw_checked *f)
{
    sw_check_row *row = sw_check_start(f, SW_CHECK_EC);
    double ec = f->charge.cations_meq_per_l / 10.0;
    if (f->out->calculated)
        ec = f->out->chemistry.ec_ms_per_cm;
    else
        snprintf(row->source, sizeof row->source, "%s", SW_SAY_EC_BY_RULE);
    if (isnan(f->water->ec_ms_per_cm)) {
        sw_check_lacks(row, "EC");
    } else if (f->charge.missing_count > 0) {
        check_ec_of_part(f, ec, row);
    } else if (f->water->ec_ms_per_cm > 0.0 && ec > 0.0) {
        double most =
            f->calculates_most ? fmax(f->most_ec_ms_per_cm / ec, 1.0) : 1.0;
        compare(f, SW_CHECK_EC, f->water->ec_ms_per_cm, ec, most);
        f->out->z[SW_CHECK_EC] =
            log(row->value / fmin(fmax(row->value, 1.0), most)) /
            ec_uncertainty(f->out);
    } else {
        sw_check_lacks(row, "EC above zero");
    }
}

static void check_tds_ec(sw_checked *f)
{
    sw_check_row *row = sw_check_start(f, SW_CHECK_TDS_EC);
    const sw_water *w = f->water;
    sw_check_bounds b = sw_check_bounds_of(SW_CHECK_TDS_EC, 1.0);
    if (isnan(w->tds_mg_per_l) || !(w->ec_ms_per_cm > 0.0))
        sw_check_lacks(row, isnan(w->tds_mg_per_l) ? "TDS" : "EC");
    else
        sw_check_judge(f, SW_CHECK_TDS_EC,
                       w->tds_mg_per_l / (1000.0 * w->ec_ms_per_cm), &b);
}

/* Silica is weighed as SiO3 in the sum of 1030 E, which has nitrate as NO3-N
 * (from memory), of drinking water's little; a residue holds it as NO3. */
static double dissolved_solids(const sw_content *per_l)
{
    const double so4_per_s = 2.9963, sio3_per_si = 2.7091, no3_per_n = 4.4268;
    const double *c = per_l->amount;
    return 0.6 * SW_MG_CACO3_PER_MEQ * c[SW_ALKALINITY] + c[SW_NA] + c[SW_K] +
           c[SW_CA] + c[SW_MG] + c[SW_CL] + so4_per_s * c[SW_S] +
           sio3_per_si * c[SW_SI] + no3_per_n * c[SW_NO3_N] + c[SW_F];
}

static void check_tds_ions(sw_checked *f)
{
    sw_check_row *row = sw_check_start(f, SW_CHECK_TDS_IONS);
    double calculated = dissolved_solids(&f->water->per_l);
    double most = dissolved_solids(&f->seen) / calculated;
    if (isnan(f->water->tds_mg_per_l)) {
        sw_check_lacks(row, "TDS");
    } else if (f->charge.missing_count > 0) {
        sw_check_lacks(row, f->charge.missing);
    } else if (f->water->tds_mg_per_l > 0.0 && calculated > 0.0) {
        compare(f, SW_CHECK_TDS_IONS, f->water->tds_mg_per_l, calculated, most);
        f->out->z[SW_CHECK_TDS_IONS] =
            log(row->value / fmin(fmax(row->value, 1.1), 1.1 * most)) /
            sw_checks_table[SW_CHECK_TDS_IONS].uncertainty;
    } else {
        sw_check_lacks(row, "TDS above zero");
    }
}

/* In meq/L; one below detection as near to what is calculated as it may be. */
static double reported_hardness(const sw_water *water, sw_check check,
                                double calculated)
{
    bool total = check == SW_CHECK_HARDNESS;
    sw_reading_kind kind = total ? SW_READS_HARDNESS : SW_READS_CA_HARDNESS;
    double found =
        total ? water->hardness_meq_per_l : water->ca_hardness_meq_per_l;
    for (size_t i = 0; i < water->reading_count; i++) {
        const sw_reading *r = &water->readings[i];
        if (r->kind == kind && r->below_detection && found == 0.0)
            return fmin(r->amount, calculated);
    }
    return found;
}

/* `most`: of the metals, with what detection limits hide. */
static void compare_hardness(sw_checked *f, sw_check check, double calculated,
                             double most)
{
    sw_check_row *row = &f->out->rows[check];
    double reported = reported_hardness(f->water, check, calculated);
    double floor = hardness_floor_meq_per_l;
    double sigma =
        hypot(sw_checks_table[check].uncertainty * calculated, floor);
    double nearest = fmin(fmax(reported, calculated), fmax(most, calculated));
    compare(f, check, SW_MG_CACO3_PER_MEQ * reported,
            SW_MG_CACO3_PER_MEQ * calculated,
            most > calculated ? most / calculated : 1.0);
    if (fabs(reported - nearest) <= floor)
        row->finding = SW_AGREES; /* a soft water's rounding */
    f->out->z[check] = (reported - nearest) / sigma;
    sw_check_excuse(row, -INFINITY, sw_checks_table[check].high);
}

static double seen_meq(const sw_checked *f, sw_component metal)
{
    return f->seen.amount[metal] * sw_meq_per_mg(metal);
}

static void check_hardness(sw_checked *f)
{
    const sw_water *w = f->water;
    double ca = w->per_l.amount[SW_CA] * sw_meq_per_mg(SW_CA);
    double mg = w->per_l.amount[SW_MG] * sw_meq_per_mg(SW_MG);
    sw_check_row *total = sw_check_start(f, SW_CHECK_HARDNESS);
    sw_check_row *calcium = sw_check_start(f, SW_CHECK_CA_HARDNESS);
    if (isnan(w->hardness_meq_per_l))
        sw_check_lacks(total, "hardness");
    else if (!w->reported[SW_CA] || !w->reported[SW_MG])
        sw_check_lacks(total, w->reported[SW_CA] ? "Mg" : "Ca");
    else
        compare_hardness(f, SW_CHECK_HARDNESS, ca + mg,
                         seen_meq(f, SW_CA) + seen_meq(f, SW_MG));
    if (isnan(w->ca_hardness_meq_per_l))
        sw_check_lacks(calcium, "calcium hardness");
    else if (!w->reported[SW_CA])
        sw_check_lacks(calcium, "Ca");
    else
        compare_hardness(f, SW_CHECK_CA_HARDNESS, ca, seen_meq(f, SW_CA));
}

/* What the laboratory itself worked out; most report nothing of the kind. */
static void check_told(sw_checked *f, sw_check check, const char *name,
                       double calculated)
{
    const char *lacking = check == SW_CHECK_ANIONS ? f->charge.missing_anions
                                                   : f->charge.missing_cations;
    double told = NAN;
    for (size_t i = 0; i < f->water->reading_count && isnan(told); i++)
        told = sw_reading_told(&f->water->readings[i], name);
    if (isnan(told) || !(calculated > 0.0))
        return;
    sw_check_row *row = sw_check_start(f, check);
    if (*lacking) {
        sw_check_lacks(row, lacking);
    } else {
        compare(f, check, told, calculated, 1.0);
        f->out->z[check] = log(row->value) / sw_checks_table[check].uncertainty;
    }
}

static void check_sums(sw_checked *f)
{
    check_told(f, SW_CHECK_CATIONS, "sum of cations",
               f->charge.cations_meq_per_l);
    check_told(f, SW_CHECK_ANIONS, "sum of anions", f->charge.anions_meq_per_l);
    check_told(f, SW_CHECK_SAR, "SAR",
               sw_sodium_adsorption_ratio(&f->water->per_l));
}

static sw_status calculate_chemistry(sw_checked *f)
{
    sw_evidence *e = f->out;
    sw_status status = SW_OK;
    if (f->completed)
        e->per_l = *f->completed;
    else
        status = sw_water_carbon(f->water, f->conditions, &e->per_l, &e->notes,
                                 NULL);
    if (status == SW_OK)
        status = sw_equilibrate(&e->per_l, f->conditions, SW_CARBONATE_KEPT,
                                &e->chemistry, NULL);
    e->calculated = status == SW_OK;
    if (e->calculated || status == SW_ERR_MEMORY)
        return status;
    e->per_l = f->water->per_l;
    e->chemistry = sw_unknown_chemistry();
    return sw_notes_add(&e->notes, SW_SAY_NO_EQUILIBRIUM);
}

/* Limits that make a brine hide nothing we could calculate with: then EC and pH
 * are of what was found alone. */
static sw_status look_below_detection(sw_checked *f)
{
    sw_water raised = *f->water; /* its readings borrowed */
    sw_notes notes = {0};
    sw_chemistry chemistry;
    if (!f->hides || !f->out->calculated)
        return SW_OK;
    raised.per_l = f->seen;
    sw_status status =
        sw_water_carbon(&raised, f->conditions, &f->most, &notes, NULL);
    if (status == SW_OK)
        status = sw_equilibrate_briefly(&f->most, f->conditions,
                                        SW_CARBONATE_KEPT, &chemistry, NULL);
    f->calculates_most = status == SW_OK;
    f->most_ec_ms_per_cm =
        f->calculates_most ? chemistry.ec_ms_per_cm : (double)NAN;
    sw_notes_free(&notes);
    return sw_of_trial(status);
}

static sw_status begin(sw_checked *f, sw_error *error)
{
    memset(f->out, 0, sizeof *f->out);
    f->seen = sw_water_most(f->water);
    f->hides = !sw_content_is_same(&f->seen, &f->water->per_l);
    if (calculate_chemistry(f) != SW_OK || look_below_detection(f) != SW_OK) {
        sw_evidence_free(f->out);
        return sw_fail_memory(error);
    }
    sw_charge_add_up_completed(f->water, &f->out->per_l, &f->charge);
    f->out->cations_meq_per_l = f->charge.cations_meq_per_l;
    f->out->anions_meq_per_l = f->charge.anions_meq_per_l;
    return SW_OK;
}

sw_status sw_evidence_weigh(const sw_water *water,
                            const sw_conditions *conditions,
                            sw_evidence *evidence, sw_error *error)
{
    sw_checked f = {.water = water, .conditions = conditions, .out = evidence};
    sw_status status = begin(&f, error);
    if (status != SW_OK)
        return status;
    check_charge(&f);
    check_ec(&f);
    check_tds_ec(&f);
    check_tds_ions(&f);
    check_hardness(&f);
    check_sums(&f);
    sw_check_ph(&f);
    sw_check_calcite(&f);
    sw_evidence_drop_stray(evidence, water);
    sw_evidence_add_up(evidence);
    return SW_OK;
}

sw_status sw_evidence_glance(const sw_water *water, const sw_content *completed,
                             const sw_conditions *conditions,
                             sw_evidence *evidence, sw_error *error)
{
    sw_conditions own = *conditions; /* its start is of another solution */
    sw_checked f = {.water = water,
                    .completed = completed,
                    .conditions = &own,
                    .out = evidence};
    own.start = NULL;
    sw_status status = begin(&f, error);
    if (status != SW_OK)
        return status;
    check_ec(&f);
    check_sums(&f);
    if (!water->is_solution && !sw_holds_usual_co2(&f))
        sw_check_ph(&f);
    sw_check_calcite(&f);
    sw_evidence_drop_stray(evidence, water);
    return SW_OK;
}

double sw_evidence_least_score(const sw_water *water)
{
    sw_evidence evidence = {0};
    sw_checked f = {.water = water, .out = &evidence};
    sw_charge_add_up(water, &f.charge);
    f.seen = sw_water_most(water);
    f.hides = !sw_content_is_same(&f.seen, &water->per_l);
    if (!water->is_solution || water->alkalinity_reported)
        check_charge(&f); /* else the pH has to tell the alkalinity first */
    check_tds_ions(&f);
    check_hardness(&f);
    check_sums(&f);
    sw_evidence_drop_stray(&evidence, water);
    sw_evidence_add_up(&evidence);
    return evidence.score;
}
