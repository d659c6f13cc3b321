/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Ways out for tanks as mixed: one product in another tank, all of them
 * weaker, one left out; where none of these does, the tanks planned anew.
 * Each is judged as if it had been mixed so.
 */
#include "stock/classes.h"
#include "stock/dose.h"
#include "stock/mixture.h"
#include "stock/remedy.h"
#include "stock/remedy_words.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct attempt {
    sw_mix mix;
    sw_recipe recipe;
    const sw_stock_setup *asked;
    const sw_placement *mixed;
    sw_stock_setup setup;
    sw_placement *tried;
    sw_stock *stock; /* whose remedies these are */
    sw_pitzer pitzer;
    sw_solubility solubility;
    sw_status status;
} attempt;

/* ---- Whether it works --------------------------------------------------- */

static bool is_feud_free(const attempt *a, int tank)
{
    unsigned all = 0;
    for (size_t j = 0; j < a->stock->count; j++)
        if (a->tried[j].g[tank] > 0)
            all |= sw_classes_of(&a->mix.shelf->products[j]);
    return !sw_feud_between(all, all);
}

/* Nothing that must not meet, room for it, and all of it dissolved. */
static bool is_sound(const attempt *a, int tank)
{
    double holds_l = sw_stock_volume_l(&a->setup, (sw_tank)tank), l = 0;
    const sw_product *products = a->mix.shelf->products;
    sw_tank_content content = {.make_up = a->setup.make_up ? *a->setup.make_up
                                                           : *a->mix.water};
    size_t solid;
    for (size_t j = 0; j < a->stock->count; j++) {
        double g = a->tried[j].g[tank];
        l += g * sw_dose_l_per_g(&products[j]);
        sw_content_add(&content.salts, g / holds_l, &products[j].per_g);
    }
    return !(l > 0) ||
           (l <= holds_l && is_feud_free(a, tank) &&
            sw_tank_saturation(&a->solubility, &content, 1, &solid) <= 1);
}

/* The quick look first, then the judgement of tanks as mixed. */
static bool holds(attempt *a)
{
    sw_stock *judged;
    for (int t = 0; t < SW_TANKS; t++)
        if (!is_sound(a, t))
            return false;
    if (!a->status)
        a->status = sw_stock_judge(&a->mix, &a->setup, a->tried, &judged, NULL);
    if (a->status)
        return false;
    bool safe = judged->outcome != SW_CONFLICT;
    sw_stock_free(judged);
    return safe;
}

static void put_back(attempt *a)
{
    memcpy(a->tried, a->mixed, a->stock->count * sizeof *a->tried);
    a->setup = *a->asked;
}

static bool is_used(const attempt *a, int tank)
{
    return a->stock->tanks[tank].volume_l > 0;
}

/* Litres of feed from a full tank. */
static double feed_l(const attempt *a, int tank)
{
    return sw_stock_ratio(a->asked, (sw_tank)tank) *
           sw_stock_volume_l(a->asked, (sw_tank)tank);
}

static const char *name_of(const attempt *a, size_t product)
{
    return a->mix.shelf->products[product].name;
}

/* ---- One change -------------------------------------------------------- */

static void try_move(attempt *a, size_t product, int from, int to)
{
    double *g = a->tried[product].g;
    if (!(g[from] > 0))
        return;
    g[to] += g[from] * feed_l(a, to) / feed_l(a, from);
    g[from] = 0;
    if (holds(a) && is_used(a, to))
        sw_remedy_add(a->stock,
                      sw_remedy_of(SW_REMEDY_MOVE, NAN, product, (sw_tank)to),
                      "Move %.60s to tank %s.", name_of(a, product),
                      sw_tank_text((sw_tank)to));
    else if (holds(a))
        sw_remedy_add(a->stock,
                      sw_remedy_of(SW_REMEDY_TANK, NAN, product, (sw_tank)to),
                      "Give %.60s a tank and an injector of its own: tank %s.",
                      name_of(a, product), sw_tank_text((sw_tank)to));
    put_back(a);
}

