/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Electrical conductivity and osmotic pressure of a speciated solution. */
#ifndef SW_CHEMISTRY_CONDUCTIVITY_H
#define SW_CHEMISTRY_CONDUCTIVITY_H

#include "chemistry/speciate.h"

/* Works out the drags of all pairs once, as a tenth of each conductivity. */
void sw_constants_pair(sw_constants *constants);

/* mS/cm at the temperature of the speciation. */
double sw_conductivity(const sw_speciation *s);

/*
 * mS/cm of the same solution at another temperature, its pH and carbon kept.
 * `tables` may be NULL.  SW_ERR_NUMERIC, SW_ERR_MEMORY.
 */
sw_status sw_conductivity_at(const sw_speciation *s, const sw_tables *tables,
                             double temperature_c, double *ms_per_cm,
                             sw_error *error);

/*
 * Between what a meter reads 9 times in 10 where `ms_per_cm` is calculated:
 * `analysed` of its ions, 0 to 1, are known by a lab report, the rest by what
 * was weighed, which is off by `scale` (a share: of scale and grades; 0: exact)
 * (reference/methods.md, Conductivity).
 */
void sw_conductivity_interval(double ms_per_cm, double analysed, double scale,
                              double *low_ms_per_cm, double *high_ms_per_cm);

/* kPa: van 't Hoff with a Debye-Hueckel osmotic coefficient. */
double sw_osmotic_pressure(const sw_speciation *s);

#endif
