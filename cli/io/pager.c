/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * $PAGER; without one less, which ends at once where all fits the screen, shows
 * colours and leaves the text behind.  An empty PAGER, or cat, is none.
 */
#include "io/pager.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

/* A shell adds the number of a signal that ended what it ran. */
enum { BY_SIGNAL = 128 };

/* One that fails, or is not there, may have shown nothing; one that was ended
 * from the keyboard has. */
static bool has_shown(int status)
{
    return WIFEXITED(status) ? WEXITSTATUS(status) == 0 ||
                                   WEXITSTATUS(status) == BY_SIGNAL + SIGINT
                             : WTERMSIG(status) == SIGINT;
}

/* Whether a program of that name is in some folder of PATH. */
static bool is_installed(const char *program)
{
    const char *at = getenv("PATH");
    char name[4096];
    for (; at && *at; at += strcspn(at, ":"), at += *at == ':') {
        snprintf(name, sizeof name, "%.*s/%s", (int)strcspn(at, ":"), at,
                 program);
        if (access(name, X_OK) == 0)
            return true;
    }
    return false;
}

static const char *pager_name(void)
{
    const char *name = getenv("PAGER");
    if (!name)
        return is_installed("less") ? "less" : NULL;
    return *name && strcmp(name, "cat") != 0 ? name : NULL;
}

bool pager_is_wanted(void)
{
    const char *terminal = getenv("TERM");
    return isatty(STDOUT_FILENO) && terminal && strcmp(terminal, "dumb") != 0 &&
           pager_name();
}

static void take_no_notice(int signal_number)
{
    (void)signal_number;
}

bool pager_show(const char *text, size_t size)
{
    /* Its keys are its own, Ctrl-C too; a handler, unlike ignoring, ends with
     * exec. */
    const struct sigaction none = {.sa_handler = take_no_notice,
                                   .sa_flags = SA_RESTART};
    struct sigaction usual;
    setenv("LESS", "FRX", 0);
    FILE *pager = popen(pager_name(), "w");
    if (!pager)
        return false;
    sigaction(SIGINT, &none, &usual);
    fwrite(text, 1, size, pager); /* who leaves early has seen enough */
    int status = pclose(pager);
    sigaction(SIGINT, &usual, NULL);
    return has_shown(status);
}
