/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Parts of the equilibrium, and plain sums. */
#ifndef SW_CHEMISTRY_EQUILIBRATE_H
#define SW_CHEMISTRY_EQUILIBRATE_H

#include "saltwright.h"

/* SW_ERR_VALUE: temperature outside 5 to 40 degC, CO2 outside 0 to 1 atm. */
sw_status sw_conditions_check(const sw_conditions *conditions, sw_error *error);

/* sw_water_complete without its judgement of the report.  Same errors. */
sw_status sw_water_carbon(const sw_water *water,
                          const sw_conditions *conditions, sw_content *per_l,
                          sw_notes *notes, sw_error *error);

/* No more than what another may start from.  Same errors. */
sw_status sw_equilibrium_ph(const sw_content *per_l,
                            const sw_conditions *conditions,
                            sw_carbonate carbonate, sw_start *found,
                            sw_error *error);

/* sw_equilibrate without saturation, which stays undefined.  Same errors. */
sw_status sw_equilibrate_briefly(const sw_content *per_l,
                                 const sw_conditions *conditions,
                                 sw_carbonate carbonate, sw_chemistry *out,
                                 sw_error *error);

/* What meters read in each of `count` solutions, fresh or aired: EC at 25 degC
 * and pH; NaN, and the same errors, where they cannot be told.  In lanes: the
 * same digits however many there are. */
sw_status sw_read_meters(const sw_content *per_l, size_t count,
                         const sw_conditions *conditions,
                         sw_carbonate carbonate, double *ec_ms_per_cm,
                         double *ph, sw_error *error);

/* meq/L of cations and of anions as analysed; alkalinity counts as anion. */
void sw_charges_of(const sw_content *per_l, double *cations_meq_per_l,
                   double *anions_meq_per_l);

/* Only the saturation indices of at most SW_LANES solutions, CO2 kept; NaN
 * where an ion is absent.  In lanes: the same digits.  Same errors. */
sw_status sw_equilibrate_indices(const sw_content *per_l, size_t count,
                                 const sw_conditions *conditions,
                                 double (*index)[SW_SOLID_COUNT],
                                 sw_error *error);

#endif
