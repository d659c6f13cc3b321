/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One unit as written, taken apart: what it measures and how large it is. */
#ifndef SW_QUANTITY_UNIT_PARSE_H
#define SW_QUANTITY_UNIT_PARSE_H

#include "quantity/text.h"

typedef enum sw_quantity {
    SW_Q_MASS,         /* g */
    SW_Q_VOLUME,       /* L */
    SW_Q_AMOUNT,       /* mmol */
    SW_Q_EQUIVALENTS,  /* meq */
    SW_Q_MASS_CONC,    /* mg/L */
    SW_Q_MOLAR_CONC,   /* mmol/L */
    SW_Q_EQ_CONC,      /* meq/L */
    SW_Q_VOLUME_RATIO, /* L/L */
    SW_Q_HARDNESS,     /* degrees: meq/L */
    SW_Q_CONDUCTIVITY, /* mS/cm */
    SW_Q_TEMPERATURE,  /* degC, degF, K by name; the factor is unused */
    SW_Q_PH,
    SW_Q_AMBIGUOUS
} sw_quantity;

typedef struct sw_unit {
    const char *name; /* the table's, of the unit or of its numerator */
    sw_quantity quantity;
    double factor; /* of the unit the quantity is listed with */
    bool us;       /* a US customary unit */
} sw_unit;

/* SW_ERR_UNIT: unknown, ambiguous, or a bound on its length. */
sw_status sw_unit_parse(const char *text, sw_unit *unit, sw_error *error);

/*
 * The same of a unit that may say what it is of, "mg/L as N", "mg N/L",
 * "mgN/L": a species sw_species_known knows into `of`, "" when it says none.
 */
sw_status sw_unit_parse_of(const char *text, sw_unit *unit,
                           char of[SW_KEY_SIZE], sw_error *error);

/* Whether these bytes are an amount, "mg", "mmol", "ppm", that what it is of
 * may follow without anything between. */
bool sw_unit_is_amount(const char *text, size_t length);

/* "mg per L", "mg L-1", "mg dm-3", "mg L^-1" as "mg/L", "mg/dm3", in place. */
void sw_unit_write_strokes(char *text);

#endif
