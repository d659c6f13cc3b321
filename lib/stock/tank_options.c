/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The options of each product in use: where it may go, what that costs beside
 * the load, and in a few words why it went there.  The costs rank departures
 * from common practice against an even load.
 */
#include "stock/tank_assign.h"

#include "quantity/status.h"
#include "stock/product_classes.h"
#include "stock/dosing.h"
#include "table_refusals.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

/* A tank other than the usual one, a product weighed twice, and a third head
 * for what may stand in B. */
static const double unusual = 0.05, split = 0.01, another_head = 0.3;
/* There is nothing for a product alone to even: twice only where it does not
 * dissolve in one tank, in use and in the cold. */
static const double split_alone = 1;

static const char *const tank_names[SW_TANKS] = {"A", "B", "C"};

const char *sw_tank_text(sw_tank tank)
{
    return tank < SW_TANKS ? tank_names[tank] : "reservoir";
}

/* What decides where all may go. */
typedef struct sides {
    sw_tank calcium; /* A, unless pins say otherwise */
    bool held;       /* some product brings calcium */
    bool third;      /* there is a third head */
    bool acid;       /* some product is acid */
    bool one_holds;  /* there is one product, which a tank keeps in the cold */
} sides;

static double cost_of(unsigned classes, sw_tank tank, const sides *s,
                      bool micro)
{
    bool with_calcium = tank == s->calcium;
    if (classes & (SW_CLASS_ACID | SW_CLASS_SILICATE) && s->third)
        return tank == SW_TANK_C ? 0 : 2 * unusual;
    if (tank == SW_TANK_C)
        return another_head;
    if (classes & SW_CLASS_CHELATE)
        return with_calcium ? 0 : unusual;
    const unsigned usual_in_b =
        SW_CLASS_ACID | SW_CLASS_BASE | SW_CLASS_SULFATE | SW_CLASS_PHOSPHATE;
    return with_calcium && (classes & usual_in_b || micro) ? unusual : 0;
}

/* Calcium on its side, what feuds with it on the other; acid, or what is
 * alkaline, also at the third head: where there is acid, only what feuds with
 * it, so that never both are there. */
static bool may_go(unsigned classes, sw_tank tank, const sides *s)
{
    const unsigned at_third = SW_CLASS_ACID | SW_CLASS_BASE;
    if (tank == SW_TANK_C)
        return s->third &&
               classes & (s->acid ? at_third : at_third | SW_CLASS_ALKALINE);
    if (classes & SW_CLASS_CALCIUM)
        return tank == s->calcium;
    if (s->held && classes & (SW_CLASS_SULFATE | SW_CLASS_PHOSPHATE))
        return tank != s->calcium;
    return true;
}

static void add_option(sw_assigned *item, double in_a, sw_tank tank,
                       double cost)
{
    sw_option *o = &item->option[item->option_count++];
    *o = (sw_option){.cost = cost};
    if (tank < SW_TANKS)
        o->share[tank] = 1;
    else {
        o->share[SW_TANK_A] = in_a;
        o->share[SW_TANK_B] = 1 - in_a;
    }
}

static bool is_splittable(const sw_assigned *item, const sw_product *product)
{
    const unsigned tied =
        SW_CLASS_CALCIUM | SW_CLASS_SULFATE | SW_CLASS_PHOSPHATE |
        SW_CLASS_ACID | SW_CLASS_BASE | SW_CLASS_CHELATE | SW_CLASS_METAL |
        SW_CLASS_SILICATE | SW_CLASS_ALKALINE | SW_CLASS_FRAIL;
    return !(item->classes & tied) && !sw_is_micro(product);
}

static void add_options(sw_assigned *item, const sw_product *product,
                        const sides *s)
{
    bool micro = sw_is_micro(product);
    for (int t = 0; t < SW_TANKS; t++)
        if (may_go(item->classes, (sw_tank)t, s))
            add_option(item, 0, (sw_tank)t,
                       cost_of(item->classes, (sw_tank)t, s, micro));
    for (int tenth = 1; tenth < 10 && is_splittable(item, product); tenth++)
        add_option(item, tenth / 10.0, SW_TANKS,
                   s->one_holds ? split_alone : split);
}

/* The tank a product is pinned to, SW_TANKS when none. */
static sw_status pinned_tank(const sw_product *product, sw_tank *tank,
                             sw_error *error)
{
    *tank = SW_TANKS;
    if (!product->tank || !*product->tank)
        return SW_OK;
    for (int t = 0; t < SW_TANKS; t++)
        if (!strcasecmp(product->tank, tank_names[t])) {
            *tank = (sw_tank)t;
            return SW_OK;
        }
    return sw_fail(error, SW_BAD_TANK_UNKNOWN, product->name, product->tank);
}

/* All of the first product in one tank, the stronger of A and B; what comes
 * out of the water by itself no second tank keeps. */
