/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What makes a conflict of tanks work: each way is tried before it is said. */
#ifndef SW_STOCK_REMEDY_H
#define SW_STOCK_REMEDY_H

#include "saltwright.h"

/* Fills the remedies of a plan that is a conflict. */
sw_status sw_remedy_plan(const sw_mix *mix, const sw_stock_setup *setup,
                         sw_stock *stock);
/* Adds those of other recipes to the plan of `solution`. */
sw_status sw_remedy_shelf(sw_solver *solver, const sw_problem *problem,
                          const sw_stock_setup *setup,
                          const sw_solution *solution, sw_stock *stock);
/* The same of tanks as mixed. */
sw_status sw_remedy_mixed(const sw_mix *mix, const sw_stock_setup *setup,
                          const sw_placement *mixed, sw_stock *stock);

/* sw_stock_plan and sw_stock_check without remedies; the first also without the
 * highest factor, and with the first assignment that works; and whether what
 * was planned is no conflict and nothing in it a danger. */
sw_status sw_stock_try(const sw_mix *mix, const sw_stock_setup *setup,
                       sw_stock **stock, sw_error *error);
bool sw_stock_is_safe(const sw_stock *stock);
sw_status sw_stock_judge(const sw_mix *mix, const sw_stock_setup *setup,
                         const sw_placement *mixed, sw_stock **stock,
                         sw_error *error);

#endif
