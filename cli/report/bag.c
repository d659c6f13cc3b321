/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A recipe for pure water beside what this water makes of it: --target-of. */
#include <math.h>

#include "io/figure.h"
#include "report/blocks.h"

/* Of what is off by less nothing is told; of Na and Cl, of less mg/L. */
static const double told_share = 0.1, told_mg_per_l = 10.0;

static void put_product(doc_block *block, const cli_report *report, size_t j)
{
    const sw_recipe *bag = report->inputs->bag;
    double given = j < bag->count ? bag->g_per_l[j] : 0.0;
    double now = report->recipe->g_per_l[j];
    if (!(given > 0.0) && now <= report_least_g_per_l())
        return;
    doc_record *row = doc_row(block);
    doc_text(row, "product", report->inputs->shelf->products[j].name);
    doc_shown(row, "given_g_per_l", given,
              figure_mass_metric(1000.0 * given).text);
    doc_shown(row, "now_g_per_l", now, figure_mass_metric(1000.0 * now).text);
    doc_number(row, "change_g_per_m3", 1000.0 * (now - given));
}

static void say_component(doc_block *block, const sw_component_row *row,
                          double given)
{
    double off = row->finished_mg_per_l - given;
    const char *name = sw_component_name(row->component);
    if (off > told_share * given && row->water_mg_per_l > 0.5 * off)
        doc_say(block, DOC_PLAIN,
                "%s stays %s mg/L above what the recipe gives: the water "
                "brings %s mg/L, and no product takes it out.",
                name, figure_short(off).text,
                figure_short(row->water_mg_per_l).text);
    else if (-off > told_share * given)
        doc_say(block, DOC_BAD,
                "%s falls %s mg/L short: it came with what gave way to the "
                "water, and nothing on the shelf makes up for it.%s",
                name, figure_short(-off).text,
                row->component == SW_N
                    ? " Where the water is alkaline, nitric acid does both: it "
                      "brings nitrogen and lowers the pH."
                    : "");
}

static void say_rest(doc_record *record, const cli_report *report)
{
    doc_block *block = doc_add(record, "uncorrected");
    sw_content given = {{0}};
    sw_content_add_recipe(&given, 1.0, report->inputs->shelf,
                          report->inputs->bag);
    for (size_t c = 0; c < SW_COMPONENT_COUNT; c++) {
        const sw_component_row *row = &report->assessment->rows[c];
        bool salt = sw_component_is(row->component, SW_IS_SALT);
        if (salt ? row->water_mg_per_l >= told_mg_per_l
                 : sw_component_is(row->component, SW_IS_MAIN))
            say_component(block, row, given.amount[row->component]);
    }
}

void report_bag(doc_record *record, const cli_report *report)
{
    if (!report->inputs->bag || !report->recipe || !report->assessment)
        return;
    doc_block *block = doc_add(record, "bag");
    for (size_t j = 0; j < report->recipe->count; j++)
        put_product(block, report, j);
    say_rest(record, report);
}
