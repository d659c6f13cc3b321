/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Every public call that can fail: with each of its pointers NULL in turn, with
 * each of its allocations failing, and with each equilibrium and root.  It must
 * say so in the caller's sw_error, whatever that held before, leave no result
 * behind and leak nothing.  The first is lost by each way of calls that leads
 * to one, under sanitizers by each single call; with SW_EACH=1 every allocation
 * and, evenly, some 500 of the equilibria and roots of each call, of which
 * planning tanks finds 20 000; SW_EACH=all: those too, an hour.
 */
#include "memory/given.h"
#include "memory/scarce.h"
#include "saltwright.h"
#include "suite.h"

#include <glob.h>
#include <string.h>

/* What is NULL of the call's pointers, and whether its outcome fits what it
 * gave back.  No assertion of Check inside a call: it allocates too. */
static unsigned null;
static bool out_is_wrong;

#define N(bit, pointer) ((null >> (bit)&1) ? NULL : (pointer))

static sw_mix mix_of(void)
{
    return (sw_mix){.water = N(0, g.water),
                    .shelf = N(1, g.shelf),
                    .recipe = N(2, g.recipe),
                    .target = N(3, g.two),
                    .conditions = g.conditions};
}

static sw_problem problem_of(size_t waters)
{
    sw_problem problem = sw_problem_default();
    problem.waters = N(0, g.water);
    problem.water_count = waters;
    problem.target = N(1, g.two);
    problem.shelf = N(2, g.shelf);
    return problem;
}

/* Calls what gives an object back, and frees it. */
#define GIVES(name, type, give_up, ...)                                        \
    static sw_status call_##name(sw_error *error)                              \
    {                                                                          \
        const sw_mix mix CK_ATTRIBUTE_UNUSED = mix_of();                       \
        type *out = NULL;                                                      \
        sw_status status = name(__VA_ARGS__, error);                           \
        out_is_wrong |= (status == SW_OK) != (out != NULL);                    \
        give_up(out);                                                          \
        return status;                                                         \
    }

/* The same with a solver, for a problem of `waters`. */
#define SOLVES(name, waters, type, give_up, ...)                               \
    static sw_status call_##name(sw_error *error)                              \
    {                                                                          \
        const sw_problem problem = problem_of(waters);                         \
        const sw_mix mix = mix_of();                                           \
        sw_solver *solver = NULL;                                              \
        type *out = NULL;                                                      \
        sw_status status = sw_solver_new(&solver, error);                      \
        (void)problem, (void)mix;                                              \
        if (!status)                                                           \
            status = name(N(3, solver), __VA_ARGS__, error);                   \
        out_is_wrong |= status != SW_OK && out;                                \
        give_up(out);                                                          \
        sw_solver_free(solver);                                                \
        return status;                                                         \
    }

/* The same of what fills something of the caller's. */
#define FILLS(name, type, ...)                                                 \
    static sw_status call_##name(sw_error *error)                              \
    {                                                                          \
        const sw_mix mix CK_ATTRIBUTE_UNUSED = mix_of();                       \
        type out[SW_SOLID_COUNT];                                              \
        memset(out, 0, sizeof out);                                            \
        return name(__VA_ARGS__, error);                                       \
    }

/* One that reads a file from its start. */
static FILE *again(FILE *file)
{
    if (file)
        rewind(file);
    return file;
}

GIVES(sw_assess, sw_assessment, sw_assessment_free, N(4, &mix), N(5, &out))
GIVES(sw_audit, sw_audit_report, sw_audit_report_free, N(0, g.well->items),
      NULL, N(1, &g.conditions), N(2, &out))
GIVES(sw_audit_solution, sw_audit_report, sw_audit_report_free,
      N(1, (&(sw_sampling){.sample = N(0, g.well->items), .target = g.two})),
      N(2, &g.conditions), N(3, &out))
GIVES(sw_audit_many, sw_archive, sw_archive_free,
      N(0, (&(const sw_water *const){g.well->items})), 1, N(1, &g.conditions),
      N(2, &out))
