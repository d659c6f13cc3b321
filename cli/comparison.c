/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What is said of several runs side by side, so that text, CSV, JSON and the
 * sheet say the same: which rows differ, and the figures in them.
 */
#include "comparison.h"

#include "stop.h"

#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"

/* Amounts and contents within a tenth of the largest are alike. */
static const double alike = 0.1;

/* A share that shows as nothing. */
static const double least_share = 0.005;
/* What a solve leaves open of a share, in percent. */
static const double share_noise = 1e-6;

static const sw_assessment *assessment_of(const cli_comparison *comparison,
                                          size_t column)
{
    return comparison->reports[column]->assessment;
}

/* Whether what lies between two values is worth telling. */
static bool spread(double low, double high)
{
    return high - low > alike * high;
}

static bool product_differs(const cli_comparison *comparison, size_t product)
{
    double low = INFINITY;
    double high = 0.0;
    for (size_t i = 0; i < comparison->count; i++) {
        const cli_report *report = comparison->reports[i];
        if (!report->recipe)
            continue;
        low = fmin(low, report->recipe->g_per_l[product]);
        high = fmax(high, report->recipe->g_per_l[product]);
    }
    return spread(low, high);
}

static bool is_used(const cli_comparison *comparison, size_t product)
{
    for (size_t i = 0; i < comparison->count; i++)
        if (comparison->reports[i]->recipe &&
            report_uses(comparison->reports[i], product))
            return true;
    return false;
}

/* What is missed somewhere differs, whatever its size. */
static bool row_differs(const cli_comparison *comparison, size_t row)
{
    double low = INFINITY;
    double high = 0.0;
    bool missed = false;
    for (size_t i = 0; i < comparison->count; i++) {
        const cli_report *report = comparison->reports[i];
        if (!report->assessment)
            continue;
        const sw_component_row *found = report_row(report, row);
        low = fmin(low, found->finished_mg_per_l);
        high = fmax(high, found->finished_mg_per_l);
        missed =
            missed || found->verdict == SW_SHORT || found->verdict == SW_OVER;
    }
    return missed || spread(low, high);
}

static bool is_shown(const cli_comparison *comparison, size_t row)
{
    for (size_t i = 0; i < comparison->count; i++)
        if (assessment_of(comparison, i) &&
            report_shows(report_row(comparison->reports[i], row)))
            return true;
    return false;
}

typedef bool cli_test(const cli_comparison *comparison, size_t index);

/* Those of 0 to `all` that are `kept`, the differing ones first. */
static cli_order sort(const cli_comparison *comparison, size_t all,
                      cli_test *kept, cli_test *differs)
{
    cli_order order = {memory_array(all, sizeof *order.items), 0, 0};
    for (int pass = 0; pass < 2; pass++) {
        for (size_t i = 0; i < all; i++)
            if (kept(comparison, i) && differs(comparison, i) == (pass == 0))
                order.items[order.count++] = i;
        if (pass == 0)
            order.differing = order.count;
    }
    return order;
}

cli_order comparison_products(const cli_comparison *comparison)
{
    return sort(comparison, comparison->shared->shelf->count, is_used,
                product_differs);
}

cli_order comparison_components(const cli_comparison *comparison)
{
    return sort(comparison, SW_COMPONENT_COUNT, is_shown, row_differs);
}

void comparison_order_free(cli_order *order)
{
    free(order->items);
    *order = (cli_order){0};
}

cli_figure comparison_amount(const cli_comparison *comparison, size_t column,
                             size_t product)
{
    const cli_report *report = comparison->reports[column];
    if (!report->recipe || !report_uses(report, product))
        return (cli_figure){"-"};
    if (stop_is_asked(report))
        return (cli_figure){"STOP"};
    cli_portion portion = report_portion(report, product);
    cli_way way = {.us = report->settings->amounts == AMOUNTS_US};
    return printed_amount(report, product, portion.g, way);
}

cli_figure comparison_volume(const cli_comparison *comparison)
{
    const cli_settings *settings = comparison->settings;
    return settings->volume_system == SW_US
               ? figure_volume_both(settings->volume_l, SW_US)
               : figure_volume(settings->volume_l, SW_METRIC);
}

