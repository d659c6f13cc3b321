/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Counts allocations, and makes one of them fail. */
#include "memory/scarce.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool active;
static unsigned long to_go;
static long left;

void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *block, size_t size);
void __real_free(void *block);

void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *block, size_t size);
void __wrap_free(void *block);
FILE *__real_fmemopen(void *text, size_t size, const char *mode);
FILE *__wrap_fmemopen(void *text, size_t size, const char *mode);
char *__wrap_strdup(const char *text);
char *__wrap_strndup(const char *text, size_t most);

void scarce_begin(unsigned long nth)
{
    to_go = nth;
    left = 0;
    active = true;
}

bool scarce_end(void)
{
    active = false;
    return to_go == 0;
}

long scarce_left(void)
{
    return left;
}

static bool fails(void)
{
    return active && to_go > 0 && --to_go == 0;
}

static void *counted(void *block)
{
    left += active && block;
    return block;
}

void *__wrap_malloc(size_t size)
{
    return fails() ? NULL : counted(__real_malloc(size));
}

void *__wrap_calloc(size_t count, size_t size)
{
    return fails() ? NULL : counted(__real_calloc(count, size));
}

void *__wrap_realloc(void *block, size_t size)
{
    if (fails())
        return NULL;
    return block ? __real_realloc(block, size) : counted(__real_malloc(size));
}

void __wrap_free(void *block)
{
    left -= active && block;
    __real_free(block);
}

/* Its stream is closed, not freed. */
FILE *__wrap_fmemopen(void *text, size_t size, const char *mode)
{
    return fails() ? NULL : __real_fmemopen(text, size, mode);
}

char *__wrap_strndup(const char *text, size_t most)
{
    size_t length = strnlen(text, most);
    char *copy = __wrap_malloc(length + 1);
    if (!copy)
        return NULL;
    memcpy(copy, text, length);
    copy[length] = '\0';
    return copy;
}

char *__wrap_strdup(const char *text)
{
    return __wrap_strndup(text, strlen(text));
}