GIVES(sw_water_reread, sw_water, sw_water_free, N(0, g.well->items),
      N(1, "SO4=SO4-S"), N(2, &out))
FILLS(sw_most_shares, double, N(0, (&(const sw_water *const){g.well->items})),
      N(1, g.water), 1, N(2, out), N(3, &(sw_notes){0}))
FILLS(sw_make_up_judge, sw_notes, N(0, g.well->items), N(1, out))
FILLS(sw_volume_parse, double, N(0, "9L"), N(1, out), &(sw_unit_system){0})
FILLS(sw_mass_parse, double, N(0, "9 g"), N(1, out))
FILLS(sw_conductivity_parse, double, N(0, "9 mS/cm"), N(1, out))
GIVES(sw_tables_new, sw_tables, sw_tables_free, 25, N(0, &out))

static sw_status call_sw_water_complete(sw_error *error)
{
    sw_content per_l;
    sw_notes notes = {0};
    sw_water no_ph = g.well->items[0], feed = no_ph;
    no_ph.ph = strtod("nan", NULL);
    feed.is_solution = true;
    feed.alkalinity_reported = false;
    feed.temperature_c = 2;
    sw_status status = sw_water_complete(N(0, &no_ph), N(1, &g.conditions),
                                         N(2, &per_l), N(3, &notes), error);
    if (!status)
        status = sw_water_complete(&feed, &g.conditions, &per_l, &notes, error);
    sw_notes_free(&notes);
    return status;
}

static sw_status call_sw_rereadings_find(sw_error *error)
{
    sw_rereading *out = NULL;
    sw_status status = sw_rereadings_find(
        N(0, g.well->items), N(1, g.water + 0), N(2, &g.conditions), N(3, &out),
        N(4, &(size_t){0}), error);
    free(out);
    return status;
}

static sw_status call_sw_water_notes(sw_error *error)
{
    sw_notes notes = {0};
    sw_status status = sw_water_notes(N(0, g.well->items), N(1, &notes), error);
    sw_notes_free(&notes);
    return status;
}

FILLS(sw_equilibrate, sw_chemistry, N(0, g.water), N(1, &g.conditions),
      SW_CARBONATE_AIRED, N(2, out))
FILLS(sw_onsets, sw_saturation, N(0, g.water), N(1, &g.conditions),
      SW_CARBONATE_AIRED, N(2, out))
FILLS(sw_ec_at, double, N(0, g.water), N(1, &g.conditions), 20, N(2, out))
GIVES(sw_target_named, sw_target, sw_target_free,
      N(0, sw_target_set_at(0).name), N(1, &out))
FILLS(sw_uncertainty_find, sw_uncertainty, N(4, &mix), N(5, &g.tolerances),
      N(6, out))
FILLS(sw_objective_parse, sw_objective, N(0, "even"), N(1, out))
GIVES(sw_solver_new, sw_solver, sw_solver_free, N(0, &out))
SOLVES(sw_formulate, 1, sw_solution, sw_solution_free, N(4, &problem),
       N(5, &out))
SOLVES(sw_one_recipe, 2, sw_many, sw_many_free, N(4, &problem), N(5, &out))
SOLVES(sw_fewest_recipes, 2, sw_many, sw_many_free, N(4, &problem), N(5, &out))
GIVES(sw_diagnose, sw_diagnosis, sw_diagnosis_free, N(4, &mix),
      N(5, &g.tolerances),
      N(6, (&(sw_readings){.ec_ms_per_cm = 2.0,
                           .ph = 6.0,
                           .ec_error = 0.02,
                           .ph_error = 0.05})),
      N(7, &out))
GIVES(sw_ph_options_find, sw_ph_options, sw_ph_options_free,
      N(4, (&(sw_mix){.water = N(0, g.water),
                      .shelf = N(1, g.shelf),
                      .recipe = N(2, (&(sw_recipe){0})),
                      .target = N(3, g.target),
                      .conditions = g.conditions})),
      N(5, &out))

