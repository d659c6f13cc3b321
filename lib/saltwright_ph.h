/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Acid and base for a pH alone. */
#ifndef SALTWRIGHT_PH_H
#define SALTWRIGHT_PH_H

#include "saltwright_assess.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- Acid or base for a pH ---------------------------------------------- */

/* Whether a target names the pH, as mixed or aired, and nothing else; false for
 * NULL. */
SW_API bool sw_target_is_ph_alone(const sw_target *target);

/* A closed tank keeps its CO2, SW_CARBONATE_KEPT; an open one loses it,
 * SW_CARBONATE_AIRED. */
enum { SW_PH_TANKS = SW_CARBONATE_AIRED + 1 };

/* What a solution needs in such a tank. */
typedef struct sw_ph_need {
    bool asked; /* the target names the pH of such a tank: of a closed one, no
                   pH aired alone; else nothing is wanted here */
    double ph;  /* with nothing added */
    double wanted;         /* NaN: in range, and the target names no point */
    double acid_meq_per_l; /* to get there, as strong acid at today's
                              activities; below 0: base; NaN as above */
    bool needed;           /* it is not there already */
    bool sized; /* false: labels in the mix leave so much acid or base open
                   that amounts are the most, to be poured in portions */
} sw_ph_need;

/* What does it there, of one product. */
typedef struct sw_ph_amount {
    double g_per_l;            /* of the solution; NaN: none of it gets there */
    double ml_per_l;           /* NaN for a solid too */
    double ph_mixed, ph_aired; /* with it, by the full speciation: the one that
                                  is wanted is met within 0.02 */
    bool over_max;             /* more than the shelf's max for the product */
    /* Which it brings to above what is usual in feeds
     * (reference/components.csv); SW_COMPONENT_COUNT: none. */
    sw_component excess;
} sw_ph_amount;

typedef struct sw_ph_option {
    const sw_product *product; /* of the shelf given, or of the result's own */
    bool on_shelf, is_acid;    /* else a base */
    sw_ph_amount amount[SW_PH_TANKS];
} sw_ph_option;

typedef struct sw_ph_options {
    sw_ph_need need[SW_PH_TANKS];
    sw_ph_option *items;
    size_t count;        /* acids, then bases */
    sw_shelf *catalogue; /* of the products that are on no shelf; or NULL */
} sw_ph_options;

/*
 * How much acid, or base, brings the mix (water and recipe) to the pH of its
 * target: of each acid or base of the shelf whose amount is free; where the
 * shelf has none of the kind that is needed, of each of the catalogue.  Of the
 * target the rows on pH count: a tank goes by the row of its own, an open
 * one else by that of the pH as mixed, a closed one by no other; where it gives
 * no point, by the limit that is broken.  The shelf
 * must outlive the result.  *options is NULL while nobody knows the alkalinity
 * of the water, or of a part of it.  Method: reference/methods.md, Assess.
 * SW_ERR_MISSING (no row on pH), SW_ERR_VALUE (conditions or contents out of
 * their domain), SW_ERR_NUMERIC, SW_ERR_MEMORY.
 */
SW_API sw_status sw_ph_options_find(const sw_mix *mix, sw_ph_options **options,
                                    sw_error *error);
SW_API void sw_ph_options_free(sw_ph_options *options);

#ifdef __cplusplus
}
#endif

#endif