static cli_figure judged(double value, int decimals, sw_verdict verdict)
{
    cli_figure out;
    bool said = verdict == SW_SHORT || verdict == SW_OVER;
    snprintf(out.text, sizeof out.text, "%.30s%s%s",
             figure_fixed(value, decimals).text, said ? " " : "",
             said ? sw_verdict_text(verdict) : "");
    return out;
}

cli_figure comparison_content(const cli_comparison *comparison, size_t column,
                              size_t row)
{
    const cli_report *report = comparison->reports[column];
    if (!report->assessment)
        return (cli_figure){"-"};
    const sw_component_row *found = report_row(report, row);
    return judged(found->finished_mg_per_l, report_row_decimals(found),
                  found->verdict);
}

/* The row of that name in a column; NULL where it has none. */
static const sw_measure_row *measure_named(const cli_comparison *comparison,
                                           size_t column, const char *name)
{
    const sw_assessment *assessment = assessment_of(comparison, column);
    for (size_t m = 0; assessment && m < assessment->measure_count; m++)
        if (strcmp(assessment->measures[m].name, name) == 0)
            return &assessment->measures[m];
    return NULL;
}

/* Whether no column before has a row of that name. */
static bool is_new(const cli_comparison *comparison, size_t column,
                   const char *name)
{
    for (size_t i = 0; i < column; i++)
        if (measure_named(comparison, i, name))
            return false;
    return true;
}

const char *comparison_measure_name(const cli_comparison *comparison,
                                    size_t measure)
{
    for (size_t i = 0; i < comparison->count; i++) {
        const sw_assessment *assessment = assessment_of(comparison, i);
        for (size_t m = 0; assessment && m < assessment->measure_count; m++) {
            const char *name = assessment->measures[m].name;
            if (is_new(comparison, i, name) && measure-- == 0)
                return name;
        }
    }
    return NULL;
}

cli_figure comparison_measure(const cli_comparison *comparison, size_t column,
                              size_t measure)
{
    const sw_measure_row *row = measure_named(
        comparison, column, comparison_measure_name(comparison, measure));
    if (!row)
        return (cli_figure){"-"};
    return judged(row->finished, report_measure_decimals(row), row->verdict);
}

/* The target, else the limits: what a cell beside a figure has room for. */
static cli_figure asked(double target, double low, double high, int decimals)
{
    return isnan(target) ? figure_band(low, high, decimals)
                         : figure_kept(target, decimals);
}

cli_figure comparison_asked(const cli_comparison *comparison, size_t row)
{
    for (size_t i = 0; i < comparison->count; i++) {
        if (!assessment_of(comparison, i))
            continue;
        const sw_component_row *found = report_row(comparison->reports[i], row);
        return asked(found->target_mg_per_l, found->low_mg_per_l,
                     found->high_mg_per_l, report_row_decimals(found));
    }
    return (cli_figure){"-"};
}

cli_figure comparison_asked_measure(const cli_comparison *comparison,
                                    size_t measure)
{
    const char *name = comparison_measure_name(comparison, measure);
    const sw_measure_row *row = NULL;
    for (size_t i = 0; i < comparison->count && !row; i++)
        row = measure_named(comparison, i, name);
    if (!row)
        return (cli_figure){"-"};
    bool has_band = !isnan(row->low) && !isnan(row->high);
    return asked(has_band ? (double)NAN : row->target, row->low, row->high,
                 report_measure_decimals(row));
}

const char *comparison_criterion(const cli_comparison *comparison,
                                 sw_criterion criterion)
{
    static const char *const names[SW_CRITERION_COUNT] = {
        [SW_BY_RECIPE] = "without a recipe",
        [SW_BY_MISSES] = "targets clearly missed",
        [SW_BY_HARM] = "safety limits exceeded",
        [SW_BY_DEPOSITS] = "precipitates expected",
        [SW_BY_DISTANCE] = "off the target, %",
        [SW_BY_DRIFT] = "pH outside range, aerated",
        [SW_BY_ACID] = "acid and base, meq/L"};
    if (criterion != SW_BY_COST)
        return names[criterion];
    return comparison->water_price ? "cost of 1000 L with the water"
                                   : "cost of 1000 L without water";
}

