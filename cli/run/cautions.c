/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What the products' own hazards say (reference/hazards.csv), which of them
 * must not meet (reference/hazard_pairs.csv), and the usual cautions of the
 * trade (common practice, no source).  They stand in for no label and no local
 * rule, and say so.  Where a mix endangers, STOP: why, and what to change.
 */
#include <ctype.h>
#include <string.h>

#include "run/cautions.h"
#include "io/memory.h"
#include "io/safe.h"
#include "cautions_text.h"
#include "sentences_text.h"
#include "stop_text.h"

/* Said to whoever mixes anything: cautions.csv. */
static const struct {
    const char *code;
    bool stocks_only;
    const char *text;
} usual[] = {
#define CAUTION(code, stocks_only, text) {code, stocks_only, text},
    CAUTION_LIST(CAUTION)
#undef CAUTION
};
enum { USUAL = sizeof usual / sizeof *usual };

static bool handles(const cli_handled *handled, const sw_product *product)
{
    for (size_t i = 0; i < handled->count; i++)
        if (handled->items[i] == product)
            return true;
    return false;
}

static void add_product(cli_handled *to, const sw_product *product)
{
    if (!handles(to, product) && to->count < SW_MAX_PRODUCTS)
        to->items[to->count++] = product;
}

void cautions_add(cli_handled *to, const cli_report *report)
{
    to->stocks = to->stocks || report->stock;
    for (size_t i = 0; report->recipe && i < report->recipe->count; i++)
        if (report_uses(report, i))
            add_product(to, &report->inputs->shelf->products[i]);
}

void cautions_join(cli_handled *to, const cli_handled *more)
{
    to->stocks = to->stocks || more->stocks;
    for (size_t i = 0; i < more->count; i++)
        add_product(to, more->items[i]);
}

/* ---- The list ---------------------------------------------------------- */

static sw_note *add(sw_notes *to, sw_severity severity, const char *code)
{
    to->items = memory_grow(to->items, to->count + 1, sizeof *to->items);
    sw_note *note = &to->items[to->count++];
    *note = (sw_note){.severity = severity, .about = SW_ABOUT_CAUTION};
    snprintf(note->code, sizeof note->code, "%s", code);
    return note;
}

static void append(sw_note *note, const char *before, const char *words)
{
    text_join(note->text, sizeof note->text, "", "%s%s", before, words);
}

void cautions_gear(const cli_handled *handled, char *text, size_t size)
{
    char worn[160];
    unsigned gear = SW_GEAR_GOGGLES | SW_GEAR_GLOVES;
    for (size_t i = 0; i < handled->count; i++)
        gear |= sw_gear_of(handled->items[i]);
    sw_gear_text(gear, worn, sizeof worn);
    snprintf(text, size, SAY_WEAR, worn,
             gear & SW_GEAR_AIR
                 ? " Work in the open or where fumes are drawn off."
                 : "");
}

/* Names of all that have the hazard, as many as there is room for. */
static void append_names(sw_note *note, const cli_handled *handled,
                         const char *code)
{
    const char *before = ": ";
    for (size_t i = 0; i < handled->count; i++) {
        const sw_product *p = handled->items[i];
        if (!sw_has_hazard(p, code))
            continue;
        if (strlen(note->text) + strlen(p->name) + 8 > sizeof note->text) {
            append(note, before, "...");
            return;
        }
        append(note, before, p->name);
        before = ", ";
    }
}

/* A hazard with all that have it. */
static void add_hazard(sw_notes *to, const cli_handled *handled,
                       const sw_hazard *hazard)
{
    char code[sizeof((sw_note *)0)->code];
    snprintf(code, sizeof code, "caution-%s", hazard->code);
    for (char *at = code; *at; at++)
        *at = (char)tolower((unsigned char)*at);
    for (size_t i = 0; i < to->count; i++)
        if (strcmp(to->items[i].code, code) == 0)
            return; /* two categories share it: the stronger's */
    sw_note *note = add(to, hazard->signal, code);
    snprintf(note->text, sizeof note->text, "%s (%s)", hazard->statement,
             hazard->code);
    append_names(note, handled, hazard->code);
    append(note, ".", "");
}

/* The strongest after another; NULL for no more. */
static const sw_hazard *next_hazard(const cli_handled *handled,
                                    const sw_hazard *after)
{
    const sw_hazard *next = NULL;
    for (size_t i = 0; i < handled->count; i++)
        for (size_t k = 0; k < handled->items[i]->hazards.count; k++) {
            const sw_hazard *h = &handled->items[i]->hazards.items[k];
            if ((!after || h->rank > after->rank) &&
                (!next || h->rank < next->rank))
                next = h;
        }
    return next;
}