static bool dissolves_cold(const sw_assign *a, const sw_stock_setup *setup)
{
    const sw_assigned *item = &a->items[0];
    sw_tank_content content = {.make_up = a->make_up};
    sw_content all = a->make_up;
    double g_per_l = fmax(item->g_per_l[SW_TANK_A], item->g_per_l[SW_TANK_B]);
    sw_solubility cold;
    size_t solid;
    sw_content_add(&content.salts, g_per_l, item->per_g);
    sw_content_add(&all, 1, &content.salts);
    sw_solubility_of(a->solubility->medium.pitzer, setup->cold_c, &all, &cold);
    return sw_tank_saturation(&cold, &content, 1, &solid) <= 1 ||
           sw_tank_saturation(&cold, &content, 0, &solid) > 1;
}

static sides take_sides(const sw_assign *a, const sw_stock_setup *setup)
{
    sides s = {.calcium = SW_TANK_A,
               .third = setup->third_tank,
               .one_holds = a->count == 1 && dissolves_cold(a, setup)};
    for (size_t i = 0; i < a->count; i++) {
        const sw_assigned *item = &a->items[i];
        s.acid = s.acid || item->classes & SW_CLASS_ACID;
        s.held = s.held || item->classes & SW_CLASS_CALCIUM;
        if (!item->pinned)
            continue;
        bool in_b = item->option[0].share[SW_TANK_B] > 0;
        bool in_a = item->option[0].share[SW_TANK_A] > 0;
        bool calcium = item->classes & SW_CLASS_CALCIUM;
        bool other = item->classes & (SW_CLASS_SULFATE | SW_CLASS_PHOSPHATE);
        if ((calcium && in_b) || (other && !calcium && in_a))
            s.calcium = SW_TANK_B;
    }
    return s;
}

static void take_items(sw_solver *solver, const sw_mix *mix,
                       const sw_stock_setup *setup, sw_assign *a)
{
    a->shelf = mix->shelf;
    a->items = sw_take(solver, mix->shelf->count, sizeof *a->items);
    for (size_t j = 0; j < mix->shelf->count; j++) {
        double rate = mix->recipe->g_per_l[j];
        if (!(rate > 0))
            continue;
        sw_assigned *item = &a->items[a->count++];
        item->product = j;
        item->classes = sw_classes_of(&mix->shelf->products[j]);
        item->per_g = &mix->shelf->products[j].per_g;
        item->l_per_g = sw_dose_l_per_g(&mix->shelf->products[j]);
        for (int t = 0; t < SW_TANKS; t++)
            item->g_per_l[t] = rate * sw_stock_ratio(setup, (sw_tank)t);
    }
}

sw_status sw_assign_build(sw_solver *solver, const sw_mix *mix,
                          const sw_stock_setup *setup, sw_assign *a,
                          sw_error *error)
{
    take_items(solver, mix, setup, a);
    for (size_t i = 0; i < a->count; i++) {
        sw_tank tank;
        sw_status status =
            pinned_tank(&a->shelf->products[a->items[i].product], &tank, error);
        if (status)
            return status;
        a->items[i].pinned = tank < SW_TANKS;
        if (tank < SW_TANKS)
            add_option(&a->items[i], 0, tank, 0);
    }
    sides s = take_sides(a, setup);
    for (size_t i = 0; i < a->count; i++)
        if (!a->items[i].pinned)
            add_options(&a->items[i], &a->shelf->products[a->items[i].product],
                        &s);
    return SW_OK;
}

static const char *tied_reason(unsigned classes, sw_tank tank)
{
    if (classes & SW_CLASS_SILICATE)
        return "silicate: alone, strongly alkaline";
    if (tank == SW_TANK_C && !(classes & SW_CLASS_ACID))
        return "alkaline: an injector of its own";
    if (classes & SW_CLASS_CALCIUM)
        return "calcium: kept from sulfate and phosphate";
    if (classes & SW_CLASS_ACID)
        return tank == SW_TANK_C ? "acid: an injector of its own"
                                 : "acid: away from chelates and bases";
    if (classes & SW_CLASS_BASE)
        return "base: away from calcium, magnesium and acid";
    if (classes & SW_CLASS_PHOSPHATE)
        return "phosphate: never with calcium";
    if (classes & SW_CLASS_CHELATE)
        return "chelate: apart from acid";
    if (classes & SW_CLASS_SULFATE)
        return "sulfate: never with calcium";
    return NULL;
}

void sw_assign_reason(const sw_product *product, const sw_assigned *item,
                      const sw_option *option, bool alone, char *text,
                      size_t size)
{
    sw_tank tank = option->share[SW_TANK_C] > 0   ? SW_TANK_C
                   : option->share[SW_TANK_B] > 0 ? SW_TANK_B
                                                  : SW_TANK_A;
    const char *tied = tied_reason(item->classes, tank);
    if (!tied && sw_is_micro(product))
        tied = option->cost > 0 ? "trace element: kept from what takes it out"
                                : "trace element: usual here";
    double in_a = option->share[SW_TANK_A];
    if (item->pinned)
        snprintf(text, size, "pinned to tank %s on the shelf",
                 sw_tank_text(tank));
    else if (in_a > 0 && in_a < 1)
        snprintf(text, size, "may go in either: %.0f %% in A, %.0f %% in B%s",
                 100 * in_a, 100 * (1 - in_a),
                 alone ? ", since one tank cannot keep all of it dissolved"
                       : " balance the tanks");
    else
        snprintf(text, size, "%s",
                 tied    ? tied
                 : alone ? "may go in either tank"
                         : "may go in either tank: evens the two");
}
