/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One unknown between two bounds. */
#ifndef SW_CHEMISTRY_ROOT_H
#define SW_CHEMISTRY_ROOT_H

#include "saltwright.h"

/* A function of one unknown; a failure ends the search. */
typedef sw_status (*sw_unary)(double x, void *context, double *y,
                              sw_error *error);

typedef struct sw_search {
    sw_unary function;
    void *context;
    double low;                /* the function has different signs here ... */
    double high;               /* ... and here, or is zero at one of them */
    double relative_tolerance; /* of the unknown */
} sw_search;

/*
 * Brent's method (GSL).  SW_ERR_NUMERIC: the bounds do not bracket a root;
 * what the function failed with.
 */
sw_status sw_root_find(const sw_search *search, double *root, sw_error *error);

#endif
