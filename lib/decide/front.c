/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What fit is given up for.  Against cost: the least misfit for each cost (the
 * epsilon-constraint method; Haimes, Lasdon & Wismer 1971); misfit and cost are
 * convex, so every best compromise is on the curve and none lies below a line
 * between two of its points.  Against the number of products: branch and bound
 * over which are left out (Furnival & Wilson 1974, for subsets of a
 * regression).  Each point is a solve with its own proof.
 */
#include "decide/variant.h"
#include "quantity/status.h"
#include "quantity/ties.h"
#include "table_refusals.h"

#include <math.h>
#include <stdlib.h>

/* Ends this near in cost, as a share of it, are one. */
static const double same_cost = 1e-9;
/* As good as no cost at all, which would be no limit. */
static const double no_cost = 1e-12;
enum { MOST_POINTS = 200 };
/* Sets of products solved at most; beyond, what is left open is said by the
 * bound. */
enum { MOST_SOLVES = 4000 };
/* A set must better what is known by this share to be taken apart. */
static const double better = 1e-9;

/* ---- Points ------------------------------------------------------------- */

static double cost_of(const sw_shelf *shelf, const sw_recipe *recipe)
{
    double sum = 0;
    for (size_t j = 0; j < recipe->count; j++)
        if (recipe->g_per_l[j] > 0)
            sum += recipe->g_per_l[j] * shelf->products[j].price_per_kg;
    return sum;
}

static double slope_of(const sw_solution *solution)
{
    for (size_t i = 0; i < solution->limit_count; i++)
        if (solution->limits[i].kind == SW_SIDE_COST)
            return solution->limits[i].price;
    return 0;
}

/* Takes over the solution's recipe; `shelf` says what it costs. */
static void add_point(const sw_shelf *shelf, sw_solution *solution,
                      sw_front *front)
{
    front->points[front->count++] = (sw_front_point){
        .objective = solution->certificate.objective,
        .lower_bound = solution->certificate.lower_bound,
        .cost_per_m3 = cost_of(shelf, &solution->recipe),
        .slope =
            front->trade == SW_TRADE_COST ? slope_of(solution) : (double)NAN,
        .products = sw_count_chosen(shelf, &solution->recipe),
        .misses_ph = solution->misses_ph,
        .recipe = solution->recipe,
    };
    solution->recipe = (sw_recipe){0};
}

/* ---- Fit against cost --------------------------------------------------- */

/* One point for at most `cost`; none where there is no recipe. */
static sw_status solve_within(sw_solver *solver, const sw_problem *within,
                              double cost, sw_front *front, sw_error *error)
{
    sw_problem problem = *within;
    sw_solution *solution;
    problem.most_cost_per_m3 = cost;
    sw_status status = sw_formulate(solver, &problem, &solution, error);
    if (status == SW_OK && solution->recipe.count)
        add_point(problem.shelf, solution, front);
    sw_solution_free(solution);
    return status;
}

/* What the cheapest recipe costs; NaN when there is none. */
static sw_status least_cost(sw_solver *solver, const sw_problem *problem,
                            double *cost, sw_error *error)
{
    sw_problem cheapest = *problem;
    sw_solution *solution;
    cheapest.objective = SW_CHEAPEST;
    cheapest.keep_bands = false;
    sw_status status = sw_formulate(solver, &cheapest, &solution, error);
    *cost = NAN;
    if (status == SW_OK && solution->outcome == SW_OPTIMAL)
        *cost = solution->certificate.objective;
    sw_solution_free(solution);
    return status;
}

