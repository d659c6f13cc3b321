/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Everything that goes to standard error, in one form:
 *     FILE:LINE:COLUMN: error: message */
#ifndef CLI_IO_COMPLAIN_H
#define CLI_IO_COMPLAIN_H

#include <stdio.h>

#include "io/exit_code.h"
#include "saltwright.h"

#if defined(__GNUC__)
#define CLI_PRINTF(text, first) __attribute__((format(printf, text, first)))
#else
#define CLI_PRINTF(text, first)
#endif

/* A mistake on the command line; `command` may be NULL. */
exit_code complain_usage(const char *command, const char *format, ...)
    CLI_PRINTF(2, 3);

/* One of several things that the command line lacks; then, once, what to try,
 * EXIT_USAGE. */
void complain_lack(const char *format, ...) CLI_PRINTF(1, 2);
exit_code complain_try(const char *command, bool lays_out);

/* "; did you mean X?" of the nearest of some words; "" where none is near. */
typedef struct near_words {
    char text[128];
} near_words;
near_words complain_near(const char *word, const char *const *words,
                         size_t count);

/* A file that cannot be used. */
exit_code complain_file(const char *file, const char *format, ...)
    CLI_PRINTF(2, 3);

/* What the library refused: bad input, or a failure of its own. */
exit_code complain_error(const sw_error *error);

/* The library refused the text of an option: a mistake of usage. */
exit_code complain_option(const char *option, const sw_error *error);

exit_code complain_memory(void);

/* What came of a run as a whole. */
void complain_warn(const char *format, ...) CLI_PRINTF(1, 2);

/* From here on this thread's complaints go there; NULL: to standard error.
 * Returns where they went before.  And what was held, as it is. */
FILE *complain_hold(FILE *to);
void complain_held(const char *text);

/* What reading a file found worth saying. */
void complain_notes(const char *file, const sw_notes *notes);

#endif
