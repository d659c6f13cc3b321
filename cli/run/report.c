/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Small calculations that every format shares, so that text, JSON and CSV can
 * never tell different stories.
 */
#include "run/report.h"

#include <math.h>
#include <stdio.h>

/* Below this nothing can be weighed for any volume: rounding of the solver. */
static const double least_g_per_l = 1e-9;
/* Molar mass of CaCO3 over 2, IUPAC 2021 abridged atomic weights. */
static const double mg_caco3_per_meq = 100.086 / 2.0;

const sw_recipe *report_recipe_of(const sw_solution *solution)
{
    return solution->recipe.count ? &solution->recipe : NULL;
}

double report_least_g_per_l(void)
{
    return least_g_per_l;
}

double report_most_g_per_l(const cli_report *report, size_t index)
{
    const double *most = report->recipe->most_g_per_l;
    return most ? most[index] : 0;
}

bool report_uses(const cli_report *report, size_t index)
{
    return report->recipe->g_per_l[index] > least_g_per_l ||
           report_most_g_per_l(report, index) > 0;
}

static size_t turn_on_shelf(const cli_report *report, size_t product)
{
    size_t turn = 0;
    if (!report->recipe || !report_uses(report, product))
        return report->inputs->shelf->count;
    for (size_t i = 0; i < product; i++)
        turn += report_uses(report, i);
    return turn;
}

/* How many products are mixed before one, or stand before it on the shelf where
 * nothing is to be mixed; of what is not used: as many as the shelf has. */
static size_t turn_of(const cli_report *report, size_t product)
{
    const sw_steps *steps = report->steps;
    size_t turn = 0;
    if (!steps || !steps->count)
        return turn_on_shelf(report, product);
    for (size_t i = 0; steps && i < steps->count; i++) {
        bool again = steps->items[i].kind != SW_STEP_ADD;
        for (size_t k = 0; k < i && !again; k++)
            again = steps->items[k].kind == SW_STEP_ADD &&
                    steps->items[k].product == steps->items[i].product;
        if (!again && steps->items[i].product == product)
            return turn;
        turn += !again;
    }
    return report->inputs->shelf->count;
}

size_t report_product_at(const cli_report *report, size_t turn)
{
    size_t i = 0;
    while (i < report->inputs->shelf->count && turn_of(report, i) != turn)
        i++;
    return i;
}

cli_figure report_letter(const cli_report *report, size_t product)
{
    size_t turn = turn_of(report, product);
    return turn == report->inputs->shelf->count ? (cli_figure){""}
                                                : figure_letter('a', turn);
}

cli_portion report_portion(const cli_report *report, size_t index)
{
    const sw_product *product = &report->inputs->shelf->products[index];
    double volume_l = report->settings->volume_l;
    cli_portion out = {.product = product,
                       .g_per_l = report->recipe->g_per_l[index]};
    out.ml_per_l = out.g_per_l / product->density_g_per_ml;
    out.g = out.g_per_l * volume_l;
    out.ml = out.ml_per_l * volume_l;
    out.cost = out.g / 1000.0 * product->price_per_kg;
    return out;
}

double report_cost(const cli_report *report)
{
    return report->assessment->cost_per_m3 * report->settings->volume_l /
           1000.0;
}

sw_mix report_mix(const cli_report *report)
{
    sw_mix mix = inputs_mix(report->inputs, report->settings,
                            &report->assessment->water, report->recipe);
    mix.pourings = report->pourings;
    return mix;
}

bool report_in_steps(const cli_report *report)
{
    return report->weighed && report->weighed->recipe.count > 0;
}

bool report_cut_short(const cli_report *report)
{
    return (report->solution && report->solution->outcome == SW_LIMIT) ||
           (report_in_steps(report) && report->weighed->outcome == SW_LIMIT);
}

const sw_certificate *report_certificate(const cli_report *report)
{
    return report_in_steps(report) ? &report->weighed->certificate
                                   : &report->solution->certificate;
}

const sw_component_row *report_row(const cli_report *report, size_t index)
{
    return &report->assessment->rows[index == 0 ? SW_N : index - 1];
}

bool report_shows(const sw_component_row *row)
{
    return row->verdict != SW_VERDICT_NONE || row->finished_mg_per_l >= 5e-4;
}

int report_row_decimals(const sw_component_row *row)
{
    double size = row->finished_mg_per_l;
    if (row->target_mg_per_l > size)
        size = row->target_mg_per_l;
    return figure_decimals(size);
}

int report_measure_decimals(const sw_row *row)
{
    return row->kind == SW_TARGET_RATIO ? FIGURE_RATIO : FIGURE_MEASURE;
}

