/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A laboratory report or an archive, from a sheet of cells to samples.
 *
 *     bytes -> text (csv_lines) -> cells (sheet) -> where the table is, and
 *     which way it lies (lab_table) -> a reading a row (lab_long) or a sample a
 *     row or column (lab_wide) -> what a reading's cells say (lab_take,
 *     lab_value) -> samples, waters (lab)
 *
 * Nothing fails on the way but for want of memory, which is asked for once at
 * the end: what cannot be read is a defect, what is not read a remark.
 */
#ifndef SW_RECORDS_LAB_H
#define SW_RECORDS_LAB_H

#include "quantity/text.h"
#include "records/given_units.h"
#include "records/lab_words.h"
#include "records/sheet.h"

typedef enum sw_fraction {
    SW_FRACTION_UNSAID,
    SW_FRACTION_DISSOLVED,
    SW_FRACTION_TOTAL,
    SW_FRACTION_FIELD, /* of pH, EC and temperature: measured on site */
    SW_FRACTION_LAB
} sw_fraction;

/* A parameter beside its unit, looked up once. */
typedef struct sw_lab_name {
    char *name, *unit; /* one block with the struct */
    sw_status status;  /* why it cannot be read, with `error`; or SW_OK */
    sw_measure measure;
    sw_error error;
    bool open; /* the name may mean several things */
    struct sw_lab_name *next;
} sw_lab_name;

/* What cells in these words came to, so that each is taken apart once. */
typedef struct sw_lab_memo {
    char *words; /* one block with the struct */
    const sw_lab_name *name;
    bool names_unit; /* the words of the name do, not another cell */
    struct sw_lab_memo *next;
} sw_lab_memo;

typedef struct sw_lab_reading {
    sw_reading reading; /* its texts are those of `name` */
    const sw_lab_name *name;
    sw_fraction fraction;
    bool own_unit; /* not one for many, of a head, a heading or a title */
    const sw_csv_cell *cell;
} sw_lab_reading;

typedef struct sw_lab_sample {
    char *key, *name; /* owned */
    unsigned long line;
    size_t next;  /* of the same bucket, one more than its index; 0 none */
    size_t table; /* in which of the sheet's tables it was met last */
    sw_lab_reading *readings;
    size_t count;
    bool unsound; /* something wrong with it may have found no room */
    char fed[40]; /* that its row calls it so, "leachate"; "" */
    bool blank[SW_COMPONENT_COUNT]; /* listed, and no value with it */
} sw_lab_sample;

enum { SW_LAB_BUCKETS = 1024, SW_LAB_SAMPLE_BUCKETS = 1 << 14 };

typedef struct sw_lab {
    const char *name; /* of the file */
    sw_sheet sheet;
    sw_given_units given;
    bool archive;    /* names of a public archive: none is a slip of the pen */
    size_t table;    /* counts the tables met */
    char title[256]; /* the sample a title names; "" none */
    char unit[80];   /* of readings without one, by a title or a head; "" */
    sw_lab_saying sayings[SW_LAB_SAYINGS]; /* of the whole file */
    size_t saying_count, title_count;      /* the first so many are of titles */
    sw_lab_sample *samples;
    size_t sample_count;
    size_t *buckets; /* of samples by their keys, one more than an index */
    sw_lab_name *names[SW_LAB_BUCKETS];
    sw_lab_memo *memos[SW_LAB_BUCKETS];
    size_t name_count;  /* of both */
    sw_waters *waters;  /* remarks and defects go here */
    char unread[200];   /* names with numbers that are no parameter's */
    char bare[200];     /* samples without a single reading */
    char other_ec[200]; /* those of conductivities at other degrees */
    char marks[200];    /* readings with marks that are not known */
    char at_limit[200]; /* readings up to their limit that no mark says so of */
    size_t apart;       /* readings that are not of the water */
    char left[200];     /* samples and rows that are none, for a note */
    char foreign[200];  /* samples of no water, for another */
    size_t defects_untold;
    bool untold_of_file; /* one of those is of the whole file */
    bool tells_all;      /* defects have no bound */
    bool streamed; /* each row is a sample of its own, and soon forgotten */
    bool is_late;  /* of a stream: nothing from a row on can be read, for */
    sw_error late; /* this */
    bool lost;     /* memory ran out */
} sw_lab;

