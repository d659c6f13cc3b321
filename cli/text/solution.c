/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The finished solution.  Nothing here is measured: every line says that it is
 * reckoned, and EC carries the interval it deserves.
 */
#include "text/parts.h"

#include <math.h>
#include <string.h>

#include "text/figure.h"
#include "text/table.h"

enum { TERM_COLUMNS = 14 };

static void put_meter(const cli_page *page, const cli_report *report)
{
    cli_meter meter;
    char term[32];
    if (!report_meter(report, &meter))
        return;
    snprintf(term, sizeof term, "  at %.4g °C", report->settings->meter_c);
    page_entry(page, TERM_COLUMNS, term,
               "%s mS/cm on a meter without compensation: times %s is the "
               "EC at 25 °C; %s on one that reckons 2 %% per °C",
               figure_fixed(meter.bare_ms_per_cm, FIGURE_EC).text,
               figure_fixed(meter.to_25, 2).text,
               figure_fixed(meter.two_percent_ms_per_cm, FIGURE_EC).text);
}

void part_solution(const cli_page *page, const cli_report *report)
{
    const sw_assessment *assessment = report->assessment;
    const sw_chemistry *mixed = &assessment->mixed;
    double alkalinity = mixed->alkalinity_meq_per_l;
    page_title(page, "The finished solution, estimated at %.4g °C",
               report->settings->conditions.temperature_c);
    page_entry(page, TERM_COLUMNS, "EC",
               "%s mS/cm at 25 °C; 9 times in 10 between %s and %s",
               figure_fixed(mixed->ec_ms_per_cm, FIGURE_EC).text,
               figure_fixed(mixed->ec_low_ms_per_cm, FIGURE_EC).text,
               figure_fixed(mixed->ec_high_ms_per_cm, FIGURE_EC).text);
    put_meter(page, report);
    page_entry(page, TERM_COLUMNS, "pH",
               "%s as mixed; %s once it has stood in the air",
               figure_fixed(mixed->ph, FIGURE_PH).text,
               figure_fixed(assessment->aired.ph, FIGURE_PH).text);
    page_entry(page, TERM_COLUMNS, "alkalinity", "%s meq/L = %s mg/L CaCO3",
               figure_fixed(alkalinity, FIGURE_CHARGE).text,
               figure_fixed(report_as_caco3(alkalinity), FIGURE_WHOLE).text);
    page_entry(page, TERM_COLUMNS, "osmotic", "pressure %s kPa",
               figure_fixed(mixed->osmotic_pressure_kpa, FIGURE_WHOLE).text);
    page_paragraph(page, 2, 2,
                   "These are estimates: measure EC and pH before the crop "
                   "gets it.");
}

static bool is_dissolved(sw_solid solid, const sw_saturation *row)
{
    return strcmp(report_saturation_verdict(solid, row), "dissolved") == 0;
}

static const char *saturation_words(sw_solid solid, const sw_saturation *row)
{
    if (sw_seldom_forms(solid))
        return "seldom forms";
    return row->index > SW_SATURATION_MARGIN ? "may precipitate"
                                             : "at the edge";
}

static void add_solid(cli_table *table, sw_solid solid,
                      const sw_saturation *row)
{
    cli_figure index = figure_signed(row->index, FIGURE_INDEX);
    cli_figure onset = figure_fixed(row->ph_onset, FIGURE_PH);
    const char *cells[] = {sw_solid_name(solid), sw_solid_formula(solid),
                           index.text, onset.text,
                           saturation_words(solid, row)};
    cli_table_row *added = table_add(table, cells);
    if (cells[4][0] == 'm')
        added->tone = TONE_BAD;
}

/* The solids that need no line of their own. */
static void put_dissolved(const cli_page *page, const sw_saturation *rows)
{
    char list[512] = "";
    size_t used = 0;
    for (int i = 0; i < SW_SOLID_COUNT; i++) {
        if (!rows[i].defined || !is_dissolved((sw_solid)i, &rows[i]) ||
            used >= sizeof list)
            continue;
        int n = snprintf(list + used, sizeof list - used, "%s%s",
                         used ? ", " : "", sw_solid_name((sw_solid)i));
        used += n > 0 ? (size_t)n : 0;
    }
    if (used)
        page_paragraph(page, 2, 4, "Stays dissolved: %s.", list);
}

void part_saturation(const cli_page *page, const cli_report *report)
{
    static const cli_table_column columns[] = {{"solid", "", false},
                                               {"", "", false},
                                               {"index", "log10", true},
                                               {"starts", "at pH", true},
                                               {"as mixed", "", false}};
    const sw_saturation *rows = report->assessment->mixed.saturation;
    cli_table table = table_new(columns, sizeof columns / sizeof columns[0]);
    for (int i = 0; i < SW_SOLID_COUNT; i++)
        if (rows[i].defined && !is_dissolved((sw_solid)i, &rows[i]))
            add_solid(&table, (sw_solid)i, &rows[i]);
    page_title(page, "What could precipitate");
    if (table.row_count)
        table_print(page, &table);
    table_free(&table);
    put_dissolved(page, rows);
}

/* How a source is known stands behind its last semicolon. */
static const char *mark_of(const char *source)
{
    const char *mark = strrchr(source, ';');
    return mark ? mark + 2 : "";
}

/* What all sources begin with, up to a comma, and how each is known. */
static void find_common_source(const sw_assessment *assessment, char *common,
                               size_t size)
{
    const sw_guideline_row *rows = assessment->guidelines;
    const char *mark = mark_of(rows[0].source);
    bool same_mark = true;
    snprintf(common, size, "%s", rows[0].source);
    for (size_t i = 1; i < assessment->guideline_count; i++) {
        size_t same = 0;
        while (common[same] && common[same] == rows[i].source[same])
            same++;
        common[same] = '\0';
        same_mark = same_mark && !strcmp(mark, mark_of(rows[i].source));
    }
    char *comma = strrchr(common, ',');
    if (assessment->guideline_count < 2 || !comma)
        return;
    *comma = '\0';
    size_t used = strlen(common);
    snprintf(common + used, size - used, "; %s",
             same_mark ? mark : "how each is known: --format json");
}

static void add_guideline(cli_table *table, const sw_guideline_row *row)
{
    cli_figure value = figure_plain(row->value);
    cli_figure caution = figure_short(row->caution);
    cli_figure severe = figure_short(row->severe);
    const char *cells[] = {row->name,
                           row->use,
                           value.text,
                           caution.text,
                           severe.text,
                           row->unit,
                           sw_fitness_text(row->fitness)};
    table_add(table, cells)->tone =
        row->fitness == SW_FIT ? TONE_GOOD : TONE_BAD;
}

void part_guidelines(const cli_page *page, const cli_report *report)
{
    static const cli_table_column columns[] = {
        {"", "", false},          {"on", "", false},
        {"finished", "", true},   {"care from", "", true},
        {"unfit from", "", true}, {"unit", "", false},
        {"verdict", "", false}};
    const sw_assessment *assessment = report->assessment;
    char source[sizeof assessment->guidelines->source];
    if (!assessment->guideline_count)
        return;
    cli_table table = table_new(columns, sizeof columns / sizeof columns[0]);
    page_title(page, "Sodium and chloride");
    for (size_t i = 0; i < assessment->guideline_count; i++)
        add_guideline(&table, &assessment->guidelines[i]);
    table_print(page, &table);
    table_free(&table);
    find_common_source(assessment, source, sizeof source);
    page_paragraph(page, 2, 2, "Limits: %s.", source);
}
