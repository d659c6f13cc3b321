/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What else to know of a recipe: notes, safety, and what was assumed. */
#include "report/blocks.h"

#include "cautions.h"
#include "stop.h"

typedef struct note_list {
    doc_block *block;
    const cli_report *report;
} note_list;

static void put_note(void *context, const sw_note *note)
{
    const note_list *list = context;
    sw_note copy = *note;
    if (!cautions_has(note))
        report_notes(list->block, &(sw_notes){&copy, 1},
                     stop_hides(list->report, note) ? DOC_DATA : 0);
}

/* Of reading the files: said on standard error already. */
static void put_input_note(void *context, const sw_note *note)
{
    const note_list *list = context;
    sw_note copy = *note;
    report_notes(list->block, &(sw_notes){&copy, 1}, DOC_EVIDENCE | DOC_DATA);
}

void report_recipe_notes(doc_record *record, const cli_report *report)
{
    note_list list = {doc_add(record, "notes"), report};
    report_visit_input_notes(report, put_input_note, &list);
    report_visit_notes(report, put_note, &list);
}

/* What to wear stands above what is weighed. */
void report_safety(doc_record *record, const cli_report *report)
{
    doc_block *block = doc_add(record, "safety");
    doc_title(block, "Safety");
    for (size_t i = 0; i < report->cautions.count; i++)
        report_notes(block, &(sw_notes){&report->cautions.items[i], 1},
                     cautions_is_gear(&report->cautions.items[i]) ? DOC_DATA
                                                                  : 0);
    if (report->cautions.count)
        doc_after(block,
                  "Classes, H-codes and signal words as in the GHS; the source "
                  "of each: saltwright catalogue PRODUCT. The rest: common "
                  "practice, no source.");
}

void report_assumptions(doc_record *record, const cli_report *report)
{
    doc_block *block = doc_add(record, "assumptions");
    doc_say(block, DOC_PLAIN,
            "The water is still as the laboratory found it, and every product "
            "holds what its label or formula says.");
    doc_say(block, DOC_PLAIN,
            "EC and pH are estimates. Their 90 %% ranges cover the laboratory, "
            "the labels, the scale and the fill level, and for EC the estimate "
            "itself.");
    if (report->stock)
        doc_say(block, DOC_PLAIN,
                "The injectors deliver what they are set to; how far they "
                "drift comes on top.");
}
