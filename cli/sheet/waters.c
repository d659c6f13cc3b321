/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The page on which a consultant says which water to use: the verdict, what it
 * rests on, the mix, and the recipes side by side.
 */
#include "sheet/waters.h"

#include <string.h>

#include "cautions.h"
#include "output.h"
#include "write/escape.h"
#include "sheet/name.h"
#include "sheet/parts.h"
#include "words.h"

/* More columns than that make a chart nobody reads. */
enum { MOST_CHARTED = 6 };

static void put_opening(FILE *out, const cli_comparison *comparison)
{
    const cli_settings *settings = comparison->settings;
    const sw_choice *choice = comparison->choice;
    fprintf(out, "<header>\n<h1>Which water</h1>\n<p class=\"result lead%s\">",
            choice->usable ? "" : " unmet");
    escape_name(out, choice->verdict);
    fputs("</p>\n<dl class=\"facts\">\n", out);
    if (settings->audience)
        sheet_fact(out, "For", settings->audience);
    sheet_fact(out, "Target", comparison->shared->target->name);
    sheet_fact(out, "Shelf", comparison->shared->shelf->name);
    sheet_fact(out, "Aim", words_aim(settings->objective));
    fputs("</dl>\n</header>\n<main>\n", out);
}

static void put_candidate(FILE *out, const cli_comparison *comparison,
                          size_t column)
{
    const sw_choice *choice = comparison->choice;
    const cli_report *report = comparison->reports[column];
    size_t met = 0;
    size_t all = 0;
    fprintf(out, "<li><i class=\"key\">%zu</i> <strong>", column + 1);
    escape_name(out, comparison->names[column]);
    fputs("</strong>: ", out);
    if (!report->assessment) {
        fputs("no recipe keeps the limits of target and shelf.</li>\n", out);
        return;
    }
    char unmet[512];
    sw_count_met(report->assessment, &met, &all);
    words_unmet(report, unmet, sizeof unmet);
    fprintf(out, "%zu of %zu targets met; ", met, all);
    escape_name(out, unmet);
    fputs(unmet[0] ? "; " : "", out);
    escape_text(out, column != choice->chosen ? choice->rankings[column].reason
                     : choice->usable
                         ? "use it"
                         : "do not use it as it stands; the least harmful");
    fputs(".", out);
    sheet_alarms(out, report, SW_DANGER);
    fputs("</li>\n", out);
}

static void put_reasons(FILE *out, const cli_comparison *comparison)
{
    fputs("<section>\n<h2>Why</h2>\n<ul>\n", out);
    for (size_t i = 0; i < comparison->count; i++)
        put_candidate(out, comparison, i);
    fputs("</ul>\n", out);
    if (comparison->count <= MOST_CHARTED) {
        fputs("<figure>\n", out);
        chart_decides(out, comparison);
        fprintf(out,
                "<figcaption>Criteria, the most important first; lower is "
                "better in all. Hatched: %s. What is nothing everywhere is "
                "left out.</figcaption>\n</figure>\n",
                comparison->choice->usable
                    ? "the water to use"
                    : "the least harmful, not to be used as it stands");
    }
    char margins[512];
    comparison_margins(margins, sizeof margins);
    fprintf(out, "<p>%s</p>\n", margins);
    sheet_side_facts(out, comparison);
    fputs("</section>\n", out);
}

static void put_range_words(FILE *out, const cli_comparison *comparison)
{
    char needed[512];
    const char *alone = comparison_alone(comparison);
    comparison_say_needed(comparison, needed, sizeof needed);
    if (needed[0]) {
        fputs("<p>Every target met takes ", out);
        escape_name(out, needed);
        fputs(".</p>\n", out);
    }
    if (alone) {
        fputs("<p>No mix does better than ", out);
        escape_name(out, alone);
        fputs(" alone.</p>\n", out);
    }
    if (comparison->blend->range == SW_CONFLICT)
        fputs("<p>No mix of these waters meets every target with this "
              "shelf.</p>\n",
              out);
    else if (comparison->blend->range == SW_LIMIT)
        fputs("<p>How far the shares may be moved could not be told: the "
              "search was cut short.</p>\n",
              out);
}

