/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The targets of crops that are built in: a line each, or one in full. */
#include <stdio.h>
#include <string.h>

#include "report/blocks.h"

static void put_map(doc_record *row, const sw_target *target)
{
    doc_block *map = doc_add(row, "contents");
    for (size_t i = 0; i < target->count; i++)
        if (target->rows[i].kind == SW_TARGET_COMPONENT)
            doc_entry(map, target->rows[i].name, target->rows[i].target);
}

static void put_texts(doc_record *row, const sw_target_set *set)
{
    doc_text(row, "crop", set->crop);
    doc_text(row, "system", set->system);
    doc_text(row, "source", set->source);
    doc_text(row, "known", set->known);
    doc_text(row, "remark", set->remark);
}

/* What the set lacks and where that comes from; NULL: it lacks nothing. */
static const char *added_to(const cli_crop *crop)
{
    const sw_notes *notes = &crop->target->notes;
    for (size_t i = 0; i < notes->count; i++)
        if (notes->items[i].about & SW_ABOUT_ADDED)
            return notes->items[i].text;
    return NULL;
}

/* What holds for all stages is said beside the first. */
static void put_row(doc_block *block, const cli_crop *crop, bool first)
{
    char about[256];
    doc_record *row = doc_row(block);
    const sw_target_row *ph = sw_target_ph(crop->target);
    snprintf(about, sizeof about, "%s; %s; %s", crop->set.crop, crop->set.cited,
             crop->set.known);
    doc_text(row, "target", crop->set.name);
    doc_text(row, "stage", crop->stage);
    DOC_NUMBERS(row, {"cations_meq_per_l", crop->cations_meq_per_l},
                {"anions_meq_per_l", crop->anions_meq_per_l},
                {"ec_ms_per_cm", crop->ec_ms_per_cm},
                {"printed_ec_ms_per_cm", crop->printed.ec_ms_per_cm},
                {"ph", ph->target});
    doc_text(row, "about", first ? about : "");
    put_texts(row, &crop->set);
    doc_text(row, "table", crop->printed.source);
    doc_text(row, "added", added_to(crop));
    put_map(row, crop->target);
}

/* Each number of one set, and where those come from that it lacks. */
static void put_values(doc_record *report, const cli_crops *crops)
{
    doc_block *values = doc_add(report, "target_values");
    const char *added = added_to(&crops->items[0]);
    for (size_t k = 0; k < crops->count; k++)
        for (size_t i = 0; i < crops->items[k].target->count; i++) {
            const sw_target_row *value = &crops->items[k].target->rows[i];
            if (value->kind != SW_TARGET_COMPONENT)
                continue;
            doc_record *row = doc_row(values);
            doc_text(row, "stage", crops->items[k].stage);
            doc_text(row, "parameter", value->name);
            doc_number(row, "target", value->target);
            doc_text(row, "set", value->set);
        }
    if (added)
        doc_after(values, "%s", added);
}

static void put_one(doc_record *report, const cli_crops *crops)
{
    doc_record *set = doc_part(report, "target_set");
    put_texts(set, &crops->items[0].set);
    doc_number(set, "ph", sw_target_ph(crops->items[0].target)->target);
    put_values(report, crops);
}

doc_record *report_crops(const cli_crops *crops)
{
    doc_record *report = report_begin("catalogue");
    doc_block *list = doc_add(report, "targets");
    for (size_t i = 0; i < crops->count; i++)
        put_row(list, &crops->items[i],
                i == 0 || strcmp(crops->items[i].set.name,
                                 crops->items[i - 1].set.name) != 0);
    doc_after(list, "Cations and anions: phosphate as H2PO4, total N as "
                    "nitrate. EC is calculated, at 25 °C. Trace elements and "
                    "pH are those of the set \"general\" where a source states "
                    "none.");
    if (crops->one)
        put_one(report, crops);
    else
        doc_after(list, "Use one as --target yamazaki-lettuce, or begin a "
                        "target file with base,yamazaki-lettuce. saltwright "
                        "catalogue --targets NAME shows one in full.");
    return report;
}
