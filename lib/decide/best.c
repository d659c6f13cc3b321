/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The best rates of products among a recipe that otherwise stays: a formulate
 * problem of its own.  Products scaled together are one product of it, the rest
 * of the recipe is one at a fixed rate, and of the target only what it says of
 * components counts.  Method: reference/methods.md, Decide.
 */
#include "quantity/notes.h"
#include "quantity/status.h"
#include "assess/verdict.h"
#include "records/product.h"
#include "saltwright.h"
#include "quantity/text.h"
#include "table_words.h"
#include "table_refusals.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const char rest_name[] = "the other amounts";

/* Rates nearer than this are the same: two solves of the same optimum. */
static const double same_rate = 1e-7;
static const double least_share = 1e-4;

/* Products scaled together; the first is what stays. */
typedef struct together {
    char name[128];
    double total; /* g/L given */
    sw_premix_rate best;
} together;

typedef struct fitting {
    const sw_mix *mix;
    const size_t *set;
    size_t sets;
    sw_content with_rest; /* water and what stays, per litre */
    together *of;         /* sets + 1 of them */
    sw_product *products; /* the rest, then each set */
    sw_shelf shelf;       /* of these */
    sw_target target;
    sw_solver *solver;
    sw_notes *notes;
    sw_error *error;
} fitting;

/* ---- The problem -------------------------------------------------------- */

static void add_member(fitting *f, size_t j)
{
    size_t k = f->set[j];
    const sw_product *member = &f->mix->shelf->products[j];
    sw_product *to = &f->products[k];
    double g_per_l = f->mix->recipe->g_per_l[j];
    double share = k ? g_per_l / f->of[k].total : g_per_l;
    sw_content_add(&to->per_g, share, &member->per_g);
    if (!k)
        return;
    sw_text_join(f->of[k].name, sizeof f->of[k].name, " + ", "%.50s",
                 member->name);
    to->label = to->label ? to->label : member->label;
    if (!(member->max_g_per_l / share >= to->max_g_per_l) &&
        !isnan(member->max_g_per_l)) {
        to->max_g_per_l = member->max_g_per_l / share;
        to->line = member->line;
    }
}

static void make_shelf(fitting *f)
{
    f->shelf.name = f->mix->shelf->name;
    f->target.name = f->mix->target->name;
    f->shelf.products = f->products;
    f->shelf.count = f->sets + 1;
    for (size_t k = 0; k <= f->sets; k++) {
        f->products[k] = sw_product_blank();
        f->products[k].name = k ? f->of[k].name : (char *)rest_name;
    }
    f->products[0].fixed_g_per_l = 1;
    for (size_t j = 0; j < f->mix->recipe->count; j++)
        if (f->mix->recipe->g_per_l[j] > 0)
            add_member(f, j);
    sw_content with_rest = *f->mix->water;
    sw_content_add(&with_rest, 1, &f->products[0].per_g);
    f->with_rest = with_rest;
}

static void make_target(fitting *f, bool limited)
{
    f->target.count = 0;
    for (size_t i = 0; i < f->mix->target->count; i++) {
        sw_target_row row = f->mix->target->rows[i];
        row.min = NAN;
        if (!limited && row.target != 0)
            row.max = NAN;
        if (row.kind == SW_TARGET_COMPONENT &&
            (!isnan(row.max) || !isnan(row.target)))
            f->target.rows[f->target.count++] = row;
    }
}

static bool brings_a_target(const fitting *f, size_t k)
{
    const double *per_g = f->products[k].per_g.amount;
    for (size_t i = 0; i < f->mix->target->count; i++) {
        const sw_target_row *row = &f->mix->target->rows[i];
        if (row->kind == SW_TARGET_COMPONENT && row->target > 0 &&
            row->weight > 0 && per_g[row->component] > 0)
            return true;
    }
    return false;
}

/* What a limit that gave way leaves of a set is nothing: no target is moved by
 * a ten thousandth. */
static double rate_of(const fitting *f, const sw_solution *solution, size_t k)
{
    double most = 0;
    double g_per_l = solution->recipe.g_per_l[k];
    const double *per_g = f->products[k].per_g.amount;
    for (size_t i = 0; i < f->mix->target->count; i++) {
        const sw_target_row *row = &f->mix->target->rows[i];
        if (row->kind == SW_TARGET_COMPONENT && row->target > 0)
            most = fmax(most, g_per_l * per_g[row->component] / row->target);
    }
    return most < least_share ? 0 : g_per_l;
}

