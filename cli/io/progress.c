/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A timer draws the line, so that no loop has to think of it; a handler may
 * call little, so the figures are put together by hand. */
#include "io/progress.h"

#include <errno.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <sys/time.h>
#include <unistd.h>

enum { LINE_BYTES = 160, HALF_SECOND_US = 500000 };

static const char *subject;
static volatile sig_atomic_t halves;
/* Any thread may get on with it, or write something else. */
static atomic_long steps_done, steps_total, share_permille;
static atomic_bool drawn;

static size_t put_text(char *line, size_t used, const char *text)
{
    while (*text && used + 1 < LINE_BYTES)
        line[used++] = *text++;
    return used;
}

static size_t put_number(char *line, size_t used, long number)
{
    char digits[24];
    size_t at = sizeof digits;
    digits[--at] = '\0';
    do
        digits[--at] = (char)('0' + number % 10);
    while ((number /= 10) > 0 && at > 0);
    return put_text(line, used, digits + at);
}

/* At the rate so far. */
static size_t put_time_left(char *line, size_t used)
{
    long left = steps_total - steps_done;
    if (steps_done == 0)
        return used;
    used = put_text(line, used, " (about ");
    used = put_number(line, used, (halves * left / steps_done + 1) / 2);
    return put_text(line, used, " s left)");
}

/* Of what nobody can count beforehand: how fast, and how much of the file. */
static size_t put_rate(char *line, size_t used)
{
    long share = share_permille;
    used = put_number(line, used, steps_done);
    used = put_text(line, used, " done, ");
    used = put_number(line, used, 2 * steps_done / halves);
    used = put_text(line, used, " a second");
    if (share <= 0)
        return put_text(line, used, ", ");
    used = put_text(line, used, ", ");
    used = put_number(line, used, share / 10);
    used = put_text(line, used, " % (about ");
    used = put_number(line, used, halves * (1000 - share) / share / 2);
    return put_text(line, used, " s left), ");
}

static void draw(int signal_number)
{
    int cause = errno;
    char line[LINE_BYTES];
    size_t used = put_text(line, 0, "\r");
    (void)signal_number;
    halves++;
    used = put_text(line, used, subject);
    used = put_text(line, used, ": ");
    if (steps_total) {
        used = put_number(line, used, steps_done);
        used = put_text(line, used, " of ");
        used = put_number(line, used, steps_total);
        used = put_time_left(line, used);
        used = put_text(line, used, ", ");
    } else if (steps_done) {
        used = put_rate(line, used);
    }
    used = put_number(line, used, halves / 2);
    used = put_text(line, used, " s; Ctrl-C stops");
    (void)!write(STDERR_FILENO, line, used);
    drawn = true;
    errno = cause;
}

static void set_timer(long first_us)
{
    struct itimerval timer = {.it_value = {.tv_usec = first_us},
                              .it_interval = {.tv_usec = first_us}};
    setitimer(ITIMER_REAL, &timer, NULL);
}

void progress_begin(const char *what)
{
    struct sigaction tick = {.sa_handler = draw, .sa_flags = SA_RESTART};
    const char *terminal = getenv("TERM");
    if (!isatty(STDERR_FILENO) || !terminal || strcmp(terminal, "dumb") == 0)
        return;
    subject = what;
    halves = 0;
    steps_done = steps_total = share_permille = 0;
    sigaction(SIGALRM, &tick, NULL);
    set_timer(HALF_SECOND_US);
}

void progress_step(size_t done, size_t total)
{
    steps_done = (long)done;
    steps_total = (long)total;
}

void progress_flow(size_t done, double share)
{
    steps_done = (long)done;
    share_permille = share > 0.0 ? (long)(1000.0 * share) : 0;
}

void progress_clear(void)
{
    static const char blank[] = "\r\033[K";
    if (atomic_exchange(&drawn, false))
        (void)!write(STDERR_FILENO, blank, sizeof blank - 1);
}

void progress_end(void)
{
    if (!subject)
        return;
    set_timer(0);
    progress_clear();
    subject = NULL;
}
