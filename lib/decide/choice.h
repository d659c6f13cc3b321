/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The words of a choice, from its figures. */
#ifndef SW_DECIDE_CHOICE_H
#define SW_DECIDE_CHOICE_H

#include "saltwright.h"

/* Whether `value` is behind `best` by more than counts. */
bool sw_choice_behind(sw_criterion criterion, double value, double best);

/* Targets of an assessment, how many of them are missed, and how many of those
 * by more than can be told. */
typedef struct sw_tally {
    size_t all;
    size_t missed;
    size_t clear;
} sw_tally;
sw_tally sw_choice_count(const sw_assessment *assessment);

/* Fills the verdict, and the reason of each that was not chosen. */
void sw_choice_tell(const sw_candidate *candidates, sw_choice *choice);

#endif
