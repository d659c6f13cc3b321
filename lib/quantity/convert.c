/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Numbers, volumes, masses, packs, rates and prices as people write them, into
 * the units used inside.  Readings of a lab report: reading.c.
 */
#include "quantity/units.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "quantity/status.h"
#include "quantity/text.h"
#include "quantity/unit_parse.h"
#include "table_refusals.h"

enum { MAX_AMOUNT = 80 };

/* ---- Numbers ------------------------------------------------------------ */

static sw_status not_a_number(const char *text, sw_error *error)
{
    return sw_fail(error, SW_BAD_NUMBER_TEXT, (int)strcspn(text, "\r\n"), text);
}

sw_status sw_number_parse(const char *text, bool decimal_comma, double *value,
                          sw_error *error)
{
    char folded[MAX_AMOUNT];
    *value = NAN;
    if (!sw_text_fold(text, folded, sizeof folded))
        return sw_fail(error, SW_BAD_NUMBER_LONG, MAX_AMOUNT - 1);
    char *start = folded + strspn(folded, " ");
    char *comma = strchr(start, ',');
    if (comma && decimal_comma && !strchr(start, '.'))
        *comma = '.';
    double parsed;
    size_t length = sw_text_number(start, &parsed);
    if (!length || start[length + strspn(start + length, " ")])
        return not_a_number(text, error);
    if (!isfinite(parsed))
        return sw_fail(error, SW_BAD_NUMBER_HUGE, folded);
    *value = parsed;
    return SW_OK;
}

/*
 * "1,5 m3" -> 1.5 and "m3".  A comma before exactly three digits could mark
 * thousands and is refused.
 */
static sw_status split_amount(const char *text, double *value,
                              char unit[MAX_AMOUNT], sw_error *error)
{
    char folded[MAX_AMOUNT];
    if (!sw_text_fold(text, folded, sizeof folded))
        return sw_fail(error, SW_BAD_AMOUNT_LONG, MAX_AMOUNT - 1);
    char *start = folded + strspn(folded, " ");
    size_t whole = strspn(start, "0123456789");
    if (start[whole] == ',') {
        size_t decimals = strspn(start + whole + 1, "0123456789");
        char after = start[whole + 1 + decimals];
        if (decimals == 3 || after == ',' || after == '.')
            return sw_fail(error, SW_BAD_COMMA_UNCLEAR, folded);
        start[whole] = '.';
    }
    *value = NAN;
    size_t length = sw_text_number(start, value);
    if (!length)
        return sw_fail(error, SW_BAD_AMOUNT_WITHOUT_UNIT, folded);
    if (!(*value > 0) || !isfinite(*value))
        return sw_fail(error, SW_BAD_AMOUNT_ZERO, folded);
    (void)snprintf(unit, MAX_AMOUNT, "%s", start + length);
    return SW_OK;
}

/* ---- Rates, volumes, masses, packs, prices ------------------------------ */

/*
 * g that one unit of mass or volume of a product is.  The ounce of a liquid
 * could be one of volume, and is refused unless it says which.
 */
static sw_status product_mass(const sw_unit *unit, const char *text,
                              double density_g_per_ml, double *factor,
                              sw_error *error)
{
    bool by_volume =
        unit->quantity == SW_Q_VOLUME || unit->quantity == SW_Q_VOLUME_RATIO;
    if (by_volume && !(density_g_per_ml > 0))
        return sw_fail(error, SW_BAD_VOLUME_WITHOUT_DENSITY, text);
    if (!by_volume && density_g_per_ml > 0 && !strcmp(unit->name, "oz")) {
        char key[SW_KEY_SIZE];
        sw_text_key(text, key);
        if (!strstr(key, "ozw") && !strstr(key, "ozav"))
            return sw_fail(error, SW_BAD_OZ_UNCLEAR, text);
    }
    *factor = by_volume ? unit->factor * density_g_per_ml * 1e3 : unit->factor;
    return SW_OK;
}

sw_status sw_rate_convert(const char *unit, double density_g_per_ml,
                          double *g_per_l_per_unit, sw_error *error)
{
    sw_unit parsed;
    *g_per_l_per_unit = NAN;
    if (!unit[strspn(unit, " ")])
        unit = "mg/L";
    sw_status status = sw_unit_parse(unit, &parsed, error);
    if (status != SW_OK)
        return status;
    if (parsed.quantity == SW_Q_VOLUME_RATIO)
        return product_mass(&parsed, unit, density_g_per_ml, g_per_l_per_unit,
                            error);
    if (parsed.quantity == SW_Q_MASS || parsed.quantity == SW_Q_VOLUME)
        return sw_fail(error, SW_BAD_RATE_WHOLE, unit, unit, unit);
    if (parsed.quantity != SW_Q_MASS_CONC)
        return sw_fail(error, SW_BAD_RATE_UNIT, unit);
    parsed.factor *= 1e-3; /* mg to g */
    return product_mass(&parsed, unit, density_g_per_ml, g_per_l_per_unit,
                        error);
}

/* A test tube to a reservoir; beyond lies a slip of the keys. */
static const double least_volume_l = 1e-3, most_volume_l = 1e8;

static sw_status parse_amount(const char *text, sw_unit *unit, double *value,
                              sw_error *error)
{
    char name[MAX_AMOUNT];
    sw_status status = split_amount(text, value, name, error);
    if (status == SW_OK)
        status = sw_unit_parse(name, unit, error);
    if (status == SW_OK && !isfinite(*value * unit->factor * 1e3))
        return sw_fail(error, SW_BAD_RATE_HUGE, text);
    return status;
}

