/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a nutrient solution holds, and what the crop left of its feed. */
#ifndef SW_ASSESS_SAMPLE_H
#define SW_ASSESS_SAMPLE_H

#include "saltwright.h"

/* Fills rows, most_drained and most_drained_by of the report.  SW_ERR_VALUE (a
 * drained share outside 0 to 1), SW_ERR_MEMORY. */
sw_status sw_sample_compare(const sw_sampling *sampling,
                            sw_audit_report *report, sw_error *error);

#endif
