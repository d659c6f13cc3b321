/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where a result goes: gathered in memory, then written whole or not at all. */
#ifndef CLI_OUTPUT_H
#define CLI_OUTPUT_H

#include <stdio.h>

#include "exit_code.h"

typedef struct cli_output {
    FILE *stream; /* render here */
    char *text;
    size_t size;
} cli_output;

void output_open(cli_output *output);

/*
 * Writes what was rendered to `file`, or to standard output when NULL or "-".
 * A file is written beside its place under another name and then renamed, so
 * that it is never half new.  EXIT_INTERNAL after a complaint.
 */
exit_code output_deliver(cli_output *output, const char *file);

/* Forgets what was rendered. */
void output_drop(cli_output *output);

/*
 * Last act of the program: `code`, or EXIT_INTERNAL after a complaint when
 * standard output could not take everything.
 */
exit_code output_close_standard(exit_code code);

#endif
