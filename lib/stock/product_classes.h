/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a product is to a concentrate: which others it must not meet there. */
#ifndef SW_STOCK_PRODUCT_CLASSES_H
#define SW_STOCK_PRODUCT_CLASSES_H

#include "saltwright.h"

typedef enum sw_class {
    SW_CLASS_CALCIUM = 1,
    SW_CLASS_SULFATE = 2,
    SW_CLASS_PHOSPHATE = 4,
    SW_CLASS_ACID = 8,
    SW_CLASS_BASE = 16, /* carbonate, hydroxide, phosphate beyond HPO4; no
                           borate or molybdate, which are traces */
    SW_CLASS_CHELATE = 32,
    SW_CLASS_MAGNESIUM = 64,
    SW_CLASS_METAL = 128, /* unchelated Fe, Mn, Zn, Cu */
    SW_CLASS_AMMONIUM = 256,
    SW_CLASS_SILICATE = 512,  /* water glass: a base too */
    SW_CLASS_ALKALINE = 1024, /* bases and dibasic phosphates */
    SW_CLASS_FRAIL = 2048,    /* a chelate that no base may meet */
    SW_CLASS_OTHER = 4096,    /* neither silicate nor plain hydroxide */
    /* from here on for cautions alone */
    SW_CLASS_NITRIC = 8192,
    SW_CLASS_SULFURIC = 16384,
    SW_CLASS_CORROSIVE = 32768, /* a base that burns skin */
    SW_CLASS_CARBONATE = 65536,
    SW_CLASS_ORGANIC = 131072, /* urea, citric acid */
    SW_CLASS_NITRATE = 262144  /* no acid */
} sw_class;

/* Sum of sw_class; a trace below 0.5 % by mass (0.05 % for metals) is none, nor
 * is the sulfate of a trace element: how much of it a tank takes beside calcium
 * its saturation tells. */
unsigned sw_classes_of(const sw_product *product);

/* The class that reference/hazard_pairs.csv calls so; 0 for none. */
sw_class sw_class_called(const char *name);

/* Carries chiefly trace elements. */
bool sw_is_micro(const sw_product *product);

/* Heats the water that it goes into: strong acids and bases, beyond 1 meq/g,
 * and dry salts; traces hardly. */
bool sw_heats(const sw_product *product);

/* A pair that must not meet undiluted, and why. */
typedef struct sw_feud {
    sw_class one, other;
    const char *why;
} sw_feud;

size_t sw_feud_count(void);
sw_feud sw_feud_at(size_t index);
/* The first feud between two sums of classes; NULL when they may meet. */
const char *sw_feud_between(unsigned one, unsigned other);

#endif
