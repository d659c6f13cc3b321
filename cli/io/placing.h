/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One result on its way to its file, in steps that can be taken back. */
#ifndef CLI_IO_PLACING_H
#define CLI_IO_PLACING_H

#include <stdbool.h>
#include <stdio.h>

typedef struct cli_placing {
    const char *file; /* as given; NULL: standard output */
    char *text;       /* owned */
    size_t size;
    char *place;   /* the file to be replaced, links followed; NULL: none is */
    char *fresh;   /* the new one beside it, until it takes its place */
    char *aside;   /* the old one, while it can still come back */
    FILE *special; /* a device or pipe, which no renaming can replace */
    bool taken;    /* the new one is in its place */
} cli_placing;

/* Each step returns false with errno set where it fails; placing_undo then
 * takes back those before it. */

/* Writes a file whole under another name beside its place, or opens what is no
 * regular file. */
bool placing_prepare(cli_placing *placing);
/* Writes to standard output or to what is no regular file. */
bool placing_pour(cli_placing *placing);
/* Puts the new file into its place. */
bool placing_take(cli_placing *placing);

void placing_undo(cli_placing *placing);
/* Forgets the old file, and frees. */
void placing_end(cli_placing *placing);

#endif
