/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where limits would have to stand for there to be a recipe. */
#ifndef SW_DECIDE_ELASTIC_H
#define SW_DECIDE_ELASTIC_H

#include "formulate/ease.h"

/*
 * The least sum of the shares by which sides give way, of those that may; NaN
 * when it could not be found.  Of each side, share[] and, where it gives way at
 * all, reached[]: where it then stands, in the user's unit.
 */
double sw_elastic_sum(sw_solver *solver, const sw_model *model,
                      const bool *may_give, double *share, double *reached);

/*
 * Where side `at` stands that gives way alone, as little as can be; *share of
 * it.  NaN when that is nowhere.
 */
double sw_elastic_alone(sw_solver *solver, const sw_model *model, size_t at,
                        double *share);

#endif
