/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Limits that may give way at a price. */
#ifndef SW_DECIDE_ELASTIC_H
#define SW_DECIDE_ELASTIC_H

#include "formulate/lp.h"
#include "formulate/model.h"

/* A model whose sides all have a column more: by how much they give way. */
typedef struct sw_elastic {
    sw_solver *solver;
    const sw_model *model;
    sw_form form;
    size_t *row;  /* of each side, in `form` */
    size_t *give; /* of each side, two columns: below, above; or NO_COLUMN */
    double *size; /* of each side, in its unit: what a share is of */
    double *y;    /* scratch, then the point found */
    bool keeps_rates; /* fixed and least rates of products stay as they are */
} sw_elastic;

/* In memory of the solver. */
sw_elastic sw_elastic_make(sw_solver *solver, const sw_model *model);

/*
 * The point where the sum of the shares is least; answers that sum, NaN when
 * it could not be found.  Of each side, share[] and, where it gives way at
 * all, reached[] in the user's unit.
 */
double sw_elastic_least(sw_elastic *elastic, double *share, double *reached);

/*
 * How far side `at` must give way with all others kept; *share of it.  Answers
 * where it then stands, NaN when that is nowhere.
 */
double sw_elastic_alone(sw_elastic *elastic, size_t at, double *share);

#endif
