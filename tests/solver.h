/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The one solver of a suite whose tests do not care which. */
#ifndef SW_TESTS_SOLVER_H
#define SW_TESTS_SOLVER_H

#include <stdlib.h>

#include "saltwright.h"

/* Of the process, never freed. */
static inline sw_solver *one_solver(void)
{
    static sw_solver *solver;
    if (!solver && sw_solver_new(&solver, NULL) != SW_OK)
        abort();
    return solver;
}

#endif
