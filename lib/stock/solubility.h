/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Whether a concentrate stays dissolved.  Solids: reference/stock_solids.csv;
 * published solubilities: reference/solubility.csv.
 */
#ifndef SW_STOCK_SOLUBILITY_H
#define SW_STOCK_SOLUBILITY_H

#include "stock/brine.h"

enum { SW_STOCK_SOLIDS_MAX = 48 };

size_t sw_stock_solid_count(void);
const char *sw_stock_solid_name(size_t solid);
const char *sw_stock_solid_formula(size_t solid);
/* The solid so named; sw_stock_solid_count() when there is none. */
size_t sw_stock_solid_find(const char *name);

/* Whether any ion of the solid is among mol per litre or gram, as
 * sw_brine_moles gives them: before acid-base reactions. */
bool sw_stock_solid_uses(size_t solid, const double *mol);

typedef enum sw_solid_role {
    SW_SOLID_LIMITS,  /* a tank stays below its saturation */
    SW_SOLID_WATCHED, /* forms slowly: stocks known to keep lie above it */
    SW_SOLID_WARNS    /* rests on the pH, which is an estimate */
} sw_solid_role;
sw_solid_role sw_stock_solid_role(size_t solid);

/* Solubility products of all solids at one temperature. */
typedef struct sw_solubility {
    const sw_pitzer *pitzer;
    double temperature_c, a_phi;
    double molality[SW_STOCK_SOLIDS_MAX]; /* published, pure; NaN: none */
    double ln_k[SW_STOCK_SOLIDS_MAX];     /* NaN: no parameters */
    double hydration[SW_STOCK_SOLIDS_MAX];
    bool extrapolated[SW_STOCK_SOLIDS_MAX]; /* saturated beyond the fit */
} sw_solubility;

/* 0 to 50 degC; `pitzer` must outlive it. */
void sw_solubility_at(const sw_pitzer *pitzer, double temperature_c,
                      sw_solubility *out);

/*
 * Degree of saturation, per ion: the root of order (number of ions) of ion
 * product over solubility product; 1 when saturated, 0 when an ion is absent.
 * Where parameters are missing the larger of the model's and the published
 * solubility's, with common ions counted in both; for sparingly soluble solids
 * the model's.
 */
double sw_solubility_degree(const sw_solubility *s, const sw_brine *brine,
                            size_t solid);
/* The solid with the largest degree, of those that set a limit; INFINITY when
 * there is no room for water, 0 and sw_stock_solid_count() when nothing could
 * come out. */
double sw_solubility_worst(const sw_solubility *s, const sw_brine *brine,
                           size_t *solid);

#define SW_MOST_STRENGTH 1000.0

/* A tank: what its water brings and what is dissolved in it, per litre. */
typedef struct sw_tank_content {
    sw_content make_up;
    sw_content salts;
} sw_tank_content;

/* Worst degree with `strength` times the salts. */
double sw_tank_saturation(const sw_solubility *s, const sw_tank_content *tank,
                          double strength, size_t *solid);
/* Largest strength at which all stays dissolved (at most SW_MOST_STRENGTH), and
 * the first solid to come out beyond it. */
double sw_tank_strength(const sw_solubility *s, const sw_tank_content *tank,
                        size_t *solid);
/* Lowest temperature, 0 to 40 degC, from which on all stays dissolved; NaN
 * when it does not even at 40 degC. */
double sw_tank_coldest(const sw_pitzer *pitzer, const sw_tank_content *tank);

#endif