cli_figure comparison_value(const cli_comparison *comparison, size_t column,
                            sw_criterion criterion)
{
    static const int decimals[SW_CRITERION_COUNT] = {[SW_BY_DISTANCE] = 1,
                                                     [SW_BY_DRIFT] = 1,
                                                     [SW_BY_ACID] = 1,
                                                     [SW_BY_COST] =
                                                         FIGURE_COST};
    return figure_fixed(comparison->choice->rankings[column].value[criterion],
                        decimals[criterion]);
}

void comparison_margins(char *text, size_t size)
{
    snprintf(
        text, size,
        "No difference that matters: %.0f %% off the target (what a "
        "laboratory is off by), pH %.1f in the air, %.1f meq/L of acid and "
        "base, "
        "%.0f %% of cost; a pH within %.1f or an EC within %.0f %% of its "
        "range is not clearly missed (common practice, no source).",
        sw_criterion_margin(SW_BY_DISTANCE), sw_criterion_margin(SW_BY_DRIFT),
        sw_criterion_margin(SW_BY_ACID),
        100.0 * sw_criterion_margin(SW_BY_COST), SW_UNCLEAR_PH,
        100.0 * SW_UNCLEAR_EC);
}

const char *comparison_fact_name(cli_fact fact)
{
    static const char *const names[FACT_COUNT] = {
        [FACT_EC] = "EC, mS/cm at 25 °C",
        [FACT_EC_RANGE] = "EC, 90 % range",
        [FACT_PH_MIXED] = "pH as mixed",
        [FACT_PH_AIRED] = "pH after airing",
        [FACT_ALKALINITY] = "alkalinity, mg/L CaCO3",
        [FACT_OSMOTIC] = "osmotic pressure, kPa",
        [FACT_COST] = "cost of 1000 L without water"};
    return names[fact];
}

bool comparison_has_fact(const cli_comparison *comparison, cli_fact fact)
{
    return fact != FACT_COST || !comparison->choice;
}

static cli_figure ec_range(const sw_chemistry *mixed)
{
    cli_figure out;
    snprintf(out.text, sizeof out.text, "%.20s to %.20s",
             figure_fixed(mixed->ec_low_ms_per_cm, FIGURE_EC).text,
             figure_fixed(mixed->ec_high_ms_per_cm, FIGURE_EC).text);
    return out;
}

cli_figure comparison_fact(const cli_comparison *comparison, size_t column,
                           cli_fact fact)
{
    const sw_assessment *assessment = assessment_of(comparison, column);
    if (!assessment)
        return (cli_figure){"-"};
    const sw_chemistry *mixed = &assessment->mixed;
    switch (fact) {
    case FACT_EC:
        return figure_fixed(mixed->ec_ms_per_cm, FIGURE_EC);
    case FACT_EC_RANGE:
        return ec_range(mixed);
    case FACT_PH_MIXED:
        return figure_fixed(mixed->ph, FIGURE_PH);
    case FACT_PH_AIRED:
        return figure_fixed(assessment->aired.ph, FIGURE_PH);
    case FACT_COST:
        return figure_fixed(assessment->cost_per_m3, FIGURE_COST);
    case FACT_OSMOTIC:
        return figure_fixed(mixed->osmotic_pressure_kpa, FIGURE_WHOLE);
    default:
        return figure_fixed(report_as_caco3(mixed->alkalinity_meq_per_l),
                            FIGURE_WHOLE);
    }
}

/* Appends what fits. */
static void append(char *text, size_t size, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

static void append(char *text, size_t size, const char *format, ...)
{
    size_t used = strlen(text);
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text + used, size - used, format, arguments);
    va_end(arguments);
}

static bool may_come_out(const sw_chemistry *chemistry, int solid)
{
    const sw_saturation *row = &chemistry->saturation[solid];
    return !sw_seldom_forms((sw_solid)solid) && row->defined &&
           row->index > SW_SATURATION_MARGIN;
}

void comparison_deposits(const cli_comparison *comparison, size_t column,
                         char *text, size_t size)
{
    const sw_assessment *assessment = assessment_of(comparison, column);
    bool begun = false;
    text[0] = '\0';
    for (int i = 0; assessment && i < SW_SOLID_COUNT; i++)
        if (may_come_out(&assessment->mixed, i))
            append(text, size, "%s%s", text[0] ? ", " : "",
                   sw_solid_name((sw_solid)i));
    for (int i = 0; assessment && i < SW_SOLID_COUNT; i++) {
        if (!may_come_out(&assessment->aired, i) ||
            may_come_out(&assessment->mixed, i))
            continue;
        append(text, size, "%s%s",
               begun     ? ", "
               : text[0] ? "; after airing "
                         : "after airing ",
               sw_solid_name((sw_solid)i));
        begun = true;
    }
}

