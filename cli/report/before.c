/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What whoever mixes must know before: at the head of page 1, and of the
 * result. */
#include <stdlib.h>
#include <string.h>

#include "before_text.h"
#include "io/memory.h"
#include "report/blocks.h"
#include "report/words.h"
#include "run/cautions.h"
#include "sentences_text.h"

/* Of warnings by their code, before.csv: in short, or "" where they concern who
 * made the recipe, and whether that is whom to ask.  Any other is said as it
 * stands, as is one of "%s". */
static const struct {
    const char *code;
    bool ask;
    const char *words;
} known[] = {
#define BEFORE(code, ask, words) {code, ask, words},
    BEFORE_LIST(BEFORE)
#undef BEFORE
};
enum { KNOWN = sizeof known / sizeof *known, MOST_LINES = 2 * KNOWN };

typedef struct line {
    const char *text; /* of before.csv, or of the report */
    bool ask;
    bool stays; /* never left to a longer screen */
} line;

/* What to know of one recipe, and how many warnings are left to its notes. */
typedef struct lines {
    line items[MOST_LINES];
    size_t count, others;
    bool said[KNOWN];
} lines;

static bool has_said(const lines *list, const char *code)
{
    for (size_t i = 0; i < KNOWN; i++)
        if (strcmp(known[i].code, code) == 0)
            return list->said[i];
    return false;
}

/* Of a water without alkalinity, or with an ion left blank, more is known than
 * that something lacks, and of an EC that cannot be true than that it is
 * improbable. */
static bool is_said(const lines *list, const sw_note *note)
{
    if (strcmp(note->code, "ec-improbable") == 0)
        return has_said(list, "ec-contradicts");
    return strcmp(note->code, "not-reported") == 0 &&
           (has_said(list, "alkalinity-missing") ||
            has_said(list, "listed-blank") ||
            has_said(list, "ph-alkalinity-missing"));
}

static bool has_line(const lines *list, const char *text)
{
    for (size_t i = 0; i < list->count; i++)
        if (strcmp(list->items[i].text, text) == 0)
            return true;
    return false;
}

static void add_line(lines *list, const char *text, bool ask)
{
    if (has_line(list, text))
        return;
    if (list->count < MOST_LINES)
        list->items[list->count++] = (line){.text = text, .ask = ask};
    else
        list->others++;
}

/* Doubts of the water's report, gas that acid drives out, what clogs lines. */
static bool stays(const sw_note *note)
{
    return note->about & (SW_ABOUT_DOUBT | SW_ABOUT_GAS) ||
           strcmp(note->code, "stock-silicate") == 0;
}

static void add_warning(lines *list, const sw_note *note)
{
    size_t i = 0;
    if (note->about & SW_ABOUT_LACK)
        return;
    while (i < KNOWN && strcmp(known[i].code, note->code) != 0)
        i++;
    size_t before = list->count;
    if (i == KNOWN) {
        add_line(list, note->text, false);
        if (list->count > before)
            list->items[before].stays = stays(note);
        return;
    }
    bool stands = strcmp(known[i].words, "%s") == 0;
    bool again = list->said[i] && strcmp(note->code, "improbable") == 0;
    if (!*known[i].words)
        list->others++;
    else if (stands) /* of many that are improbable the page names one */
        add_line(list, again ? SAY_BEFORE_IMPROBABLE_TOO : note->text,
                 known[i].ask);
    else if (!list->said[i] && !is_said(list, note))
        add_line(list, known[i].words, known[i].ask);
    list->said[i] = true;
    if (list->count > before)
        list->items[before].stays = stays(note);
}

/* Notes on a file are not among those of the recipe. */
static void add_input(lines *list, const sw_note *note)
{
    size_t others = list->others;
    if (note->severity >= SW_WARNING)
        add_warning(list, note);
    list->others = others;
}

/* Of the mix, without its files.  The notes on readings are of what is mixed
 * already. */
static void find_of_mix(const cli_report *report, lines *list)
{
    cli_report unmixed = *report;
    const sw_note *note;
    cli_note_walk walk = {0};
    unmixed.diagnosis = NULL;
    *list = (lines){.count = 0};
    while ((note = report_next_severe(&unmixed, SW_WARNING, &walk)))
        add_warning(list, note);
    list->others += report_count_severity(report, SW_WARNING) -
                    report_count_severity(&unmixed, SW_WARNING);
}

/* Those to ask of come first: the brief screen has room for one. */
static void sort_lines(lines *list)
{
    line ordered[MOST_LINES];
    size_t count = 0;
    for (int ask = 1; ask >= 0; ask--)
        for (size_t i = 0; i < list->count; i++)
            if (list->items[i].ask == (bool)ask)
                ordered[count++] = list->items[i];
    memcpy(list->items, ordered, count * sizeof *ordered);
}

static void find_lines(const cli_report *report, lines *list)
{
    const sw_note *note;
    cli_note_walk walk = {0};
    find_of_mix(report, list);
    while ((note = report_next_input_note(report, &walk)))
        add_input(list, note);
    sort_lines(list);
}

/* "12 of 14 targets are met. Over: Ca 62 of at most 40 mg/L." */
static void say_unmet(doc_block *block, const cli_report *report)
{
    char words[2048];
    size_t met, all;
    sw_count_met(report->assessment, &met, &all);
    if (met == all)
        return;
    words_missed(report, words, sizeof words);
    doc_say(block, DOC_BAD, SAY_BEFORE_UNMET, met, all, words);
}

