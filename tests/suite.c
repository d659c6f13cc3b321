/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The tests of a program, gathered before its main. */
#include "suite.h"

#include <stdio.h>
#include <string.h>

static suite_test *joined;

/* Compilers run constructors in an order of their own: by line. */
void suite_join(suite_test *test)
{
    suite_test **at = &joined;
    while (*at && (*at)->test->line < test->test->line)
        at = &(*at)->next;
    test->next = *at;
    *at = test;
}

/* "water" of ".../test_water.c" */
static void name_suite(const char *file, char *name, size_t size)
{
    const char *slash = strrchr(file, '/');
    const char *base = slash ? slash + 1 : file;
    base += strncmp(base, "test_", 5) ? 0 : 5;
    (void)snprintf(name, size, "%.*s", (int)strcspn(base, "."), base);
}

Suite *suite_of_all(void)
{
    static char name[64]; /* Check keeps where it is */
    if (joined)
        name_suite(joined->test->file, name, sizeof name);
    Suite *suite = suite_create(name);
    TCase *tcase = tcase_create(name);
    /* CTest says what each may take; by hand Check's own 4 s are too few. */
    if (!getenv("CK_DEFAULT_TIMEOUT"))
        tcase_set_timeout(tcase, 600);
    for (const suite_test *one = joined; one; one = one->next)
        tcase_add_loop_test(tcase, one->test, 0, one->count);
    suite_add_tcase(suite, tcase);
    return suite;
}

int run_suite(Suite *suite)
{
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
