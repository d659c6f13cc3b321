/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The inside of a report, for its writers. */
#ifndef CLI_WRITE_TREE_H
#define CLI_WRITE_TREE_H

#include "io/figure.h"
#include "io/page.h"
#include "write/write.h"

/* What a field is.  A name tells the rows of a block apart; a signal comes
 * before a note's text; what stands below goes on a line under its row, its
 * words in front.  Steps of one group stand under it.  What is to be ticked or
 * written has no value: a page leaves room for it. */
typedef enum doc_kind {
    DOC_NAME,
    DOC_TEXT,
    DOC_NUMBER,
    DOC_FLAG,
    DOC_VERDICT,
    DOC_SIGNAL,
    DOC_BELOW,
    DOC_GROUP,
    DOC_TICK,
    DOC_WRITE,
    DOC_BLOCK
} doc_kind;

/* What a field is in a chart: "number:length".  The base is the part of the
 * length that comes first, the rest what is put on it; a mark is where the
 * length should be, a range in words what low and high say.  A curve goes
 * through points, each so far across and so far up. */
typedef enum doc_role {
    DOC_NO_ROLE,
    DOC_BASE,
    DOC_REST,
    DOC_LENGTH,
    DOC_MARK,
    DOC_LOW,
    DOC_HIGH,
    DOC_RANGE,
    DOC_ACROSS,
    DOC_UP
} doc_role;
enum { DOC_ROLES = DOC_UP + 1 };

/* What a block is, and how people see it: facts are one record, and so is an
 * alarm, which is framed; rows are a table; bars and curves a table and its
 * chart; notes a list of sentences; entries "name  text"; texts paragraphs, a
 * list the same with a mark before each; a map has names and numbers; steps are
 * numbered, each with an amount, its name and what to do; parts are records
 * shown one after another.  A grid is a table whose rows hold a block of cells:
 * a column for each name among them, and what the cell of that name reads.
 * Lines are rows that in CSV are a line each, all the rest being left out. Runs
 * are whole reports, each with its name. */
typedef enum doc_form {
    DOC_RECORD,
    DOC_ALARM,
    DOC_ROWS,
    DOC_BARS,
    DOC_CURVE,
    DOC_NOTES,
    DOC_ENTRIES,
    DOC_TEXTS,
    DOC_LIST,
    DOC_MAP,
    DOC_STEPS,
    DOC_PARTS,
    DOC_GRID,
    DOC_LINES,
    DOC_RUNS
} doc_form;

/* A row of fields.csv; without a key it is the block's own. */
typedef struct doc_field {
    const char *block, *key;
    const char *words;
    const char *unit; /* "@KEY": the text in that field of the row */
    const char *digits;
    const char *of;  /* the block that a field of type block or part holds */
    doc_kind kind;   /* of a field */
    doc_role role;   /* of a field */
    doc_form form;   /* of a block */
    unsigned places; /* 0: as the block */
    bool one;        /* a part: one record of it */
    bool runs;       /* reports; its words are what their names are of */
    const struct doc_field *next; /* block */
} doc_field;

/* The block `name`; ends the program where there is none. */
const doc_field *fields_block(const char *name);
/* The fields of a block stand right behind it; NULL after the last. */
const doc_field *fields_next(const doc_field *field);
/* Field `key` of a block; ends the program where there is none. */
const doc_field *fields_find(const doc_field *block, const char *key);

typedef struct doc_cell {
    const doc_field *field;
    double number; /* or a flag */
    char *text;
    char *words; /* what people read in place of it; NULL: itself */
} doc_cell;

struct doc_record {
    doc_block *block; /* which it is in; NULL: the report */
    const doc_field *kind;
    doc_cell *cells;
    size_t cell_count;
    doc_block *blocks; /* linked */
    int decimals;
    doc_tone tone;
    unsigned places;
    char *heading, *about; /* of the report; NULL: not said */
    doc_record *next;
};

typedef struct doc_line {
    char *text;
    doc_tone tone;
} doc_line;

struct doc_block {
    const doc_field *field; /* in the record that holds it: its key */
    const doc_field *kind;
    doc_form form;
    char *title; /* NULL: none */
    doc_line *before, *after;
    size_t before_count, after_count;
    unsigned places;
    bool inner; /* in a record of another block, not of the report itself */
    doc_record *records, *last;
    doc_record *model; /* of lines; or NULL */
    doc_block *next;
};

/* The cell of a field, the first of a kind or of a role; or NULL.  Its text, ""
 * for none; its number, NaN for none. */
const doc_cell *doc_cell_of(const doc_record *record, const doc_field *field);
const doc_cell *doc_cell_of_kind(const doc_record *record, doc_kind kind);
const doc_cell *doc_cell_of_role(const doc_record *record, doc_role role);
const char *doc_kind_text(const doc_record *record, doc_kind kind);
double doc_role_number(const doc_record *record, doc_role role);
/* The first of a report's blocks that has this form; NULL: none. */
const doc_block *doc_block_of(const doc_record *report, doc_form form);
/* The unit of a field in a record; "" for none. */
const char *doc_unit(const doc_record *record, const doc_field *field);
/* What people read in a cell; `room` holds it where it is a number. */
const char *doc_read(const doc_record *record, const doc_cell *cell,
                     cli_figure *room);

/* A number with the digits of a field that are not those of its row. */
cli_figure doc_figure(const doc_field *field, double value);

/* Whether it is room for a tick or for handwriting. */
bool doc_is_room(const doc_field *field);
/* Whether the blocks inside its records are shown below them. */
bool doc_is_open(const doc_block *block);
bool doc_is_alarm(const doc_block *block);

/* What a reader sees. */
bool doc_sees_block(const doc_view *view, const doc_block *block);
bool doc_sees_record(const doc_view *view, const doc_record *record);
bool doc_sees_field(const doc_view *view, const doc_field *field);
/* Whether anything of the block's own records is seen; of one field. */
bool doc_has_rows(const doc_view *view, const doc_block *block);
bool doc_has_column(const doc_view *view, const doc_block *block,
                    const doc_field *field);
/* Whether it has rows or sentences; and whether its title is shown: above
 * those, or above what inside it has no title. */
bool doc_has_own(const doc_view *view, const doc_block *block);
bool doc_is_headed(const doc_view *view, const doc_block *block);

#endif