/* The first product as all there is, and 1 g/L of it. */
#define FIRST (&(sw_shelf){.products = g.shelf->products, .count = 1})
#define GRAM (&(sw_recipe){.g_per_l = (double[]){1.0}, .count = 1})
#define FIRST_MIX(bit)                                                         \
    (&(sw_mix){.water = N(0, g.water),                                         \
               .shelf = N(1, FIRST),                                           \
               .recipe = N(2, GRAM),                                           \
               .target = N(bit, g.target),                                     \
               .conditions = g.conditions})

static sw_status call_sw_premix_fit(sw_error *error)
{
    sw_premix_rate rate;
    sw_notes notes = {0};
    sw_solver *solver = NULL;
    sw_status status = sw_solver_new(&solver, error);
    if (!status)
        status = sw_premix_fit(N(3, solver), N(4, FIRST_MIX(8)),
                               N(5, (&(size_t){1})), N(6, &rate), N(7, &notes),
                               error);
    sw_notes_free(&notes);
    sw_solver_free(solver);
    return status;
}

GIVES(sw_target_implied, sw_target, sw_target_free, N(0, g.shelf), N(1, GRAM),
      N(2, &g.conditions), N(3, &out))
SOLVES(sw_recipe_correct, 1, void, free, N(4, &problem),
       N(5, (&(sw_correction){.target = N(6, target_copied()),
                              .shelf = N(2, shelf_copied()),
                              .recipe = N(7, g.recipe),
                              .freed = N(8, (bool[SW_MAX_PRODUCTS]){0})})))
GIVES(sw_premix_review, sw_premix, sw_premix_free, N(3, FIRST_MIX(5)), 0,
      N(4, &out))
GIVES(sw_catalogue_get, sw_product, sw_product_free, 3, N(0, &out))
GIVES(sw_catalogue_find, sw_product, sw_product_free, N(0, "potassium nitrate"),
      N(1, &out))
GIVES(sw_waters_gather, sw_waters, sw_waters_free, N(0, again(g.water_file)),
      N(1, "w"), NULL, N(2, &out))
GIVES(sw_waters_read, sw_waters, sw_waters_free, N(0, again(g.water_file)),
      N(1, "w"), N(2, &out))
GIVES(sw_water_stream_new, sw_water_stream, sw_water_stream_free,
      N(0, again(g.water_file)), N(1, "w"), NULL, N(2, &out))

static sw_status call_sw_water_stream_next(sw_error *error)
{
    sw_water_stream *waters = NULL;
    sw_waters *block = NULL;
    sw_status status =
        sw_water_stream_new(again(g.water_file), "w", NULL, &waters, error);
    if (!status)
        status = sw_water_stream_next(N(0, waters), 1, N(1, &block), error);
    sw_waters_free(block);
    sw_water_stream_free(waters);
    return status;
}

GIVES(sw_target_read, sw_target, sw_target_free, N(0, again(g.target_file)),
      N(1, "t"), N(2, &out))
GIVES(sw_target_stage, sw_target, sw_target_free, N(0, g.staged), N(1, "young"),
      N(2, &out))
GIVES(sw_shelf_read, sw_shelf, sw_shelf_free, N(0, again(g.shelf_file)),
      N(1, "s"), N(2, &out))
GIVES(sw_shelf_catalogue, sw_shelf, sw_shelf_free, N(0, &out))
GIVES(sw_shelf_common, sw_shelf, sw_shelf_free, N(0, g.target), false,
      N(1, &out))

static sw_status call_sw_shelf_add_label(sw_error *error)
{
    sw_shelf *shelf = NULL;
    sw_status status = sw_shelf_read(again(g.shelf_file), "s", &shelf, error);
    if (!status)
        status =
            sw_shelf_add_label(N(0, shelf), N(1, "leaf"),
                               N(2, again(g.label_file)), N(3, "l"), error);
    sw_shelf_free(shelf);
    return status;
}

