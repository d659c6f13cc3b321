/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Ways out of tanks that do not work.  One change at a time: another tank, a
 * lower factor, purified water, a product left out; of a plan then two at once,
 * of tanks as mixed then all of them shared out anew.  Each is planned, or
 * judged as if it had been mixed so, before it is said.
 */
#include "stock/tank_plan.h"

#include "quantity/notes.h"
#include "quantity/status.h"
#include "quantity/text.h"
#include "stock/product_classes.h"
#include "stock/dosing.h"
#include "stock/mixture.h"
#include "table_words.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* What a factor is divided by, beside another remedy. */
static const double slower[] = {2, 4, 8};
enum { SLOWER = sizeof slower / sizeof *slower };
static const sw_content purified = {{0}};

/* What was asked for, changed and tried. */
typedef struct attempt {
    sw_solver *solver;
    sw_mix mix; /* of the shelf and recipe below */
    sw_shelf shelf;
    sw_recipe recipe;
    sw_stock_setup setup;
    sw_placement *tried;   /* of tanks as mixed */
    const sw_shelf *given; /* what all that is put back to */
    double *given_g_per_l;
    const sw_stock_setup *asked;
    const sw_placement *mixed; /* NULL: tanks are planned */
    char third[200];           /* what the third tank takes in a plan */
    sw_pitzer pitzer;
    sw_solubility solubility; /* of tanks as mixed */
    sw_stock *stock;          /* whose remedies these are */
    sw_status status;
} attempt;

SW_TEXTS(sw_remedy_text, sw_remedy_kind, "unknown", "move", "factor", "tank",
         "apart", "water", "shelf")

void sw_remedy_add(sw_stock *stock, sw_remedy remedy, const char *format, ...)
{
    va_list arguments;
    if (stock->remedy_count == SW_REMEDIES_MAX)
        return;
    sw_remedy *r = &stock->remedies[stock->remedy_count++];
    *r = remedy;
    va_start(arguments, format);
    vsnprintf(r->text, sizeof r->text, format, arguments);
    va_end(arguments);
}

static sw_remedy of(sw_remedy_kind kind, double factor, size_t product,
                    int tank)
{
    return (sw_remedy){.kind = kind,
                       .factor = factor,
                       .product = product,
                       .tank = (sw_tank)tank};
}

static const char *name_of(const attempt *a, size_t product)
{
    return a->shelf.products[product].name;
}

static bool is_used(const attempt *a, int tank)
{
    return a->stock->tanks[tank].volume_l > 0;
}

/* ---- Whether it works --------------------------------------------------- */

bool sw_stock_is_safe(const sw_stock *stock)
{
    return stock->outcome != SW_CONFLICT && !sw_notes_dangers(&stock->notes);
}

/* What a tank brings of a product, as a share of what all bring. */
static double share_of(const sw_stock *stock, size_t product, int tank)
{
    const double *g = stock->placements[product].g;
    double all = 0;
    for (int t = 0; t < SW_TANKS; t++)
        if (g[t] > 0)
            all += g[t] / (stock->tanks[t].volume_l * stock->tanks[t].ratio);
    const sw_tank_report *r = &stock->tanks[tank];
    return g[tank] > 0 ? g[tank] / (r->volume_l * r->ratio) / all : 0;
}

/* "a, b (30 %) and c": what a tank holds; "" for nothing. */
static void write_names(const attempt *a, const sw_stock *stock, int tank,
                        char text[200])
{
    size_t left = 0, said = 0;
    text[0] = '\0';
    for (size_t j = 0; j < stock->count; j++)
        left += stock->placements[j].g[tank] > 0;
    for (size_t j = 0; j < stock->count; j++) {
        double share = share_of(stock, j, tank);
        char part[16] = "";
        if (!(share > 0))
            continue;
        if (share < 0.999)
            snprintf(part, sizeof part, " (%.0f %%)", 100 * share);
        sw_text_join(text, 200, ++said == left ? " and " : ", ", "%.40s%s",
                     name_of(a, j), part);
    }
}

/* Nothing that must not meet, room for it, and all of it dissolved: the quick
 * look at a tank as mixed. */
