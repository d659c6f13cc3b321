/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * From a recipe to stock tanks: assign the products, fill the tanks, report
 * what stays dissolved, what the injectors deliver and what it costs.
 */
#include "stock/tank_assign.h"
#include "stock/dosing.h"
#include "stock/tank_plan.h"

#include "quantity/notes.h"
#include "quantity/status.h"
#include "quantity/text.h"
#include "stock/product_classes.h"
#include "table_words.h"
#include "table_refusals.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A step above a strength that still works, when looking for more. */
static const double next = 1.002;
/* Tanks speciated at most: for the assignment, for the highest factor, for the
 * products to blame, and for each remedy. */
enum {
    CHECKS_MAX = 5000,
    CHECKS_FOR_HIGHEST_MAX = 12000,
    CHECKS_FOR_CLASH_MAX = 4000,
    CHECKS_FOR_TRIAL_MAX = 1000
};

typedef struct task {
    const sw_mix *mix;
    const sw_stock_setup *setup;
    sw_stock *stock;
    sw_pitzer pitzer;
    sw_solubility solubility;
    bool open;  /* a search for the highest factor was cut short */
    bool trial; /* of a remedy: whether it works, and no more */
    sw_error *error;
} task;

static double full_ratio(const sw_assign *a)
{
    double most = 0;
    for (size_t j = 0; j < a->count; j++)
        most = fmax(most, a->items[j].g_per_l[SW_TANK_A]);
    return most;
}

/* Strength to which the tanks of an assignment that works at `from` stay
 * dissolved, with room for water, and chelates apart from acid. */
static double strength_of(const sw_assign *a, const size_t *option, double from)
{
    double least = fmin(sw_assign_chelate_strength(a, option),
                        sw_assign_room_strength(a, option));
    for (int t = 0; t < SW_TANKS; t++) {
        sw_tank_content content;
        size_t solid;
        sw_assign_tank(a, option, (sw_tank)t, &content);
        sw_content salts = content.salts;
        content.salts = (sw_content){{0}};
        sw_content_add(&content.salts, from, &salts);
        least = fmin(least,
                     from * sw_tank_strength(a->solubility, &content, &solid));
    }
    return fmax(least, from);
}

static void keep_clash(task *k, const sw_assign *a, const sw_clash *clash)
{
    k->stock->clash_count = clash->count;
    for (size_t i = 0; i < clash->count; i++)
        k->stock->clash[i] = a->items[clash->item[i]].product;
}

static void write_limit(sw_solver *solver, task *k, sw_assign *a,
                        const sw_assignment *failed, double strength)
{
    sw_stock *stock = k->stock;
    bool conflict = stock->highest_factor < k->setup->factor;
    a->checks_max = CHECKS_FOR_CLASH_MAX;
    sw_clash clash = {.count = 0};
    if (conflict)
        clash = sw_assign_clash(solver, a, strength);
    bool room =
        failed->tank < SW_TANKS && failed->solid >= sw_stock_solid_count();
    keep_clash(k, a, &clash);
    sw_assign_feud(a, stock->limit, sizeof stock->limit);
    if (*stock->limit)
        return;
    if (clash.count > 0 && !room)
        sw_assign_clash_text(a, &clash, stock->highest_factor, stock->limit,
                             sizeof stock->limit);
    else if (failed->tank == SW_TANKS)
        snprintf(stock->limit, sizeof stock->limit, SW_SAY_TANKS_NONE);
    else if (room)
        snprintf(stock->limit, sizeof stock->limit, SW_SAY_TANKS_NO_ROOM,
                 sw_tank_text(failed->tank), stock->highest_factor);
    else
        snprintf(stock->limit, sizeof stock->limit, SW_SAY_TANKS_SOLID,
                 sw_stock_solid_name(failed->solid),
                 sw_stock_solid_formula(failed->solid),
                 sw_tank_text(failed->tank), stock->highest_factor);
}

/*
 * Between a strength at which some assignment works and one at which none
 * does, until they are a step apart; the tanks asked for come first.  Hard
 * water may lose a solid to a trace of the salts and keep it with more of them,
 * which are acid: so the search does not start from next to nothing.
 */
