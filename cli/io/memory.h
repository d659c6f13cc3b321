/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Memory that is there, or the program ends with EXIT_INTERNAL. */
#ifndef CLI_IO_MEMORY_H
#define CLI_IO_MEMORY_H

#include <stddef.h>
#include <stdio.h>

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

#endif
