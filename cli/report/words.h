/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the screen and the sheets say in the same words. */
#ifndef CLI_REPORT_WORDS_H
#define CLI_REPORT_WORDS_H

#include "run/several.h"

enum { WORDS_UNMET_KINDS = 3 };
/* The verdicts of what is not met, as a sentence begins with them. */
extern const struct words_unmet_kind {
    sw_verdict verdict;
    const char *word; /* "Short", "Over" */
} words_unmet_kinds[WORDS_UNMET_KINDS];

/* "Short: K; Over: Ca, pH", or "" where every target is met. */
void words_unmet(const cli_report *report, char *words, size_t size);

/* "Over: Ca 62.0 of at most 40 mg/L. Short: K 100 of at least 180 mg/L."; of
 * more than a few, names alone. */
void words_missed(const cli_report *report, char *words, size_t size);
/* The limits of nutrients that keep the recipe from the target: "NH4-N:N max
 * 0.1 (basil.csv line 10)". */
void words_holding(const cli_report *report, char *names, size_t size);
/* The same of one verdict, without its word; returns how many. */
size_t words_of_missed(const cli_report *report, sw_verdict verdict, char *list,
                       size_t size);
/* How the pH leaves its range on standing, and what brings it back; or "". */
void words_standing(const cli_report *report, char *text, size_t size);

/* Where a pH that is met as mixed leaves its accepted range, by more than
 * counts, as the solution stands in the air: a sentence; else "". */
void words_drift(const cli_report *report, char *text, size_t size);
/* Whether the pH measured is that of the mix as meant, aired as is asked. */
bool words_are_read_aired(const cli_report *report);
/* Whether a pH wanted in the air alone is not that of the fresh mix of one. */
bool words_airs_any(const cli_several *several);
/* The same of all waters, each with its assessment, whose pH ends above, or
 * below, its range. */
void words_drift_of_many(const cli_several *several, bool above, char *text,
                         size_t size);

/* Why nothing is best of a product whose best rate was asked for: a sentence;
 * NULL where something is. */
const char *words_best_is_nothing(const cli_report *report);

/* "1.80 mS/cm: 0.83 times the target"; "" without --to-ec. */
void words_strength(const cli_inputs *inputs, char *text, size_t size);

#endif
