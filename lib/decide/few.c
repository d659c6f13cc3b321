/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The best recipe of each number of products, by branch and bound over which
 * are left out (Furnival & Wilson 1974, for subsets of a regression).  Leaving
 * out one more never betters the fit, so the fit of a set bounds that of all
 * its parts: a set that is no better than what is known for every number in
 * reach is not taken apart.  The product whose loss hurts most goes first, as
 * the sets without it are the most and the soonest known to be of no use.  Each
 * set is solved as any problem is.
 */
#include "decide/few.h"

#include "quantity/status.h"
#include "quantity/ties.h"

#include <math.h>
#include <stdlib.h>

/* Sets solved at most; beyond, what is left open is said by the bound. */
enum { MOST_SOLVES = 4000 };
/* A set must better what is known by this share to be taken apart. */
static const double better = 1e-9;

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

/* A set: the product it lacks more than the one before, its recipe's fit, and
 * what that used. */
typedef struct sw_node {
    size_t without;
    double objective; /* infinite: no recipe */
    size_t products;
    size_t *chosen; /* that may be left out */
    size_t count;
} sw_node;

static sw_status solve_node(sw_few *few, double bound, sw_node *node)
{
    bool solved;
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

/* Each part of the node that lacks one product more, as long as there are
 * solves; *count of them. */
static sw_status solve_parts(sw_few *few, const sw_node *node, sw_node *parts,
                             size_t *count)
{
    sw_status status = SW_OK;
    for (size_t i = 0; i < node->count && status == SW_OK; i++) {
        sw_product *product = &few->variant.shelf.products[node->chosen[i]];
        double most = product->max_g_per_l;
        if (few->kept[node->chosen[i]])
            continue;
        if (!may_better(few, node->objective, count_kept(few), node->products))
            break;
        if (few->solves >= MOST_SOLVES) {
            leave_open(few, node->objective, few->most);
            break;
        }
        sw_node *part = &parts[(*count)++];
        part->without = node->chosen[i];
        product->max_g_per_l = 0;
        status = solve_node(few, node->objective, part);
        product->max_g_per_l = most;
    }
    return status;
}

static void free_parts(sw_node *parts, size_t count)
{
    for (size_t i = 0; i < count; i++)
        free(parts[i].chosen);
    free(parts);
}

/* Worst first; of those alike, in the order of the shelf. */
static double loss_key(const void *node)
{
    return -((const sw_node *)node)->objective;
}

static int by_shelf(const void *a, const void *b)
{
    const sw_node *left = a;
    const sw_node *right = b;
    return left->without < right->without ? -1 : 1;
}

static sw_status branch(sw_few *few, const sw_node *node);

/* Takes them apart one after another; what each lacks is kept from then on. */
static sw_status take_apart(sw_few *few, sw_node *parts, size_t count)
{
    sw_status status = SW_OK;
    for (size_t i = 0; i < count && status == SW_OK; i++) {
        size_t j = parts[i].without;
        sw_product *product = &few->variant.shelf.products[j];
        double most = product->max_g_per_l;
        product->max_g_per_l = 0;
        if (may_better(few, parts[i].objective, count_kept(few),
                       parts[i].products))
            status = branch(few, &parts[i]);
        product->max_g_per_l = most;
        few->kept[j] = true;
    }
    for (size_t i = 0; i < count; i++)
        few->kept[parts[i].without] = false;
    return status;
}

static sw_status branch(sw_few *few, const sw_node *node)
{
    size_t count = 0;
    sw_node *parts = calloc(node->count + 1, sizeof *parts);
    if (!parts)
        return sw_fail_memory(few->error);
    sw_status status = solve_parts(few, node, parts, &count);
    sw_sort_close(parts, count, sizeof *parts, loss_key, by_shelf);
    if (status == SW_OK)
        status = take_apart(few, parts, count);
    free_parts(parts, count);
    return status;
}

/* Leaves out what is missed least, again and again: a first recipe of each
 * number, so that most sets are known at once to be no better. */
static sw_status go_down(sw_few *few, const sw_node *node)
{
    size_t count = 0;
    sw_node *parts = calloc(node->count + 1, sizeof *parts);
    if (!parts)
        return sw_fail_memory(few->error);
    sw_status status = solve_parts(few, node, parts, &count);
    sw_sort_close(parts, count, sizeof *parts, loss_key, by_shelf);
    const sw_node *best = count ? &parts[count - 1] : NULL;
    if (status == SW_OK && best && isfinite(best->objective)) {
        sw_product *product = &few->variant.shelf.products[best->without];
        double most = product->max_g_per_l;
        product->max_g_per_l = 0;
        status = go_down(few, best);
        product->max_g_per_l = most;
    }
    free_parts(parts, count);
    return status;
}

/* A recipe of fewer products is one of more, too. */
static void tell(sw_few *few, const sw_problem *problem, sw_front *front)
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
        sw_front_point *point = &front->points[front->count++];
        *point = sw_front_point_of(problem, few->best[k]);
        point->lower_bound = fmin(point->lower_bound, few->open[k]);
    }
}

static sw_status search(sw_few *few, const sw_problem *problem, size_t count,
                        sw_front *front)
{
    size_t products = problem->shelf->count;
    bool solved;
    sw_status status =
        sw_variant_solve(few->solver, &few->variant, &solved, few->error);
    const sw_solution *solution = few->variant.solution;
    if (solved) {
        few->misses_ph = solution->misses_ph;
        few->most = sw_count_chosen(problem->shelf, &solution->recipe);
        few->least = few->most >= count ? few->most + 1 - count : 0;
        for (size_t k = 0; k <= products; k++)
            few->open[k] = INFINITY;
        sw_node all = {.chosen = NULL};
        status = solve_node(few, 0, &all);
        if (status == SW_OK)
            status = go_down(few, &all);
        if (status == SW_OK)
            status = branch(few, &all);
        free(all.chosen);
        if (status == SW_OK)
            tell(few, problem, front);
    }
    return status;
}

sw_status sw_front_few(sw_solver *solver, const sw_problem *problem,
                       size_t count, sw_front *front, sw_error *error)
{
    size_t products = problem->shelf->count;
    sw_few few = {.solver = solver, .error = error};
    sw_status status = sw_variant_make(problem, &few.variant, error);
    few.kept = calloc(products + 1, sizeof *few.kept);
    few.best = calloc(products + 1, sizeof(sw_solution *));
    few.open = calloc(products + 1, sizeof *few.open);
    if (status == SW_OK && !(few.kept && few.best && few.open))
        status = sw_fail_memory(error);
    if (status == SW_OK)
        status = search(&few, problem, count, front);
    for (size_t k = 0; few.best && k <= products; k++)
        sw_solution_free(few.best[k]);
    free(few.kept);
    free(few.best);
    free(few.open);
    sw_variant_free(&few.variant);
    return status;
}
