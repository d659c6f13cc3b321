/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fewest products that give what counts as equal to the closest recipe. */
#ifndef SW_FORMULATE_FEWEST_H
#define SW_FORMULATE_FEWEST_H

#include "formulate/fit.h"

typedef struct sw_fewest {
    double *y; /* in memory of the solver; NULL: the closest recipe itself */
    bool proved;
    size_t products; /* chosen by the closest recipe */
    size_t fewest;   /* no equal recipe chooses fewer, where proved */
    double ph_apart; /* of equal recipes */
} sw_fewest;

/*
 * For the model of an optimal `fit`, at the problem's equal_share.  Products
 * that the shelf fixes or asks for are not counted.  Errors of sw_equal_to and
 * sw_assess.
 */
sw_status sw_find_fewest(sw_solver *solver, const sw_model *model,
                         const sw_fit *fit, sw_fewest *out, sw_error *error);

#endif
