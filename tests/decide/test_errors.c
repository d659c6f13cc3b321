/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What a failing call says: every public call that can fail, refused once for
 * NULL and, where it takes more than pointers, once for what they hold.  The
 * error is stale before each; tests/structure holds the list complete.
 */
#include "suite.h"

#include "decide/draw.h"
#include "records/targets.h"
#include "saltwright.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

static sw_error error;

static sw_error *stale(void)
{
    memset(&error, 'x', sizeof error);
    error.status = SW_OK;
    error.message[sizeof error.message - 1] = '\0';
    return &error;
}

static void expect_said(const char *call, sw_status status)
{
    ck_assert_msg(status != SW_OK, "%s is taken", call);
    ck_assert_msg(error.status == status, "%s: %s, but its error says %s", call,
                  sw_status_text(status), sw_status_text(error.status));
    ck_assert_msg(error.message[0] && strncmp(error.message, "xx", 2) != 0,
                  "%s: no message of its own", call);
}

/* `stale()` stands for the error in the call. */
#define REFUSES(call) expect_said(#call, call)

static const char wrong[] = "nothing,of,this\n1,2,3\n";

static FILE *stream_of(const char *text)
{
    FILE *stream = fmemopen((void *)text, strlen(text), "r");
    ck_assert_ptr_nonnull(stream);
    return stream;
}

/* Pure water, two salts and their recipe; a target, and one of zero. */
typedef struct bench {
    sw_solver *solver;
    sw_content pure;
    double g_per_l[2];
    sw_recipe recipe;
    sw_target *target, *nought;
    sw_shelf *shelf;
    sw_conditions hot;
    sw_problem problem;
    sw_mix mix;
} bench;

static sw_target *target_of(const char *text)
{
    FILE *stream = stream_of(text);
    sw_target *target;
    ck_assert_int_eq(sw_target_read(stream, "target", &target, stale()), SW_OK);
    fclose(stream);
    return target;
}

static void set_up(bench *b)
{
    FILE *stream = stream_of("product,formula\ncalcium nitrate,"
                             "Ca(NO3)2.4H2O\npotassium chloride,KCl\n");
    *b = (bench){.g_per_l = {1, 0.2}, .hot = {99, 4e-4, NULL, NULL}};
    ck_assert_int_eq(sw_solver_new(&b->solver, stale()), SW_OK);
    ck_assert_int_eq(sw_shelf_read(stream, "shelf", &b->shelf, stale()), SW_OK);
    fclose(stream);
    b->target = target_of("parameter,target\nCa,200\nK,100\n");
    b->nought = target_of("parameter,target\nCa,0\n");
    b->recipe = (sw_recipe){.g_per_l = b->g_per_l, .count = 2};
    b->problem = sw_problem_default();
    b->problem.waters = &b->pure;
    b->problem.target = b->nought;
    b->problem.shelf = b->shelf;
    b->mix = (sw_mix){.water = &b->pure,
                      .target = b->target,
                      .shelf = b->shelf,
                      .recipe = &b->recipe,
                      .conditions = sw_conditions_default()};
}

static void tear_down(bench *b)
{
    sw_target_free(b->target);
    sw_target_free(b->nought);
    sw_shelf_free(b->shelf);
    sw_solver_free(b->solver);
}

START_TEST(texts_and_names_are_refused_with_a_message)
{
    double value;
    sw_unit_system system;
    sw_objective objective;
    sw_product *product;
    sw_target *target;
    REFUSES(sw_volume_parse(NULL, &value, &system, stale()));
    REFUSES(sw_volume_parse("400 parsec", &value, &system, stale()));
    REFUSES(sw_mass_parse(NULL, &value, stale()));
    REFUSES(sw_mass_parse("2 h", &value, stale()));
    REFUSES(sw_conductivity_parse(NULL, &value, stale()));
    REFUSES(sw_conductivity_parse("2kg", &value, stale()));
    REFUSES(sw_objective_parse(NULL, &objective, stale()));
    REFUSES(sw_objective_parse("nicest", &objective, stale()));
    REFUSES(sw_catalogue_get(0, NULL, stale()));
    REFUSES(sw_catalogue_get(SIZE_MAX, &product, stale()));
    REFUSES(sw_catalogue_find(NULL, &product, stale()));
    REFUSES(sw_catalogue_find("unobtainium", &product, stale()));
    REFUSES(sw_target_named(NULL, &target, stale()));
    REFUSES(sw_target_named("no such crop", &target, stale()));
    REFUSES(sw_solver_new(NULL, stale()));
    REFUSES(sw_shelf_catalogue(NULL, stale()));
    REFUSES(sw_shelf_common(NULL, false, NULL, stale()));
    REFUSES(sw_purified_water(NULL, stale()));
}
END_TEST