/* Of a file that may add to the shelf. */
#define SHELVES(name, file, type, give_up)                                     \
    static sw_status call_##name(sw_error *error)                              \
    {                                                                          \
        sw_shelf *shelf = NULL;                                                \
        type *out = NULL;                                                      \
        sw_status status =                                                     \
            sw_shelf_read(again(g.shelf_file), "s", &shelf, error);            \
        if (!status)                                                           \
            status = name(N(0, again(file)), N(1, "r"), N(2, shelf),           \
                          N(3, &out), error);                                  \
        out_is_wrong |= (status == SW_OK) != (out != NULL);                    \
        give_up(out);                                                          \
        sw_shelf_free(shelf);                                                  \
        return status;                                                         \
    }

SHELVES(sw_recipe_read, g.recipe_file, sw_recipe, sw_recipe_free)
SHELVES(sw_placements_read, g.tank_file, sw_placement, sw_placements_free)

SOLVES(sw_purified_least, 1, void, free, N(4, &problem), N(5, g.water),
       N(6, &(double){0}))
SOLVES(sw_renew, 2, sw_renewal, sw_renewal_free, N(4, &problem), 0.8,
       N(5, &out))
SOLVES(sw_stock_plan, 1, sw_stock, sw_stock_free,
       N(4, (&(sw_mix){.water = N(0, g.water),
                       .shelf = N(2, g.shelf),
                       .recipe = N(1, g.recipe),
                       .conditions = g.conditions})),
       N(5, &g.setup), N(6, &out))
SOLVES(sw_stock_check, 1, sw_stock, sw_stock_free,
       N(4, (&(sw_mix){.water = N(0, g.water),
                       .shelf = N(2, g.shelf),
                       .recipe = N(1, g.recipe),
                       .conditions = g.conditions})),
       N(5, &g.setup), N(6, g.stock->placements), N(7, &out))
SOLVES(sw_blend_find, 2, sw_blend, sw_blend_free, N(4, &problem), N(5, &out))
SOLVES(sw_strength_find, 1, sw_strength, sw_strength_free, N(4, &problem),
       N(5, (&(sw_strength_aim){1.1, NULL})), N(6, &out))
SOLVES(sw_conflict_explain, 1, sw_conflict, sw_conflict_free, N(4, &problem),
       NULL, N(5, &out))
SOLVES(sw_why_find, 1, sw_why, sw_why_free, N(4, &problem), N(5, &out))
SOLVES(sw_front_find, 1, sw_front, sw_front_free, N(4, &problem),
       SW_TRADE_PRODUCTS, 2, N(5, &out))

#define STEPS                                                                  \
    (&(sw_scale){                                                              \
        .volume_l = 1000, .step_g = 10, .micro_step_g = 0.1, .seconds = 30})

SOLVES(sw_weigh, 1, sw_weighed, sw_weighed_free, N(4, &problem),
       N(5, g.solution), N(6, STEPS), N(7, &out))

static sw_status call_sw_stock_formulate(sw_error *error)
{
    const sw_problem problem = problem_of(1);
    sw_solver *solver = NULL;
    sw_solution *solution = NULL;
    sw_stock *stock = NULL;
    sw_status status = sw_solver_new(&solver, error);
    if (!status)
        status =
            sw_stock_formulate(N(3, solver), N(4, &problem), N(5, &g.setup),
                               N(6, &solution), N(7, &stock), error);
    out_is_wrong |= status != SW_OK && (solution || stock);
    sw_stock_free(stock);
    sw_solution_free(solution);
    sw_solver_free(solver);
    return status;
}

