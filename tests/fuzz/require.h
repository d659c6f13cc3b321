/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What must hold of any input: say what did not, and stop. */
#ifndef SW_TESTS_REQUIRE_H
#define SW_TESTS_REQUIRE_H

#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define REQUIRE(condition)                                                     \
    do {                                                                       \
        if (!(condition)) {                                                    \
            fprintf(stderr, "not so: %s\n", #condition);                       \
            abort();                                                           \
        }                                                                      \
    } while (0)

/* A text of the fuzzer's bytes; to be freed. */
static inline char *text_of(const uint8_t *data, size_t size)
{
    char *text = malloc(size + 1);
    REQUIRE(text);
    if (size)
        memcpy(text, data, size);
    text[size] = '\0';
    return text;
}

#endif
