/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where results go: gathered in memory, then all of a run's or none. */
#ifndef CLI_IO_OUTPUT_H
#define CLI_IO_OUTPUT_H

#include <stdbool.h>
#include <stdio.h>

#include "io/exit_code.h"

typedef struct cli_output {
    FILE *stream; /* render here */
    char *text;
    size_t size;
    bool is_stream;
    int cause; /* errno of what could not be written; or 0 */
} cli_output;

void output_open(cli_output *output);

/*
 * The same for what goes out as it comes: to standard output, unless that is
 * read in a pager; to a device or pipe; to a new file beside its place.  Where
 * none of these can be it is gathered.
 */
void output_stream(cli_output *output, const char *file);
/* Writes all of it now; false where that fails, which output_deliver tells. */
bool output_pass(cli_output *output, const char *text, size_t size);

/*
 * Takes what was rendered for `file`, or for standard output when NULL or "-";
 * `file` must outlive the run.  Nothing is written before output_settle.
 * EXIT_INTERNAL after a complaint.
 */
exit_code output_deliver(cli_output *output, const char *file);

/* Forgets what was rendered. */
void output_drop(cli_output *output);

/*
 * How a run ends, and with it what was delivered: forgotten where `code` is
 * worse than EXIT_UNMET, else written.  Each file is written whole beside its
 * place and takes it only once all of them and standard output have taken
 * everything; until then a failure leaves every place as it was.  Returns
 * `code`, or EXIT_INTERNAL after a complaint.
 */
exit_code output_settle(exit_code code);

/*
 * Last act of the program: `code`, or EXIT_INTERNAL after a complaint when
 * standard output could not take everything.
 */
exit_code output_close_standard(exit_code code);

/* First act: where a standard stream is closed, no file may take its number
 * and be written into. */
void output_keep_streams(void);

/* Whether a file is named as a chart alone is, *.svg; or as a page or chart. */
bool output_is_chart(const char *file);
bool output_is_page(const char *file);

#endif
