/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Small things that several parts of the sheet say in the same way. */
#include "sheet/parts.h"

#include <math.h>
#include <string.h>

#include "cautions.h"
#include "write/escape.h"

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
    fprintf(out, "</title>\n<style>\n%s</style>\n</head>\n", html_style);
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

typedef struct note_list {
    FILE *out;
    bool cautions; /* those, or the others */
} note_list;

static void put_note(void *context, const sw_note *note)
{
    static const char *const words[] = {
        [SW_INFO] = "",
        [SW_WARNING] = "<strong>Warning: </strong>",
        [SW_DANGER] = "<strong>Danger: </strong>"};
    const note_list *list = context;
    if (cautions_has(note) != list->cautions || cautions_is_gear(note))
        return;
    fprintf(list->out, "<li%s>%s",
            note->severity == SW_DANGER ? " class=\"danger\"" : "",
            words[note->severity]);
    escape_name(list->out, note->text);
    fputs("</li>\n", list->out);
}

void sheet_alarms(FILE *out, const cli_report *report, sw_severity severity)
{
    note_list list = {out, false};
    if (!report_count_severity(report, severity))
        return;
    fputs("<ul class=\"cautions\">\n", out);
    report_visit_severity(report, severity, put_note, &list);
    fputs("</ul>\n", out);
}

void sheet_gear(FILE *out, const cli_handled *handled)
{
    char text[256];
    cautions_gear(handled, text, sizeof text);
    fputs("<p class=\"gear\"><strong>", out);
    escape_text(out, text);
    fputs("</strong></p>\n", out);
}

void sheet_caution_list(FILE *out, const cli_handled *handled)
{
    sw_notes cautions;
    note_list list = {out, true};
    cautions_find(handled, &cautions);
    fputs("<section>\n<h2>Safety</h2>\n<ul class=\"cautions\">\n", out);
    for (size_t i = 0; i < cautions.count; i++)
        put_note(&list, &cautions.items[i]);
    fputs("</ul>\n<p><small>Classes, H-codes and signal words as in the GHS; "
          "the source of each: saltwright catalogue PRODUCT. The rest: common "
          "practice, no source.</small></p>\n</section>\n",
          out);
    sw_notes_free(&cautions);
}
