/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A recipe that no crop should get: it is not to be mixed, so nobody is told
 * how to. */
#ifndef CLI_RUN_STOP_H
#define CLI_RUN_STOP_H

#include "run/report.h"

/* What to leave undone, after "Danger: ". */
extern const char stop_words[];
/* Where no change to the tanks helps. */
extern const char stop_no_remedy[];

/* Whether a note of danger is of the recipe; one on what a meter showed is of
 * the mix there is, not of its recipe. */
bool stop_is_asked(const cli_report *report);
/* Whether a page with STOP leaves a note out: its reasons are said there, and
 * an amount to add is no cure for a recipe that somebody made up. */
bool stop_hides(const cli_report *report, const sw_note *note);
void stop_visit_reasons(const cli_report *report, report_note_visitor *visit,
                        void *context);
/* What to change, the reasons' remedies first; nothing where stop is not asked.
 */
typedef void stop_visitor(void *context, const char *change);
void stop_visit_changes(const cli_report *report, stop_visitor *visit,
                        void *context);

#endif