static sw_status solve(fitting *f, bool limited, sw_solution **solution)
{
    make_target(f, limited);
    for (size_t k = 1; k <= f->sets && !limited; k++)
        f->products[k].max_g_per_l = NAN;
    sw_problem problem = {.waters = f->mix->water,
                          .water_count = 1,
                          .target = &f->target,
                          .shelf = &f->shelf,
                          .conditions = f->mix->conditions,
                          .nearest = true, /* of a max that is passed already */
                          .no_ceilings = !limited || f->mix->unguarded};
    sw_status status = sw_formulate(f->solver, &problem, solution, f->error);
    if (status != SW_OK || (*solution)->outcome == SW_OPTIMAL)
        return status;
    status = (*solution)->outcome == SW_UNDETERMINED
                 ? sw_fail(f->error, SW_BAD_BEST_UNDETERMINED)
                 : sw_fail(f->error, SW_BAD_BEST_UNENDED);
    sw_solution_free(*solution);
    *solution = NULL;
    return status;
}

/* ---- What came of it ---------------------------------------------------- */

/* A max as it was given. */
static void add_exceeded(const fitting *f, const sw_target_row *row,
                         char list[160])
{
    sw_text_join(list, 160, ", ",
                 "%.40s max %.6g mg/L (%.60s line %lu), which is exceeded "
                 "without it",
                 row->name, row->max, f->target.name, row->line);
}

/* What the water alone is over, and keeps a set out. */
static void list_of_water(const fitting *f, const sw_solution *solution,
                          char list[160])
{
    bool shut = false;
    for (size_t k = 1; k <= f->sets; k++)
        shut = shut || solution->left_out[k] == SW_LEFT_WATER;
    for (size_t i = 0; shut && i < f->target.count; i++) {
        const sw_target_row *row = &f->target.rows[i];
        if (sw_against_max(row->component, f->mix->water) > row->max)
            add_exceeded(f, row, list);
    }
}

/* What binds but the rates of what stays; a max that they alone are over as it
 * was given. */
static void list_limits(const fitting *f, const sw_solution *solution,
                        char list[160])
{
    list[0] = '\0';
    list_of_water(f, solution, list);
    for (size_t i = 0; i < solution->limit_count; i++) {
        const sw_limit *limit = &solution->limits[i];
        bool of_product = limit->kind == SW_SIDE_PRODUCT;
        if (!limit->binds || (of_product && limit->index == 0))
            continue;
        const sw_target_row *row = &f->target.rows[limit->index];
        if (limit->origin == SW_GAVE_WAY && row->kind == SW_TARGET_COMPONENT)
            add_exceeded(f, row, list);
        else
            sw_text_join(list, 160, ", ", "%s", limit->name);
    }
}

/* Limits that are ours, on acid and base, say so themselves. */
static void pass_notes(const sw_solution *solution, sw_notes *notes)
{
    for (size_t i = 0; i < solution->notes.count; i++) {
        const sw_note *note = &solution->notes.items[i];
        if (strstr(note->code, "-held-back") || strstr(note->code, "left-out"))
            sw_notes_add(notes, note->severity | note->about, note->code, "%s",
                         note->text);
    }
}

/* "K, S, Mg" of what is there already, and the set would bring more of. */
static void list_enough(const fitting *f, size_t k, char list[200])
{
    sw_content there = f->with_rest;
    for (size_t i = 1; i <= f->sets; i++)
        sw_content_add(&there, f->of[i].best.g_per_l, &f->products[i].per_g);
    list[0] = '\0';
    for (size_t i = 0; i < f->mix->target->count; i++) {
        const sw_target_row *row = &f->mix->target->rows[i];
        sw_component c = row->component;
        if (row->kind == SW_TARGET_COMPONENT && row->target > 0 &&
            row->weight > 0 && f->products[k].per_g.amount[c] > 0 &&
            there.amount[c] >= row->target * (1 - same_rate))
            sw_text_join(list, 200, ", ", "%s", row->name);
    }
}

static void note_set(fitting *f, size_t k)
{
    char enough[200];
    const sw_premix_rate *rate = &f->of[k].best;
    list_enough(f, k, enough);
    if (rate->held_by[0])
        sw_notes_add(f->notes, SW_SAY_BEST_HELD, f->of[k].name, rate->g_per_l,
                     rate->held_by, rate->free_g_per_l);
    else if (!(rate->g_per_l > 0) && enough[0])
        sw_notes_add(f->notes, SW_SAY_BEST_ZERO, f->of[k].name, enough);
}

