/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Verdicts that labels leave open, or acid and base that are not sized. */
#ifndef SW_ASSESS_OPEN_ENDS_H
#define SW_ASSESS_OPEN_ENDS_H

#include "saltwright.h"

/* Whether `meq_per_l` of acid or base is known well enough to be poured at once
 * where labels leave open so much acid and base. */
bool sw_is_sized(double meq_per_l, double open_acid_meq_per_l,
                 double open_base_meq_per_l);

/* Any acid or base of the recipe is not sized. */
bool sw_has_unsized(const sw_recipe *recipe);

/*
 * Makes SW_OPEN each verdict that is another at the other end: of the pH, as
 * a->undeclared has it, and of what is not sized; fills the EC's ends and the
 * pH it is poured to.  Verdicts and the pH's ends come first.  Errors as
 * sw_equilibrate.
 */
sw_status sw_judge_open_ends(const sw_mix *mix, sw_assessment *a,
                             sw_error *error);

#endif
