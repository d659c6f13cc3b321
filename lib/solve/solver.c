/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A workspace.  GLPK reports an internal error by aborting unless a hook leaves
 * it by longjmp; the same net serves for lack of memory, so that the numerical
 * code below it needs no clean-up of its own.  All memory of a solve lies in
 * blocks owned by the solver and used again by the next one.  GLPK has one
 * environment for each thread, and after an error it can only be thrown away:
 * so each solve makes its own, on a thread of its own where the caller's has
 * one already.
 */
#include "solve/solver.h"

#include "solve/lp.h"
#include "quantity/status.h"

#include <glpk.h>
#include <gsl/gsl_errno.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <threads.h>

typedef struct sw_chunk {
    struct sw_chunk *next;
    size_t size;
    size_t used;
    max_align_t data[];
} sw_chunk;

enum { FIRST_BLOCK_BYTES = 1 << 16 };

/* No request above this is honest, and doubling a block stays in range. */
#define MOST_BYTES (SIZE_MAX / 8)

sw_status sw_solver_new(sw_solver **solver, sw_error *error)
{
    SW_REQUIRE(error, solver);
    *solver = calloc(1, sizeof **solver);
    return *solver ? SW_OK : sw_fail_memory(error);
}

void sw_solver_free(sw_solver *solver)
{
    if (!solver)
        return;
    while (solver->blocks) {
        sw_chunk *next = solver->blocks->next;
        free(solver->blocks);
        solver->blocks = next;
    }
    sw_forget(solver);
    free(solver);
}

_Noreturn void sw_solver_drop(sw_solver *solver, sw_status status)
{
    longjmp(solver->net, (int)status);
}

static sw_chunk *new_block(sw_solver *solver, size_t bytes)
{
    size_t size = solver->blocks ? 2 * solver->blocks->size : FIRST_BLOCK_BYTES;
    while (size < bytes)
        size *= 2;
    sw_chunk *block = malloc(sizeof *block + size);
    if (!block)
        sw_solver_drop(solver, SW_ERR_MEMORY);
    block->size = size;
    block->used = 0;
    block->next = solver->blocks;
    solver->blocks = block;
    return block;
}

void *sw_take(sw_solver *solver, size_t count, size_t size)
{
    if (count > MOST_BYTES / size)
        sw_solver_drop(solver, SW_ERR_MEMORY);
    size_t bytes = count * size;
    bytes += (0 - bytes) % sizeof(max_align_t);
    sw_chunk *block = solver->blocks;
    if (!block || block->size - block->used < bytes)
        block = new_block(solver, bytes);
    void *taken = (char *)block->data + block->used;
    block->used += bytes;
    return memset(taken, 0, bytes);
}

double *sw_take_numbers(sw_solver *solver, size_t count)
{
    return sw_take(solver, count, sizeof(double));
}

sw_mark sw_solver_mark(const sw_solver *solver)
{
    size_t used = solver->blocks ? solver->blocks->used : 0;
    return (sw_mark){solver->blocks, used, solver->lps};
}

/* A newer block is kept where nothing was taken before. */
void sw_solver_release(sw_solver *solver, sw_mark mark)
{
    while (solver->lps != mark.lps)
        sw_lp_free(solver->lps);
    while (solver->blocks != mark.block && solver->blocks->next) {
        sw_chunk *old = solver->blocks;
        solver->blocks = old->next;
        free(old);
    }
    if (solver->blocks)
        solver->blocks->used = mark.used;
}

/* Keeps the newest block, which is the largest. */
static void give_back(sw_solver *solver)
{
    sw_chunk *kept = solver->blocks;
    while (kept && kept->next) {
        sw_chunk *old = kept->next;
        kept->next = old->next;
        free(old);
    }
    if (kept)
        kept->used = 0;
}

sw_status sw_solver_fail(const sw_solver *solver, sw_status status,
                         const char *doing, sw_error *error)
{
    if (status == SW_ERR_MEMORY)
        return sw_fail_memory(error);
    if (status == SW_ERR_SOLVER)
        return sw_fail(error, status, "%s: %s", doing, solver->complaint);
    return status;
}

/* ---- GLPK ---------------------------------------------------------------- */

/* The beginning of the line that GLPK ends every error with. */
static const char where[] = "Error detected in file";

/* Any answer but 0 keeps GLPK from printing the text. */
static int on_text(void *info, const char *text)
{
    sw_solver *solver = info;
    if (strncmp(text, where, sizeof where - 1) == 0)
        return 1;
    snprintf(solver->complaint, sizeof solver->complaint, "%s", text);
    solver->complaint[strcspn(solver->complaint, "\r\n")] = '\0';
    return 1;
}

/* GLPK says what failed in words alone; "memory" is in all those of its
 * allocator (GLPK 5.0, env/alloc.c). */
static void on_error(void *info)
{
    sw_solver *solver = info;
    sw_solver_drop(solver, strstr(solver->complaint, "memory") ? SW_ERR_MEMORY
                                                               : SW_ERR_SOLVER);
}

static sw_status run_over_net(sw_solver *solver,
                              sw_status (*work)(sw_solver *solver, void *task),
                              void *task)
{
    glp_error_hook(on_error, solver);
    glp_term_hook(on_text, solver);
    gsl_set_error_handler_off();
    solver->complaint[0] = '\0';
    solver->pivots = 0;
    int dropped = setjmp(solver->net);
    sw_status status = dropped ? (sw_status)dropped : work(solver, task);
    solver->lps = NULL; /* they go with the environment */
    glp_free_env();
    give_back(solver);
    return status;
}

/* ---- Where ----------------------------------------------------------------
 */

typedef struct sw_errand {
    sw_solver *solver;
    sw_status (*work)(sw_solver *solver, void *task);
    void *task;
    sw_status status;
} sw_errand;

/* GLPK keeps an environment for each thread, if it was built to. */
static int run_apart(void *given)
{
    enum { MADE, THERE_ALREADY, NO_MEMORY };
    sw_errand *errand = given;
    int environment = glp_init_env();
    if (environment == MADE)
        errand->status =
            run_over_net(errand->solver, errand->work, errand->task);
    else
        errand->status =
            environment == NO_MEMORY ? SW_ERR_MEMORY : SW_ERR_SOLVER;
    return environment;
}

sw_status sw_solver_run(sw_solver *solver,
                        sw_status (*work)(sw_solver *solver, void *task),
                        void *task)
{
    thrd_t apart;
    sw_errand errand = {solver, work, task, SW_OK};
    snprintf(solver->complaint, sizeof solver->complaint,
             "GLPK has one environment for all threads, in use elsewhere");
    if (run_apart(&errand) != 1)
        return errand.status;
    if (thrd_create(&apart, run_apart, &errand) != thrd_success)
        return SW_ERR_MEMORY;
    thrd_join(apart, NULL);
    return errand.status;
}
