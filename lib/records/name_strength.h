/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The strengths that the name of an acid or a base states, in the measures of
 * the trade. */
#ifndef SW_RECORDS_NAME_STRENGTH_H
#define SW_RECORDS_NAME_STRENGTH_H

#include <stdbool.h>
#include <stddef.h>

typedef enum sw_measure {
    SW_MEASURE_BARE, /* a number alone, which may be a strength */
    SW_MEASURE_PERCENT,
    SW_MEASURE_SHARE,   /* g/kg */
    SW_MEASURE_DENSITY, /* g/mL, or kg/m3 */
    SW_MEASURE_BAUME,   /* degrees */
    SW_MEASURE_MOLAR,   /* mol/L */
    SW_MEASURE_NORMAL,  /* eq/L */
    SW_MEASURE_MASS,    /* g/L */
    SW_MEASURE_COUNT,   /* no strength: which bottle */
    SW_MEASURE_GRADE,   /* a word without a number */
    SW_MEASURE_SPELLED  /* a per cent whose number may be a word */
} sw_measure;

typedef struct sw_said_strength {
    double value;
    sw_measure measure;
    const char *start, *end; /* in the name, with its measure */
} sw_said_strength;

enum { SW_MOST_SAID = 8 };

/* The numbers of a name (from sw_text_lower) that are, or may be, strengths:
 * how many. */
size_t sw_name_strengths(const char *name, sw_said_strength said[SW_MOST_SAID]);

/* Whether a per cent is in such a name, by its sign or a word for it. */
bool sw_name_spells_percent(const char *name);

/* The least %, by mass, of that substance that a word of the name stands for,
 * "fuming", and that word; NaN: there is none. */
double sw_name_least_percent(const char *name, const char *formula, char word[],
                             size_t size);

#endif
