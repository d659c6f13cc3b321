/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Recipes in which ratios are sought where nothing else is missed for them. */
#ifndef SW_DECIDE_RATIOS_H
#define SW_DECIDE_RATIOS_H

#include "formulate/fit.h"

/* sw_formulate; a status of `onlooker` other than SW_OK ends it with that. */
sw_status sw_formulate_before(sw_solver *solver, const sw_problem *problem,
                              const sw_onlooker *onlooker,
                              sw_solution **solution, sw_error *error);

#endif
