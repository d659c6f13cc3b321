/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The order of mixing, a step a line, each with a square to tick. */
#include "sheet/parts.h"

#include <string.h>

#include "scale.h"
#include "sheet/escape.h"

/* The earlier step of the same tank that adds something with the same caution;
 * NULL where there is none. */
static const sw_step *said_with(const sw_steps *steps, size_t index)
{
    const sw_step *step = &steps->items[index];
    for (size_t i = 0; i < index; i++)
        if (steps->items[i].kind == SW_STEP_ADD &&
            steps->items[i].tank == step->tank &&
            strcmp(steps->items[i].safety, step->safety) == 0)
            return &steps->items[i];
    return NULL;
}

/* In full, or by the name of what it stands beside: steps have no numbers. */
static void put_caution(const cli_sheet *sheet, size_t index)
{
    const sw_product *products = sheet->report->inputs->shelf->products;
    const sw_step *said = said_with(sheet->steps, index);
    fputs(" <em class=\"safety\">Safety: ", sheet->out);
    if (said) {
        fputs("as with ", sheet->out);
        escape_name(sheet->out, products[said->product].name);
        fputc('.', sheet->out);
    } else {
        escape_text(sheet->out, sheet->steps->items[index].safety);
    }
    fputs("</em>", sheet->out);
}

static void put_step(const cli_sheet *sheet, size_t index)
{
    const sw_step *step = &sheet->steps->items[index];
    const sw_product *products = sheet->report->inputs->shelf->products;
    fputs("<li><span class=\"square\"></span><div>", sheet->out);
    if (step->g > 0.0) {
        fputs("<strong>", sheet->out);
        escape_name(sheet->out, products[step->product].name);
        fputs("</strong>, ", sheet->out);
    }
    if (step->kind == SW_STEP_ADD)
        sheet_amount(sheet, step->product, step->g);
    else if (step->g > 0.0)
        fprintf(sheet->out, "the solution: %s in %s",
                scale_solution(sheet->report, step->product).text,
                scale_solution_volume(sheet->report, step->product).text);
    if (step->g > 0.0)
        fputs(". ", sheet->out);
    escape_text(sheet->out, step->text);
    if (step->safety[0])
        put_caution(sheet, index);
    fputs("</div></li>\n", sheet->out);
}

/* What concerns no single stock tank. */
static const char *heading_of(const cli_sheet *sheet, size_t index)
{
    sw_tank tank = sheet->steps->items[index].tank;
    if (tank != SW_TANKS)
        return sheet_tank_name(tank);
    return sheet->steps->items[index].kind == SW_STEP_PREPARE ? "Before"
           : sheet->report->stock                             ? "After"
                                                              : "Reservoir";
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
    if (scale_has_solutions(sheet->report))
        fprintf(sheet->out,
                "<li><span class=\"square\"></span><div>%s</div></li>\n",
                scale_leftover_words);
    fprintf(sheet->out, "%s</section>\n", sheet->steps->count ? "</ul>\n" : "");
}
