/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What makes a conflict of tanks work: each way is tried before it is said. */
#ifndef SW_STOCK_REMEDY_H
#define SW_STOCK_REMEDY_H

#include "saltwright.h"

/* Fills the remedies of a plan that is a conflict; `blamed` are the products
 * of the shelf that find no tanks together, where that is known. */
sw_status sw_remedy_plan(const sw_mix *mix, const sw_stock_setup *setup,
                         const size_t *blamed, size_t count, sw_stock *stock);
/* The same of tanks as mixed. */
sw_status sw_remedy_mixed(const sw_mix *mix, const sw_stock_setup *setup,
                          const sw_placement *mixed, sw_stock *stock);

/* sw_stock_plan and sw_stock_check without remedies; the first also without the
 * highest factor, and with the first assignment that works. */
sw_status sw_stock_try(const sw_mix *mix, const sw_stock_setup *setup,
                       sw_stock **stock, sw_error *error);
sw_status sw_stock_judge(const sw_mix *mix, const sw_stock_setup *setup,
                         const sw_placement *mixed, sw_stock **stock,
                         sw_error *error);

#endif
