/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Writes invented problems with the library's answers as raw doubles, for a
 * script that solves them another way:
 *     answers OBJECTIVE FIRST COUNT FILE
 * A record holds its length, then what the script's `read` names.
 */
#include "record.h"

#include <stdlib.h>

/* A problem the call refuses has the status in the outcome's place. */
static void answer(sw_solver *solver, const invention *from, sw_record *to)
{
    sw_solution *solution = NULL;
    sw_error error;
    record_problem(to, from);
    sw_status status = sw_formulate(solver, &from->problem, &solution, &error);
    record_put(to, status);
    if (status == SW_OK)
        record_solution(to, solution);
    sw_solution_free(solution);
}

int main(int argc, char **argv)
{
    sw_objective objective = SW_CLOSEST;
    sw_solver *solver = NULL;
    if (argc != 5 || sw_objective_parse(argv[1], &objective, NULL) != SW_OK ||
        sw_solver_new(&solver, NULL) != SW_OK)
        return EXIT_FAILURE;
    unsigned long first = strtoul(argv[2], NULL, 10);
    unsigned long count = strtoul(argv[3], NULL, 10);
    FILE *file = fopen(argv[4], "wb");
    if (!file)
        return EXIT_FAILURE;
    static invention problem;
    static sw_record record;
    for (unsigned long i = first; i < first + count; i++) {
        invent(&problem, i, objective);
        record.count = 0;
        answer(solver, &problem, &record);
        record_write(&record, file);
    }
    sw_solver_free(solver);
    return fclose(file) == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
