/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Comparing a number with one printed in a source, to the digits printed. */
#ifndef SW_TESTS_PRINTED_H
#define SW_TESTS_PRINTED_H

#include "suite.h"

#include <stdio.h>
#include <string.h>

/* Fails unless `value`, rounded to as many decimals, reads like `printed`. */
static inline void ck_printed(const char *what, double value,
                              const char *printed)
{
    const char *point = strchr(printed, '.');
    int decimals = point ? (int)strlen(point + 1) : 0;
    char rounded[64];
    (void)snprintf(rounded, sizeof rounded, "%.*f", decimals, value);
    ck_assert_msg(!strcmp(rounded, printed), "%s: %s, printed %s", what,
                  rounded, printed);
}

#endif
