/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What every suite needs: Check, and a main that runs one suite. */
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

/* Runs `suite` to the end; EXIT_FAILURE when a test failed. */
static inline int run_suite(Suite *suite)
{
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}

/* A suite of one case holding the tests listed, ended by NULL. */
static inline Suite *suite_of(const char *name, const TTest *const *tests)
{
    Suite *suite = suite_create(name);
    TCase *tcase = tcase_create(name);
    tcase_set_timeout(tcase, 600);
    for (; *tests; tests++)
        tcase_add_test(tcase, *tests);
    suite_add_tcase(suite, tcase);
    return suite;
}

#endif
