/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "memory/given.h"

#include "suite.h"

#include <string.h>

#define EXAMPLES SW_SOURCE_DIR "/examples/"

struct given g;

static FILE *open_text(const char *text)
{
    FILE *file = fmemopen((void *)text, strlen(text), "r");
    ck_assert_ptr_nonnull(file);
    return file;
}

static FILE *open_example(const char *name)
{
    char path[1024];
    snprintf(path, sizeof path, EXAMPLES "%s", name);
    FILE *file = fopen(path, "r");
    ck_assert_msg(file, "%s", path);
    return file;
}

static void make_records(sw_error *e)
{
    FILE *two = open_text("parameter,target\nK,150\nCa,110\n");
    FILE *staged = open_text("parameter,target,stage\nK,9000,young\nN,150,\n");
    g.water_file = open_example("well.csv");
    g.target_file = open_example("pepper.csv");
    g.shelf_file = open_example("straights.csv");
    g.recipe_file = open_example("recipe.csv");
    g.tank_file = open_text("tank,product,amount,unit\n"
                            "A,calcium nitrate,2,kg\nB,Epsom salt,1,kg\n"
                            "B,potassium sulfate,1,kg\n");
    g.label_file = open_text("Guaranteed analysis\nTotal nitrogen 5 %\n"
                             "nitrate nitrogen 5 %\nSoluble potash 26 %\n");
    ck_assert_int_eq(sw_waters_read(g.water_file, "w", &g.well, e), SW_OK);
    ck_assert_int_eq(sw_target_read(g.target_file, "t", &g.target, e), SW_OK);
    ck_assert_int_eq(sw_target_read(two, "2", &g.two, e), SW_OK);
    ck_assert_int_eq(sw_target_read(staged, "3", &g.staged, e), SW_OK);
    ck_assert_int_eq(sw_shelf_read(g.shelf_file, "s", &g.shelf, e), SW_OK);
    ck_assert_int_eq(sw_recipe_read(g.recipe_file, "r", g.shelf, &g.recipe, e),
                     SW_OK);
    fclose(two);
    fclose(staged);
}

void make_given(void)
{
    sw_error e = {0};
    sw_notes notes = {0};
    sw_solver *solver;
    g.conditions = sw_conditions_default();
    g.setup = sw_stock_setup_default(200);
    g.tolerances = sw_tolerances_default(1000);
    make_records(&e);
    ck_assert_int_eq(
        sw_water_complete(g.well->items, &g.conditions, g.water, &notes, &e),
        SW_OK);
    sw_notes_free(&notes);
    const sw_mix mix = {g.water, g.two, g.shelf, g.recipe,
                        .conditions = g.conditions};
    sw_problem problem = sw_problem_default();
    problem.waters = g.water;
    problem.water_count = 1;
    problem.target = g.two;
    problem.shelf = g.shelf;
    ck_assert_int_eq(sw_solver_new(&solver, &e), SW_OK);
    ck_assert_int_eq(sw_formulate(solver, &problem, &g.solution, &e), SW_OK);
    ck_assert_int_eq(sw_assess(&mix, &g.assessment, &e), SW_OK);
    ck_assert_int_eq(sw_stock_plan(solver, &mix, &g.setup, &g.stock, &e),
                     SW_OK);
    sw_solver_free(solver);
}

void free_given(void)
{
    sw_stock_free(g.stock);
    sw_assessment_free(g.assessment);
    sw_solution_free(g.solution);
    sw_recipe_free(g.recipe);
    sw_shelf_free(g.shelf);
    sw_target_free(g.staged);
    sw_target_free(g.two);
    sw_target_free(g.target);
    sw_waters_free(g.well);
    FILE *files[] = {g.water_file,  g.target_file, g.shelf_file,
                     g.recipe_file, g.tank_file,   g.label_file};
    for (size_t i = 0; i < sizeof files / sizeof *files; i++)
        fclose(files[i]);
}