static bool is_sound(const attempt *a, int tank)
{
    double holds_l = sw_stock_volume_l(&a->setup, (sw_tank)tank), l = 0;
    unsigned classes = 0;
    sw_tank_content content = {.make_up = a->setup.make_up ? *a->setup.make_up
                                                           : *a->mix.water};
    size_t solid;
    for (size_t j = 0; j < a->stock->count; j++) {
        const sw_product *product = &a->shelf.products[j];
        double g = a->tried[j].g[tank];
        l += g * sw_dose_l_per_g(product);
        sw_content_add(&content.salts, g / holds_l, &product->per_g);
        classes |= g > 0 ? sw_classes_of(product) : 0;
    }
    return !(l > 0) ||
           (l <= holds_l && !sw_feud_between(classes, classes) &&
            sw_tank_saturation(&a->solubility, &content, 1, &solid) <= 1);
}

/* Whether it works as it stands now. */
static bool works(attempt *a)
{
    sw_stock *stock = NULL;
    for (int t = 0; t < SW_TANKS && a->mixed; t++)
        if (!is_sound(a, t))
            return false;
    if (!a->status)
        a->status =
            a->mixed
                ? sw_stock_judge(&a->mix, &a->setup, a->tried, &stock, NULL)
                : sw_stock_try(a->solver, &a->mix, &a->setup, &stock, NULL);
    a->status = sw_of_trial(a->status);
    if (!stock)
        return false;
    bool safe = sw_stock_is_safe(stock) &&
                sw_chelates_lost(stock) <= sw_chelates_lost(a->stock);
    write_names(a, stock, SW_TANK_C, a->third);
    sw_stock_free(stock);
    return safe;
}

/* Whether it works with something in the third tank. */
static bool third_works(attempt *a)
{
    return works(a) && *a->third;
}

/* ---- Changes, and the way back ------------------------------------------- */

static void put_back(attempt *a)
{
    size_t count = a->stock->count;
    a->setup = *a->asked;
    /* shallow: whose memory it is stays as it was */
    memcpy(a->shelf.products, a->given->products,
           count * sizeof *a->shelf.products);
    memcpy(a->recipe.g_per_l, a->given_g_per_l,
           count * sizeof *a->recipe.g_per_l);
    if (a->mixed)
        memcpy(a->tried, a->mixed, count * sizeof *a->tried);
}

static void slow_down(attempt *a, double scale)
{
    a->setup.factor = a->asked->factor * scale;
    for (int t = 0; t < SW_TANKS; t++) {
        a->setup.ratio[t] = a->asked->ratio[t] * scale;
        for (size_t j = 0; a->mixed && j < a->stock->count; j++)
            a->tried[j].g[t] *= scale;
    }
}

/* False where a product may not be given by itself: acid or lye, and what the
 * acid of the others is there for. */
static bool leave_out(attempt *a, size_t product)
{
    unsigned classes = sw_classes_of(&a->shelf.products[product]);
    bool acid = false;
    for (size_t j = 0; j < a->shelf.count; j++)
        acid = acid || (a->recipe.g_per_l[j] > 0 &&
                        sw_classes_of(&a->shelf.products[j]) & SW_CLASS_ACID);
    bool lye = classes & SW_CLASS_BASE && !(classes & SW_CLASS_SILICATE);
    if (classes & SW_CLASS_ACID || lye || (classes & SW_CLASS_ALKALINE && acid))
        return false;
    a->recipe.g_per_l[product] = 0;
    for (int t = 0; t < SW_TANKS && a->mixed; t++)
        a->tried[product].g[t] = 0;
    return true;
}

/* "give it by itself, diluted ..." */
static const char *apart_words(const attempt *a, size_t product)
{
    return sw_classes_of(&a->shelf.products[product]) & SW_CLASS_ALKALINE
               ? SW_SAY_APART_ALKALINE
               : SW_SAY_APART;
}

/* ---- One change ---------------------------------------------------------- */

/* What of its strength every tank as mixed can keep. */
static double share_kept(const attempt *a)
{
    double least = 1;
    for (int t = 0; t < SW_TANKS; t++)
        if (is_used(a, t))
            least = fmin(least, a->stock->tanks[t].highest_factor /
                                    a->stock->tanks[t].ratio);
    return least;
}

/* Behind a lower factor. */
static const char *own_ratio_words(const attempt *a)
{
    const double *ratio = a->asked->ratio;
    bool own =
        ratio[SW_TANK_A] > 0 || ratio[SW_TANK_B] > 0 || ratio[SW_TANK_C] > 0;
    return own ? " " SW_SAY_OWN_RATIOS : "";
}

