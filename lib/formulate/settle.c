/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Acids and bases are products like any other, but never together: a problem
 * is solved with either, and the better recipe taken.  Method:
 * reference/methods.md, Formulate.
 */
#include "formulate/settle.h"

#include "quantity/notes.h"
#include "quantity/ties.h"

#include "table_words.h"

#include <math.h>

void sw_fit_model(sw_solver *solver, const sw_model *model, sw_fit *fit)
{
    sw_order order = sw_order_of(solver, model);
    switch (sw_objective_facts_of(model->problem->objective)->kind) {
    case SW_OF_SQUARES:
        sw_fit_squares_beside(solver, &model->form, &model->terms, &order,
                              model->beside, fit);
        break;
    case SW_OF_WORST:
        sw_fit_worst(solver, &model->form, &model->terms, &order, fit);
        break;
    case SW_OF_AMOUNTS:
        sw_fit_cost(solver, &model->form, &order, fit);
        break;
    }
    /* What stopped short of a proof may not even keep the limits. */
    if (fit->outcome == SW_LIMIT && !(fit->proof.outside <= SW_KEPT))
        fit->has_point = false;
}

double sw_objective_at(sw_solver *solver, const sw_model *model,
                       const double *y)
{
    double *deviation = sw_take_numbers(solver, model->terms.count + 1);
    double most = 0, sum = model->terms.constant +
                           sw_terms_value(&model->terms, model->form.columns, y,
                                          deviation);
    for (size_t e = 0; e < model->terms.count; e++)
        most = fmax(most, fabs(deviation[e]));
    if (sw_is_of_amounts(model->problem))
        sum = sw_row_value(sw_cost_of_columns(solver, model), 0,
                           model->form.columns, y);
    return model->problem->objective == SW_EVEN ? most : sum;
}

void sw_fit_drop_residue(sw_solver *solver, const sw_model *model, sw_fit *fit)
{
    double before = fit->objective;
    if (!fit->has_point || !sw_model_drop_residue(model, fit->point.y))
        return;
    /* limits may be passed by as little; the bound from below is no higher */
    fit->objective = sw_objective_at(solver, model, fit->point.y);
    fit->proof.slack = fmax(0, fit->proof.slack + fit->objective - before);
}

/* ---- One setting -------------------------------------------------------- */

/* A problem under one setting; what is held to reach for a pH is so in a form
 * of its own. */
typedef struct sw_alone {
    sw_attempt *a;
    sw_model fitted;
    sw_rounds rounds;
} sw_alone;

static void assemble(void *context)
{
    sw_alone *alone = context;
    sw_form_put_bounds(&alone->a->model.form, &alone->fitted.form);
}

static sw_status run(sw_solver *solver, sw_attempt *a, sw_error *error)
{
    sw_model *model = &a->model;
    double *y = sw_take_numbers(solver, model->form.columns);
    sw_alone alone = {.a = a, .fitted = *model};
    alone.fitted.form = sw_form_wider(solver, &model->form, 0, 0);
    alone.fitted.form.matrix = model->form.matrix;
    alone.rounds = (sw_rounds){.solver = solver,
                               .block = {1, &model, &alone.fitted, NULL},
                               .y = &y,
                               .assemble = assemble,
                               .context = &alone};
    sw_rounds_open(&alone.rounds, model->form.columns, model->form.rows,
                   model->terms.count);
    if (model->ph_line_count > 0)
        sw_rounds_guess(&alone.rounds);
    sw_status status =
        sw_forgive_brine(sw_rounds_run(&alone.rounds, error), error);
    if (alone.rounds.fit.outcome == SW_CONFLICT) /* of what no pH is in */
        a->model.form = alone.fitted.form;
    a->fit = alone.rounds.fit;
    a->reached = alone.rounds.reached;
    a->ionic_strength = NAN;
    if (status != SW_OK || alone.rounds.settled)
        return status;
    return sw_notes_add(&a->model.notes, SW_SAY_PH_UNSETTLED);
}

/* ---- The best of them --------------------------------------------------- */

static int rank_of(const sw_attempt *a)
{
    return a->fit.outcome == SW_CONFLICT ? 2 : !a->fit.has_point;
}

static bool is_better(const sw_attempt *a, const sw_attempt *than)
{
    double miss = a->reached.miss_meq_per_l - than->reached.miss_meq_per_l;
    if (rank_of(a) != rank_of(than))
        return rank_of(a) < rank_of(than);
    if (fabs(miss) > SW_SAME_MEQ_PER_L)
        return miss < 0;
    return sw_is_less(a->fit.objective, than->fit.objective, SW_SUMMED);
}

sw_status sw_settle_look(sw_attempt *a, sw_error *error)
{
    sw_content finished;
    sw_seen *seen = &a->model.seen[false];
    sw_model_content(&a->model, a->fit.point.y, &finished);
    sw_status status = sw_model_see(&a->model, &finished, false, seen, error);
    for (size_t i = 0; status == SW_OK && i < a->setting.aims; i++) {
        const sw_ph_aim *aim = &a->setting.aim[i];
        seen = &a->model.seen[aim->row->aired];
        if (aim->row->aired)
            status = sw_model_see(&a->model, &finished, true, seen, error);
        if (status == SW_OK)
            status = sw_say_ph(a, aim, seen->at.ph);
    }
    if (status == SW_OK && a->model.ph_line_count > 0)
        a->ionic_strength = seen->at.ionic_strength;
    if (status == SW_OK)
        status = sw_say_left_out(a, &finished, &a->model.notes);
    return sw_forgive_brine(status, error);
}

sw_status sw_settle_best(sw_solver *solver, const sw_problem *problem,
                         const sw_gave *gave,
                         sw_attempt attempts[SW_MOST_SETTINGS],
                         sw_attempt **best, sw_error *error)
{
    sw_setting none, list[SW_MOST_SETTINGS];
    *best = attempts;
    sw_status status = sw_setting_make(solver, problem, gave, &none, error);
    if (status == SW_OK && sw_is_undetermined(&none, problem)) {
        attempts[0].fit.outcome = SW_UNDETERMINED;
        return SW_OK;
    }
    size_t count = status ? 0 : sw_settings_list(solver, &none, problem, list);
    for (size_t i = 0; status == SW_OK && i < count; i++) {
        sw_attempt *a = &attempts[i];
        a->setting = list[i];
        status = sw_model_build(solver, problem, &a->setting, &a->model, error);
        if (status == SW_OK)
            status = run(solver, a, error);
        if (status == SW_OK && is_better(a, *best))
            *best = a;
    }
    if (status != SW_OK || !(*best)->fit.has_point || !(*best)->setting.aims)
        return status;
    return sw_settle_look(*best, error);
}