/* "1.000L" is a litre here and a thousand there. */
static bool may_part_thousands(const char *text)
{
    size_t whole = strspn(text, "0123456789");
    return whole && text[0] != '0' && text[whole] == '.' &&
           strspn(text + whole + 1, "0123456789") == 3;
}

sw_status sw_volume_parse(const char *text, double *volume_l,
                          sw_unit_system *system, sw_error *error)
{
    SW_REQUIRE(error, text, volume_l, system);
    double value = NAN;
    sw_unit unit = {0};
    *volume_l = NAN;
    if (may_part_thousands(text))
        return sw_fail(error, SW_BAD_POINT_UNCLEAR, text);
    sw_status status = parse_amount(text, &unit, &value, error);
    if (status != SW_OK)
        return status;
    if (unit.quantity != SW_Q_VOLUME)
        return sw_fail(error, SW_BAD_VOLUME_UNIT, text);
    if (!(value * unit.factor >= least_volume_l &&
          value * unit.factor <= most_volume_l))
        return sw_fail(error, SW_BAD_VOLUME_SIZE, text);
    *volume_l = value * unit.factor;
    *system = unit.us ? SW_US : SW_METRIC;
    return SW_OK;
}

sw_status sw_conductivity_parse(const char *text, double *ms_per_cm,
                                sw_error *error)
{
    SW_REQUIRE(error, text, ms_per_cm);
    double value = NAN;
    sw_unit unit = {0};
    *ms_per_cm = NAN;
    sw_status status = parse_amount(text, &unit, &value, error);
    if (status != SW_OK)
        return status;
    if (unit.quantity != SW_Q_CONDUCTIVITY)
        return sw_fail(error, SW_BAD_CONDUCTIVITY_UNIT, text);
    *ms_per_cm = value * unit.factor;
    return SW_OK;
}

sw_status sw_mass_parse(const char *text, double *g, sw_error *error)
{
    SW_REQUIRE(error, text, g);
    double value = NAN;
    sw_unit unit = {0};
    *g = NAN;
    sw_status status = parse_amount(text, &unit, &value, error);
    if (status != SW_OK)
        return status;
    if (unit.quantity != SW_Q_MASS)
        return sw_fail(error, SW_BAD_MASS_UNIT, text);
    *g = value * unit.factor;
    return SW_OK;
}

sw_status sw_pack_convert(const char *text, double density_g_per_ml, double *g,
                          sw_error *error)
{
    double value = NAN;
    double factor = NAN;
    sw_unit unit = {0};
    *g = NAN;
    sw_status status = parse_amount(text, &unit, &value, error);
    if (status != SW_OK)
        return status;
    if (unit.quantity != SW_Q_MASS && unit.quantity != SW_Q_VOLUME)
        return sw_fail(error, SW_BAD_PACK_UNIT, text);
    status = product_mass(&unit, text, density_g_per_ml, &factor, error);
    if (status == SW_OK)
        *g = value * factor;
    return status;
}

/* What follows the last "/" or "per": "EUR/25kg" -> "25kg". */
static const char *per_what(const char *price_unit)
{
    const char *slash = strrchr(price_unit, '/');
    if (slash)
        return slash + 1;
    for (const char *p = price_unit; *p; p++)
        if ((p == price_unit || p[-1] == ' ') && !strncmp(p, "per ", 4))
            return p + 4;
    return price_unit;
}

static bool names_a_pack(const char *text)
{
    char key[SW_KEY_SIZE];
    sw_text_key(text, key);
    return sw_text_listed("pack|package|bag|sack|drum|can|jug|bottle|tub|pail|"
                          "bucket|tote|container|each|ea|piece|Sack|Gebinde|"
                          "Packung|sac|bidon|saco|envase",
                          key);
}

static sw_status price_base_g(const char *what, double density_g_per_ml,
                              double *g, sw_error *error)
{
    char counted[MAX_AMOUNT + 2];
    what += strspn(what, " ");
    snprintf(counted, sizeof counted, "%s%s",
             isdigit((unsigned char)*what) ? "" : "1 ", what);
    sw_unit unit = {0};
    double value = NAN;
    if (parse_amount(counted, &unit, &value, NULL) != SW_OK ||
        (unit.quantity != SW_Q_MASS && unit.quantity != SW_Q_VOLUME))
        return sw_fail(error, SW_BAD_PRICE_PER, what);
    if (unit.quantity == SW_Q_VOLUME && !(density_g_per_ml > 0))
        return sw_fail(error, SW_BAD_PRICE_NEEDS_DENSITY, what);
    return sw_pack_convert(counted, density_g_per_ml, g, error);
}

sw_status sw_price_convert(double price, const char *price_unit, double pack_g,
                           double density_g_per_ml, double *per_kg,
                           sw_error *error)
{
    char folded[MAX_AMOUNT];
    double base_g = pack_g;
    *per_kg = NAN;
    if (!(price >= 0) || !isfinite(price))
        return sw_fail(error, SW_BAD_PRICE_NEGATIVE, price);
    if (!sw_text_fold(price_unit, folded, sizeof folded))
        return sw_fail(error, SW_BAD_PRICE_UNIT_LONG, MAX_AMOUNT - 1);
    const char *what = per_what(folded);
    if (!names_a_pack(what)) {
        sw_status status = price_base_g(what, density_g_per_ml, &base_g, error);
        if (status != SW_OK)
            return status;
    } else if (!(pack_g > 0)) {
        return sw_fail(error, SW_BAD_PRICE_NEEDS_PACK);
    }
    *per_kg = price * 1e3 / base_g;
    return SW_OK;
}
