/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A test's own table of measurements, a line at a time. */
#ifndef SW_TESTS_STOCK_ROWS_H
#define SW_TESTS_STOCK_ROWS_H

#include "suite.h"

#include <stdio.h>

/* Opens tests/stock/NAME and skips its head. */
static inline FILE *open_rows(const char *name)
{
    char path[1024], head[1024];
    snprintf(path, sizeof path, "%s/tests/stock/%s", SW_SOURCE_DIR, name);
    FILE *file = fopen(path, "r");
    ck_assert_ptr_nonnull(file);
    ck_assert_ptr_nonnull(fgets(head, sizeof head, file));
    return file;
}

#endif