/* Where a limit binds, the rates without limits, and which limit it was. */
static sw_status find_free(fitting *f, const sw_solution *limited)
{
    char binding[160];
    sw_solution *free = NULL;
    list_limits(f, limited, binding);
    for (size_t k = 1; k <= f->sets; k++)
        f->of[k].best.free_g_per_l = f->of[k].best.g_per_l;
    sw_status status = binding[0] ? solve(f, false, &free) : SW_OK;
    for (size_t k = 1; k <= f->sets && free; k++) {
        sw_premix_rate *rate = &f->of[k].best;
        double without = rate_of(f, free, k);
        bool same = fabs(without - rate->g_per_l) <= same_rate * without;
        rate->free_g_per_l = same ? rate->g_per_l : without;
        if (!same)
            snprintf(rate->held_by, sizeof rate->held_by, "%s", binding);
    }
    sw_solution_free(free);
    return status;
}

static sw_status tell(fitting *f, const sw_solution *limited)
{
    for (size_t k = 1; k <= f->sets; k++)
        f->of[k].best.g_per_l = rate_of(f, limited, k);
    sw_status status = find_free(f, limited);
    if (status != SW_OK)
        return status;
    for (size_t k = 1; k <= f->sets; k++)
        note_set(f, k);
    pass_notes(limited, f->notes);
    return sw_notes_status(f->notes, f->error);
}

/* Each product's part of its set's. */
static void give_rates(const fitting *f, sw_premix_rate *rates)
{
    for (size_t j = 0; j < f->mix->recipe->count; j++) {
        const together *of = &f->of[f->set[j]];
        double share = f->mix->recipe->g_per_l[j] / of->total;
        if (!f->set[j])
            continue;
        rates[j] = of->best;
        rates[j].g_per_l *= share;
        rates[j].free_g_per_l *= share;
    }
}

/* ---- The call ----------------------------------------------------------- */

static sw_status check_sets(const fitting *f)
{
    for (size_t k = 1; k <= f->sets; k++) {
        if (!(f->of[k].total > 0) || !isfinite(f->of[k].total))
            return sw_fail(f->error, SW_BAD_SET_EMPTY, k);
        if (!brings_a_target(f, k))
            return sw_fail(f->error, SW_BAD_SET_WITHOUT_TARGET, f->of[k].name);
    }
    return SW_OK;
}

static bool take(fitting *f)
{
    for (size_t j = 0; j < f->mix->recipe->count; j++)
        f->sets = f->set[j] > f->sets ? f->set[j] : f->sets;
    f->of = calloc(f->sets + 1, sizeof *f->of);
    f->products = calloc(f->sets + 1, sizeof *f->products);
    f->target.rows = calloc(f->mix->target->count + 1, sizeof *f->target.rows);
    if (!f->of || !f->products || !f->target.rows)
        return false;
    for (size_t j = 0; j < f->mix->recipe->count; j++)
        f->of[f->set[j]].total += f->mix->recipe->g_per_l[j];
    return true;
}

static sw_status fit(fitting *f, sw_premix_rate *rates)
{
    sw_solution *limited = NULL;
    make_shelf(f);
    sw_status status = check_sets(f);
    if (status == SW_OK)
        status = solve(f, true, &limited);
    if (limited)
        status = tell(f, limited);
    if (status == SW_OK)
        give_rates(f, rates);
    sw_solution_free(limited);
    return status;
}

sw_status sw_premix_fit(sw_solver *solver, const sw_mix *mix, const size_t *set,
                        sw_premix_rate *rates, sw_notes *notes, sw_error *error)
{
    SW_REQUIRE(error, solver, sw_aimed_mix(mix), set, rates, notes);
    fitting f = {.solver = solver,
                 .mix = mix,
                 .set = set,
                 .notes = notes,
                 .error = error};
    for (size_t j = 0; j < mix->recipe->count; j++)
        rates[j] = (sw_premix_rate){.g_per_l = NAN, .free_g_per_l = NAN};
    if (mix->recipe->count > mix->shelf->count)
        return sw_fail(error, SW_BAD_SET_OF_OTHER_SHELF, mix->recipe->count,
                       mix->shelf->count);
    sw_status status = take(&f) ? fit(&f, rates) : sw_fail_memory(error);
    SW_FREE(f.of, f.products, f.target.rows);
    return status;
}
