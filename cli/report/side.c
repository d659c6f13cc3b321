/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Several runs side by side, a column each: amounts, contents, estimates.
 * What differs between them stands first. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "report/blocks.h"
#include "run/cautions.h"
#include "sentences_text.h"

/* Amounts and contents within a tenth of the largest are alike. */
static const double alike = 0.1;
static const char alike_words[] = "under 10 % apart";

/* The lowest and the highest of some values, NaN left out. */
typedef struct extent {
    double low, high;
} extent;

static const extent no_extent = {INFINITY, 0.0};

static void widen(extent *e, double value)
{
    e->low = fmin(e->low, value);
    e->high = fmax(e->high, value);
}

static bool is_wide(const extent *e)
{
    return e->high - e->low > alike * e->high;
}

static bool is_used(const cli_several *several, size_t product)
{
    for (size_t i = 0; i < several->count; i++)
        if (several->reports[i]->recipe &&
            report_uses(several->reports[i], product))
            return true;
    return false;
}

static bool product_differs(const cli_several *several, size_t product)
{
    extent e = no_extent;
    for (size_t i = 0; i < several->count; i++)
        if (several->reports[i]->recipe)
            widen(&e, several->reports[i]->recipe->g_per_l[product]);
    return is_wide(&e);
}

static report_sentence amount_of(const cli_report *report, size_t product)
{
    if (!report->recipe || !report_uses(report, product))
        return report_words("-");
    if (stop_is_asked(report))
        return report_words("STOP");
    cli_portion portion = report_portion(report, product);
    cli_figure amount = printed_amount(report, product, portion.g,
                                       (cli_way){.us = report_is_us(report)});
    return report_as_sized(amount.text, portion.g,
                           report_most_g_per_l(report, product));
}

/* A row of a grid, and the block of its cells. */
static doc_block *begin_row(doc_block *grid, const char *key, const char *name,
                            bool differs)
{
    doc_record *row = doc_row(grid);
    doc_text(row, key, name);
    if (!differs)
        doc_text(row, "group", alike_words);
    return doc_add(row, "cells");
}

static doc_record *begin_cell(doc_block *cells, const cli_several *several,
                              size_t run)
{
    doc_record *cell = doc_row(cells);
    doc_text(cell, "run", several->names[run]);
    return cell;
}

static void put_amounts(doc_record *record, const cli_several *several)
{
    const cli_settings *settings = several->settings;
    const sw_shelf *shelf = several->shared->shelf;
    cli_handled handled = several_handled(several);
    report_sentence gear;
    doc_block *grid = doc_add(record, "amounts");
    cautions_gear(&handled, gear.text, sizeof gear.text);
    doc_title(grid, "Measure out for %s",
              settings->volume_system == SW_US
                  ? figure_volume_both(settings->volume_l, SW_US).text
                  : figure_volume(settings->volume_l, SW_METRIC).text);
    doc_before(grid, "%s", gear.text);
    for (int alike_now = 0; alike_now < 2; alike_now++)
        for (size_t j = 0; j < shelf->count; j++) {
            bool differs = product_differs(several, j);
            if (!is_used(several, j) || differs == alike_now)
                continue;
            doc_block *cells =
                begin_row(grid, "product", shelf->products[j].name, differs);
            for (size_t i = 0; i < several->count; i++)
                doc_text(begin_cell(cells, several, i), "amount",
                         amount_of(several->reports[i], j).text);
        }
}

/* ---- What the crop gets -------------------------------------------------*/

/* Row `index` of a run, as report_row; NULL where it has no recipe. */
static const sw_component_row *row_of(const cli_several *several, size_t run,
                                      size_t index)
{
    const cli_report *report = several->reports[run];
    return report->assessment ? report_row(report, index) : NULL;
}

static bool is_shown(const cli_several *several, size_t index)
{
    for (size_t i = 0; i < several->count; i++)
        if (row_of(several, i, index) &&
            report_shows(row_of(several, i, index)))
            return true;
    return false;
}

/* What is missed somewhere differs, whatever its size. */
static bool row_differs(const cli_several *several, size_t index)
{
    extent e = no_extent;
    for (size_t i = 0; i < several->count; i++) {
        const sw_component_row *row = row_of(several, i, index);
        if (row && sw_is_missed(row->verdict))
            return true;
        if (row)
            widen(&e, row->finished_mg_per_l);
    }
    return is_wide(&e);
}

