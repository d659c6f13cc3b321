/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whole steps of the scale: what they cost, and how near to the best. */
#include "text/parts.h"

#include <math.h>

#include "scale.h"
#include "text/figure.h"

/* Squared relative deviations below it are rounding. */
static const double exact = 1e-12;

void part_solution_remark(cli_table *table, const cli_report *report,
                          size_t product)
{
    char words[160], how[256];
    sw_mix mix = report_mix(report);
    if (sw_unsized_text(&mix, product, how, sizeof how))
        table_remark(table, how);
    if (!scale_has_solution(report, product))
        return;
    snprintf(words, sizeof words,
             "of a solution: dissolve %s in water to make %s",
             scale_solution(report, product).text,
             scale_solution_volume(report, product).text);
    table_remark(table, words);
}

/* "10 g", or "0.5 oz". */
static cli_figure step_words(double step_g, bool us)
{
    return us ? figure_amount(figure_short(step_g / figure_g_per_oz), "oz")
              : figure_amount(figure_short(step_g), "g");
}

static void put_scale(const cli_page *page, const cli_report *report)
{
    const sw_scale *scale = &report->settings->scale;
    bool us = report->settings->steps_are_us;
    page_paragraph(
        page, 2, 2,
        "Weighed to %s, trace elements to %s; liquids to three "
        "figures%s.",
        step_words(scale->step_g, us).text,
        step_words(scale->micro_step_g, report->settings->fine_steps_are_us)
            .text,
        scale->whole_packs ? ", whole packs where known" : "");
}

static void put_moved(const cli_page *page, const cli_report *report)
{
    double without, with;
    sw_component most = scale_most_moved(report, &without, &with);
    if (most == SW_COMPONENT_COUNT)
        return;
    double target = report->assessment->rows[most].target_mg_per_l;
    page_paragraph(page, 2, 2,
                   "Moved most: %s from %s to %s mg/L, %s %% of its target.",
                   sw_component_name(most), figure_plain(without).text,
                   figure_plain(with).text,
                   figure_signed(100.0 * (with - without) / target, 1).text);
}

void part_steps(const cli_page *page, const cli_report *report)
{
    double before = report->solution->certificate.objective;
    page_title(page, "Whole steps of the scale");
    put_scale(page, report);
    if (!report_in_steps(report)) {
        page_paragraph(page, 2, 2,
                       "None were found that keep all limits; the amounts "
                       "above are not in whole steps.");
        return;
    }
    page_paragraph(page, 2, 2,
                   "Sum of weighted squared relative deviations %.4g; before "
                   "whole steps %.4g. See the proof.",
                   report->weighed->certificate.objective,
                   before < exact ? 0.0 : before);
    put_moved(page, report);
    if (scale_has_solutions(report) && !report->stock)
        page_paragraph(page, 2, 2, "%s", scale_leftover_words);
}
