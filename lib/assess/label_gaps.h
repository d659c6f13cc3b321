/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the labels of a recipe leave open of its finished solution. */
#ifndef SW_ASSESS_LABEL_GAPS_H
#define SW_ASSESS_LABEL_GAPS_H

#include "saltwright.h"

/* Whether `meq_per_l` of acid or base is known well enough to be poured at once
 * where labels leave open so much acid and base. */
bool sw_is_sized(double meq_per_l, double open_acid_meq_per_l,
                 double open_base_meq_per_l);

/*
 * Fills a->undeclared; makes SW_OPEN each verdict that is another at the other
 * end of the pH or of what is not sized; adds notes on what was taken of labels
 * in use.  The assessment's contents, chemistry, verdicts and guideline rows
 * come first.  Errors as sw_equilibrate.
 */
sw_status sw_label_gaps_judge(const sw_mix *mix, sw_assessment *a,
                              sw_error *error);

/* The solution judged before, with all there may be of acid or base that is
 * poured by measuring, at the pH that it is poured to, the higher of two.
 * Errors as sw_equilibrate. */
sw_status sw_label_gaps_pour(const sw_mix *mix, const sw_assessment *a,
                             sw_content *poured, sw_error *error);

/* sw_unsized_text of a mix that is poured into what is given. */
bool sw_unsized_say(const sw_mix *mix, size_t product, const sw_pouring *into,
                    char *text, size_t size);

#endif
