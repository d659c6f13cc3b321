/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What feeds usually get at most of a trace element or salt. */
#ifndef SW_RECORDS_CEILINGS_H
#define SW_RECORDS_CEILINGS_H

#include "saltwright.h"

/* mg/L of reference/feed_ceilings.csv; NaN where it has no row. */
double sw_feed_ceiling_mg_per_l(sw_component component);

#endif
