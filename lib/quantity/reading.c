/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Readings of a lab report into the units used inside.  A unit that says what
 * it is of ("mg/L as N", "mg N/L") makes the parameter clearer first.
 */
#include "quantity/units.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "quantity/status.h"
#include "quantity/text.h"
#include "quantity/unit_parse.h"

enum { MAX_UNIT = 80, MAX_NAME = 120 };

static const char *fitting_units(const sw_parameter *p)
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
    default:
        return p->charge ? "mg/L, ppm, ug/L, mmol/L or meq/L"
                         : "mg/L, ppm, ug/L or mmol/L";
    }
}

static sw_status unfitting(const sw_parameter *p, const char *unit,
                           sw_error *error)
{
    if (!*unit)
        return sw_fail(error, SW_ERR_UNIT, "%s needs a unit: %s", p->name,
                       fitting_units(p));
    return sw_fail(error, SW_ERR_UNIT,
                   "the unit '%s' does not say how much %s there is; units "
                   "that do: %s",
                   unit, p->name, fitting_units(p));
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
    double per_meq = in_equivalents(p) ? 1
                     : p->charge       ? p->component_per_mmol / p->charge
                                       : NAN;
    switch (quantity) {
    case SW_Q_MASS_CONC:
        return p->component_per_mg;
    case SW_Q_MOLAR_CONC:
        return p->component_per_mmol;
    case SW_Q_EQ_CONC:
        return per_meq;
    case SW_Q_HARDNESS:
        return counts_as_hardness(p) ? per_meq : NAN;
    case SW_Q_BICARBONATE:
        return p->kind == SW_READS_ALKALINITY ? 1 : NAN;
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

/* NaN when the unit does not fit. */
static double converted(const sw_parameter *p, double value,
                        const sw_unit *unit)
{
    switch (p->kind) {
    case SW_READS_PH:
        return unit->quantity == SW_Q_PH ? value : NAN;
    case SW_READS_EC:
        return unit->quantity == SW_Q_CONDUCTIVITY ? value * unit->factor : NAN;
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

/* ---- A unit that says what it is of ------------------------------------- */

/* Takes `length` characters at `at` out of `unit` into `of`. */
static void move_out(char *unit, size_t at, size_t length, char *of)
{
    memcpy(of, unit + at, length);
    of[length] = '\0';
    memmove(unit + at, unit + at + length, strlen(unit + at + length) + 1);
}

/*
 * Parts "mg/L as N", "mg/L (SO4)", "mg/L N" and "mg N/L" into the unit, in
 * place, and what it is of; false when it is none of these.
 */
static bool split_of(char *unit, char of[MAX_UNIT])
{
    for (char *p = unit; *p; p++)
        if (strchr("()[]", *p))
            *p = ' ';
    char *slash = strchr(unit, '/');
    if (!slash)
        return false;
    size_t below = (size_t)(slash - unit) + 1;
    size_t space = below + strcspn(unit + below, " ");
    size_t above = strcspn(unit, " ");
    if (unit[space + strspn(unit + space, " ")])
        move_out(unit, space, strlen(unit + space), of);
    else if (above < below && unit[above + strspn(unit + above, " ")] != '/')
        move_out(unit, above, below - 1 - above, of);
    else
        return false;
    static const char *const fillers[] = {"as", "of"};
    sw_text_blank(of, fillers, sizeof fillers / sizeof *fillers);
    return true;
}

/*
 * "NO3" in "mg/L as N" is "NO3 as N".  Only a clearer name of the same thing
 * is taken: what is told of must not change.
 */
static bool clearer(const sw_parameter *p, const char *of, sw_parameter *found)
{
    char name[MAX_NAME];
    (void)snprintf(name, sizeof name, "%s as %s", p->name, of);
    return sw_parameter_find(name, found, NULL) == SW_OK &&
           found->kind == p->kind && found->component == p->component &&
           found->partial == p->partial;
}

static bool convert_clearer(const sw_parameter *p, double value,
                            const char *text, double *out)
{
    char unit[MAX_UNIT];
    char of[MAX_UNIT];
    sw_parameter found;
    return sw_text_fold(text, unit, sizeof unit) && split_of(unit, of) &&
           clearer(p, of, &found) &&
           sw_reading_convert(&found, value, unit, out, NULL) == SW_OK;
}

sw_status sw_reading_convert(const sw_parameter *parameter, double value,
                             const char *unit, double *out, sw_error *error)
{
    sw_unit parsed = {.quantity = SW_Q_PH};
    *out = NAN;
    if (!isfinite(value))
        return sw_fail(error, SW_ERR_VALUE, "the value of %s is not finite",
                       parameter->name);
    if (sw_parameter_is_bare(parameter)) {
        *out = value;
        return SW_OK;
    }
    /* "" and "-" are no unit, which fits pH alone. */
    if (unit[strspn(unit, " -")]) {
        sw_status status = sw_unit_parse(unit, &parsed, error);
        if (status != SW_OK)
            return convert_clearer(parameter, value, unit, out) ? SW_OK
                                                                : status;
    }
    *out = converted(parameter, value, &parsed);
    return isnan(*out) ? unfitting(parameter, unit, error) : SW_OK;
}
