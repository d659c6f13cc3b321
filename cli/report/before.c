/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What whoever mixes must know before: at the head of page 1. */
#include <string.h>

#include "before_text.h"
#include "report/blocks.h"
#include "report/words.h"
#include "sentences_text.h"

/* Of warnings by their code, before.csv: in short, or "" where they concern who
 * made the recipe.  Any other is said as it stands. */
static const struct {
    const char *code, *words;
} known[] = {
#define BEFORE(code, words) {code, words},
    BEFORE_LIST(BEFORE)
#undef BEFORE
};
enum { KNOWN = sizeof known / sizeof *known };

typedef struct before_list {
    doc_block *block;
    bool said[KNOWN];
} before_list;

static bool has_said(const before_list *list, const char *code)
{
    for (size_t i = 0; i < KNOWN; i++)
        if (strcmp(known[i].code, code) == 0)
            return list->said[i];
    return false;
}

/* Of a water without alkalinity more is known than that something lacks. */
static bool is_said(const before_list *list, const sw_note *note)
{
    return strcmp(note->code, "not-reported") == 0 &&
           (has_said(list, "alkalinity-missing") ||
            has_said(list, "ph-alkalinity-missing"));
}

static void say_warning(void *context, const sw_note *note)
{
    before_list *list = context;
    size_t i = 0;
    while (i < KNOWN && strcmp(known[i].code, note->code) != 0)
        i++;
    if (i == KNOWN) {
        doc_say(list->block, DOC_BAD, "%s", note->text);
        return;
    }
    if (*known[i].words && !list->said[i] && !is_said(list, note))
        doc_say(list->block, DOC_BAD, "%s", known[i].words);
    list->said[i] = true;
}

/* "12 of 14 targets are met. Over: Ca 62 of at most 40 mg/L." */
static void say_unmet(doc_block *block, const cli_report *report)
{
    char words[1100];
    size_t met, all;
    sw_count_met(report->assessment, &met, &all);
    if (met == all)
        return;
    words_missed(report, words, sizeof words);
    doc_say(block, DOC_BAD, SAY_BEFORE_UNMET, met, all, words);
}

static void say_input(void *context, const sw_note *note)
{
    if (note->severity >= SW_WARNING)
        say_warning(context, note);
}

/* The notes on readings are of what is mixed already. */
void report_before(doc_record *record, const cli_report *report)
{
    cli_report unmixed = *report;
    before_list list = {.block = doc_add(record, "before")};
    unmixed.diagnosis = NULL;
    report_visit_severity(&unmixed, SW_WARNING, say_warning, &list);
    report_visit_input_notes(&unmixed, say_input, &list);
    say_unmet(list.block, report);
}
