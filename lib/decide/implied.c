/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The target a recipe implies: what it gives in water with nothing in it; and
 * which products serve it in another water.
 *
 * A straight is there for its metal: whoever corrects a recipe for hard water
 * takes the water's calcium off the calcium nitrate and its magnesium off the
 * Epsom salt, then its sulfur off whichever sulfate leaves magnesium and
 * potassium where they are, and sees to nitrogen afterwards (common practice,
 * no source).  So each outweighs by far what comes after it.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "quantity/status.h"
#include "records/targets.h"
#include "table_refusals.h"

/* Deviations count squared: S gives up a thousandth of what nitrogen does, and
 * a metal a thousandth of that.  Small, since a proof's gap is a share of what
 * is left open, which is in the lightest rows. */
static const double metal_weight = 100.0, sulfur_weight = 0.1, weight = 1e-4;
/* Of what a premix whose rate is free brings but for this, none is leading. */
static const double least_share = 0.05;
/* Na and Cl are told where they are this much: nobody wants more of them. */
static const double least_salt_mg_per_l = 10.0;
static const double least_mg_per_l = 1e-4;
/* A recipe in pure water has hardly a buffer and may be more acid than a feed
 * is kept at; what is usual then is sought (common practice, no source). */
static const double least_ph = 5.5;

/* A milligram of nitrogen counts the same in whatever form, and as a share of
 * all of it: of a form there is next to nothing of, none is too much else. */
static double share_in_nitrogen(const sw_content *per_l, sw_component c)
{
    return sw_component_is(c, SW_IS_FORM)
               ? per_l->amount[c] / per_l->amount[SW_N]
               : 1.0;
}

static double weight_of(const sw_shelf *shelf, const sw_recipe *recipe,
                        const sw_content *per_l, sw_component c)
{
    double loose = 0.0, all = 0.0;
    double share = share_in_nitrogen(per_l, c);
    for (size_t j = 0; j < recipe->count; j++) {
        const sw_product *p = &shelf->products[j];
        double part = recipe->g_per_l[j] * p->per_g.amount[c];
        all += part;
        loose += sw_is_premix(p) && isnan(p->fixed_g_per_l) ? part : 0.0;
    }
    if (sw_component_is(c, SW_IS_SALT))
        return 0.0;
    if (loose > (1.0 - least_share) * all)
        return weight * share * share;
    return c == SW_CA || c == SW_MG || c == SW_K ? metal_weight
           : c == SW_S                           ? sulfur_weight
                                                 : weight * share * share;
}

static bool add_row(sw_target *target, sw_target_kind kind, sw_component c,
                    double value, double counts)
{
    return sw_target_add(
        target, &(sw_target_row){.kind = kind,
                                 .component = c,
                                 .other = c,
                                 .name = kind == SW_TARGET_PH
                                             ? (char *)"pH"
                                             : (char *)sw_component_name(c),
                                 .target = value,
                                 .min = NAN,
                                 .max = NAN,
                                 .weight = counts});
}

static bool add_contents(sw_target *target, const sw_shelf *shelf,
                         const sw_recipe *recipe, const sw_content *per_l)
{
    for (int c = 0; c < SW_N; c++) {
        bool salt = sw_component_is((sw_component)c, SW_IS_SALT);
        double amount = per_l->amount[c];
        if (amount < (salt ? least_salt_mg_per_l : least_mg_per_l) || c == SW_F)
            continue;
        if (!add_row(target, SW_TARGET_COMPONENT, (sw_component)c, amount,
                     weight_of(shelf, recipe, per_l, (sw_component)c)))
            return false;
    }
    return !(per_l->amount[SW_N] > least_mg_per_l) ||
           add_row(target, SW_TARGET_COMPONENT, SW_N, per_l->amount[SW_N], 0.0);
}

static sw_status add_ph(sw_target *target, const sw_content *per_l,
                        const sw_conditions *conditions, sw_error *error)
{
    sw_chemistry chemistry;
    sw_status status =
        sw_equilibrate(per_l, conditions, SW_CARBONATE_KEPT, &chemistry, error);
    if (status)
        return status;
    return add_row(target, SW_TARGET_PH, SW_NO3_N, fmax(least_ph, chemistry.ph),
                   weight)
               ? SW_OK
               : sw_fail_memory(error);
}

static sw_status fill(sw_target *target, const sw_shelf *shelf,
                      const sw_recipe *recipe, const sw_conditions *conditions,
                      sw_error *error)
{
    sw_content per_l = {{0}};
    sw_content_add_recipe(&per_l, 1.0, shelf, recipe);
    target->name = strdup("what the recipe gives in pure water");
    if (!target->name || !add_contents(target, shelf, recipe, &per_l))
        return sw_fail_memory(error);
    if (!target->count)
        return sw_fail(error, SW_BAD_RECIPE_EMPTY);
    return add_ph(target, &per_l, conditions, error);
}

