/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the CSV renderer shows. */
#ifndef CLI_CSV_PARTS_H
#define CLI_CSV_PARTS_H

#include "../render.h"
#include "line.h"

/* All lines of one run. */
void lines_put_report(const cli_lines *out, const cli_report *report);
void lines_show_report(const cli_canvas *canvas, const cli_report *report);

#endif
