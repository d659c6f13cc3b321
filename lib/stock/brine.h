/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A concentrate as ions in water: molalities, pH, activities. */
#ifndef SW_STOCK_BRINE_H
#define SW_STOCK_BRINE_H

#include "stock/pitzer.h"

typedef struct sw_brine {
    double temperature_c;
    double a_phi;          /* at that temperature */
    double water_kg_per_l; /* of the concentrate; 0: it is no solution */
    double molality[SW_IONS];
    double ph;
    sw_activity activity;
    bool incomplete; /* sw_brine_missing finds something */
} sw_brine;

/* Less water or more ions than this, and the contents do not fit: only melts
 * of hydrates go beyond. */
#define SW_LEAST_WATER_KG_PER_L 0.3
#define SW_MOST_IONIC_STRENGTH_MOL_PER_KG 45.0

/*
 * `per_l` of concentrate at a temperature of 0 to 50 degC.  Volume: partial
 * molal volumes of reference/stock_ions.csv.  pH: the alkalinity shared among
 * phosphate, sulfate and carbonate; an estimate (about 0.3, below pH 9).  What
 * does not fit, or lies so far beyond saturation that the activities do not
 * settle, has water_kg_per_l 0.
 */
void sw_brine_make(const sw_pitzer *pitzer, const sw_content *per_l,
                   double temperature_c, sw_brine *brine);

/*
 * The same from molalities before any acid-base reaction, given in
 * brine->molality, and an alkalinity; temperature and a_phi are given too.
 */
void sw_brine_settle(const sw_pitzer *pitzer, double alkalinity_eq_per_kg,
                     sw_brine *brine);

/* Mol per litre of each ion before any acid-base reaction: SO4 for all of
 * sulfate, H2PO4 for all of phosphate, CO2 for all of carbonate. */
void sw_brine_moles(const sw_content *per_l, double *mol_per_l);

/* Pairs of ions without parameters among those with at least 2 % of the
 * equivalents: "NO3-/SO4-2, ..."; "" when all are known. */
void sw_brine_missing(const sw_pitzer *pitzer, const sw_brine *brine,
                      char *text, size_t size);

#endif
