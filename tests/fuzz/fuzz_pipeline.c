/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The way of the data from bytes on.  A grammar turns every input into a water,
 * a target and a shelf that can be read, so that the solver is reached; what
 * must hold of any of them: a recipe whose proof and limits hold when added up
 * again, whatever the order of rows and at twice the strength; an assessment
 * whose verdicts are arithmetic; tanks that deliver what they hold; whole
 * steps.
 */
#include "fuzz/require.h"
#include "gap.h"
#include "saltwright.h"

#include <math.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* ---- A grammar -----------------------------------------------------------*/

typedef struct source {
    const uint8_t *at;
    size_t left;
} source;

/* One of `count` choices; the first of them once the input is used up. */
static unsigned choose(source *s, unsigned count)
{
    if (s->left == 0)
        return 0;
    s->left--;
    return *s->at++ % count;
}

/* Around `usual`, from none to a hundredfold, mostly near. */
static double amount(source *s, double usual)
{
    static const double times[] = {1,   0.5, 2,    0.8, 1.25, 0.1,  4,  0,
                                   1.1, 0.9, 0.02, 10,  1.5,  0.67, 30, 100};
    double fine = 1 + choose(s, 16) / 64.0;
    return usual * times[choose(s, 16)] * fine;
}

typedef struct usual {
    const char *name;
    double water, feed; /* mg/L */
} usual;

static const usual USUAL[] = {
    {"NO3-N", 4, 150}, {"Ca", 80, 150},    {"Mg", 12, 40},
    {"K", 4, 200},     {"P", 0.1, 40},     {"S", 20, 60},
    {"Na", 30, 30},    {"Cl", 40, 40},     {"NH4-N", 0.2, 10},
    {"Fe", 0.05, 2},   {"Mn", 0.02, 0.5},  {"B", 0.05, 0.3},
    {"Zn", 0.02, 0.3}, {"Cu", 0.01, 0.05}, {"Mo", 0.001, 0.05},
    {"Si", 5, 20}};
enum { USUAL_COUNT = sizeof USUAL / sizeof USUAL[0] };

static const char *const PRODUCTS[] = {"calcium nitrate 15.5-0-0",
                                       "potassium nitrate",
                                       "monopotassium phosphate",
                                       "Epsom salt",
                                       "potassium sulfate",
                                       "magnesium nitrate hexahydrate",
                                       "ammonium nitrate",
                                       "monoammonium phosphate",
                                       "nitric acid 38 %",
                                       "phosphoric acid 75 %",
                                       "potassium bicarbonate",
                                       "iron DTPA 11 %",
                                       "manganese sulfate monohydrate",
                                       "boric acid",
                                       "zinc sulfate heptahydrate",
                                       "copper sulfate pentahydrate",
                                       "sodium molybdate dihydrate",
                                       "calcium chloride dihydrate",
                                       "potassium chloride",
                                       "urea"};
enum { PRODUCT_COUNT = sizeof PRODUCTS / sizeof PRODUCTS[0] };

typedef struct scene {
    sw_waters *water;
    sw_target *target;
    sw_shelf *shelf;
    sw_content per_l[2];
    sw_problem problem;
} scene;

static FILE *open_text(char *text, size_t length)
{
    FILE *stream = fmemopen(text, length, "r");
    REQUIRE(stream);
    return stream;
}

/* Read, or refused in words: then there is no scene. */
static bool is_read(sw_status status, const sw_error *error)
{
    REQUIRE(status == SW_OK || error->message[0]);
    return status == SW_OK;
}

static bool make_water(source *s, scene *to)
{
    char text[1024];
    sw_error error;
    size_t n = (size_t)snprintf(text, sizeof text,
                                "parameter,value,unit\n"
                                "alkalinity,%.6g,mg/L CaCO3\n",
                                amount(s, 150));
    for (size_t i = 0; i < USUAL_COUNT; i++)
        if (i < 8 || choose(s, 3) == 1)
            n += (size_t)snprintf(text + n, sizeof text - n, "%s,%.6g,mg/L\n",
                                  USUAL[i].name, amount(s, USUAL[i].water));
    if (choose(s, 4))
        n += (size_t)snprintf(text + n, sizeof text - n, "pH,%.2f,\n",
                              6 + choose(s, 32) / 12.0);
    FILE *stream = open_text(text, n);
    bool read =
        is_read(sw_waters_read(stream, "w", &to->water, &error), &error);
    fclose(stream);
    return read;
}