const char *report_saturation_verdict(sw_solid solid,
                                      const sw_saturation *saturation)
{
    if (saturation->index < -SW_SATURATION_MARGIN)
        return "dissolved";
    if (sw_seldom_forms(solid))
        return "seldom forms";
    return saturation->index > SW_SATURATION_MARGIN ? "supersaturated"
                                                    : "near saturation";
}

double report_share(const cli_report *report, size_t index)
{
    const cli_inputs *inputs = report->inputs;
    if (report->solution && report->solution->fractions)
        return report->solution->fractions[index];
    if (inputs->fractions)
        return inputs->fractions[index];
    return inputs->waters.count == 1 ? 1.0 : (double)NAN;
}

bool report_water_known(const sw_component_row *row)
{
    return row->water_reported || row->water_mg_per_l > 0.0;
}

double report_water_part(const sw_component_row *row)
{
    return report_water_known(row) ? row->water_mg_per_l : (double)NAN;
}

double report_counted(const cli_report *report, const sw_component_row *row)
{
    return report->assessment->finished.amount[row->component];
}

double report_water_unseen(const sw_component_row *row)
{
    return row->water_unseen_mg_per_l > 0.0 ? row->water_unseen_mg_per_l
                                            : (double)NAN;
}

cli_range report_ec_range(const cli_report *report)
{
    const sw_chemistry *mixed = &report->assessment->mixed;
    const sw_spread none = {.p5 = 0.0}, *spread = &none;
    double ec = mixed->ec_ms_per_cm;
    if (report->spread)
        spread = &report->spread->ec_ms_per_cm;
    double below =
        hypot(ec - mixed->ec_low_ms_per_cm, spread->median - spread->p5);
    double above =
        hypot(mixed->ec_high_ms_per_cm - ec, spread->p95 - spread->median);
    return (cli_range){ec - below, ec + above};
}

bool report_ph_is_open(const sw_assessment *assessment)
{
    return !isnan(assessment->undeclared.ph_low);
}

cli_figure report_ph(const sw_assessment *assessment, int decimals)
{
    const sw_undeclared *u = &assessment->undeclared;
    cli_figure out = figure_fixed(assessment->mixed.ph, decimals);
    if (report_ph_is_open(assessment))
        snprintf(out.text, sizeof out.text, "%.*f to %.*f", decimals, u->ph_low,
                 decimals, u->ph_high);
    return out;
}

cli_figure report_ph_poured(const sw_assessment *assessment, int decimals)
{
    cli_figure out = {""};
    double low = assessment->undeclared.until_ph_low;
    double high = assessment->undeclared.until_ph_high;
    bool aired = false;
    for (size_t i = 0; i < assessment->measure_count; i++)
        aired = aired || assessment->measures[i].aired;
    if (isnan(low) || aired)
        return out;
    snprintf(out.text, sizeof out.text, low < high ? "%.*f to %.*f" : "%.*f",
             decimals, low, decimals, high);
    return out;
}

cli_figure report_ph_aired(const sw_assessment *assessment, int decimals)
{
    return report_ph_is_open(assessment)
               ? (cli_figure){"not known"}
               : figure_fixed(assessment->aired.ph, decimals);
}

cli_range report_ph_range(const cli_report *report)
{
    const sw_undeclared *u = &report->assessment->undeclared;
    return report_ph_is_open(report->assessment)
               ? (cli_range){u->ph_low, u->ph_high}
               : (cli_range){report->spread->ph.p5, report->spread->ph.p95};
}

cli_range report_ph_aired_range(const cli_report *report)
{
    const sw_spread *ph = &report->spread->ph_aired;
    return (cli_range){ph->p5, ph->p95};
}

/* Ends are printed to so many decimals; what is not measured is in range. */
static bool in_range(double value, double low, double high, int decimals)
{
    double half = 0.5 * pow(10.0, -decimals);
    return isnan(value) || (value >= low - half && value <= high + half);
}

bool report_is_within(const cli_report *report, const sw_uncertainty *spread)
{
    cli_report with = *report;
    with.spread = spread;
    sw_readings readings = report_readings(report);
    cli_range ec = report_ec_range(&with), fresh = report_ph_range(&with),
              aired = report_ph_aired_range(&with);
    if (report_ph_is_open(report->assessment))
        aired = fresh; /* not known */
    return in_range(readings.ec_ms_per_cm, ec.low, ec.high, FIGURE_EC) &&
           in_range(readings.ph, fmin(fresh.low, aired.low),
                    fmax(fresh.high, aired.high), FIGURE_PH);
}

double report_as_caco3(double meq_per_l)
{
    return meq_per_l * mg_caco3_per_meq;
}

