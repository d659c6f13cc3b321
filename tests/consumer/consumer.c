/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * One whole job through the installed header alone: pure water, two targets,
 * two salts, whose answer is known by hand.  200 mg/L Ca from Ca(NO3)2·4H2O
 * takes 236.146 / 40.078 * 200 = 1178.4 mg/L; K as KCl 74.548 / 39.098 * 100
 * = 190.67 mg/L (atomic weights: reference/atomic_weights.csv).
 */
#include <math.h>
#include <saltwright.h>
#include <stdio.h>
#include <string.h>

static const char TARGET[] = "parameter,target\nCa,200\nK,100\n";
static const char SHELF[] = "product,formula\n"
                            "calcium nitrate,Ca(NO3)2.4H2O\n"
                            "potassium chloride,KCl\n";

static FILE *stream_of(const char *text)
{
    return fmemopen((void *)text, strlen(text), "r");
}

static int fail(const char *step, const sw_error *error)
{
    fprintf(stderr, "%s: %s\n", step, error->message);
    return 1;
}

static int near(const char *what, double value, double expected)
{
    if (fabs(value - expected) <= 5e-4 * expected)
        return 0;
    fprintf(stderr, "%s: %g g/L, expected %g\n", what, value, expected);
    return 1;
}

static int judge(const sw_mix *mix)
{
    sw_error error;
    sw_assessment *assessment;
    if (sw_assess(mix, &assessment, &error))
        return fail("assess", &error);
    int bad = !assessment->all_met;
    sw_assessment_free(assessment);
    return bad;
}

static int solve(const sw_target *target, const sw_shelf *shelf)
{
    sw_error error;
    sw_solver *solver;
    sw_solution *solution;
    sw_content pure = {{0}};
    sw_problem problem = {.waters = &pure,
                          .water_count = 1,
                          .target = target,
                          .shelf = shelf,
                          .objective = SW_CLOSEST,
                          .conditions = sw_conditions_default()};
    if (sw_solver_new(&solver, &error))
        return fail("solver", &error);
    sw_status status = sw_formulate(solver, &problem, &solution, &error);
    sw_solver_free(solver);
    if (status)
        return fail("formulate", &error);
    const double *g_per_l = solution->recipe.g_per_l;
    int bad = near("calcium nitrate", g_per_l[0], 1.17843) +
              near("potassium chloride", g_per_l[1], 0.19067);
    sw_mix mix = {.water = &pure,
                  .target = target,
                  .shelf = shelf,
                  .recipe = &solution->recipe,
                  .conditions = problem.conditions};
    bad += judge(&mix);
    sw_solution_free(solution);
    return bad;
}

int main(void)
{
    sw_error error;
    sw_target *target = NULL;
    sw_shelf *shelf = NULL;
    FILE *target_file = stream_of(TARGET);
    FILE *shelf_file = stream_of(SHELF);
    int bad;
    if (sw_target_read(target_file, "target", &target, &error) ||
        sw_shelf_read(shelf_file, "shelf", &shelf, &error))
        bad = fail("reading", &error);
    else
        bad = solve(target, shelf);
    fclose(target_file);
    fclose(shelf_file);
    sw_target_free(target);
    sw_shelf_free(shelf);
    return bad ? 1 : 0;
}
