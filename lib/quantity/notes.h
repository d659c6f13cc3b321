/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Appending to a list of notes. */
#ifndef SW_QUANTITY_NOTES_H
#define SW_QUANTITY_NOTES_H

#include "quantity/status.h"

/*
 * Appends one note, its kind a severity and what it is about (SW_DANGER |
 * SW_ABOUT_PH), ending in "..." where it is too long.  Once memory runs out
 * the list is empty and stays so: who has many notes to add asks once, at the
 * end, with sw_notes_status.  Words: reference/words.csv.
 */
sw_status sw_notes_add(sw_notes *notes, unsigned kind, const char *code,
                       const char *format, ...) SW_PRINTF(4, 5);

/* Appends copies of all of `from`. */
sw_status sw_notes_append(sw_notes *notes, const sw_notes *from);

/* Whether what is to be noted was found: a lack of memory loses the list, any
 * other failure nothing but the note. */
bool sw_notes_found(sw_notes *notes, sw_status status);

/* Whether one from that one on is about any of these. */
bool sw_notes_are_about(const sw_notes *notes, size_t from, unsigned about);

/* How many are of a danger. */
size_t sw_notes_dangers(const sw_notes *notes);

/* SW_ERR_MEMORY where notes are lost. */
sw_status sw_notes_status(const sw_notes *notes, sw_error *error);

/* Three significant figures without an exponent, for a note or a reason:
 * "1234", "21.2", "0.045". */
enum { SW_FIGURE_BYTES = 32 };
const char *sw_figure(double value, char text[SW_FIGURE_BYTES]);

#endif
