/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the optimum would give for more of anything. */
#ifndef SW_DECIDE_PRICE_H
#define SW_DECIDE_PRICE_H

#include "formulate/fit.h"

/*
 * Change of the objective with a first unit per litre of everything carried,
 * from nowhere and without a say in the pH.  `price` has room for
 * SW_CARRIED_COUNT.
 */
void sw_price_contents(const sw_model *model, const sw_fit *fit, double *price);

/* Of a gram per litre of what carries `per_g`, without its own cost. */
double sw_price_product(const double *price, const sw_content *per_g);

#endif
