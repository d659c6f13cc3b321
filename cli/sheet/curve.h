/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The curve of a front. */
#ifndef CLI_SHEET_CURVE_H
#define CLI_SHEET_CURVE_H

#include "exit_code.h"
#include "saltwright.h"

/* Writes it to `file`, a name in .svg.  EXIT_INTERNAL after a complaint. */
exit_code curve_write(const sw_front *front, const char *file);

#endif