static void add_hazards(sw_notes *to, const cli_handled *handled)
{
    for (const sw_hazard *h = next_hazard(handled, NULL); h;
         h = next_hazard(handled, h))
        add_hazard(to, handled, h);
}

/* What has neither a class nor a source that says it is in none. */
static void add_unknown(sw_notes *to, const cli_handled *handled)
{
    sw_note *note = NULL;
    for (size_t i = 0; i < handled->count; i++) {
        const sw_product *p = handled->items[i];
        if (p->hazards.count || p->hazards.source)
            continue;
        if (!note) {
            note = add(to, SW_INFO, "caution-unknown");
            append(note, "", SAY_HAZARDS_UNKNOWN);
        } else if (strlen(note->text) + strlen(p->name) + 8 <
                   sizeof note->text) {
            append(note, ", ", "");
        } else {
            append(note, ", ...", "");
            return;
        }
        append(note, "", p->name);
    }
    if (note)
        append(note, "", ".");
}

/* The first of them that is what a side says; NULL for none. */
static const sw_product *find_side(const cli_handled *handled, const char *side)
{
    for (size_t i = 0; i < handled->count; i++)
        if (sw_meeting_side_is(side, handled->items[i]))
            return handled->items[i];
    return NULL;
}

/* Whether all that one side of a pair is on are what another's is on. */
static bool is_within(const cli_handled *handled, const char *side,
                      const char *other)
{
    for (size_t i = 0; i < handled->count; i++)
        if (sw_meeting_side_is(side, handled->items[i]) &&
            !sw_meeting_side_is(other, handled->items[i]))
            return false;
    return true;
}

/* Whether a pair before it says more: of nitric acid rather than of acid. */
static bool is_said(const cli_handled *handled, size_t index)
{
    sw_meeting pair = sw_meeting_at(index);
    for (size_t i = 0; i < index; i++) {
        sw_meeting before = sw_meeting_at(i);
        if (strcmp(before.other, pair.other) == 0 && *before.advice &&
            is_within(handled, pair.one, before.one))
            return true;
    }
    return false;
}

/* What they give with each other, and with things that stand on no shelf. */
static void add_pairs(sw_notes *to, const cli_handled *handled)
{
    for (size_t i = 0; i < sw_meeting_count(); i++) {
        sw_meeting pair = sw_meeting_at(i);
        const sw_product *one = find_side(handled, pair.one);
        const sw_product *other = find_side(handled, pair.other);
        if (!one || !*pair.advice || (pair.is_product && !other) ||
            is_said(handled, i))
            continue;
        sw_note *note = add(to, SW_INFO, "caution-pair");
        snprintf(note->text, sizeof note->text, "%.200s: %s.", pair.gives,
                 pair.advice);
        note->text[0] = (char)toupper((unsigned char)note->text[0]);
    }
}

/* Sale and storage of these are restricted or recorded in some countries:
 * Regulation (EU) 2019/1148, Annexes I and II, as reported; others differ. */
static void add_precursors(sw_notes *to, const cli_handled *handled)
{
    static const char *const kinds[] = {"nitric acid", "sulfuric acid",
                                        "nitrate"};
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        if (!find_side(handled, kinds[i]))
            continue;
        append(add(to, SW_INFO, "caution-precursors"), "", SAY_PRECURSORS);
        return;
    }
}

void cautions_find(const cli_handled *handled, sw_notes *cautions)
{
    *cautions = (sw_notes){NULL, 0};
    sw_note *gear = add(cautions, SW_INFO, "caution-gear");
    gear->about |= SW_ABOUT_GEAR;
    cautions_gear(handled, gear->text, sizeof gear->text);
    add_hazards(cautions, handled);
    add_unknown(cautions, handled);
    add_pairs(cautions, handled);
    for (size_t i = 0; i < USUAL; i++)
        if (handled->stocks || !usual[i].stocks_only)
            append(add(cautions, SW_INFO, usual[i].code), "", usual[i].text);
    add_precursors(cautions, handled);
}

void cautions_of(const cli_report *report, sw_notes *cautions)
{
    cli_handled handled = {.count = 0};
    cautions_add(&handled, report);
    cautions_find(&handled, cautions);
}

/* ---- STOP ----------------------------------------------------------- */

const char stop_words[] = "do not mix this, and do not give it to a crop.";

const char stop_no_remedy[] =
    "Nothing that was tried makes these tanks work: another tank, a third one, "
    "a lower factor, a product left out. Choose other products.";

