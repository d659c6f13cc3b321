/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A solve with somebody looking on: what a room to the right may see of it. */
#ifndef SW_FORMULATE_ONLOOKER_H
#define SW_FORMULATE_ONLOOKER_H

#include "formulate/fit.h"

/* Called once when the solution is told, within the solver's net: memory is
 * taken from the solver and lost afterwards. */
typedef struct sw_onlooker {
    sw_status (*look)(sw_solver *solver, const sw_model *model,
                      const sw_fit *fit, void *context);
    void *context;
} sw_onlooker;

/* sw_formulate; a status of `onlooker` other than SW_OK ends it with that. */
sw_status sw_formulate_before(sw_solver *solver, const sw_problem *problem,
                              const sw_onlooker *onlooker,
                              sw_solution **solution, sw_error *error);

#endif
