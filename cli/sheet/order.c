/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The order of mixing, a step a line, each with a square to tick. */
#include "sheet/parts.h"

#include <string.h>

#include "sheet/escape.h"

/* Whether the caution stands beside an earlier step of the same tank. */
static bool is_said(const sw_steps *steps, size_t index)
{
    for (size_t i = 0; i < index; i++)
        if (steps->items[i].tank == steps->items[index].tank &&
            strcmp(steps->items[i].caution, steps->items[index].caution) == 0)
            return true;
    return false;
}

static void put_step(const cli_sheet *sheet, size_t index)
{
    const sw_step *step = &sheet->steps->items[index];
    const sw_product *products = sheet->report->inputs->shelf->products;
    fputs("<li><span class=\"square\"></span><div>", sheet->out);
    if (step->kind == SW_STEP_ADD) {
        fputs("<strong>", sheet->out);
        escape_name(sheet->out, products[step->product].name);
        fputs("</strong>, ", sheet->out);
        sheet_amount(sheet, step->product, step->g);
        fputs(". ", sheet->out);
    }
    escape_text(sheet->out, step->text);
    if (step->caution[0]) {
        fputs(" <em class=\"care\">Care: ", sheet->out);
        escape_text(sheet->out, is_said(sheet->steps, index) ? "as said above."
                                                             : step->caution);
        fputs("</em>", sheet->out);
    }
    fputs("</div></li>\n", sheet->out);
}

/* What concerns no single stock tank. */
static const char *heading_of(const cli_sheet *sheet, size_t index)
{
    sw_tank tank = sheet->steps->items[index].tank;
    if (tank != SW_TANKS)
        return sheet_tank_name(tank);
    return index == 0 ? "Before" : sheet->report->stock ? "After" : "Reservoir";
}

void sheet_order(const cli_sheet *sheet)
{
    const char *last = "";
    fputs("<section>\n<h2>Mix in this order</h2>\n", sheet->out);
    for (size_t i = 0; i < sheet->steps->count; i++) {
        const char *heading = heading_of(sheet, i);
        if (strcmp(heading, last) != 0)
            fprintf(sheet->out, "%s<h3>%s</h3>\n<ul class=\"steps\">\n",
                    i ? "</ul>\n" : "", heading);
        last = heading;
        put_step(sheet, i);
    }
    fprintf(sheet->out, "%s</section>\n", sheet->steps->count ? "</ul>\n" : "");
}
