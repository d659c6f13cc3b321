/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Words of the trade in laboratory reports and archives, in several languages:
 * reference/lab_words.csv. */
#ifndef SW_RECORDS_LAB_WORDS_H
#define SW_RECORDS_LAB_WORDS_H

#include "records/sheet.h"

typedef enum sw_word {
    SW_WORD_NONE,
    /* heads of columns, or of rows where a sample is a column */
    SW_WORD_PARAMETER,
    SW_WORD_DEFINITION, /* the parameter in other words */
    SW_WORD_VALUE,
    SW_WORD_MEAN, /* of several samples: a value where there is no other */
    SW_WORD_EXTREME,
    SW_WORD_UNIT,
    SW_WORD_SAMPLE,
    SW_WORD_DATE,
    SW_WORD_TIME,
    SW_WORD_QUALIFIER, /* "<", "U" */
    SW_WORD_CONDITION, /* "Not Detected" */
    SW_WORD_FLAG,      /* 1: below the limit */
    SW_WORD_LIMIT,
    SW_WORD_LIMIT_UNIT,
    SW_WORD_BASIS, /* "as N" */
    SW_WORD_FRACTION,
    SW_WORD_ORIGIN, /* of what a row is: status, kind of sample, medium */
    SW_WORD_REMARK,
    SW_WORD_WARMTH,     /* at which a conductivity was measured */
    SW_WORD_STATISTIC,  /* "Maximum" */
    SW_WORD_VALIDITY,   /* yes or no */
    SW_WORD_INVALIDITY, /* the same the other way round */
    SW_WORD_IGNORED,
    SW_WORD_PART, /* "irr" of "irr_pH" */
    /* in cells */
    SW_WORD_BELOW,
    SW_WORD_KEPT,
    SW_WORD_ABOVE,
    SW_WORD_UNMEASURED,
    SW_WORD_UNCLEAR,
    SW_WORD_DISSOLVED,
    SW_WORD_TOTAL,
    SW_WORD_FOREIGN, /* not of the water: sediment, rejected */
    SW_WORD_FED,     /* of what crops get or leave: leachate, drain */
    SW_WORD_CHECK,   /* nor this: blanks, limits */
    SW_WORD_NORM, /* within the name of what is no sample: limits, controls */
    SW_WORD_SECTION, /* within headings of some readings of one water */
    SW_WORD_SIGN,    /* heads of "<", before or after a value */
    SW_WORD_YES,
    SW_WORD_NO,
    /* beside names */
    SW_WORD_GIVEN_AS, /* "expressed as" */
    SW_WORD_AT,       /* before a temperature */
    SW_WORD_FIELD,    /* where a pH was measured */
    SW_WORD_LABORATORY,
    SW_WORD_ASIDE,    /* changes nothing: "ICP" */
    SW_WORD_STANDARD, /* whose number follows: "EPA" */
    SW_WORD_APART,    /* not of the water: "blank" */
    SW_WORD_COUNT
} sw_word;

/* The first role of a head among those up to SW_WORD_PART, and its rank: the
 * row of the table, of which the lower goes before. */
sw_word sw_word_of_head(const char *text, int *rank);

/* Whether the cell is a word of that role. */
bool sw_word_is(const char *text, sw_word role);

/* Whether the kind of sample, the medium or the status of a row says that it is
 * of no water; `of_state`: it is a status, and "within limits" is of one. */
bool sw_word_says_foreign(const char *text, bool of_state);

/* How long the longest of that role among the words of a text is; 0: none. */
size_t sw_word_within(const char *text, sw_word role);

/*
 * What words beside readings say of their values.  Titles, headings, heads,
 * remarks and footnotes are no readings, but none that makes other numbers of
 * them is left: it is used where it is clear what it is of, else asked about.
 */
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
