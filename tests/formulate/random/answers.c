/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Writes invented problems with the library's answers as raw doubles, for a
 * script that solves them another way:
 *     answers OBJECTIVE FIRST COUNT FILE
 * A record holds its length, then what the script's `read` names.
 */
#include "invent.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct sw_record {
    double value[4096];
    size_t count;
} sw_record;

static void put(sw_record *to, double value)
{
    if (to->count == sizeof to->value / sizeof *to->value)
        abort();
    to->value[to->count++] = value;
}

static void put_all(sw_record *to, const double *value, size_t count)
{
    for (size_t i = 0; i < count; i++)
        put(to, value[i]);
}

static void put_problem(sw_record *to, const invention *from)
{
    put(to, (double)from->shelf.count);
    put(to, (double)from->problem.water_count);
    put(to, (double)from->target.count);
    put(to, from->problem.fractions ? 0 : 1);
    for (size_t j = 0; j < from->shelf.count; j++) {
        const sw_product *product = &from->product[j];
        put_all(to, product->per_g.amount, SW_COMPONENT_COUNT);
        put(to, product->min_g_per_l);
        put(to, product->max_g_per_l);
        put(to, product->fixed_g_per_l);
        put(to, product->price_per_kg);
    }
    for (size_t k = 0; k < from->problem.water_count; k++) {
        put_all(to, from->water[k].amount, SW_COMPONENT_COUNT);
        put(to, from->fraction[k]);
    }
    for (size_t i = 0; i < from->target.count; i++) {
        const sw_target_row *row = &from->row[i];
        put(to, row->kind);
        put(to, row->component);
        put(to, row->other);
        put(to, row->target);
        put(to, row->min);
        put(to, row->max);
        put(to, row->weight);
    }
}

/* Product or row, its line, and which end: read back from the name. */
static void put_limit(sw_record *to, const sw_limit *limit)
{
    put(to, strstr(limit->name, "(s.csv") ? 1 : 0);
    put(to, (double)limit->line - 2);
    put(to, strstr(limit->name, " min ")   ? 0
            : strstr(limit->name, " max ") ? 1
                                           : 2);
    put(to, limit->price);
}

static void put_solution(sw_record *to, const sw_solution *solution)
{
    const sw_certificate *proof = &solution->certificate;
    put(to, solution->outcome);
    put(to, proof->objective);
    put(to, proof->lower_bound);
    put(to, proof->gap);
    put(to, proof->kkt_residual);
    put(to, proof->lp_rounds);
    put(to, proof->pivots);
    put(to, (double)solution->recipe.count);
    put_all(to, solution->recipe.g_per_l, solution->recipe.count);
    put(to, (double)solution->water_count);
    put_all(to, solution->fractions, solution->water_count);
    put(to, (double)solution->limit_count);
    for (size_t i = 0; i < solution->limit_count; i++)
        put_limit(to, &solution->limits[i]);
}

static void write_record(const sw_record *record, FILE *file)
{
    double length = (double)record->count;
    if (fwrite(&length, sizeof length, 1, file) != 1 ||
        fwrite(record->value, sizeof length, record->count, file) !=
            record->count)
        abort();
}

/* A problem the call refuses has the status in the outcome's place. */
static void answer(sw_solver *solver, const invention *from, sw_record *to)
{
    sw_solution *solution = NULL;
    sw_error error;
    put_problem(to, from);
    sw_status status = sw_formulate(solver, &from->problem, &solution, &error);
    put(to, status);
    if (status == SW_OK)
        put_solution(to, solution);
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
        write_record(&record, file);
    }
    sw_solver_free(solver);
    return fclose(file) == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
