/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A content per litre as molal totals of the masters. */
#ifndef SW_CHEMISTRY_TOTALS_H
#define SW_CHEMISTRY_TOTALS_H

#include "chemistry/constants.h"

typedef struct sw_totals {
    double mol_per_kg[SW_MASTER_COUNT]; /* of water; 0 when absent */
    double alkalinity_eq_per_kg;
    double urea_mol_per_kg;
    double water_kg_per_l; /* kg of water in a litre of solution */
} sw_totals;

/*
 * Iron not held by a chelator is Fe(II), or Fe(III) when `oxidised`; oxidation
 * by the air takes up one proton for each iron, which raises the alkalinity.
 *
 * One litre holds its density less its solutes of water.  Each gram of solute
 * is taken to displace 0.3 g of water (from 0.26 in seawater to 0.38 in
 * potassium nitrate): kg of water = density of water - 0.3 * kg of solutes.
 *
 * SW_ERR_VALUE: an amount that is not finite or below zero by more than
 * rounding, more chelated metal than metal, or more than 200 g/L of solutes.
 */
sw_status sw_totals_of(const sw_content *per_l, double water_density_kg_per_l,
                       bool oxidised, sw_totals *totals, sw_error *error);

/* Water that a mol of a master takes the room of; carbon's counts with its
 * alkalinity. */
double sw_displaced_kg_per_mol(sw_master master);
/* Amount of its component that one mol of a master is (mg, mmol or meq). */
double sw_amount_per_mol(sw_master master);
/* The component a master is analysed as, and what a chelator holds of it. */
sw_component sw_master_component(sw_master master);
sw_component sw_master_chelated(sw_master master); /* SW_CARRIED_COUNT: none */
/* Amount per litre of a master outside of chelates, the water's iron too. */
double sw_free_amount(const sw_content *per_l, sw_master master);
int sw_master_charge(sw_master master); /* of its reference */

#endif