/* Target, and now and then a limit a little off it. */
static size_t put_row(source *s, char *text, size_t room, const char *name,
                      double target)
{
    static const char *const shapes[] = {"%s,%.6g,,,\n", "%s,%.6g,%.6g,,\n",
                                         "%s,%.6g,,%.6g,\n", "%s,,,%3$.6g,\n",
                                         "%s,%.6g,,,%3$.6g\n"};
    unsigned shape = choose(s, 8);
    double off = 1 + choose(s, 32) / 64.0;
    double other = shape == 1 ? target / off : target * off;
    if (shape == 4)
        other = off * 10;
    return (size_t)snprintf(text, room, shapes[shape < 5 ? shape : 0], name,
                            target, other);
}

static bool make_target(source *s, scene *to)
{
    char text[2048];
    sw_error error;
    size_t n = (size_t)snprintf(text, sizeof text,
                                "parameter,target,min,max,weight\n");
    for (size_t i = 0; i < USUAL_COUNT; i++)
        if (choose(s, 4) < (i < 6 ? 3U : 1U))
            n += put_row(s, text + n, sizeof text - n, USUAL[i].name,
                         amount(s, USUAL[i].feed));
    unsigned more = choose(s, 8);
    if (more & 1)
        n += (size_t)snprintf(text + n, sizeof text - n, "pH,%.1f,,,\n",
                              5 + choose(s, 20) / 10.0);
    if (more & 2)
        n += (size_t)snprintf(text + n, sizeof text - n, "K:Ca,,%.3g,%.3g,\n",
                              0.5 + choose(s, 8) / 8.0,
                              1.6 + choose(s, 8) / 4.0);
    FILE *stream = open_text(text, n);
    bool read =
        is_read(sw_target_read(stream, "t", &to->target, &error), &error);
    fclose(stream);
    return read;
}

static bool make_shelf(source *s, scene *to)
{
    char text[4096];
    sw_error error;
    size_t n = (size_t)snprintf(
        text, sizeof text, "product,min,max,fixed,unit,price,price_unit\n");
    for (size_t j = 0; j < PRODUCT_COUNT; j++) {
        unsigned kind = choose(s, 10);
        double g_per_l = amount(s, 0.3);
        char limits[64] = ",,";
        if (kind == 0 && s->left)
            continue;
        if (kind == 1)
            snprintf(limits, sizeof limits, ",%.6g,", g_per_l);
        if (kind == 2)
            snprintf(limits, sizeof limits, "%.6g,,", g_per_l / 10);
        if (kind == 3)
            snprintf(limits, sizeof limits, ",,%.6g", g_per_l / 3);
        n += (size_t)snprintf(text + n, sizeof text - n, "%s,%s,g/L,%u,kg\n",
                              PRODUCTS[j], limits, 1 + choose(s, 9));
    }
    FILE *stream = open_text(text, n);
    bool read = is_read(sw_shelf_read(stream, "s", &to->shelf, &error), &error);
    fclose(stream);
    return read;
}

static bool make_scene(source *s, scene *to)
{
    sw_notes notes = {0};
    sw_error error;
    *to = (scene){.problem = sw_problem_default()};
    unsigned how = choose(s, 64);
    if (!make_water(s, to) || !make_target(s, to) || !make_shelf(s, to))
        return false;
    sw_problem *p = &to->problem;
    bool complete = is_read(sw_water_complete(to->water->items, &p->conditions,
                                              &to->per_l[0], &notes, &error),
                            &error);
    sw_notes_free(&notes);
    p->waters = to->per_l;
    p->water_count = 1;
    p->target = to->target;
    p->shelf = to->shelf;
    p->objective = (sw_objective)(how % 3);
    p->equal_share = how & 4 ? 0.02 : 0;
    p->fewest = how & 32;
    p->nearest = how & 8;
    p->no_ceilings = how & 16;
    return complete;
}

static void free_scene(scene *s)
{
    sw_waters_free(s->water);
    sw_target_free(s->target);
    sw_shelf_free(s->shelf);
}

/* ---- What must hold ------------------------------------------------------*/

static bool is_near(double a, double b, double relative)
{
    return fabs(a - b) <= relative * (1 + fabs(a) + fabs(b));
}

/* A refusal is one of the problem, and in words. */
static bool is_solved(sw_status status, const sw_error *error)
{
    REQUIRE(status == SW_OK ||
            (error->message[0] &&
             (status == SW_ERR_VALUE || status == SW_ERR_MISSING)));
    return status == SW_OK;
}