/* By what a note is about: stop.csv; "" where the stock has remedies of its
 * own.
 */
static const struct {
    unsigned about;
    const char *change;
} remedies[] = {
#define REMEDY(about, change) {about, change},
    STOP_LIST(REMEDY)
#undef REMEDY
};
enum { REMEDIES = sizeof remedies / sizeof *remedies };

/* Whether a note is one of its reasons. */
static bool is_reason(const sw_note *note)
{
    return note->severity == SW_DANGER && !(note->about & SW_ABOUT_METER);
}

const sw_note *stop_next_reason(const cli_report *report, cli_note_walk *walk)
{
    const sw_note *note;
    do
        note = report_next_severe(report, SW_DANGER, walk);
    while (note && !is_reason(note));
    return note;
}

bool stop_is_asked(const cli_report *report)
{
    return (report->assessment || report_is_undetermined(report)) &&
           stop_next_reason(report, &(cli_note_walk){0});
}

bool stop_withholds(const cli_report *report)
{
    const sw_assessment *found = report->assessment;
    return stop_is_asked(report) ||
           (found && !sw_alkalinity_is_known(&found->finished));
}

bool stop_hides(const cli_report *report, const sw_note *note)
{
    bool cures = !report->solution && note->about & SW_ABOUT_CURE;
    return stop_is_asked(report) && (cures || is_reason(note));
}

/* ---- What to change ---------------------------------------------------- */

/* Which remedies its reasons ask for. */
static void find_wanted(const cli_report *report, bool wanted[REMEDIES])
{
    const sw_note *note;
    cli_note_walk walk = {0};
    while ((note = stop_next_reason(report, &walk)))
        for (size_t i = 0; i < REMEDIES; i++)
            wanted[i] = wanted[i] || note->about & remedies[i].about;
}

typedef struct change_list {
    const char **items;
    size_t count;
} change_list;

static void add_change(change_list *list, const char *change)
{
    if (list->count < STOP_MOST_CHANGES)
        list->items[list->count++] = change;
}

static void add_remedies(change_list *list, const sw_stock *stock)
{
    if (!stock->remedy_count)
        add_change(list, stop_no_remedy);
    if (stock->remedy_count > 1)
        add_change(list, SAY_ONE_REMEDY);
    for (size_t i = 0; i < stock->remedy_count; i++)
        add_change(list, stock->remedies[i].text);
}

/* What keeps the pH where it is, as the solution says it; NULL: nothing, and
 * what formulate sizes helps. */
static const char *find_ph_remedy(const cli_report *report)
{
    const sw_solution *found = report->solution;
    for (size_t i = 0; found && i < found->notes.count; i++) {
        const sw_note *note = &found->notes.items[i];
        if (!strcmp(note->code, "agent-fixed"))
            return note->text;
        if (!strcmp(note->code, "no-base"))
            return SAY_STOP_NO_BASE;
        if (!strcmp(note->code, "no-acid"))
            return SAY_STOP_NO_ACID;
    }
    return NULL;
}

/* What too much or too little of a tank does. */
static bool is_of_dose(const bool *wanted)
{
    const unsigned dose = SW_ABOUT_PH | SW_ABOUT_STRENGTH | SW_ABOUT_OVERDOSE |
                          SW_ABOUT_UNASKED | SW_ABOUT_FEED;
    for (size_t i = 0; i < REMEDIES; i++)
        if (wanted[i] && remedies[i].about & dose)
            return true;
    return false;
}

size_t stop_changes(const cli_report *report,
                    const char *changes[STOP_MOST_CHANGES])
{
    bool wanted[REMEDIES] = {false};
    change_list list = {changes, 0};
    const char *ph_remedy = find_ph_remedy(report);
    if (!stop_is_asked(report))
        return 0;
    find_wanted(report, wanted);
    if (report->head_count && !report->solution && is_of_dose(wanted))
        add_change(&list, SAY_STOP_INJECTOR);
    for (size_t i = 0; i < REMEDIES; i++)
        if (wanted[i] && remedies[i].about == SW_ABOUT_PH && ph_remedy)
            add_change(&list, ph_remedy);
        else if (wanted[i] && *remedies[i].change)
            add_change(&list, remedies[i].change);
        else if (wanted[i] && report->stock)
            add_remedies(&list, report->stock);
    add_change(&list,
               report->solution || !is_of_dose(wanted)
                   ? "Then run it again, and weigh only from a sheet without "
                     "STOP."
                   : "Or have the amounts calculated for this water, target "
                     "and shelf. Weigh only from a sheet without STOP.");
    return list.count;
}
