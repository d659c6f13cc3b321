/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is said in sentences: cautions, what was taken for granted, and where
 * the numbers come from. */
#include "sheet/parts.h"

#include <math.h>
#include <string.h>

#include "cautions.h"
#include "sheet/escape.h"

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

static void put_product(const cli_sheet *sheet, size_t index)
{
    const sw_product *p = &sheet->report->inputs->shelf->products[index];
    fprintf(sheet->out, "<li><i class=\"key\">%s</i> ",
            report_letter(sheet->report, index).text);
    escape_name(sheet->out, p->name);
    fputs(": ", sheet->out);
    if (p->label) {
        fputs("label ", sheet->out);
        escape_name(sheet->out, p->label);
    } else if (p->formula) {
        escape_name(sheet->out, p->formula);
        if (!isnan(p->purity))
            fprintf(sheet->out, ", %s %% pure",
                    figure_short(100.0 * p->purity).text);
    }
    if (p->source && p->catalogue_name) {
        fputs("; ", sheet->out);
        escape_name(sheet->out, p->source);
    }
    fputs(".</li>\n", sheet->out);
}

/* Published limits that sodium and chloride were held against, once each. */
static void put_guidelines(const cli_sheet *sheet)
{
    const sw_assessment *assessment = sheet->report->assessment;
    for (size_t i = 0; i < assessment->guideline_count; i++) {
        const sw_guideline_row *row = &assessment->guidelines[i];
        fputs("<li>", sheet->out);
        escape_print(sheet->out, "%s on %s%s%s %s: %s. %s.", row->name,
                     row->use, isnan(row->value) ? "" : ", ",
                     isnan(row->value) ? "" : figure_plain(row->value).text,
                     isnan(row->value) ? "" : row->unit,
                     sw_fitness_text(row->fitness), row->source);
        fputs("</li>\n", sheet->out);
    }
}

static void put_sources(const cli_sheet *sheet)
{
    size_t count = sheet->report->inputs->shelf->count;
    fputs("<section>\n<h2>Where the numbers come from</h2>\n"
          "<ul class=\"sources\">\n",
          sheet->out);
    for (size_t turn = 0; report_product_at(sheet->report, turn) < count;
         turn++)
        put_product(sheet, report_product_at(sheet->report, turn));
    put_guidelines(sheet);
    fprintf(sheet->out,
            "<li>Atomic weights: IUPAC 2021, abridged. Equations and constants "
            "of pH, EC and solubility: reference/methods.md of Saltwright "
            "%s.</li>\n</ul>\n</section>\n",
            sw_version());
}

void sheet_closing(const cli_sheet *sheet)
{
    put_sources(sheet);
}