#define START_BENCH_TEST(name)                                                 \
    START_TEST_WITH(name, bench, b, set_up(b), tear_down(b))

START_BENCH_TEST(files_are_refused_with_a_message)
{
    sw_waters *waters;
    sw_target *target;
    sw_shelf *shelf;
    sw_recipe *recipe;
    sw_placement *placements;
    sw_water_stream *blocks;
    FILE *stream = stream_of(wrong);
    REFUSES(sw_waters_read(NULL, "w", &waters, stale()));
    REFUSES(sw_waters_read(stream, "w", &waters, stale()));
    rewind(stream);
    REFUSES(sw_waters_gather(stream, "w", "mg/bucket", &waters, stale()));
    REFUSES(sw_water_stream_new(stream, "w", "mg/bucket", &blocks, stale()));
    REFUSES(sw_water_stream_next(NULL, 1, &waters, stale()));
    REFUSES(sw_water_notes(NULL, NULL, stale()));
    REFUSES(sw_target_read(NULL, "t", &target, stale()));
    REFUSES(sw_target_read(stream, "t", &target, stale()));
    rewind(stream);
    REFUSES(sw_shelf_read(NULL, "s", &shelf, stale()));
    REFUSES(sw_shelf_read(stream, "s", &shelf, stale()));
    rewind(stream);
    REFUSES(sw_shelf_add_label(b->shelf, NULL, stream, "l", stale()));
    REFUSES(sw_shelf_add_label(b->shelf, "leaf", stream, "l", stale()));
    rewind(stream);
    REFUSES(sw_recipe_read(stream, "r", NULL, &recipe, stale()));
    REFUSES(sw_recipe_read(stream, "r", b->shelf, &recipe, stale()));
    rewind(stream);
    REFUSES(sw_placements_read(NULL, "p", b->shelf, &placements, stale()));
    REFUSES(sw_placements_read(stream, "p", b->shelf, &placements, stale()));
    fclose(stream);
}
END_TEST

START_BENCH_TEST(solutions_are_refused_with_a_message)
{
    sw_content out, negative = {.amount = {[SW_K] = -5}};
    sw_notes notes = {0};
    sw_chemistry chemistry;
    sw_water empty = {0}, *reread;
    sw_assessment *assessment;
    sw_audit_report *report;
    sw_archive *archive;
    const sw_water *one = &empty;
    sw_rereading *rereading;
    size_t count;
    sw_ph_options *options;
    sw_tables *tables;
    double value;
    const sw_conditions *usual = &b->mix.conditions;
    REFUSES(sw_water_complete(NULL, usual, &out, &notes, stale()));
    REFUSES(sw_water_complete(&empty, &b->hot, &out, &notes, stale()));
    REFUSES(sw_water_complete(&empty, NULL, &out, &notes, stale()));
    REFUSES(
        sw_equilibrate(NULL, usual, SW_CARBONATE_KEPT, &chemistry, stale()));
    REFUSES(sw_equilibrate(&negative, usual, SW_CARBONATE_KEPT, &chemistry,
                           stale()));
    REFUSES(sw_onsets(&negative, usual, SW_CARBONATE_KEPT, chemistry.saturation,
                      stale()));
    REFUSES(sw_onsets(&b->pure, &b->hot, SW_CARBONATE_KEPT,
                      chemistry.saturation, stale()));
    REFUSES(sw_tables_new(99, &tables, stale()));
    REFUSES(sw_ec_at(&b->pure, NULL, 20, &value, stale()));
    REFUSES(sw_ec_at(&b->pure, usual, 99, &value, stale()));
    REFUSES(sw_audit(NULL, NULL, usual, &report, stale()));
    REFUSES(sw_audit(&empty, NULL, &b->hot, &report, stale()));
    REFUSES(sw_rereadings_find(NULL, NULL, usual, &rereading, &count, stale()));
    REFUSES(sw_most_shares(NULL, NULL, 1, &value, &notes, stale()));
    REFUSES(sw_audit_solution(NULL, usual, &report, stale()));
    REFUSES(sw_audit_solution(&(sw_sampling){.sample = &empty, .drained = 2},
                              usual, &report, stale()));
    REFUSES(sw_audit_many(NULL, 1, usual, &archive, stale()));
    REFUSES(sw_audit_many(&one, 0, usual, &archive, stale()));
    REFUSES(sw_audit_many(&one, 1, &b->hot, &archive, stale()));
    REFUSES(sw_water_reread(NULL, "x", &reread, stale()));
    REFUSES(sw_water_reread(&empty, "x", &reread, stale()));
    REFUSES(sw_make_up_judge(NULL, &notes, stale()));
    REFUSES(sw_make_up_judge(&empty, NULL, stale()));
    REFUSES(sw_assess(NULL, &assessment, stale()));
    REFUSES(sw_ph_options_find(NULL, &options, stale()));
    REFUSES(sw_ph_options_find(&b->mix, &options, stale()));
    b->recipe.count = 1;
    REFUSES(sw_assess(&b->mix, &assessment, stale()));
    ck_assert_ptr_null(assessment);
    sw_notes_free(&notes);
}
END_TEST

