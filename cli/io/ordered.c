/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Every thread goes the same way: takes a piece and its number, works, waits
 * until the number is up, gives.  So there is no queue, and one thread alone
 * does the same without another.
 */
#include "io/ordered.h"

#include <pthread.h>
#include <signal.h>
#include <stdlib.h>
#include <unistd.h>

#include "io/memory.h"

/* Of the caller's on Linux; musl would give less than a solve may take. */
enum { STACK_BYTES = 8 << 20 };

typedef struct ordered_state {
    const ordered_work *work;
    pthread_mutex_t taking, giving;
    pthread_cond_t turn;
    size_t taken; /* under `taking` */
    bool ended;   /* under `taking` */
    size_t given; /* under `giving` */
} ordered_state;

typedef struct ordered_worker {
    ordered_state *state;
    size_t index;
    pthread_t thread;
} ordered_worker;

static void *take(ordered_state *s, size_t *number)
{
    pthread_mutex_lock(&s->taking);
    void *piece = s->ended ? NULL : s->work->take(s->work->context);
    s->ended |= !piece;
    *number = s->taken;
    s->taken += piece != NULL;
    pthread_mutex_unlock(&s->taking);
    return piece;
}

static void give(ordered_state *s, size_t number, void *piece)
{
    pthread_mutex_lock(&s->giving);
    while (s->given != number)
        pthread_cond_wait(&s->turn, &s->giving);
    bool more = s->work->give(s->work->context, piece);
    s->given++;
    pthread_cond_broadcast(&s->turn);
    pthread_mutex_unlock(&s->giving);
    if (more)
        return;
    pthread_mutex_lock(&s->taking);
    s->ended = true;
    pthread_mutex_unlock(&s->taking);
}

static void *run_worker(void *given)
{
    size_t number;
    void *piece;
    const ordered_worker *worker = given;
    ordered_state *s = worker->state;
    while ((piece = take(s, &number))) {
        s->work->work(s->work->context, worker->index, piece);
        give(s, number, piece);
    }
    return NULL;
}

/* Returns how many of them have a thread, the first being the caller's. */
static size_t start_workers(ordered_worker *workers, size_t count)
{
    sigset_t all, usual;
    pthread_attr_t attributes;
    size_t running = 1;
    sigfillset(&all);
    if (pthread_attr_init(&attributes) != 0)
        return running;
    (void)pthread_attr_setstacksize(&attributes, STACK_BYTES);
    pthread_sigmask(SIG_SETMASK, &all, &usual);
    while (running < count &&
           pthread_create(&workers[running].thread, &attributes, run_worker,
                          &workers[running]) == 0)
        running++;
    pthread_sigmask(SIG_SETMASK, &usual, NULL);
    pthread_attr_destroy(&attributes);
    return running;
}

void ordered_run(const ordered_work *work, size_t threads)
{
    ordered_state state = {.work = work,
                           .taking = PTHREAD_MUTEX_INITIALIZER,
                           .giving = PTHREAD_MUTEX_INITIALIZER,
                           .turn = PTHREAD_COND_INITIALIZER};
    ordered_worker *workers = memory_array(threads, sizeof *workers);
    for (size_t i = 0; i < threads; i++)
        workers[i] = (ordered_worker){.state = &state, .index = i};
    size_t running = threads > 1 ? start_workers(workers, threads) : 1;
    run_worker(&workers[0]);
    for (size_t i = 1; i < running; i++)
        pthread_join(workers[i].thread, NULL);
    free(workers);
}

size_t ordered_processors(void)
{
    long online = sysconf(_SC_NPROCESSORS_ONLN);
    return online > 1 ? (size_t)online : 1;
}