static void find_highest(sw_solver *solver, task *k, sw_assign *a)
{
    sw_stock *stock = k->stock;
    double least = SW_LEAST_FACTOR / k->setup->factor;
    double works = 0;
    double fails = fmax(1, SW_MOST_STRENGTH / k->setup->factor) * next;
    sw_assignment failed = {.tank = SW_TANKS};
    double at = 1;
    a->checks_max = CHECKS_FOR_HIGHEST_MAX;
    while (fails > works * next * (1 + 1e-9) && at >= least) {
        sw_assignment s = sw_assign_solve(solver, a, at, SW_ASSIGN_ANY);
        k->open = k->open || s.open;
        a->checks_max -= s.checks;
        if (s.found)
            works = fmin(strength_of(a, s.option, at), fails / next);
        else {
            fails = at;
            if (!s.open || s.tank < SW_TANKS)
                failed = s;
        }
        at = works > 0 ? fmax(works * next, sqrt(works * fails)) : at / 2;
    }
    stock->highest_factor = works * k->setup->factor;
    if (failed.option)
        write_limit(solver, k, a, &failed, fails);
}

static void place(const task *k, const sw_assign *a, const size_t *option)
{
    for (size_t j = 0; j < a->count; j++) {
        const sw_assigned *item = &a->items[j];
        const sw_option *o = &item->option[option[j]];
        sw_placement *p = &k->stock->placements[item->product];
        for (int t = 0; t < SW_TANKS; t++)
            p->g[t] = o->share[t] * item->g_per_l[t] *
                      sw_stock_volume_l(k->setup, (sw_tank)t);
        sw_assign_reason(&a->shelf->products[item->product], item, o,
                         a->count == 1, p->reason, sizeof p->reason);
    }
}

/* What a search that was cut short leaves open. */
static void note_open(const task *k, const sw_assignment *best)
{
    sw_notes *notes = &k->stock->notes;
    if (best->open && best->found)
        sw_notes_add(notes, SW_SAY_TANKS_UNEVEN);
    else if (best->open)
        sw_notes_add(notes, SW_SAY_TANKS_UNTRIED);
    if (k->open)
        sw_notes_add(notes, SW_SAY_STOCK_OPEN_FACTOR, k->stock->highest_factor);
}

static sw_status plan(sw_solver *solver, void *context)
{
    task *k = context;
    sw_assign a = {.solubility = &k->solubility,
                   .make_up =
                       k->setup->make_up ? *k->setup->make_up : *k->mix->water};
    sw_status status = sw_assign_build(solver, k->mix, k->setup, &a, k->error);
    if (status)
        return status;
    if (!k->trial)
        find_highest(solver, k, &a);
    if (full_ratio(&a) <= 0)
        return SW_OK;
    a.checks_max = k->trial ? CHECKS_FOR_TRIAL_MAX : CHECKS_MAX;
    sw_assignment best = sw_assign_solve(
        solver, &a, 1, k->trial ? SW_ASSIGN_ANY : SW_ASSIGN_BEST);
    if (best.found)
        place(k, &a, best.option);
    else
        k->stock->outcome = SW_CONFLICT;
    note_open(k, &best);
    return SW_OK;
}

static sw_status new_stock(const sw_mix *mix, sw_stock **stock, sw_error *error)
{
    *stock = calloc(1, sizeof **stock);
    size_t count = mix->shelf->count;
    if (!*stock)
        return sw_fail_memory(error);
    (*stock)->placements = calloc(count + 1, sizeof(sw_placement));
    (*stock)->clash = calloc(count + 1, sizeof(size_t));
    (*stock)->count = count;
    if ((*stock)->placements && (*stock)->clash)
        return SW_OK;
    sw_stock_free(*stock);
    *stock = NULL;
    return sw_fail_memory(error);
}

void sw_stock_free(sw_stock *stock)
{
    if (!stock)
        return;
    sw_notes_free(&stock->notes);
    SW_FREE(stock->placements, stock->clash, stock);
}

