/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A label or a lab report is good to two or three digits; printing more would
 * promise what nobody knows.  Definitions of the units: NIST SP 811 (2008),
 * appendix B.8 (pound, ounce, US gallon and fluid ounce).
 */
#include "io/figure.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

const double figure_g_per_oz = 28.349523125;
const double figure_g_per_lb = 453.59237;
const double figure_l_per_gal = 3.785411784;
static const double ml_per_fl_oz = 29.5735295625;

/* "-0.00" says nothing that "0.00" does not. */
static void drop_minus_of_zero(char *text)
{
    if (text[0] == '-' && strspn(text + 1, "0.") == strlen(text + 1))
        memmove(text, text + 1, strlen(text));
}

int figure_decimals(double size)
{
    if (size >= 100.0)
        return 0;
    if (size >= 10.0)
        return 1;
    return size >= 1.0 ? 2 : 3;
}

cli_figure figure_fixed(double value, int decimals)
{
    cli_figure out = {"-"};
    if (!isnan(value)) {
        snprintf(out.text, sizeof out.text, "%.*f", decimals, value);
        drop_minus_of_zero(out.text);
    }
    return out;
}

/* `usual` significant digits, `after_one` where the first of them is a 1. */
static cli_figure significant(double value, int usual, int after_one)
{
    double size = fabs(value);
    if (isnan(value) || size < 1e-9)
        return figure_fixed(value, 0);
    double power = floor(log10(size));
    bool starts_with_one = size / pow(10.0, power) < 2.0;
    int decimals = (starts_with_one ? after_one : usual) - 1 - (int)power;
    if (decimals >= 0)
        return figure_fixed(value, decimals);
    double last = pow(10.0, -decimals);
    return figure_fixed(round(value / last) * last, 0);
}

cli_figure figure_plain(double value)
{
    return significant(value, 3, 4);
}

/* "12.50" is "12.5", "3.00" is "3". */
static cli_figure without_zeros(cli_figure out)
{
    size_t used = strlen(out.text);
    if (!strchr(out.text, '.'))
        return out;
    while (out.text[used - 1] == '0')
        out.text[--used] = '\0';
    if (out.text[used - 1] == '.')
        out.text[--used] = '\0';
    return out;
}

cli_figure figure_short(double value)
{
    return without_zeros(significant(value, 3, 3));
}

cli_figure figure_given(double value)
{
    cli_figure out = without_zeros(significant(value, 5, 5));
    bool whole = fabs(strtod(out.text, NULL) - value) <= 1e-9 * fabs(value);
    return whole || isnan(value) ? out : figure_short(value);
}

cli_figure figure_outward(double value, bool up)
{
    double size = fabs(value);
    if (!isfinite(value) || size < 1e-9)
        return figure_fixed(value, 0);
    /* a digit of the last place is 1 / scale; dividing by it would blur */
    double scale = pow(10.0, 2.0 - floor(log10(size)));
    double steps = value * scale;
    double near = round(steps);
    bool exact = fabs(steps - near) < 1e-6;
    double moved = exact ? near : up ? ceil(steps) : floor(steps);
    return figure_short(moved / scale);
}

/* A bound of 37.5 among whole numbers may be 38, one of 0.25 never 0.2. */
static int kept_decimals(double value, int decimals)
{
    enum { MOST_MORE = 4 };
    for (int more = 0; more < MOST_MORE; more++) {
        cli_figure out = figure_fixed(value, decimals + more);
        if (!(fabs(strtod(out.text, NULL) - value) > 0.015 * fabs(value)))
            return decimals + more;
    }
    return decimals + MOST_MORE;
}

cli_figure figure_kept(double value, int decimals)
{
    return figure_fixed(value, kept_decimals(value, decimals));
}

cli_figure figure_band(double low, double high, int decimals)
{
    int kept = kept_decimals(high, kept_decimals(low, decimals));
    cli_figure from = figure_fixed(low, kept);
    cli_figure to = figure_fixed(high, kept);
    cli_figure out = {"-"};
    if (!isnan(low) && !isnan(high))
        snprintf(out.text, sizeof out.text, "%.20s to %.20s", from.text,
                 to.text);
    else if (!isnan(high))
        snprintf(out.text, sizeof out.text, "max %.20s", to.text);
    else if (!isnan(low))
        snprintf(out.text, sizeof out.text, "min %.20s", from.text);
    return out;
}

