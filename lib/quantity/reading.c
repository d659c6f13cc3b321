/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Readings of a lab report into the units used inside.  A unit that says what
 * it is of ("mg/L as N", "mg N/L") decides what of the parameter is weighed.
 */
#include "quantity/units.h"

#include <math.h>
#include <string.h>

#include "quantity/status.h"
#include "quantity/unit_parse.h"
#include "table_refusals.h"

const char *sw_parameter_units(const sw_parameter *p)
{
    switch (p->kind) {
    case SW_READS_PH:
        return "none";
    case SW_READS_EC:
        return "mS/cm, dS/m, uS/cm or mmho/cm (a meter's ppm: ppm500, ppm640 "
               "or ppm700, by its scale)";
    case SW_READS_TDS:
        return "mg/L or ppm";
    case SW_READS_TEMPERATURE:
        return "degC or degF";
    case SW_READS_ALKALINITY:
        return isnan(p->component_per_mg)
                   ? "meq/L, mg/L CaCO3, mg/L HCO3, dH or fH"
                   : "mg/L, ppm, mmol/L or meq/L";
    case SW_READS_HARDNESS:
    case SW_READS_CA_HARDNESS:
        return isnan(p->component_per_mg)
                   ? "mg/L CaCO3, dH, fH, clark, gpg, meq/L or mmol/L"
                   : "mg/L, ppm, mmol/L or meq/L";
    case SW_READS_COMPONENT:
        if (p->component == SW_MG && isnan(p->component_per_mg))
            return "mg/L CaCO3, dH, fH, clark, gpg, meq/L or mmol/L";
        /* fall through */
    default:
        return p->charge ? "mg/L, ppm, ug/L, mmol/L or meq/L"
                         : "mg/L, ppm, ug/L or mmol/L";
    }
}

static sw_status unfitting(const sw_parameter *p, const char *unit,
                           sw_error *error)
{
    if (!*unit)
        return sw_fail(error, SW_BAD_UNIT_MISSING, p->name,
                       sw_parameter_units(p));
    return sw_fail(error, SW_BAD_UNIT_OF_PARAMETER, unit, p->name,
                   sw_parameter_units(p));
}

static bool in_equivalents(const sw_parameter *p)
{
    return p->kind == SW_READS_ALKALINITY || p->kind == SW_READS_HARDNESS ||
           p->kind == SW_READS_CA_HARDNESS;
}

/* Whether hardness degrees and "as CaCO3" make sense for it. */
static bool counts_as_hardness(const sw_parameter *p)
{
    return in_equivalents(p) || p->component == SW_CA || p->component == SW_MG;
}

/* Component (or meq) per unit of the quantity; NaN when it does not fit. */
static double component_per(const sw_parameter *p, sw_quantity quantity)
{
    switch (quantity) {
    case SW_Q_MASS_CONC:
        return p->component_per_mg;
    case SW_Q_MOLAR_CONC:
        return p->component_per_mmol;
    case SW_Q_EQ_CONC:
        return p->component_per_meq;
    case SW_Q_HARDNESS:
        return counts_as_hardness(p) ? p->component_per_meq : NAN;
    default:
        return NAN;
    }
}

static double celsius(double value, const char *unit)
{
    if (!strcmp(unit, "degF"))
        return (value - 32) / 1.8;
    return !strcmp(unit, "K") ? value - 273.15 : value;
}

/* Hardness in degrees F is French: it cannot be a temperature. */
static bool is_french_degree(const sw_parameter *p, const sw_unit *unit)
{
    return unit->quantity == SW_Q_TEMPERATURE && !strcmp(unit->name, "degF") &&
           counts_as_hardness(p);
}

static double french_degree(void)
{
    sw_unit unit = {0};
    return sw_unit_parse("fH", &unit, NULL) == SW_OK ? unit.factor : NAN;
}

/* EC at 25 degC over that at 20, of natural waters: ISO 7888:1985, table of
 * correction factors (value from memory). */
static const double ec_25_per_20 = 1.116;

/* NaN when the unit does not fit. */
static double converted(const sw_parameter *p, double value,
                        const sw_unit *unit)
{
    switch (p->kind) {
    case SW_READS_PH:
        return unit->quantity == SW_Q_PH ? value : NAN;
    case SW_READS_EC:
        return unit->quantity == SW_Q_CONDUCTIVITY
                   ? value * unit->factor * (p->partial ? ec_25_per_20 : 1.0)
                   : NAN;
    case SW_READS_TDS:
        return unit->quantity == SW_Q_MASS_CONC ? value * unit->factor : NAN;
    case SW_READS_TEMPERATURE:
        return unit->quantity == SW_Q_TEMPERATURE ? celsius(value, unit->name)
                                                  : NAN;
    default:
        if (is_french_degree(p, unit))
            return value * french_degree() * component_per(p, SW_Q_HARDNESS);
        return value * unit->factor * component_per(p, unit->quantity);
    }
}

/* Takes the parameter as what the unit is of. */
static sw_status express(sw_parameter *p, const char *of, const char *unit,
                         sw_error *error)
{
    const char *choices = sw_parameter_express(p, of);
    if (!choices)
        return SW_OK;
    if (*choices)
        return sw_fail(error, SW_BAD_UNIT_UNCLEAR, p->name, unit, choices);
    return sw_fail(error, SW_BAD_UNIT_OF_OTHER, unit, of, p->name,
                   sw_parameter_units(p));
}

sw_status sw_reading_convert(const sw_parameter *parameter, double value,
                             const char *unit, double *out, sw_error *error)
{
    sw_unit parsed = {.quantity = SW_Q_PH};
    sw_parameter p = *parameter;
    char of[SW_KEY_SIZE] = "";
    *out = NAN;
    if (!isfinite(value))
        return sw_fail(error, SW_BAD_READING_INFINITE, p.name);
    if (sw_parameter_is_bare(&p)) {
        *out = value;
        return SW_OK;
    }
    /* "" and "-" are not a unit, which fits pH alone. */
    if (unit[strspn(unit, " -")]) {
        sw_status status = sw_unit_parse_of(unit, &parsed, of, error);
        if (status == SW_OK && *of)
            status = express(&p, of, unit, error);
        if (status != SW_OK)
            return status;
    }
    *out = converted(&p, value, &parsed);
    return isnan(*out) ? unfitting(&p, unit, error) : SW_OK;
}

sw_content sw_water_most(const sw_water *water)
{
    sw_content most = water->per_l;
    for (size_t i = 0; i < water->reading_count; i++) {
        const sw_reading *r = &water->readings[i];
        bool component = r->kind == SW_READS_COMPONENT;
        int place = component ? (int)r->component : (int)SW_ALKALINITY;
        bool hidden = component ? water->below_detection[place]
                                : r->kind == SW_READS_ALKALINITY;
        if (hidden && r->below_detection)
            most.amount[place] = fmax(most.amount[place], r->amount);
    }
    return most;
}

double sw_hidden_alkalinity(const sw_water *water)
{
    return sw_water_most(water).amount[SW_ALKALINITY] -
           water->per_l.amount[SW_ALKALINITY];
}
