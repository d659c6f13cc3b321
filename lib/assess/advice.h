/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a grower should hear about a finished solution beside its numbers. */
#ifndef SW_ASSESS_ADVICE_H
#define SW_ASSESS_ADVICE_H

#include "saltwright.h"

/*
 * Appends notes to an assessment whose contents, chemistry and guideline rows
 * are filled: chelates out of their pH, solids that cloud it, urea, much
 * ammonium, Na and Cl, charge that does not balance, pH that drifts, prices
 * missing.  Of a sample only what the checks of its report do not say.
 */
void sw_advise(const sw_mix *mix, sw_assessment *assessment);

/* What no crop should get, and trace elements and salt past what feeds usually
 * hold; nothing of an unguarded mix. */
void sw_advise_harm(const sw_mix *mix, sw_assessment *assessment);

/* Whether it is a nutrient solution as sampled, to which nothing is added. */
static inline bool sw_is_sample(const sw_mix *mix)
{
    return mix->recipe->count == 0 && mix->report_count == 1 &&
           mix->reports[0]->is_solution;
}

/* In one place for all, "common-practice" and "from-memory": those facts of
 * reference/trade_facts.csv that the rows and notes made use of. */
void sw_say_basis(const sw_mix *mix, sw_assessment *assessment);

#endif