cli_figure figure_signed(double value, int decimals)
{
    cli_figure out = figure_fixed(value, decimals);
    bool positive = value > 0.0 && strspn(out.text, "0.") < strlen(out.text);
    if (positive) {
        memmove(out.text + 1, out.text, sizeof out.text - 2);
        out.text[0] = '+';
    }
    return out;
}

cli_figure figure_amount(cli_figure number, const char *unit)
{
    size_t used = strlen(number.text);
    if (strcmp(number.text, "-") != 0)
        snprintf(number.text + used, sizeof number.text - used, " %s", unit);
    return number;
}

cli_figure figure_percent(double share)
{
    return figure_amount(figure_fixed(100.0 * share, FIGURE_WHOLE), "%");
}

static cli_figure gal(double volume_l, cli_figure (*digits)(double))
{
    return figure_amount(digits(volume_l / figure_l_per_gal), "gal");
}

static cli_figure litres(double volume_l, cli_figure (*digits)(double))
{
    return figure_amount(digits(volume_l), "L");
}

cli_figure figure_beside(cli_figure first, cli_figure other)
{
    cli_figure out;
    snprintf(out.text, sizeof out.text, "%.21s (%.21s)", first.text,
             other.text);
    return out;
}

cli_figure figure_volume(double volume_l, sw_unit_system system)
{
    return system == SW_US ? gal(volume_l, figure_given)
                           : litres(volume_l, figure_given);
}

cli_figure figure_volume_both(double volume_l, sw_unit_system system)
{
    return figure_beside(figure_volume(volume_l, system),
                         system == SW_US ? litres(volume_l, figure_short)
                                         : gal(volume_l, figure_short));
}

figure_unit figure_mass_unit(double g, bool us)
{
    if (us && g >= figure_g_per_lb)
        return (figure_unit){"lb", figure_g_per_lb};
    if (us && g >= figure_g_per_oz)
        return (figure_unit){"oz", figure_g_per_oz};
    if (g >= 1000.0)
        return (figure_unit){"kg", 1000.0};
    return (figure_unit){"g", 1.0};
}

/* Below as many, whoever pours counts fluid ounces (common practice, no
 * source). */
static const double jugs_of_gal = 2.0;

figure_unit figure_liquid_unit(double ml, bool us)
{
    double gal_ml = 1000.0 * figure_l_per_gal;
    if (us && ml >= jugs_of_gal * gal_ml)
        return (figure_unit){"gal", gal_ml};
    if (us && ml >= ml_per_fl_oz)
        return (figure_unit){"fl oz", ml_per_fl_oz};
    return ml >= 1000.0 ? (figure_unit){"L", 1000.0} : (figure_unit){"mL", 1.0};
}

static cli_figure in_unit(double amount, figure_unit unit)
{
    return figure_amount(figure_plain(amount / unit.size), unit.name);
}

cli_figure figure_mass_metric(double g)
{
    return in_unit(g, figure_mass_unit(g, false));
}

cli_figure figure_mass_us(double g)
{
    return in_unit(g, figure_mass_unit(g, true));
}

cli_figure figure_liquid_metric(double ml)
{
    return in_unit(ml, figure_liquid_unit(ml, false));
}

cli_figure figure_liquid_us(double ml)
{
    return in_unit(ml, figure_liquid_unit(ml, true));
}

cli_figure figure_fahrenheit(double celsius)
{
    cli_figure out;
    snprintf(out.text, sizeof out.text, "%.4g", 32 + 1.8 * celsius);
    return out;
}

cli_figure figure_letter(char first, size_t index)
{
    cli_figure out = {""};
    snprintf(out.text, sizeof out.text, "%c", first + (int)(index % 26));
    if (index >= 26)
        snprintf(out.text + 1, sizeof out.text - 1, "%zu", index / 26 + 1);
    return out;
}