/* Added up again, and no product beyond its own limits. */
static void check_recipe(const scene *s, const sw_solution *solution,
                         const sw_content *finished)
{
    sw_content all = solution->water;
    for (size_t j = 0; j < solution->recipe.count; j++) {
        const sw_product *p = &s->shelf->products[j];
        double g = solution->recipe.g_per_l[j];
        REQUIRE(g >= 0 && isfinite(g));
        REQUIRE(!(g < p->min_g_per_l * (1 - 1e-7) - 1e-12));
        REQUIRE(!(g > p->max_g_per_l * (1 + 1e-7) + 1e-12));
        REQUIRE(!(fabs(g - p->fixed_g_per_l) > 1e-7 * g + 1e-12));
        sw_content_add(&all, g, &p->per_g);
    }
    for (int c = 0; c < SW_CARRIED_COUNT; c++)
        REQUIRE(is_near(all.amount[c], finished->amount[c], 1e-9));
}

static void check_proof(const sw_solution *solution)
{
    if (solution->outcome != SW_OPTIMAL)
        return;
    REQUIRE(gap_is_closed(solution, 1e-9));
    REQUIRE(solution->certificate.kkt_residual <= 1e-9);
}

/* A verdict says on which side of its accepted range an amount is; the water's
 * own iron, which air turns to rust, does not count. */
static void check_verdicts(const sw_assessment *assessment)
{
    for (size_t i = 0; i < sw_row_count(assessment); i++) {
        sw_row row = sw_row_at(assessment, i);
        if (row.kind == SW_TARGET_COMPONENT && row.component == SW_FE)
            row.finished = assessment->finished.amount[SW_FE];
        double room = 2e-6 * fabs(row.finished) + 1e-9;
        if (row.verdict == SW_MET)
            REQUIRE(!(row.finished < row.low - room) &&
                    !(row.finished > row.high + room));
        if (row.verdict == SW_SHORT)
            REQUIRE(row.finished < row.low + room);
        if (row.verdict == SW_OVER)
            REQUIRE(row.finished > row.high - room);
        REQUIRE(isfinite(row.finished) || row.kind != SW_TARGET_COMPONENT);
    }
}

static sw_mix mix_of(const scene *s, const sw_solution *solution)
{
    return (sw_mix){.water = &solution->water,
                    .target = s->target,
                    .shelf = s->shelf,
                    .recipe = &solution->recipe,
                    .conditions = s->problem.conditions,
                    .brief = true};
}

static void check_solution(const scene *s, const sw_solution *solution)
{
    sw_assessment *assessment;
    sw_error error;
    check_proof(solution);
    if (!solution->recipe.count) {
        REQUIRE(solution->outcome != SW_OPTIMAL);
        REQUIRE(solution->limit_count > 0 || solution->notes.count > 0);
        return;
    }
    sw_mix mix = mix_of(s, solution);
    if (sw_assess(&mix, &assessment, &error)) {
        REQUIRE(error.message[0]);
        return;
    }
    check_recipe(s, solution, &assessment->finished);
    check_verdicts(assessment);
    sw_assessment_free(assessment);
}

/* Rows and products the other way round: the same problem. */
static void check_order(sw_solver *solver, scene *s, const sw_solution *first)
{
    sw_target target = *s->target;
    sw_shelf shelf = *s->shelf;
    sw_problem problem = s->problem;
    sw_solution *second;
    sw_error error;
    REQUIRE((target.rows = calloc(target.count + 1, sizeof *target.rows)));
    REQUIRE((shelf.products = calloc(shelf.count + 1, sizeof *shelf.products)));
    for (size_t i = 0; i < target.count; i++)
        target.rows[i] = s->target->rows[target.count - 1 - i];
    for (size_t j = 0; j < shelf.count; j++)
        shelf.products[j] = s->shelf->products[shelf.count - 1 - j];
    problem.target = &target;
    problem.shelf = &shelf;
    if (is_solved(sw_formulate(solver, &problem, &second, &error), &error)) {
        if (first->outcome == SW_OPTIMAL && second->outcome == SW_OPTIMAL)
            REQUIRE(is_near(first->certificate.objective,
                            second->certificate.objective, 1e-5));
        else
            REQUIRE(first->outcome == second->outcome ||
                    first->outcome == SW_LIMIT || second->outcome == SW_LIMIT);
        sw_solution_free(second);
    }
    free(target.rows);
    free(shelf.products);
}

