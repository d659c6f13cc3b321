/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The program holds one small run in memory and writes nothing before it is
 * whole, so running out can only mean giving up: there is nothing to undo.
 */
#include "io/memory.h"

#include <stdlib.h>
#include <string.h>

#include "io/complain.h"

static void *need(void *memory)
{
    if (!memory)
        exit((int)complain_memory());
    return memory;
}

void *memory_array(size_t count, size_t size)
{
    return need(calloc(count ? count : 1, size));
}

char *memory_text(const char *text)
{
    return need(strdup(text));
}

void *memory_grow(void *items, size_t count, size_t size)
{
    return need(realloc(items, (count + 1) * size));
}

FILE *memory_stream(char **text, size_t *size)
{
    return need(open_memstream(text, size));
}