static sw_status call_sw_stock_weigh(sw_error *error)
{
    const sw_problem problem = problem_of(1);
    sw_solver *solver = NULL;
    sw_solution *solution = NULL;
    sw_stock *stock = NULL;
    sw_weighed *out = NULL;
    sw_status status = sw_solver_new(&solver, error);
    if (!status)
        status = sw_stock_formulate(solver,
                                    &(sw_problem){.waters = g.water,
                                                  .water_count = 1,
                                                  .target = g.two,
                                                  .shelf = g.shelf,
                                                  .conditions = g.conditions},
                                    &g.setup, &solution, &stock, error);
    if (!status)
        status = sw_stock_weigh(N(3, solver),
                                N(4, (&(sw_filling){.problem = N(5, &problem),
                                                    .setup = N(6, &g.setup),
                                                    .solution = N(7, solution),
                                                    .stock = N(8, &stock)})),
                                N(9, STEPS), N(10, &out), error);
    out_is_wrong |= (status == SW_OK) != (out != NULL);
    sw_weighed_free(out);
    sw_stock_free(stock);
    sw_solution_free(solution);
    sw_solver_free(solver);
    return status;
}

FILLS(sw_stock_head, sw_head, N(4, &mix), N(5, g.stock), N(6, &g.setup),
      SW_TANK_A, N(7, out))
GIVES(sw_stock_apart, sw_apart, sw_apart_free, N(4, &mix), N(5, g.stock),
      N(6, &out))

static sw_status call_sw_print_amounts(sw_error *error)
{
    const sw_mix mix = mix_of();
    sw_printed item = {.g_per_l = 0.5, .unit_g_per_l = 0.001};
    const sw_assessment *exact[] = {N(7, g.assessment)};
    return sw_print_amounts(N(4, &mix), N(5, exact), 1, N(6, &item), 1, error);
}

GIVES(sw_mixing_order, sw_steps, sw_steps_free,
      N(5, (&(sw_mixing){.mix = N(4, &mix), .volume_l = 1000})), N(6, &out))
GIVES(sw_purified_water, sw_waters, sw_waters_free, N(0, &out))
GIVES(sw_choose, sw_choice, sw_choice_free,
      N(4, (&(sw_candidate){.name = N(0, "well"),
                            .detail = "",
                            .target = N(1, g.target),
                            .shelf = N(2, g.shelf),
                            .solution = N(3, g.solution)})),
      1, N(5, &out))
GIVES(sw_strength_of_recipe, sw_strength, sw_strength_free, N(4, &mix), 2.0,
      N(5, &out))

/* What a solver remembers of earlier solves it may lose, and nothing with it.
 */
enum { FORGETS = 1 << 30, HARD = 1 << 29, CLASHES = 1 << 28 };

