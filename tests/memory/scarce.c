/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Counts allocations, and makes one of them fail. */
#define _DEFAULT_SOURCE
#include "memory/scarce.h"

#include "chemistry/root.h"
#include "chemistry/speciate.h"
#include "quantity/status.h"

#include <execinfo.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <unistd.h>

static bool active, each;
static unsigned long step = 1; /* from one that a child loses to the next */
static scarce chosen;
static unsigned long to_go;
static long left;

/* Places seen, by a number each; children, and those of them that were wrong.
 * Shared with the tests, which are processes. */
enum { PLACES = 1 << 16, FRAMES = 24, LOST = PLACES, WRONG, SHARED };
static uint64_t *places;
static unsigned long lost; /* the allocation that this child goes without */
static unsigned long wrong_here;
#ifdef SW_FEW_CASES
static bool by_calls = true;
#else
static bool by_calls;
#endif

/* What was allocated first from a place, while it is watched. */
static bool watching;
static unsigned long made;
static unsigned long firsts[PLACES];
static size_t first_count;

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
    made = 0;
    left = 0;
    active = true;
    each = nth == 0;
}

bool scarce_end(void)
{
    enum { SOME = 500 };
    const char *all = getenv("SW_EACH");
    active = false;
    if (watching)
        step = scarce_of_numbers() && all && strcmp(all, "all") != 0
                   ? made / SOME + 1
                   : 1;
    return each ? lost > 0 : to_go == 0;
}

long scarce_left(void)
{
    return left;
}

void scarce_remember(void)
{
    places = mmap(NULL, SHARED * sizeof *places, PROT_READ | PROT_WRITE,
                  MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    if (places == MAP_FAILED)
        abort();
}

void scarce_by_calls(void)
{
    by_calls = true;
}

void scarce_watch(void)
{
    scarce_begin(0);
    each = false;
    watching = true;
    first_count = 0;
}

unsigned long scarce_next(unsigned long nth)
{
    watching = false;
    for (size_t i = 0; i < first_count; i++)
        if (firsts[i] > nth)
            return firsts[i];
    return 0;
}

/* Whether it was not seen before. */
static bool is_new(uint64_t place)
{
    size_t at = place % PLACES;
    while (places[at] && places[at] != place)
        at = (at + 1) % PLACES;
    bool was_new = !places[at];
    places[at] = place;
    return was_new;
}

/* Whether this place, with the calls that led to it, was not seen before; or
 * any of these calls was not. */
static bool is_new_place(void)
{
    void *frames[FRAMES];
    int depth = backtrace(frames, FRAMES);
    uint64_t place = 0;
    bool any = false;
    for (int i = 0; i < depth; i++) {
        place = (place ^ (uintptr_t)frames[i]) * 0x9E3779B97F4A7C15U;
        any |= by_calls && is_new((uintptr_t)frames[i] * 2 + chosen);
    }
    return by_calls ? any : is_new(place);
}

void scarce_choose(scarce what)
{
    chosen = what;
}

bool scarce_of_numbers(void)
{
    return chosen == SCARCE_NUMBERS;
}

/* Whether this is a child, and the allocation the one it loses.  A child that
 * waits for ever ends too. */
static bool is_child_losing(void)
{
    int status = 0;
    if (lost || made % step != 0)
        return false;
    pid_t child = fork();
    if (child == 0) {
        lost = made;
        alarm(100);
        return true;
    }
    places[LOST]++;
    bool wrong = child < 0 || waitpid(child, &status, 0) < 0 || status != 0;
    wrong_here += wrong;
    places[WRONG] += wrong;
    return false;
}

void scarce_leave(const char *call, const char *wrong)
{
    if (!lost)
        return;
    if (wrong)
        fprintf(stderr, "%s, allocation %lu: %s\n", call, lost, wrong);
    _exit(wrong != NULL);
}

unsigned long scarce_wrong(void)
{
    return wrong_here;
}

void scarce_tell(void)
{
    if (places[LOST])
        printf("%ju lost, %ju wrong\n", (uintmax_t)places[LOST],
               (uintmax_t)places[WRONG]);
}

static bool fails(scarce what)
{
    if (what != chosen)
        return false;
    made++;
    if (active && watching && is_new_place())
        firsts[first_count++] = made;
    return active && (each ? is_child_losing() : to_go > 0 && --to_go == 0);
}

static void *counted(void *block)
{
    left += active && block;
    return block;
}

void *__wrap_malloc(size_t size)
{
    return fails(SCARCE_MEMORY) ? NULL : counted(__real_malloc(size));
}

void *__wrap_calloc(size_t count, size_t size)
{
    return fails(SCARCE_MEMORY) ? NULL : counted(__real_calloc(count, size));
}

void *__wrap_realloc(void *block, size_t size)
{
    if (fails(SCARCE_MEMORY))
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
    return fails(SCARCE_MEMORY) ? NULL : __real_fmemopen(text, size, mode);
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

/* ---- Numbers -------------------------------------------------------------*/

/* In place of a function of ours that may find none. */
#define NUMBERS(name, parameters, ...)                                         \
    sw_status __real_##name parameters;                                        \
    sw_status __wrap_##name parameters;                                        \
    sw_status __wrap_##name parameters                                         \
    {                                                                          \
        return fails(SCARCE_NUMBERS)                                           \
                   ? sw_fail(error, SW_ERR_NUMERIC, "no numbers: " #name)      \
                   : __real_##name(__VA_ARGS__);                               \
    }

NUMBERS(sw_speciate, (sw_speciation * s, sw_error *error), s, error)
NUMBERS(sw_speciate_surely, (sw_speciation * s, sw_error *error), s, error)
NUMBERS(sw_speciate_all,
        (sw_speciation *const *all, size_t count, sw_error *error), all, count,
        error)
NUMBERS(sw_root_find, (const sw_search *search, double *root, sw_error *error),
        search, root, error)
