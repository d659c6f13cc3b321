/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The head of the sheet: what it makes, for whom, from what, and how well. */
#include "sheet/parts.h"

#include <math.h>
#include <string.h>

#include "sheet/escape.h"
#include "stop.h"
#include "tanks.h"
#include "words.h"

static void put_lead(const cli_sheet *sheet)
{
    const cli_report *report = sheet->report;
    fputs("<p class=\"lead\">", sheet->out);
    if (report->stock && tanks_differ(report->setup, report->stock))
        fprintf(sheet->out,
                "Stock tanks, each with its own fill and injector: enough for "
                "%s of feed.",
                sheet_volume(sheet, report->stock->feed_l).text);
    else if (report->stock)
        fprintf(sheet->out,
                "Stock tanks of %s, diluted 1 to %s: enough for %s of feed.",
                sheet_volume(sheet, report->setup->volume_l).text,
                figure_given(report->setup->factor).text,
                sheet_volume(sheet, report->stock->feed_l).text);
    else
        fprintf(sheet->out, "A reservoir of %s of finished solution.",
                sheet_volume(sheet, report->settings->volume_l).text);
    fputs("</p>\n", sheet->out);
}

static void put_water(const cli_sheet *sheet, size_t index)
{
    const sw_water *water = sheet->report->inputs->waters.items[index].water;
    double share = report_share(sheet->report, index);
    if (sheet->report->inputs->waters.count > 1)
        fprintf(sheet->out, "%s ", figure_percent(share).text);
    escape_name(sheet->out, water->sample);
    if (strcmp(water->sample, water->file) != 0) {
        fputs(" <small>", sheet->out);
        escape_name(sheet->out, water->file);
        fputs("</small>", sheet->out);
    }
}

static void put_waters(const cli_sheet *sheet)
{
    fputs("<dt>Water</dt><dd>", sheet->out);
    for (size_t i = 0; i < sheet->report->inputs->waters.count; i++) {
        fputs(i ? "<br>" : "", sheet->out);
        put_water(sheet, i);
    }
    fputs("</dd>\n", sheet->out);
}

static void put_facts(const cli_sheet *sheet)
{
    const cli_inputs *inputs = sheet->report->inputs;
    fputs("<dl class=\"facts\">\n", sheet->out);
    if (sheet->report->settings->audience)
        sheet_fact(sheet->out, "For", sheet->report->settings->audience);
    put_waters(sheet);
    sheet_fact(sheet->out, "Target", inputs->target->name);
    if (inputs->stage)
        sheet_fact(sheet->out, "Stage", inputs->stage);
    char strength[128];
    words_strength(inputs, strength, sizeof strength);
    if (strength[0])
        sheet_fact(sheet->out, "To EC", strength);
    if (inputs->shelf->name)
        sheet_fact(sheet->out, "Shelf", inputs->shelf->name);
    fputs("</dl>\n", sheet->out);
}

/* Danger in what was measured of this mix, before the result. */
static void put_measured_danger(const cli_sheet *sheet)
{
    const sw_diagnosis *d = sheet->report->diagnosis;
    for (size_t i = 0; d && i < d->notes.count; i++) {
        if (d->notes.items[i].severity != SW_DANGER)
            continue;
        fputs("<p class=\"result unmet\"><strong>Danger: </strong>",
              sheet->out);
        escape_text(sheet->out, d->notes.items[i].text);
        fputs("</p>\n", sheet->out);
    }
}

/* The result in a sentence, with what is not met by name. */
static void put_result(const cli_sheet *sheet)
{
    const cli_report *report = sheet->report;
    char words[2200];
    size_t met;
    size_t all;
    sw_count_met(report->assessment, &met, &all);
    words_unmet(report, words, sizeof words);
    fprintf(sheet->out, "<p class=\"result%s\">",
            met == all && !report_is_dangerous(report) ? "" : " unmet");
    if (report_cut_short(report))
        fputs("The search was cut short: a better recipe may exist. ",
              sheet->out);
    fprintf(sheet->out, "<strong>%zu of %zu targets are met.</strong> ", met,
            all);
    if (words[0]) {
        escape_name(sheet->out, words);
        fputs(". ", sheet->out);
    }
    if (words_best_is_nothing(report)) {
        escape_name(sheet->out, words_best_is_nothing(report));
        fputs(" ", sheet->out);
    }
    words_drift(report, words, sizeof words);
    escape_text(sheet->out, words);
    if (report->assessment->undeclared.text[0]) {
        fputs(" <strong>", sheet->out);
        escape_name(sheet->out, report->assessment->undeclared.text);
        fputs("</strong>", sheet->out);
    }
    fputs("</p>\n", sheet->out);
}

void sheet_opening(const cli_sheet *sheet)
{
    bool stops = stop_is_asked(sheet->report);
    fputs(stops ? "<header>\n<h1>Not a mixing sheet</h1>\n"
                : "<section>\n<h2>Result</h2>\n",
          sheet->out);
    if (stops)
        sheet_stop(sheet->out, sheet->report);
    else
        put_lead(sheet);
    put_facts(sheet);
    put_measured_danger(sheet);
    put_result(sheet);
    fputs(stops ? "</header>\n" : "</section>\n", sheet->out);
}
