/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The order in which products go into a reservoir or a tank so that nothing
 * clouds on the way: after every addition the mixture, at the volume it has
 * then, is speciated.
 */
#ifndef SW_STOCK_MIXING_SEQUENCE_H
#define SW_STOCK_MIXING_SEQUENCE_H

#include "stock/mixture.h"

/* What a product counts as; the order that is tried first, of the trade
 * (common practice, no source). */
typedef enum sw_turn {
    SW_TURN_SILICATE, /* alone, well diluted */
    SW_TURN_ACID,     /* before what alkaline water would cloud */
    SW_TURN_PREMIX,
    SW_TURN_PHOSPHATE,
    SW_TURN_OTHER, /* nitrates, chlorides, trace elements */
    SW_TURN_SULFATE,
    SW_TURN_CALCIUM,
    SW_TURN_BASE,
    SW_TURN_CHELATE /* once the water is mild */
} sw_turn;
sw_turn sw_turn_of(const sw_product *product);

typedef struct sw_vessel {
    const sw_shelf *shelf;
    const double *g; /* of each product of the shelf, in the full vessel */
    double full_l;
    double held_l;            /* of it, what is there already, of that water */
    const sw_content *water;  /* a litre of what fills it, completed */
    sw_conditions conditions; /* of a reservoir */
    const sw_solubility *solubility; /* of a stock tank; NULL: a reservoir */
} sw_vessel;

/* A set of solids, by number as sw_vessel_solid takes them. */
typedef struct sw_solids {
    bool has[SW_STOCK_SOLIDS_MAX];
} sw_solids;
const char *sw_vessel_solid(const sw_vessel *vessel, int solid);
/* Those of `set` that are not in `other`; whether there are any. */
sw_solids sw_solids_beyond(const sw_solids *set, const sw_solids *other);
bool sw_solids_any(const sw_solids *set);

typedef enum sw_relief {
    SW_RELIEF_NONE,  /* another source, or another tank */
    SW_RELIEF_WATER, /* clear at half the strength */
    SW_RELIEF_ACID   /* clear without the alkalinity */
} sw_relief;

/* After an addition. */
typedef struct sw_poured {
    size_t product; /* SIZE_MAX: the water alone, first */
    double volume_l;
    sw_solids clouds; /* oversaturated; those that seldom form left out */
    sw_relief relief; /* of those that were not before */
} sw_poured;

typedef struct sw_sequence {
    sw_poured *items; /* the water, then each product in use */
    size_t count;
    sw_solids at_last; /* oversaturated in the full vessel */
    bool unknown;      /* some mixture is beyond the chemistry */
} sw_sequence;

/* SW_ERR_MEMORY.  Free with sw_sequence_free. */
sw_status sw_sequence_find(const sw_vessel *vessel, sw_sequence *sequence,
                           sw_error *error);
void sw_sequence_free(sw_sequence *sequence);

#endif
