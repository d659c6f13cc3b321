/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A number as people read it, for notes and reasons. */
#ifndef SW_ASSESS_FIGURES_H
#define SW_ASSESS_FIGURES_H

#include <stdbool.h>

enum { SW_FIGURE_BYTES = 32 };

/* Three significant figures without an exponent: "1234", "21.2", "0.045". */
const char *sw_figure(double value, char text[SW_FIGURE_BYTES]);

/* Which part of a source in reference/ a limit rests on: what stands
 * behind "danger: ", or before it. */
const char *sw_basis(const char *source, bool danger, char text[192]);

#endif
