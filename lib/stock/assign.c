/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The integer program of assign.h on GLPK.  Saturation is not linear, so an
 * assignment is solved for, its tanks are checked, and what oversaturates one
 * is cut off: the contributors to the solid must not all be there in these
 * shares or larger ones.  Solved again until all tanks stay dissolved or no
 * assignment is left.
 */
#include "stock/assign.h"

#include "stock/classes.h"

#include <glpk.h>
#include <math.h>
#include <string.h>

enum { ROUNDS_MAX = 500 };

/* Free acid in a tank with a chelate, at most: about pH 4. */
static const double chelate_acid_meq_per_l = 0.1;

double sw_assign_cost(const sw_assign *a, const size_t *option)
{
    double load[SW_TANKS] = {0}, all = 0, cost = 0;
    for (size_t j = 0; j < a->count; j++) {
        const sw_assigned *item = &a->items[j];
        const sw_option *o = &item->option[option[j]];
        cost += o->cost;
        all += item->g_per_l[SW_TANK_A];
        for (int t = 0; t < SW_TANKS; t++)
            load[t] += o->share[t] * item->g_per_l[t];
    }
    return cost + fmax(load[SW_TANK_A], load[SW_TANK_B]) / fmax(all, 1e-12);
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

/* The program: columns are the options of each item, then the presence of each
 * class in each tank, then the load. */
typedef struct program {
    const sw_assign *assign;
    double strength;
    glp_prob *problem;
    int *index; /* scratch of one row, from 1 */
    double *value;
    int length;
} program;

static int option_column(const program *p, size_t item, size_t option)
{
    (void)p;
    return (int)(item * SW_OPTIONS_MAX + option) + 1;
}

static int presence_column(const program *p, int class_index, int tank)
{
    return (int)(p->assign->count * SW_OPTIONS_MAX) + class_index * SW_TANKS +
           tank + 1;
}

static int load_column(const program *p)
{
    return presence_column(p, SW_CLASS_COUNT, 0);
}

static void put(program *p, int column, double value)
{
    p->length++;
    p->index[p->length] = column;
    p->value[p->length] = value;
}

/* Closes the row in scratch: low <= row <= high. */
static void add_row(program *p, double low, double high)
{
    int row = glp_add_rows(p->problem, 1);
    int kind = low == high        ? GLP_FX
               : low == -INFINITY ? GLP_UP
               : high == INFINITY ? GLP_LO
                                  : GLP_DB;
    glp_set_mat_row(p->problem, row, p->length, p->index, p->value);
    glp_set_row_bnds(p->problem, row, kind, low, high);
    p->length = 0;
}

static void add_columns(program *p)
{
    const sw_assign *a = p->assign;
    glp_add_cols(p->problem, load_column(p));
    for (int c = 1; c < load_column(p); c++)
        glp_set_col_kind(p->problem, c, GLP_BV);
    for (size_t j = 0; j < a->count; j++)
        for (size_t o = 0; o < SW_OPTIONS_MAX; o++) {
            int c = option_column(p, j, o);
            if (o < a->items[j].option_count)
                glp_set_obj_coef(p->problem, c, a->items[j].option[o].cost);
            else
                glp_set_col_bnds(p->problem, c, GLP_FX, 0, 0);
        }
    glp_set_col_bnds(p->problem, load_column(p), GLP_LO, 0, 0);
    glp_set_obj_coef(p->problem, load_column(p), 1);
}

static void take_one_option_each(program *p)
{
    for (size_t j = 0; j < p->assign->count; j++) {
        for (size_t o = 0; o < p->assign->items[j].option_count; o++)
            put(p, option_column(p, j, o), 1);
        add_row(p, 1, 1);
    }
}

static void mark_presence(program *p)
{
    for (size_t j = 0; j < p->assign->count; j++) {
        const sw_assigned *item = &p->assign->items[j];
        for (int c = 0; c < SW_CLASS_COUNT; c++)
            for (int t = 0; t < SW_TANKS && item->classes >> c & 1; t++) {
                for (size_t o = 0; o < item->option_count; o++)
                    if (item->option[o].share[t] > 0)
                        put(p, option_column(p, j, o), 1);
                put(p, presence_column(p, c, t), -1);
                add_row(p, -INFINITY, 0);
            }
    }
}

static int index_of(sw_class class)
{
    int i = 0;
    while (class >> i != 1)
        i++;
    return i;
}

static void keep_feuds_apart(program *p)
{
    for (size_t f = 0; f < sw_feud_count(); f++)
        for (int t = 0; t < SW_TANKS; t++) {
            sw_feud feud = sw_feud_at(f);
            put(p, presence_column(p, index_of(feud.one), t), 1);
            put(p, presence_column(p, index_of(feud.other), t), 1);
            add_row(p, -INFINITY, 1);
        }
}

/* meq of a litre of stock with the whole item in the tank, as other products'
 * chelates see it: what a product does to its own chelate no tank changes. */
static double outward_meq(const sw_assigned *item, int tank)
{
    double meq = item->g_per_l[tank] * item->per_g->amount[SW_ALKALINITY];
    return item->classes & SW_CLASS_CHELATE ? fmax(meq, 0) : meq;
}

/* A chelate in the tank: its alkalinity not below that of about pH 4. */
static void keep_chelates_from_acid(program *p)
{
    const sw_assign *a = p->assign;
    for (int t = 0; t < SW_TANKS; t++) {
        double acid = fmin(0, a->make_up.amount[SW_ALKALINITY]);
        for (size_t j = 0; j < a->count; j++) {
            const sw_assigned *item = &a->items[j];
            double meq = p->strength * outward_meq(item, t);
            acid += fmin(0, meq);
            for (size_t o = 0; o < item->option_count && meq != 0; o++)
                if (item->option[o].share[t] > 0)
                    put(p, option_column(p, j, o),
                        meq * item->option[o].share[t]);
        }
        put(p, presence_column(p, index_of(SW_CLASS_CHELATE), t), acid);
        add_row(
            p, acid - chelate_acid_meq_per_l - a->make_up.amount[SW_ALKALINITY],
            INFINITY);
    }
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

static void level_the_load(program *p)
{
    const sw_assign *a = p->assign;
    double all = 0;
    for (size_t j = 0; j < a->count; j++)
        all += a->items[j].g_per_l[SW_TANK_A];
    for (int t = SW_TANK_A; t <= SW_TANK_B; t++) {
        for (size_t j = 0; j < a->count; j++) {
            const sw_assigned *item = &a->items[j];
            for (size_t o = 0; o < item->option_count; o++)
                if (item->option[o].share[t] > 0)
                    put(p, option_column(p, j, o),
                        item->option[o].share[t] * item->g_per_l[t] /
                            fmax(all, 1e-12));
        }
        put(p, load_column(p), -1);
        add_row(p, -INFINITY, 0);
    }
}

static bool run(program *p, size_t *option)
{
    glp_iocp control;
    glp_init_iocp(&control);
    control.msg_lev = GLP_MSG_OFF;
    control.presolve = GLP_ON;
    if (glp_intopt(p->problem, &control) != 0 ||
        glp_mip_status(p->problem) != GLP_OPT)
        return false;
    for (size_t j = 0; j < p->assign->count; j++)
        for (size_t o = 0; o < p->assign->items[j].option_count; o++)
            if (glp_mip_col_val(p->problem, option_column(p, j, o)) > 0.5)
                option[j] = o;
    return true;
}

/* The first tank that does not stay dissolved, or SW_TANKS. */
static sw_tank check_tanks(const program *p, const size_t *option,
                           size_t *solid)
{
    for (int t = 0; t < SW_TANKS; t++) {
        sw_tank_content content;
        sw_assign_tank(p->assign, option, (sw_tank)t, &content);
        if (sw_tank_saturation(p->assign->solubility, &content, p->strength,
                               solid) > 1)
            return (sw_tank)t;
    }
    return SW_TANKS;
}

static bool contributes(const sw_assigned *item, size_t solid)
{
    double mol[SW_IONS];
    sw_brine_moles(item->per_g, mol);
    return sw_stock_solid_uses(solid, mol);
}

/*
 * Whether the contributors alone, and with all that could join them, already
 * oversaturate; then the shares of the others do not matter to the cut.
 */
static bool is_by_contributors(const program *p, const size_t *option,
                               sw_tank tank, size_t solid)
{
    const sw_assign *a = p->assign;
    sw_tank_content bare = {.make_up = a->make_up}, full = bare;
    for (size_t j = 0; j < a->count; j++) {
        const sw_assigned *item = &a->items[j];
        bool counts = contributes(item, solid);
        double share = item->option[option[j]].share[tank], most = share;
        for (size_t o = 0; o < item->option_count && !counts; o++)
            most = fmax(most, item->option[o].share[tank]);
        sw_content_add(&bare.salts, counts ? share * item->g_per_l[tank] : 0,
                       item->per_g);
        sw_content_add(&full.salts, most * item->g_per_l[tank], item->per_g);
    }
    size_t any;
    return sw_tank_saturation(a->solubility, &bare, p->strength, &any) > 1 &&
           sw_tank_saturation(a->solubility, &full, p->strength, &any) > 1;
}

/* At least one product must take an option with less in this tank; of the
 * others, another option.  False when that leaves nothing. */
static bool cut_off(program *p, const size_t *option, sw_tank tank,
                    size_t solid)
{
    const sw_assign *a = p->assign;
    bool alone = solid < sw_stock_solid_count() &&
                 is_by_contributors(p, option, tank, solid);
    int held = 0;
    for (size_t j = 0; j < a->count; j++) {
        const sw_assigned *item = &a->items[j];
        double share = item->option[option[j]].share[tank];
        bool counts =
            solid >= sw_stock_solid_count() || contributes(item, solid);
        if (alone && (!counts || share <= 0))
            continue;
        held++;
        for (size_t o = 0; o < item->option_count; o++)
            if (counts ? item->option[o].share[tank] >= share
                       : item->option[o].share[tank] == share)
                put(p, option_column(p, j, o), 1);
    }
    add_row(p, -INFINITY, held - 1);
    return held > 0;
}

static void open_program(sw_solver *solver, program *p)
{
    size_t columns =
        p->assign->count * SW_OPTIONS_MAX + (SW_CLASS_COUNT + 1) * SW_TANKS + 2;
    p->index = sw_take(solver, columns, sizeof *p->index);
    p->value = sw_take_numbers(solver, columns);
    p->problem = glp_create_prob();
    add_columns(p);
    take_one_option_each(p);
    mark_presence(p);
    keep_feuds_apart(p);
    keep_chelates_from_acid(p);
    level_the_load(p);
}

sw_assignment sw_assign_solve(sw_solver *solver, const sw_assign *assign,
                              double strength)
{
    program p = {.assign = assign, .strength = strength};
    sw_assignment out = {.solid = sw_stock_solid_count(), .tank = SW_TANKS};
    out.option = sw_take(solver, assign->count, sizeof *out.option);
    open_program(solver, &p);
    for (int round = 0; round < ROUNDS_MAX && run(&p, out.option); round++) {
        size_t solid;
        sw_tank tank = check_tanks(&p, out.option, &solid);
        if (tank == SW_TANKS) {
            out.found = true;
            out.objective = sw_assign_cost(assign, out.option);
            break;
        }
        out.solid = solid;
        out.tank = tank;
        if (!cut_off(&p, out.option, tank, solid))
            break;
    }
    glp_delete_prob(p.problem);
    return out;
}

static bool keeps_apart(sw_solver *solver, const sw_assign *assign,
                        double strength)
{
    program p = {.assign = assign, .strength = strength};
    size_t *option = sw_take(solver, assign->count, sizeof *option);
    open_program(solver, &p);
    bool kept = run(&p, option);
    glp_delete_prob(p.problem);
    return kept;
}

/* Leaves out one product after the other for as long as the rest clashes. */
size_t sw_assign_clash(sw_solver *solver, const sw_assign *assign,
                       double strength, size_t *clash)
{
    sw_assign rest = *assign;
    rest.items = sw_take(solver, assign->count, sizeof *rest.items);
    memcpy(rest.items, assign->items, assign->count * sizeof *rest.items);
    if (keeps_apart(solver, &rest, strength))
        return 0;
    for (size_t j = rest.count; j-- > 0;) {
        sw_assigned left_out = rest.items[j];
        rest.items[j] = rest.items[--rest.count];
        if (!keeps_apart(solver, &rest, strength))
            continue;
        rest.items[rest.count++] = rest.items[j];
        rest.items[j] = left_out;
    }
    size_t count = 0;
    for (size_t i = 0; i < assign->count; i++)
        for (size_t j = 0; j < rest.count; j++)
            if (rest.items[j].product == assign->items[i].product)
                clash[count++] = i;
    return count;
}
