/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Which products may serve, and what a pH counts.  Carbonates and hydroxides
 * are nothing but bases, while a dibasic phosphate or a silicate is a nutrient
 * first where nothing else brings it.  A trace source serves trace elements
 * that the target asks for, never the sulfate that comes along.
 */
#include "formulate/setting.h"

#include "quantity/components.h"
#include "records/targets.h"

#include <math.h>
#include <string.h>

/* Where the target names no pH, acids are not used to below the usual range,
 * bases not to above it.  With one limit given, half a unit beyond it serves
 * too. */
static const double half_range = 0.5;

/* What a target counts at the end of its accepted range, 10 % off. */
static const double end_counts = 0.1;

/* Of what the water alone brings: a laboratory is off by some 5 % (common
 * practice, no source), so that a few products add nothing it could tell. */
static const double untold = 0.01;

/* Where rows of a pH are defined (chemistry/ph_row.h). */
static const double least_row_ph = 2, most_row_ph = 12;

/* ---- Products ----------------------------------------------------------- */

sw_content sw_problem_water(const sw_problem *problem)
{
    sw_content all = {{0}};
    sw_content_add_waters(&all, problem->waters, problem->fractions,
                          problem->water_count);
    return all;
}

static void find_roles(const sw_problem *problem, const sw_ph_row *row,
                       sw_setting *setting)
{
    const sw_shelf *shelf = problem->shelf;
    for (size_t j = 0; j < shelf->count; j++)
        setting->role[j] = sw_ph_role_of(
            &shelf->products[j], sw_ph_row_sum(row, &shelf->products[j].per_g));
    sw_ph_replace_nutrients(shelf, problem->target, setting->role);
    for (size_t j = 0; j < shelf->count; j++) {
        bool free = sw_ph_can_vary(&shelf->products[j]);
        setting->has_acid |= free && setting->role[j] == SW_PH_ACID;
        setting->has_base |= free && setting->role[j] == SW_PH_BASE;
    }
}

/* To what the water alone brings too much of, by more than nobody could tell.
 * What keeps a ratio itself brings it nearer to that, and so does any that
 * brings a part of which there is none. */
static bool adds_to_water(const sw_problem *problem, const sw_gave *gave,
                          const sw_content *per_g)
{
    double fill = gave ? sw_fill_of(problem->target, per_g) : 0;
    for (size_t i = 0; gave && i < problem->target->count; i++) {
        const sw_target_row *row = &problem->target->rows[i];
        bool is_ratio = row->kind == SW_TARGET_RATIO;
        bool over = !is_ratio || isnan(gave[i].min);
        double part = per_g->amount[row->component];
        double other = is_ratio ? per_g->amount[row->other] : 0;
        sw_component lacks = over ? row->other : row->component;
        bool is_first = is_ratio && per_g->amount[lacks] > 0 &&
                        !(sw_problem_water(problem).amount[lacks] > 0);
        double adds =
            over ? part - gave[i].max * other : other - part / gave[i].min;
        if (gave[i].brings > 0 && !is_first &&
            sw_is_meant_for(per_g, over ? row->component : row->other) &&
            adds * fill > untold * gave[i].brings)
            return true;
    }
    return false;
}

/* What is shut in every setting stays so. */
static sw_left_out shut_of(const sw_setting *setting, size_t j)
{
    if (setting->shut[j] >= SW_LEFT_TRACE)
        return setting->shut[j];
    if (setting->role[j] == SW_PH_ACID && !(setting->allowed & SW_ACIDS))
        return SW_LEFT_ACID;
    if (setting->role[j] == SW_PH_BASE && !(setting->allowed & SW_BASES))
        return SW_LEFT_BASE;
    return SW_IN_USE;
}

/* ---- The pH ------------------------------------------------------------- */

/* Free waters count alike, but for how much of each may be taken. */
static double usual_share(const sw_problem *problem, size_t water)
{
    double all = 0;
    if (problem->fractions)
        return problem->fractions[water];
    for (size_t k = 0; k < problem->water_count; k++)
        all += problem->most_share ? problem->most_share[k] : 1;
    return (problem->most_share ? problem->most_share[water] : 1) / all;
}

/* What the target asks for, or the waters bring where that is more. */
static sw_content asked_of(const sw_problem *problem)
{
    sw_content asked = {0};
    for (size_t k = 0; k < problem->water_count; k++)
        sw_content_add(&asked, usual_share(problem, k), &problem->waters[k]);
    for (size_t i = 0; i < problem->target->count; i++) {
        const sw_target_row *row = &problem->target->rows[i];
        double *amount = &asked.amount[row->component];
        if (row->kind == SW_TARGET_COMPONENT && row->target > 0)
            *amount = fmax(*amount, row->target);
    }
    return asked;
}

