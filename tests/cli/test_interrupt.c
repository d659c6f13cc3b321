/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Ctrl-C while something is waited for, and after it. */
#include "suite.h"

#include <signal.h>

#include "io/interrupt.h"

static volatile sig_atomic_t counted;

static void count(int signal_number)
{
    (void)signal_number;
    counted++;
}

/* What Ctrl-C does now. */
static struct sigaction now(void)
{
    struct sigaction is;
    ck_assert_int_eq(sigaction(SIGINT, NULL, &is), 0);
    return is;
}

static void set(void (*handler)(int))
{
    struct sigaction to = {.sa_handler = handler};
    ck_assert_int_eq(sigaction(SIGINT, &to, NULL), 0);
}

START_TEST(a_first_ctrl_c_is_noted_and_a_second_ends_as_ever)
{
    set(SIG_DFL);
    const volatile int *asked = interrupt_wait();
    ck_assert_int_eq(*asked, 0);
    raise(SIGINT);
    ck_assert_int_eq(*asked, 1);
    ck_assert(interrupt_asked());
    ck_assert(now().sa_handler == SIG_DFL);
    ck_assert_int_eq(interrupt_end(), 1);
    ck_assert(now().sa_handler == SIG_DFL);
}
END_TEST

START_TEST(what_was_asked_before_is_not_asked_of_the_next)
{
    set(SIG_DFL);
    (void)interrupt_wait();
    raise(SIGINT);
    (void)interrupt_end();
    ck_assert_int_eq(*interrupt_wait(), 0);
    ck_assert(!interrupt_asked());
    ck_assert(now().sa_handler != SIG_DFL);
    ck_assert_int_eq(interrupt_end(), 0);
    ck_assert(now().sa_handler == SIG_DFL);
}
END_TEST

START_TEST(who_wants_it_ignored_or_handles_it_goes_on_to)
{
    set(SIG_IGN);
    (void)interrupt_wait();
    ck_assert(now().sa_handler == SIG_IGN);
    (void)interrupt_end();
    set(count);
    (void)interrupt_wait();
    raise(SIGINT);
    ck_assert_int_eq(counted, 1);
    ck_assert_int_eq(interrupt_end(), 0);
    ck_assert(now().sa_handler == count);
    interrupt_reading(true);
    ck_assert(now().sa_handler == count);
}
END_TEST

START_TEST(reading_is_broken_off_only_where_that_is_said)
{
    set(SIG_DFL);
    (void)interrupt_wait();
    ck_assert(now().sa_flags & SA_RESTART);
    interrupt_reading(true);
    ck_assert(!(now().sa_flags & SA_RESTART));
    interrupt_reading(false);
    ck_assert(now().sa_flags & SA_RESTART);
    (void)interrupt_end();
}
END_TEST

static void tidy(void)
{
    counted++;
}

/* The signals that end a program, and no others. */
START_TEST(what_ends_the_program_tidies_first_and_only_what_is_as_ever)
{
    static const int ending[] = {SIGHUP, SIGQUIT, SIGTERM};
    struct sigaction is;
    set(count);
    (void)signal(SIGHUP, SIG_IGN);
    interrupt_tidy(tidy);
    ck_assert(now().sa_handler == count);
    for (size_t i = 0; i < sizeof ending / sizeof *ending; i++) {
        ck_assert_int_eq(sigaction(ending[i], NULL, &is), 0);
        ck_assert(i == 0 ? is.sa_handler == SIG_IGN
                         : is.sa_handler != SIG_DFL && is.sa_handler != count);
        (void)signal(ending[i], SIG_DFL);
    }
    set(SIG_DFL);
    interrupt_tidy(tidy);
    void (*ends)(int) = now().sa_handler;
    (void)interrupt_wait();
    ck_assert(now().sa_handler != ends);
    (void)interrupt_end();
    ck_assert(now().sa_handler == ends);
    set(SIG_DFL);
}
END_TEST

START_TEST(every_signal_waits_while_it_is_held)
{
    counted = 0;
    set(count);
    interrupt_hold();
    raise(SIGINT);
    ck_assert_int_eq(counted, 0);
    interrupt_release();
    ck_assert_int_eq(counted, 1);
    set(SIG_DFL);
}
END_TEST
