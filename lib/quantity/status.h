/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Filling an sw_error in one line: return sw_fail(error, SW_BAD_..., ...).  A
 * refusal, its status and its words, is a row of reference/refusals.csv.
 */
#ifndef SW_QUANTITY_STATUS_H
#define SW_QUANTITY_STATUS_H

#include "saltwright.h"

#if defined(__GNUC__)
#define SW_PRINTF(text, first) __attribute__((format(printf, text, first)))
#else
#define SW_PRINTF(text, first)
#endif

/* Of a list of ours, X(code, text, ...), the texts. */
#define SW_LIST_TEXT(code, text, ...) text,

/* Defines the public `function` that gives each of an enumeration its text, in
 * their order, and of what is none of them `other`. */
#define SW_TEXTS(function, type, other, ...)                                   \
    const char *function(type value)                                           \
    {                                                                          \
        static const char *const texts[] = {__VA_ARGS__};                      \
        return (size_t)value < sizeof texts / sizeof *texts ? texts[value]     \
                                                            : other;           \
    }

/* A place in a file; line and column from 1, 0 when they do not apply. */
typedef struct sw_place {
    const char *file;
    unsigned long line;
    unsigned long column;
} sw_place;

/* Writes the error (NULL is allowed) without a place and returns `status`. */
sw_status sw_fail(sw_error *error, sw_status status, const char *format, ...)
    SW_PRINTF(3, 4);

/* The same with a place. */
sw_status sw_fail_at(sw_error *error, const sw_place *place, sw_status status,
                     const char *format, ...) SW_PRINTF(4, 5);

sw_status sw_fail_memory(sw_error *error);

/* Of a trial whose failure ends nothing but itself, such as what advice is
 * tried on: only a lack of memory is told. */
sw_status sw_of_trial(sw_status status);

/* First in a public call: fails where one of these pointers is NULL. */
#define SW_REQUIRE(error, ...)                                                 \
    do {                                                                       \
        const void *const sw_needed[] = {__VA_ARGS__};                         \
        if (sw_any_missing(sw_needed, sizeof sw_needed / sizeof *sw_needed))   \
            return sw_fail(error, SW_ERR_MISSING, "%s: NULL for one of: %s",   \
                           __func__, #__VA_ARGS__);                            \
    } while (0)

/* The same of a call that gives something back in *out, NULL until it does. */
#define SW_REQUIRE_FOR(out, error, ...)                                        \
    do {                                                                       \
        if (out)                                                               \
            *(out) = NULL;                                                     \
        SW_REQUIRE(error, out, __VA_ARGS__);                                   \
    } while (0)

/* Last in such a call: *out gets what was made, unless the call failed, which
 * then releases it. */
#define SW_GIVE(status, out, made, release)                                    \
    do {                                                                       \
        const sw_status sw_ended = (status);                                   \
        if (sw_ended)                                                          \
            release(made);                                                     \
        else                                                                   \
            *(out) = (made);                                                   \
        return sw_ended;                                                       \
    } while (0)

bool sw_any_missing(const void *const *given, size_t count);

/* Frees each of these; any may be NULL. */
#define SW_FREE(...)                                                           \
    sw_free_all((void *const[]){__VA_ARGS__},                                  \
                sizeof(void *const[]){__VA_ARGS__} / sizeof(void *))
void sw_free_all(void *const *blocks, size_t count);

/*
 * A list with room for one more behind its `count` items of `size` bytes, which
 * doubles as it fills: for a list that has grown by this alone.  NULL: there is
 * no memory, and `items` stay as they are.
 */
void *sw_grow(void *items, size_t count, size_t size);

/* NULL where it or something in it that every call needs is. */
const sw_mix *sw_whole_mix(const sw_mix *mix);
const sw_mix *sw_aimed_mix(const sw_mix *mix); /* the target too */
const sw_problem *sw_whole_problem(const sw_problem *problem);

#endif
