/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Random mixes: what is really in the tank when everything is a little off. */
#ifndef SW_DECIDE_DRAW_H
#define SW_DECIDE_DRAW_H

#include "saltwright.h"

/* Sources of error switched on: bit 1 << sw_doubt. */
enum { SW_DOUBT_ALL = (1 << SW_DOUBT_COUNT) - 1 };

/* SW_ERR_VALUE where a tolerance is out of its domain. */
sw_status sw_tolerances_check(const sw_mix *mix,
                              const sw_tolerances *tolerances, sw_error *error);

/* A stream of draws over one mix; owns its generators. */
typedef struct sw_draw sw_draw;

/* `doubts`: which sources vary.  SW_ERR_MEMORY.  Free with sw_draw_free. */
sw_status sw_draw_new(const sw_mix *mix, const sw_tolerances *tolerances,
                      unsigned doubts, sw_draw **draw, sw_error *error);
void sw_draw_free(sw_draw *draw);

/* The next mix: its water, and g/L of each product of the recipe, which is the
 * draw's and stands until the next. */
const double *sw_draw_next(sw_draw *draw, sw_content *water);

#endif
