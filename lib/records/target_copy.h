/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Copies of targets. */
#ifndef SW_RECORDS_TARGET_COPY_H
#define SW_RECORDS_TARGET_COPY_H

#include "saltwright.h"

/* A copy of all rows and notes; NULL without memory. */
sw_target *sw_target_copy(const sw_target *target);

/* Appends a copy of `row`, its name and stage too; false without memory. */
bool sw_target_add(sw_target *target, const sw_target_row *row);

/* Releases all that it holds. */
void sw_target_clear(sw_target *target);

#endif