static void finish(task *k)
{
    const sw_content *own = k->setup->make_up;
    sw_dose_tanks(k->setup, k->stock);
    sw_dose_finish(k->mix, k->setup, k->stock);
    sw_report_tanks(&k->pitzer, k->mix->shelf, own ? own : k->mix->water,
                    k->setup, k->stock);
}

static sw_status start(const sw_mix *mix, const sw_stock_setup *setup, task *k,
                       sw_error *error)
{
    *k = (task){.mix = mix, .setup = setup, .error = error};
    sw_status status = sw_dose_check(setup, error);
    if (!status)
        status = new_stock(mix, &k->stock, error);
    if (status)
        return status;
    sw_pitzer_load(&k->pitzer);
    sw_solubility_at(&k->pitzer, setup->temperature_c, &k->solubility);
    return SW_OK;
}

static sw_status hand_over(task *k, sw_status status, sw_stock **stock)
{
    if (!status)
        status = sw_notes_status(&k->stock->notes, k->error);
    if (status) {
        sw_stock_free(k->stock);
        k->stock = NULL;
    }
    *stock = k->stock;
    return status;
}

static sw_status plan_and_report(sw_solver *solver, task *k)
{
    sw_status status = sw_solver_fail(solver, sw_solver_run(solver, plan, k),
                                      "assigning the tanks", k->error);
    if (!status)
        finish(k);
    return status;
}

sw_status sw_stock_try(sw_solver *solver, const sw_mix *mix,
                       const sw_stock_setup *setup, sw_stock **stock,
                       sw_error *error)
{
    task k;
    *stock = NULL;
    sw_status status = start(mix, setup, &k, error);
    if (status)
        return status;
    k.trial = true;
    return hand_over(&k, plan_and_report(solver, &k), stock);
}

sw_status sw_stock_plan(sw_solver *solver, const sw_mix *mix,
                        const sw_stock_setup *setup, sw_stock **stock,
                        sw_error *error)
{
    SW_REQUIRE_FOR(stock, error, solver, sw_whole_mix(mix), setup);
    task k;
    if (mix->recipe->count != mix->shelf->count)
        return sw_fail(error, SW_BAD_PLAN_OF_OTHER_SHELF);
    sw_status status = start(mix, setup, &k, error);
    if (status)
        return status;
    status = plan_and_report(solver, &k);
    if (!status && k.stock->outcome == SW_CONFLICT)
        status = sw_remedy_find(solver, mix, setup, NULL, k.stock, error);
    return hand_over(&k, status, stock);
}

int sw_chelates_lost(const sw_stock *stock)
{
    int lost = 0;
    for (int t = 0; t < SW_TANKS; t++)
        lost += *stock->tanks[t].chelate_lost != '\0';
    return lost;
}

/* What comes out, gives off gas or must not meet spoils a tank: the first. */
static void judge(sw_stock *stock)
{
    for (size_t i = 0; i < stock->notes.count; i++) {
        const sw_note *note = &stock->notes.items[i];
        if (note->severity != SW_DANGER)
            continue;
        stock->outcome = SW_CONFLICT;
        bool fits = strlen(note->text) < sizeof stock->limit;
        snprintf(stock->limit, sizeof stock->limit, "%.511s",
                 fits ? note->text
                      : "Products that must not meet share a tank.");
        return;
    }
}

sw_status sw_stock_judge(const sw_mix *mix, const sw_stock_setup *setup,
                         const sw_placement *mixed, sw_stock **stock,
                         sw_error *error)
{
    task k;
    *stock = NULL;
    sw_status status = start(mix, setup, &k, error);
    if (status)
        return status;
    memcpy(k.stock->placements, mixed, k.stock->count * sizeof *mixed);
    k.stock->highest_factor = NAN;
    finish(&k);
    sw_report_feuds(mix->shelf, k.stock);
    judge(k.stock);
    return hand_over(&k, SW_OK, stock);
}

/* ---- Chelates out of acid ------------------------------------------------ */

static bool tank_has(const sw_shelf *shelf, const sw_stock *stock, int tank,
                     unsigned classes)
{
    for (size_t j = 0; j < stock->count; j++)
        if (stock->placements[j].g[tank] > 0 &&
            sw_classes_of(&shelf->products[j]) & classes)
            return true;
    return false;
}

