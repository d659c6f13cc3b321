/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Filling an sw_error in one line: return sw_fail(error, SW_ERR_..., ...). */
#ifndef SW_QUANTITY_STATUS_H
#define SW_QUANTITY_STATUS_H

#include "saltwright.h"

#if defined(__GNUC__)
#define SW_PRINTF(text, first) __attribute__((format(printf, text, first)))
#else
#define SW_PRINTF(text, first)
#endif

/* Of a list of ours, X(code, text), the texts. */
#define SW_LIST_TEXT(code, text) text,

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
sw_status sw_fail_at(sw_error *error, sw_status status, const sw_place *place,
                     const char *format, ...) SW_PRINTF(4, 5);

sw_status sw_fail_memory(sw_error *error);

#endif
