/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A concentrate as species in water: molalities, pH, activities. */
#ifndef SW_STOCK_BRINE_H
#define SW_STOCK_BRINE_H

#include "chemistry/speciate.h"
#include "stock/pitzer.h"

/*
 * Water at one temperature: the constants of the finished solution's chemistry
 * (reference/species.csv), and which of them hold beside Pitzer's parameters:
 * an ion pair is a species of its own only where these have no term for it.
 */
typedef struct sw_medium {
    const sw_pitzer *pitzer; /* must outlive it */
    double temperature_c, a_phi;
    sw_constants constants;
    sw_ion ion[SW_SPECIES_MAX];    /* of each species; SW_IONS: none */
    bool left_out[SW_SPECIES_MAX]; /* Pitzer's terms stand for it */
    int species[SW_IONS];          /* of each ion; -1: none (urea) */
    bool paired[SW_IONS][SW_IONS]; /* a species stands for the pair */
} sw_medium;

/* 0 to 50 degC. */
void sw_medium_at(const sw_pitzer *pitzer, double temperature_c,
                  sw_medium *medium);

typedef struct sw_brine {
    double water_kg_per_l; /* of the concentrate; 0: it is no solution */
    sw_totals totals;      /* per kg of water */
    double molality[SW_IONS];
    double ph; /* NaN: no solution */
    sw_activity activity;
    bool incomplete;         /* sw_brine_missing finds something */
    const char *no_estimate; /* why the pH is not to be shown; NULL: it is */
} sw_brine;

/* Less water or more ions than this, and the contents do not fit: only melts
 * of hydrates go beyond. */
#define SW_LEAST_WATER_KG_PER_L 0.3
#define SW_MOST_IONIC_STRENGTH_MOL_PER_KG 45.0

/*
 * `per_l` of concentrate.  Volume: partial molal volumes of
 * reference/stock_ions.csv.  pH: the alkalinity shared among all acids and
 * bases; an estimate (about 0.3).  What does not fit, or lies so far beyond
 * saturation that the activities do not settle, has water_kg_per_l 0.
 */
void sw_brine_make(const sw_medium *medium, const sw_content *per_l,
                   sw_brine *brine);
/* `contents` of each kg of water; water_kg_per_l is 1. */
void sw_brine_in_water(const sw_medium *medium, const sw_content *contents,
                       sw_brine *brine);
/* From brine->totals; water_kg_per_l given. */
void sw_brine_settle(const sw_medium *medium, sw_brine *brine);

/* Mol per litre of each ion before any acid-base reaction: SO4 for all of
 * sulfate, H2PO4 for all of phosphate, CO2 for all of carbonate. */
void sw_brine_moles(const sw_content *per_l, double *mol_per_l);

/* Mol of each master outside of chelates; iron as Fe(II). */
void sw_brine_masters(const sw_content *contents, double *mol);

/* Pairs of ions without parameters among those with at least 2 % of the
 * equivalents: "NO3-/SO4-2, ..."; "" when all are known. */
void sw_brine_missing(const sw_medium *medium, const sw_brine *brine,
                      char *text, size_t size);

#endif
