/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Whether a concentrate stays dissolved.  Solids: reference/stock_solids.csv;
 * published solubilities: reference/solubility.csv.
 */
#ifndef SW_STOCK_SOLUBILITY_H
#define SW_STOCK_SOLUBILITY_H

#include "stock/brine.h"

enum { SW_STOCK_SOLIDS_MAX = 80 };

size_t sw_stock_solid_count(void);
const char *sw_stock_solid_name(size_t solid);
const char *sw_stock_solid_formula(size_t solid);

/* Ions of a solid and how many of each; H+ may count below 0. */
typedef struct sw_make {
    int count;
    sw_ion ion[4];
    int n[4];
} sw_make;

/* Whether all its ions are among mol per litre or gram, as sw_brine_moles gives
 * them, before acid-base reactions: the contents could form it. */
bool sw_stock_solid_within(size_t solid, const double *mol);

typedef enum sw_solid_role {
    SW_SOLID_LIMITS, /* a tank stays below where it forms */
    SW_SOLID_SELDOM, /* so too, and below that nothing is to be said of it */
    SW_SOLID_WARNS,  /* rests on the pH, which is an estimate: no limit */
    SW_SOLID_GAS     /* a gas that a tank must not give off */
} sw_solid_role;
sw_solid_role sw_stock_solid_role(size_t solid);

/* Solubility products of the solids at one temperature. */
typedef struct sw_solubility {
    sw_medium medium;
    sw_make make[SW_STOCK_SOLIDS_MAX];
    double molality[SW_STOCK_SOLIDS_MAX]; /* published, pure; NaN: none */
    double ln_k[SW_STOCK_SOLIDS_MAX];     /* NaN: no parameters */
    double hydration[SW_STOCK_SOLIDS_MAX];
    double g_per_mol[SW_STOCK_SOLIDS_MAX];
    bool extrapolated[SW_STOCK_SOLIDS_MAX]; /* saturated beyond the fit */
    bool sparing[SW_STOCK_SOLIDS_MAX];      /* below 0.1 mol/kg, or by log K */
} sw_solubility;

/* 0 to 50 degC; `pitzer` must outlive it. */
void sw_solubility_at(const sw_pitzer *pitzer, double temperature_c,
                      sw_solubility *out);
/* The same of no solids but those that `contents` could form. */
void sw_solubility_of(const sw_pitzer *pitzer, double temperature_c,
                      const sw_content *contents, sw_solubility *out);

/*
 * Degree of saturation, per ion: the root of order (number of ions) of ion
 * product over solubility product; 1 when saturated, 0 when an ion is absent.
 * Where parameters are missing the larger of the model's and the published
 * solubility's, with common ions counted in both; for sparingly soluble solids
 * the model's.
 */
double sw_solubility_degree(const sw_solubility *s, const sw_brine *brine,
                            size_t solid);
/* The same of where it forms in practice: above saturation for what is slow. */
double sw_solubility_forming(const sw_solubility *s, const sw_brine *brine,
                             size_t solid);

/*
 * Whether the table has a solid the product's own contents could form, or none
 * is needed: a liquid mixes.  False: nobody says how much dissolves.
 */
bool sw_stock_has_data(const sw_product *product);

#endif