/* Without signs: what brings a charge and what takes it are two. */
static void note_possible(const sw_problem *problem, sw_setting *setting)
{
    for (int i = 0; i < SW_CARRIED_COUNT; i++) {
        double *sum = &setting->possible.amount[i];
        for (size_t k = 0; k < problem->water_count; k++)
            *sum += fabs(problem->waters[k].amount[i]);
        for (size_t j = 0; j < problem->shelf->count; j++)
            *sum += fabs(problem->shelf->products[j].per_g.amount[i]);
    }
}

/* Rows at the ends and at the target of each aim, and the one by which products
 * have their roles; all in one question. */
typedef struct rows {
    sw_ph_memory memory[3 * SW_MOST_AIMS + 1], *each[3 * SW_MOST_AIMS + 1];
    sw_constants room;
    size_t count;
} rows;

static void ask(rows *r, const sw_setting *setting, const sw_ph_aim *aim,
                double ph, const sw_content *guess)
{
    r->each[r->count] = &r->memory[r->count];
    r->memory[r->count++] = (sw_ph_memory){.ph = ph,
                                           .guess = guess,
                                           .aired = aim->row->aired,
                                           .possible = &setting->possible,
                                           .room = &r->room};
}

static void ask_scale(rows *r, const sw_setting *setting, const sw_ph_aim *aim,
                      const sw_content *asked)
{
    sw_band range = sw_band_of(aim->row);
    /* a target at the end of its range is measured half a unit beyond */
    double low = range.low < aim->target ? range.low : aim->target - half_range;
    double high =
        range.high > aim->target ? range.high : aim->target + half_range;
    ask(r, setting, aim, fmax(low, least_row_ph), asked);
    ask(r, setting, aim, aim->target, asked);
    ask(r, setting, aim, fmin(high, most_row_ph), asked);
}

static void take_scale(const sw_ph_memory *of, const sw_content *asked,
                       sw_ph_aim *aim)
{
    double excess[3];
    for (int i = 0; i < 3; i++)
        excess[i] = sw_ph_row_excess(&of[i].row, asked);
    aim->scale_below = end_counts / (excess[0] - excess[1]);
    aim->scale_above = end_counts / (excess[1] - excess[2]);
}

/* A range that nobody gave, or what is given up of it, as sw_renew has it. */
static void hold_aim(const sw_problem *problem, size_t row, sw_ph_aim *aim)
{
    if (!problem->no_further)
        return;
    const sw_no_further *of = &problem->no_further[row];
    sw_band range = sw_band_of(aim->row);
    if (of->min[0] > aim->low) {
        aim->low = of->min[0];
        aim->low_origin = aim->low < range.low ? SW_NO_FURTHER : SW_BY_RANGE;
    }
    if (of->max[0] < aim->high) {
        aim->high = of->max[0];
        aim->high_origin = aim->high > range.high ? SW_NO_FURTHER : SW_BY_RANGE;
    }
}

static void add_aims(const sw_problem *problem, bool aired, sw_setting *setting)
{
    for (size_t i = 0; i < problem->target->count; i++) {
        const sw_target_row *row = &problem->target->rows[i];
        if (row->kind != SW_TARGET_PH || row->aired != aired ||
            setting->aims == SW_MOST_AIMS)
            continue;
        sw_band limits = sw_limits_of(problem, row);
        sw_ph_aim *aim = &setting->aim[setting->aims++];
        *aim = (sw_ph_aim){
            .row = row,
            .target = row->weight > 0 ? row->target : NAN,
            .low = limits.low,
            .high = limits.high,
            .low_origin = isnan(row->min) ? SW_BY_RANGE : SW_GIVEN,
            .high_origin = isnan(row->max) ? SW_BY_RANGE : SW_GIVEN,
        };
        hold_aim(problem, i, aim);
    }
}

/* What products do is judged at the pH asked for, else in the usual range. */
static double ph_of_roles(const sw_ph_aim *aim)
{
    return isnan(aim->row->target)
               ? fmin(fmax(SW_USUAL_PH_HIGH, aim->low), aim->high)
               : aim->row->target;
}

/* Of the solution asked for, which is much like what is found. */
static void keep_starts(sw_solver *solver, const rows *r, sw_setting *setting)
{
    setting->starts = r->count - 1;
    setting->start = sw_take(solver, r->count, sizeof *setting->start);
    for (size_t i = 0; i < setting->starts; i++) {
        setting->start[i] = r->memory[i];
        setting->start[i].found.constants = NULL; /* of this call alone */
    }
}