/* Reads sheet into lab->waters. */
sw_status sw_lab_read(sw_lab *lab, sw_error *error);
void sw_lab_clear(sw_lab *lab);
/* The steps of it: samples to waters; and at the end, what is to be noted. */
sw_status sw_lab_make_waters(sw_lab *lab, sw_error *error);
sw_status sw_lab_conclude(sw_lab *lab, sw_error *error);
/* A defect of the file: there are none. */
void sw_lab_no_readings(sw_lab *lab);
/* Lets go of all samples, and of names where they are many. */
void sw_lab_forget(sw_lab *lab);

/* ---- What every step may say -------------------------------------------- */

/* A defect of a sample (or SW_WHOLE_FILE) at a cell. */
void sw_lab_defect(sw_lab *lab, size_t sample, const sw_csv_cell *cell,
                   sw_status status, const char *format, ...) SW_PRINTF(5, 6);
/* The same of another room's error, whose column counts within the cell; NULL:
 * it has its place. */
void sw_lab_blame(sw_lab *lab, size_t sample, const sw_csv_cell *cell,
                  const sw_error *error);
/* That of a name or its unit, with what may settle it. */
void sw_lab_blame_name(sw_lab *lab, size_t sample, const sw_csv_cell *cell,
                       const sw_lab_name *name);
/* The same of a name that is none, or a name of ours that its cell does not
 * stand for. */
void sw_lab_blame_near(sw_lab *lab, size_t sample, const sw_csv_cell *cell,
                       const char *name);
/* What a cell is taken as; and of what was written there, or of a whole file
 * (cell NULL). */
void sw_lab_remark(sw_lab *lab, size_t sample, const sw_csv_cell *cell,
                   const char *format, ...) SW_PRINTF(4, 5);
void sw_lab_remark_of(sw_lab *lab, size_t sample, const sw_csv_cell *cell,
                      const char *written, const char *format, ...)
    SW_PRINTF(5, 6);

/* Whether a name is of a conductivity at degrees that are neither 25 nor 20:
 * "EC (18 degC)". */
bool sw_lab_is_other_ec(const char *text);
/* A name with numbers that is not known, for a note. */
void sw_lab_unread(sw_lab *lab, const char *name);

/* A name in one of the lists above, for a note at the end. */
void sw_lab_list(char *list, size_t size, const char *name);

/* A title, a heading or a footnote: what it says of values is asked about, of
 * readings it may change, once they are there. */
void sw_lab_hear(sw_lab *lab, const sw_csv_cell *cell);
void sw_lab_hear_title(sw_lab *lab, size_t row);
void sw_lab_hear_unit(sw_lab *lab, const char *text);
void sw_lab_ask_said(sw_lab *lab);
/* Whether a reading, in a unit that does not say of what, may be given as
 * something else; and whether any ion may be given as that, as CaCO3. */
bool sw_lab_may_be_as(const sw_lab_name *name);
bool sw_lab_is_of_all(const char *basis);

/* NULL where memory ran out. */
const sw_lab_name *sw_lab_look_up(sw_lab *lab, const char *name,
                                  const char *unit);

size_t sw_lab_hash(size_t hash, const char *text);
void sw_lab_free_names(sw_lab *lab);

/* What was kept for these words, NULL: nothing; and to keep it. */
const sw_lab_memo *sw_lab_recall(const sw_lab *lab, const char *words);
void sw_lab_keep(sw_lab *lab, const char *words, const sw_lab_name *name,
                 bool names_unit);

/* The index of the sample of that key, made where it is new; SW_WHOLE_FILE
 * where memory ran out. */
size_t sw_lab_sample_of(sw_lab *lab, const char *key, const char *name,
                        unsigned long line);
