/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Electrical conductivity and osmotic pressure of a speciated solution. */
#ifndef SW_CHEMISTRY_CONDUCTIVITY_H
#define SW_CHEMISTRY_CONDUCTIVITY_H

#include "chemistry/speciate.h"

/* mS/cm at the temperature of the speciation. */
double sw_conductivity(const sw_speciation *s);

/* kPa: van 't Hoff with a Debye-Hueckel osmotic coefficient. */
double sw_osmotic_pressure(const sw_speciation *s);

#endif
