/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Which ratios of a target are sought.  One that is no limit is a wish beside
 * the amounts: all are sought at first, and that stands where none of them
 * holds the recipe back.  Else the recipe is judged beside the one in which
 * nothing is sought for any; where more is missed for all of them, each that
 * is missed is tried alone.
 */
#include "decide/ratios.h"

#include "assess/verdict.h"
#include "decide/variant.h"
#include "quantity/notes.h"
#include "quantity/status.h"
#include "quantity/text.h"

#include "table_words.h"

#include <math.h>
#include <string.h>

typedef struct search {
    sw_solver *solver;
    const sw_problem *problem;
    sw_variant variant;   /* its ratios are sought but for those of weight 0 */
    sw_problem taken;     /* the problem whose solution is `best` */
    sw_solution *best;    /* so far */
    sw_assessment *asked; /* of what nothing is sought in */
    size_t eased;         /* limits that give way in it */
    bool misses_ph;       /* it does */
    sw_error *error;
} search;

/* Not of ratios that the water alone breaks: that costs nothing else. */
static size_t count_eased(const sw_notes *notes)
{
    size_t count = 0;
    for (size_t i = 0; i < notes->count; i++)
        count += !strcmp(notes->items[i].code, "limit-gave-way");
    return count;
}

static void take(search *s, const sw_problem *of, sw_solution *solution)
{
    sw_solution_free(s->best);
    s->taken = *of;
    s->best = solution;
}

/* ---- What nothing is missed for ------------------------------------------ */

/* No accepted range of a ratio is the reason for anything. */
static sw_status look(sw_solver *solver, const sw_model *model,
                      const sw_fit *fit, void *context)
{
    (void)solver;
    bool *free = context;
    const sw_gave *gave = model->setting->gave;
    *free = fit->outcome == SW_OPTIMAL;
    for (size_t s = 0; s < model->side_count && *free; s++)
        *free = model->sides[s].kind != SW_SIDE_RATIO ||
                model->sides[s].origin != SW_BY_RANGE ||
                !sw_side_binds(&model->sides[s], &fit->point);
    for (size_t i = 0; i < model->problem->target->count; i++)
        *free = *free && isnan(gave[i].min) && isnan(gave[i].max);
    return SW_OK;
}

static sw_status seek_all(search *s, sw_solution **sought, bool *free)
{
    const sw_onlooker onlooker = {look, free};
    *free = false;
    sw_status status =
        sw_formulate_once(s->solver, s->problem, &onlooker, sought, s->error);
    *free = *free && status == SW_OK && !(*sought)->misses_ph;
    return status;
}

/* ---- What is missed ------------------------------------------------------ */

static sw_status judge(const search *s, const sw_solution *solution,
                       sw_assessment **assessment)
{
    sw_mix mix = {.water = &solution->water,
                  .target = s->problem->target,
                  .shelf = s->problem->shelf,
                  .recipe = &solution->recipe,
                  .conditions = s->problem->conditions,
                  .brief = true};
    mix.conditions.start = solution->start;
    *assessment = NULL;
    if (solution->recipe.count == 0)
        return SW_OK;
    return sw_of_trial(sw_assess(&mix, assessment, NULL));
}

/* With nothing sought: the best so far. */
static sw_status ask(search *s)
{
    sw_problem judged = *s->problem;
    sw_solution *solution;
    judged.ratios_judged = true;
    sw_status status =
        sw_formulate_once(s->solver, &judged, NULL, &solution, s->error);
    if (status != SW_OK)
        return status;
    take(s, &judged, solution);
    s->misses_ph = solution->misses_ph;
    s->eased = count_eased(&solution->notes);
    return judge(s, solution, &s->asked);
}

/* Takes `sought`, or frees it.  What no chemistry has an answer for costs too
 * much. */
static sw_status weigh_up(search *s, const sw_problem *of, sw_solution *sought,
                          bool *good)
{
    sw_assessment *is = NULL;
    sw_status status = s->asked ? judge(s, sought, &is) : SW_OK;
    *good = is && sought->outcome == SW_OPTIMAL &&
            sw_is_as_good(s->asked, is) && sought->misses_ph <= s->misses_ph &&
            count_eased(&sought->notes) <= s->eased;
    sw_assessment_free(is);
    if (*good)
        take(s, of, sought);
    else
        sw_solution_free(sought);
    return status;
}