static void say_factor(attempt *a, double factor, double scale)
{
    sw_remedy remedy = of(SW_REMEDY_FACTOR, factor, SIZE_MAX, SW_TANKS);
    if (a->mixed)
        sw_remedy_add(a->stock, remedy, SW_SAY_REMEDY_FACTOR_MIXED, factor,
                      100 * scale, factor, own_ratio_words(a));
    else
        sw_remedy_add(a->stock, remedy, SW_SAY_REMEDY_FACTOR, factor,
                      own_ratio_words(a));
}

/* Of the highest factor: what is calculated of mixtures is off by some percent
 * (common practice, no source), and a tank at its end needs the warmth that it
 * is calculated for. */
static const double share_of_highest = 0.9;

static void try_factor(attempt *a)
{
    double asked = a->asked->factor;
    double highest =
        a->mixed ? asked * share_kept(a) : a->stock->highest_factor;
    double whole = floor(share_of_highest * highest);
    if (!(whole >= SW_LEAST_FACTOR) || whole >= asked)
        return;
    slow_down(a, whole / asked);
    if (works(a))
        say_factor(a, whole, whole / asked);
    put_back(a);
}

/* Hard make-up water spoils what is alkaline. */
static void try_water(attempt *a)
{
    a->setup.make_up = &purified;
    if (works(a))
        sw_remedy_add(
            a->stock, of(SW_REMEDY_WATER, NAN, SIZE_MAX, SW_TANKS), "%s",
            a->mixed ? SW_SAY_REMEDY_WATER_MIXED : SW_SAY_REMEDY_WATER);
    put_back(a);
}

static void try_apart(attempt *a, size_t j)
{
    if (leave_out(a, j) && works(a))
        sw_remedy_add(a->stock, of(SW_REMEDY_APART, NAN, j, SW_TANKS),
                      SW_SAY_REMEDY_APART, name_of(a, j),
                      a->mixed ? "tanks" : "stocks", apart_words(a, j));
    put_back(a);
}

static void try_pins(attempt *a)
{
    for (size_t j = 0; j < a->shelf.count; j++) {
        const char *pin = a->shelf.products[j].tank;
        if (!pin || !*pin || !(a->recipe.g_per_l[j] > 0))
            continue;
        a->shelf.products[j].tank = NULL;
        if (works(a))
            sw_remedy_add(a->stock, of(SW_REMEDY_MOVE, NAN, j, SW_TANKS),
                          SW_SAY_REMEDY_UNPIN, name_of(a, j), pin);
        put_back(a);
    }
}

static void try_third(attempt *a)
{
    if (a->asked->third_tank)
        return;
    a->setup.third_tank = true;
    if (third_works(a))
        sw_remedy_add(a->stock, of(SW_REMEDY_TANK, NAN, SIZE_MAX, SW_TANK_C),
                      SW_SAY_REMEDY_THIRD, a->third);
    put_back(a);
}

/* ---- Two, of a plan ------------------------------------------------------ */

static void try_third_and_factor(attempt *a, double part)
{
    double factor = floor(a->asked->factor / part);
    if (factor < SW_LEAST_FACTOR)
        return;
    a->setup.third_tank = true;
    slow_down(a, factor / a->asked->factor);
    bool so = works(a);
    if (so && a->asked->third_tank)
        say_factor(a, factor, factor / a->asked->factor);
    else if (so && *a->third)
        sw_remedy_add(a->stock, of(SW_REMEDY_TANK, factor, SIZE_MAX, SW_TANK_C),
                      SW_SAY_REMEDY_THIRD_AND_FACTOR, a->third, factor,
                      own_ratio_words(a));
    put_back(a);
}

static void try_third_and_apart(attempt *a, size_t j)
{
    a->setup.third_tank = true;
    if (leave_out(a, j) && third_works(a))
        sw_remedy_add(a->stock, of(SW_REMEDY_TANK, NAN, j, SW_TANK_C),
                      SW_SAY_REMEDY_THIRD_AND_APART, a->third, name_of(a, j),
                      apart_words(a, j));
    put_back(a);
}

static void try_two_apart(attempt *a, size_t j, size_t k)
{
    if (leave_out(a, j) && leave_out(a, k) && works(a))
        sw_remedy_add(a->stock, of(SW_REMEDY_APART, NAN, j, SW_TANKS),
                      SW_SAY_REMEDY_TWO_APART, name_of(a, j), name_of(a, k));
    put_back(a);
}