static sw_status find_aims(sw_solver *solver, const sw_problem *problem,
                           sw_setting *setting, sw_error *error)
{
    rows r; /* of which next to nothing is used */
    r.count = 0;
    sw_content asked = asked_of(problem);
    sw_ph_row none = {.coefficient = {[SW_ALKALINITY] = 1}};
    add_aims(problem, false, setting);
    add_aims(problem, true, setting);
    for (size_t i = 0; i < setting->aims; i++)
        if (!isnan(setting->aim[i].target))
            ask_scale(&r, setting, &setting->aim[i], &asked);
    if (setting->aims)
        ask(&r, setting, &setting->aim[0], ph_of_roles(&setting->aim[0]),
            &problem->waters[0]);
    sw_status status =
        sw_ph_rows_near(r.each, r.count, &problem->conditions, error);
    if (status != SW_OK)
        return status;
    for (size_t i = 0, at = 0; i < setting->aims; i++)
        if (!isnan(setting->aim[i].target)) {
            take_scale(&r.memory[at], &asked, &setting->aim[i]);
            at += 3;
        }
    find_roles(problem, r.count ? &r.memory[r.count - 1].row : &none, setting);
    if (r.count)
        keep_starts(solver, &r, setting);
    return SW_OK;
}

/* Where the target names no pH. */
static void add_usual(sw_solver *solver, sw_setting *setting)
{
    sw_target_row *row = sw_take(solver, 1, sizeof *row);
    *row = (sw_target_row){.kind = SW_TARGET_PH,
                           .name = (char *)"pH", /* nobody writes to it */
                           .target = NAN,
                           .min = NAN,
                           .max = NAN,
                           .weight = 1};
    setting->aim[setting->aims++] = (sw_ph_aim){
        .row = row, .target = NAN, .low = -INFINITY, .high = INFINITY};
}

sw_status sw_setting_make(sw_solver *solver, const sw_problem *problem,
                          const sw_gave *gave, sw_setting *setting,
                          sw_error *error)
{
    size_t count = problem->shelf->count;
    *setting = (sw_setting){.gave = gave, .allowed = SW_NO_AGENT};
    setting->role = sw_take(solver, count, sizeof(sw_ph_role));
    setting->shut = sw_take(solver, count, sizeof(sw_left_out));
    for (size_t j = 0; j < count; j++) {
        const sw_product *product = &problem->shelf->products[j];
        if (sw_is_idle_trace(problem->target, product))
            setting->shut[j] = SW_LEFT_TRACE;
        else if (sw_is_outlasted(problem->shelf, problem->target, product))
            setting->shut[j] = SW_LEFT_OUTLASTED;
        else if (adds_to_water(problem, gave, &product->per_g))
            setting->shut[j] = SW_LEFT_WATER;
    }
    note_possible(problem, setting);
    sw_status status = find_aims(solver, problem, setting, error);
    if (status != SW_OK)
        return status;
    const sw_target_row *sought = setting->aims ? setting->aim[0].row : NULL;
    setting->seeks_ph = sought && (sought->line > 0 || sought->set);
    if (!setting->aims && (setting->has_acid || setting->has_base))
        add_usual(solver, setting);
    *setting = sw_setting_with(solver, setting, problem, SW_NO_AGENT);
    return SW_OK;
}

/* Without a least pH given, acid serves down to the usual range, or to the end
 * of the accepted one where that is lower; bases likewise up. */
static void limit_end(sw_setting *setting, bool low)
{
    sw_ph_aim *aim = &setting->aim[0];
    sw_band range = sw_band_of(aim->row);
    double *limit = low ? &aim->low : &aim->high;
    sw_origin origin = low ? aim->low_origin : aim->high_origin;
    if (isfinite(*limit) && origin != SW_NO_FURTHER)
        return;
    if (low)
        *limit = fmin(SW_USUAL_PH_LOW, aim->high - half_range);
    else
        *limit = fmax(SW_USUAL_PH_HIGH, aim->low + half_range);
    if (isfinite(low ? range.low : range.high))
        *limit = low ? fmin(*limit, range.low) : fmax(*limit, range.high);
    *(low ? &aim->low_origin : &aim->high_origin) = SW_OWN_RANGE;
    setting->own_limit = true;
}

sw_setting sw_setting_with(sw_solver *solver, const sw_setting *none,
                           const sw_problem *problem, sw_allowed allowed)
{
    sw_setting made = *none;
    made.allowed = allowed;
    if (made.aims && (allowed == SW_ACIDS || allowed == SW_BASES))
        limit_end(&made, allowed == SW_ACIDS);
    sw_left_out *shut =
        sw_take(solver, problem->shelf->count, sizeof(sw_left_out));
    for (size_t j = 0; j < problem->shelf->count; j++)
        shut[j] = shut_of(&made, j);
    made.shut = shut;
    return made;
}

/* With neither acid nor base only where these bring a limit of ours. */
size_t sw_settings_list(sw_solver *solver, const sw_setting *none,
                        const sw_problem *problem, sw_setting *list)
{
    size_t count = 0;
    bool own = !none->has_acid && !none->has_base;
    if (none->has_acid)
        list[count++] = sw_setting_with(solver, none, problem, SW_ACIDS);
    if (none->has_base)
        list[count++] = sw_setting_with(solver, none, problem, SW_BASES);
    for (size_t i = 0; i < count; i++)
        own |= list[i].own_limit;
    if (!own)
        return count;
    memmove(list + 1, list, count * sizeof *list);
    list[0] = *none;
    return count + 1;
}
