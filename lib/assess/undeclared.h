/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the labels of a recipe leave open of its finished solution. */
#ifndef SW_ASSESS_UNDECLARED_H
#define SW_ASSESS_UNDECLARED_H

#include "saltwright.h"

/*
 * Fills a->undeclared, and adds notes on what was taken of labels in use.  The
 * assessment's contents, chemistry and guideline rows come first.  Errors as
 * sw_equilibrate; SW_ERR_MEMORY.
 */
sw_status sw_undeclared_find(const sw_mix *mix, sw_assessment *a,
                             sw_error *error);

#endif
