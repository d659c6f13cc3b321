/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What takes longer than half a second says so on a terminal, on one line of
 * standard error that goes away again. */
#ifndef CLI_IO_PROGRESS_H
#define CLI_IO_PROGRESS_H

#include <stddef.h>

/* `what`, which must outlive it: "saltwright batch". */
void progress_begin(const char *what);
/* `done` of `total`, 0: not known. */
void progress_step(size_t done, size_t total);
/* `done` of nobody knows how many, in that share of what is read; 0: not known.
 */
void progress_flow(size_t done, double share);
/* Before something else is written there; the line comes back. */
void progress_clear(void);
void progress_end(void);

#endif
