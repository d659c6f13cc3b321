/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A target file that starts from published targets and changes some. */
#ifndef SW_RECORDS_TARGET_BASE_H
#define SW_RECORDS_TARGET_BASE_H

#include "saltwright.h"

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

#endif
