/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The waters of a text, whatever is wrong with it. */
#ifndef SW_TESTS_RECORDS_GATHERED_H
#define SW_TESTS_RECORDS_GATHERED_H

#include "records/stream.h"
#include "saltwright.h"

static inline sw_waters *gather(const char *text, const char *units)
{
    FILE *stream = stream_of(text);
    sw_waters *waters = NULL;
    sw_error error = {0};
    ck_assert_msg(
        sw_waters_gather(stream, "well.csv", units, &waters, &error) == SW_OK,
        "%s", error.message);
    fclose(stream);
    return waters;
}

#endif
