/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Each solve has the pH as rows and terms that are linear around a guess;
 * solved again at each solution found until nothing moves (sequential
 * programming).  A pH out of reach is a linear program: the least sum of
 * meq/L by which the waters miss their limits; what has a price there is held
 * where it stands.  Method: reference/methods.md, Formulate.
 */
#include "formulate/settle.h"

#include "formulate/ease.h"

#include <math.h>
#include <string.h>

/* The pH has settled when its lines say the same to this: 1e-6 of pH in the
 * weakest of solutions.  Salts count when next to nothing moves.  After a
 * short step from lines that will move less than `last`, at the rate at which
 * they come to rest, no other look is needed. */
static const double settled_meq_per_l = 1e-10, nearly_meq_per_l = 1e-3,
                    last_meq_per_l = 1e-12, short_step = 1e-7;
/* What its place adds to a product's cost: first, times what then, enough. */
static const double first_place = 2.5e-4, more_place = 4, enough_place = 10;
enum {
    MOST_ROUNDS = 120,
    UNDAMPED_ROUNDS = 15,
    TELLING_ROUNDS = 3,
    MOST_TURNS = 4
};

/* ---- One solve ---------------------------------------------------------- */

/* The largest deviation is a column more, and each term two rows (even.c). */
static sw_form shape_of(const sw_model *all)
{
    bool even = all->problem->objective == SW_EVEN;
    return (sw_form){.columns = all->form.columns + even,
                     .rows = all->form.rows + 2 * even * all->terms.count};
}

static void fit_all(sw_rounds *r)
{
    sw_mark mark = sw_solver_mark(r->solver);
    const sw_model *all = r->block.all;
    sw_form shape = shape_of(all);
    sw_fit fit = {0}, kept = r->fit;
    sw_fit_model(r->solver, all, &fit);
    if (fit.has_point)
        sw_point_copy(&shape, &fit.point, &kept.point);
    r->may_stay = fit.stands.row != NULL;
    if (r->may_stay)
        sw_active_copy(&all->form, &fit.stands, &kept.stands);
    r->fit = fit;
    r->fit.point = kept.point;
    r->fit.stands = kept.stands;
    r->is_proved = !all->beside || fit.outcome == SW_OPTIMAL;
    sw_solver_release(r->solver, mark);
}

void sw_rounds_open(sw_rounds *r, size_t columns, size_t rows, size_t terms)
{
    const sw_form most = {.columns = columns + 1, .rows = rows + 2 * terms};
    r->fit.outcome = SW_LIMIT; /* where not even the first round has numbers */
    r->fit.point = sw_point_take(r->solver, &most);
    r->fit.stands = sw_active_take(r->solver, &most);
    r->held = sw_point_take(r->solver, &most);
    r->beside.y = r->fit.point.y;
    r->beside.way = sw_take_numbers(r->solver, most.columns);
}

static bool has_ph(const sw_rounds *r)
{
    for (size_t i = 0; i < r->block.count; i++)
        if (r->block.model[i]->ph_line_count > 0)
            return true;
    return false;
}

static sw_status set_ph(sw_rounds *r, sw_levers levers, double *moved,
                        sw_error *error)
{
    sw_status status = SW_OK;
    *moved = 0;
    for (size_t i = 0; i < r->block.count && status == SW_OK; i++) {
        double by;
        r->block.model[i]->levers = levers;
        status = sw_model_set_ph(r->block.model[i], r->y[i], &by, error);
        *moved = fmax(*moved, by);
    }
    return status;
}

void sw_rounds_guess(sw_rounds *r)
{
    r->assemble(r->context);
    sw_form *form = &r->block.all->form;
    for (size_t j = 0; j < r->block.all->products; j++)
        if (sw_model_is_agent(r->block.all, j))
            form->high[j] = form->low[j];
    fit_all(r);
    r->may_stay = false; /* the guess was of another question */
    if (!r->fit.has_point) {
        memcpy(r->fit.point.y, form->low, form->columns * sizeof(double));
        if (r->block.all->blends)
            r->fit.point.y[r->block.all->products] = 1;
    }
    for (size_t i = 0; i < r->block.count; i++) {
        sw_model *model = r->block.model[i];
        sw_block_part(&r->block, i, r->fit.point.y, r->y[i]);
        model->ph_asked = true; /* where all its rows are known */
        for (size_t l = 0; l < model->ph_line_count; l++)
            model->ph_asked &= model->ph_lines[l].memory.found.ph ==
                               model->ph_lines[l].memory.ph;
    }
}

