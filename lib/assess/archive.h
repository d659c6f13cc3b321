/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the audits of one report and of many share. */
#ifndef SW_ASSESS_ARCHIVE_H
#define SW_ASSESS_ARCHIVE_H

#include "assess/guidelines.h"

/* What a report says of a water; where it gives no EC and no major ion is
 * unknown, the one that is calculated.  Points to both. */
sw_facts sw_facts_of(const sw_water *water, const sw_content *per_l,
                     double calculated_ec_ms_per_cm);

#endif
