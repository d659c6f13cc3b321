/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The linear operations on contents. */
#include "saltwright.h"

void sw_content_add(sw_content *to, double factor, const sw_content *from)
{
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        to->amount[i] += factor * from->amount[i];
}

void sw_content_add_waters(sw_content *to, const sw_content *waters,
                           const double *fractions, size_t count)
{
    for (size_t i = 0; i < count; i++)
        sw_content_add(to, fractions ? fractions[i] : 1.0, &waters[i]);
}
