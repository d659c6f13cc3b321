/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tolerances as the calls of this room take them. */
#ifndef SW_DECIDE_CHECK_H
#define SW_DECIDE_CHECK_H

#include "saltwright.h"

/* SW_ERR_VALUE where one is out of its domain. */
sw_status sw_tolerances_check(const sw_mix *mix,
                              const sw_tolerances *tolerances, sw_error *error);

#endif