static sw_status trade_cost(sw_solver *solver, const sw_problem *problem,
                            size_t count, sw_front *front, sw_error *error)
{
    double least;
    sw_problem within = *problem;
    within.objective = SW_CLOSEST;
    within.keep_bands = true;
    sw_status status = least_cost(solver, problem, &least, error);
    if (status == SW_OK && !isnan(least))
        status = solve_within(solver, &within, 0, front, error);
    if (status != SW_OK || !front->count)
        return status;
    double most = front->points[0].cost_per_m3;
    if (!(most - least > same_cost * most))
        return SW_OK;
    for (size_t i = 1; status == SW_OK && i < count; i++) {
        double share = (double)i / (double)(count - 1);
        double cost = i + 1 < count
                          ? most + share * (least - most)
                          : fmax(least * (1 + same_cost), no_cost * most);
        status = solve_within(solver, &within, cost, front, error);
    }
    /* where nothing cheaper is, what less would cost is not one number */
    if (front->count > 1)
        front->points[front->count - 1].slope = NAN;
    return status;
}

/* ---- Fit against the number of products --------------------------------- */

/*
 * Leaving out one more never betters the fit, so the fit of a set bounds that
 * of all its parts: a set that is no better than what is known for every number
 * in reach is not taken apart.  The product whose loss hurts most goes first,
 * as the sets without it are the most and the soonest known to be of no use.
 */
typedef struct sw_few {
    sw_solver *solver;
    sw_variant variant; /* closed products have a max of 0 */
    sw_error *error;
    bool *kept;         /* of each product: stays where it is used */
    size_t most;        /* products of the first recipe */
    size_t least;       /* fewest looked for */
    sw_solution **best; /* of each number of products, or NULL */
    double *open;       /* of each: least bound of what was not looked at */
    int solves;
    bool misses_ph; /* even with all products; else none may miss it */
} sw_few;

static double best_of(const sw_few *few, size_t products)
{
    return few->best[products] ? few->best[products]->certificate.objective
                               : INFINITY;
}

static double best_of_at_most(const sw_few *few, size_t products)
{
    double best = INFINITY;
    for (size_t k = 0; k <= products; k++)
        best = fmin(best, best_of(few, k));
    return best;
}

/* Keeps the solution where it is the best of its number; the first stays. */
static void offer(sw_few *few, size_t products)
{
    sw_solution *solution = few->variant.solution;
    double objective = solution->certificate.objective;
    bool first = products >= few->most && few->best[few->most];
    if (first || !sw_is_less(objective, best_of(few, products), SW_SOLVED))
        return;
    sw_solution_free(few->best[products]);
    few->best[products] = solution;
    few->variant.solution = NULL;
}

/* Whether a part of a set with this fit may better what is known. */
static bool may_better(const sw_few *few, double objective, size_t kept,
                       size_t products)
{
    size_t from = kept > few->least ? kept : few->least;
    for (size_t k = from; k < products; k++)
        if (objective < best_of_at_most(few, k) * (1 - better))
            return true;
    return false;
}

/* What a set that is not looked at may still hold. */
static void leave_open(sw_few *few, double objective, size_t products)
{
    for (size_t k = few->least; k < products; k++)
        few->open[k] = fmin(few->open[k], objective);
}

static size_t count_kept(const sw_few *few)
{
    size_t count = 0;
    for (size_t j = 0; j < few->variant.shelf.count; j++)
        count += few->kept[j];
    return count;
}

/* The products a recipe chose that may be left out. */
static size_t list_chosen(const sw_few *few, const sw_recipe *recipe,
                          size_t *chosen)
{
    size_t count = 0;
    for (size_t j = 0; j < recipe->count; j++)
        if (!few->kept[j] &&
            sw_is_chosen(&few->variant.shelf.products[j], recipe->g_per_l[j]))
            chosen[count++] = j;
    return count;
}

/* A set: the product it lacks more than the one before, its recipe's fit (at
 * first that of the one before), and what that used. */
typedef struct sw_node {
    size_t without;
    double objective; /* infinite: no recipe */
    size_t products;
    size_t *chosen; /* that may be left out */
    size_t count;
} sw_node;