const char *comparison_mix_name(const cli_comparison *comparison)
{
    return comparison->settings->objective == SW_CHEAPEST ? "cheapest mix"
           : comparison->settings->objective == SW_EVEN   ? "even mix"
                                                          : "closest mix";
}

cli_figure comparison_share(const cli_comparison *comparison, size_t water)
{
    const cli_report *mix = comparison->reports[comparison->count - 1];
    return mix->solution->fractions
               ? figure_percent(mix->solution->fractions[water])
               : (cli_figure){"-"};
}

const char *comparison_alone(const cli_comparison *comparison)
{
    const cli_report *mix = comparison->reports[comparison->count - 1];
    for (size_t k = 0; mix->solution->fractions && k + 1 < comparison->count;
         k++)
        if (mix->solution->fractions[k] > 1.0 - least_share)
            return comparison->names[k];
    return NULL;
}

/* Percent of a share without promising more than there is. */
static cli_figure inward(double share, bool up)
{
    return figure_fixed(up ? ceil(100.0 * share - share_noise)
                           : floor(100.0 * share + share_noise),
                        0);
}

cli_figure comparison_range(const cli_comparison *comparison, size_t water)
{
    cli_figure out = {"-"};
    const sw_blend *blend = comparison->blend;
    double low = blend->lowest[water];
    double high = blend->highest[water];
    bool narrow = ceil(100.0 * low) > floor(100.0 * high);
    if (blend->range == SW_OPTIMAL)
        snprintf(out.text, sizeof out.text, "%.10s to %.10s %%",
                 narrow ? figure_fixed(100.0 * low, 2).text
                        : inward(low, true).text,
                 narrow ? figure_fixed(100.0 * high, 2).text
                        : inward(high, false).text);
    return out;
}

void comparison_say_needed(const cli_comparison *comparison, char *text,
                           size_t size)
{
    const sw_blend *blend = comparison->blend;
    text[0] = '\0';
    for (size_t k = 0; blend->range == SW_OPTIMAL && k < blend->water_count;
         k++)
        if (blend->lowest[k] > least_share)
            append(text, size, "%s%s %% of %.60s",
                   text[0] ? " and " : "at least ",
                   inward(blend->lowest[k], true).text, comparison->names[k]);
}

void comparison_say_shares(const cli_comparison *comparison, size_t column,
                           char *text, size_t size)
{
    const cli_report *report = comparison->reports[column];
    size_t count = report->inputs->waters.count;
    text[0] = '\0';
    for (size_t k = 0; count > 1 && k < count; k++)
        if (report_share(report, k) >= least_share)
            append(text, size, "%s%s %.60s", text[0] ? ", " : "",
                   figure_percent(report_share(report, k)).text,
                   report->inputs->waters.items[k].water->sample);
}

bool comparison_is_mix(const cli_comparison *comparison, size_t column)
{
    return comparison->blend && column + 1 == comparison->count;
}

cli_handled comparison_handled(const cli_comparison *comparison)
{
    cli_handled handled = {.count = 0};
    for (size_t i = 0; i < comparison->count; i++)
        cautions_add(&handled, comparison->reports[i]);
    return handled;
}

void comparison_say_dangerous(const cli_comparison *comparison, char *text,
                              size_t size)
{
    text[0] = '\0';
    for (size_t i = 0; i < comparison->count; i++)
        if (report_is_dangerous(comparison->reports[i]))
            append(text, size, "%s%.60s", text[0] ? ", " : "",
                   comparison->names[i]);
}

exit_code comparison_exit_code(const cli_comparison *comparison)
{
    const sw_choice *choice = comparison->choice;
    if (choice)
        return choice->usable
                   ? report_exit_code(comparison->reports[choice->chosen])
                   : EXIT_UNMET;
    for (size_t i = 0; i < comparison->count; i++)
        if (report_exit_code(comparison->reports[i]) != EXIT_DONE)
            return EXIT_UNMET;
    return EXIT_DONE;
}
