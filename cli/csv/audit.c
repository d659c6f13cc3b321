/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The audit of a report, and the catalogue. */
#include "parts.h"

#include "line.h"

static void put_check(const cli_lines *out, const sw_check_row *row)
{
    const char *name = row->name;
    line_word(out, (cli_cell){"check", name, "finding"},
              sw_finding_text(row->finding));
    line_number(out, (cli_cell){"check", name, "reported"}, row->reported,
                row->unit);
    line_number(out, (cli_cell){"check", name, "reckoned"}, row->reckoned,
                row->unit);
    line_number(out, (cli_cell){"check", name, "value"}, row->value,
                row->measure);
    line_number(out, (cli_cell){"check", name, "low"}, row->low, row->measure);
    line_number(out, (cli_cell){"check", name, "high"}, row->high,
                row->measure);
    line_word(out, (cli_cell){"check", name, "reason"}, row->reason);
    line_word(out, (cli_cell){"check", name, "source"}, row->source);
}

void lines_show_audit(const cli_canvas *canvas, const cli_audit *audit)
{
    cli_lines page = {canvas->out, NULL};
    const cli_lines *out = &page;
    const sw_audit_report *report = audit->report;
    line_header(out, "");
    line_word(out, (cli_cell){"run", "", "saltwright"}, sw_version());
    line_word(out, (cli_cell){"run", "", "command"}, "audit");
    line_water(out, audit->source->water);
    for (size_t i = 0; i < report->check_count; i++)
        put_check(out, &report->checks[i]);
    for (size_t i = 0; i < report->rereading_count; i++) {
        const sw_rereading *row = &report->rereadings[i];
        line_word(out, (cli_cell){"rereading", row->read_as, "text"},
                  row->text);
        line_number(out, (cli_cell){"rereading", row->read_as, "share"},
                    row->share, "");
    }
    line_guidelines(out, report->fitness, report->fitness_count);
    for (size_t i = 0; i < report->notes.count; i++)
        line_note(&page, &report->notes.items[i]);
}

/* A class is the value beside its code; then what else there is to it. */
static void put_hazards(const cli_lines *out, const sw_product *product)
{
    const sw_hazards *all = &product->hazards;
    for (size_t i = 0; i < all->count; i++) {
        const sw_hazard *h = &all->items[i];
        const struct {
            const char *what, *value;
        } cells[] = {{"class", h->ghs_class},
                     {"signal", h->signal},
                     {"statement", h->statement},
                     {"known", h->known},
                     {"source", h->source}};
        for (size_t k = 0; k < sizeof cells / sizeof *cells; k++) {
            char quantity[40];
            snprintf(quantity, sizeof quantity, "%s %s", h->code,
                     cells[k].what);
            if (*cells[k].value)
                line_word(out, (cli_cell){"hazard", product->name, quantity},
                          cells[k].value);
        }
    }
    if (all->count || !all->source)
        return;
    line_word(out, (cli_cell){"hazard", product->name, "none known"},
              all->known);
    line_word(out, (cli_cell){"hazard", product->name, "none source"},
              all->source);
}

static void put_product(const cli_lines *out, const sw_product *product)
{
    const char *name = product->name;
    line_word(out, (cli_cell){"product", name, "formula"}, product->formula);
    line_number(out, (cli_cell){"product", name, "purity"}, product->purity,
                "");
    line_number(out, (cli_cell){"product", name, "density"},
                product->density_g_per_ml, "g/mL");
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        if (product->per_g.amount[i] > 0.0)
            line_number(
                out,
                (cli_cell){"product", name, sw_component_name((sw_component)i)},
                product->per_g.amount[i], "mg/g");
    line_number(out, (cli_cell){"product", name, "alkalinity"},
                product->per_g.amount[SW_ALKALINITY], "meq/g");
    line_word(out, (cli_cell){"product", name, "source"}, product->source);
    put_hazards(out, product);
}

void lines_show_catalogue(const cli_canvas *canvas,
                          const cli_catalogue *catalogue)
{
    cli_lines page = {canvas->out, NULL};
    const cli_lines *out = &page;
    line_header(out, "");
    for (size_t i = 0; i < catalogue->count; i++)
        if (!catalogue->one || catalogue->one == catalogue->products[i])
            put_product(out, catalogue->products[i]);
    for (size_t i = 0; i < catalogue->hydrate_count; i++)
        line_number(out,
                    (cli_cell){"hydrate", catalogue->hydrates[i].product->name,
                               "mass that does the work of 1 g"},
                    catalogue->hydrates[i].g_per_g, "g");
}
