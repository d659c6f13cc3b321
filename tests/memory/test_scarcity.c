/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What test_every_call.c does, in situations where calls go ways of their own:
 * an allocation that fails is said, leaves no result behind and leaks nothing.
 * tests/records/test_memory.c does so for the readers.
 */
#include "memory/scarce.h"
#include "suite.h"

#include "records/targets.h"
#include "saltwright.h"

#include <string.h>

#define EXAMPLES SW_SOURCE_DIR "/examples/"

/* What the calls are given; made while memory is plenty. */
typedef struct given {
    sw_waters *well;
    sw_waters *confused; /* a report with sulfur under sulfate */
    sw_target *target;
    sw_target *contrary;
    sw_target *two;    /* components */
    sw_target *staged; /* with a stage */
    sw_shelf *shelf;
    sw_recipe *recipe;
    sw_content water;
    sw_mix mix;
} given;

/* Calls one function and frees its result; NULL out is part of the bargain. */
typedef sw_status (*call)(const given *g, sw_error *error);

static FILE *opened(FILE *stream, const char *name)
{
    if (stream)
        return stream;
    perror(name);
    exit(2);
}

static FILE *open_example(const char *name)
{
    char path[1024];
    snprintf(path, sizeof path, EXAMPLES "%s", name);
    return opened(fopen(path, "r"), path);
}

static FILE *open_text(const char *text)
{
    return opened(fmemopen((void *)text, strlen(text), "r"), "a text");
}

/* No assertions of Check inside a call: it allocates too. */
static bool out_is_wrong;
#define CHECK_OUT(status, out)                                                 \
    out_is_wrong |= ((status) == SW_OK) != ((out) != NULL)

static sw_status formulate(const given *g, const sw_target *target,
                           sw_objective objective, sw_error *error)
{
    sw_solver *solver = NULL;
    sw_solution *solution = NULL;
    sw_problem problem = {.waters = &g->water,
                          .water_count = 1,
                          .target = target,
                          .shelf = g->shelf,
                          .objective = objective,
                          .conditions = sw_conditions_default()};
    sw_status status = sw_solver_new(&solver, error);
    CHECK_OUT(status, solver);
    if (status == SW_OK)
        status = sw_formulate(solver, &problem, &solution, error);
    CHECK_OUT(status, solution);
    sw_solution_free(solution);
    sw_solver_free(solver);
    return status;
}

static sw_status formulate_even(const given *g, sw_error *error)
{
    return formulate(g, g->target, SW_EVEN, error);
}

static sw_status formulate_cheapest(const given *g, sw_error *error)
{
    return formulate(g, g->target, SW_CHEAPEST, error);
}

static sw_status formulate_what_conflicts(const given *g, sw_error *error)
{
    return formulate(g, g->contrary, SW_CLOSEST, error);
}

static sw_status audit_what_is_confused(const given *g, sw_error *error)
{
    sw_audit_report *report = NULL;
    sw_conditions conditions = sw_conditions_default();
    sw_status status =
        sw_audit(&g->confused->items[0], NULL, &conditions, &report, error);
    out_is_wrong |= (status == SW_OK) != (report && report->rereading_count);
    sw_audit_report_free(report);
    return status;
}

static sw_problem of_two(const given *g, const sw_target *target,
                         const sw_content waters[2])
{
    return (sw_problem){.waters = waters,
                        .water_count = 2,
                        .target = target,
                        .shelf = g->shelf,
                        .conditions = sw_conditions_default()};
}

/* A tank filled with the well, topped up with the same without its salts. */
static sw_status renew(const given *g, const sw_target *target, sw_error *error)
{
    sw_solver *solver = NULL;
    sw_renewal *renewal = NULL;
    sw_content waters[2] = {g->water, {{0}}};
    sw_problem problem = of_two(g, target, waters);
    sw_status status = sw_solver_new(&solver, error);
    if (status == SW_OK)
        status = sw_renew(solver, &problem, 0.8, &renewal, error);
    CHECK_OUT(status, renewal);
    sw_renewal_free(renewal);
    sw_solver_free(solver);
    return status;
}

static sw_status renew_what_conflicts(const given *g, sw_error *error)
{
    return renew(g, g->contrary, error);
}

static sw_status fit_a_premix(const given *g, sw_error *error)
{
    sw_premix_rate rate;
    sw_notes notes = {0};
    double g_per_l = 1.0;
    const size_t set = 1;
    sw_product first = g->shelf->products[0];
    sw_shelf shelf = {.products = &first, .count = 1};
    sw_recipe recipe = {.g_per_l = &g_per_l, .count = 1};
    sw_mix mix = g->mix;
    first.max_g_per_l = 1e-3;
    mix.shelf = &shelf;
    mix.recipe = &recipe;
    sw_solver *solver = NULL;
    sw_status status = sw_solver_new(&solver, error);
    if (status == SW_OK)
        status = sw_premix_fit(solver, &mix, &set, &rate, &notes, error);
    sw_solver_free(solver);
    out_is_wrong |= (status == SW_OK) != (notes.count == 1);
    sw_notes_free(&notes);
    return status;
}