bool report_meter(const cli_report *report, cli_meter *meter)
{
    double bare = (double)NAN;
    double meter_c = report->settings->meter_c;
    const sw_assessment *assessment = report->assessment;
    if (!assessment || isnan(meter_c))
        return false;
    /* The same solution was brought to equilibrium before: NaN says that it
     * could not be here. */
    (void)sw_ec_at(&assessment->finished, &report->settings->conditions,
                   meter_c, &bare, NULL);
    *meter = (cli_meter){bare, assessment->mixed.ec_ms_per_cm / bare,
                         sw_ec_by_two_percent(bare, meter_c)};
    return true;
}

/* As far off as the library takes a pH meter to be. */
static const double most_ph_error = 2.0;

sw_readings report_readings(const cli_report *report)
{
    cli_meter meter;
    sw_readings readings = report->settings->readings;
    const sw_undeclared *open = &report->assessment->undeclared;
    if (report_meter(report, &meter))
        readings.ec_ms_per_cm *= meter.to_25;
    if (report_ph_is_open(report->assessment))
        readings.ph_error =
            fmin(most_ph_error,
                 fmax(readings.ph_error, 0.5 * (open->ph_high - open->ph_low)));
    return readings;
}

/* Less of a water is none. */
static const double least_share = 5e-4;

bool report_pours(const cli_report *report, size_t index)
{
    return report_share(report, index) >= least_share;
}

/* What the waters before `end` make of all that is poured, in percent. */
static double percent_before(const cli_report *report, size_t end)
{
    double before = 0.0, all = 0.0;
    for (size_t i = 0; i < report->inputs->waters.count; i++) {
        double share = report_pours(report, i) ? report_share(report, i) : 0.0;
        before += i < end ? share : 0.0;
        all += share;
    }
    return all > 0.0 ? 100.0 * before / all : (double)NAN;
}

/* Whether percents of so many decimals tell each share as it is. */
static bool are_told(const cli_report *report, int decimals)
{
    double scale = 100.0 * pow(10.0, decimals);
    for (size_t i = 0; i < report->inputs->waters.count; i++) {
        double told = scale * report_share(report, i);
        if (report_pours(report, i) && fabs(told - round(told)) > 1e-6)
            return false;
    }
    return true;
}

/* Two figures of the least. */
static int share_decimals(const cli_report *report)
{
    double least = 1.0;
    int decimals = 0;
    for (size_t i = 0; i < report->inputs->waters.count; i++)
        if (report_pours(report, i))
            least = fmin(least, report_share(report, i));
    int most = least >= 0.1 ? 0 : least >= 0.01 ? 1 : 2;
    while (decimals < most && !are_told(report, decimals))
        decimals++;
    return decimals;
}

cli_figure report_share_words(const cli_report *report, size_t index)
{
    int decimals = share_decimals(report);
    double scale = pow(10.0, decimals);
    double sum = round(scale * percent_before(report, index + 1));
    double before = round(scale * percent_before(report, index));
    return figure_amount(figure_fixed((sum - before) / scale, decimals), "%");
}

/* The next note of the list that the walk is at, or NULL and on to the next. */
static const sw_note *next_of(const sw_notes *notes, cli_note_walk *walk)
{
    if (notes && walk->at < notes->count)
        return &notes->items[walk->at++];
    *walk = (cli_note_walk){.list = walk->list + 1};
    return NULL;
}

/* The lists behind those of the waters. */
enum { OTHER_LISTS = 7 };

static const sw_notes *other_list(const cli_report *report, size_t index)
{
    const sw_notes *const lists[OTHER_LISTS] = {
        report->diagnosis ? &report->diagnosis->notes : NULL,
        &report->inputs->assumptions,
        report->solution ? &report->solution->notes : NULL,
        report->weighed ? &report->weighed->notes : NULL,
        report->assessment ? &report->assessment->notes : NULL,
        report->stock ? &report->stock->notes : NULL,
        &report->cautions};
    return lists[index];
}

const sw_note *report_next_note(const cli_report *report, cli_note_walk *walk)
{
    const cli_sources *waters = &report->inputs->waters;
    const sw_note *note = NULL;
    while (!note && walk->list < waters->count + OTHER_LISTS) {
        size_t i = walk->list;
        if (i >= waters->count)
            note = next_of(other_list(report, i - waters->count), walk);
        else if (report_pours(report, i) || isnan(report_share(report, i)))
            note = next_of(&waters->items[i].doubts, walk);
        else
            note = next_of(NULL, walk);
    }
    return note;
}

const sw_note *report_next_severe(const cli_report *report,
                                  sw_severity severity, cli_note_walk *walk)
{
    const sw_note *note;
    while ((note = report_next_note(report, walk)))
        if (note->severity == severity && !(note->about & SW_ABOUT_CAUTION))
            break;
    return note;
}

