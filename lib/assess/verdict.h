/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The band a target allows and the one word on a value held against it. */
#ifndef SW_ASSESS_VERDICT_H
#define SW_ASSESS_VERDICT_H

#include "saltwright.h"

/* Inclusive; an end is infinite where nothing bounds it. */
typedef struct sw_band {
    double low;
    double high;
} sw_band;

/*
 * The limits as given; where a limit is not given and a target is, the target
 * -+10 %, or -+0.5 for a pH (common practice, no source).
 */
sw_band sw_band_of(const sw_target_row *row);

/* What the finished solution holds of a row: mg/L, a ratio (NaN: of nothing),
 * the pH as mixed or aired, mS/cm. */
double sw_finished_of(const sw_target_row *row,
                      const sw_assessment *assessment);

/* SW_MET, SW_SHORT or SW_OVER; a bound reached to within rounding is met. */
sw_verdict sw_band_judge(const sw_band *band, double value);

/* Whether every target is met that was before, and no more is a danger. */
bool sw_keeps_verdicts(const sw_assessment *before, const sw_assessment *after);

/* That, and no component that was missed further off by more than 2 % of its
 * target (common practice, no source). */
bool sw_is_as_good(const sw_assessment *before, const sw_assessment *after);

/* mg/L that count against a max: of iron, the water's own too. */
double sw_against_max(sw_component component, const sw_content *per_l);

/* Of a component's row; what comes with the water counts against its max. */
sw_verdict sw_judge_content(const sw_target_row *row, const sw_content *per_l);

/*
 * The same for part : whole, judged as part against bound * whole, so that it
 * agrees with the linear rows a solver works on.  SW_VERDICT_NONE when both
 * are zero.
 */
sw_verdict sw_band_judge_ratio(const sw_band *band, double part, double whole);

/*
 * Whether the water alone breaks `limits` of the target's ratio at every amount
 * of the other part that the target accepts, or that the water brings: SW_OVER
 * the max, SW_SHORT the min, SW_MET neither.
 */
sw_verdict sw_judge_ratio_of_water(const sw_target *target,
                                   const sw_target_row *row,
                                   const sw_band *limits,
                                   const sw_content *water);

/* Up to what of each component the waters of a mix may bring unseen, below
 * limits of detection, mg/L of the finished solution. */
void sw_mix_unseen(const sw_mix *mix,
                   double unseen_mg_per_l[SW_COMPONENT_COUNT]);

#endif
