/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef SW_TESTS_BENCH_CLOCK_H
#define SW_TESTS_BENCH_CLOCK_H

#include <time.h>

/* Seconds from some moment on. */
static inline double now_s(void)
{
    struct timespec time;
    clock_gettime(CLOCK_MONOTONIC, &time);
    return (double)time.tv_sec + 1e-9 * (double)time.tv_nsec;
}

#endif
