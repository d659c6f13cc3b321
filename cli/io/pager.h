/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A pager between a long result and the terminal it goes to. */
#ifndef CLI_IO_PAGER_H
#define CLI_IO_PAGER_H

#include <stdbool.h>
#include <stddef.h>

/* Whether standard output is a terminal, and a pager is there and wanted. */
bool pager_is_wanted(void);
/* Shows `size` bytes of text in it, until it is left; false where it could not
 * be started, and nothing was shown. */
bool pager_show(const char *text, size_t size);

#endif
