/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How each injector head is set, and how to find out whether it is. */
#include "heads.h"

#include <string.h>

#include "text/parts.h"
#include "text/table.h"

static void add_head(cli_table *table, const cli_report *report,
                     const cli_head *head, const char *name)
{
    char brings[400] = "brings ";
    size_t used = strlen(brings);
    cli_figure ratio = figure_given(head->ratio);
    cli_figure draw = heads_draw(report, head);
    cli_figure ec = heads_ec(head);
    cli_figure ph = figure_fixed(head->ph, FIGURE_PH);
    const char *cells[] = {name, ratio.text, draw.text, ec.text, ph.text};
    table_add(table, cells);
    heads_say_brings(report, head, brings + used, sizeof brings - used);
    table_remark(table, brings);
}

void part_heads(const cli_page *page, const cli_report *report,
                const char *const names[SW_TANKS])
{
    cli_figure test =
        figure_volume(heads_test_l(report), report->settings->volume_system);
    char passing[64];
    snprintf(passing, sizeof passing, "in %.32s", test.text);
    const cli_table_column columns[] = {{"head", "", false},
                                        {"set to", "1 to", true},
                                        {"draws", passing, true},
                                        {"EC alone", "mS/cm", true},
                                        {"pH alone", "", true}};
    cli_table table = table_new(columns, sizeof columns / sizeof columns[0]);
    table.remark_indent = 4;
    page_title(page, "Injector heads: what each brings to the feed, in mg/L");
    for (size_t i = 0; i < report->heads.count; i++)
        add_head(&table, report, &report->heads.items[i],
                 names[report->heads.items[i].tank]);
    table_print(page, &table);
    table_free(&table);
    page_paragraph(page, 2, 2, "%s", heads_draw_words);
    page_paragraph(page, 2, 2, "%s", heads_ec_words);
}
