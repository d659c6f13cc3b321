/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Work by several threads: what is taken, in which order it comes back, and
 * where it ends. */
#include "suite.h"

#include "io/ordered.h"

enum { PIECES = 200 };

typedef struct run_of {
    size_t there, enough; /* pieces that there are; after so many no more */
    size_t taken, given;
    int piece[PIECES];
    size_t worker_count;
} run_of;

static void *take(void *context)
{
    run_of *run = context;
    return run->taken < run->there ? &run->piece[run->taken++] : NULL;
}

static void work(void *context, size_t worker, void *piece)
{
    const run_of *run = context;
    ck_assert_uint_lt(worker, run->worker_count);
    *(int *)piece += 1;
}

static bool give(void *context, void *piece)
{
    run_of *run = context;
    ck_assert_ptr_eq(piece, &run->piece[run->given]);
    ck_assert_int_eq(*(int *)piece, 1);
    return ++run->given < run->enough;
}

START_TEST(each_piece_comes_back_once_and_in_turn_until_there_is_enough)
{
    static const size_t enough[] = {1, 10, PIECES, PIECES + 1};
    for (size_t threads = 1; threads <= 4; threads++)
        for (size_t i = 0; i < sizeof enough / sizeof *enough; i++) {
            run_of run = {
                .there = PIECES, .enough = enough[i], .worker_count = threads};
            const ordered_work of = {take, work, give, &run};
            ordered_run(&of, threads);
            size_t least = enough[i] < PIECES ? enough[i] : PIECES;
            ck_assert_uint_eq(run.given, run.taken);
            ck_assert_uint_ge(run.taken, least);
            ck_assert_uint_le(run.taken, least + threads - 1);
            for (size_t k = 0; k < PIECES; k++)
                ck_assert_int_eq(run.piece[k], k < run.taken);
        }
}
END_TEST

START_TEST(there_is_a_processor_at_least)
{
    ck_assert_uint_ge(ordered_processors(), 1);
}
END_TEST
