/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Why a recipe finds no tanks: the fewest products that do not, and what they
 * do to each other.
 */
#include "stock/tank_assign.h"

#include "quantity/text.h"
#include "stock/product_classes.h"

#include <stdio.h>
#include <string.h>

static const char *name_of(const sw_assign *a, size_t item)
{
    return a->shelf->products[a->items[item].product].name;
}

static bool is_in_one_tank(const sw_assigned *one, const sw_assigned *other)
{
    for (int t = 0; t < SW_TANKS; t++)
        if (one->option[0].share[t] != other->option[0].share[t])
            return false;
    return true;
}

void sw_assign_feud(const sw_assign *a, char *text, size_t size)
{
    text[0] = '\0';
    for (size_t i = 0; i < a->count; i++)
        for (size_t k = 0; k <= i; k++) {
            const sw_assigned *one = &a->items[i], *other = &a->items[k];
            const char *why = sw_feud_between(one->classes, other->classes);
            bool same =
                one->pinned && other->pinned && is_in_one_tank(one, other);
            if (why && i == k)
                snprintf(text, size, "%s cannot be concentrated: %s",
                         name_of(a, i), why);
            else if (why && same && !*text)
                snprintf(text, size, "%s and %s are pinned to one tank: %s",
                         name_of(a, k), name_of(a, i), why);
        }
}

/* ---- The fewest ---- */

static sw_assignment try_for_any(sw_solver *solver, sw_assign *a,
                                 double strength)
{
    sw_assignment s = sw_assign_solve(solver, a, strength, SW_ASSIGN_ANY);
    a->checks_max -= s.checks;
    return s;
}

static void write_items(const sw_assign *all, const sw_assign *rest,
                        sw_clash *clash)
{
    for (size_t i = 0; i < all->count; i++)
        for (size_t j = 0; j < rest->count; j++)
            if (rest->items[j].product == all->items[i].product)
                clash->item[clash->count++] = i;
}

/* Leaves out one product after the other for as long as the rest finds no
 * tanks. */
sw_clash sw_assign_clash(sw_solver *solver, const sw_assign *assign,
                         double strength)
{
    sw_clash clash = {
        .item = sw_take(solver, assign->count + 1, sizeof *clash.item)};
    sw_assign rest = *assign;
    rest.items = sw_take(solver, assign->count + 1, sizeof *rest.items);
    memcpy(rest.items, assign->items, assign->count * sizeof *rest.items);
    sw_assignment last = try_for_any(solver, &rest, strength);
    if (last.found || last.open)
        return clash;
    for (size_t j = rest.count; j-- > 0;) {
        sw_assigned left_out = rest.items[j];
        rest.items[j] = rest.items[--rest.count];
        sw_assignment without = try_for_any(solver, &rest, strength);
        if (!without.found && !without.open) {
            last = without;
            continue;
        }
        rest.items[rest.count++] = rest.items[j];
        rest.items[j] = left_out;
    }
    clash.why = last;
    write_items(assign, &rest, &clash);
    return clash;
}

/* ---- In words ---- */

static void append_names(const sw_assign *a, const sw_clash *clash, char *text,
                         size_t size)
{
    for (size_t i = 0; i < clash->count; i++)
        sw_text_join(text, size, i + 1 == clash->count ? " and " : ", ",
                     "%.39s", name_of(a, clash->item[i]));
}

/* Each feud between two of them once. */
static void append_feuds(const sw_assign *a, const sw_clash *clash, char *text,
                         size_t size, const char **before)
{
    const char *said = NULL;
    for (size_t i = 0; i < clash->count; i++)
        for (size_t k = 0; k < i; k++) {
            const char *why = sw_feud_between(a->items[clash->item[i]].classes,
                                              a->items[clash->item[k]].classes);
            if (!why || why == said || strstr(text, why))
                continue;
            sw_text_add(text, size, "%s%s", *before, why);
            *before = "; ";
            said = why;
        }
}

static bool meets_acid(const sw_assign *a, const sw_clash *clash)
{
    bool acid = false, chelate = false;
    for (size_t i = 0; i < clash->count; i++) {
        const sw_assigned *item = &a->items[clash->item[i]];
        acid = acid || item->per_g->amount[SW_ALKALINITY] < 0;
        chelate = chelate || item->classes & SW_CLASS_CHELATE;
    }
    return acid && chelate;
}

/* Each feud, acid with chelates, and the solids that came out. */
static void append_reasons(const sw_assign *a, const sw_clash *clash,
                           char *text, size_t size)
{
    const char *before = " (";
    append_feuds(a, clash, text, size, &before);
    if (meets_acid(a, clash)) {
        sw_text_add(text, size, "%s%s", before, "acid takes chelates apart");
        before = "; ";
    }
    for (size_t i = 0; i < sw_stock_solid_count(); i++)
        if (clash->why.comes_out[i]) {
            sw_text_add(text, size, "%s%s (%s) settles out", before,
                        sw_stock_solid_name(i), sw_stock_solid_formula(i));
            before = "; ";
        }
    if (*before == ';')
        sw_text_add(text, size, ")");
}

/* What kept them out of the other tank is said, where it is not of them. */
static bool is_kept_by_calcium(const sw_assign *a, const sw_clash *clash)
{
    bool held = false, own = false, kept = false;
    for (size_t j = 0; j < a->count; j++)
        held = held || a->items[j].classes & SW_CLASS_CALCIUM;
    for (size_t i = 0; i < clash->count; i++) {
        unsigned classes = a->items[clash->item[i]].classes;
        own = own || classes & SW_CLASS_CALCIUM;
        kept = kept || classes & (SW_CLASS_SULFATE | SW_CLASS_PHOSPHATE);
    }
    return held && kept && !own;
}

/* One product by itself does not make all that comes out of its solution. */
static bool is_waters_doing(const sw_assign *a, const sw_clash *clash)
{
    double mol[SW_IONS];
    if (clash->count != 1)
        return false;
    sw_brine_moles(a->items[clash->item[0]].per_g, mol);
    for (size_t i = 0; i < sw_stock_solid_count(); i++)
        if (clash->why.comes_out[i] && !sw_stock_solid_within(i, mol))
            return true;
    return false;
}

void sw_assign_clash_text(const sw_assign *a, const sw_clash *clash,
                          double factor, char *text, size_t size)
{
    char until[32] = "at any factor";
    text[0] = '\0';
    if (factor > 0)
        snprintf(until, sizeof until, "above factor %.0f", factor);
    append_names(a, clash, text, size);
    sw_text_add(text, size, "%s%s",
                clash->count == 1 ? " cannot stay dissolved "
                                  : " cannot be kept apart and dissolved ",
                until);
    if (is_waters_doing(a, clash))
        sw_text_add(text, size, " in this make-up water");
    else if (clash->count > 1 && is_kept_by_calcium(a, clash))
        sw_text_add(text, size, ", since the calcium takes the other tank");
    append_reasons(a, clash, text, size);
}
