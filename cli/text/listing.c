/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The catalogue: a line per product, or one product in full. */
#include "text/parts.h"

#include <math.h>
#include <string.h>

#include "text/figure.h"
#include "text/table.h"

/* "N 11.9, Ca 17.0": % by mass of what there is; N as its sum. */
static void list_content(const sw_product *product, char *list, size_t size)
{
    size_t used = 0;
    list[0] = '\0';
    for (size_t i = 0; i < SW_COMPONENT_COUNT && used < size; i++) {
        size_t c = i == 0 ? SW_N : i;
        double percent = product->per_g.amount[c] / 10.0;
        if (c == SW_NO3_N || c == SW_NH4_N || c == SW_UREA_N ||
            (c == SW_N && i != 0) || percent < 0.005)
            continue;
        int n = snprintf(list + used, size - used, "%s%s %s", used ? ", " : "",
                         sw_component_name((sw_component)c),
                         figure_plain(percent).text);
        used += n > 0 ? (size_t)n : 0;
    }
}

void part_catalogue(const cli_page *page, const cli_catalogue *catalogue)
{
    static const cli_table_column columns[] = {
        {"product", "", false}, {"carries, % by mass", "", false}};
    cli_table table = table_new(columns, 2);
    page_word(page, TONE_TITLE, "Built-in products");
    fprintf(page->out, "\n");
    for (size_t i = 0; i < catalogue->count; i++) {
        char content[256];
        const sw_product *product = catalogue->products[i];
        list_content(product, content, sizeof content);
        const char *cells[] = {product->name, content};
        table_add(&table, cells);
    }
    table_print(page, &table);
    table_free(&table);
    fputc('\n', page->out);
    page_paragraph(page, 2, 2,
                   "saltwright catalogue PRODUCT shows one in full: forms of "
                   "nitrogen, hazards, source, other hydrates.");
}

static void put_content(const cli_page *page, const sw_product *product)
{
    static const cli_table_column columns[] = {{"carries", "", false},
                                               {"% by mass", "", true},
                                               {"mg/L from 1 g/L", "", true}};
    cli_table table = table_new(columns, 3);
    for (size_t i = 0; i < SW_COMPONENT_COUNT; i++) {
        double mg_per_g = product->per_g.amount[i];
        if (mg_per_g <= 0.0)
            continue;
        cli_figure percent = figure_plain(mg_per_g / 10.0);
        cli_figure rate = figure_plain(mg_per_g);
        const char *cells[] = {sw_component_name((sw_component)i), percent.text,
                               rate.text};
        table_add(&table, cells);
    }
    if (table.row_count) {
        fputc('\n', page->out);
        table_print(page, &table);
    }
    table_free(&table);
}

/* Each class with how it is known; the works behind them once each. */
static void put_hazards(const cli_page *page, const sw_hazards *hazards)
{
    const char *known = hazards->known;
    page_title(page, "Hazards (GHS); the product's own label and data sheet "
                     "decide");
    if (!hazards->count)
        page_paragraph(page, 2, 2, "%s (%s).",
                       hazards->source ? hazards->source
                                       : "Nothing was read on it",
                       known ? known : "not known");
    for (size_t i = 0; i < hazards->count; i++) {
        const sw_hazard *h = &hazards->items[i];
        page_paragraph(page, 2, 6, "%s%s%s (%s%s%s)",
                       *h->signal ? h->signal : "", *h->signal ? ": " : "",
                       h->statement, h->ghs_class, *h->ghs_class ? ", " : "",
                       h->code);
    }
    const char *said = NULL;
    for (size_t i = 0; i < hazards->count; i++) {
        const sw_hazard *h = &hazards->items[i];
        if (said && strcmp(said, h->source) == 0)
            continue;
        said = h->source;
        page_paragraph(page, 2, 4, "%s (%s).", h->source, h->known);
    }
}

static void put_hydrates(const cli_page *page, const cli_catalogue *catalogue)
{
    if (!catalogue->hydrate_count)
        return;
    page_title(page, "The same salt with other crystal water");
    for (size_t i = 0; i < catalogue->hydrate_count; i++)
        page_paragraph(page, 2, 4, "1 g does the work of %s g of %s (%s)",
                       figure_plain(catalogue->hydrates[i].g_per_g).text,
                       catalogue->hydrates[i].product->name,
                       catalogue->hydrates[i].product->formula);
}

void part_product(const cli_page *page, const cli_catalogue *catalogue)
{
    const sw_product *one = catalogue->one;
    double alkalinity = one->per_g.amount[SW_ALKALINITY];
    page_word(page, TONE_TITLE, one->name);
    fputc('\n', page->out);
    if (one->formula)
        page_entry(page, 10, "formula", "%s", one->formula);
    if (!isnan(one->purity))
        page_entry(page, 10, "purity", "%s %%",
                   figure_short(100.0 * one->purity).text);
    if (!isnan(one->density_g_per_ml))
        page_entry(page, 10, "density", "%s g/mL (a liquid)",
                   figure_plain(one->density_g_per_ml).text);
    if (fabs(alkalinity) >= 5e-4)
        page_entry(page, 10, "alkalinity", "%s meq/g (%s)",
                   figure_signed(alkalinity, 2).text,
                   alkalinity < 0.0 ? "lowers pH" : "raises pH");
    page_entry(page, 10, "source", "%s", one->source ? one->source : "-");
    put_content(page, one);
    put_hazards(page, &one->hazards);
    put_hydrates(page, catalogue);
}
