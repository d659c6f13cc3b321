/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What public calls are given when each of them is tried, from the examples. */
#ifndef SW_TESTS_MEMORY_GIVEN_H
#define SW_TESTS_MEMORY_GIVEN_H

#include "saltwright.h"

/* What the calls are given; made while memory is plenty. */
extern struct given {
    FILE *water_file, *target_file, *shelf_file, *recipe_file, *tank_file,
        *label_file;
    sw_waters *well;
    sw_target *target, *two, *staged;
    sw_shelf *shelf;
    sw_recipe *recipe;
    sw_content water[2];
    sw_solution *solution;
    sw_assessment *assessment;
    sw_stock *stock;
    sw_stock_setup setup;
    sw_tolerances tolerances;
    sw_conditions conditions;
} g;

/* Of the examples; of files that ask for all that can be asked for; of such as
 * nothing fits; and of such as fit each other in no tank. */
void make_given(void);
void make_much_given(void);
void make_hard_given(void);
void make_clashing_given(void);
void free_given(void);

/* Of which a call may change what it likes, until the next is taken. */
sw_target *target_copied(void);
sw_shelf *shelf_copied(void);

/* An error as no caller zeroed it. */
sw_error unfilled(void);
/* Whether the error says `status` in words, and names no place or one. */
bool is_filled(const sw_error *e, sw_status status);
/* What is wrong with the end of a call that lost memory or numbers, NULL:
 * nothing.  Some is for advice alone, which goes without; of memory such as a
 * call `forgets`. */
const char *wrong_with(sw_status status, bool failed, bool forgets,
                       const sw_error *error);

#endif
