/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Components against the target in numbers; ratios, pH and EC likewise. */
#include "text/parts.h"

#include <math.h>
#include <string.h>

#include "report/blocks.h"
#include "text/figure.h"
#include "text/table.h"

cli_tone part_verdict_tone(sw_verdict verdict)
{
    if (verdict == SW_MET)
        return TONE_GOOD;
    return verdict == SW_VERDICT_NONE ? TONE_PLAIN : TONE_BAD;
}

/* "104", "<0.05", or "-" where nothing is reported. */
static cli_figure water_cell(const sw_component_row *row, int decimals)
{
    cli_figure limit = figure_short(row->water_unseen_mg_per_l);
    cli_figure out = figure_fixed(report_water_part(row), decimals);
    if (row->water_unseen_mg_per_l > 0.0 && row->water_mg_per_l <= 0.0)
        snprintf(out.text, sizeof out.text, "<%.16s", limit.text);
    return out;
}

static void add_component(cli_table *table, const sw_component_row *row)
{
    int decimals = report_row_decimals(row);
    cli_figure water = water_cell(row, decimals);
    cli_figure added = figure_fixed(row->added_mg_per_l, decimals);
    cli_figure finished = figure_fixed(row->finished_mg_per_l, decimals);
    cli_figure target = figure_kept(row->target_mg_per_l, decimals);
    cli_figure limits =
        figure_band(row->low_mg_per_l, row->high_mg_per_l, decimals);
    cli_figure residual = isnan(row->residual_mg_per_l)
                              ? (cli_figure){"-"}
                              : figure_signed(row->residual_mg_per_l, decimals);
    const char *cells[] = {sw_component_name(row->component),
                           water.text,
                           added.text,
                           finished.text,
                           target.text,
                           limits.text,
                           residual.text,
                           sw_verdict_text(row->verdict)};
    table_add(table, cells)->tone = part_verdict_tone(row->verdict);
    bool unmet = row->verdict == SW_SHORT || row->verdict == SW_OVER;
    if (row->reason[0])
        table_remark(table, row->reason);
    else if (unmet &&
             report_is_hidden(row->finished_mg_per_l, row->low_mg_per_l,
                              row->high_mg_per_l, decimals))
        table_remark(table, report_hidden);
}

/* Names of components nobody measured in the water. */
static void put_unreported(const cli_page *page, const cli_report *report)
{
    char list[256] = "";
    size_t used = 0;
    for (int i = 0; i < SW_N; i++) {
        const sw_component_row *row = &report->assessment->rows[i];
        if (row->water_reported || !report_shows(row) || used >= sizeof list)
            continue;
        int n = snprintf(list + used, sizeof list - used, "%s%s",
                         used ? ", " : "", sw_component_name((sw_component)i));
        used += n > 0 ? (size_t)n : 0;
    }
    if (used)
        page_paragraph(page, 2, 2,
                       "Not in the lab report; assumed 0 in the water: %s.",
                       list);
}

void part_components(const cli_page *page, const cli_report *report)
{
    static const cli_table_column columns[] = {{"", "", false},
                                               {"water", "mg/L", true},
                                               {"added", "mg/L", true},
                                               {"finished", "mg/L", true},
                                               {"target", "mg/L", true},
                                               {"band", "mg/L", true},
                                               {"residual", "mg/L", true},
                                               {"verdict", "", false}};
    cli_table table = table_new(columns, sizeof columns / sizeof columns[0]);
    page_title(page, "What the crop gets");
    for (size_t i = 0; i < SW_COMPONENT_COUNT; i++) {
        const sw_component_row *row = report_row(report, i);
        if (report_shows(row))
            add_component(&table, row);
    }
    table_print(page, &table);
    table_free(&table);
    put_unreported(page, report);
}
