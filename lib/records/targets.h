/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a target asks for; targets copied, and laid over published ones. */
#ifndef SW_RECORDS_TARGETS_H
#define SW_RECORDS_TARGETS_H

#include "saltwright.h"

/* A copy of all rows and notes; NULL without memory. */
sw_target *sw_target_copy(const sw_target *target);

/* Appends a copy of `row`, its name and stage too; false without memory. */
bool sw_target_add(sw_target *target, const sw_target_row *row);

/* Whether one of its first `count` rows is of that stage. */
bool sw_target_has_stage(const sw_target *target, size_t count,
                         const char *stage);

/*
 * A copy of `target` at another strength: targets of components, and the
 * limits beside them, times the factor.  Limits without a target (a ceiling
 * of sodium), ratios, pH and EC stay; so does the max of ammonium, trace
 * elements, Na, Cl and F, which caps their targets.  SW_ERR_VALUE (factor),
 * _MEMORY.
 */
sw_status sw_target_scale(const sw_target *target, double factor,
                          sw_target **scaled, sw_error *error);

/* Releases all that it holds. */
void sw_target_clear(sw_target *target);

/* ---- What is asked for --------------------------------------------------- */

/* Whether a row of the target is on the component. */
bool sw_target_names(const sw_target *target, sw_component component);
/* Such a row that is no ceiling of ours; NULL. */
const sw_target_row *sw_target_row_of(const sw_target *target,
                                      sw_component component);

/* Which row of the target it is; its count: none. */
size_t sw_place_of(const sw_target *target, const sw_target_row *row);

/* What shares of a component's row are of: its target, or where that is none or
 * 0 the larger limit; not above 0: nothing. */
double sw_size_of(const sw_target_row *row);

/* Whether a row, or the row of a component, asks for some of one. */
bool sw_row_asks(const sw_target_row *row);
bool sw_target_asks(const sw_target *target, sw_component component);
/* Whether it has a row of a pH aired. */
bool sw_target_asks_aired(const sw_target *target);

/* Whether a product that may be used brings some of the component. */
bool sw_shelf_brings(const sw_shelf *shelf, sw_component component);

/* ---- A file that starts from published targets and changes some ---------- */

/* `set` of a row that takes one away. */
extern const char sw_base_none[];

/* Whether two rows are about the same; K:Ca and Ca:K are. */
bool sw_same_subject(const sw_target_row *a, const sw_target_row *b);
/* Whether they meet in some stage; a row without one is of every stage. */
bool sw_same_stage(const sw_target_row *a, const sw_target_row *b);

/* Set `name`; with a `stage` that isn't "" all of its rows are of that stage,
 * which of a set with stages is one of its own.  Errors of sw_target_named. */
sw_status sw_base_open(const char *name, const char *stage, sw_target **set,
                       sw_error *error);

/* Appends copies of the set's rows and notes; false without memory. */
bool sw_base_join(sw_target *base, const sw_target *set);

/*
 * Appends to `own` the rows of `base` that it does not replace, and drops its
 * rows that take one away.  SW_ERR_MISSING: there is none to take away.
 * SW_ERR_VALUE: N beside forms of nitrogen of the base.
 */
sw_status sw_base_lay(sw_target *own, const sw_target *base, sw_error *error);

/* "yamazaki-lettuce (Takatsuji 1997)" */
typedef struct sw_cited {
    char text[80];
} sw_cited;
sw_cited sw_target_set_cited(const char *set);

#endif
