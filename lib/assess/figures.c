/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A number as people read it: notes and reasons never show an exponent. */
#include "assess/figures.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

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

const char *sw_basis(const char *source, bool danger, char text[192])
{
    static const char mark[] = "; danger: ";
    const char *found = strstr(source, mark);
    int before = found ? (int)(found - source) : (int)strlen(source);
    if (found && danger)
        snprintf(text, 192, "%s", found + strlen(mark));
    else
        snprintf(text, 192, "%.*s", before, source);
    return text;
}