void sw_lab_add(sw_lab *lab, size_t sample, const sw_lab_reading *reading);
/* What a row says its sample is, "nutrient solution", for a note on it. */
void sw_lab_hear_kind(sw_lab *lab, size_t sample, const char *kind);

/* Readings of a sample beside each other, before they are a water. */
void sw_lab_settle(sw_lab *lab, size_t index);
/* Gives samples of one name their time of day, where they have one. */
void sw_lab_tell_apart(sw_lab *lab);

/* ---- Where the table is -------------------------------------------------- */

/* A name, and within it the unit, "Ca [mg/L]", "Calcium, mg/L", or what it is
 * given as, "Silica (as Si)". */
typedef struct sw_lab_split {
    char name[160], unit[80], basis[80];
    char part[24]; /* "irr" of "irr_Ca": which of two solutions in a row */
    bool known;    /* as a parameter, perhaps an open one */
} sw_lab_split;
void sw_lab_split_name(const char *text, sw_lab_split *split);

typedef enum sw_lab_beside {
    SW_BESIDE_CLEAR,
    SW_BESIDE_APART,  /* a limit or a blank, not of the water */
    SW_BESIDE_UNKNOWN /* it may make another number of it */
} sw_lab_beside;
/* What stands beside the name and is no unit becomes the unit, or what it is
 * given as, or is dropped where it changes nothing. */
sw_lab_beside sw_lab_read_beside(sw_lab_split *split);
/* "uS/cm at 20 degC": the unit before a temperature, and that. */
bool sw_lab_cut_warmth(const char *text, char unit[80], char warm[24]);
/* A name that is known followed by words that are: "Boron by ICP". */
bool sw_lab_split_words(sw_lab_split *split);
/* Whether a name that is not known holds one of a nutrient, or of alkalinity or
 * hardness, among its words: "Boron in leaves". */
bool sw_lab_holds_name(const char *text, char found[80]);

/* A head of a column. */
typedef struct sw_lab_head {
    sw_word role;
    int rank;
    char unit[80];    /* of a value: "Result (mg/L)", "meq/L"; "" */
    sw_lab_said said; /* "Value (as CaCO3)" */
} sw_lab_head;
void sw_lab_head_of(const char *text, sw_lab_head *head);

typedef struct sw_lab_table {
    bool is_long;
    size_t row;    /* of its header */
    size_t column; /* long: the column that names parameters */
} sw_lab_table;
/* Finds the first table and turns the sheet where it lies so; false, with a
 * defect, where there is none. */
bool sw_lab_find_table(sw_lab *lab, sw_lab_table *table);
/* Whether the head of parameters is that of a public archive. */
bool sw_lab_is_archive(const char *head);
/* Whether a row heads readings; *column is where parameters are named. */
bool sw_lab_heads_long(const sw_lab *lab, size_t row, size_t *column);
/* How many cells of a row name parameters. */
size_t sw_lab_count_names(const sw_lab *lab, size_t row);
/* Lines a table takes cells from must fit its header. */
bool sw_lab_fits(sw_lab *lab, size_t sample, size_t row, size_t width);

void sw_lab_read_long(sw_lab *lab, const sw_lab_table *table);
void sw_lab_read_wide(sw_lab *lab, const sw_lab_table *table);

/* The latter in steps: the header; rows, from that behind it on; and of a
 * stream, letting go of those taken, after which new ones stand at the index
 * returned. */
typedef struct sw_lab_wide sw_lab_wide;
/* NULL where memory ran out. */
sw_lab_wide *sw_lab_wide_new(sw_lab *lab, const sw_lab_table *table);
void sw_lab_wide_free(sw_lab_wide *wide);
/* Whether no row held heads another table, whose samples would be the same, or
 * marks the readings of the one beside it. */
bool sw_lab_wide_is_plain(const sw_lab_wide *wide);
void sw_lab_wide_take(sw_lab_wide *wide, size_t first);
size_t sw_lab_wide_forget(sw_lab_wide *wide);