/* How many pointers it takes, and which of them, as bits, may be NULL. */
#define CALLS(X)                                                               \
    X(sw_assess, 6, 1 << 3 | HARD)                                             \
    X(sw_audit, 3, HARD)                                                       \
    X(sw_audit_solution, 4, 0)                                                 \
    X(sw_audit_many, 3, HARD)                                                  \
    X(sw_water_reread, 3, 0)                                                   \
    X(sw_volume_parse, 2, 0)                                                   \
    X(sw_mass_parse, 2, 0)                                                     \
    X(sw_conductivity_parse, 2, 0)                                             \
    X(sw_tables_new, 1, 0)                                                     \
    X(sw_water_complete, 4, HARD)                                              \
    X(sw_most_shares, 4, HARD)                                                 \
    X(sw_rereadings_find, 5, HARD)                                             \
    X(sw_make_up_judge, 2, 0)                                                  \
    X(sw_water_notes, 2, 0)                                                    \
    X(sw_equilibrate, 3, 0)                                                    \
    X(sw_onsets, 3, 0)                                                         \
    X(sw_ec_at, 3, 0)                                                          \
    X(sw_target_named, 2, 0)                                                   \
    X(sw_uncertainty_find, 7, HARD)                                            \
    X(sw_objective_parse, 2, 0)                                                \
    X(sw_solver_new, 1, 0)                                                     \
    X(sw_formulate, 6, FORGETS | HARD)                                         \
    X(sw_one_recipe, 6, FORGETS | HARD)                                        \
    X(sw_fewest_recipes, 6, FORGETS | CLASHES)                                 \
    X(sw_diagnose, 8, HARD)                                                    \
    X(sw_ph_options_find, 6, CLASHES)                                          \
    X(sw_premix_fit, 9, FORGETS)                                               \
    X(sw_target_implied, 4, 0)                                                 \
    X(sw_recipe_correct, 9, 1 << 1 | FORGETS | HARD)                           \
    X(sw_premix_review, 6, HARD)                                               \
    X(sw_catalogue_get, 1, 0)                                                  \
    X(sw_catalogue_find, 2, 0)                                                 \
    X(sw_waters_gather, 3, 0)                                                  \
    X(sw_waters_read, 3, HARD)                                                 \
    X(sw_water_stream_new, 3, 0)                                               \
    X(sw_water_stream_next, 2, 0)                                              \
    X(sw_target_read, 3, 0)                                                    \
    X(sw_target_stage, 3, HARD)                                                \
    X(sw_shelf_read, 3, 0)                                                     \
    X(sw_shelf_add_label, 4, HARD)                                             \
    X(sw_shelf_catalogue, 1, 0)                                                \
    X(sw_shelf_common, 2, 1 << 0)                                              \
    X(sw_recipe_read, 4, HARD)                                                 \
    X(sw_placements_read, 4, HARD)                                             \
    X(sw_purified_least, 7, FORGETS | HARD)                                    \
    X(sw_renew, 6, FORGETS | HARD | CLASHES)                                   \
    X(sw_stock_plan, 7, CLASHES)                                               \
    X(sw_stock_check, 8, CLASHES)                                              \
    X(sw_stock_formulate, 8, FORGETS | CLASHES | HARD)                         \
    X(sw_stock_head, 8, 1 << 3)                                                \
    X(sw_stock_apart, 7, 1 << 0 | 1 << 3)                                      \
    X(sw_print_amounts, 7, HARD)                                               \
    X(sw_weigh, 8, 1 << 0 | FORGETS | HARD)                                    \
    X(sw_stock_weigh, 11, FORGETS)                                             \
    X(sw_mixing_order, 7, 1 << 3 | HARD)                                       \
    X(sw_purified_water, 1, 0)                                                 \
    X(sw_blend_find, 6, FORGETS | HARD)                                        \
    X(sw_choose, 6, HARD)                                                      \
    X(sw_strength_find, 7, FORGETS)                                            \
    X(sw_strength_of_recipe, 6, 1 << 3)                                        \
    X(sw_conflict_explain, 6, FORGETS | HARD)                                  \
    X(sw_why_find, 6, FORGETS)                                                 \
    X(sw_front_find, 6, FORGETS)

static const struct {
    const char *name;
    sw_status (*call)(sw_error *error);
    unsigned pointers, optional;
} CALL[] = {
#define ROW(name, pointers, optional) {#name, call_##name, pointers, optional},
    CALLS(ROW)};
enum { CALL_COUNT = sizeof CALL / sizeof CALL[0] };

START_TEST_APART(every_pointer_may_be_null)
{
    sw_error error = unfilled();
    ck_assert_msg(CALL[_i].call(&error) == SW_OK, "%s: %s", CALL[_i].name,
                  error.message);
    ck_assert_int_eq(CALL[_i].call(NULL), SW_OK);
    for (unsigned bit = 0; bit < CALL[_i].pointers; bit++) {
        error = unfilled();
        null = 1U << bit;
        sw_status status = CALL[_i].call(&error);
        bool may = CALL[_i].optional >> bit & 1;
        ck_assert_msg(status == SW_ERR_MISSING || (may && !status),
                      "%s, pointer %u: %s", CALL[_i].name, bit,
                      sw_status_text(status));
        ck_assert_msg(!status || is_filled(&error, status), "%s, pointer %u",
                      CALL[_i].name, bit);
        ck_assert_int_eq(CALL[_i].call(NULL), status);
    }
    ck_assert_msg(!out_is_wrong, "%s", CALL[_i].name);
}
END_TEST

/* The call without its `nth` allocation or numbers, or (0) once without each;
 * returns whether it came to that. */
