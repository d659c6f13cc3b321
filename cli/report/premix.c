/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A premix: its proportions against those wanted, and what its label leaves
 * open. */
#include "run/premix.h"

#include <math.h>

#include "report/blocks.h"
#include "sentences_text.h"

static void put_row(doc_block *block, const sw_premix_row *row)
{
    doc_record *out = doc_row(block);
    doc_text(out, "component", sw_component_name(row->component));
    doc_flag(out, "declared", row->declared);
    DOC_NUMBERS(out, {"brought_mg_per_l", row->brought_mg_per_l},
                {"wanted_mg_per_l", row->wanted_mg_per_l},
                {"ratio", row->ratio}, {"wanted_ratio", row->wanted_ratio});
    if (!row->declared) {
        doc_words(out, "brought_mg_per_l", "undeclared");
        doc_words(out, "ratio", "-");
    } else if (row->wanted_mg_per_l > 0.0) {
        doc_number(out, "covered_share",
                   row->brought_mg_per_l / row->wanted_mg_per_l);
    }
}

static void put_rows(doc_record *out, const cli_report *report,
                     const sw_premix *premix, const sw_premix_rate *rate)
{
    doc_block *block = doc_add(out, "components");
    doc_title(block, "The premix: %.100s at %s g/L",
              report->inputs->shelf->products[premix->product].name,
              figure_plain(premix->g_per_l).text);
    if (rate)
        doc_before(block, SAY_BEST_RATE,
                   rate->held_by[0] ? " within the limits" : "",
                   rate->held_by[0] ? "; the notes say what limits it" : "");
    for (size_t i = 0; i < premix->row_count; i++)
        put_row(block, &premix->rows[i]);
    doc_after(block, SAY_SET_WANTED,
              premix->base < SW_COMPONENT_COUNT ? ", to 1 of " : "",
              premix->base < SW_COMPONENT_COUNT
                  ? sw_component_name(premix->base)
                  : "");
    if (!isnan(premix->urea_share))
        doc_after(block, SAY_SET_NITROGEN, 100.0 * premix->ammonium_share,
                  100.0 * premix->urea_share);
}

static void put_premix(doc_block *block, const cli_report *report,
                       const sw_premix *premix)
{
    const sw_premix_rate *rate = premix_best(report->inputs, premix->product);
    doc_record *out = doc_row(block);
    doc_text(out, "product",
             report->inputs->shelf->products[premix->product].name);
    doc_flag(out, "best_fit", rate != NULL);
    if (rate && rate->held_by[0]) {
        doc_text(out, "held_by", rate->held_by);
        doc_number(out, "best_without_limits_g_per_l", rate->free_g_per_l);
    }
    if (premix->base < SW_COMPONENT_COUNT)
        doc_text(out, "ratios_to", sw_component_name(premix->base));
    DOC_NUMBERS(out, {"g_per_l", premix->g_per_l},
                {"ammonium_share_of_n", premix->ammonium_share},
                {"urea_share_of_n", premix->urea_share});
    put_rows(out, report, premix, rate);
    doc_block *notes = doc_add(out, "notes");
    doc_title(notes, "%s", ""); /* they belong to it */
    report_notes(notes, &premix->notes, 0);
}

void report_premixes(doc_record *record, const cli_report *report)
{
    if (!report->premixes.count)
        return;
    doc_block *block = doc_add(record, "premixes");
    for (size_t i = 0; i < report->premixes.count; i++)
        put_premix(block, report, report->premixes.items[i]);
}
