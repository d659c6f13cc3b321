/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sums over a content that few of its parts go into. */
#ifndef SW_QUANTITY_CONTENT_H
#define SW_QUANTITY_CONTENT_H

#include "saltwright.h"

/* Whether every part of it is a number. */
bool sw_content_is_finite(const sw_content *content);

/* The parts whose coefficient is not 0, of SW_CARRIED_COUNT; the coefficients
 * stay the caller's. */
typedef struct sw_sparse {
    const double *coefficient;
    int of[SW_CARRIED_COUNT], count;
} sw_sparse;
sw_sparse sw_sparse_of(const double *coefficient);
double sw_sparse_sum(const sw_sparse *by, const sw_content *content);

#endif
