/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which classes of the GHS a product is in: reference/hazards.csv. */
#ifndef SW_RECORDS_HAZARDS_H
#define SW_RECORDS_HAZARDS_H

#include "saltwright.h"

/* Fills product->hazards from its names, formula and content; and, with a label
 * of its own, from what that declares besides. */
void sw_hazards_find(sw_product *product, bool own_label);

#endif