/* All products of these classes into another tank, by what they feed. */
static void move_class(const sw_mix *mix, const sw_stock_setup *setup,
                       unsigned classes, int from, int to, sw_placement *mixed,
                       char names[160])
{
    double scale = sw_dose_feed_l(setup, (sw_tank)to) /
                   sw_dose_feed_l(setup, (sw_tank)from);
    *names = '\0';
    for (size_t j = 0; j < mix->recipe->count; j++) {
        const sw_product *product = &mix->shelf->products[j];
        if (!(mixed[j].g[from] > 0) || !(sw_classes_of(product) & classes))
            continue;
        mixed[j].g[to] += scale * mixed[j].g[from];
        mixed[j].g[from] = 0;
        sw_text_join(names, 160, " and ", "%.40s", product->name);
    }
}

/* Whether tanks work and lose a chelate less with the chelates, or the acid, of
 * one in another that is in use; then it is said. */
static sw_status try_apart_from_acid(const sw_mix *mix,
                                     const sw_stock_setup *setup,
                                     unsigned classes, int from, int to,
                                     sw_stock *stock, bool *found)
{
    char names[160];
    sw_stock *tried = NULL;
    sw_placement *mixed = calloc(stock->count + 1, sizeof *mixed);
    if (!mixed)
        return SW_ERR_MEMORY;
    memcpy(mixed, stock->placements, stock->count * sizeof *mixed);
    move_class(mix, setup, classes, from, to, mixed, names);
    sw_status status = sw_stock_judge(mix, setup, mixed, &tried, NULL);
    *found = tried && *names && sw_stock_is_safe(tried) &&
             sw_chelates_lost(tried) < sw_chelates_lost(stock);
    if (*found)
        sw_text_add(stock->tanks[from].chelate_lost,
                    sizeof stock->tanks[from].chelate_lost,
                    classes & SW_CLASS_CHELATE ? " " SW_SAY_CHELATE_AWAY
                                               : " " SW_SAY_CHELATE_ACID_AWAY,
                    names, sw_tank_text((sw_tank)to));
    free(mixed);
    sw_stock_free(tried);
    return sw_of_trial(status);
}

static sw_status rescue_chelates(const sw_mix *mix, const sw_stock_setup *setup,
                                 sw_stock *stock)
{
    static const unsigned moved[] = {SW_CLASS_CHELATE, SW_CLASS_ACID};
    sw_status status = SW_OK;
    for (int t = 0; t < SW_TANKS && !status; t++) {
        char *lost = stock->tanks[t].chelate_lost;
        bool found = !*lost || !tank_has(mix->shelf, stock, t, SW_CLASS_ACID);
        for (int i = 0; i < 2 * SW_TANKS && !found && !status; i++) {
            int to = i % SW_TANKS;
            unsigned meets = moved[1 - i / SW_TANKS];
            if (to != t && stock->tanks[to].volume_l > 0 &&
                !tank_has(mix->shelf, stock, to, meets))
                status = try_apart_from_acid(mix, setup, moved[i / SW_TANKS], t,
                                             to, stock, &found);
        }
        if (!found)
            sw_text_add(lost, sizeof stock->tanks[t].chelate_lost,
                        " " SW_SAY_CHELATE_ANEW);
    }
    return status;
}

sw_status sw_stock_check(sw_solver *solver, const sw_mix *mix,
                         const sw_stock_setup *setup, const sw_placement *mixed,
                         sw_stock **stock, sw_error *error)
{
    SW_REQUIRE_FOR(stock, error, solver, sw_whole_mix(mix), setup, mixed);
    sw_status status = sw_stock_judge(mix, setup, mixed, stock, error);
    if (!status && (*stock)->outcome == SW_CONFLICT)
        status = sw_remedy_find(solver, mix, setup, mixed, *stock, error);
    else if (!status && rescue_chelates(mix, setup, *stock))
        status = sw_fail_memory(error);
    if (status) {
        sw_stock_free(*stock);
        *stock = NULL;
    }
    return status;
}
