/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A timer draws the line, so that no loop has to think of it; a handler may
 * call little, so the figures are put together by hand. */
#include "io/progress.h"

#include <errno.h>
#include <signal.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <sys/time.h>
#include <unistd.h>

enum { LINE_BYTES = 160, HALF_SECOND_US = 500000 };

static const char *subject;
static volatile sig_atomic_t halves, drawn, steps_done, steps_total;

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
    long left = (long)steps_total - steps_done;
    if (steps_done == 0)
        return used;
    used = put_text(line, used, " (about ");
    used = put_number(line, used, (halves * left / steps_done + 1) / 2);
    return put_text(line, used, " s left)");
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
    }
    used = put_number(line, used, halves / 2);
    used = put_text(line, used, " s; Ctrl-C stops");
    (void)!write(STDERR_FILENO, line, used);
    drawn = 1;
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
    halves = steps_done = steps_total = 0;
    sigaction(SIGALRM, &tick, NULL);
    set_timer(HALF_SECOND_US);
}

void progress_step(size_t done, size_t total)
{
    steps_done = (sig_atomic_t)done;
    steps_total = (sig_atomic_t)total;
}

void progress_clear(void)
{
    static const char blank[] = "\r\033[K";
    if (drawn)
        (void)!write(STDERR_FILENO, blank, sizeof blank - 1);
    drawn = 0;
}

void progress_end(void)
{
    if (!subject)
        return;
    set_timer(0);
    progress_clear();
    subject = NULL;
}
