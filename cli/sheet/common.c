/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Small things that several parts of the sheet say in the same way. */
#include "sheet/parts.h"

#include <math.h>
#include <string.h>

#include "scale.h"
#include "sheet/escape.h"

void sheet_head(FILE *out, const char *title, const char *about)
{
    fprintf(out,
            "<!DOCTYPE html>\n"
            "<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
            "<meta name=\"viewport\" content=\"width=device-width, "
            "initial-scale=1\">\n"
            "<meta http-equiv=\"Content-Security-Policy\" content=\""
            "default-src 'none'; style-src 'unsafe-inline'\">\n"
            "<title>%s: ",
            title);
    escape_text(out, about);
    fprintf(out, "</title>\n<style>\n%s</style>\n</head>\n", sheet_style);
}

void sheet_foot(FILE *out)
{
    fprintf(out,
            "</main>\n<footer><p>Saltwright %s. Nothing on this sheet is "
            "measured: measure EC and pH before the crop gets it.</p>"
            "</footer>\n</body>\n</html>\n",
            sw_version());
}

void sheet_fact(FILE *out, const char *term, const char *text)
{
    fprintf(out, "<dt>%s</dt><dd>", term);
    escape_name(out, text);
    fputs("</dd>\n", out);
}

/* a to z, then a2 to z2, and so on. */
cli_figure sheet_letter(const cli_sheet *sheet, size_t product)
{
    cli_figure out;
    size_t index = sheet->turn[product] - 1;
    snprintf(out.text, sizeof out.text, "%c", (char)('a' + index % 26));
    if (index >= 26)
        snprintf(out.text + 1, sizeof out.text - 1, "%zu", index / 26 + 1);
    return out;
}

size_t sheet_product_at(const cli_sheet *sheet, size_t turn)
{
    size_t count = sheet->report->inputs->shelf->count;
    for (size_t i = 0; i < count; i++)
        if (sheet->turn[i] == turn)
            return i;
    return count;
}

cli_figure sheet_saturation(double share)
{
    return isnan(share) ? (cli_figure){"not known"} : figure_percent(share);
}

cli_figure sheet_volume(const cli_sheet *sheet, double volume_l)
{
    sw_unit_system system = sheet->report->settings->volume_system;
    return system == SW_US ? figure_volume_both(volume_l, system)
                           : figure_volume(volume_l, system);
}

cli_figure sheet_volume_part(const cli_sheet *sheet, double volume_l)
{
    return figure_volume_part(volume_l, sheet->report->settings->volume_system);
}

/* Adds to the small print unless it says the same as `main`. */
static void put_also(FILE *out, const char *main, cli_figure also, bool *begun)
{
    if (strcmp(main, also.text) == 0)
        return;
    fprintf(out, "%s%s", *begun ? " · " : " <small>", also.text);
    *begun = true;
}

void sheet_amount(const cli_sheet *sheet, size_t product, double g)
{
    const sw_product *p = &sheet->report->inputs->shelf->products[product];
    cli_amounts asked = sheet->report->settings->amounts;
    bool solid = isnan(p->density_g_per_ml);
    bool us = asked == AMOUNTS_US;
    bool begun = false;
    cli_figure metric = scale_amount(sheet->report, product, g, false);
    cli_figure trade = scale_amount(sheet->report, product, g, true);
    cli_figure first = us ? trade : metric;
    fprintf(sheet->out, "<b>%s</b>", first.text);
    if (asked == AMOUNTS_BOTH)
        put_also(sheet->out, first.text, trade, &begun);
    if (!solid)
        put_also(sheet->out, first.text,
                 printed_amount(sheet->report, product, g,
                                (cli_way){.us = us, .by_mass = true}),
                 &begun);
    if (begun)
        fputs("</small>", sheet->out);
    if (scale_has_solution(sheet->report, product)) {
        fprintf(sheet->out, " <small>of %s made up to %s</small>",
                scale_solution(sheet->report, product).text,
                scale_solution_volume(sheet->report, product).text);
    }
}

const char *sheet_tank_name(sw_tank tank)
{
    static const char *const names[] = {[SW_TANK_A] = "Tank A",
                                        [SW_TANK_B] = "Tank B",
                                        [SW_TANK_C] = "Tank C",
                                        [SW_TANKS] = "Reservoir"};
    return names[tank];
}

cli_figure sheet_band(double low, double high, int decimals)
{
    bool none = isnan(low) && isnan(high);
    return none ? (cli_figure){""} : figure_band(low, high, decimals);
}

double sheet_tank_volume_l(const cli_sheet *sheet, int tank)
{
    const sw_stock *stock = sheet->report->stock;
    if (tank == SW_TANKS)
        return stock ? 0.0 : sheet->report->settings->volume_l;
    return stock ? stock->tanks[tank].volume_l : 0.0;
}
