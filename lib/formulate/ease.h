/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Limits of the target that cannot all hold, and the least that gives way. */
#ifndef SW_FORMULATE_EASE_H
#define SW_FORMULATE_EASE_H

#include "formulate/settle.h"

/* What may give way: the pH alone; accepted ranges before it, as nobody gave
 * them; or every limit of the target before it. */
typedef enum sw_yielding {
    SW_YIELD_PH,
    SW_YIELD_RANGES,
    SW_YIELD_ALL
} sw_yielding;

/* An end of a side whose row is the form's. */
sw_yield sw_yield_of(const sw_model *model, const sw_side *side, bool low_end);
/* What may give way in the forms of a block's models, one after another; *found
 * is how many.  No crop is given a solution too acid for the sake of a
 * nutrient's range: a meq/L of a pH costs SW_PH_COUNTS wholes of other limits.
 */
#define SW_PH_COUNTS 100.0
sw_yield *sw_yields_list(sw_solver *solver, const sw_block *block,
                         sw_yielding what, size_t *found);
/*
 * The problem with a target of its own, in memory of the solver, in which
 * nothing gives way yet.
 */
sw_easing_state *sw_ease_open(sw_solver *solver, const sw_problem *problem);
/* With a target and what gave way of its own. */
sw_easing_state *sw_ease_copy(sw_solver *solver, const sw_easing_state *from);

/*
 * Lets each max that the water alone, given, is over give way: no product may
 * add to it but what sources of trace elements bring along, and what nobody
 * could tell (setting.c).  So does a ratio
 * that the water breaks at every accepted amount of its other part, for no
 * recipe to fight it with that: products that keep the ratio may add.
 * Answers whether any did.
 */
bool sw_ease_water(sw_easing_state *state, bool ratios_alone);

/* Whether the side is the end of a pH beyond which acid, or base, that the
 * model's setting allows would be poured; whether any is poured at `y`. */
bool sw_ease_overdoes(const sw_model *model, const sw_side *side);
bool sw_ease_pours(const sw_model *model, const double *y);

/*
 * Lets limits of the target give way, from where they stand in `from`, by the
 * least sum of shares of themselves that leaves a recipe in one of the
 * SW_MOST_SETTINGS `tried` that have none, by linear programs.  With the
 * activities of the recipe `y` (NULL: none is known) the ends of a pH that
 * sw_ease_overdoes says give way last; others are not counted.  NULL where none
 * does: what else conflicts is not the target's.
 */
sw_easing_state *sw_ease_least(sw_solver *solver, sw_attempt *tried,
                               const double *y, const sw_easing_state *from);

/* Limits of the target, and our cap on its phosphorus. */
bool sw_ease_may_give(const sw_side *side);
/* What a share is of, in the side's unit: a whole of the limit (1 where that is
 * 0), of a ratio in its first part at a usual second, 1 meq/L of a pH. */
double sw_ease_size(const sw_model *model, const sw_side *side);

/*
 * Lifts the limits of ratio `at` of the target (its count: of all ratios) whose
 * second part is nothing at `finished`, though the target asks for it and the
 * shelf has it: a ratio of nothing is no success.  Answers whether any are.
 */
bool sw_ease_lift(sw_easing_state *state, const sw_content *finished,
                  size_t at);
/* Puts limits that were lifted back to those of `rows`, or to where `finished`
 * stands beyond them. */
void sw_ease_lower(sw_easing_state *state, const sw_target_row *rows,
                   const sw_content *finished);

/* A note on an end of the row that gave way from `given` (NaN: it did not) to
 * where it stands. */
sw_status sw_ease_say(const sw_target_row *row, const char *end, double given,
                      double stands, const sw_gave *gave, sw_notes *notes);
/* On all that did. */
sw_status sw_ease_say_all(const sw_easing_state *state, sw_notes *notes);

/* Lets each limit of the target that `finished`, a recipe found before, stands
 * beyond give way to there, and by that share of its row. */
void sw_ease_to(sw_easing_state *state, const sw_content *finished,
                double share);

#endif
