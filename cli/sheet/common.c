/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Small things that several parts of the sheet say in the same way. */
#include "sheet/parts.h"

#include <math.h>
#include <string.h>

#include "report/blocks.h"
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

cli_figure sheet_volume(const cli_sheet *sheet, double volume_l)
{
    sw_unit_system system = sheet->report->settings->volume_system;
    return system == SW_US ? figure_volume_both(volume_l, system)
                           : figure_volume(volume_l, system);
}
