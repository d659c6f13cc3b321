/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Memory that is there, or the program ends with EXIT_INTERNAL; and how it ends
 * early for another cause. */
#ifndef CLI_IO_MEMORY_H
#define CLI_IO_MEMORY_H

#include <stddef.h>
#include <stdio.h>

#include "io/exit_code.h"
#include "saltwright.h"

/* How a call ended that may fail, but not for want of memory. */
sw_status memory_had(sw_status status);

void *memory_array(size_t count, size_t size); /* zeroed */
char *memory_text(const char *text);           /* a copy */
/* The array at `items` with room for one more than `count`. */
void *memory_grow(void *items, size_t count, size_t size);
/* What is written there is at *text, *size long, once it is closed; free it. */
FILE *memory_stream(char **text, size_t *size);
void memory_close(FILE *stream, char *const *text);

/* ---- What lasts as long as the program ---------------------------------- */

/* Zeroed, for the main thread; `release` gets it at the end, what was taken
 * last before the rest. */
void *memory_kept(size_t size, void (*release)(void *thing));
/* Releases all that is kept: last but one of what a program does. */
void memory_release(void);
/* Ends the program, after a complaint, with nothing held that is not kept, and
 * before any result is delivered. */
_Noreturn void leave(exit_code code);
/* The same where `code`, of what was complained about, is not EXIT_DONE. */
void leave_unless_done(exit_code code);
/* The same with a complaint where the library refused something. */
void expect_ok(sw_status status, const sw_error *error);

#endif