/* ---- A pH out of reach -------------------------------------------------- */

/* A limit that gave way holds nothing. */
static void note_miss(sw_rounds *r, const sw_yield *yield)
{
    const sw_model *model = r->block.model[yield->water];
    size_t aim = (size_t)(yield->side->aim - model->setting->aim);
    r->held.row_price[yield->row] = 0;
    r->reached.miss_meq_per_l += yield->by;
    r->reached.is_held = true;
    if (model->ph_gave)
        *(yield->low_end ? &model->ph_gave[aim].low
                         : &model->ph_gave[aim].high) += yield->by;
}

/* Whatever else has a price stays, which leaves exactly the points that reach
 * as far.  False when no pH is what cannot be had: none counts then. */
static bool reach(sw_rounds *r)
{
    sw_solver *solver = r->solver;
    sw_mark mark = sw_solver_mark(solver);
    sw_form *form = &r->block.all->form;
    sw_active active = sw_active_take(solver, form);
    size_t count;
    sw_yield *yield = sw_yields_list(solver, &r->block, SW_YIELD_PH, &count);
    bool found = isfinite(
        sw_yields_least(solver, form, yield, count, &r->held, &active));
    for (size_t i = 0; i < count; i++) {
        if (!found || yield[i].by > 0)
            sw_yield_let_go(form, &yield[i]);
        if (found && yield[i].by > 0)
            note_miss(r, &yield[i]);
    }
    if (found)
        sw_face_hold(form, &r->held, &active);
    r->reached.held = r->held;
    sw_solver_release(solver, mark);
    return found;
}

static sw_status fit_in_reach(sw_rounds *r, bool on_the_way, sw_levers *levers,
                              sw_error *error)
{
    double moved;
    sw_status status = SW_OK;
    r->reached = (sw_reached){0};
    r->assemble(r->context);
    r->is_proved =
        !on_the_way || !r->may_stay ||
        !sw_squares_stay(r->solver, &r->block.all->form, &r->block.all->terms,
                         &r->fit.stands, &r->fit.point);
    if (!r->is_proved)
        return SW_OK;
    fit_all(r);
    if (r->fit.outcome == SW_CONFLICT && *levers == SW_LEVERS_ALL) {
        *levers = SW_LEVERS_BUFFERS;
        status = set_ph(r, *levers, &moved, error);
        r->assemble(r->context);
        if (status == SW_OK)
            fit_all(r);
    }
    if (status != SW_OK || r->fit.outcome != SW_CONFLICT || !has_ph(r))
        return status;
    *levers = SW_LEVERS_AGENTS; /* and from then on */
    status = set_ph(r, *levers, &moved, error);
    r->assemble(r->context);
    if (status == SW_OK && reach(r))
        fit_all(r);
    r->may_stay = false;
    return status;
}

/* ---- The rounds --------------------------------------------------------- */

/* From the guess to the solution found, or half the way where the full steps
 * go round in circles; answers by how much at most. */
static double step(sw_rounds *r, int round)
{
    double most = 0;
    size_t columns = r->block.model[0]->form.columns;
    double share = round < UNDAMPED_ROUNDS || r->block.all->beside ? 1 : 0.5;
    sw_mark mark = sw_solver_mark(r->solver);
    double *found = sw_take_numbers(r->solver, columns);
    for (size_t i = 0; i < r->block.count; i++) {
        sw_block_part(&r->block, i, r->fit.point.y, found);
        for (size_t j = 0; j < columns; j++) {
            double by = share * (found[j] - r->y[i][j]);
            r->y[i][j] += by;
            most = fmax(most, fabs(by));
        }
    }
    sw_solver_release(r->solver, mark);
    return most;
}

static bool is_hopeless(const sw_rounds *r, int round)
{
    return !r->fit.has_point || r->fit.outcome == SW_CONFLICT ||
           (r->keeps && round >= TELLING_ROUNDS &&
            r->reached.miss_meq_per_l > SW_SAME_MEQ_PER_L);
}

/* Recipes may go round in circles, each the closer at the activities of
 * another: the closest lies between. */
