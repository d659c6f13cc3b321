/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Single mistakes made on purpose, with everything else a little off too, and
 * then measured.  Random numbers and mixing are this file's own, not those of
 * the library under test.
 */
#ifndef SW_TESTS_DECIDE_SLIPS_H
#define SW_TESTS_DECIDE_SLIPS_H

#include "bench.h"

#include "decide/meter.h"

#include <gsl/gsl_rng.h>

/* A recipe that is mixed again and again. */
typedef struct slips {
    bench mix;
    int head[SW_MAX_PRODUCTS];
    sw_tolerances off;
    sw_outlook *outlook;
} slips;

enum { SLIPS_SETUPS = 7 };

/* Recipe number `setup` out of the example files; free with slips_close. */
void slips_open(slips *s, int setup);
void slips_close(slips *s);

/* A mistake (not: CO2 gone) of the outlook's list, drawn by its belief before
 * any reading. */
size_t slips_choose(const slips *s, gsl_rng *rng);

/* The readings of a tank in which mistake `index` was made, `aired` of the way
 * from its fresh pH to that of standing in air. */
sw_readings slips_measure(const slips *s, size_t index, double aired,
                          gsl_rng *rng);

/* The entry of `diagnosis` that names the mistake, and how many are in it. */
size_t slips_entry(const slips *s, size_t index, const sw_diagnosis *diagnosis,
                   size_t *members);

#endif