size_t report_count_severity(const cli_report *report, sw_severity severity)
{
    size_t count = 0;
    cli_note_walk walk = {0};
    while (report_next_severe(report, severity, &walk))
        count++;
    return count;
}

bool report_is_dangerous(const cli_report *report)
{
    return report_count_severity(report, SW_DANGER) > 0;
}

/* Whatever its notes are about. */
static unsigned about_of(const cli_report *report)
{
    unsigned about = 0;
    const sw_note *note;
    cli_note_walk walk = {0};
    while ((note = report_next_note(report, &walk)))
        about |= note->about;
    return about;
}

bool report_is_doubted(const cli_report *report)
{
    return about_of(report) & SW_ABOUT_DOUBT;
}

bool report_gives_gas(const cli_report *report)
{
    return about_of(report) & SW_ABOUT_GAS;
}

bool report_is_undetermined(const cli_report *report)
{
    return report->solution && report->solution->outcome == SW_UNDETERMINED;
}

const sw_note *report_next_input_note(const cli_report *report,
                                      cli_note_walk *walk)
{
    const cli_inputs *inputs = report->inputs;
    const sw_notes *const files[] = {&inputs->target->notes,
                                     &inputs->shelf->notes};
    size_t waters = inputs->waters.count;
    const sw_note *note = NULL;
    while (!note && walk->list < waters + 2) {
        size_t i = walk->list;
        if (i >= waters)
            note = next_of(files[i - waters], walk);
        else if (!inputs->fractions || inputs->fractions[i] > 0.0 ||
                 report->renewal)
            note = next_of(&inputs->waters.items[i].notes, walk);
        else
            note = next_of(NULL, walk);
    }
    return note;
}

/* Less of a tank is none drained. */
static const double rounding = 1e-9;

cli_turnover report_turnover(const cli_report *report)
{
    double volume_l = report->settings->volume_l;
    double kept_l = report->renewal->kept * volume_l;
    double drained_l = report->holds_l - kept_l;
    if (drained_l < rounding * report->holds_l)
        drained_l = 0.0;
    return (cli_turnover){drained_l, kept_l, volume_l - kept_l};
}

static bool in_conflict(const cli_report *report)
{
    return report->stock && report->stock->outcome == SW_CONFLICT;
}

bool report_lacks_tanks(const cli_report *report)
{
    return report->solution && in_conflict(report);
}

bool report_spoils(const cli_report *report)
{
    return !report->solution && in_conflict(report);
}

bool report_readings_are_off(const cli_report *report)
{
    const sw_diagnosis *found = report->diagnosis;
    return found && found->mistake_count && !found->as_meant && !report->within;
}

/* It was read to a hundredth. */
static const double read_half = 0.005;

bool report_read_ph_is_off(const cli_report *report, double *limit)
{
    const sw_assessment *a = report->assessment;
    double ph = report->diagnosis ? report->settings->readings.ph : (double)NAN;
    for (size_t i = 0; a && i < a->measure_count; i++) {
        const sw_row *row = &a->measures[i];
        if (row->kind != SW_TARGET_PH || row->aired)
            continue;
        *limit = ph > row->high ? row->high : row->low;
        if (ph > row->high + read_half || ph < row->low - read_half)
            return true;
    }
    return false;
}

const double report_least_belief = 0.5;

bool report_readings_are_doubted(const cli_report *report)
{
    const sw_diagnosis *found = report->diagnosis;
    return found && found->or_else && found->in_order < report_least_belief;
}

bool report_readings_harm(const cli_report *report)
{
    const sw_diagnosis *found = report->diagnosis;
    for (size_t i = 0; found && i < found->notes.count; i++)
        if (found->notes.items[i].severity == SW_DANGER)
            return true;
    return false;
}

exit_code report_exit_code(const cli_report *report)
{
    bool solved = !report->solution || report->solution->outcome == SW_OPTIMAL;
    bool met = report->assessment && report->assessment->all_met;
    bool dissolved = !report->stock || report->stock->outcome == SW_OPTIMAL;
    bool weighed = !report->weighed || report->weighed->outcome == SW_OPTIMAL;
    double limit;
    bool told = !report->diagnosis || !report->diagnosis->or_else;
    bool known = report->assessment &&
                 sw_alkalinity_is_known(&report->assessment->finished);
    return solved && met && known && dissolved && weighed && told &&
                   !report_readings_are_off(report) &&
                   !report_read_ph_is_off(report, &limit) &&
                   !report_is_dangerous(report) && !report_is_doubted(report) &&
                   !report_gives_gas(report)
               ? EXIT_DONE
               : EXIT_UNMET;
}