sw_status sw_target_implied(const sw_shelf *shelf, const sw_recipe *recipe,
                            const sw_conditions *conditions, sw_target **target,
                            sw_error *error)
{
    SW_REQUIRE_FOR(target, error, shelf, recipe, conditions);
    sw_target *made = calloc(1, sizeof *made);
    sw_status status = made ? fill(made, shelf, recipe, conditions, error)
                            : sw_fail_memory(error);
    SW_GIVE(status, target, made, sw_target_free);
}

/* ---- Who serves it ------------------------------------------------------ */

/*
 * First no amount of a straight goes above the recipe's: what such amounts
 * bring adds up to the recipe's own contents for the recipe alone, so in pure
 * water it comes back whatever products it is made of.  What the water leaves
 * open then may be closed by its other straights (potassium nitrate where
 * potassium sulfate gave way to the water's sulfur), and last by the shelf.
 */
typedef struct task {
    sw_solver *solver;
    sw_problem problem; /* of the correction's shelf and target */
    sw_correction *of;
    sw_error *error;
} task;

/* Tried in this order, until nothing is left open. */
typedef enum serving {
    SERVES_AS_GIVEN, /* the recipe's products, at its amounts at the most */
    SERVES_FREELY,   /* the same; but none brings more Na or Cl than it did */
    SERVES_ALL       /* and what else is on the shelf, of what the recipe has
                        alone, in a usual pH */
} serving;

/* Of the recipe's amount, what is off by less is not open. */
static const double closed_share = 0.001;
/* Less of Na or Cl comes with a chelate or a trace salt. */
static const double salty_share = 0.3;

static bool is_salty(const sw_product *p)
{
    double mg_per_g = 0.0;
    for (int c = 0; c < SW_N; c++)
        if (sw_component_is((sw_component)c, SW_IS_SALT))
            mg_per_g += p->per_g.amount[c];
    return mg_per_g > 1000.0 * salty_share;
}

static bool may_join(const sw_correction *of, const sw_product *p)
{
    if (is_salty(p) || sw_is_premix(p))
        return false;
    for (int c = 0; c < SW_N; c++)
        if (p->per_g.amount[c] > 0.0 &&
            !sw_target_names(of->target, (sw_component)c) &&
            sw_component_is((sw_component)c, SW_IS_MAIN | SW_IS_FORM))
            return false;
    return true;
}

static bool is_own(const sw_correction *of, size_t j)
{
    return j < of->recipe->count && of->recipe->g_per_l[j] > 0.0;
}

static bool is_kept(const sw_product *p)
{
    return p->min_g_per_l > 0.0 || !isnan(p->fixed_g_per_l);
}

/* How much of a product may serve; `most`: what its shelf says. */
static double most_of(const sw_correction *of, size_t j, double most,
                      serving who)
{
    const sw_product *p = &of->shelf->products[j];
    bool own = is_own(of, j);
    if (is_kept(p) || (own && of->freed[j]))
        return most;
    if (own && (who == SERVES_AS_GIVEN || is_salty(p)))
        return fmin(most, of->recipe->g_per_l[j]);
    return own || (who == SERVES_ALL && may_join(of, p)) ? most : 0.0;
}

static void let_serve(sw_correction *of, const double *most, serving who)
{
    for (size_t j = 0; j < of->shelf->count; j++)
        of->shelf->products[j].max_g_per_l = most_of(of, j, most[j], who);
}

/* Of the pH; NULL: the target has none. */
static sw_target_row *ph_of(sw_target *target)
{
    for (size_t i = 0; i < target->count; i++)
        if (target->rows[i].kind == SW_TARGET_PH)
            return &target->rows[i];
    return NULL;
}

/* Whether a target is unmet that is sought: Na and Cl are told alone, and a pH
 * below that of feeds is the recipe's own, as long as nothing makes it so. */
static bool is_open(const sw_row *row, serving who)
{
    if (row->kind != SW_TARGET_COMPONENT)
        return who != SERVES_AS_GIVEN && row->verdict > SW_SHORT;
    if (sw_component_is(row->component, SW_IS_SALT))
        return false;
    return who == SERVES_AS_GIVEN
               ? fabs(row->finished - row->target) > closed_share * row->target
               : row->verdict > SW_MET;
}

/* What comes of it, judged; NULL where there is no recipe. */
static sw_status solve(const task *t, sw_assessment **judged)
{
    sw_solution *solution = NULL;
    sw_status status =
        sw_formulate(t->solver, &t->problem, &solution, t->error);
    *judged = NULL;
    if (status == SW_OK && solution->recipe.count)
        status = sw_assess(&(sw_mix){.water = &solution->water,
                                     .target = t->of->target,
                                     .shelf = t->of->shelf,
                                     .recipe = &solution->recipe,
                                     .conditions = t->problem.conditions,
                                     .brief = true},
                           judged, t->error);
    sw_solution_free(solution);
    return status;
}

static sw_status try_serving(const task *t, serving who, bool *open)
{
    sw_assessment *judged;
    sw_status status = solve(t, &judged);
    *open = !judged;
    for (size_t i = 0; judged && i < sw_row_count(judged) && !*open; i++) {
        sw_row row = sw_row_at(judged, i);
        *open = is_open(&row, who);
    }
    sw_assessment_free(judged);
    return status;
}

