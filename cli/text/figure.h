/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers as a person reads them: the digits they deserve and no more. */
#ifndef CLI_TEXT_FIGURE_H
#define CLI_TEXT_FIGURE_H

#include "saltwright.h"

/* Text that travels by value. */
typedef struct cli_figure {
    char text[48];
} cli_figure;

/* `decimals` places; "-" for NaN; never "-0". */
cli_figure figure_fixed(double value, int decimals);

/*
 * Three significant digits, four where the first is a 1, so that the rounding
 * is never worse than 0.5 %: 943, 1046, 0.0504, 0.1234.
 */
cli_figure figure_plain(double value);

/* Three significant digits without zeros at the end: a limit of 3 is "3". */
cli_figure figure_short(double value);

/* The same rounded up, or down, so that it is no nearer than `value`. */
cli_figure figure_outward(double value, bool up);

/* A mass or a volume with its unit, as a scale or a jug shows it. */
cli_figure figure_mass_metric(double g);
cli_figure figure_mass_us(double g);
cli_figure figure_liquid_metric(double ml);
cli_figure figure_liquid_us(double ml);

/* "+12" or "-3"; "0" where nothing is left at these decimals. */
cli_figure figure_signed(double value, int decimals);

#endif
