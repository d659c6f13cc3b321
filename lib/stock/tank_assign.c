/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The search of tank_assign.h: depth first, the heaviest products first, the
 * option that may still become cheapest first, bounded by what the rest costs
 * at least.  Saturation is not linear, so whole assignments are checked, and
 * what oversaturates a tank is remembered in its barest form and cuts off every
 * branch that holds it.  Integer programming with such cuts took up to minutes
 * for shelves of many sources of one nutrient.
 */
#include "stock/tank_assign.h"

#include "quantity/ties.h"
#include "stock/product_classes.h"
#include "stock/dosing.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* Where the search stops: branches looked at. */
enum { NODES_MAX = 400000 };

/* Two costs this near are one; shares are tenths. */
static const double alike = 1e-9;

/* What it costs that nitric acid and an organic share a tank: more than any
 * other way of sharing out, so that they do only where nothing else works. */
static const double beside_organic = 2;

/* Free acid in a tank with a chelate, at most: about pH 4. */
static const double chelate_acid_meq_per_l = 0.1;

static double total_of(const sw_assign *a)
{
    double all = 0;
    for (size_t j = 0; j < a->count; j++)
        all += a->items[j].g_per_l[SW_TANK_A];
    return fmax(all, 1e-12);
}

void sw_assign_tank(const sw_assign *a, const size_t *option, sw_tank tank,
                    sw_tank_content *content)
{
    *content = (sw_tank_content){.make_up = a->make_up};
    for (size_t j = 0; j < a->count; j++) {
        const sw_assigned *item = &a->items[j];
        sw_content_add(&content->salts,
                       item->option[option[j]].share[tank] *
                           item->g_per_l[tank],
                       item->per_g);
    }
}

/* Of the three protons of citric acid about this many are off near pH 4. */
static const double citric_meq_per_mmol = 1.0;

/* meq of a litre of stock with the whole item in the tank, as other products'
 * chelates see it: what a product does to its own chelate no tank changes. */
static double outward_meq(const sw_assigned *item, int tank)
{
    const double *per_g = item->per_g->amount;
    double meq =
        item->g_per_l[tank] *
        (per_g[SW_ALKALINITY] - citric_meq_per_mmol * per_g[SW_CITRATE]);
    return item->classes & SW_CLASS_CHELATE ? fmax(meq, 0) : meq;
}

double sw_assign_chelate_strength(const sw_assign *a, const size_t *option)
{
    double least = SW_MOST_STRENGTH;
    for (int t = 0; t < SW_TANKS; t++) {
        bool chelate = false;
        double meq = 0;
        for (size_t j = 0; j < a->count; j++) {
            double share = a->items[j].option[option[j]].share[t];
            meq += share * outward_meq(&a->items[j], t);
            chelate = chelate ||
                      (share > 0 && a->items[j].classes & SW_CLASS_CHELATE);
        }
        if (chelate && meq < 0)
            least = fmin(least, (chelate_acid_meq_per_l +
                                 a->make_up.amount[SW_ALKALINITY]) /
                                    -meq);
    }
    return least;
}

double sw_assign_room_strength(const sw_assign *a, const size_t *option)
{
    double least = SW_MOST_STRENGTH;
    for (int t = 0; t < SW_TANKS; t++) {
        double l = 0;
        for (size_t j = 0; j < a->count; j++)
            l += a->items[j].option[option[j]].share[t] *
                 a->items[j].g_per_l[t] * a->items[j].l_per_g;
        if (l > 0)
            least = fmin(least, (1 - SW_LEAST_FIRST_FILL) / l);
    }
    return least;
}

/* ---- Branches ---- */

/* A tank as filled so far. */
typedef struct fill {
    double load, meq, l;
    unsigned classes;
} fill;

typedef struct node {
    fill tank[SW_TANKS];
    double cost; /* of the options */
} node;

/* What an item must take of a tank for a cut to hold: so much, as the fit
 * says. */
