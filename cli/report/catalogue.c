/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The products and the targets of crops that are built in: a line each, or one
 * in full. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "report/blocks.h"
#include "io/figure.h"
#include "sentences_text.h"

/* "N 11.9, Ca 17.0": % by mass of what there is; N as its sum. */
static void list_content(const sw_product *product, char *list, size_t size)
{
    list[0] = '\0';
    for (size_t i = 0; i < SW_COMPONENT_COUNT; i++) {
        size_t c = i == 0 ? SW_N : i;
        double percent = product->per_g.amount[c] / 10.0;
        if (sw_component_is((sw_component)c, SW_IS_FORM) ||
            (c == SW_N && i != 0) || percent < 0.005)
            continue;
        text_join(list, size, ", ", "%s %s", sw_component_name((sw_component)c),
                  figure_plain(percent).text);
    }
}

static void put_list(doc_record *report, const cli_catalogue *catalogue)
{
    doc_block *list = doc_add(report, "list");
    for (size_t i = 0; i < catalogue->shelf->count; i++) {
        char content[256];
        const sw_product *product = &catalogue->shelf->products[i];
        doc_record *row = doc_row(list);
        list_content(product, content, sizeof content);
        doc_text(row, "product", product->name);
        doc_text(row, "carries", content);
    }
    doc_after(list, SAY_CATALOGUE_ONE);
}

static void put_contents(doc_record *out, const sw_product *product)
{
    doc_block *contents = doc_add(out, "contents");
    for (size_t i = 0; i < SW_COMPONENT_COUNT; i++) {
        double mg_per_g = product->per_g.amount[i];
        if (mg_per_g <= 0.0)
            continue;
        doc_record *row = doc_row(contents);
        doc_text(row, "component", sw_component_name((sw_component)i));
        DOC_NUMBERS(row, {"percent", mg_per_g / 10.0}, {"mg_per_g", mg_per_g});
    }
}

/* How each class is known; the works behind them once each. */
static void put_sources(doc_block *block, const sw_hazards *hazards)
{
    const char *said = "";
    for (size_t i = 0; i < hazards->count; i++) {
        const sw_hazard *h = &hazards->items[i];
        if (strcmp(said, h->source) != 0)
            doc_after(block, "%s (%s).", h->source, h->known);
        said = h->source;
    }
    if (!hazards->count)
        doc_after(block, "%s (%s).",
                  hazards->source ? hazards->source : "Nothing was read on it",
                  hazards->known ? hazards->known : "not known");
}

static void put_hazards(doc_record *out, const sw_hazards *hazards)
{
    doc_block *block = doc_add(out, "hazards");
    for (size_t i = 0; i < hazards->count; i++) {
        const sw_hazard *h = &hazards->items[i];
        doc_record *row = doc_row(block);
        doc_text(row, "signal", sw_signal_text(h->signal));
        doc_text(row, "statement", h->statement);
        doc_text(row, "class", h->ghs_class);
        doc_text(row, "code", h->code);
        doc_text(row, "known", h->known);
        doc_text(row, "source", h->source);
        doc_colour(row, h->signal == SW_DANGER ? DOC_BAD : DOC_PLAIN);
    }
    put_sources(block, hazards);
    if (hazards->count || !hazards->source)
        return;
    doc_text(out, "no_hazard_known", hazards->known);
    doc_text(out, "no_hazard_source", hazards->source);
}

static void put_alkalinity(doc_record *out, double meq_per_g)
{
    doc_shown(out, "alkalinity_meq_per_g", meq_per_g, "");
    if (fabs(meq_per_g) >= 5e-4)
        doc_reads(out, "alkalinity_meq_per_g", "%s meq/g (%s the pH)",
                  figure_signed(meq_per_g, 2).text,
                  meq_per_g < 0.0 ? "lowers" : "raises");
}

static void fill_product(doc_record *out, const sw_product *product)
{
    doc_text(out, "product", product->name);
    doc_text(out, "formula", product->formula);
    DOC_NUMBERS(out, {"purity", product->purity},
                {"density_g_per_ml", product->density_g_per_ml});
    put_alkalinity(out, product->per_g.amount[SW_ALKALINITY]);
    doc_text(out, "source", product->source);
    put_contents(out, product);
    put_hazards(out, &product->hazards);
}

static void put_hydrates(doc_record *out, const cli_catalogue *catalogue)
{
    doc_block *hydrates = doc_add(out, "hydrates");
    for (size_t i = 0; i < catalogue->hydrate_count; i++) {
        const cli_hydrate *hydrate = &catalogue->hydrates[i];
        doc_record *row = doc_row(hydrates);
        doc_text(row, "product", hydrate->product->name);
        doc_text(row, "formula", hydrate->product->formula);
        doc_number(row, "g_per_g", hydrate->g_per_g);
    }
}

doc_record *report_catalogue(const cli_catalogue *catalogue)
{
    doc_record *report = report_begin("catalogue");
    if (catalogue->one) {
        doc_block *block = doc_add(report, "product");
        doc_record *out = doc_row(block);
        doc_title(block, "%s", catalogue->one->name);
        fill_product(out, catalogue->one);
        put_hydrates(out, catalogue);
        return report;
    }
    put_list(report, catalogue);
    doc_block *products = doc_add(report, "products");
    doc_show_block(products, DOC_DATA);
    for (size_t i = 0; i < catalogue->shelf->count; i++)
        fill_product(doc_row(products), &catalogue->shelf->products[i]);
    return report;
}

/* ---- Targets of crops ---------------------------------------------------- */

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
    doc_after(list, SAY_TARGETS_CHARGE);
    if (crops->one)
        put_one(report, crops);
    else
        doc_after(list, SAY_TARGETS_USE);
    return report;
}