START_BENCH_TEST(problems_are_refused_with_a_message)
{
    sw_solution *solution;
    sw_many *many;
    sw_blend *blend;
    sw_renewal *renewal;
    sw_conflict *conflict;
    sw_why *why;
    sw_front *front;
    sw_choice *choice;
    sw_candidate candidate = {0};
    sw_content purified = {{0}};
    double share;
    sw_problem none = sw_problem_default();
    const sw_problem *p = &b->problem;
    REFUSES(sw_formulate(NULL, p, &solution, stale()));
    REFUSES(sw_formulate(b->solver, &none, &solution, stale()));
    REFUSES(sw_formulate(b->solver, p, &solution, stale()));
    REFUSES(sw_one_recipe(b->solver, NULL, &many, stale()));
    REFUSES(sw_one_recipe(b->solver, p, &many, stale()));
    REFUSES(sw_fewest_recipes(b->solver, &none, &many, stale()));
    REFUSES(sw_fewest_recipes(b->solver, p, &many, stale()));
    REFUSES(sw_blend_find(b->solver, &none, &blend, stale()));
    REFUSES(sw_blend_find(b->solver, p, &blend, stale()));
    REFUSES(sw_purified_least(b->solver, &none, &purified, &share, stale()));
    REFUSES(sw_purified_least(b->solver, p, NULL, &share, stale()));
    const sw_content both[2] = {{{0}}};
    sw_problem two = b->problem;
    two.waters = both;
    two.water_count = 2;
    REFUSES(sw_purified_least(b->solver, &two, &purified, &share, stale()));
    REFUSES(sw_renew(b->solver, &none, 0.5, &renewal, stale()));
    REFUSES(sw_renew(b->solver, p, 2, &renewal, stale()));
    REFUSES(sw_conflict_explain(b->solver, &none, NULL, &conflict, stale()));
    REFUSES(sw_conflict_explain(b->solver, p, NULL, &conflict, stale()));
    REFUSES(sw_why_find(b->solver, &none, &why, stale()));
    REFUSES(sw_why_find(b->solver, p, &why, stale()));
    REFUSES(sw_front_find(b->solver, &none, SW_TRADE_COST, 5, &front, stale()));
    REFUSES(sw_front_find(b->solver, p, SW_TRADE_COST, 1, &front, stale()));
    b->problem.target = b->target;
    REFUSES(sw_conflict_explain(NULL, p, NULL, &conflict, stale()));
    REFUSES(sw_why_find(NULL, p, &why, stale()));
    REFUSES(sw_front_find(NULL, p, SW_TRADE_COST, 5, &front, stale()));
    REFUSES(sw_choose(NULL, 1, &choice, stale()));
    REFUSES(sw_choose(&candidate, 0, &choice, stale()));
}
END_TEST

