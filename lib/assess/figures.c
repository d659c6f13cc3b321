/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A number as people read it: notes and reasons never show an exponent. */
#include "assess/figures.h"

#include <math.h>
#include <stdio.h>

const char *sw_figure(double value, char text[SW_FIGURE_BYTES])
{
    double size = fabs(value);
    int decimals = size >= 99.95    ? 0
                   : size >= 9.995  ? 1
                   : size >= 0.9995 ? 2
                                    : 3;
    snprintf(text, SW_FIGURE_BYTES, "%.*f", decimals, value);
    return text;
}
