/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Electrical conductivity and osmotic pressure of a speciated solution. */
#ifndef SW_CHEMISTRY_CONDUCTIVITY_H
#define SW_CHEMISTRY_CONDUCTIVITY_H

#include "chemistry/speciate.h"

/* mS/cm at the temperature of the speciation. */
double sw_conductivity(const sw_speciation *s);

/*
 * mS/cm of the same solution at another temperature, its pH and carbon kept.
 * SW_ERR_NUMERIC, SW_ERR_MEMORY.
 */
sw_status sw_conductivity_at(const sw_speciation *s, double temperature_c,
                             double *ms_per_cm, sw_error *error);

/*
 * What a meter shows over what is reckoned: 5 % of measured waters lie below
 * the first, 5 % above the second (reference/methods.md, Conductivity).
 */
extern const double sw_conductivity_low;
extern const double sw_conductivity_high;

/* kPa: van 't Hoff with a Debye-Hueckel osmotic coefficient. */
double sw_osmotic_pressure(const sw_speciation *s);

#endif
