/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Ways out of a plan that is a conflict: another tank for what is pinned, a
 * third tank, a lower factor, a product left out of the stocks; where none of
 * these does alone, two of them.  Each is planned before it is said.
 */
#include "stock/remedy.h"

#include "quantity/status.h"
#include "stock/dose.h"
#include "stock/remedy_words.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What a factor is divided by, beside another remedy. */
static const double slower[] = {2, 4, 8};
enum { SLOWER = sizeof slower / sizeof *slower };
static const sw_content purified = {{0}};

/* The plan asked for, changed and tried. */
typedef struct attempt {
    sw_mix mix;
    sw_shelf shelf;
    sw_recipe recipe;
    sw_stock_setup setup;
    const sw_stock_setup *asked;
    sw_stock *stock; /* whose remedies these are */
    sw_status status;
} attempt;

bool sw_stock_is_safe(const sw_stock *stock)
{
    bool danger = false;
    for (size_t i = 0; i < stock->notes.count; i++)
        danger = danger || stock->notes.items[i].severity == SW_DANGER;
    return stock->outcome != SW_CONFLICT && !danger;
}

/* Whether it works as it stands now; the plan is written into `third` as the
 * products its third tank takes. */
static bool works(attempt *a, char *third, size_t size)
{
    sw_stock *stock;
    if (a->status)
        return false;
    a->status = sw_stock_try(&a->mix, &a->setup, &stock, NULL);
    if (a->status)
        return false;
    bool safe = sw_stock_is_safe(stock);
    sw_remedy_names(&a->shelf, stock, SW_TANK_C, third, size);
    sw_stock_free(stock);
    return safe;
}

static bool holds(attempt *a)
{
    char unused[8];
    return works(a, unused, sizeof unused);
}

static void slow_down(attempt *a, double scale)
{
    a->setup.factor = a->asked->factor * scale;
    for (int t = 0; t < SW_TANKS; t++)
        a->setup.ratio[t] = a->asked->ratio[t] * scale;
}

static const char *name_of(const attempt *a, size_t product)
{
    return a->shelf.products[product].name;
}

/* ---- One change -------------------------------------------------------- */

static void try_pins(attempt *a)
{
    for (size_t j = 0; j < a->shelf.count; j++) {
        char *pin = a->shelf.products[j].tank;
        if (!pin || !*pin || !(a->recipe.g_per_l[j] > 0))
            continue;
        a->shelf.products[j].tank = NULL;
        if (holds(a))
            sw_remedy_add(a->stock,
                          sw_remedy_of(SW_REMEDY_MOVE, NAN, j, SW_TANKS),
                          "Take %.60s off tank %.4s on the shelf: with no tank "
                          "named it finds one that works.",
                          name_of(a, j), pin);
        a->shelf.products[j].tank = pin;
    }
}

static void try_factor(attempt *a)
{
    double whole = floor(a->stock->highest_factor);
    if (whole < SW_LEAST_FACTOR || whole >= a->asked->factor)
        return;
    slow_down(a, whole / a->asked->factor);
    if (holds(a))
        sw_remedy_add(a->stock,
                      sw_remedy_of(SW_REMEDY_FACTOR, whole, SIZE_MAX, SW_TANKS),
                      "Lower the factor to %.0f.", whole);
    slow_down(a, 1);
}

static void try_third(attempt *a)
{
    char third[200];
    if (a->asked->third_tank)
        return;
    a->setup.third_tank = true;
    if (works(a, third, sizeof third) && *third)
        sw_remedy_add(a->stock,
                      sw_remedy_of(SW_REMEDY_TANK, NAN, SIZE_MAX, SW_TANK_C),
                      "Plan a third tank, C, with an injector of its own: it "
                      "takes %s.",
                      third);
    a->setup.third_tank = false;
}

/* Hard make-up water spoils what is alkaline. */
static void try_water(attempt *a)
{
    a->setup.make_up = &purified;
    if (holds(a))
        sw_remedy_add(a->stock,
                      sw_remedy_of(SW_REMEDY_WATER, NAN, SIZE_MAX, SW_TANKS),
                      "Make the stocks up with purified water, as from reverse "
                      "osmosis.");
    a->setup.make_up = a->asked->make_up;
}

static void try_apart(attempt *a)
{
    for (size_t i = 0; i < a->stock->clash_count; i++) {
        size_t j = a->stock->clash[i];
        double *g = &a->recipe.g_per_l[j], was = *g;
        bool may = sw_remedy_may_leave(&a->mix, j);
        *g = 0;
        if (may && holds(a))
            sw_remedy_add(a->stock,
                          sw_remedy_of(SW_REMEDY_APART, NAN, j, SW_TANKS),
                          "Leave %.60s out of the stocks: %s.", name_of(a, j),
                          sw_remedy_apart(&a->shelf.products[j]));
        *g = was;
    }
}

/* ---- Two --------------------------------------------------------------- */