void report_before(doc_record *record, const cli_report *report)
{
    lines list;
    doc_block *block = doc_add(record, "before");
    find_lines(report, &list);
    for (size_t i = 0; i < list.count; i++)
        report_reads_us(doc_say(block, DOC_BAD, "%s%s", list.items[i].text,
                                list.items[i].ask ? " " SAY_BEFORE_ASK : ""),
                        "text", report);
    say_unmet(block, report);
    if (report->assessment->undeclared.text[0])
        report_reads_poured(
            doc_say(block, DOC_BAD, "%s", report->assessment->undeclared.text),
            "text", report);
    for (int t = 0; report->stock && t < SW_TANKS; t++)
        if (*report->stock->tanks[t].chelate_lost)
            doc_say(block, DOC_BAD, "%s", report->stock->tanks[t].chelate_lost);
}

static size_t count_remarks(const cli_report *report)
{
    size_t count = 0;
    const sw_note *note;
    cli_note_walk walk = {0};
    while ((note = report_next_note(report, &walk)))
        count += note->severity >= SW_WARNING &&
                 !(note->about & SW_ABOUT_CAUTION) && !stop_hides(report, note);
    return count;
}

/* Of what is not to be mixed, what to ask alone: the rest is how to mix.  The
 * brief screen has room for the first of them. */
report_remarks report_say_before(doc_block *verdict, const cli_report *report)
{
    lines list;
    size_t all = count_remarks(report);
    bool stop = stop_is_asked(report);
    bool more = false; /* on the brief screen */
    find_lines(report, &list);
    for (size_t i = 0; i < list.count; i++) {
        if (stop && !list.items[i].ask) {
            list.others++;
            continue;
        }
        doc_record *row = doc_say(verdict, DOC_BAD, "%s", list.items[i].text);
        report_reads_us(row, "text", report);
        bool brief = i == 0 || list.items[i].stays;
        if (!brief)
            doc_show_row(row, DOC_SCREEN | DOC_CLIENT | DOC_DATA);
        more |= !brief;
    }
    return (report_remarks){list.others ? all : 0,
                            list.others || more ? all : 0};
}

static void add_reasons(lines *list, const cli_report *report)
{
    const sw_note *note;
    cli_note_walk walk = {0};
    while ((note = report_next_severe(report, SW_WARNING, &walk)))
        if (note->about & SW_ABOUT_LACK)
            add_line(list, note->text, false);
}

void report_say_reasons(doc_block *verdict, const cli_report *report)
{
    lines list = {.count = 0};
    add_reasons(&list, report);
    for (size_t i = 0; i < list.count; i++)
        report_reads_us(doc_say(verdict, DOC_BAD, "%s", list.items[i].text),
                        "text", report);
}

void report_say_before_water(doc_block *verdict, const cli_inputs *inputs)
{
    lines list = {.count = 0};
    for (size_t i = 0; i < inputs->assumptions.count; i++)
        add_input(&list, &inputs->assumptions.items[i]);
    for (size_t i = 0; i < list.count; i++)
        doc_say(verdict, DOC_BAD, "%s", list.items[i].text);
}

void report_add_doubts(const cli_report *report, char *text, size_t size)
{
    lines list;
    find_lines(report, &list);
    add_reasons(&list, report);
    for (size_t i = 0; i < list.count; i++) {
        size_t length = strlen(list.items[i].text);
        length -= length && list.items[i].text[length - 1] == '.';
        text_join(text, size, ". ", "%.*s", (int)length, list.items[i].text);
    }
}

/* ---- Of several runs ----------------------------------------------------- */

/* Which runs a line is of, where it is not of all: "well, town: ". */
static doc_record *say_line(doc_block *verdict, const char *const *names,
                            const lines *of, size_t count, const char *text)
{
    char list[1024] = "";
    size_t having = 0;
    for (size_t k = 0; k < count; k++) {
        if (!has_line(&of[k], text))
            continue;
        text_join(list, sizeof list, ", ", "%s", names[k]);
        having++;
    }
    bool all = having == count;
    return doc_say(verdict, DOC_BAD, "%s%s%s", all ? "" : list, all ? "" : ": ",
                   text);
}

/* Whether no run before `run` has it. */
static bool is_first(const lines *of, size_t run, const char *text)
{
    size_t k = 0;
    while (k < run && !has_line(&of[k], text))
        k++;
    return k == run;
}

void report_say_before_several(doc_block *verdict, const cli_several *several)
{
    const char *const *names = (const char *const *)several->names;
    lines *of = memory_array(several->count, sizeof *of);
    for (size_t k = 0; k < several->count; k++)
        if (several->blend && k + 1 == several->count)
            find_of_mix(several->reports[k], &of[k]); /* of waters before it */
        else
            find_lines(several->reports[k], &of[k]);
    for (size_t k = 0; k < several->count; k++)
        for (size_t i = 0; i < of[k].count; i++)
            if (is_first(of, k, of[k].items[i].text))
                report_reads_us(say_line(verdict, names, of, several->count,
                                         of[k].items[i].text),
                                "text", several->reports[0]);
    free(of);
}

void report_say_doubts(doc_block *verdict, const cli_open_water *open,
                       size_t count)
{
    lines *of = memory_array(count, sizeof *of);
    const char **names = memory_array(count, sizeof *names);
    for (size_t k = 0; k < count; k++) {
        names[k] = open[k].sample;
        for (size_t i = 0; i < open[k].notes.count; i++)
            if (open[k].notes.items[i].about & SW_ABOUT_REPORT)
                add_input(&of[k], &open[k].notes.items[i]);
        if (open[k].doubt)
            add_input(&of[k], open[k].doubt);
    }
    for (size_t k = 0; k < count; k++)
        for (size_t i = 0; i < of[k].count; i++)
            if (is_first(of, k, of[k].items[i].text))
                say_line(verdict, names, of, count, of[k].items[i].text);
    free(names);
    free(of);
}