static void try_two(attempt *a)
{
    const sw_stock *stock = a->stock;
    for (int i = 0; i < SLOWER && !stock->remedy_count; i++)
        try_third_and_factor(a, slower[i]);
    bool none = !stock->remedy_count;
    for (size_t i = 0; i < stock->clash_count && none; i++)
        try_third_and_apart(a, stock->clash[i]);
    for (size_t i = 0; i < stock->clash_count && !stock->remedy_count; i++)
        for (size_t k = 0; k < i; k++)
            try_two_apart(a, stock->clash[i], stock->clash[k]);
}

/* What would still be to do with purified make-up water and a third tank. */
static void try_water_first(attempt *a)
{
    sw_stock *stock = NULL;
    a->setup.make_up = &purified;
    a->setup.third_tank = true;
    if (!a->status)
        a->status = sw_of_trial(
            sw_stock_plan(a->solver, &a->mix, &a->setup, &stock, NULL));
    put_back(a);
    if (!stock)
        return;
    if (sw_stock_is_safe(stock))
        sw_remedy_add(a->stock, of(SW_REMEDY_WATER, NAN, SIZE_MAX, SW_TANK_C),
                      "%s", SW_SAY_REMEDY_WATER_AND_THIRD);
    for (size_t i = 0; i < stock->remedy_count; i++) {
        const sw_remedy *r = &stock->remedies[i];
        sw_remedy_add(
            a->stock, of(SW_REMEDY_WATER, r->factor, r->product, SW_TANK_C),
            "%s Then: %.250s", SW_SAY_REMEDY_WATER_AND_THIRD, r->text);
    }
    sw_stock_free(stock);
}

static void try_plan(attempt *a)
{
    try_pins(a);
    try_third(a);
    try_factor(a);
    try_water(a);
    for (size_t i = 0; i < a->stock->clash_count; i++)
        try_apart(a, a->stock->clash[i]);
    if (!a->stock->remedy_count)
        try_two(a);
    if (!a->stock->remedy_count && a->asked->make_up != &purified)
        try_water_first(a);
}

/* ---- Tanks as mixed ------------------------------------------------------ */

static void try_move(attempt *a, size_t product, int from, int to)
{
    double *g = a->tried[product].g;
    if (!(g[from] > 0))
        return;
    g[to] += g[from] * sw_dose_feed_l(a->asked, (sw_tank)to) /
             sw_dose_feed_l(a->asked, (sw_tank)from);
    g[from] = 0;
    const char *name = name_of(a, product), *tank = sw_tank_text((sw_tank)to);
    bool so = works(a);
    if (so && is_used(a, to))
        sw_remedy_add(a->stock, of(SW_REMEDY_MOVE, NAN, product, to),
                      "Move %.60s to tank %s.", name, tank);
    else if (so)
        sw_remedy_add(a->stock, of(SW_REMEDY_TANK, NAN, product, to),
                      SW_SAY_REMEDY_OWN_TANK, name, tank);
    put_back(a);
}