typedef enum fit { OR_MORE, OR_LESS, EXACTLY } fit;
typedef struct demand {
    size_t item;
    double share;
    fit fit;
} demand;

typedef struct cut {
    sw_tank tank;
    size_t count;
    demand *demands;
    struct cut *next; /* of those whose last item is at this depth */
} cut;

typedef struct search {
    sw_solver *solver;
    const sw_assign *assign;
    double strength, all;
    bool first;               /* any assignment will do */
    size_t *order, *depth_of; /* item by depth, depth by item */
    double *rest_cost, *rest_load, *rest_base[SW_TANKS]; /* from a depth on */
    cut **cuts;                                          /* by depth */
    sw_feud *feuds;
    size_t feud_count;
    size_t *option;
    size_t back; /* the depth a new cut leads back to, else SIZE_MAX */
    long nodes, checks;
    sw_assignment best;
} search;

static double bound_of(const search *s, const node *n, size_t depth)
{
    double a = n->tank[SW_TANK_A].load, b = n->tank[SW_TANK_B].load;
    double level = (a + b + s->rest_load[depth]) / 2;
    return n->cost + s->rest_cost[depth] + fmax(fmax(a, b), level) / s->all;
}

static bool spent(const search *s)
{
    return s->nodes > NODES_MAX || s->checks > s->assign->checks_max ||
           (s->first && s->best.found);
}

/* Of the classes of a tank, none of which may meet another. */
static bool is_at_feud(const search *s, unsigned classes)
{
    for (size_t i = 0; i < s->feud_count; i++)
        if (classes & s->feuds[i].one && classes & s->feuds[i].other)
            return true;
    return false;
}

/* Feuds, room and, with what bases may still come, chelates beside acid. */
static bool may_stand(search *s, const fill *f, int t, size_t depth)
{
    const sw_assign *a = s->assign;
    if (is_at_feud(s, f->classes))
        return false;
    double meq = s->strength * (f->meq + s->rest_base[t][depth]) +
                 a->make_up.amount[SW_ALKALINITY];
    if (f->classes & SW_CLASS_CHELATE && meq < -chelate_acid_meq_per_l - alike)
        return false;
    if (s->strength * f->l <= 1 - SW_LEAST_FIRST_FILL + alike)
        return true;
    s->best.tank = (sw_tank)t;
    s->best.solid = sw_stock_solid_count();
    return false;
}

static bool has_both(unsigned classes)
{
    return classes & SW_CLASS_NITRIC && classes & SW_CLASS_ORGANIC;
}

/* The branch that takes option o of the item next in turn; false: none. */
static bool branch(search *s, const node *from, size_t depth,
                   const sw_option *o, node *to)
{
    const sw_assigned *item = &s->assign->items[s->order[depth]];
    *to = *from;
    to->cost += o->cost;
    for (int t = 0; t < SW_TANKS; t++) {
        double share = o->share[t];
        fill *f = &to->tank[t];
        if (!(share > 0) && depth + 1 < s->assign->count)
            continue;
        f->load += share * item->g_per_l[t];
        f->meq += share * outward_meq(item, t);
        f->l += share * item->g_per_l[t] * item->l_per_g;
        bool had_both = has_both(f->classes);
        f->classes |= share > 0 ? item->classes : 0;
        to->cost += !had_both && has_both(f->classes) ? beside_organic : 0;
        if (!may_stand(s, f, t, depth + 1))
            return false;
    }
    return true;
}

static double share_now(const search *s, size_t item, sw_tank tank)
{
    return s->assign->items[item].option[s->option[item]].share[tank];
}

/* Whether a cut holds with the options taken; all its items have one. */
static bool holds(const search *s, const cut *c)
{
    for (size_t i = 0; i < c->count; i++) {
        const demand *d = &c->demands[i];
        double more = share_now(s, d->item, c->tank) - d->share;
        if ((more < -alike && d->fit != OR_LESS) ||
            (more > alike && d->fit != OR_MORE))
            return false;
    }
    return true;
}

