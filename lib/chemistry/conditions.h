/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The conditions a solution is calculated at. */
#ifndef SW_CHEMISTRY_CONDITIONS_H
#define SW_CHEMISTRY_CONDITIONS_H

#include "saltwright.h"

/* SW_ERR_VALUE: temperature outside 5 to 40 degC, CO2 outside 0 to 1 atm. */
sw_status sw_conditions_check(const sw_conditions *conditions, sw_error *error);

#endif