/* What the heads deliver is the water and the recipe. */
static void check_tanks(sw_solver *solver, const scene *s,
                        const sw_solution *solution, unsigned factor)
{
    sw_stock_setup setup = sw_stock_setup_default(200);
    sw_mix mix = mix_of(s, solution);
    sw_stock *stock;
    sw_error error;
    setup.factor = 20 + 20 * factor;
    if (sw_stock_plan(solver, &mix, &setup, &stock, &error)) {
        REQUIRE(error.message[0]);
        return;
    }
    REQUIRE(stock->outcome == SW_OPTIMAL || stock->limit[0]);
    if (stock->outcome == SW_OPTIMAL) {
        sw_content all = solution->water;
        sw_content_add_recipe(&all, 1, s->shelf, &solution->recipe);
        for (int c = 0; c < SW_CARRIED_COUNT; c++)
            REQUIRE(is_near(all.amount[c], stock->finished.amount[c], 1e-6));
    }
    sw_stock_free(stock);
}

static void check_steps(sw_solver *solver, const scene *s,
                        const sw_solution *solution)
{
    const sw_scale scale = {
        .volume_l = 1000, .step_g = 10, .micro_step_g = 0.1, .seconds = 0.05};
    sw_weighed *weighed;
    sw_error error;
    if (!is_solved(
            sw_weigh(solver, &s->problem, solution, &scale, &weighed, &error),
            &error))
        return;
    for (size_t j = 0; j < weighed->recipe.count; j++) {
        const sw_product *p = &s->shelf->products[j];
        double g = weighed->recipe.g_per_l[j] * scale.volume_l;
        double steps = g / weighed->items[j].step_g;
        REQUIRE(g >= 0 && fabs(steps - round(steps)) <= 1e-6 * (1 + steps));
        REQUIRE(!(g > p->max_g_per_l * scale.volume_l * (1 + 1e-7) + 1e-9));
    }
    sw_weighed_free(weighed);
}

/* Its shares are shares, and the best of them is a solution as any. */
static void check_blend(sw_solver *solver, scene *s)
{
    sw_problem problem = s->problem;
    sw_blend *blend;
    sw_error error;
    problem.water_count = 2; /* the second is pure */
    if (!is_solved(sw_blend_find(solver, &problem, &blend, &error), &error))
        return;
    check_proof(blend->best);
    for (size_t i = 0; blend->best->fractions && i < 2; i++)
        REQUIRE(blend->best->fractions[i] >= -1e-9 &&
                blend->best->fractions[i] <= 1 + 1e-9);
    sw_blend_free(blend);
}

/* Half of a returning solution, filled up with pure water. */
static void check_renewal(sw_solver *solver, scene *s)
{
    sw_problem problem = s->problem;
    sw_renewal *renewal;
    sw_error error;
    problem.water_count = 2;
    problem.objective = SW_CLOSEST;
    if (!is_solved(sw_renew(solver, &problem, 0.5, &renewal, &error), &error))
        return;
    REQUIRE(renewal->outcome != SW_OPTIMAL ||
            (renewal->kept >= -1e-9 && renewal->kept <= 0.5 + 1e-9));
    sw_renewal_free(renewal);
}

static void run(sw_solver *solver, scene *s, unsigned more, unsigned factor)
{
    sw_solution *solution;
    sw_error error;
    if (!is_solved(sw_formulate(solver, &s->problem, &solution, &error),
                   &error))
        return;
    check_solution(s, solution);
    if (more & 1)
        check_order(solver, s, solution);
    if (solution->recipe.count && more % 8 == 2)
        check_tanks(solver, s, solution, factor);
    if (solution->recipe.count && more % 8 == 4 &&
        s->problem.objective == SW_CLOSEST)
        check_steps(solver, s, solution);
    if (more % 8 == 6)
        check_blend(solver, s);
    if (more % 16 == 8)
        check_renewal(solver, s);
    sw_solution_free(solution);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static sw_solver *solver; /* one for all, as a program has it */
    source bytes = {data, size};
    scene s;
    sw_error error;
    if (!solver)
        REQUIRE(sw_solver_new(&solver, &error) == SW_OK);
    unsigned more = choose(&bytes, 16);
    unsigned factor = choose(&bytes, 10);
    if (make_scene(&bytes, &s))
        run(solver, &s, more, factor);
    free_scene(&s);
    return 0;
}
