/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers that are the same but for their last bits, which decide nothing. */
#ifndef SW_QUANTITY_TIES_H
#define SW_QUANTITY_TIES_H

#include <stdbool.h>
#include <stddef.h>

/* What is summed in another order is the same to this; what separate solves
 * end in, pH and all, to that.  Relative; to its square where both are about
 * nothing. */
#define SW_SUMMED 1e-9
#define SW_SOLVED 1e-6

/* Whether a < b by more than that.  NaN comes after every number. */
bool sw_is_less(double a, double b, double alike);

/* The first of those that are the same as the most, to SW_SOLVED; `count` where
 * all are NaN. */
size_t sw_first_most(const double *value, size_t count);

/*
 * Sorts `count` items of `size` bytes by their keys, the least first; those
 * whose keys are the same, to SW_SOLVED, stay in the order they came in.  For
 * as many as people read.
 */
void sw_sort_close(void *items, size_t count, size_t size,
                   double (*key)(const void *item));

#endif
