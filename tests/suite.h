/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What every suite needs: Check, and tests that join their suite where they are
 * written.  A suite is a test file; main.c runs it, unless it has something to
 * do before and a main of its own. */
#ifndef SW_TESTS_SUITE_H
#define SW_TESTS_SUITE_H

#include <check.h>
#include <stdlib.h>

/*
 * How many random cases to try: all in the optimised build, a twentieth, but 20
 * at least, where sanitizers or counters slow each case and look for something
 * else.
 */
static inline int sw_cases(int all)
{
#ifdef SW_FEW_CASES
    int least = all < 20 ? all : 20;
    return all / 20 > least ? all / 20 : least;
#else
    return all;
#endif
}

/* A test of the suite, run with _i from 0 below `count`. */
typedef struct suite_test {
    const TTest *test;
    int count;
    struct suite_test *next;
} suite_test;

/* Before main; `test` lives as long as the program. */
void suite_join(suite_test *test);

/* All tests that joined, as a suite named for the file of the first. */
Suite *suite_of_all(void);

/* Runs `suite` to the end; EXIT_FAILURE when a test failed. */
int run_suite(Suite *suite);

/* A test that joins no suite: for tcase_add_test. */
#define START_TEST_APART(name)                                                 \
    static void name##_fn(int _i);                                             \
    static const TTest name##_ttest = {#name, name##_fn, __FILE__, __LINE__};  \
    static const TTest *const name CK_ATTRIBUTE_UNUSED = &name##_ttest;        \
    static void name##_fn(int _i CK_ATTRIBUTE_UNUSED)

/* One that joins, and is run for each _i from 0 below `cases`. */
#define START_TEST_EACH(name, cases)                                           \
    static const TTest name##_ttest;                                           \
    __attribute__((constructor)) static void name##_joins(void)                \
    {                                                                          \
        static suite_test joining;                                             \
        joining = (suite_test){&name##_ttest, (int)(cases), NULL};             \
        suite_join(&joining);                                                  \
    }                                                                          \
    START_TEST_APART(name)

#undef START_TEST
#define START_TEST(name) START_TEST_EACH(name, 1)

/* One that is handed `it`, set up before it and taken down after. */
#define START_TEST_WITH(name, type, it, set_up, take_down)                     \
    static void name##_with(type *it);                                         \
    START_TEST(name)                                                           \
    {                                                                          \
        type room, *it = &room;                                                \
        set_up;                                                                \
        name##_with(it);                                                       \
        take_down;                                                             \
    }                                                                          \
    static void name##_with(type *it)

#endif