static sw_status solve_node(sw_few *few, sw_node *node)
{
    bool solved;
    double bound = node->objective;
    node->objective = INFINITY;
    few->solves++;
    sw_status status =
        sw_variant_solve(few->solver, &few->variant, &solved, few->error);
    const sw_solution *solution = few->variant.solution;
    if (!solved || (!few->misses_ph && solution->misses_ph))
        return status;
    node->chosen = calloc(solution->recipe.count, sizeof *node->chosen);
    if (!node->chosen)
        return sw_fail_memory(few->error);
    node->objective = fmax(solution->certificate.lower_bound, bound);
    node->products = sw_count_chosen(&few->variant.shelf, &solution->recipe);
    node->count = list_chosen(few, &solution->recipe, node->chosen);
    offer(few, node->products);
    return SW_OK;
}

typedef sw_status sw_visit(sw_few *few, sw_node *node);

/* Visits a part with the product closed that it lacks. */
static sw_status visit(sw_few *few, sw_node *part, sw_visit *how)
{
    sw_product *product = &few->variant.shelf.products[part->without];
    double most = product->max_g_per_l;
    product->max_g_per_l = 0;
    sw_status status = how(few, part);
    product->max_g_per_l = most;
    return status;
}

/* Worst first; of those alike, in the order of the shelf. */
static double loss_key(const void *node)
{
    return -((const sw_node *)node)->objective;
}

/* Each part of the node that lacks one product more, as long as there are
 * solves; *count of them. */
static sw_status solve_parts(sw_few *few, const sw_node *node, sw_node **parts,
                             size_t *count)
{
    sw_status status = SW_OK;
    *count = 0;
    *parts = calloc(node->count + 1, sizeof **parts);
    if (!*parts)
        return sw_fail_memory(few->error);
    for (size_t i = 0; i < node->count && status == SW_OK; i++) {
        if (few->kept[node->chosen[i]])
            continue;
        if (!may_better(few, node->objective, count_kept(few), node->products))
            break;
        if (few->solves >= MOST_SOLVES) {
            leave_open(few, node->objective, few->most);
            break;
        }
        sw_node *part = &(*parts)[(*count)++];
        part->without = node->chosen[i];
        part->objective = node->objective;
        status = visit(few, part, solve_node);
    }
    sw_sort_close(*parts, *count, sizeof **parts, loss_key);
    return status;
}

static void free_parts(sw_node *parts, size_t count)
{
    for (size_t i = 0; i < count; i++)
        free(parts[i].chosen);
    free(parts);
}

/* Takes its parts apart one after another; what each lacks is kept from then
 * on. */
static sw_status branch(sw_few *few, sw_node *node)
{
    sw_node *parts;
    size_t count;
    sw_status status = solve_parts(few, node, &parts, &count);
    for (size_t i = 0; i < count && status == SW_OK; i++) {
        sw_node *part = &parts[i];
        if (may_better(few, part->objective, count_kept(few), part->products))
            status = visit(few, part, branch);
        few->kept[part->without] = true;
    }
    for (size_t i = 0; i < count; i++)
        few->kept[parts[i].without] = false;
    free_parts(parts, count);
    return status;
}

/* Leaves out what is missed least, again and again: a first recipe of each
 * number, so that most sets are known at once to be no better. */
static sw_status go_down(sw_few *few, sw_node *node)
{
    sw_node *parts;
    size_t count;
    sw_status status = solve_parts(few, node, &parts, &count);
    if (status == SW_OK && count && isfinite(parts[count - 1].objective))
        status = visit(few, &parts[count - 1], go_down);
    free_parts(parts, count);
    return status;
}

