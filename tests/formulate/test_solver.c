/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "kit.h"

#include "formulate/settle.h"
#include "solve/lp.h"
#include "invent.h"

#include <glpk.h>
#include <stdint.h>
#include <threads.h>

static sw_status give_glpk_nonsense(sw_solver *solver, void *task)
{
    (void)task;
    double number[] = {0};
    sw_form form = {.columns = 1, .low = number, .high = number};
    sw_lp *lp = sw_lp_new(solver, &form);
    sw_lp_bound_row(lp, 99, 0, 1);
    return SW_OK;
}

static sw_status take_too_much(sw_solver *solver, void *task)
{
    sw_take(solver, *(const size_t *)task, 16);
    return SW_OK;
}

static void open_one(sw_kit *kit)
{
    kit_open(kit);
    kit_target(kit, SW_K, 200);
    kit_product(kit, "potash", SW_K, 400);
}

START_KIT_TEST(an_error_inside_glpk_ends_the_work_and_not_the_process,
               open_one(kit))
{
    ck_assert_int_eq(sw_solver_run(kit->solver, give_glpk_nonsense, NULL),
                     SW_ERR_SOLVER);
    ck_assert(kit->solver->complaint[0] != '\0');
    ck_assert_ptr_null(kit->solver->lps);
    ck_assert_int_eq(
        sw_solver_fail(kit->solver, SW_ERR_SOLVER, "weighing", &kit->error),
        SW_ERR_SOLVER);
    ck_assert_ptr_nonnull(strstr(kit->error.message, "weighing: "));
    ck_assert_ptr_nonnull(strstr(kit->error.message, kit->solver->complaint));
    kit_optimum(kit);
}
END_TEST

START_KIT_TEST(a_lack_of_memory_ends_the_work_and_not_the_process,
               open_one(kit))
{
    size_t absurd[] = {SIZE_MAX, SIZE_MAX / 256};
    for (int i = 0; i < 2; i++)
        ck_assert_int_eq(sw_solver_run(kit->solver, take_too_much, &absurd[i]),
                         SW_ERR_MEMORY);
    kit_optimum(kit);
}
END_TEST

START_KIT_TEST(memory_is_used_again, open_one(kit))
{
    kit_optimum(kit);
    struct sw_chunk *block = kit->solver->blocks;
    for (int i = 0; i < 1000; i++)
        kit_optimum(kit);
    ck_assert_ptr_eq(kit->solver->blocks, block);
}
END_TEST

START_TEST(too_few_pivots_end_without_or_with_a_recipe)
{
    static invention problem;
    sw_solver *solver = NULL;
    int with = 0;
    int without = 0;
    ck_assert_int_eq(sw_solver_new(&solver, NULL), SW_OK);
    for (unsigned long seed = 1; seed <= 400; seed++) {
        invent(&problem, seed, (sw_objective)(seed % 3));
        problem.problem.pivot_limit = (int)(seed % 60) + 1;
        sw_solution *solution = NULL;
        ck_assert_int_eq(
            sw_formulate(solver, &problem.problem, &solution, NULL), SW_OK);
        ck_assert_int_le(solution->certificate.pivots,
                         problem.problem.pivot_limit);
        bool stopped = solution->outcome == SW_LIMIT;
        with += stopped && solution->recipe.count > 0;
        without += stopped && solution->recipe.count == 0;
        if (stopped)
            ck_assert_str_eq(
                solution->notes.items[solution->notes.count - 1].code,
                "solve-unfinished");
        if (solution->recipe.count)
            ck_assert_double_le(solution->certificate.lower_bound,
                                solution->certificate.objective);
        sw_solution_free(solution);
    }
    sw_solver_free(solver);
    ck_assert_int_gt(with, 0);
    ck_assert_int_gt(without, 0);
}
END_TEST

START_KIT_TEST(numbers_too_far_apart_are_an_outcome, open_one(kit))
{
    kit->water[0].amount[SW_K] = 1e308;
    kit->row[0].target = 1e-300;
    ck_assert_int_eq(kit_solve(kit), SW_OK);
    ck_assert_int_eq(kit->solution->outcome, SW_LIMIT);
    ck_assert_uint_eq(kit->solution->recipe.count, 0);
    ck_assert_str_eq(kit->solution->notes.items[0].code, "solve-unfinished");
}
END_TEST

START_TEST(two_solvers_of_one_thread_do_not_meet)
{
    sw_kit first;
    sw_kit second;
    open_one(&first);
    open_one(&second);
    kit_optimum(&first);
    kit_optimum(&second);
    kit_close(&first);
    kit_optimum(&second);
    ck_assert_double_eq_tol(kit_amount(&second, 0), 0.5, TOL_HAND_SOLVED);
    kit_close(&second);
}
END_TEST