/* Salts are not moved into acid, where they would not be looked for. */
static bool may_move(const attempt *a, size_t product, int to)
{
    const sw_product *products = a->shelf.products;
    bool acid = false;
    for (size_t j = 0; j < a->stock->count; j++)
        acid = acid || (a->mixed[j].g[to] > 0 &&
                        sw_classes_of(&products[j]) & SW_CLASS_ACID);
    return !acid || sw_classes_of(&products[product]) & SW_CLASS_ACID;
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

/* " tank A: x and y; tank B: z". */
static void write_plan(const attempt *a, const sw_stock *planned, char *text,
                       size_t size)
{
    char names[200];
    text[0] = '\0';
    for (int t = 0; t < SW_TANKS; t++) {
        write_names(a, planned, t, names);
        if (*names)
            sw_text_join(text, size, ";", " tank %s: %s",
                         sw_tank_text((sw_tank)t), names);
    }
}

static void say_plan(const attempt *a, const sw_stock *planned, size_t left_out)
{
    char text[240], lower[100] = "", without[100] = "";
    double factor = a->setup.factor;
    write_plan(a, planned, text, sizeof text);
    if (factor < a->asked->factor)
        snprintf(lower, sizeof lower, " at factor %.0f%s", factor,
                 own_ratio_words(a));
    if (left_out < a->stock->count)
        snprintf(without, sizeof without, SW_SAY_REMEDY_WITHOUT,
                 name_of(a, left_out));
    sw_remedy_add(
        a->stock,
        of(SW_REMEDY_MOVE, *lower ? factor : (double)NAN, left_out, SW_TANKS),
        SW_SAY_REMEDY_ANEW, lower, without, text);
}

/* What the plan of the same feed would be, at this share of the factor, but for
 * a product left out (SIZE_MAX: none); `third`: in a third tank too. */
static bool try_anew(attempt *a, double scale, size_t left_out, bool third)
{
    sw_stock *planned = NULL;
    bool found = left_out == SIZE_MAX || leave_out(a, left_out);
    slow_down(a, scale);
    a->setup.third_tank = third;
    if (found && !a->status)
        a->status = sw_of_trial(
            sw_stock_try(a->solver, &a->mix, &a->setup, &planned, NULL));
    found = planned && planned->outcome != SW_CONFLICT;
    if (found)
        memcpy(a->tried, planned->placements,
               a->stock->count * sizeof *a->tried);
    found = found && works(a);
    if (found)
        say_plan(a, planned, left_out);
    sw_stock_free(planned);
    put_back(a);
    return found;
}

static void try_all_anew(attempt *a)
{
    bool found = try_anew(a, 1, SIZE_MAX, true);
    for (int i = 0; i < SLOWER && !found; i++)
        if (a->asked->factor / slower[i] >= SW_LEAST_FACTOR)
            found = try_anew(a, 1 / slower[i], SIZE_MAX, true);
    for (size_t j = 0; j < a->stock->count && !found; j++)
        if (a->recipe.g_per_l[j] > 0)
            try_anew(a, 1, j, true);
}

static void try_mixed(attempt *a)
{
    sw_pitzer_load(&a->pitzer);
    sw_solubility_at(&a->pitzer, a->asked->temperature_c, &a->solubility);
    try_moves(a, true);
    try_factor(a);
    try_water(a);
    bool lone = !is_used(a, SW_TANK_A) || !is_used(a, SW_TANK_B);
    if (!a->stock->remedy_count) {
        if (!lone) /* the tanks in use may do */
            (void)try_anew(a, 1, SIZE_MAX, is_used(a, SW_TANK_C));
        try_moves(a, false);
    }
    if (!a->stock->remedy_count)
        try_all_anew(a);
    bool none = !a->stock->remedy_count;
    for (size_t j = 0; j < a->stock->count && none; j++)
        try_apart(a, j);
}

/* ---- All ----------------------------------------------------------------- */

/* What a litre of feed gets of each product. */
static void gather(attempt *a, const sw_mix *mix)
{
    for (size_t j = 0; j < a->stock->count; j++) {
        double *g_per_l = &a->given_g_per_l[j];
        for (int t = 0; t < SW_TANKS && a->mixed; t++)
            *g_per_l += a->mixed[j].g[t] / sw_dose_feed_l(a->asked, (sw_tank)t);
        if (!a->mixed)
            *g_per_l = mix->recipe->g_per_l[j];
    }
}

static sw_status try_all(attempt *a, const sw_mix *mix)
{
    size_t count = a->stock->count + 1;
    a->shelf.products = calloc(count, sizeof *a->shelf.products);
    a->recipe.g_per_l = calloc(count, sizeof *a->recipe.g_per_l);
    a->given_g_per_l = calloc(count, sizeof *a->given_g_per_l);
    a->tried = calloc(count, sizeof *a->tried);
    if (!a->shelf.products || !a->recipe.g_per_l || !a->given_g_per_l ||
        !a->tried)
        return SW_ERR_MEMORY;
    gather(a, mix);
    put_back(a);
    if (a->mixed)
        try_mixed(a);
    else
        try_plan(a);
    return a->status;
}

sw_status sw_remedy_find(sw_solver *solver, const sw_mix *mix,
                         const sw_stock_setup *setup, const sw_placement *mixed,
                         sw_stock *stock, sw_error *error)
{
    attempt *a = calloc(1, sizeof *a);
    if (!a)
        return sw_fail_memory(error);
    a->solver = solver;
    a->mix = *mix;
    a->shelf = *mix->shelf;
    a->recipe.count = stock->count;
    a->mix.shelf = &a->shelf;
    a->mix.recipe = &a->recipe;
    a->given = mix->shelf;
    a->asked = setup;
    a->mixed = mixed;
    a->stock = stock;
    sw_status status = try_all(a, mix);
    if (status)
        sw_fail_memory(error);
    SW_FREE(a->shelf.products, a->recipe.g_per_l, a->given_g_per_l, a->tried,
            a);
    return status;
}
