/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Opening what the command line names; - is standard input. */
#ifndef CLI_IO_FILES_H
#define CLI_IO_FILES_H

#include <stdio.h>

#include "io/options.h"
#include "saltwright.h"

/* Opens what option `id` names.  Complains when it cannot be opened or is a
 * directory. */
exit_code file_open(option_id id, const char *file, FILE **stream);
void file_close(FILE *stream);

/* Without links, dots and doubled slashes; NULL where there is none.  Free it.
 */
char *file_resolved(const char *name);
/* What writing to `file` makes or replaces: links are followed, also where
 * they lead to nothing yet; NULL where they go round.  Free it. */
char *file_behind_links(const char *file);

/* A cell of a CSV file, in quotes. */
void file_put_cell(FILE *out, const char *text, size_t length);
/* As messages call it. */
const char *file_shown_name(const char *file);

/*
 * What the library made of a file: complains about `error`, or passes the
 * notes (NULL: none) on.
 */
exit_code file_conclude(const char *file, sw_status status,
                        const sw_notes *notes, const sw_error *error);

/* Opens what option `id` names, hands it to `read`, which may find notes,
 * closes and concludes it. */
typedef sw_status file_reader(FILE *stream, const char *name, void *context,
                              const sw_notes **notes, sw_error *error);
exit_code file_read(option_id id, const char *file, file_reader *read,
                    void *context);

#endif