/* ---- A program that uses GLPK itself ------------------------------------- */

/* A megabyte is not enough for a problem of two. */
static sw_status run_out(sw_solver *solver, void *task)
{
    (void)solver;
    (void)task;
    glp_mem_limit(1);
    glp_add_cols(glp_create_prob(), 2000000);
    return SW_OK;
}

static int hear(void *heard, const char *text)
{
    (void)text;
    ++*(int *)heard;
    return 1;
}

/* Most of x + 2y with x + y <= 4, x <= 3 and y <= 2 is 6. */
static glp_prob *own_problem(void)
{
    glp_prob *own = glp_create_prob();
    const int both[] = {0, 1, 2};
    const double ones[] = {0, 1, 1};
    glp_set_obj_dir(own, GLP_MAX);
    glp_add_rows(own, 1);
    glp_add_cols(own, 2);
    glp_set_row_bnds(own, 1, GLP_UP, 0, 4);
    glp_set_mat_row(own, 1, 2, both, ones);
    for (int j = 1; j <= 2; j++) {
        glp_set_col_bnds(own, j, GLP_DB, 0, 4 - j);
        glp_set_obj_coef(own, j, j);
    }
    return own;
}

START_TEST(a_programs_own_glpk_outlives_our_errors)
{
    sw_kit kit;
    int heard = 0;
    glp_prob *own = own_problem();
    glp_term_hook(hear, &heard);
    open_one(&kit);
    ck_assert_int_eq(sw_solver_run(kit.solver, give_glpk_nonsense, NULL),
                     SW_ERR_SOLVER);
    ck_assert_ptr_nonnull(strstr(kit.solver->complaint, "row number"));
    ck_assert_int_eq(sw_solver_run(kit.solver, run_out, NULL), SW_ERR_MEMORY);
    kit_optimum(&kit);
    ck_assert_double_eq_tol(kit_amount(&kit, 0), 0.5, TOL_HAND_SOLVED);
    kit_close(&kit);
    ck_assert_int_eq(heard, 0);
    ck_assert_int_eq(glp_simplex(own, NULL), 0);
    ck_assert_double_eq_tol(glp_get_obj_val(own), 6, TOL_HAND_SOLVED);
    ck_assert_int_gt(heard, 0);
    glp_delete_prob(own);
    ck_assert_int_eq(glp_free_env(), 0);
}
END_TEST

START_TEST(a_program_without_glpk_is_left_without_it)
{
    sw_kit kit;
    open_one(&kit);
    ck_assert_int_eq(sw_solver_run(kit.solver, give_glpk_nonsense, NULL),
                     SW_ERR_SOLVER);
    ck_assert_int_eq(sw_solver_run(kit.solver, run_out, NULL), SW_ERR_MEMORY);
    kit_optimum(&kit);
    kit_close(&kit);
    ck_assert_int_eq(glp_free_env(), 1);
}
END_TEST

static int optimum_of(void *kit)
{
    kit_optimum(kit);
    return 0;
}

START_KIT_TEST(a_solver_serves_one_thread_after_another, open_one(kit))
{
    thrd_t other;
    kit_optimum(kit);
    ck_assert_int_eq(thrd_create(&other, optimum_of, kit), thrd_success);
    thrd_join(other, NULL);
    kit_optimum(kit);
}
END_TEST

START_TEST(nothing_is_freed_from_nothing)
{
    sw_solver_free(NULL);
    sw_solution_free(NULL);
}
END_TEST

/* A feed beyond the chemistry is no failure of the search; all else is. */
START_TEST(a_brine_alone_is_forgiven)
{
    static const sw_status statuses[][2] = {{SW_OK, SW_OK},
                                            {SW_ERR_VALUE, SW_OK},
                                            {SW_ERR_NUMERIC, SW_OK},
                                            {SW_ERR_MEMORY, SW_ERR_MEMORY},
                                            {SW_ERR_SOLVER, SW_ERR_SOLVER}};
    for (size_t i = 0; i < sizeof statuses / sizeof *statuses; i++) {
        sw_error error = {.status = statuses[i][0], .message = "why"};
        ck_assert_int_eq(sw_forgive_brine(statuses[i][0], &error),
                         statuses[i][1]);
        if (statuses[i][0] != SW_OK)
            ck_assert_int_eq(error.message[0] != '\0', statuses[i][1] != SW_OK);
    }
}
END_TEST
