/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A handler may call little: it sets a number and writes. */
#include "io/interrupt.h"

#include <signal.h>
#include <stddef.h>
#include <unistd.h>

static volatile int asked;
static struct sigaction usual;
static sigset_t held;
static void (*tidy)(void);

static void note(int signal_number)
{
    static const char text[] =
        "\nsaltwright: ending the search; the best so far follows. Ctrl-C "
        "again gives up.\n";
    const struct sigaction end = {.sa_handler = SIG_DFL};
    asked = 1;
    sigaction(signal_number, &end, NULL);
    (void)!write(STDERR_FILENO, text, sizeof text - 1);
}

const volatile int *interrupt_wait(void)
{
    struct sigaction wait = {.sa_handler = note, .sa_flags = SA_RESTART};
    struct sigaction now;
    asked = 0;
    sigaction(SIGINT, NULL, &now);
    if (now.sa_handler == SIG_DFL) { /* else somebody wants it ignored */
        usual = now;
        sigaction(SIGINT, &wait, NULL);
    }
    return &asked;
}

int interrupt_end(void)
{
    struct sigaction now;
    sigaction(SIGINT, NULL, &now);
    if (now.sa_handler == note)
        sigaction(SIGINT, &usual, NULL);
    return asked;
}

static void tidy_and_end(int signal_number)
{
    tidy();
    raise(signal_number); /* waits until this ends; then it is as ever */
}

void interrupt_tidy(void (*first)(void))
{
    static const int ending[] = {SIGHUP, SIGINT, SIGQUIT, SIGTERM};
    struct sigaction end = {.sa_handler = tidy_and_end,
                            .sa_flags = (int)SA_RESETHAND};
    struct sigaction now;
    tidy = first;
    sigfillset(&end.sa_mask);
    for (size_t i = 0; i < sizeof ending / sizeof ending[0]; i++)
        if (sigaction(ending[i], NULL, &now) == 0 && now.sa_handler == SIG_DFL)
            sigaction(ending[i], &end, NULL);
}

void interrupt_hold(void)
{
    sigset_t all;
    sigfillset(&all);
    sigprocmask(SIG_BLOCK, &all, &held);
}

void interrupt_release(void)
{
    sigprocmask(SIG_SETMASK, &held, NULL);
}
