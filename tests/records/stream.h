/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A string as the stream a reader takes. */
#ifndef SW_TESTS_RECORDS_STREAM_H
#define SW_TESTS_RECORDS_STREAM_H

#include <check.h>
#include <stdio.h>
#include <string.h>

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

#endif
