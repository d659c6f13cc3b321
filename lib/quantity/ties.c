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
                   double (*key)(const void *item))
{
    unsigned char *at = items;
    for (size_t i = 0; i < count; i++) {
        size_t first = i, least = i;
        for (size_t k = i; k < count; k++)
            if (sw_is_less(key(at + k * size), key(at + least * size), 0))
                least = k;
        while (sw_is_less(key(at + least * size), key(at + first * size),
                          SW_SOLVED))
            first++;
        for (size_t k = first; k > i; k--)
            swap(at + k * size, at + (k - 1) * size, size);
    }
}
