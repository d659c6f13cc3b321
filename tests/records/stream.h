/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A string as the stream a reader takes. */
#ifndef SW_TESTS_RECORDS_STREAM_H
#define SW_TESTS_RECORDS_STREAM_H

#include <check.h>
#include <stdio.h>
#include <string.h>

#include "saltwright.h"

/* A stream holding `length` bytes; close it with fclose. */
static inline FILE *stream_of_bytes(const char *bytes, size_t length)
{
    FILE *stream = tmpfile();
    ck_assert_ptr_nonnull(stream);
    ck_assert_uint_eq(fwrite(bytes, 1, length, stream), length);
    rewind(stream);
    return stream;
}

static inline FILE *stream_of(const char *text)
{
    return stream_of_bytes(text, strlen(text));
}

/* Defines read_text, which gives what `read` makes of a text as if it were a
 * file of that name; a refusal fails the test. */
#define DEFINE_READ_TEXT(type, read, file)                                     \
    static type *read_text(const char *text)                                   \
    {                                                                          \
        FILE *stream = stream_of(text);                                        \
        type *out = NULL;                                                      \
        sw_error error = {0};                                                  \
        ck_assert_msg(read(stream, file, &out, &error) == SW_OK, "%lu:%lu %s", \
                      error.line, error.column, error.message);                \
        fclose(stream);                                                        \
        return out;                                                            \
    }

#endif