static bool is_cut(const search *s, size_t depth)
{
    for (const cut *c = s->cuts[depth]; c; c = c->next)
        if (holds(s, c))
            return true;
    return false;
}

/* ---- Cuts ---- */

static double most_of(const sw_assigned *item, sw_tank tank)
{
    double most = 0;
    for (size_t o = 0; o < item->option_count; o++)
        most = fmax(most, item->option[o].share[tank]);
    return most;
}

static bool oversaturates(search *s, const sw_tank_content *content,
                          size_t *solid)
{
    s->checks++;
    return sw_tank_saturation(s->assign->solubility, content, s->strength,
                              solid) > 1;
}

/* What may join the shares demanded. */
typedef enum company { NOTHING, ACIDS, ALL_BUT_ACIDS, ALL } company;

static bool is_acid(const search *s, size_t item)
{
    return s->assign->items[item].per_g->amount[SW_ALKALINITY] < 0;
}

static bool is_over(search *s, sw_tank tank, const double *share, company with)
{
    sw_tank_content content = {.make_up = s->assign->make_up};
    for (size_t j = 0; j < s->assign->count; j++) {
        const sw_assigned *item = &s->assign->items[j];
        bool joins = with == ALL || (with == ACIDS && is_acid(s, j)) ||
                     (with == ALL_BUT_ACIDS && !is_acid(s, j));
        sw_content_add(&content.salts,
                       (joins ? most_of(item, tank) : share[j]) *
                           item->g_per_l[tank],
                       item->per_g);
    }
    size_t any;
    return oversaturates(s, &content, &any);
}

/* A cut in the making. */
typedef struct trial {
    sw_tank tank;
    double *share;
    bool acids_kept; /* it holds with no more acid than there is */
} trial;

/*
 * Whether the shares demanded oversaturate the tank by themselves, with all
 * that could join them and with the acids alone, which keep phosphate, sulfate
 * and carbonate dissolved, unless there are to be no more of these; then the
 * rest does not matter to the cut.
 */
static bool is_enough(search *s, const trial *t)
{
    if (!is_over(s, t->tank, t->share, NOTHING))
        return false;
    return t->acids_kept ? is_over(s, t->tank, t->share, ALL_BUT_ACIDS)
                         : is_over(s, t->tank, t->share, ACIDS) &&
                               is_over(s, t->tank, t->share, ALL);
}

static bool is_kept(const search *s, const trial *t, size_t item)
{
    return t->acids_kept && is_acid(s, item);
}

/* Those of the first `depth` items in turn, and the acids that are kept. */
static void take_shares(const search *s, const trial *t, size_t depth)
{
    for (size_t j = 0; j < s->assign->count; j++)
        t->share[j] = s->depth_of[j] < depth || is_kept(s, t, j)
                          ? share_now(s, j, t->tank)
                          : 0;
}

/* How many of the first items in turn are enough: the fewest, by halving; 0:
 * not even all of them are. */
static size_t find_depth(search *s, const trial *t)
{
    size_t low = 0, high = s->assign->count;
    take_shares(s, t, high);
    if (!is_enough(s, t))
        return 0;
    while (high - low > 1) {
        size_t middle = (low + high) / 2;
        take_shares(s, t, middle);
        if (is_enough(s, t))
            high = middle;
        else
            low = middle;
    }
    take_shares(s, t, high);
    return high;
}

/* Leaves out one after the other what is not needed, and takes less of the
 * last one. */
static void make_bare(search *s, const trial *t, size_t depth)
{
    for (size_t d = 0; d + 1 < depth; d++) {
        double *of = &t->share[s->order[d]], was = *of;
        if (!(was > 0) || is_kept(s, t, s->order[d]))
            continue;
        *of = 0;
        if (!is_enough(s, t))
            *of = was;
    }
    size_t at = s->order[depth - 1];
    double *last = &t->share[at], low = 0, high = *last;
    while (high - low > 0.1 && !is_kept(s, t, at)) {
        *last = (low + high) / 2;
        if (is_enough(s, t))
            high = *last;
        else
            low = *last;
    }
    *last = high;
}

