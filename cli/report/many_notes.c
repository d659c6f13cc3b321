/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The notes of recipes in common: each once, whichever waters it is of. */
#include <string.h>

#include "report/blocks.h"
#include "report/words.h"

static bool has_note(const sw_notes *notes, const char *text)
{
    for (size_t i = 0; i < notes->count; i++)
        if (!strcmp(notes->items[i].text, text))
            return true;
    return false;
}

static bool is_noted(const cli_many *many, size_t water, const char *text)
{
    return has_note(&many->many->waters[water].notes, text);
}

static bool is_judged(const cli_many *many, size_t water, const char *text)
{
    return has_note(&many->several.reports[water]->assessment->notes, text);
}

/* Each text once, with its samples. */
static void put_notes_of(doc_block *block, const cli_many *many, bool solve)
{
    for (size_t k = 0; k < many->many->water_count; k++) {
        const sw_notes *notes =
            solve ? &many->many->waters[k].notes
                  : &many->several.reports[k]->assessment->notes;
        for (size_t i = 0; i < notes->count; i++) {
            const sw_note *note = &notes->items[i];
            char list[REPORT_LIST_BYTES],
                words[REPORT_LIST_BYTES + sizeof note->text + 2];
            report_many_having(many, k, solve ? is_noted : is_judged,
                               note->text, list);
            if (!list[0])
                continue;
            snprintf(words, sizeof words, "%s: %s", list, note->text);
            report_note(block, note, words,
                        note->severity == SW_INFO
                            ? DOC_EVIDENCE | DOC_DATA
                            : DOC_BRIEF | DOC_SCREEN | DOC_EVIDENCE | DOC_DATA);
        }
    }
}

void report_many_notes(doc_record *report, const cli_many *many)
{
    doc_block *notes = doc_add(report, "notes");
    report_notes(notes, &many->many->notes, DOC_EVIDENCE | DOC_DATA);
    for (size_t r = 0; r < many->many->recipe_count; r++)
        report_notes(notes, &many->many->recipes[r].notes,
                     DOC_EVIDENCE | DOC_DATA);
    put_notes_of(notes, many, true);
    put_notes_of(notes, many, false);
}