static bool holds_acid(const attempt *a, int tank)
{
    for (size_t j = 0; j < a->stock->count; j++)
        if (a->mixed[j].g[tank] > 0 &&
            sw_classes_of(&a->mix.shelf->products[j]) & SW_CLASS_ACID)
            return true;
    return false;
}

/* Salts are not moved into acid, where they would not be looked for. */
static bool may_move(const attempt *a, size_t product, int to)
{
    return !holds_acid(a, to) ||
           sw_classes_of(&a->mix.shelf->products[product]) & SW_CLASS_ACID;
}

/* To tanks in use, or to one that is not. */
static void try_moves(attempt *a, bool used)
{
    for (size_t j = 0; j < a->stock->count; j++)
        for (int t = 0; t < SW_TANKS; t++) {
            bool opened = false;
            for (int to = 0; to < SW_TANKS && !opened; to++) {
                if (to == t || is_used(a, to) != used || !may_move(a, j, to))
                    continue;
                try_move(a, j, t, to);
                opened = !used;
            }
        }
}

static void slow_down(attempt *a, double scale)
{
    a->setup.factor = a->asked->factor * scale;
    for (int t = 0; t < SW_TANKS; t++)
        a->setup.ratio[t] = a->asked->ratio[t] * scale;
    for (size_t j = 0; j < a->stock->count; j++)
        for (int t = 0; t < SW_TANKS; t++)
            a->tried[j].g[t] *= scale;
}

/* What of its strength every tank can keep. */
static double share_kept(const attempt *a)
{
    double least = 1;
    for (int t = 0; t < SW_TANKS; t++)
        if (is_used(a, t))
            least = fmin(least, a->stock->tanks[t].highest_factor /
                                    a->stock->tanks[t].ratio);
    return least;
}

static void try_factor(attempt *a)
{
    double whole = floor(a->asked->factor * share_kept(a));
    if (!(whole >= SW_LEAST_FACTOR) || whole >= a->asked->factor)
        return;
    double scale = whole / a->asked->factor;
    slow_down(a, scale);
    if (holds(a))
        sw_remedy_add(
            a->stock, sw_remedy_of(SW_REMEDY_FACTOR, whole, SIZE_MAX, SW_TANKS),
            "Lower the factor to %.0f: put %.0f %% of each amount "
            "into the tanks, and set the injectors to 1 to %.0f%s.",
            whole, 100 * scale, whole,
            a->asked->ratio[SW_TANK_A] > 0 || a->asked->ratio[SW_TANK_B] > 0 ||
                    a->asked->ratio[SW_TANK_C] > 0
                ? " (those with a ratio of their own to as much less)"
                : "");
    put_back(a);
}

/* Hard make-up water spoils what is alkaline. */
static void try_water(attempt *a)
{
    static const sw_content purified = {{0}};
    a->setup.make_up = &purified;
    if (holds(a))
        sw_remedy_add(a->stock,
                      sw_remedy_of(SW_REMEDY_WATER, NAN, SIZE_MAX, SW_TANKS),
                      "Make these stocks up with purified water, as from "
                      "reverse osmosis.");
    put_back(a);
}

static void try_apart(attempt *a)
{
    for (size_t j = 0; j < a->stock->count; j++) {
        for (int t = 0; t < SW_TANKS; t++)
            a->tried[j].g[t] = 0;
        if (sw_remedy_may_leave(&a->mix, j) && holds(a))
            sw_remedy_add(a->stock,
                          sw_remedy_of(SW_REMEDY_APART, NAN, j, SW_TANKS),
                          "Leave %.60s out of the tanks: %s.", name_of(a, j),
                          sw_remedy_apart(&a->mix.shelf->products[j]));
        put_back(a);
    }
}

/* ---- Anew -------------------------------------------------------------- */

/* " tank A: x and y; tank B: z". */
static void write_plan(const attempt *a, const sw_stock *planned, char *text,
                       size_t size)
{
    char names[200];
    size_t used = 0;
    text[0] = '\0';
    for (int t = 0; t < SW_TANKS && used < size; t++) {
        sw_remedy_names(a->mix.shelf, planned, (sw_tank)t, names, sizeof names);
        if (*names)
            used += (size_t)snprintf(text + used, size - used, "%s tank %s: %s",
                                     used ? ";" : "", sw_tank_text((sw_tank)t),
                                     names);
    }
}

