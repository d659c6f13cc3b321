/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The head of the page: first what came of it, then what was asked.
 */
#include "text/parts.h"

#include <math.h>
#include <string.h>

#include "text/figure.h"
#include "stop.h"
#include "words.h"

static void put_unmet(const cli_page *page, const cli_report *report)
{
    char list[1024];
    for (size_t i = 0; i < WORDS_UNMET_KINDS; i++)
        if (words_of_verdict(report, words_unmet_kinds[i].verdict, list,
                             sizeof list))
            page_paragraph(page, 2, 9, "%-5s  %s", words_unmet_kinds[i].word,
                           list);
}

/* What the proof allows to say where not every target is met. */
static const char *claim_of(const cli_report *report)
{
    const sw_solution *solution = report->solution;
    if (solution->outcome != SW_OPTIMAL || report_cut_short(report) ||
        solution->objective == SW_CHEAPEST)
        return "";
    if (report_in_steps(report) && report->weighed->equal)
        return report->weighed->of_steps
                   ? "; as good as the closest whole steps"
                   : "; as good as the closest this shelf can come";
    if (solution->fewer.closest.count && !report_in_steps(report))
        return "; as good as the closest this shelf can come";
    return report_in_steps(report)
               ? "; no whole steps of these products come closer as a whole"
               : "; no recipe within the limits of the proof comes closer as a "
                 "whole";
}

static void put_result(const cli_page *page, const cli_report *report)
{
    char drift[160];
    size_t met;
    size_t all;
    bool solved = report->solution != NULL;
    bool spoilt = report_spoils(report);
    sw_count_met(report->assessment, &met, &all);
    if (report_cut_short(report))
        page_paragraph(page, 2, 2,
                       "The search was cut short: a better recipe may exist.");
    if (spoilt)
        page_paragraph(page, 2, 2,
                       "These tanks must not be used. %s What comes out does "
                       "not reach the crop: the figures below count it as "
                       "dissolved.",
                       report->stock->limit);
    if (met == all)
        page_paragraph(page, 2, 2, "%s %zu %s met.",
                       spoilt     ? "Counted so:"
                       : all == 1 ? "The"
                                  : "All",
                       all, all == 1 ? "target is" : "targets are");
    else
        page_paragraph(page, 2, 2, "%s%zu of %zu targets are met%s.",
                       spoilt ? "Counted so: " : "", met, all,
                       solved ? claim_of(report)
                              : " by this recipe in this water");
    put_unmet(page, report);
    if (words_best_is_nothing(report))
        page_paragraph(page, 2, 2, "%s", words_best_is_nothing(report));
    words_drift(report, drift, sizeof drift);
    if (drift[0])
        page_paragraph(page, 2, 2, "%s", drift);
    if (report->assessment->undeclared.text[0])
        page_paragraph(page, 2, 2, "%s", report->assessment->undeclared.text);
    if (report_lacks_tanks(report))
        page_paragraph(page, 2, 2,
                       "But no stock of this strength can be made: see below.");
}

void part_water_name(const cli_page *page, const char *term, const char *share,
                     const sw_water *water)
{
    if (strcmp(water->sample, water->file) == 0)
        page_entry(page, 6, term, "%s%s", share, water->file);
    else
        page_entry(page, 6, term, "%s%s (%s)", share, water->sample,
                   water->file);
}

static void put_waters(const cli_page *page, const cli_report *report)
{
    const cli_inputs *inputs = report->inputs;
    for (size_t i = 0; i < inputs->waters.count; i++) {
        double share = report_share(report, i);
        char percent[32] = "";
        if (inputs->waters.count > 1 && !isnan(share))
            snprintf(percent, sizeof percent, "%.20s ",
                     figure_percent(share).text);
        part_water_name(page, i ? "" : "water", percent,
                        inputs->waters.items[i].water);
    }
}

static void put_reason(void *context, const sw_note *note)
{
    page_paragraph(context, 2, 4, "- Danger: %s", note->text);
}

static void put_change(void *context, const char *change)
{
    page_paragraph(context, 2, 4, "- %s", change);
}

void part_stop(const cli_page *page, const char *words)
{
    page_word(page, TONE_BAD, "STOP. Danger: ");
    page_word(page, TONE_BAD, words);
    fputc('\n', page->out);
}

static void put_stop(const cli_page *page, const cli_report *report)
{
    cli_page own = *page;
    if (!stop_is_asked(report))
        return;
    part_stop(page, stop_words);
    stop_visit_reasons(report, put_reason, &own);
    page_title(page, "What to change");
    stop_visit_changes(report, put_change, &own);
    fputc('\n', page->out);
}

void part_opening(const cli_page *page, const cli_report *report)
{
    const cli_settings *settings = report->settings;
    const cli_inputs *inputs = report->inputs;
    put_stop(page, report);
    page_word(page, TONE_TITLE, report->assessment ? "Result" : "No recipe");
    fputc('\n', page->out);
    part_meter_danger(page, report);
    if (report->assessment)
        put_result(page, report);
    else
        page_paragraph(page, 2, 2, "%s",
                       report->solution->outcome == SW_CONFLICT
                           ? "In this water and with this shelf not every "
                             "limit can be kept."
                           : "The search was cut short before it had one; the "
                             "notes say why.");
    fputc('\n', page->out);
    put_waters(page, report);
    page_entry(page, 6, "target", "%s", inputs->target->name);
    if (inputs->stage)
        page_entry(page, 6, "stage", "%s", inputs->stage);
    char strength[128];
    words_strength(inputs, strength, sizeof strength);
    if (strength[0])
        page_entry(page, 6, "to EC", "%s", strength);
    if (report->solution)
        page_entry(page, 6, "aim", "%s",
                   words_aim(report->solution->objective));
    if (inputs->shelf->name)
        page_entry(page, 6, "shelf", "%s", inputs->shelf->name);
    page_entry(
        page, 6, "volume", "%s of finished solution",
        figure_volume_both(settings->volume_l, settings->volume_system).text);
}
