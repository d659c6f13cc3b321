/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Writes invented problems with the library's answers as raw doubles, for a
 * script that solves them another way:
 *     answers OBJECTIVE FIRST COUNT FILE
 * A record holds its length, then what the script's `read` names.
 */
#include "write.h"

/* A problem the call refuses has the status in the outcome's place. */
static bool answer(void *context, unsigned long seed, sw_record *to)
{
    static invention problem;
    const sw_asked *asked = context;
    sw_solution *solution = NULL;
    sw_error error;
    invent(&problem, seed, asked->objective);
    problem.problem.no_ceilings = seed % 2; /* else they are in the record */
    problem.problem.ratios_judged = false;
    record_problem(to, &problem);
    sw_status status =
        sw_formulate(asked->solver, &problem.problem, &solution, &error);
    record_put(to, status);
    if (status == SW_OK)
        record_solution(to, solution);
    sw_solution_free(solution);
    return true;
}

int main(int argc, char **argv)
{
    return write_objective(argc, argv, answer);
}