/* The target, else the limits: what a cell beside a figure has room for. */
static void put_asked(doc_record *row, double target, double low, double high,
                      int decimals)
{
    bool limits = isnan(target);
    double any = !limits ? target : isnan(low) ? high : low;
    doc_number(row, "asked", any);
    doc_words(row, "asked",
              limits ? figure_band(low, high, decimals).text
                     : figure_kept(target, decimals).text);
}

/* "276 over"; met is left unsaid. */
static void put_judged(doc_record *cell, double value, int decimals,
                       sw_verdict verdict)
{
    bool missed = sw_is_missed(verdict);
    doc_number(cell, "finished", value);
    doc_reads(cell, "finished", "%s%s%s", figure_fixed(value, decimals).text,
              missed ? " " : "", missed ? sw_verdict_text(verdict) : "");
    doc_text(cell, "verdict", sw_verdict_text(verdict));
    doc_colour(cell, missed ? DOC_BAD : DOC_PLAIN);
}

static void put_content(doc_block *grid, const cli_several *several,
                        size_t index)
{
    doc_record *row = doc_row(grid);
    const char *name =
        sw_component_name((sw_component)(index == 0 ? SW_N : index - 1));
    bool asked = several->one_target;
    doc_text(row, "component", name);
    if (!row_differs(several, index))
        doc_text(row, "group", alike_words);
    doc_block *cells = doc_add(row, "cells");
    for (size_t i = 0; i < several->count; i++) {
        const sw_component_row *own = row_of(several, i, index);
        if (!own)
            continue;
        int decimals = report_row_decimals(own);
        doc_record *cell = begin_cell(cells, several, i);
        put_judged(cell, own->finished_mg_per_l, decimals, own->verdict);
        if (own->verdict == SW_MET && *own->reason &&
            (own->finished_mg_per_l > own->high_mg_per_l ||
             own->finished_mg_per_l < own->low_mg_per_l))
            doc_after(grid, "%s in %s is met: %s.", name, several->names[i],
                      own->reason);
        if (!asked)
            continue;
        put_asked(row, own->target_mg_per_l, own->low_mg_per_l,
                  own->high_mg_per_l, decimals);
        if (own->target_mg_per_l > 0.0)
            doc_number(row, "target", own->target_mg_per_l);
        DOC_NUMBERS(row, {"low", own->low_mg_per_l},
                    {"high", own->high_mg_per_l});
        asked = false;
    }
}

static void put_contents(doc_record *record, const cli_several *several)
{
    doc_block *grid = doc_add(record, "contents");
    for (int alike_now = 0; alike_now < 2; alike_now++)
        for (size_t r = 0; r < SW_COMPONENT_COUNT; r++)
            if (is_shown(several, r) && row_differs(several, r) != alike_now)
                put_content(grid, several, r);
}

/* The row of that name in a run; NULL where it has none. */
static const sw_row *measure_of(const cli_several *several, size_t run,
                                const char *name)
{
    const sw_assessment *assessment = several->reports[run]->assessment;
    for (size_t m = 0; assessment && m < assessment->measure_count; m++)
        if (strcmp(assessment->measures[m].name, name) == 0)
            return &assessment->measures[m];
    return NULL;
}

static bool is_before(const cli_several *several, size_t run, const char *name)
{
    for (size_t i = 0; i < run; i++)
        if (measure_of(several, i, name))
            return true;
    return false;
}

static void put_measure(doc_block *grid, const cli_several *several,
                        const sw_row *first)
{
    int decimals = report_measure_decimals(first);
    bool limits = !isnan(first->low) && !isnan(first->high);
    doc_record *row = doc_row(grid);
    doc_text(row, "measure", first->name);
    if (several->one_target)
        put_asked(row, limits ? (double)NAN : first->target, first->low,
                  first->high, decimals);
    doc_block *cells = doc_add(row, "cells");
    for (size_t i = 0; i < several->count; i++) {
        const sw_row *own = measure_of(several, i, first->name);
        if (!own)
            continue;
        doc_record *cell = begin_cell(cells, several, i);
        put_judged(cell, own->finished, decimals, own->verdict);
        if (own->kind == SW_TARGET_PH)
            report_put_open_ph(cell, "finished",
                               several->reports[i]->assessment, own->aired);
    }
}

static void put_measures(doc_record *record, const cli_several *several)
{
    doc_block *grid = doc_add(record, "side_measures");
    for (size_t i = 0; i < several->count; i++) {
        const sw_assessment *assessment = several->reports[i]->assessment;
        for (size_t m = 0; assessment && m < assessment->measure_count; m++)
            if (!is_before(several, i, assessment->measures[m].name))
                put_measure(grid, several, &assessment->measures[m]);
    }
}