/* ---- One reading --------------------------------------------------------- */

/* What a cell says. */
typedef struct sw_lab_value {
    bool measured, below, has_number;
    double number;
    char unit[48]; /* "48 mg/L" */
} sw_lab_value;

/* Reads a cell of values.  SW_ERR_SYNTAX, _VALUE, with its place. */
sw_status sw_lab_value_of(const sw_sheet *sheet, const sw_csv_cell *cell,
                          sw_lab_value *value, sw_error *error);

enum { SW_LAB_UNITS = 3, SW_LAB_DEFINITIONS = 3 };

/* The cells of a reading; NULL or "" for what is not there. */
typedef struct sw_lab_cells {
    size_t sample;
    const sw_csv_cell *name, *value, *unit;
    const char *spelled; /* the name, where the cell holds more; or NULL */
    const char *units[SW_LAB_UNITS]; /* of columns and sections, in order */
    const char *definitions[SW_LAB_DEFINITIONS];
    const sw_csv_cell *qualifier, *condition, *flag;
    const sw_csv_cell *limits[2]; /* of detection, of reporting */
    const char *limit_units[2], *basis, *fraction;
    int *fraction_kept; /* what the name says of it, of all readings of a
                           column, above 0 once known; or NULL */
    sw_lab_said said; /* by words beside the reading, its heads and headings */
    bool own_unit;    /* of its column in a table of samples */
    bool said_of_it;  /* of no other */
    const sw_csv_cell *hint; /* words that may mean "not detected"; NULL */
} sw_lab_cells;
/* What the cells of a column below its header say, whatever its head. */
typedef enum sw_lab_marks {
    SW_LAB_NO_MARKS,
    SW_LAB_ONLY_MARKS, /* "<", U, ND, J, and nothing else */
    SW_LAB_SOME_MARKS  /* "<" or ND among other words */
} sw_lab_marks;
sw_lab_marks sw_lab_marks_in(const sw_sheet *sheet, size_t header,
                             size_t column);
/* Whether a mark, a condition or a flag beside the value says "not detected".
 */
bool sw_lab_marked_below(const sw_lab_cells *cells);
/* Cuts the marks of footnotes, "pH (1)" and "0.12 (3)", where a row below, as
 * "(1) measured on receipt", explains that number; of a sheet read whole and
 * not turned. */
void sw_lab_cut_footnotes(sw_sheet *sheet);
/* Whether words hold more than a mark that may mean "not detected". */
bool sw_lab_hints_below(const char *text);
/* Cuts "expressed as" off the front, "equivalent" off the end; false: neither
 * is there. */
bool sw_lab_cut_lead(char *text);
/* Whether a text ends in a bracket or word of a list, by "|". */
bool sw_lab_ends_in(const char *text, const char *list);
/* Whether a word beside a name or a value changes nothing. */
bool sw_lab_is_aside(const char *word);
/* Whether a cell (NULL: none) is a word of that role. */
bool sw_lab_says(const sw_csv_cell *cell, sw_word role);
/* Whether what a mark means is known; of none it is. */
bool sw_lab_mark_is_known(const sw_csv_cell *mark);
/* Takes it; what it is not is said. */
void sw_lab_take(sw_lab *lab, const sw_lab_cells *cells);
/* What a unit is of; "" where it does not say, or is none. */
void sw_lab_species_of(const char *unit, char of[SW_KEY_SIZE]);
/* Whether two units are one, or one of them says more of it. */
bool sw_lab_same_unit(const char *a, const char *b);
/* What the name and its units come to; NULL: not known, which is said. */
const sw_lab_name *sw_lab_resolve(sw_lab *lab, const sw_lab_cells *cells,
                                  bool *names_unit);
/* Whether it is a reading, without a word about it where not. */
bool sw_lab_settles(sw_lab *lab, const sw_lab_cells *cells);
/* Reads a second value of the same and holds it against the first. */
void sw_lab_compare(sw_lab *lab, const sw_lab_cells *first,
                    const sw_lab_cells *second);

#endif
