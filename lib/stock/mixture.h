/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What a mixture is: the one answer of the stock room to "this much of these
 * contents in this much water, at this temperature".  Used for tanks as
 * planned or mixed, and after each addition while they are mixed.
 */
#ifndef SW_STOCK_MIXTURE_H
#define SW_STOCK_MIXTURE_H

#include "stock/solubility.h"

/* A tank: what its water brings and what is dissolved in it, per litre. */
typedef struct sw_tank_content {
    sw_content make_up;
    sw_content salts;
} sw_tank_content;

/* A solid beyond saturation (one that seldom forms: beyond where it does). */
typedef struct sw_deposit {
    size_t solid;   /* of reference/stock_solids.csv */
    double degree;  /* of saturation, above 1 */
    double g_per_l; /* that would come out of a litre, were it the only one */
    double share;   /* of what the products bring of an element: the largest */
    bool counts;    /* grams or share are more than a tank may lose */
    bool forms;     /* soon; else on paper, and slowly */
} sw_deposit;

typedef struct sw_mixture {
    sw_brine brine; /* water_kg_per_l 0: no solution, and nothing else holds */
    double worst;   /* degree of the solid that counts most; INFINITY: none */
    size_t solid;   /* that one; sw_stock_solid_count(): nothing */
    sw_deposit deposits[SW_STOCK_SOLIDS_MAX]; /* most grams first */
    size_t deposit_count;
    double ammonia_ppm;   /* by volume, in air at rest over it */
    double ammonia_share; /* of its ammonium-N, as NH3 */
    double co2_atm;       /* in gas at rest with it; above 1 it foams */
} sw_mixture;

/*
 * Ammonia is refused in a stock where the air over it can reach what is
 * immediately dangerous (reference/stock_solids.csv) and more of the ammonium
 * than this is free: a base has done that, no ammonium salt does it alone.
 */
#define SW_AMMONIA_PPM 300.0
#define SW_AMMONIA_SHARE 0.1
#define SW_AMMONIA_SMELL_PPM 35.0 /* short-term limit: NIOSH 1992 */
bool sw_mixture_gases(const sw_mixture *mixture);

/* `strength` times the salts beside the make-up water, per litre of mixture.
 */
void sw_mixture_make(const sw_solubility *at, const sw_tank_content *per_l,
                     double strength, sw_mixture *mixture);

#define SW_MOST_STRENGTH 1000.0

/*
 * Worst degree with `strength` times the salts, and its solid, as of
 * sw_mixture: INFINITY when there is no room for water, 0 and
 * sw_stock_solid_count() when nothing could come out.
 */
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