/* ---- Estimates ----------------------------------------------------------*/

typedef cli_figure estimate_of(const sw_assessment *assessment);

static cli_figure ec(const sw_assessment *assessment)
{
    return figure_fixed(assessment->mixed.ec_ms_per_cm, FIGURE_EC);
}

static cli_figure ec_range(const sw_assessment *assessment)
{
    cli_figure out;
    snprintf(out.text, sizeof out.text, "%.20s to %.20s",
             figure_fixed(assessment->mixed.ec_low_ms_per_cm, FIGURE_EC).text,
             figure_fixed(assessment->mixed.ec_high_ms_per_cm, FIGURE_EC).text);
    return out;
}

static cli_figure ph_mixed(const sw_assessment *assessment)
{
    return report_ph(assessment, FIGURE_PH);
}

static cli_figure ph_aired(const sw_assessment *assessment)
{
    return report_ph_aired(assessment, FIGURE_PH);
}

static cli_figure alkalinity(const sw_assessment *assessment)
{
    return figure_fixed(report_as_caco3(assessment->mixed.alkalinity_meq_per_l),
                        FIGURE_WHOLE);
}

static cli_figure osmotic(const sw_assessment *assessment)
{
    return figure_fixed(assessment->mixed.osmotic_pressure_kpa, FIGURE_WHOLE);
}

static cli_figure cost(const sw_assessment *assessment)
{
    return figure_fixed(assessment->cost_per_m3, FIGURE_COST);
}

static bool may_come_out(const sw_chemistry *chemistry, int solid)
{
    const sw_saturation *row = &chemistry->saturation[solid];
    return !sw_seldom_forms((sw_solid)solid) && row->defined &&
           row->index > SW_SATURATION_MARGIN;
}

/* "gypsum; after airing calcite" */
static report_sentence deposits_of(const sw_assessment *assessment)
{
    report_sentence out = {""};
    bool begun = false;
    for (int pass = 0; assessment && pass < 2; pass++)
        for (int i = 0; i < SW_SOLID_COUNT; i++) {
            bool aired = !may_come_out(&assessment->mixed, i);
            if (aired != pass ||
                (aired && !may_come_out(&assessment->aired, i)))
                continue;
            text_join(out.text, sizeof out.text, pass && !begun ? "; " : ", ",
                      "%s%s", pass && !begun ? "after airing " : "",
                      sw_solid_name((sw_solid)i));
            begun = begun || pass;
        }
    return out;
}

static void put_estimates(doc_record *record, const cli_several *several)
{
    static const struct {
        const char *name;
        estimate_of *of;
    } estimates[] = {{"EC, mS/cm at 25 °C", ec},
                     {"EC, 90 % range", ec_range},
                     {"pH as mixed", ph_mixed},
                     {"pH after airing", ph_aired},
                     {"alkalinity, mg/L CaCO3", alkalinity},
                     {"osmotic pressure, kPa", osmotic},
                     {"cost of 1000 L without water", cost}};
    doc_block *grid = doc_add(record, "estimates");
    for (size_t e = 0; e < sizeof estimates / sizeof *estimates; e++) {
        if (estimates[e].of == cost && several->choice)
            continue; /* it is among what decides */
        doc_block *cells = begin_row(grid, "estimate", estimates[e].name, true);
        for (size_t i = 0; i < several->count; i++)
            if (several->reports[i]->assessment)
                doc_text(begin_cell(cells, several, i), "value",
                         estimates[e].of(several->reports[i]->assessment).text);
    }
    for (size_t i = 0; i < several->count; i++) {
        report_sentence deposits = deposits_of(several->reports[i]->assessment);
        if (deposits.text[0])
            doc_after(grid, "May precipitate in %s: %s.", several->names[i],
                      deposits.text);
    }
    doc_after(grid, SAY_EACH_IN_FULL,
              several->choice
                  ? "that water as --water; of a mix, with each of its waters"
                  : "that --stage");
}

void report_side_contents(doc_record *record, const cli_several *several)
{
    put_contents(record, several);
    put_measures(record, several);
}

static bool has_recipe(const cli_several *several)
{
    for (size_t i = 0; i < several->count; i++)
        if (several->reports[i]->recipe)
            return true;
    return false;
}

void report_side(doc_record *record, const cli_several *several)
{
    cli_handled handled = several_handled(several);
    if (!several->choice && !has_recipe(several))
        return;
    put_amounts(record, several);
    report_handling(record, &handled);
    report_side_contents(record, several);
    put_estimates(record, several);
}
