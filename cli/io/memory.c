/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The program holds one small run in memory and writes nothing before it is
 * whole, so running out can only mean giving up: there is nothing to undo.
 */
#define _GNU_SOURCE /* fopencookie */
#include "io/memory.h"

#include <stdlib.h>
#include <string.h>

#include "io/complain.h"
#include "io/progress.h"

/* What is kept is not released: another thread may be using it. */
static void *need(void *memory)
{
    if (!memory)
        exit((int)complain_memory());
    return memory;
}

sw_status memory_had(sw_status status)
{
    if (status == SW_ERR_MEMORY)
        exit((int)complain_memory());
    return status;
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

/* What open_memstream is for; but that of glibc loses what is written while it
 * cannot grow, says nothing, and goes on. */
typedef struct growing {
    char **text; /* NULL: something was lost */
    size_t *size, room;
} growing;

static ssize_t put_behind(void *cookie, const char *from, size_t size)
{
    growing *g = cookie;
    size_t wanted = *g->size + size + 1;
    if (*g->text && wanted > g->room) {
        char *grown = realloc(*g->text, 2 * wanted);
        if (!grown)
            free(*g->text);
        *g->text = grown;
        g->room = 2 * wanted;
    }
    if (*g->text) {
        memcpy(*g->text + *g->size, from, size);
        *g->size += size;
        (*g->text)[*g->size] = '\0';
    }
    return (ssize_t)size;
}

static int forget(void *cookie)
{
    free(cookie);
    return 0;
}

FILE *memory_stream(char **text, size_t *size)
{
    growing *g = memory_array(1, sizeof *g);
    *text = memory_array(1, 1);
    *size = 0;
    *g = (growing){.text = text, .size = size, .room = 1};
    return need(fopencookie(
        g, "w", (cookie_io_functions_t){.write = put_behind, .close = forget}));
}

void memory_close(FILE *stream, char *const *text)
{
    if (fclose(stream) != 0 || !*text)
        exit((int)complain_memory());
}

/* ---- What lasts as long as the program ---------------------------------- */

typedef struct kept_thing {
    struct kept_thing *before;
    void (*release)(void *thing);
    max_align_t thing[];
} kept_thing;

static kept_thing *last_kept;

void *memory_kept(size_t size, void (*release)(void *thing))
{
    kept_thing *kept = memory_array(1, sizeof *kept + size);
    kept->before = last_kept;
    kept->release = release;
    last_kept = kept;
    return kept->thing;
}

void memory_release(void)
{
    while (last_kept) {
        kept_thing *kept = last_kept;
        last_kept = kept->before;
        kept->release(kept->thing);
        free(kept);
    }
}

_Noreturn void leave(exit_code code)
{
    progress_end();
    memory_release();
    exit((int)code);
}

void leave_unless_done(exit_code code)
{
    if (code != EXIT_DONE)
        leave(code);
}

void expect_ok(sw_status status, const sw_error *error)
{
    if (status != SW_OK)
        leave(complain_error(error));
}
