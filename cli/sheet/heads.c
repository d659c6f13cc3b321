/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The injector heads: how each is set, what it must draw and bring, and room
 * for what was found. */
#include "heads.h"

#include "sheet/escape.h"
#include "sheet/parts.h"

static void put_head(const cli_sheet *sheet, const cli_head *head)
{
    char brings[400];
    heads_say_brings(sheet->report, head, brings, sizeof brings);
    fprintf(sheet->out,
            "<tr><th scope=\"row\">%s</th><td class=\"number\">1 to %s</td>"
            "<td class=\"number\"><b>%s</b></td>"
            "<td class=\"write paper\"></td>"
            "<td class=\"number\"><b>%s</b></td>"
            "<td class=\"write paper\"></td></tr>\n"
            "<tr class=\"below\"><td colspan=\"6\"><small>brings ",
            sheet_tank_name(head->tank), figure_given(head->ratio).text,
            heads_draw(sheet->report, head).text, heads_ec(head).text);
    escape_text(sheet->out, brings);
    fprintf(sheet->out, " mg/L; pH alone %s</small></td></tr>\n",
            figure_fixed(head->ph, FIGURE_PH).text);
}

void sheet_heads(const cli_sheet *sheet)
{
    const cli_report *report = sheet->report;
    if (!report->heads.count)
        return;
    fprintf(
        sheet->out,
        "<section class=\"whole\">\n<h2>Set the injectors</h2>\n"
        "<div class=\"scroll\" role=\"group\" tabindex=\"0\" "
        "aria-label=\"Injector heads\">\n"
        "<table class=\"heads\">\n<caption>One head at a time</caption>\n"
        "<thead><tr><td></td><th scope=\"col\" class=\"number\">Set to</th>"
        "<th scope=\"col\" class=\"number\">Draws while %s pass</th>"
        "<th scope=\"col\" class=\"write paper\">Really drawn</th>"
        "<th scope=\"col\" class=\"number\">EC alone, mS/cm</th>"
        "<th scope=\"col\" class=\"write paper\">EC read</th></tr></thead>\n"
        "<tbody>\n",
        figure_volume(heads_test_l(report), report->settings->volume_system)
            .text);
    for (size_t i = 0; i < report->heads.count; i++)
        put_head(sheet, &report->heads.items[i]);
    fprintf(sheet->out,
            "</tbody>\n</table>\n</div>\n<p>%s</p>\n<p>%s</p>\n</section>\n",
            heads_draw_words, heads_ec_words);
}
