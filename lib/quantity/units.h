/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Names and units as laboratories and the trade write them, and every
 * conversion between them.  Tables: reference/parameters.csv and units.csv.
 * A name or unit that could mean two things is refused with the choices.
 */
#ifndef SW_QUANTITY_UNITS_H
#define SW_QUANTITY_UNITS_H

#include "saltwright.h"

/*
 * What a name stands for.  With alkalinity and hardness "component" means meq.
 */
typedef struct sw_parameter {
    const char *name; /* the table's spelling: "SO4"; static storage */
    sw_reading_kind kind;
    sw_component component; /* SW_COMPONENT_COUNT unless it is one */
    /* mg of the component (SW_READS_OTHER: of what is named) per mg, and per
     * mmol, of what is reported; NaN where the name does not say enough
     * ("hardness" in mg of what?). */
    double component_per_mg;
    double component_per_mmol;
    double component_per_meq; /* NaN without a charge; 1 of alkalinity ... */
    int charge;               /* meq per mmol; 0 when it has none or several */
    int row;                  /* of reference/parameters.csv */
    bool partial; /* HCO3, CO3, OH: they add up to the alkalinity; nitrate with
                     nitrite: not it alone; EC at 20 degC */
} sw_parameter;

/*
 * Looks a name up; case, spaces, charges ("NO3-", "Ca2+", "Ca++"), subscripts
 * and dash forms do not matter.  SW_ERR_NAME: unknown (near names are given)
 * or ambiguous ("nitrate", "N": the choices are given).
 */
sw_status sw_parameter_find(const char *name, sw_parameter *parameter,
                            sw_error *error);

/*
 * The same of a name beside its unit, "" where there is none: a unit that says
 * what it is of settles what the name leaves open ("nitrate" in "mg/L as N" is
 * NO3-N), and so do moles and equivalents ("nitrate" in mmol/L is NO3).
 */
sw_status sw_parameter_find_in(const char *name, const char *unit,
                               sw_parameter *parameter, sw_error *error);

/* What a name is without its unit. */
typedef enum sw_known {
    SW_UNKNOWN,
    SW_KNOWN_OPEN, /* it could mean more than one thing */
    SW_KNOWN
} sw_known;
sw_known sw_parameter_known(const char *name);

/* Whether an unknown name is near a known one, as a slip of the pen is. */
bool sw_parameter_is_near(const char *name);

/* What an open name may mean, in words: "NO3 (mg of the ion) or NO3-N"; "": it
 * is none. */
const char *sw_parameter_choices(const char *open);
/* The units a parameter is given in, in words: "mg/L, ppm or mmol/L". */
const char *sw_parameter_units(const sw_parameter *parameter);
/* Of such words what somebody may state (sw_waters_gather), one of them after
 * the other with a "|" between; "" where one of the choices is no name or unit.
 */
void sw_name_choices(const char *open, char *list, size_t size);
void sw_unit_choices(const char *name, const sw_parameter *parameter,
                     char *list, size_t size);

/* The first choice of an open name: NO3 of "nitrate". */
bool sw_parameter_may_be(const char *open, sw_parameter *first);

/* N, the sum of its forms, which a target names and no reading is. */
void sw_parameter_nitrogen(sw_parameter *parameter);

/* Whether readings are given as `species`: "N", "NO3-N", "CaCO3", "SO4--". */
bool sw_species_known(const char *species);

/*
 * Takes the parameter's masses and moles as those of `species`: S in mg of SO4.
 * NULL when that is done; else "" where it is not a species of the parameter's,
 * or the choices where it could mean two things.
 */
const char *sw_parameter_express(sw_parameter *parameter, const char *species);

/* Whether it is a number or a word in a unit of its own, such as turbidity,
 * that stands for nothing here. */
bool sw_parameter_is_bare(const sw_parameter *parameter);

/*
 * `value` in `unit` as mg/L of the component, or of what is named
 * (SW_READS_OTHER) | meq/L (alkalinity, hardness, Ca hardness) | mS/cm (EC) |
 * degC | pH | mg/L (TDS); what is bare keeps its value.  The unit may be empty
 * for pH and what is bare.
 * SW_ERR_UNIT: unknown, ambiguous or unfitting; the fitting ones are named.
 * SW_ERR_VALUE: not finite.
 */
sw_status sw_reading_convert(const sw_parameter *parameter, double value,
                             const char *unit, double *out, sw_error *error);

/*
 * Grams of product per litre of finished solution that one `unit` is: "mg/L"
 * (also ""), "g/L", "g/gal", "oz/100gal", "lb/1000gal", "mL/L", "fl oz/gal",
 * "g/m3" ...  gal is the US gallon.  `density_g_per_ml` is needed for units of
 * volume (NaN for a solid: SW_ERR_UNIT).
 */
sw_status sw_rate_convert(const char *unit, double density_g_per_ml,
                          double *g_per_l_per_unit, sw_error *error);

/*
 * A pack given by mass or volume ("25kg", "10 L", "1 gal") -> grams; a volume
 * needs the density.
 */
sw_status sw_pack_convert(const char *text, double density_g_per_ml, double *g,
                          sw_error *error);

/*
 * A price per `price_unit` ("/kg", "EUR/kg", "per lb", "/L", "/gal", "/pack",
 * "/25kg") as price per kg.  The currency word plays no part.  `pack_g` and
 * `density_g_per_ml` may be NaN where the unit does not need them
 * (SW_ERR_MISSING when it does).  SW_ERR_UNIT, SW_ERR_VALUE.
 */
sw_status sw_price_convert(double price, const char *price_unit, double pack_g,
                           double density_g_per_ml, double *per_kg,
                           sw_error *error);

/*
 * A number as people write it: decimal point, or decimal comma when
 * `decimal_comma`; exponent allowed; nothing else may follow.
 * SW_ERR_SYNTAX, SW_ERR_VALUE (not finite).
 */
sw_status sw_number_parse(const char *text, bool decimal_comma, double *value,
                          sw_error *error);

/* Below it a titration finds no alkalinity (Standard Methods 2320 B); the first
 * pK of carbonic acid at 25 degC. */
#define SW_TITRATION_END_PH 4.5
#define SW_CARBONIC_PK 6.35
/* Nor does it tell so little base: reference/detection_limits.csv. */
#define SW_LEAST_TITRATED_MEQ_PER_L 0.1
/* Less acid than that is no acid: what sw_choose counts for nothing. */
#define SW_LEAST_ACID_MEQ_PER_L 0.5

/* What was found per litre, and what is below detection at its limit. */
sw_content sw_water_most(const sw_water *water);
/* What of it is alkalinity that its report may hide, in meq/L. */
double sw_hidden_alkalinity(const sw_water *water);

#endif
