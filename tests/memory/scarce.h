/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Memory that runs out when a test says so.  The linker puts these functions
 * in the place of malloc and its kin for everything of ours (-Wl,--wrap), and
 * for nothing else: what GLPK, GSL or libc allocate is not touched.
 */
#ifndef SW_TESTS_MEMORY_SCARCE_H
#define SW_TESTS_MEMORY_SCARCE_H

#include <stdbool.h>

/* What fails: an allocation, or equilibria and roots that find no numbers. */
typedef enum scarce { SCARCE_MEMORY, SCARCE_NUMBERS } scarce;
void scarce_choose(scarce what);

bool scarce_of_numbers(void);

/* From now on blocks are counted and the `nth` allocation fails, once; 0: at
 * each a child goes on without it, or without some of the numbers, as many as
 * SW_EACH allows of those that were watched. */
void scarce_begin(unsigned long nth);
/* Until now; returns whether it came to that, here. */
bool scarce_end(void);
/* Ends such a child; it says what is wrong with its `call` (NULL: nothing). */
void scarce_leave(const char *call, const char *wrong);
/* With how many children of this test something was. */
unsigned long scarce_wrong(void);
/* How many there were in all tests, where any were, and with how many it was.
 */
void scarce_tell(void);
/* Before any test, for all of them: places that allocate are remembered. */
void scarce_remember(void);
/* From here on the calls that lead to a place are looked at each by itself, as
 * under sanitizers they always are. */
void scarce_by_calls(void);
/* From now on none fails; until scarce_end. */
void scarce_watch(void);
/* Since then: the first allocation after the `nth` that came from a place, with
 * those it was called from, where none had come from in any test; or through a
 * call that none had come through; 0: none. */
unsigned long scarce_next(unsigned long nth);
/* Blocks allocated and not freed between the two. */
long scarce_left(void);

#endif
