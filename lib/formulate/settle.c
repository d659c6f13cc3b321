/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Acids and bases are products like any other, but never together: a problem
 * is solved with either, and the better recipe taken.  Each solve has the pH
 * as rows and terms that are linear at the activities of a guess; solved again
 * at each solution found until nothing moves.  Method: reference/methods.md,
 * Formulate.
 */
#include "formulate/settle.h"

#include "chemistry/equilibrate.h"
#include "quantity/notes.h"
#include "quantity/ties.h"

#include <math.h>
#include <string.h>

/* The pH has settled when its lines say the same to this: 1e-6 of pH in the
 * weakest of solutions. */
static const double settled_meq_per_l = 1e-10, nearly = 1e-3;
enum { MOST_ROUNDS = 40, UNDAMPED_ROUNDS = 15 };

/* Limits on a pH missed by amounts this near are missed alike. */
static const double same_meq_per_l = 1e-6;

typedef struct sw_settling {
    sw_solver *solver;
    const sw_problem *problem;
    sw_attempt *a;
    sw_form bounds; /* of the model; reaching for a pH holds some of them */
    bool widened;   /* to all levers */
    sw_error *error;
} sw_settling;

void sw_fit_model(sw_solver *solver, const sw_model *model, sw_fit *fit)
{
    int rounds = fit->lp_rounds;
    *fit = (sw_fit){.outcome = SW_LIMIT};
    switch (model->problem->objective) {
    case SW_CLOSEST:
        sw_fit_closest(solver, model, fit);
        break;
    case SW_EVEN:
        sw_fit_even(solver, model, fit);
        break;
    case SW_CHEAPEST:
        sw_fit_cheapest(solver, model, fit);
        break;
    }
    fit->lp_rounds += rounds;
}

/* ---- The rounds --------------------------------------------------------- */

static void copy_bounds(const sw_form *from, sw_form *to)
{
    size_t columns = from->columns * sizeof(double);
    size_t rows = from->rows * sizeof(double);
    memcpy(to->low, from->low, columns);
    memcpy(to->high, from->high, columns);
    memcpy(to->row_low, from->row_low, rows);
    memcpy(to->row_high, from->row_high, rows);
}

/* Where salts and all do not keep a pH that acids and buffers could. */
static void fit_by_buffers(sw_settling *s, const double *y)
{
    double moved;
    s->a->model.levers = SW_LEVERS_BUFFERS;
    if (sw_model_set_ph(&s->a->model, y, &moved, NULL) == SW_OK)
        sw_fit_model(s->solver, &s->a->model, &s->a->fit);
}

static void fit_in_reach(sw_settling *s, const double *y)
{
    sw_attempt *a = s->a;
    a->reached = (sw_reached){0};
    sw_fit_model(s->solver, &a->model, &a->fit);
    if (a->fit.outcome == SW_CONFLICT && a->model.levers == SW_LEVERS_ALL)
        fit_by_buffers(s, y);
    if (a->fit.outcome == SW_CONFLICT &&
        sw_model_reach_ph(s->solver, &a->model, y, &a->reached))
        sw_fit_model(s->solver, &a->model, &a->fit);
}

/* From the guess to the solution found, or half the way where the full steps
 * go round in circles. */
static void step(const sw_settling *s, int round, double *y)
{
    double share = round < UNDAMPED_ROUNDS ? 1 : 0.5;
    for (size_t j = 0; j < s->bounds.columns; j++)
        y[j] += share * (s->a->fit.point.y[j] - y[j]);
}

/* Once the pH can be had and next to nothing moves, salts count too. */
static sw_status widen(sw_settling *s, const double *y, double *moved)
{
    sw_model *model = &s->a->model;
    if (s->widened || model->levers != SW_LEVERS_BUFFERS || !(*moved <= nearly))
        return SW_OK;
    s->widened = true;
    model->levers = SW_LEVERS_ALL;
    sw_status status = sw_model_set_ph(model, y, moved, s->error);
    *moved = INFINITY;
    return status;
}

/* From the guess `y` until the lines on the pH say the same again. */
static sw_status settle(sw_settling *s, double *y)
{
    sw_attempt *a = s->a;
    for (int round = 0; round < MOST_ROUNDS; round++) {
        double moved = 0;
        copy_bounds(&s->bounds, &a->model.form);
        sw_status status = sw_model_set_ph(&a->model, y, &moved, s->error);
        if (status == SW_OK)
            status = widen(s, y, &moved);
        if (status != SW_OK || (moved <= settled_meq_per_l && round > 0))
            return status;
        fit_in_reach(s, y);
        if (!a->fit.has_point || a->fit.outcome == SW_CONFLICT)
            return SW_OK;
        step(s, round, y);
    }
    a->fit.outcome = SW_LIMIT;
    return sw_notes_add(&a->model.notes, SW_WARNING, "ph-unsettled",
                        "The activities behind the pH did not settle: the "
                        "finished pH may differ from the one solved for.");
}

/* ---- One setting -------------------------------------------------------- */

static sw_status build(sw_settling *s, const sw_setting *common,
                       sw_allowed allowed)
{
    sw_attempt *a = s->a;
    a->setting = *common;
    a->setting.shut =
        sw_take(s->solver, s->problem->shelf->count, sizeof(sw_left_out));
    sw_setting_allow(&a->setting, s->problem, allowed);
    return sw_model_build(s->solver, s->problem, &a->setting, &a->model,
                          s->error);
}

