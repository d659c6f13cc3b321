/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A handler may call little: it sets a number and writes. */
#include "io/interrupt.h"

#include <signal.h>
#include <stdatomic.h>
#include <stddef.h>
#include <unistd.h>

static volatile int asked;
static atomic_bool asked_of_all;
static struct sigaction usual;
static sigset_t held;
static void (*tidy)(void);

static void note(int signal_number)
{
    static const char text[] =
        "\nsaltwright: ending early; what was found so far follows. Ctrl-C "
        "again gives up.\n";
    asked = 1;
    asked_of_all = true;
    sigaction(signal_number, &usual, NULL);
    (void)!write(STDERR_FILENO, text, sizeof text - 1);
}

static void tidy_and_end(int signal_number)
{
    tidy();
    raise(signal_number); /* waits until this ends; then it is as ever */
}

const volatile int *interrupt_wait(void)
{
    struct sigaction wait = {.sa_handler = note, .sa_flags = SA_RESTART};
    struct sigaction now;
    asked = 0;
    asked_of_all = false;
    sigaction(SIGINT, NULL, &now);
    if (now.sa_handler == SIG_DFL || now.sa_handler == tidy_and_end) {
        /* else somebody wants it ignored */
        usual = now;
        sigaction(SIGINT, &wait, NULL);
    }
    return &asked;
}

void interrupt_reading(bool breaks)
{
    struct sigaction now;
    sigaction(SIGINT, NULL, &now);
    if (now.sa_handler != note)
        return;
    now.sa_flags = breaks ? 0 : SA_RESTART;
    sigaction(SIGINT, &now, NULL);
}

bool interrupt_asked(void)
{
    return asked_of_all;
}

int interrupt_end(void)
{
    struct sigaction now;
    sigaction(SIGINT, NULL, &now);
    if (now.sa_handler == note)
        sigaction(SIGINT, &usual, NULL);
    return asked;
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

static void say_nothing(void)
{
    static const char text[] =
        "\nsaltwright: ended early. Several waters are judged together, so "
        "there is nothing to show before the end.\n";
    (void)!write(STDERR_FILENO, text, sizeof text - 1);
}

void interrupt_say_nothing(void)
{
    interrupt_tidy(say_nothing);
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