static void try_third_and_factor(attempt *a)
{
    char third[200];
    a->setup.third_tank = true;
    for (int i = 0; i < SLOWER && !a->stock->remedy_count; i++) {
        double factor = floor(a->asked->factor / slower[i]);
        slow_down(a, factor / a->asked->factor);
        bool works_so =
            factor >= SW_LEAST_FACTOR && works(a, third, sizeof third);
        if (works_so && a->asked->third_tank)
            sw_remedy_add(
                a->stock,
                sw_remedy_of(SW_REMEDY_FACTOR, factor, SIZE_MAX, SW_TANKS),
                "Lower the factor to %.0f.", factor);
        else if (works_so && *third)
            sw_remedy_add(
                a->stock,
                sw_remedy_of(SW_REMEDY_TANK, factor, SIZE_MAX, SW_TANK_C),
                "Plan a third tank, C, with an injector of its own, "
                "which takes %s, and lower the factor to %.0f.",
                third, factor);
    }
    slow_down(a, 1);
    a->setup.third_tank = a->asked->third_tank;
}

static void try_third_and_apart(attempt *a)
{
    char third[200];
    a->setup.third_tank = true;
    for (size_t i = 0; i < a->stock->clash_count; i++) {
        size_t j = a->stock->clash[i];
        double *g = &a->recipe.g_per_l[j], was = *g;
        bool may = sw_remedy_may_leave(&a->mix, j);
        *g = 0;
        if (may && works(a, third, sizeof third) && *third)
            sw_remedy_add(
                a->stock, sw_remedy_of(SW_REMEDY_TANK, NAN, j, SW_TANK_C),
                "Plan a third tank, C, with an injector of its own, "
                "which takes %s, and leave %.60s out of the stocks: "
                "%s.",
                third, name_of(a, j), sw_remedy_apart(&a->shelf.products[j]));
        *g = was;
    }
    a->setup.third_tank = a->asked->third_tank;
}

static void try_two_apart(attempt *a, size_t one, size_t other)
{
    double *g = &a->recipe.g_per_l[a->stock->clash[one]], was = *g;
    double *h = &a->recipe.g_per_l[a->stock->clash[other]], had = *h;
    bool may = sw_remedy_may_leave(&a->mix, a->stock->clash[one]) &&
               sw_remedy_may_leave(&a->mix, a->stock->clash[other]);
    *g = *h = 0;
    if (may && holds(a))
        sw_remedy_add(
            a->stock,
            sw_remedy_of(SW_REMEDY_APART, NAN, a->stock->clash[one], SW_TANKS),
            "Leave %.60s and %.60s out of the stocks: give each by "
            "itself, diluted to feed strength and brought to the "
            "crop's pH, at another time.",
            name_of(a, a->stock->clash[one]),
            name_of(a, a->stock->clash[other]));
    *g = was;
    *h = had;
}

static void try_two(attempt *a)
{
    try_third_and_factor(a);
    if (!a->stock->remedy_count)
        try_third_and_apart(a);
    for (size_t i = 0; i < a->stock->clash_count && !a->stock->remedy_count;
         i++)
        for (size_t k = 0; k < i; k++)
            try_two_apart(a, i, k);
}

/* ---- Purified water, and more ------------------------------------------ */

/* What would still be to do with purified make-up water and a third tank. */
static void try_water_first(attempt *a)
{
    sw_stock *stock;
    a->setup.make_up = &purified;
    a->setup.third_tank = true;
    if (!a->status)
        a->status = sw_stock_plan(&a->mix, &a->setup, &stock, NULL);
    a->setup.make_up = a->asked->make_up;
    a->setup.third_tank = a->asked->third_tank;
    if (a->status)
        return;
    const char *water = "Make the stocks up with purified water, as from "
                        "reverse osmosis, and plan a third tank, C.";
    if (sw_stock_is_safe(stock))
        sw_remedy_add(a->stock,
                      sw_remedy_of(SW_REMEDY_WATER, NAN, SIZE_MAX, SW_TANK_C),
                      "%s", water);
    for (size_t i = 0; i < stock->remedy_count; i++) {
        const sw_remedy *r = &stock->remedies[i];
        sw_remedy_add(
            a->stock,
            sw_remedy_of(SW_REMEDY_WATER, r->factor, r->product, SW_TANK_C),
            "%s Then: %.250s", water, r->text);
    }
    sw_stock_free(stock);
}

/* ---- All --------------------------------------------------------------- */

static void try_all(attempt *a)
{
    try_pins(a);
    try_third(a);
    try_factor(a);
    try_water(a);
    try_apart(a);
    if (!a->stock->remedy_count)
        try_two(a);
    if (!a->stock->remedy_count && a->asked->make_up != &purified)
        try_water_first(a);
}

sw_status sw_remedy_plan(const sw_mix *mix, const sw_stock_setup *setup,
                         sw_stock *stock)
{
    size_t products = mix->shelf->count;
    attempt a = {.mix = *mix,
                 .shelf = *mix->shelf,
                 .recipe = *mix->recipe,
                 .setup = *setup,
                 .asked = setup,
                 .stock = stock};
    a.shelf.products = calloc(products + 1, sizeof *a.shelf.products);
    a.recipe.g_per_l = calloc(products + 1, sizeof *a.recipe.g_per_l);
    a.mix.shelf = &a.shelf;
    a.mix.recipe = &a.recipe;
    if (a.shelf.products && a.recipe.g_per_l) {
        /* shallow: whose memory it is stays as it was */
        memcpy(a.shelf.products, mix->shelf->products,
               products * sizeof *a.shelf.products);
        memcpy(a.recipe.g_per_l, mix->recipe->g_per_l,
               products * sizeof *a.recipe.g_per_l);
        try_all(&a);
    } else {
        a.status = SW_ERR_MEMORY;
    }
    free(a.shelf.products);
    free(a.recipe.g_per_l);
    return a.status;
}
