/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How far each solid is from precipitating, and from which pH on. */
#ifndef SW_CHEMISTRY_SATURATION_H
#define SW_CHEMISTRY_SATURATION_H

#include "chemistry/speciate.h"

/*
 * The indices of at most SW_LANES solutions that are solved; NaN where an ion
 * is absent.  Iron outside of chelates is taken as Fe(III).  SW_ERR_NUMERIC,
 * SW_ERR_MEMORY.
 */
sw_status sw_saturation_indices(const sw_speciation *solved, size_t count,
                                double (*index)[SW_SOLID_COUNT],
                                sw_error *error);

/*
 * For each solid the lowest pH between 3 and 11 at which its index rises
 * through 0 when strong acid or base moves the pH and the rest (carbon, or CO2
 * of the air) stays as it is; NaN for none.  Same errors.
 */
sw_status sw_saturation_onsets(const sw_speciation *solved,
                               double ph[SW_SOLID_COUNT], sw_error *error);

#endif
