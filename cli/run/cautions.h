/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What can hurt while a recipe is being weighed and mixed. */
#ifndef CLI_RUN_CAUTIONS_H
#define CLI_RUN_CAUTIONS_H

#include "run/report.h"

/* Who mixes some recipes handles these; start from {0}. */
typedef struct cli_handled {
    const sw_product *items[SW_MAX_PRODUCTS]; /* each once */
    size_t count;
    bool stocks; /* concentrates in tanks */
} cli_handled;

/* Adds the products that a recipe uses; nothing without one. */
void cautions_add(cli_handled *to, const cli_report *report);
/* Adds those of others. */
void cautions_join(cli_handled *to, const cli_handled *more);
/* What to wear for them: "Wear goggles and chemical-resistant gloves." */
void cautions_gear(const cli_handled *handled, char *text, size_t size);
/* That and all the cautions; release with sw_notes_free. */
void cautions_find(const cli_handled *handled, sw_notes *cautions);
/* Those of one report; release as above. */
void cautions_of(const cli_report *report, sw_notes *cautions);

/* What to leave undone, after "Danger: ". */
extern const char stop_words[];
/* Where no change to the tanks helps. */
extern const char stop_no_remedy[];

/* Whether a note of danger is of the recipe; one on what a meter showed is of
 * the mix there is, not of its recipe. */
bool stop_is_asked(const cli_report *report);
/* Or it is of a water that is not to be mixed yet: no page tells how to mix. */
bool stop_withholds(const cli_report *report);
/* Whether a page with STOP leaves a note out: its reasons are said there, and
 * an amount to add is no cure for a recipe that somebody made up. */
bool stop_hides(const cli_report *report, const sw_note *note);
/* The next of its reasons. */
const sw_note *stop_next_reason(const cli_report *report, cli_note_walk *walk);
/* What to change, the reasons' remedies first; nothing where stop is not asked.
 * As many as there are; the texts are static or the report's. */
enum { STOP_MOST_CHANGES = 32 };
size_t stop_changes(const cli_report *report,
                    const char *changes[STOP_MOST_CHANGES]);

#endif
