/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers as a person reads them: the digits they deserve and no more. */
#ifndef CLI_IO_FIGURE_H
#define CLI_IO_FIGURE_H

#include "saltwright.h"

/* Text that travels by value. */
typedef struct cli_figure {
    char text[48];
} cli_figure;

/* NIST SP 811 (2008), appendix B.8. */
extern const double figure_g_per_oz, figure_g_per_lb, figure_l_per_gal;

/* Decimals of what is calculated or estimated, the same on every screen. */
enum {
    FIGURE_WHOLE = 0, /* counts, kPa, g/L of salts, mg/L CaCO3 */
    FIGURE_PH = 1,
    FIGURE_EC = 2,      /* mS/cm */
    FIGURE_MEASURE = 2, /* EC or pH beside the band that judges it */
    FIGURE_CHARGE = 2,  /* meq/L */
    FIGURE_COST = 2,
    FIGURE_RATIO = 3
};

/* Places of an amount and what stands beside it, of the larger: 143, 36.2. */
int figure_decimals(double size);

/* `decimals` places; "-" for NaN; never "-0". */
cli_figure figure_fixed(double value, int decimals);

/*
 * Three significant digits, four where the first is a 1, so that the rounding
 * is never worse than 0.5 %: 943, 1046, 0.0504, 0.1234, 23500.
 */
cli_figure figure_plain(double value);

/* Three significant digits without zeros at the end: a limit of 3 is "3". */
cli_figure figure_short(double value);

/* The same rounded up, or down, so that it is no nearer than `value`. */
cli_figure figure_outward(double value, bool up);

/* What somebody has typed, or a product of that, as it was typed: "1234.5".
 * What takes more than five digits came of another unit: figure_short. */
cli_figure figure_given(double value);

/* "67 %" of a share of 0.67; "-" for NaN. */
cli_figure figure_percent(double share);

/* "12.3 L"; "-" stays alone. */
cli_figure figure_amount(cli_figure number, const char *unit);

/* "3.5 oz (99.2 g)" */
cli_figure figure_beside(cli_figure first, cli_figure other);

/* A volume of tanks or feed as figure_given has it, in its own unit: "50 gal".
 */
cli_figure figure_volume(double volume_l, sw_unit_system system);
/* The same with three digits in the other unit: "5000 gal (18900 L)". */
cli_figure figure_volume_both(double volume_l, sw_unit_system system);

/* A unit of mass or volume, in g or mL. */
typedef struct figure_unit {
    const char *name;
    double size;
} figure_unit;

/* What a scale or a jug shows an amount in: g however little, as 0.12 g
 * beside 120 mg is misread; below a fluid ounce mL, below 2 gal fl oz. */
figure_unit figure_mass_unit(double g, bool us);
figure_unit figure_liquid_unit(double ml, bool us);

/* A mass or a volume in that unit. */
cli_figure figure_mass_metric(double g);
cli_figure figure_mass_us(double g);
cli_figure figure_liquid_metric(double ml);
cli_figure figure_liquid_us(double ml);
cli_figure figure_fahrenheit(double celsius); /* without its unit */

/* The same, with as many more decimals as keep the value within 1.5 %: a target
 * or a limit beside a value of fewer digits. */
cli_figure figure_kept(double value, int decimals);

/* Of item `index`: a to z, then a2 to z2, and so on, from `first` on. */
cli_figure figure_letter(char first, size_t index);

/* "144 to 176", "max 70", "min 5" or "-"; bounds by figure_kept. */
cli_figure figure_band(double low, double high, int decimals);

/* "+12" or "-3"; "0" where nothing is left at these decimals. */
cli_figure figure_signed(double value, int decimals);

#endif
