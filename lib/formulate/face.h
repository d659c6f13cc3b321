/* SPDX-License-Identifier: GPL-3.0-or-later */
/* All recipes that give the one fitted solution. */
#ifndef SW_FORMULATE_FACE_H
#define SW_FORMULATE_FACE_H

#include "formulate/fit.h"

/*
 * From an optimum of the squares with the prices that prove it and the set
 * `active` it holds, moves fit->point.y to the one recipe among all with the
 * same deviations that sw_break_ties picks; the prices stay.  Answers how the
 * last program ended.
 */
sw_lp_end sw_settle(sw_solver *solver, const sw_model *model,
                    const sw_active *active, sw_fit *fit);

#endif
