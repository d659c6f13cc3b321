/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Work in pieces, done by several threads and given away in the order it was
 * taken in. */
#ifndef CLI_IO_ORDERED_H
#define CLI_IO_ORDERED_H

#include <stdbool.h>
#include <stddef.h>

typedef struct ordered_work {
    /* The next piece; NULL: there is no more.  One thread at a time. */
    void *(*take)(void *context);
    /* Does it; `worker`, below the number of threads, is one thread's. */
    void (*work)(void *context, size_t worker, void *piece);
    /* Takes each piece back, one at a time, in the order of take; false: no
     * more are to be taken.  Those that were come back all the same. */
    bool (*give)(void *context, void *piece);
    void *context;
} ordered_work;

/* Until there is no more, by so many threads, this one among them, or by as
 * many as can be had.  No more pieces are held than there are threads.  Signals
 * come to this thread alone. */
void ordered_run(const ordered_work *work, size_t threads);

/* Processors that are online, at least 1. */
size_t ordered_processors(void);

#endif