/* The depth from which all acids that are kept have their option. */
static size_t depth_of_acids(const search *s, const trial *t)
{
    size_t depth = 0;
    for (size_t j = 0; j < s->assign->count; j++)
        if (is_kept(s, t, j) && s->depth_of[j] >= depth)
            depth = s->depth_of[j] + 1;
    return depth;
}

/* Remembers what oversaturates the tank: so much or more of some items; or
 * that with so much or less of the acids; or, where less or more of others
 * would help too, just this. */
static void cut_off(search *s, sw_tank tank)
{
    trial t = {.tank = tank,
               .share = sw_take_numbers(s->solver, s->assign->count)};
    size_t depth = find_depth(s, &t);
    if (!depth) {
        t.acids_kept = true;
        depth = find_depth(s, &t);
    }
    bool exactly = depth == 0;
    if (s->assign->count == 0)
        return; /* water alone: there is no branch */
    if (exactly)
        depth = s->assign->count;
    else
        make_bare(s, &t, depth);
    size_t acids = exactly ? 0 : depth_of_acids(s, &t);
    depth = depth > acids ? depth : acids;
    cut *c = sw_take(s->solver, 1, sizeof *c);
    *c = (cut){.tank = tank,
               .next = s->cuts[depth - 1],
               .demands = sw_take(s->solver, depth, sizeof *c->demands)};
    for (size_t d = 0; d < depth; d++) {
        size_t j = s->order[d];
        fit how = exactly ? EXACTLY : is_kept(s, &t, j) ? OR_LESS : OR_MORE;
        if (how != OR_MORE || t.share[j] > 0)
            c->demands[c->count++] = (demand){j, t.share[j], how};
    }
    s->cuts[depth - 1] = c;
    s->back = depth - 1;
}

/* Whether all tanks stay dissolved; else a cut is kept. */
static bool dissolves(search *s)
{
    for (int t = 0; t < SW_TANKS; t++) {
        sw_tank_content content;
        size_t solid;
        sw_assign_tank(s->assign, s->option, (sw_tank)t, &content);
        if (!oversaturates(s, &content, &solid))
            continue;
        s->best.solid = solid;
        s->best.tank = (sw_tank)t;
        if (solid < sw_stock_solid_count())
            s->best.comes_out[solid] = true;
        cut_off(s, (sw_tank)t);
        return false;
    }
    return true;
}

/* ---- The search ---- */

static void take_assignment(search *s, double cost)
{
    if (!dissolves(s))
        return;
    s->best.found = true;
    s->best.objective = cost;
    memcpy(s->best.option, s->option, s->assign->count * sizeof *s->option);
}

/* A branch to follow, by what it costs at least. */
typedef struct twig {
    size_t option;
    double bound;
    node node;
} twig;

static size_t grow_twigs(search *s, const node *n, size_t depth, twig *twigs)
{
    const sw_assigned *item = &s->assign->items[s->order[depth]];
    size_t count = 0;
    for (size_t o = 0; o < item->option_count; o++) {
        twig t = {.option = o};
        if (!branch(s, n, depth, &item->option[o], &t.node))
            continue;
        t.bound = bound_of(s, &t.node, depth + 1);
        size_t at = count++;
        for (; at > 0 && sw_is_less(t.bound, twigs[at - 1].bound, SW_SUMMED);
             at--)
            twigs[at] = twigs[at - 1];
        twigs[at] = t;
    }
    return count;
}

