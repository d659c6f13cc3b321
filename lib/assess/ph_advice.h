/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What would bring a finished solution to its pH, and what took it away. */
#ifndef SW_ASSESS_PH_ADVICE_H
#define SW_ASSESS_PH_ADVICE_H

#include "saltwright.h"

/*
 * Where a pH misses its target, what is missing in meq/L, and what each usual
 * acid (or base) of the shelf or the catalogue would take and bring along.
 * Where it is outside of what the target wants, or of the usual range where it
 * names none, each product that alone took it there, with what brings the same
 * without; and where carbonate meets acid.
 */
void sw_advise_ph(const sw_mix *mix, sw_assessment *assessment);

#endif
