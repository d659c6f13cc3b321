/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What words beside readings say of their values.  Titles, headings, heads,
 * remarks and footnotes are no readings, but none that makes other numbers of
 * them is left: it is used where it is clear what it is of, else asked about.
 */
#ifndef SW_RECORDS_LAB_SAID_H
#define SW_RECORDS_LAB_SAID_H

#include "records/sheet.h"

typedef struct sw_lab_said {
    char basis[24];  /* what the values are given as: "CaCO3"; or "" */
    char factor[24]; /* what they are multiplied with: "x 1000"; or "" */
    char warm[24];   /* degrees C other than 25, of a conductivity; or "" */
    char unit[40], other_unit[40]; /* of a title or a footnote; "" */
    bool certain;                  /* of `warm`: by a column of its own */
} sw_lab_said;

/* Something said of the whole file, asked about once its readings are there. */
typedef struct sw_lab_saying {
    const sw_csv_cell *cell;
    sw_lab_said said;
} sw_lab_saying;

enum { SW_LAB_SAYINGS = 16 };

/* Whether it says any of that; `said` is empty where not. */
bool sw_lab_read_said(const char *text, sw_lab_said *said);
/* The unit a text names, "Metals in ug/L"; "" where none or several. */
void sw_lab_find_unit(const char *text, char unit[80]);
/* A temperature alone: "20". */
void sw_lab_read_warmth(const char *text, sw_lab_said *said);
/* Takes of `more` what `said` leaves open. */
void sw_lab_add_said(sw_lab_said *said, const sw_lab_said *more);

#endif
