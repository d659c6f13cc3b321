/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bought premixes among what was given. */
#include "parts.h"

#include "premix.h"

static cli_value *row(const sw_premix_row *row)
{
    cli_value *out = value_object();
    value_put_text(out, "component", sw_component_name(row->component));
    value_put_flag(out, "declared", row->declared);
    VALUE_PUT(out, {"brought_mg_per_l", row->brought_mg_per_l},
              {"wanted_mg_per_l", row->wanted_mg_per_l}, {"ratio", row->ratio},
              {"wanted_ratio", row->wanted_ratio});
    return out;
}

static void put_best(cli_value *out, const cli_report *report,
                     const sw_premix *premix)
{
    const sw_premix_rate *rate = premix_best(report->inputs, premix->product);
    value_put_flag(out, "best_fit", rate != NULL);
    if (!rate || !rate->held_by[0])
        return;
    value_put_text(out, "held_by", rate->held_by);
    value_put_number(out, "best_without_limits_g_per_l", rate->free_g_per_l);
}

static cli_value *premix(const cli_report *report, const sw_premix *premix)
{
    cli_value *out = value_object();
    cli_value *rows = value_array();
    cli_value *notes = value_array();
    for (size_t i = 0; i < premix->row_count; i++)
        value_append(rows, row(&premix->rows[i]));
    for (size_t i = 0; i < premix->notes.count; i++)
        doc_add_note(notes, &premix->notes.items[i]);
    value_put_text(out, "product",
                   report->inputs->shelf->products[premix->product].name);
    put_best(out, report, premix);
    value_put_text(out, "ratios_to", sw_component_name(premix->base));
    VALUE_PUT(out, {"g_per_l", premix->g_per_l},
              {"ammonium_share_of_n", premix->ammonium_share},
              {"urea_share_of_n", premix->urea_share});
    value_put(out, "components", rows);
    value_put(out, "notes", notes);
    return out;
}

cli_value *doc_premixes(const cli_report *report)
{
    cli_value *out = value_array();
    for (size_t i = 0; i < report->premixes.count; i++)
        value_append(out, premix(report, report->premixes.items[i]));
    return out;
}