static void keep_ways_short(sw_rounds *r, sw_levers levers, int since)
{
    sw_model *all = r->block.all;
    bool circles = levers == SW_LEVERS_ALL && since >= UNDAMPED_ROUNDS &&
                   all->problem->objective == SW_CLOSEST;
    all->beside = circles ? &r->beside : NULL;
    r->beside.weight = circles ? r->beside.weight : 0;
}

/* How the rounds stand. */
typedef struct sw_way {
    sw_levers levers;
    bool widened;     /* to all that salts do, which is done once */
    int round, since; /* in all, and with these levers */
    int turns;        /* ends that were none */
    double moved;     /* meq/L that the last refresh did */
} sw_way;

/* Refreshes the rows; what salts do counts once little moves, and no longer
 * where that has no end.  They say the same again, or will at the rate at which
 * they come to rest. */
static sw_status look(sw_rounds *r, sw_way *way, bool *still, bool *rests,
                      sw_error *error)
{
    double unseen, before = way->moved;
    int most = (r->block.all->beside ? 4 : 2) * UNDAMPED_ROUNDS;
    if (way->levers == SW_LEVERS_ALL && way->since >= most) {
        way->levers = SW_LEVERS_BUFFERS;
        way->since = 0;
    }
    sw_status status = set_ph(r, way->levers, &way->moved, error);
    *still = way->moved <= settled_meq_per_l && way->since > 0;
    *rests = way->levers == SW_LEVERS_ALL &&
             way->moved * way->moved <= last_meq_per_l * before;
    if (status != SW_OK || way->widened || way->round == 0 ||
        way->levers != SW_LEVERS_BUFFERS || way->moved > nearly_meq_per_l)
        return status;
    way->widened = true;
    way->levers = SW_LEVERS_ALL;
    way->since = 0;
    *still = false;
    return set_ph(r, way->levers, &unseen, error);
}

/* Of recipes as close each may be the cheaper at the activities of the other:
 * after MOST_TURNS ends, or as many rounds without one, places part their
 * costs, by no more than it takes. */
static void part_costs(sw_model *all, sw_way *way, bool arrived)
{
    way->turns += arrived;
    bool parts = arrived && way->turns >= MOST_TURNS;
    if (!parts && (way->since < 2 * UNDAMPED_ROUNDS || all->beside))
        return;
    double more = fmax(first_place, more_place * all->by_place);
    all->by_place = fmin(enough_place, more);
    way->since = parts ? 0 : way->since;
}

static sw_status run(sw_rounds *r, sw_error *error)
{
    sw_way way = {.levers = SW_LEVERS_BUFFERS, .moved = INFINITY};
    r->block.all->by_place = 0;
    for (; way.round < MOST_ROUNDS; way.round++, way.since++) {
        bool still, rests;
        sw_status status = look(r, &way, &still, &rests, error);
        if (status != SW_OK || (still && r->is_proved))
            return status;
        sw_levers before = way.levers;
        keep_ways_short(r, way.levers, way.since);
        bool on_the_way = !still && !rests && way.since < UNDAMPED_ROUNDS;
        status = fit_in_reach(r, on_the_way, &way.levers, error);
        if (status != SW_OK || is_hopeless(r, way.round))
            return status;
        way.since = way.levers == before ? way.since : 0;
        bool stays = step(r, way.since) <= short_step;
        bool arrived = (still || rests) && way.since > 0 && r->is_proved;
        if ((arrived && stays) || !has_ph(r))
            return SW_OK;
        part_costs(r->block.all, &way, arrived);
    }
    r->fit.outcome = SW_LIMIT;
    r->settled = false;
    return SW_OK;
}

sw_status sw_rounds_run(sw_rounds *r, sw_error *error)
{
    r->settled = true;
    r->reached = (sw_reached){0};
    sw_status status = run(r, error);
    r->block.all->beside = NULL;
    double moved;
    if (status == SW_OK && r->reached.is_held) /* the rows it was proved with */
        status = set_ph(r, SW_LEVERS_AGENTS, &moved, error);
    return status;
}

sw_status sw_forgive_brine(sw_status status, sw_error *error)
{
    if (status != SW_ERR_VALUE && status != SW_ERR_NUMERIC)
        return status;
    if (error)
        memset(error, 0, sizeof *error);
    return SW_OK;
}