/* NOLINTNEXTLINE(misc-no-recursion): as deep as there are products */
static void descend(search *s, const node *n, size_t depth)
{
    twig twigs[SW_OPTIONS_MAX];
    if (depth == s->assign->count) {
        take_assignment(s, bound_of(s, n, depth));
        return;
    }
    size_t count = grow_twigs(s, n, depth, twigs);
    for (size_t i = 0; i < count && !spent(s); i++) {
        if (s->best.found && twigs[i].bound >= s->best.objective - alike)
            return;
        s->nodes++;
        s->option[s->order[depth]] = twigs[i].option;
        if (!is_cut(s, depth))
            descend(s, &twigs[i].node, depth + 1);
        if (s->back < depth)
            return; /* what was found further on cuts it off */
        s->back = SIZE_MAX;
    }
}

/* Those with a choice last, the heavier first. */
static bool comes_before(const sw_assigned *one, const sw_assigned *other)
{
    bool tied = one->option_count == 1, other_tied = other->option_count == 1;
    return tied != other_tied
               ? tied
               : one->g_per_l[SW_TANK_A] > other->g_per_l[SW_TANK_A];
}

static void put_in_order(search *s)
{
    const sw_assigned *items = s->assign->items;
    for (size_t j = 0; j < s->assign->count; j++) {
        size_t at = j;
        for (; at > 0 && comes_before(&items[j], &items[s->order[at - 1]]);
             at--)
            s->order[at] = s->order[at - 1];
        s->order[at] = j;
    }
    for (size_t d = 0; d < s->assign->count; d++)
        s->depth_of[s->order[d]] = d;
}

/* What the items from each depth on add at least. */
static void sum_the_rest(search *s)
{
    for (size_t d = s->assign->count; d-- > 0;) {
        const sw_assigned *item = &s->assign->items[s->order[d]];
        double cost = INFINITY, load = INFINITY;
        for (size_t o = 0; o < item->option_count; o++) {
            const sw_option *option = &item->option[o];
            cost = fmin(cost, option->cost);
            load = fmin(
                load, option->share[SW_TANK_A] * item->g_per_l[SW_TANK_A] +
                          option->share[SW_TANK_B] * item->g_per_l[SW_TANK_B]);
        }
        s->rest_cost[d] = s->rest_cost[d + 1] + cost;
        s->rest_load[d] = s->rest_load[d + 1] + load;
        for (int t = 0; t < SW_TANKS; t++)
            s->rest_base[t][d] =
                s->rest_base[t][d + 1] +
                most_of(item, (sw_tank)t) * fmax(0, outward_meq(item, t));
    }
}

sw_assignment sw_assign_solve(sw_solver *solver, const sw_assign *a,
                              double strength, sw_assign_aim aim)
{
    size_t n = a->count + 1;
    search s = {.solver = solver,
                .assign = a,
                .strength = strength,
                .all = total_of(a),
                .first = aim != SW_ASSIGN_BEST,
                .order = sw_take(solver, n, sizeof *s.order),
                .depth_of = sw_take(solver, n, sizeof *s.depth_of),
                .rest_cost = sw_take_numbers(solver, n),
                .rest_load = sw_take_numbers(solver, n),
                .cuts = sw_take(solver, n, sizeof(cut *)),
                .feud_count = sw_feud_count(),
                .option = sw_take(solver, n, sizeof *s.option),
                .back = SIZE_MAX,
                .best = {.solid = sw_stock_solid_count(), .tank = SW_TANKS}};
    s.best.option = sw_take(solver, n, sizeof *s.best.option);
    s.feuds = sw_take(solver, s.feud_count, sizeof *s.feuds);
    for (size_t i = 0; i < s.feud_count; i++)
        s.feuds[i] = sw_feud_at(i);
    for (int t = 0; t < SW_TANKS; t++)
        s.rest_base[t] = sw_take_numbers(solver, n);
    put_in_order(&s);
    sum_the_rest(&s);
    node root = {.cost = 0};
    descend(&s, &root, 0);
    s.best.checks = s.checks;
    s.best.open = spent(&s) && !(s.first && s.best.found);
    return s.best;
}
