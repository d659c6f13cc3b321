/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The library reads numbers alike whatever the locale of its process. */
#ifndef SW_TESTS_COMMA_LOCALE_H
#define SW_TESTS_COMMA_LOCALE_H

#include <locale.h>
#include <stdbool.h>
#include <stddef.h>

/* A locale with a decimal comma, if this system has one. */
static inline bool set_comma_locale(void)
{
    static const char *const names[] = {"de_DE.UTF-8", "fr_FR.UTF-8",
                                        "nl_NL.UTF-8", "de_DE", "fr_FR"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (setlocale(LC_ALL, names[i]))
            return true;
    return false;
}

#endif
