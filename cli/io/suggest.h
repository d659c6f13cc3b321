/* SPDX-License-Identifier: GPL-3.0-or-later */
/* "Did you mean": the nearest of some words. */
#ifndef CLI_IO_SUGGEST_H
#define CLI_IO_SUGGEST_H

#include <stddef.h>

/* The nearest of `words` to `given`; NULL when none is near. */
const char *suggest(const char *given, const char *const *words, size_t count);

#endif
