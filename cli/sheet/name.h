/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names of sheets: apart from them, since options are read before anything is
 * drawn. */
#ifndef CLI_SHEET_NAME_H
#define CLI_SHEET_NAME_H

#include <stdbool.h>

/* Whether a sheet can be written under this name: .html, .htm or .svg. */
bool sheet_is_name(const char *file);
/* Whether it is that of a chart alone. */
bool sheet_is_chart(const char *file);

#endif