/* ---- What sulfur may cost ------------------------------------------------*/

/* Of what is as near as can be, for the solver. */
static const double held_slack = 1e-6;

/* Within its accepted range, or no farther off than it is.  A form of nitrogen
 * may be off by what all of it may. */
static void hold(sw_target_row *held, const sw_component_row *row,
                 double nitrogen_mg_per_l)
{
    double room = row->high_mg_per_l - row->target_mg_per_l;
    if (sw_component_is(held->component, SW_IS_FORM))
        room = fmax(room, nitrogen_mg_per_l);
    double at = row->finished_mg_per_l, slack = held_slack * at;
    held->held_low = fmin(held->target - room, at - slack);
    held->held_high = fmax(held->target + room, at + slack);
}

static void hold_within(sw_target *target, const sw_component_row *rows,
                        double than_weight)
{
    for (size_t i = 0; i < target->count; i++) {
        sw_target_row *row = &target->rows[i];
        if (row->kind == SW_TARGET_COMPONENT && row->weight < than_weight &&
            sw_component_is(row->component, SW_IS_MAIN | SW_IS_FORM))
            hold(row, &rows[row->component],
                 rows[SW_N].high_mg_per_l - rows[SW_N].target_mg_per_l);
    }
}

/* What comes of it where sulfur counts so much; the others are held there. */
static sw_status hold_beside(const task *t, sw_target_row *sulfur,
                             double counts, bool *short_)
{
    sw_assessment *judged;
    const double was = sulfur->weight;
    sulfur->weight = counts;
    sw_status status = solve(t, &judged);
    sulfur->weight = was;
    if (judged)
        hold_within(t->of->target, judged->rows, was);
    *short_ = judged && judged->rows[SW_S].verdict == SW_SHORT;
    sw_assessment_free(judged);
    return status;
}

/* Too much sulfur does little harm: what is not a metal either is solved for
 * without it first, and then gives up its place for sulfur's only as far as it
 * may move.  Where too little would be left, sulfur counts as the rest does:
 * that may fall for it, and goes no higher. */
static sw_status hold_others(const task *t)
{
    sw_target *target = t->of->target;
    const sw_target_row *found = sw_target_row_of(target, SW_S);
    bool too_little;
    if (!found)
        return SW_OK;
    sw_target_row *sulfur = &target->rows[sw_place_of(target, found)];
    for (size_t i = 0; i < target->count; i++)
        target->rows[i].held_low = target->rows[i].held_high = 0.0;
    sw_status status = hold_beside(t, sulfur, 0.0, &too_little);
    for (size_t i = 0; i < target->count && too_little; i++)
        target->rows[i].held_low = 0.0;
    return status == SW_OK && too_little
               ? hold_beside(t, sulfur, weight, &too_little)
               : status;
}

/* Whether anything on the shelf is not the recipe's, and might join in. */
static bool has_others(const sw_correction *of)
{
    for (size_t j = 0; j < of->shelf->count; j++) {
        const sw_product *p = &of->shelf->products[j];
        if (!is_own(of, j) && !is_kept(p) && may_join(of, p))
            return true;
    }
    return false;
}

/* `most`: what the shelf says of each product. */
static sw_status settle(const task *t, const double *most)
{
    sw_correction *of = t->of;
    sw_status status = SW_OK;
    bool open = true, others = has_others(of);
    sw_target_row *ph = ph_of(of->target);
    const double ph_weight = ph ? ph->weight : 0.0;
    /* Salts move a pH by little: it is sought only where something else may
     * join in, an acid above all. */
    if (ph)
        ph->weight = 0.0;
    for (int who = SERVES_AS_GIVEN; who < SERVES_ALL && status == SW_OK && open;
         who++) {
        let_serve(of, most, (serving)who);
        if (who != SERVES_AS_GIVEN)
            status = hold_others(t);
        if (status == SW_OK)
            status = try_serving(t, (serving)who, &open);
    }
    of->alone = !(open && others);
    if (status != SW_OK || of->alone)
        return status;
    let_serve(of, most, SERVES_ALL);
    if (ph)
        ph->weight = ph_weight;
    return hold_others(t);
}

sw_status sw_recipe_correct(sw_solver *solver, const sw_problem *problem,
                            sw_correction *correction, sw_error *error)
{
    SW_REQUIRE(error, solver, problem, correction);
    task t = {solver, *problem, correction, error};
    t.problem.target = correction->target;
    t.problem.shelf = correction->shelf;
    SW_REQUIRE(error, sw_whole_problem(&t.problem), correction->recipe,
               correction->freed);
    size_t count = correction->shelf->count;
    double *most = calloc(count + 1, sizeof *most);
    if (!most)
        return sw_fail_memory(error);
    for (size_t j = 0; j < count; j++)
        most[j] = correction->shelf->products[j].max_g_per_l;
    sw_status status = settle(&t, most);
    free(most);
    return status;
}