static sw_status review_a_premix(const given *g, sw_error *error)
{
    sw_premix *premix = NULL;
    sw_product first = g->shelf->products[0];
    sw_shelf shelf = {.products = &first, .count = 1};
    double g_per_l = 1.0;
    sw_recipe recipe = {.g_per_l = &g_per_l, .count = 1};
    sw_mix mix = g->mix;
    /* urea, bare iron, and a charge without a partner: every note */
    first.per_g.amount[SW_UREA_N] = first.per_g.amount[SW_N];
    first.per_g.amount[SW_FE] = 1.0;
    first.per_g.amount[SW_ALKALINITY] = 9.0;
    mix.shelf = &shelf;
    mix.recipe = &recipe;
    sw_status status = sw_premix_review(&mix, 0, &premix, error);
    CHECK_OUT(status, premix);
    sw_premix_free(premix);
    return status;
}

static const struct {
    const char *name;
    call call;
    sw_status plenty; /* how it ends when memory is plenty */
} CALLS[] = {
    {"formulate, even", formulate_even, SW_OK},
    {"formulate, cheapest", formulate_cheapest, SW_OK},
    {"formulate what conflicts", formulate_what_conflicts, SW_OK},
    {"audit what is confused", audit_what_is_confused, SW_OK},
    {"renew what conflicts", renew_what_conflicts, SW_OK},
    {"fit a premix", fit_a_premix, SW_OK},
    {"review a premix", review_a_premix, SW_OK},
};

static void make_given(given *g)
{
    sw_error e = {0};
    sw_conditions conditions = sw_conditions_default();
    FILE *files[] = {open_example("well.csv"),
                     open_example("pepper.csv"),
                     open_example("straights.csv"),
                     open_example("recipe.csv"),
                     open_text("parameter,target,min,max\nN,210,200,\n"
                               "NO3-N,,,50\nNH4-N,,,10\n"),
                     open_text("parameter,value,unit\nCa,120,mg/L\nMg,20,mg/L\n"
                               "Na,66,mg/L\nHCO3,305,mg/L\nCl,53,mg/L\n"
                               "SO4,62.1,mg/L\nNO3-N,0.1,mg/L\n"),
                     open_text("parameter,target\nK,150\nCa,110\n"),
                     open_text("parameter,target,stage\nK,9000,young\nN,150,"
                               "\n")};
    ck_assert_int_eq(sw_waters_read(files[0], "w", &g->well, &e), SW_OK);
    ck_assert_int_eq(sw_target_read(files[1], "t", &g->target, &e), SW_OK);
    ck_assert_int_eq(sw_shelf_read(files[2], "s", &g->shelf, &e), SW_OK);
    ck_assert_int_eq(sw_recipe_read(files[3], "r", g->shelf, &g->recipe, &e),
                     SW_OK);
    ck_assert_int_eq(sw_target_read(files[4], "c", &g->contrary, &e), SW_OK);
    ck_assert_int_eq(sw_waters_read(files[5], "x", &g->confused, &e), SW_OK);
    ck_assert_int_eq(sw_target_read(files[6], "2", &g->two, &e), SW_OK);
    ck_assert_int_eq(sw_target_read(files[7], "3", &g->staged, &e), SW_OK);
    for (size_t i = 0; i < sizeof files / sizeof *files; i++)
        fclose(files[i]);
    sw_notes notes = {0};
    ck_assert_int_eq(
        sw_water_complete(g->well->items, &conditions, &g->water, &notes, &e),
        SW_OK);
    sw_notes_free(&notes);
    g->mix = (sw_mix){.water = &g->water,
                      .target = g->target,
                      .shelf = g->shelf,
                      .recipe = g->recipe,
                      .conditions = conditions};
}

static void free_given(given *g)
{
    sw_waters_free(g->well);
    sw_waters_free(g->confused);
    sw_target_free(g->target);
    sw_target_free(g->contrary);
    sw_target_free(g->two);
    sw_target_free(g->staged);
    sw_recipe_free(g->recipe);
    sw_shelf_free(g->shelf);
}

/* Whether the nth allocation was still made; checks how its loss was taken. */
static bool survives_loss(int index, const given *g, unsigned long nth)
{
    sw_error error = {0};
    scarce_begin(nth);
    sw_status status = CALLS[index].call(g, &error);
    bool failed = scarce_end();
    ck_assert_msg(scarce_left() == 0, "%s, allocation %lu lost: %ld leak",
                  CALLS[index].name, nth, scarce_left());
    ck_assert_msg(!out_is_wrong,
                  "%s, allocation %lu lost: status and result "
                  "disagree",
                  CALLS[index].name, nth);
    /* What a solver remembers it may lose. */
    bool forgot = failed && status == SW_OK;
    sw_status expected =
        failed && !forgot ? SW_ERR_MEMORY : CALLS[index].plenty;
    ck_assert_msg(status == expected, "%s, allocation %lu lost: %s; %s",
                  CALLS[index].name, nth, sw_status_text(status),
                  error.message);
    if (failed && !forgot) {
        ck_assert_int_eq(error.status, SW_ERR_MEMORY);
        ck_assert_str_ne(error.message, "");
    }
    return failed;
}

START_TEST_EACH(a_lost_allocation_is_said_and_leaks_nothing,
                sizeof CALLS / sizeof *CALLS)
{
    given g = {0};
    make_given(&g);
    unsigned long nth = 1;
    while (survives_loss(_i, &g, nth))
        nth += 1 + nth / 20;
    free_given(&g);
}
END_TEST
