/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A label's text taken apart, in the words of regulations or in our own. */
#ifndef SW_QUANTITY_LABEL_TEXT_H
#define SW_QUANTITY_LABEL_TEXT_H

#include "quantity/status.h"

enum { SW_LABEL_BYTES = 4096, SW_LABEL_ENTRY = 200 };

/* What the words beside a name say of its figure: reference/label_words.csv. */
typedef enum sw_label_role {
    SW_LABEL_WHOLE,     /* all of it, whether it dissolves or not */
    SW_LABEL_AVAILABLE, /* soluble in citrate */
    SW_LABEL_SOLUBLE,   /* soluble in water */
    SW_LABEL_CHELATED,
    SW_LABEL_OTHER, /* soluble nitrogen of no named form */
    SW_LABEL_UNDISSOLVED,
    SW_LABEL_MOST, /* not more than that */
    SW_LABEL_LIST, /* the rest are of the table alone */
    SW_LABEL_UNIT,
    SW_LABEL_VOLUME,
    SW_LABEL_FILLER,
    SW_LABEL_BESIDE, /* beside a name of any reading */
    SW_LABEL_NOTHING,
    SW_LABEL_DENSITY,
    SW_LABEL_JOIN, /* between the names of a list */
    SW_LABEL_MILD, /* an acid that counts as none */
    SW_LABEL_ACID,
    SW_LABEL_BASE,       /* a hydroxide */
    SW_LABEL_FORM,       /* of nitrogen, behind its figure */
    SW_LABEL_LISTED,     /* another name, in lists alone */
    SW_LABEL_IRON,       /* in words that are no name of it */
    SW_LABEL_NOT,        /* what follows is not in it */
    SW_LABEL_UNTABLED,   /* a chelator of which we have no limits of pH */
    SW_LABEL_NO_SULFATE, /* its sulfur is in another ion */
    SW_LABEL_UNCLAIMED
} sw_label_role;

typedef struct sw_label_text {
    char text[SW_LABEL_BYTES]; /* folded, a byte a character; lines kept */
    char derived[SW_LABEL_ENTRY * 5]; /* the list of that name, or "" */
    bool pasted;                      /* in lines */
    const char *at;
} sw_label_text;

/* One entry: what is named, and its figure. */
typedef struct sw_label_entry {
    char name[SW_LABEL_ENTRY]; /* without the words that are its role */
    sw_label_role role;        /* up to SW_LABEL_MOST */
    double value, last_digit;  /* %; one unit of the last digit given */
    bool unit;                 /* it had one, if only a percent sign */
    bool by_volume;            /* the value is in g/100 mL; else in % by mass */
    char again[SW_LABEL_ENTRY]; /* "26.6 % CaO": the same in other words */
} sw_label_entry;

/* Makes ready for sw_label_next.  SW_ERR_LIMIT: too long. */
sw_status sw_label_open(const char *text, sw_label_text *t, sw_error *error);

/* Takes what it is derived from out of the text.  SW_ERR_LIMIT: too long. */
sw_status sw_label_take_list(sw_label_text *t, sw_error *error);

/* The next entry's start and length; false at the end. */
bool sw_label_next(sw_label_text *t, const char **start, size_t *length);

/*
 * "Soluble Potash (K2O) ..... 46 %", "14.4 % nitrate nitrogen", "Ca 19".
 * SW_ERR_SYNTAX, SW_ERR_LIMIT.
 */
sw_status sw_label_split(const char *start, size_t length, sw_label_entry *e,
                         sw_error *error);

/* "Leaf Feed 20-20-20": the first three numbers of a grade within an entry. */
bool sw_label_grade(const char *start, size_t length, double grade[3]);

/* The length of words of that role at the start of an entry; 0: none. */
size_t sw_label_begins(const char *start, sw_label_role role);

/* Blanks out the words of that role in a folded name; false: there are none. */
bool sw_label_blank(char *name, sw_label_role role);

/* Whether a name has words of that role in it, as parts of longer ones too. */
bool sw_label_says(const char *name, sw_label_role role);

/* What the words of that role, which are the whole text, stand for; NULL. */
const char *sw_label_meaning(const char *text, sw_label_role role);

/* The most of a component that a label need not print, %; 0: none. */
double sw_label_unclaimed(const char *component);

#endif
