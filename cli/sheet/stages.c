/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The stages at a glance, then a page each to take to the tanks. */
#include "sheet/stages.h"

#include <stdlib.h>

#include "bridge.h"
#include "cautions.h"
#include "complain.h"
#include "output.h"
#include "report/blocks.h"
#include "write/escape.h"
#include "sheet/name.h"
#include "sheet/parts.h"
#include "sheet/sheet.h"
#include "sheet/waters.h"
#include "stop.h"
#include "words.h"

/* Says which stages are dangerous, and why each is, before any amount. */
static void put_dangers(FILE *out, const cli_comparison *comparison)
{
    char names[512];
    comparison_say_dangerous(comparison, names, sizeof names);
    if (!names[0])
        return;
    fputs("<div class=\"result unmet\"><strong>Danger: do not use as it "
          "stands: ",
          out);
    escape_name(out, names);
    fputs(".</strong>\n", out);
    for (size_t i = 0; i < comparison->count; i++) {
        if (!report_is_dangerous(comparison->reports[i]))
            continue;
        fputs("<br>", out);
        escape_name(out, comparison->names[i]);
        fputs(":\n", out);
        sheet_alarms(out, comparison->reports[i], SW_DANGER);
    }
    fputs("</div>\n", out);
}

static void put_opening(FILE *out, const cli_comparison *comparison)
{
    const cli_settings *settings = comparison->settings;
    const cli_sources *waters = &comparison->shared->waters;
    fputs("<header>\n<h1>Mixing sheet by stage</h1>\n<dl class=\"facts\">\n",
          out);
    if (settings->audience)
        sheet_fact(out, "For", settings->audience);
    for (size_t i = 0; i < waters->count; i++)
        sheet_fact(out, "Water", waters->items[i].water->sample);
    sheet_fact(out, "Target", comparison->shared->target->name);
    sheet_fact(out, "Shelf", comparison->shared->shelf->name);
    fputs("</dl>\n</header>\n<main>\n<section>\n<h2>At a glance</h2>\n", out);
    put_dangers(out, comparison);
    sheet_side_amounts(out, comparison);
    sheet_side_facts(out, comparison);
    sheet_side_contents(out, comparison);
    fputs("</section>\n", out);
}

/* "14 of 16 targets are met. Short: pH." */
static void put_result(FILE *out, const cli_comparison *comparison,
                       size_t column)
{
    const cli_report *report = comparison->reports[column];
    char words[512];
    char strength[128];
    char shares[256];
    size_t met;
    size_t all;
    sw_count_met(report->assessment, &met, &all);
    words_unmet(report, words, sizeof words);
    words_strength(report->inputs, strength, sizeof strength);
    fprintf(out,
            "<p class=\"result%s\"><strong>%zu of %zu targets are met.</strong>"
            " ",
            met == all && !report_is_dangerous(report) ? "" : " unmet", met,
            all);
    escape_name(out, words);
    fputs(words[0] ? ". " : "", out);
    escape_text(out, strength);
    fputs(strength[0] ? ". " : "", out);
    words_drift(report, words, sizeof words);
    escape_text(out, words);
    fputs(words[0] ? " " : "", out);
    escape_name(out, report->assessment->undeclared.text);
    fputs(report->assessment->undeclared.text[0] ? " " : "", out);
    comparison_say_shares(comparison, column, shares, sizeof shares);
    escape_name(out, shares);
    fputs(shares[0] ? ". " : "", out);
    fprintf(out,
            "The meters should show EC %s mS/cm, nine times in ten %s, and "
            "pH %s as mixed; these are estimates.</p>\n",
            comparison_fact(comparison, column, FACT_EC).text,
            comparison_fact(comparison, column, FACT_EC_RANGE).text,
            comparison_fact(comparison, column, FACT_PH_MIXED).text);
}

static exit_code put_stage(FILE *out, const cli_comparison *comparison,
                           size_t column)
{
    fputs("<section class=\"stage\">\n<h2>Stage: ", out);
    escape_name(out, comparison->names[column]);
    fputs("</h2>\n", out);
    if (stop_is_asked(comparison->reports[column])) {
        bridge_html(out, comparison->reports[column], report_stop);
        put_result(out, comparison, column);
        sheet_alarms(out, comparison->reports[column], SW_WARNING);
        fputs("</section>\n", out);
        return EXIT_DONE;
    }
    put_result(out, comparison, column);
    sheet_alarms(out, comparison->reports[column], SW_WARNING);
    fputs("</section>\n", out);
    return sheet_put_mixing(comparison->reports[column], out);
}

static exit_code put_page(FILE *out, const cli_comparison *comparison)
{
    cli_handled handled = comparison_handled(comparison);
    exit_code code = EXIT_DONE;
    sheet_head(out, "Mixing sheet by stage", comparison->shared->target->name);
    fputs("<body>\n", out);
    put_opening(out, comparison);
    for (size_t i = 0; i < comparison->count && code == EXIT_DONE; i++) {
        code = put_stage(out, comparison, i);
    }
    sheet_caution_list(out, &handled);
    sheet_foot(out);
    return code;
}

static const char *reason_of(const cli_comparison *comparison)
{
    if (sheet_is_chart(comparison->settings->sheet))
        return "a chart is of one stage: choose it with --stage";
    for (size_t i = 0; i < comparison->count; i++)
        if (!comparison->reports[i]->assessment)
            return "a stage has no recipe";
    return NULL;
}

exit_code sheet_write_stages(const cli_comparison *comparison)
{
    const char *file = comparison->settings->sheet;
    const char *reason = reason_of(comparison);
    cli_output output;
    if (reason) {
        complain_file(file, "no sheet is written: %s", reason);
        return EXIT_UNMET;
    }
    output_open(&output);
    exit_code code = put_page(output.stream, comparison);
    if (code == EXIT_DONE)
        return output_deliver(&output, file);
    output_drop(&output);
    return code;
}