static void say_plan(const attempt *a, const sw_stock *planned, size_t left_out)
{
    char text[240], lower[48] = "", without[100] = "";
    double factor = a->setup.factor;
    write_plan(a, planned, text, sizeof text);
    if (factor < a->asked->factor)
        snprintf(lower, sizeof lower, " at factor %.0f", factor);
    if (left_out < a->stock->count)
        snprintf(without, sizeof without,
                 ", without %.50s, which is given by itself, diluted",
                 name_of(a, left_out));
    sw_remedy_add(a->stock,
                  sw_remedy_of(SW_REMEDY_MOVE, *lower ? factor : (double)NAN,
                               left_out < a->stock->count ? left_out : SIZE_MAX,
                               SW_TANKS),
                  "Share the products out anew%s%s:%s.", lower, without, text);
}

/* What the plan of the same feed would be, at this share of the factor, but for
 * a product left out. */
static bool try_plan(attempt *a, double scale, size_t left_out)
{
    sw_stock *planned;
    double *g =
        left_out < a->stock->count ? &a->recipe.g_per_l[left_out] : NULL;
    double was = g ? *g : 0;
    if (g)
        *g = 0;
    slow_down(a, scale);
    a->setup.third_tank = true;
    if (!a->status)
        a->status = sw_stock_try(&a->mix, &a->setup, &planned, NULL);
    if (g)
        *g = was;
    if (a->status)
        return false;
    bool found = planned->outcome != SW_CONFLICT;
    if (found)
        memcpy(a->tried, planned->placements,
               a->stock->count * sizeof *a->tried);
    found = found && holds(a);
    if (found)
        say_plan(a, planned, left_out);
    sw_stock_free(planned);
    put_back(a);
    return found;
}

static void try_plans(attempt *a)
{
    static const double scales[] = {1, 0.5, 0.25, 0.125};
    size_t none = a->stock->count;
    for (size_t i = 0; i < sizeof scales / sizeof *scales; i++)
        if (a->asked->factor * scales[i] >= SW_LEAST_FACTOR &&
            try_plan(a, scales[i], none))
            return;
    for (size_t j = 0; j < a->stock->count; j++)
        if (a->recipe.g_per_l[j] > 0 && sw_remedy_may_leave(&a->mix, j))
            try_plan(a, 1, j);
}

static void try_all(attempt *a)
{
    put_back(a);
    try_moves(a, true);
    try_factor(a);
    try_water(a);
    if (!a->stock->remedy_count)
        try_moves(a, false);
    if (!a->stock->remedy_count)
        try_plans(a);
    if (!a->stock->remedy_count)
        try_apart(a);
}

/* What the tanks bring to a litre of feed; products are left out of it. */
static sw_status open_attempt(const sw_mix *mix, size_t count, attempt *a)
{
    a->mix = *mix;
    a->mix.recipe = &a->recipe;
    a->recipe = (sw_recipe){.g_per_l = calloc(count + 1, sizeof(double)),
                            .count = count};
    a->tried = calloc(count + 1, sizeof *a->tried);
    if (!a->tried || !a->recipe.g_per_l)
        return SW_ERR_MEMORY;
    for (size_t j = 0; j < count; j++)
        for (int t = 0; t < SW_TANKS; t++)
            a->recipe.g_per_l[j] += a->mixed[j].g[t] / feed_l(a, t);
    return SW_OK;
}

sw_status sw_remedy_mixed(const sw_mix *mix, const sw_stock_setup *setup,
                          const sw_placement *mixed, sw_stock *stock)
{
    attempt *a = calloc(1, sizeof *a);
    if (!a)
        return SW_ERR_MEMORY;
    a->asked = setup;
    a->mixed = mixed;
    a->stock = stock;
    sw_status status = open_attempt(mix, stock->count, a);
    if (!status) {
        sw_pitzer_load(&a->pitzer);
        sw_solubility_at(&a->pitzer, setup->temperature_c, &a->solubility);
        try_all(a);
        status = a->status;
    }
    free(a->tried);
    free(a->recipe.g_per_l);
    free(a);
    return status;
}
