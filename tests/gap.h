/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What saltwright_formulate.h promises of the gap of an optimal recipe. */
#ifndef SW_TESTS_GAP_H
#define SW_TESTS_GAP_H

#include "saltwright.h"

#include <math.h>

/* `floor`: of sums of money, which may be near 0. */
static inline bool gap_is_closed(const sw_solution *s, double floor)
{
    const sw_certificate *proof = &s->certificate;
    /* of amounts left out that bring less than 2.5e-7 of any target */
    if (s->objective == SW_CLOSEST)
        floor += 1e-6 * sqrt(proof->objective);
    else if (s->objective == SW_EVEN)
        floor += 1e-6 * proof->objective;
    return proof->gap >= 0 && proof->gap <= 1e-9 * proof->objective + floor;
}

#endif
