/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A report in the making: what there is to say, without how it looks.
 *
 * A report is an ordered list of blocks.  A block has a key, words before and
 * after, and records: one (facts), or many (the rows of a table, notes).  A
 * record has fields and may hold blocks of its own.  What fields a block has,
 * with their words, units, digits and readers, stands in report/fields.csv;
 * the code only fills in raw values, by key.  So what is said once reaches a
 * terminal, a page, JSON and CSV: the four writers (write.h) walk the same
 * blocks and know nothing of fertilisers.
 *
 * A key that fields.csv does not have ends the program: a mistake in it.
 */
#ifndef CLI_WRITE_DOCUMENT_H
#define CLI_WRITE_DOCUMENT_H

#include <stdbool.h>
#include <stddef.h>

/* Whom a block or a field is for; bits of a sum.  In fields.csv by name. */
typedef enum doc_place {
    DOC_BRIEF = 1,     /* a screen of 24 lines */
    DOC_SCREEN = 2,    /* a terminal */
    DOC_WORKER = 4,    /* the page taken to the scale and the tanks */
    DOC_CLIENT = 8,    /* the page of whoever pays for it */
    DOC_EVIDENCE = 16, /* why to believe it */
    DOC_DATA = 32      /* machines: JSON and CSV */
} doc_place;

/* Colour and frame repeat what words say already; they never speak alone. */
typedef enum doc_tone { DOC_PLAIN, DOC_GOOD, DOC_BAD } doc_tone;

typedef struct doc_record doc_record;
typedef struct doc_block doc_block;

/* The report `name`, a block of fields.csv; release with doc_free. */
doc_record *doc_new(const char *name);
void doc_free(doc_record *report);
/* Its heading, in place of the words in fields.csv, and what it is about, which
 * is on every printed page: "basil, recipe 1A2B-3C4D". */
void doc_head(doc_record *report, const char *heading, const char *about);

/* A block at the end of a record; `key` is one of its fields of type block, or
 * of type part, which has one record, or runs, of which each is a report. */
doc_block *doc_add(doc_record *record, const char *key);
/* The text in field `key` of a record; "" where there is none. */
const char *doc_text_of(const doc_record *record, const char *key);
/* The keys of blocks that a report may have; returns how many, of `most`. */
size_t doc_block_keys(const doc_record *report, const char **keys, size_t most);
/* A record at the end of a block. */
doc_record *doc_row(doc_block *block);
/* Of a block of lines: one that stands for all of them, and is none.  In CSV
 * the names of its maps are columns, and so are all fields of its parts. */
doc_record *doc_model(doc_block *block);
/* Both: a block that is one record. */
doc_record *doc_part(doc_record *record, const char *key);

/* Its heading, in place of the words in fields.csv; what has none, or "", goes
 * on under the heading before. */
void doc_title(doc_block *block, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* A paragraph before or after its records, for people. */
void doc_before(doc_block *block, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
void doc_after(doc_block *block, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* Of a block of texts: one more, in that tone; its field is "text". */
doc_record *doc_say(doc_block *block, doc_tone tone, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
/* Of a block that is a map: a name with its number; none for NaN. */
void doc_entry(doc_block *block, const char *name, double value);
/* Who reads it, in place of what fields.csv says. */
void doc_show_block(doc_block *block, unsigned places);

/* A text is copied; NULL and "" are left out, and so is NaN. */
void doc_text(doc_record *record, const char *key, const char *text);
void doc_print(doc_record *record, const char *key, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
void doc_flag(doc_record *record, const char *key, bool flag);
void doc_number(doc_record *record, const char *key, double value);

typedef struct doc_keyed {
    const char *key;
    double value;
} doc_keyed;
void doc_numbers(doc_record *record, const doc_keyed *numbers, size_t count);
/* DOC_NUMBERS(record, {"key", value}, ...) */
#define DOC_NUMBERS(record, ...)                                               \
    doc_numbers(record, (const doc_keyed[]){__VA_ARGS__},                      \
                sizeof((const doc_keyed[]){__VA_ARGS__}) / sizeof(doc_keyed))

/* A number, and what people read of it. */
void doc_shown(doc_record *record, const char *key, double value,
               const char *words);

/* Another text in place of one that has been set. */
void doc_mend_text(doc_record *record, const char *key, const char *text);

/* What people read in place of a value that has been set, and of its unit:
 * "<0.05"; "": nothing. */
void doc_words(doc_record *record, const char *key, const char *words);
void doc_reads(doc_record *record, const char *key, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
/* Decimals of the fields whose digits are those of their row. */
void doc_decimals(doc_record *record, int decimals);
/* Of the row's verdict; DOC_BAD frames the row. */
void doc_colour(doc_record *record, doc_tone tone);
/* Who reads this row. */
void doc_show_row(doc_record *record, unsigned places);

#endif
