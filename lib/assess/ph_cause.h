/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which product of a recipe takes its pH out of range. */
#ifndef SW_ASSESS_PH_CAUSE_H
#define SW_ASSESS_PH_CAUSE_H

#include "saltwright.h"

/*
 * Where the pH is outside of what the target wants, or of the usual range
 * where it names none, names each product that alone took it there, with what
 * brings the same without; and says where carbonate meets acid.
 * SW_ERR_MEMORY and errors of sw_equilibrate.
 */
sw_status sw_advise_ph_cause(const sw_mix *mix, sw_assessment *assessment,
                             sw_error *error);

#endif
