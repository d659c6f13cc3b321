/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What to weigh out, tank by tank, in the order of mixing; with squares to tick
 * and room to write what the bag and the scale really said.
 */
#include "sheet/parts.h"

#include <math.h>

#include "sheet/escape.h"
#include "tanks.h"

static void put_row(const cli_sheet *sheet, const sw_step *step)
{
    const cli_report *report = sheet->report;
    const sw_product *p = &report->inputs->shelf->products[step->product];
    bool given = report->solution && !isnan(p->fixed_g_per_l);
    fputs("<tr><td class=\"box\"><span class=\"square\"></span></td>"
          "<th scope=\"row\">",
          sheet->out);
    fprintf(sheet->out, "<i class=\"key\">%s</i> ",
            sheet_letter(sheet, step->product).text);
    escape_name(sheet->out, p->name);
    fprintf(sheet->out, "%s</th><td class=\"amount\">",
            given ? " <small>as given</small>" : "");
    sheet_amount(sheet, step->product, step->g);
    fputs("</td><td class=\"write\"></td><td class=\"write\"></td></tr>\n",
          sheet->out);
}

static void put_table(const cli_sheet *sheet, int tank)
{
    fprintf(sheet->out,
            "<table class=\"weigh\">\n<caption>%s</caption>\n<thead><tr>"
            "<th scope=\"col\" class=\"box\">Done</th>"
            "<th scope=\"col\">Product</th>"
            "<th scope=\"col\" class=\"amount\">Weigh out</th>"
            "<th scope=\"col\" class=\"write\">Lot number</th>"
            "<th scope=\"col\" class=\"write\">Really weighed</th>"
            "</tr></thead>\n<tbody>\n",
            sheet_tank_name((sw_tank)tank));
    for (size_t i = 0; i < sheet->steps->count; i++) {
        const sw_step *step = &sheet->steps->items[i];
        if (step->kind == SW_STEP_ADD && (int)step->tank == tank)
            put_row(sheet, step);
    }
    fputs("</tbody>\n</table>\n", sheet->out);
}

static bool has_products(const cli_sheet *sheet, int tank)
{
    for (size_t i = 0; i < sheet->steps->count; i++)
        if (sheet->steps->items[i].kind == SW_STEP_ADD &&
            (int)sheet->steps->items[i].tank == tank)
            return true;
    return false;
}

/* The litres the vessel starts with. */
static double first_fill_l(const cli_sheet *sheet, int tank)
{
    for (size_t i = 0; i < sheet->steps->count; i++)
        if (sheet->steps->items[i].kind == SW_STEP_FILL &&
            (int)sheet->steps->items[i].tank == tank)
            return sheet->steps->items[i].volume_l;
    return 0.0;
}

/* Of this tank alone: its page may be another. */
static void put_gear(const cli_sheet *sheet, int tank)
{
    cli_handled handled = {.count = 0};
    for (size_t i = 0; i < sheet->steps->count; i++) {
        const sw_step *step = &sheet->steps->items[i];
        if (step->kind == SW_STEP_ADD && (int)step->tank == tank &&
            handled.count < SW_MAX_PRODUCTS)
            handled.items[handled.count++] =
                &sheet->report->inputs->shelf->products[step->product];
    }
    sheet_gear(sheet->out, &handled);
}

static void put_levels(const cli_sheet *sheet, int tank)
{
    fprintf(sheet->out, "<p class=\"levels\">Start with %s",
            sheet_volume_part(sheet, first_fill_l(sheet, tank)).text);
    if (tank != SW_TANKS && sheet->report->make_up) {
        fputs(" of ", sheet->out);
        escape_name(sheet->out, sheet->report->make_up->sample);
    }
    fprintf(sheet->out, ". <strong>Fill to the mark: %s.</strong>",
            sheet_volume(sheet, sheet_tank_volume_l(sheet, tank)).text);
    if (tank != SW_TANKS)
        fprintf(
            sheet->out, " Injector 1 to %s.",
            figure_given(sw_stock_ratio(sheet->report->setup, (sw_tank)tank))
                .text);
    fputs("</p>\n", sheet->out);
}

void sheet_weights(const cli_sheet *sheet)
{
    bool any = false;
    fputs("<section>\n<h2>Weigh out</h2>\n", sheet->out);
    for (int tank = 0; tank <= SW_TANKS; tank++) {
        if (sheet_tank_volume_l(sheet, tank) <= 0.0)
            continue;
        fputs("<div class=\"whole\">\n", sheet->out);
        if (has_products(sheet, tank)) {
            put_gear(sheet, tank);
            put_table(sheet, tank);
        }
        put_levels(sheet, tank);
        fputs("</div>\n", sheet->out);
        any = any || has_products(sheet, tank);
    }
    if (!any)
        fputs("<p>Nothing to add: the water as it is.</p>\n", sheet->out);
    fputs("</section>\n", sheet->out);
}