static void put_mix(FILE *out, const cli_comparison *comparison)
{
    fputs("<section>\n<h2>A mix of these waters</h2>\n<figure>\n", out);
    chart_shares(out, comparison);
    fputs(
        "<figcaption>Thick mark: the share in that mix. Box: the shares "
        "at which some recipe of this shelf, not always the closest one, still "
        "meets every target, if the others share the rest rightly; EC is "
        "judged, not counted "
        "in.</figcaption>\n</figure>\n",
        out);
    put_range_words(out, comparison);
    fprintf(
        out,
        "<table class=\"dense whole\">\n<caption>Shares</caption>\n<thead><tr>"
        "<td></td><th scope=\"col\" class=\"number\">%s</th>"
        "<th scope=\"col\" class=\"number\">Every target met</th></tr>"
        "</thead>\n<tbody>\n",
        comparison_mix_name(comparison));
    for (size_t k = 0; k < comparison->shared->waters.count; k++) {
        fputs("<tr><th scope=\"row\">", out);
        escape_name(out, comparison->names[k]);
        fprintf(out,
                "</th><td class=\"number\">%s</td><td class=\"number\">%s</td>"
                "</tr>\n",
                comparison_share(comparison, k).text,
                comparison_range(comparison, k).text);
    }
    fputs("</tbody>\n</table>\n</section>\n", out);
}

static void put_recipes(FILE *out, const cli_comparison *comparison)
{
    cli_handled handled = comparison_handled(comparison);
    fputs("<section>\n<h2>The recipes</h2>\n", out);
    sheet_gear(out, &handled);
    sheet_side_amounts(out, comparison);
    fputs("</section>\n<section>\n<h2>What the crop gets</h2>\n", out);
    if (comparison->count <= MOST_CHARTED) {
        fputs("<figure>\n", out);
        chart_off(out, comparison);
        fputs("<figcaption>", out);
        for (size_t i = 0; i < comparison->count; i++) {
            fprintf(out, "%s%zu ", i ? ", " : "", i + 1);
            escape_name(out, comparison->names[i]);
        }
        fputs(". Each bar runs from the target to what the water "
              "with that number gives. Dotted: the range in which a target "
              "counts as met. Components within 1 % of their target everywhere "
              "are left out.</figcaption>\n</figure>\n",
              out);
    }
    sheet_side_contents(out, comparison);
    for (size_t i = 0; i < comparison->count; i++) {
        char solids[256];
        comparison_deposits(comparison, i, solids, sizeof solids);
        if (!solids[0])
            continue;
        fputs("<p>May precipitate in ", out);
        escape_name(out, comparison->names[i]);
        fprintf(out, ": %s.</p>\n", solids);
    }
    fputs("</section>\n", out);
}

static void put_typical(FILE *out, const cli_comparison *comparison)
{
    for (size_t i = 0; i < comparison->shared->waters.count; i++) {
        const sw_water *water = comparison->shared->waters.items[i].water;
        const double *c = water->per_l.amount;
        if (strcmp(water->file, typical_water_file) == 0)
            fprintf(out,
                    "<li>Purified water is taken as reverse osmosis usually "
                    "gives it (common practice, no source): pH %.1f, Na %.2g, "
                    "Cl %.2g, Ca %.2g mg/L, alkalinity %.2g mg/L CaCO3.</li>\n",
                    water->ph, c[SW_NA], c[SW_CL], c[SW_CA],
                    report_as_caco3(c[SW_ALKALINITY]));
    }
}

static void put_granted(FILE *out, const cli_comparison *comparison)
{
    fputs("<section>\n<h2>Assumptions</h2>\n<ul>\n"
          "<li>Each water is still as the laboratory found it, and every "
          "product holds what its label or formula says.</li>\n"
          "<li>A target without limits counts as met within 10 % (common "
          "practice, no source); a pH within 0.5. EC and pH are "
          "estimates.</li>\n",
          out);
    if (!comparison->water_price)
        fputs("<li>The price of the water itself is not counted.</li>\n", out);
    put_typical(out, comparison);
    fputs("</ul>\n</section>\n", out);
}

static void put_page(FILE *out, const cli_comparison *comparison)
{
    cli_handled handled = comparison_handled(comparison);
    sheet_head(out, "Which water", comparison->shared->target->name);
    fputs("<body>\n", out);
    put_opening(out, comparison);
    put_reasons(out, comparison);
    if (comparison->blend)
        put_mix(out, comparison);
    put_recipes(out, comparison);
    sheet_caution_list(out, &handled);
    put_granted(out, comparison);
    sheet_foot(out);
}

exit_code sheet_write_comparison(const cli_comparison *comparison)
{
    const char *file = comparison->settings->sheet;
    cli_output output;
    output_open(&output);
    if (sheet_is_chart(file))
        chart_decides(output.stream, comparison);
    else
        put_page(output.stream, comparison);
    return output_deliver(&output, file);
}