static bool lose(int which, unsigned long nth)
{
    sw_error error = unfilled();
    scarce_begin(nth);
    sw_status status = CALL[which].call(&error);
    bool failed = scarce_end();
    bool forgets = (CALL[which].optional & FORGETS) && status == SW_OK;
    const char *wrong =
        out_is_wrong ? "a result" : wrong_with(status, failed, forgets, &error);
    scarce_leave(CALL[which].name, wrong);
    ck_assert_msg(!wrong && !scarce_wrong(), "%s, allocation %lu: %s, %.200s",
                  CALL[which].name, nth, wrong, error.message);
    return failed;
}

/* Of each place the first, and all of them. */
static void lose_all(int which, scarce what)
{
    unsigned long nth = 0;
    sw_error error = unfilled();
    scarce_choose(what);
    scarce_watch();
    sw_status status = CALL[which].call(&error);
    scarce_end();
    ck_assert_msg(status == SW_OK, "%s: %s", CALL[which].name, error.message);
    while ((nth = scarce_next(nth)))
        ck_assert_msg(lose(which, nth), "%s, %lu", CALL[which].name, nth);
    if (getenv("SW_EACH"))
        lose(which, 0);
}

START_TEST_APART(every_allocation_may_fail)
{
    lose_all(_i, SCARCE_MEMORY);
}
END_TEST

START_TEST_APART(every_equilibrium_may_fail)
{
    lose_all(_i, SCARCE_NUMBERS);
}
END_TEST

/* Of calls that go other ways where nothing fits. */
static void lose_where(int which, unsigned kind)
{
    if (!(CALL[which].optional & kind))
        return;
    lose_all(which, SCARCE_MEMORY);
    lose_all(which, SCARCE_NUMBERS);
}

START_TEST_APART(each_may_fail_where_limits_conflict)
{
    lose_where(_i, HARD);
}
END_TEST

START_TEST_APART(each_may_fail_where_tanks_clash)
{
    lose_where(_i, CLASHES);
}
END_TEST

/* All that the headers declare are in the list. */
START_TEST(no_call_is_left_out)
{
    glob_t headers;
    char line[256], name[64];
    int found = 0;
    ck_assert_int_eq(
        glob(SW_SOURCE_DIR "/lib/saltwright_*.h", 0, NULL, &headers), 0);
    for (size_t i = 0; i < headers.gl_pathc; i++) {
        FILE *file = fopen(headers.gl_pathv[i], "r");
        ck_assert_msg(file, "%s", headers.gl_pathv[i]);
        while (fgets(line, sizeof line, file)) {
            int at = 0;
            if (sscanf(line, "SW_API sw_status %63[a-z0-9_](", name) != 1)
                continue;
            while (at < CALL_COUNT && strcmp(CALL[at].name, name) != 0)
                at++;
            ck_assert_msg(at < CALL_COUNT, "%s", name);
            found++;
        }
        fclose(file);
    }
    globfree(&headers);
    ck_assert_int_eq(found, CALL_COUNT);
}
END_TEST

static void add_case(Suite *suite, void (*make)(void), const TTest *test)
{
    TCase *tcase = tcase_create(test->name);
    tcase_set_timeout(tcase, 3000);
    tcase_add_unchecked_fixture(tcase, make, free_given);
    tcase_add_loop_test(tcase, test, 0, CALL_COUNT);
    suite_add_tcase(suite, tcase);
}

int main(void)
{
    scarce_remember();
    Suite *suite = suite_of_all();
    add_case(suite, make_given, every_pointer_may_be_null);
    add_case(suite, make_given, every_allocation_may_fail);
    add_case(suite, make_given, every_equilibrium_may_fail);
    add_case(suite, make_much_given, every_allocation_may_fail);
    add_case(suite, make_hard_given, each_may_fail_where_limits_conflict);
    add_case(suite, make_clashing_given, each_may_fail_where_tanks_clash);
    int status = run_suite(suite);
    scarce_tell();
    return status;
}
