/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The options of every command, listed once, in options.csv: parsing, help and
 * the tests of the manual and the completion all read that list. */
#ifndef CLI_IO_OPTIONS_H
#define CLI_IO_OPTIONS_H

#include <stdbool.h>
#include <stddef.h>

#include "io/exit_code.h"
#include "options_text.h"

/* What --help prints them under, in that order. */
typedef enum option_heading {
    HEADING_INPUTS,
    HEADING_FIND,
    HEADING_TANKS,
    HEADING_ACCURACY,
    HEADING_OUTPUT,
    HEADING_COUNT
} option_heading;

typedef enum option_id {
#define OPTION_ENUM(id, ...) id,
    OPTION_LIST(OPTION_ENUM)
#undef OPTION_ENUM
        OPT_COUNT
} option_id;

/* Groups of options that commands share; a command's list is made of some of
 * them and of what is its own. */
#define OPTIONS_WATER OPT_WATER, OPT_UNITS
#define OPTIONS_ONE_WATER OPTIONS_WATER, OPT_READ_AS, OPT_SHARE
#define OPTIONS_TARGET OPT_TARGET, OPT_STAGE
#define OPTIONS_TARGET_OF OPT_TARGET_OF, OPT_ADJUST
#define OPTIONS_SHELF OPT_SHELF, OPT_LABEL
#define OPTIONS_CLOSENESS OPT_OBJECTIVE, OPT_EQUAL
#define OPTIONS_SCALE                                                          \
    OPT_SCALE_STEP, OPT_FINE_STEP, OPT_TRACE_SOLUTION, OPT_WHOLE_PACKS,        \
        OPT_SEARCH_TIME
#define OPTIONS_TANKS                                                          \
    OPT_TANK, OPT_FACTOR, OPT_HEAD, OPT_MAKE_UP, OPT_PER_DAY, OPT_FILLS,       \
        OPT_STORE
#define OPTIONS_METERS                                                         \
    OPT_METER_AT, OPT_HOW_SURE, OPT_DOUBT, OPT_MEASURED_EC, OPT_MEASURED_PH
#define OPTIONS_DATA OPT_FORMAT, OPT_OUTPUT, OPT_HELP
#define OPTIONS_RESULT OPT_BRIEF, OPT_ONLY, OPT_SHEET, OPTIONS_DATA

typedef struct cli_option_spec {
    option_heading heading;
    const char *name;
    const char *argument; /* "": it takes none */
    const char *repeats;  /* "yes", or "" */
    const char *values;   /* the words it takes, with blanks between, or "" */
    const char *help;
} cli_option_spec;

const cli_option_spec *option_spec_of(option_id id);
bool option_takes_value(option_id id);
const char *option_heading_text(option_heading heading);

struct cli_command;

/* What was given; the texts are those of argv. */
typedef struct cli_options {
    const struct cli_command *command;
    struct {
        option_id id;
        const char *value; /* "" for an option without argument */
        const char *from;  /* "this folder", where nobody gave it; or NULL */
    } * given;
    size_t given_count;
    char **operands;
    size_t operand_count;
    char *house_shelf; /* the name of one that was found; or NULL */
} cli_options;

/*
 * Reads argv[1] and on for `command`; kept.  What is wrong with them is
 * complained about and ends the program, here and in all that reads options.
 */
cli_options *options_read(const struct cli_command *command, int argc,
                          char **argv);

size_t options_count(const cli_options *options, option_id id);
/* The nth value of an option, NULL when there is none. */
const char *options_value(const cli_options *options, option_id id, size_t nth);
bool options_has(const cli_options *options, option_id id);
/* The name of the first of `ids`, ended by OPT_COUNT, that is given; or NULL.
 */
const char *options_any(const cli_options *options, const option_id *ids);
/* Where the first value of an option was found; NULL where it was given. */
const char *options_from(const cli_options *options, option_id id);

/*
 * What nobody names: water.csv, target.csv and shelf.csv of the folder the
 * command runs in, then shelf.csv of $XDG_CONFIG_HOME/saltwright.
 */
void options_find(cli_options *options);

/* Complains of every option that the command requires and that is absent. */
void options_require(const cli_options *options);

#endif
