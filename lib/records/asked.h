/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a target asks for, and whether a shelf has it. */
#ifndef SW_RECORDS_ASKED_H
#define SW_RECORDS_ASKED_H

#include "saltwright.h"

/* Whether a row of the target is on the component. */
bool sw_target_names(const sw_target *target, sw_component component);
/* Such a row that is no ceiling of ours; NULL. */
const sw_target_row *sw_target_row_of(const sw_target *target,
                                      sw_component component);

/* Which row of the target it is; its count: none. */
size_t sw_place_of(const sw_target *target, const sw_target_row *row);

/* What shares of a component's row are of: its target, or where that is none or
 * 0 the larger limit; not above 0: nothing. */
double sw_size_of(const sw_target_row *row);

/* Whether a row, or the row of a component, asks for some of one. */
bool sw_row_asks(const sw_target_row *row);
bool sw_target_asks(const sw_target *target, sw_component component);

/* Whether a product that may be used brings some of the component. */
bool sw_shelf_brings(const sw_shelf *shelf, sw_component component);

#endif