/* The recipe without acid or base and with no regard to the pH; where there is
 * none, the water. */
static double *guess(sw_settling *s)
{
    sw_attempt *a = s->a;
    sw_form *form = &a->model.form;
    double *y = sw_take_numbers(s->solver, form->columns);
    for (size_t j = 0; j < a->model.products; j++) {
        sw_ph_role role = a->setting.role[a->model.shelf_index[j]];
        if (role == SW_PH_ACID || role == SW_PH_BASE)
            form->high[j] = form->low[j];
    }
    sw_fit_model(s->solver, &a->model, &a->fit);
    copy_bounds(&s->bounds, form);
    memcpy(y, a->fit.has_point ? a->fit.point.y : form->low,
           form->columns * sizeof *y);
    if (!a->fit.has_point && a->model.blends)
        y[a->model.products] = 1;
    return y;
}

/* A brine beyond the chemistry has no pH to speak of: what was found without
 * one stands. */
static sw_status forgive(sw_status status, sw_error *error)
{
    if (status != SW_ERR_VALUE && status != SW_ERR_NUMERIC)
        return status;
    if (error)
        memset(error, 0, sizeof *error);
    return SW_OK;
}

static sw_status run(sw_settling *s)
{
    sw_attempt *a = s->a;
    a->ionic_strength = NAN;
    if (!sw_model_has_ph(&a->model)) {
        sw_fit_model(s->solver, &a->model, &a->fit);
        return SW_OK;
    }
    s->bounds = sw_form_wider(s->solver, &a->model.form, 0, 0);
    return forgive(settle(s, guess(s)), s->error);
}

/* ---- The best of them --------------------------------------------------- */

static int rank_of(const sw_attempt *a)
{
    if (a->fit.outcome == SW_CONFLICT)
        return 2;
    return a->fit.has_point ? 0 : 1;
}

static bool is_better(const sw_attempt *a, const sw_attempt *than)
{
    double miss = a->reached.miss_meq_per_l - than->reached.miss_meq_per_l;
    if (rank_of(a) != rank_of(than))
        return rank_of(a) < rank_of(than);
    if (fabs(miss) > same_meq_per_l)
        return miss < 0;
    return sw_is_less(a->fit.objective, than->fit.objective, SW_SUMMED);
}

size_t sw_settings_list(const sw_problem *problem, sw_setting *common,
                        sw_allowed *list)
{
    size_t count = 0;
    bool own = !common->has_acid && !common->has_base;
    for (int agent = SW_ACIDS; agent <= SW_BASES; agent++) {
        sw_setting_allow(common, problem, (sw_allowed)agent);
        if (agent == SW_ACIDS ? common->has_acid : common->has_base) {
            own = own || common->own_limit;
            list[++count] = (sw_allowed)agent;
        }
    }
    sw_setting_allow(common, problem, SW_NO_AGENT);
    list[0] = SW_NO_AGENT;
    if (own)
        return count + 1;
    memmove(list, list + 1, count * sizeof *list);
    return count;
}

sw_status sw_settle_look(const sw_problem *problem, sw_attempt *a,
                         sw_error *error)
{
    sw_content finished;
    sw_chemistry mixed, aired;
    sw_model_content(&a->model, a->fit.point.y, &finished);
    sw_status status = sw_equilibrate_briefly(&finished, &problem->conditions,
                                              SW_CARBONATE_KEPT, &mixed, error);
    if (status == SW_OK)
        status = sw_equilibrate_briefly(&finished, &problem->conditions,
                                        SW_CARBONATE_AIRED, &aired, error);
    if (status == SW_OK && sw_model_has_ph(&a->model))
        a->ionic_strength = mixed.ionic_strength_mol_per_kg;
    for (size_t i = 0; status == SW_OK && i < a->setting.aims; i++)
        status = sw_say_ph(a, &a->setting.aim[i],
                           a->setting.aim[i].row->aired ? aired.ph : mixed.ph);
    if (status == SW_OK)
        status = sw_say_left_out(a, &finished, &a->model.notes);
    return forgive(status, error);
}

sw_status sw_settle_best(sw_solver *solver, const sw_problem *problem,
                         const sw_gave *gave,
                         sw_attempt attempts[SW_MOST_ATTEMPTS], size_t *best,
                         sw_error *error)
{
    sw_setting common;
    sw_allowed list[SW_MOST_ATTEMPTS];
    *best = 0;
    sw_status status = sw_setting_make(solver, problem, &common, error);
    common.gave = gave;
    size_t count = status ? 0 : sw_settings_list(problem, &common, list);
    for (size_t i = 0; status == SW_OK && i < count; i++) {
        sw_settling s = {.solver = solver,
                         .problem = problem,
                         .a = &attempts[i],
                         .error = error};
        status = build(&s, &common, list[i]);
        if (status == SW_OK)
            status = run(&s);
        if (status == SW_OK && is_better(&attempts[i], &attempts[*best]))
            *best = i;
    }
    sw_attempt *chosen = &attempts[*best];
    if (status != SW_OK || !chosen->fit.has_point || !chosen->setting.aims)
        return status;
    return sw_settle_look(problem, chosen, error);
}