START_BENCH_TEST(doubts_and_strengths_are_refused_with_a_message)
{
    sw_uncertainty uncertainty;
    sw_diagnosis *diagnosis;
    sw_premix *premix;
    sw_premix_rate rates[3];
    size_t set[3] = {0, 0, 0};
    sw_notes notes = {0};
    sw_strength *strength;
    sw_target *target;
    sw_tolerances off = sw_tolerances_default(1000);
    sw_readings unread = sw_readings_default();
    sw_strength_aim weak = {.ec_ms_per_cm = -1};
    REFUSES(sw_diagnose(NULL, &off, &unread, &diagnosis, stale()));
    REFUSES(sw_diagnose(&b->mix, &off, &unread, &diagnosis, stale()));
    off.lab = -1;
    REFUSES(sw_uncertainty_find(&b->mix, NULL, &uncertainty, stale()));
    REFUSES(sw_uncertainty_find(&b->mix, &off, &uncertainty, stale()));
    REFUSES(sw_premix_fit(b->solver, &b->mix, NULL, rates, &notes, stale()));
    REFUSES(sw_premix_fit(NULL, &b->mix, set, rates, &notes, stale()));
    REFUSES(sw_target_implied(b->problem.shelf, NULL, &b->problem.conditions,
                              &target, stale()));
    double g_per_l[64] = {0};
    const sw_recipe nothing = {.g_per_l = g_per_l,
                               .count = b->problem.shelf->count};
    REFUSES(sw_target_implied(b->problem.shelf, &nothing,
                              &b->problem.conditions, &target, stale()));
    REFUSES(sw_recipe_correct(b->solver, &b->problem, NULL, stale()));
    REFUSES(sw_recipe_correct(b->solver, &b->problem, &(sw_correction){0},
                              stale()));
    sw_shelf_keep_used(NULL, NULL);
    REFUSES(sw_premix_review(NULL, 0, &premix, stale()));
    REFUSES(sw_premix_review(&b->mix, 9, &premix, stale()));
    REFUSES(sw_target_scale(NULL, 2, &target, stale()));
    REFUSES(sw_target_scale(b->target, -1, &target, stale()));
    REFUSES(sw_target_stage(b->target, NULL, &target, stale()));
    REFUSES(sw_target_stage(b->target, "fruit", &target, stale()));
    REFUSES(sw_strength_find(b->solver, &b->problem, NULL, &strength, stale()));
    REFUSES(
        sw_strength_find(b->solver, &b->problem, &weak, &strength, stale()));
    REFUSES(sw_strength_of_recipe(NULL, 2, &strength, stale()));
    REFUSES(sw_strength_of_recipe(&b->mix, 0, &strength, stale()));
    b->recipe.count = 3;
    REFUSES(sw_premix_fit(b->solver, &b->mix, set, rates, &notes, stale()));
    sw_notes_free(&notes);
}
END_TEST

START_BENCH_TEST(tanks_and_scales_are_refused_with_a_message)
{
    sw_stock *stock;
    sw_solution *solution;
    sw_weighed *weighed;
    sw_steps *steps;
    sw_head head;
    sw_apart *apart;
    sw_scale scale = {.volume_l = 0};
    sw_printed printed;
    sw_placement mixed[2] = {0};
    sw_stock_setup setup = sw_stock_setup_default(100);
    setup.factor = 1;
    REFUSES(sw_stock_plan(b->solver, &b->mix, NULL, &stock, stale()));
    REFUSES(sw_stock_plan(b->solver, &b->mix, &setup, &stock, stale()));
    REFUSES(sw_stock_plan(NULL, &b->mix, &setup, &stock, stale()));
    REFUSES(sw_stock_check(b->solver, &b->mix, &setup, NULL, &stock, stale()));
    REFUSES(sw_stock_check(b->solver, &b->mix, &setup, mixed, &stock, stale()));
    REFUSES(sw_stock_check(NULL, &b->mix, &setup, mixed, &stock, stale()));
    REFUSES(sw_stock_formulate(b->solver, NULL, &setup, &solution, &stock,
                               stale()));
    b->problem.target = b->target;
    REFUSES(sw_stock_formulate(NULL, &b->problem, &setup, &solution, &stock,
                               stale()));
    REFUSES(sw_stock_formulate(b->solver, &b->problem, &setup, &solution,
                               &stock, stale()));
    REFUSES(sw_stock_head(&b->mix, NULL, &setup, 0, &head, stale()));
    REFUSES(sw_stock_apart(&b->mix, NULL, &apart, stale()));
    REFUSES(sw_print_amounts(&b->mix, NULL, 1, &printed, 1, stale()));
    REFUSES(sw_weigh(b->solver, &b->problem, NULL, &scale, &weighed, stale()));
    ck_assert_int_eq(sw_formulate(b->solver, &b->problem, &solution, stale()),
                     SW_OK);
    REFUSES(
        sw_weigh(b->solver, &b->problem, solution, &scale, &weighed, stale()));
    scale = (sw_scale){.volume_l = 100, .step_g = 1, .seconds = 1};
    REFUSES(sw_weigh(NULL, &b->problem, solution, &scale, &weighed, stale()));
    sw_solution_free(solution);
    REFUSES(sw_stock_weigh(b->solver, NULL, &scale, &weighed, stale()));
    REFUSES(sw_mixing_order(NULL, &steps, stale()));
}
END_TEST

