/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Another compiler or C library ends in other last bits.  What is the same but
 * for these goes by a fixed order, so that the same words are shown everywhere.
 */
#include "quantity/ties.h"

#include <math.h>

bool sw_is_less(double a, double b, double alike)
{
    if (isnan(a) || isnan(b))
        return isnan(b) && !isnan(a);
    if (isinf(a) || isinf(b))
        return a < b;
    return b - a > fmax(alike * fmax(fabs(a), fabs(b)), alike * alike);
}

size_t sw_first_most(const double *value, size_t count)
{
    size_t most = count, first = 0;
    for (size_t i = 0; i < count; i++)
        if (!isnan(value[i]) && (most == count || value[i] > value[most]))
            most = i;
    if (most == count)
        return count;
    while (isnan(value[first]) ||
           sw_is_less(value[first], value[most], SW_SOLVED))
        first++;
    return first;
}

static void swap(unsigned char *a, unsigned char *b, size_t size)
{
    for (size_t i = 0; i < size; i++) {
        unsigned char kept = a[i];
        a[i] = b[i];
        b[i] = kept;
    }
}

void sw_sort_close(void *items, size_t count, size_t size,
                   double (*key)(const void *item),
                   int (*then)(const void *a, const void *b))
{
    unsigned char *at = items;
    for (size_t i = 1; i < count; i++)
        for (size_t k = i; k > 0 && sw_is_less(key(at + k * size),
                                               key(at + (k - 1) * size), 0);
             k--)
            swap(at + k * size, at + (k - 1) * size, size);
    for (size_t i = 1, first = 0; i < count; i++) {
        if (sw_is_less(key(at + first * size), key(at + i * size), SW_SOLVED))
            first = i;
        for (size_t k = i;
             k > first && then(at + k * size, at + (k - 1) * size) < 0; k--)
            swap(at + k * size, at + (k - 1) * size, size);
    }
}
