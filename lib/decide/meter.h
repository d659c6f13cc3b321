/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings against what the mistakes would make them. */
#ifndef SW_DECIDE_METER_H
#define SW_DECIDE_METER_H

#include "decide/outlook.h"

/* sw_diagnose of an outlook that is there already. */
sw_status sw_meter_judge(const sw_outlook *outlook, const sw_readings *readings,
                         sw_diagnosis **diagnosis, sw_error *error);

/* How well each draw of each mistake fits, mistake by mistake. */
typedef struct sw_fit_of {
    double *weight;   /* of a draw in its mistake; sum 1 */
    double *belief;   /* of a mistake; sum 1 */
    double *distance; /* of the readings from its nearest draw */
    size_t *order;    /* the outlook's mistake at each place of the diagnosis */
} sw_fit_of;

/* Notes on readings that harm, whatever made them: what to do now.
 * SW_ERR_MEMORY. */
sw_status sw_readings_warn(const sw_outlook *outlook,
                           const sw_readings *readings, sw_notes *notes,
                           sw_error *error);

/* Fills in diagnosis->looks; its mistakes are there. */
sw_status sw_looks_find(const sw_outlook *outlook, const sw_readings *readings,
                        const sw_fit_of *fit, sw_diagnosis *diagnosis,
                        sw_error *error);

#endif
