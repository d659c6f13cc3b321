/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One unit as written, taken apart: what it measures and how large it is. */
#ifndef SW_QUANTITY_UNIT_PARSE_H
#define SW_QUANTITY_UNIT_PARSE_H

#include "saltwright.h"

typedef enum sw_quantity {
    SW_Q_MASS,         /* g */
    SW_Q_VOLUME,       /* L */
    SW_Q_AMOUNT,       /* mmol */
    SW_Q_EQUIVALENTS,  /* meq */
    SW_Q_MASS_CONC,    /* mg/L */
    SW_Q_MOLAR_CONC,   /* mmol/L */
    SW_Q_EQ_CONC,      /* meq/L */
    SW_Q_VOLUME_RATIO, /* L/L */
    SW_Q_HARDNESS,     /* degrees, and mg/L of CaCO3 or CaO: meq/L */
    SW_Q_BICARBONATE,  /* mg/L of HCO3: meq/L */
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

#endif
