/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Of recipes in common, what holds them back and what is noted: each once, with
 * the samples it is said of. */
#include <stdio.h>
#include <string.h>

#include "report/blocks.h"
#include "io/memory.h"

enum { LIST_BYTES = 1024 };

/* Whether something is said of a water. */
typedef bool has_text(const cli_many *many, size_t water, const char *text);

/* The samples that have it; empty where `k` has not or one before it has. */
static void list_having(const cli_many *many, size_t k, has_text *has,
                        const char *text, char *list)
{
    list[0] = '\0';
    for (size_t w = 0; w < many->many->water_count && has(many, k, text); w++)
        if (has(many, w, text)) {
            if (w < k)
                return;
            text_join(list, LIST_BYTES, ", ", "%s", many->several.names[w]);
        }
}

static bool has_limit(const cli_many *many, size_t water, const char *name)
{
    const sw_in_water *in = &many->many->waters[water];
    for (size_t i = 0; i < in->limit_count; i++)
        if (!strcmp(in->limits[i].name, name))
            return true;
    return false;
}

/* What holds the recipes back, each once. */
void report_limits_of_many(doc_record *report, const cli_many *many)
{
    doc_block *block = doc_add(report, "limits");
    for (size_t k = 0; k < many->many->water_count; k++) {
        const sw_in_water *water = &many->many->waters[k];
        for (size_t i = 0; i < water->limit_count; i++) {
            char list[LIST_BYTES];
            list_having(many, k, has_limit, water->limits[i].name, list);
            if (!list[0])
                continue;
            doc_record *row = doc_row(block);
            doc_text(row, "limit", water->limits[i].name);
            doc_text(row, "origin", sw_origin_text(water->limits[i].origin));
            doc_text(row, "samples", list);
        }
    }
}

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
            char list[LIST_BYTES], words[LIST_BYTES + sizeof note->text + 2];
            list_having(many, k, solve ? is_noted : is_judged, note->text,
                        list);
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

void report_notes_of_many(doc_record *report, const cli_many *many)
{
    doc_block *notes = doc_add(report, "notes");
    report_file_notes(notes, &many->shared->waters);
    report_notes(notes, &many->many->notes, DOC_EVIDENCE | DOC_DATA);
    for (size_t r = 0; r < many->many->recipe_count; r++)
        report_notes(notes, &many->many->recipes[r].notes,
                     DOC_EVIDENCE | DOC_DATA);
    put_notes_of(notes, many, true);
    put_notes_of(notes, many, false);
}
