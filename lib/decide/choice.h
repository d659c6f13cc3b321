/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which water: the figures waters are chosen by, and the choice in words. */
#ifndef SW_DECIDE_CHOICE_H
#define SW_DECIDE_CHOICE_H

#include "saltwright.h"

/* Whether `value` is behind `best` by more than counts. */
bool sw_choice_behind(sw_criterion criterion, double value, double best);

/* Targets of an assessment, how many of them are missed, how many of those by
 * more than can be told, and of how many it is not known. */
typedef struct sw_tally {
    size_t all;
    size_t missed;
    size_t clear;
    size_t open;
} sw_tally;
sw_tally sw_choice_count(const sw_assessment *assessment);

/* Fills the values of a ranking, and whether it is dangerous.  SW_ERR_VALUE
 * (citric acid at a pH outside 2 to 12), SW_ERR_NUMERIC, _MEMORY. */
sw_status sw_candidate_measure(const sw_candidate *candidate,
                               sw_ranking *ranking, sw_error *error);

static inline bool sw_is_judged(const sw_ranking *ranking)
{
    return ranking->value[SW_BY_REPORT] == 0.0;
}

/* Fills the verdict, and the reason of each that was not chosen. */
void sw_choice_tell(const sw_candidate *candidates, sw_choice *choice);

#endif
