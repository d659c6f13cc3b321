/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Why a recipe is not to be mixed, and what to change, by what is wrong with
 * it. Every writer says both, and none lists amounts.
 */
#include "run/stop.h"

#include "stop_text.h"

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

typedef struct reason_visit {
    report_note_visitor *visit;
    void *context;
} reason_visit;

static void visit_reason(void *context, const sw_note *note)
{
    reason_visit *own = context;
    if (is_reason(note))
        own->visit(own->context, note);
}

void stop_visit_reasons(const cli_report *report, report_note_visitor *visit,
                        void *context)
{
    reason_visit own = {visit, context};
    report_visit_severity(report, SW_DANGER, visit_reason, &own);
}

static void note_reason(void *context, const sw_note *note)
{
    (void)note;
    *(bool *)context = true;
}

bool stop_is_asked(const cli_report *report)
{
    bool asked = false;
    if (report->assessment)
        stop_visit_reasons(report, note_reason, &asked);
    return asked;
}

bool stop_hides(const cli_report *report, const sw_note *note)
{
    bool cures = !report->solution && note->about & SW_ABOUT_CURE;
    return stop_is_asked(report) && (cures || is_reason(note));
}

/* ---- What to change ---------------------------------------------------- */

static void mark_remedy(void *context, const sw_note *note)
{
    bool *wanted = context;
    for (size_t i = 0; i < REMEDIES; i++)
        wanted[i] = wanted[i] || note->about & remedies[i].about;
}

static void visit_remedies(const sw_stock *stock, stop_visitor *visit,
                           void *context)
{
    if (!stock->remedy_count)
        visit(context, stop_no_remedy);
    for (size_t i = 0; i < stock->remedy_count; i++)
        visit(context, stock->remedies[i].text);
}

void stop_visit_changes(const cli_report *report, stop_visitor *visit,
                        void *context)
{
    bool wanted[REMEDIES] = {false};
    if (!stop_is_asked(report))
        return;
    stop_visit_reasons(report, mark_remedy, wanted);
    for (size_t i = 0; i < REMEDIES; i++)
        if (wanted[i] && *remedies[i].change)
            visit(context, remedies[i].change);
        else if (wanted[i] && report->stock)
            visit_remedies(report->stock, visit, context);
    visit(context,
          report->solution
              ? "Then run it again, and weigh only from a sheet without STOP."
              : "Or let saltwright formulate work the amounts out from this "
                "water, target and shelf. Weigh only from a sheet without "
                "STOP.");
}
