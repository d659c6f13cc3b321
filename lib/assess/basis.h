/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What of an assessment rests on no source that was read. */
#ifndef SW_ASSESS_BASIS_H
#define SW_ASSESS_BASIS_H

#include "saltwright.h"

/* Appends to the notes, in one place for all: "common-practice" and
 * "from-memory", of those facts of reference/trade_facts.csv that the rows and
 * notes of `a` made use of.  SW_ERR_MEMORY. */
sw_status sw_say_basis(const sw_mix *mix, sw_assessment *a);

#endif
