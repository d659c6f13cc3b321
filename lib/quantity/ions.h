/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Components as the ions they are in water. */
#ifndef SW_QUANTITY_IONS_H
#define SW_QUANTITY_IONS_H

#include "saltwright.h"

/* With the references of sw_component: phosphorus is H2PO4-; 0 for B, Mo, Si,
 * urea, and from SW_N on. */
int sw_charge_in_water(sw_component component);

/* Equivalents of it, meq per mg of the component; 0 where the charge is. */
double sw_meq_per_mg(sw_component component);

#endif