/* A number taken up to its bounds and refused a hair beyond; NAN: no such end.
 */
typedef struct bounds {
    const char *name;
    size_t at;
    double least, under, most, over;
} bounds;

#define DOUBT(field) #field, offsetof(sw_tolerances, field)
static const bounds DOUBTS[] = {
    {DOUBT(lab), 0, -1e-9, 0.5, 0.501},
    {DOUBT(label), 0, -1e-9, 0.5, 0.501},
    {DOUBT(fill), 0, -1e-9, 0.5, 0.501},
    {DOUBT(injector), 0, -1e-9, 0.5, 0.501},
    {DOUBT(lab_ph), 0, -1e-9, 2, 2.001},
    {DOUBT(scale_step_g), 0, -1e-9, 100, INFINITY},
    {DOUBT(micro_step_g), 0, -1e-9, 100, INFINITY},
    {DOUBT(batch_l), 1, 0, 1e6, INFINITY},
};
#undef DOUBT

#define READ(field) #field, offsetof(sw_readings, field)
static const bounds READINGS[] = {
    {READ(ec_ms_per_cm), 0.001, 0, 500, 500.1},
    {READ(ph), 0, -0.001, 14, 14.001},
    {READ(ec_error), 1e-6, 0, 0.5, 0.501},
    {READ(ph_error), 1e-6, 0, 2, 2.001},
};
#undef READ

static sw_status doubt(const bench *b, const bounds *row, double number)
{
    sw_tolerances t = sw_tolerances_default(1000);
    memcpy((char *)&t + row->at, &number, sizeof number);
    return sw_tolerances_check(&b->mix, &t, stale());
}

static sw_status read_meter(const bench *b, const bounds *row, double number)
{
    sw_tolerances t = sw_tolerances_default(1000);
    sw_readings read = {2, 6, 0.03, 0.1};
    sw_diagnosis *found;
    memcpy((char *)&read + row->at, &number, sizeof number);
    sw_status status = sw_diagnose(&b->mix, &t, &read, &found, stale());
    if (status == SW_OK)
        sw_diagnosis_free(found);
    return status;
}

typedef sw_status try_number(const bench *b, const bounds *row, double number);

static void expect_bounds(const bench *b, const bounds *row, try_number *try)
{
    const double numbers[] = {row->least, row->under, row->most, row->over};
    for (int i = 0; i < 4; i++) {
        sw_status wanted = i % 2 ? SW_ERR_VALUE : SW_OK;
        ck_assert_msg(isnan(numbers[i]) || try(b, row, numbers[i]) == wanted,
                      "%s = %.9g: %s", row->name, numbers[i], error.message);
    }
}

START_BENCH_TEST(numbers_are_taken_up_to_their_bounds)
{
    for (size_t i = 0; i < sizeof DOUBTS / sizeof *DOUBTS; i++)
        expect_bounds(b, &DOUBTS[i], doubt);
    for (size_t i = 0; i < sizeof READINGS / sizeof *READINGS; i++)
        expect_bounds(b, &READINGS[i], read_meter);
}
END_TEST
