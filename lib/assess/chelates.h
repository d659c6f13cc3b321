/* SPDX-License-Identifier: GPL-3.0-or-later */
/* At which pH a chelate holds its metal: reference/chelates.csv. */
#ifndef SW_ASSESS_CHELATES_H
#define SW_ASSESS_CHELATES_H

#include "saltwright.h"

#include "table_chelates.h"

/* NULL: not in the table. */
const sw_chelates_row *sw_chelate_of(sw_chelator chelator, const char *metal);

/* Above this pH some metal of the product comes loose; INFINITY: not said. */
double sw_chelate_ph_high(const sw_product *product);

#endif
