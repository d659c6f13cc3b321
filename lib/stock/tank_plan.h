/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What makes a conflict of tanks work: each way is tried before it is said. */
#ifndef SW_STOCK_TANK_PLAN_H
#define SW_STOCK_TANK_PLAN_H

#include "quantity/status.h"
#include "stock/mixture.h"

#include <stdint.h>

/* Fills the remedies of a conflict: of a plan, or of tanks as `mixed` (NULL: a
 * plan).  A way that cannot be tried is none.  SW_ERR_MEMORY. */
sw_status sw_remedy_find(sw_solver *solver, const sw_mix *mix,
                         const sw_stock_setup *setup, const sw_placement *mixed,
                         sw_stock *stock, sw_error *error);

/* Adds one, with its text, while there is room. */
void sw_remedy_add(sw_stock *stock, sw_remedy remedy, const char *format, ...)
    SW_PRINTF(3, 4);

/* sw_stock_plan and sw_stock_check without remedies; the first also without the
 * highest factor, and with the first assignment that works; and whether what
 * was planned is no conflict and nothing in it a danger. */
sw_status sw_stock_try(sw_solver *solver, const sw_mix *mix,
                       const sw_stock_setup *setup, sw_stock **stock,
                       sw_error *error);
bool sw_stock_is_safe(const sw_stock *stock);

/* Tanks in which a chelate lets go of its metal. */
int sw_chelates_lost(const sw_stock *stock);

sw_status sw_stock_judge(const sw_mix *mix, const sw_stock_setup *setup,
                         const sw_placement *mixed, sw_stock **stock,
                         sw_error *error);

/* ---- What is to be said of filled tanks ---------------------------------- */

/* Saturation, pH and limits of every tank in use, and notes on them. */
void sw_report_tanks(const sw_pitzer *pitzer, const sw_shelf *shelf,
                     const sw_content *make_up, const sw_stock_setup *setup,
                     sw_stock *stock);

/* A note on each pair of products of one tank that must not meet. */
void sw_report_feuds(const sw_shelf *shelf, sw_stock *stock);

#endif