/* A recipe of fewer products is one of more, too. */
static void tell(sw_few *few, const sw_shelf *shelf, sw_front *front)
{
    double known = INFINITY;
    for (size_t k = few->least; k <= few->most; k++) {
        if (best_of(few, k) >= known) {
            sw_solution_free(few->best[k]);
            few->best[k] = NULL;
        } else {
            known = best_of(few, k);
        }
    }
    for (size_t k = few->most + 1; k-- > few->least;) {
        if (!few->best[k])
            continue;
        add_point(shelf, few->best[k], front);
        sw_front_point *point = &front->points[front->count - 1];
        point->lower_bound = fmin(point->lower_bound, few->open[k]);
    }
}

/* At most `count` numbers of products, from that of all of them down. */
static sw_status search(sw_few *few, size_t count, sw_front *front)
{
    sw_node all = {.objective = 0};
    few->misses_ph = true;
    sw_status status = solve_node(few, &all);
    if (status == SW_OK && isfinite(all.objective)) {
        few->most = all.products;
        few->least = few->most >= count ? few->most + 1 - count : 0;
        few->misses_ph = few->best[few->most]->misses_ph;
        status = go_down(few, &all);
        if (status == SW_OK)
            status = branch(few, &all);
        if (status == SW_OK)
            tell(few, few->variant.of->shelf, front);
    }
    free(all.chosen);
    return status;
}

static sw_status trade_products(sw_solver *solver, const sw_problem *problem,
                                size_t count, sw_front *front, sw_error *error)
{
    size_t products = problem->shelf->count;
    sw_few few = {.solver = solver, .error = error};
    sw_status status = sw_variant_make(problem, &few.variant, error);
    few.kept = calloc(products + 1, sizeof *few.kept);
    few.best = calloc(products + 1, sizeof(sw_solution *));
    few.open = calloc(products + 1, sizeof *few.open);
    bool room = few.kept && few.best && few.open;
    if (status == SW_OK && !room)
        status = sw_fail_memory(error);
    for (size_t k = 0; room && k <= products; k++)
        few.open[k] = INFINITY;
    if (status == SW_OK)
        status = search(&few, count, front);
    for (size_t k = 0; few.best && k <= products; k++)
        sw_solution_free(few.best[k]);
    sw_variant_free(&few.variant);
    SW_FREE(few.kept, few.best, few.open);
    return status;
}

/* ---- Either ------------------------------------------------------------- */

static sw_status check(const sw_problem *problem, sw_trade trade, size_t count,
                       sw_error *error)
{
    if (count < 2 || count > MOST_POINTS)
        return sw_fail(error, SW_BAD_FRONT_POINTS, count, MOST_POINTS);
    if (trade == SW_TRADE_PRODUCTS && sw_is_of_amounts(problem))
        return sw_fail(error, SW_BAD_FRONT_OF_COST);
    return SW_OK;
}

static sw_status fill(sw_solver *solver, const sw_problem *problem,
                      size_t count, sw_front *front, sw_error *error)
{
    front->points = calloc(count, sizeof *front->points);
    if (!front->points)
        return sw_fail_memory(error);
    return front->trade == SW_TRADE_COST
               ? trade_cost(solver, problem, count, front, error)
               : trade_products(solver, problem, count, front, error);
}

sw_status sw_front_find(sw_solver *solver, const sw_problem *problem,
                        sw_trade trade, size_t count, sw_front **front,
                        sw_error *error)
{
    SW_REQUIRE_FOR(front, error, solver, sw_whole_problem(problem));
    sw_status status = check(problem, trade, count, error);
    if (status != SW_OK)
        return status;
    sw_front *made = calloc(1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    made->trade = trade;
    status = fill(solver, problem, count, made, error);
    if (status == SW_OK && made->count) {
        *front = made;
        return SW_OK;
    }
    sw_front_free(made);
    return status;
}

void sw_front_free(sw_front *front)
{
    if (!front)
        return;
    for (size_t i = 0; front->points && i < front->count; i++) {
        free(front->points[i].recipe.g_per_l);
        free(front->points[i].recipe.most_g_per_l);
    }
    SW_FREE(front->points, front);
}
