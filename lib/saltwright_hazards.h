/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What can hurt whoever handles a product. */
#ifndef SALTWRIGHT_HAZARDS_H
#define SALTWRIGHT_HAZARDS_H

#include "saltwright_base.h"

/* clang-format off */
#ifdef __cplusplus
extern "C" {
#endif

/* A class of the GHS (UN, Globally Harmonized System) that a product is in, from
 * reference/hazards.csv and hazard_classes.csv; all of it is static text. */
typedef struct sw_hazard {
    const char *ghs_class, *code; /* "Skin Corr. 1B", "H314" */
    sw_severity signal;           /* SW_INFO: no signal word */
    const char *statement;        /* "Causes severe skin burns ..." */
    const char *known, *source;   /* "read", "value from memory", "not read:
                                     the stricter reading holds"; the work */
    size_t rank; /* its place among all classes; 0: the strongest */
} sw_hazard;
enum { SW_MAX_HAZARDS = 12 };
/* Of one product, the strongest first, one for each code. */
typedef struct sw_hazards {
    sw_hazard items[SW_MAX_HAZARDS];
    size_t count;
    const char *known, *source; /* of its being in no class; NULL: unknown */
} sw_hazards;
/* What whoever handles a product wears, and where; bits of a sum. */
typedef enum sw_gear {
    SW_GEAR_GOGGLES = 1, SW_GEAR_SHIELD = 2, SW_GEAR_GLOVES = 4,
    SW_GEAR_APRON = 8, SW_GEAR_MASK = 16, /* against dust */
    SW_GEAR_AIR = 32 /* in the open, or where fumes are drawn off */
} sw_gear;
/* "goggles, gloves and dust mask": what is worn, of a sum of sw_gear; cut to
 * `size`. */
SW_API void sw_gear_text(unsigned gear, char *text, size_t size);

#ifdef __cplusplus
}
#endif

#endif