static bool is_missed(const search *s, const sw_target_row *row)
{
    for (size_t m = 0; m < s->asked->measure_count; m++)
        if (sw_seeks_ratio(s->problem, row) &&
            !strcmp(s->asked->measures[m].name, row->name) &&
            sw_is_missed(s->asked->measures[m].verdict))
            return true;
    return false;
}

/* ---- One by one ---------------------------------------------------------- */

/* Beside those that are met, and those found to cost nothing. */
static sw_status try_each(search *s)
{
    sw_status status = SW_OK;
    const sw_target *target = s->problem->target;
    for (size_t i = 0; i < target->count && status == SW_OK; i++) {
        sw_target_row *row = &s->variant.target.rows[i];
        sw_solution *sought;
        bool good = false;
        if (!is_missed(s, &target->rows[i]))
            continue;
        row->weight = target->rows[i].weight;
        status = sw_formulate_once(s->solver, &s->variant.problem, NULL,
                                   &sought, s->error);
        if (status == SW_OK)
            status = weigh_up(s, &s->variant.problem, sought, &good);
        row->weight = good ? row->weight : 0;
    }
    return status;
}

static size_t leave_out(search *s)
{
    size_t missed = 0;
    for (size_t i = 0; i < s->problem->target->count; i++)
        if (is_missed(s, &s->problem->target->rows[i])) {
            s->variant.target.rows[i].weight = 0;
            missed++;
        }
    return missed;
}

static sw_status say_left_out(search *s)
{
    char names[200] = "";
    size_t count = 0;
    for (size_t i = 0; i < s->problem->target->count; i++) {
        const sw_target_row *row = &s->problem->target->rows[i];
        if (!is_missed(s, row) || s->variant.target.rows[i].weight > 0)
            continue;
        sw_text_list(names, sizeof names, row->name);
        count++;
    }
    return count ? sw_notes_add(&s->best->notes, SW_SAY_RATIO_NOT_SOUGHT, names,
                                count > 1 ? "them" : "it")
                 : SW_OK;
}

/* Of those that are missed where none is sought; one alone was tried. */
static sw_status seek_each(search *s)
{
    sw_status status = sw_variant_make(s->problem, &s->variant, s->error);
    if (status == SW_OK && leave_out(s) > 1)
        status = try_each(s);
    s->best->ratios_judged = true;
    return status == SW_OK ? say_left_out(s) : status;
}

/* ---- All of it ----------------------------------------------------------- */

static sw_status seek(search *s)
{
    sw_solution *sought;
    bool free, good = false;
    sw_status status = seek_all(s, &sought, &free);
    if (status != SW_OK)
        return status;
    if (free) {
        take(s, s->problem, sought);
        return SW_OK;
    }
    status = ask(s);
    if (status != SW_OK) {
        sw_solution_free(sought);
        return status;
    }
    status = weigh_up(s, s->problem, sought, &good);
    return status == SW_OK && s->asked && !good ? seek_each(s) : status;
}

static sw_status seek_before(sw_solver *solver, const sw_problem *problem,
                             const sw_onlooker *onlooker,
                             sw_solution **solution, sw_error *error)
{
    search s = {.solver = solver, .problem = problem, .error = error};
    sw_solution *seen = NULL;
    sw_status status = seek(&s);
    if (status == SW_OK && onlooker)
        status = sw_formulate_once(solver, &s.taken, onlooker, &seen, error);
    if (status == SW_ERR_MEMORY)
        sw_fail_memory(error);
    sw_solution_free(seen);
    sw_variant_free(&s.variant);
    sw_assessment_free(s.asked);
    SW_GIVE(status, solution, s.best, sw_solution_free);
}

sw_status sw_formulate_before(sw_solver *solver, const sw_problem *problem,
                              const sw_onlooker *onlooker,
                              sw_solution **solution, sw_error *error)
{
    *solution = NULL;
    sw_status status = sw_model_check(problem, error);
    if (status != SW_OK)
        return status;
    for (size_t i = 0; i < problem->target->count; i++)
        if (sw_seeks_ratio(problem, &problem->target->rows[i]))
            return seek_before(solver, problem, onlooker, solution, error);
    return sw_formulate_once(solver, problem, onlooker, solution, error);
}

sw_status sw_formulate(sw_solver *solver, const sw_problem *problem,
                       sw_solution **solution, sw_error *error)
{
    SW_REQUIRE_FOR(solution, error, solver, sw_whole_problem(problem));
    return sw_formulate_before(solver, problem, NULL, solution, error);
}
