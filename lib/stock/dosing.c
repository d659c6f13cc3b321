/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Factor 100 means one part of each stock in a hundred parts of feed: with two
 * heads, 1 + 1 + 98 parts of water.  Where stocks are made up with another
 * water, the source water is only 98 % of the feed, and the rest is the other
 * water's.
 */
#include "stock/dosing.h"

#include "chemistry/equilibrate.h"
#include "quantity/status.h"
#include "table_refusals.h"

#include <math.h>
#include <stdlib.h>

double sw_stock_ratio(const sw_stock_setup *setup, sw_tank tank)
{
    return setup->ratio[tank] > 0 ? setup->ratio[tank] : setup->factor;
}

double sw_stock_volume_l(const sw_stock_setup *setup, sw_tank tank)
{
    return setup->tank_l[tank] > 0 ? setup->tank_l[tank] : setup->volume_l;
}

double sw_dose_feed_l(const sw_stock_setup *setup, sw_tank tank)
{
    return sw_stock_ratio(setup, tank) * sw_stock_volume_l(setup, tank);
}

sw_stock_setup sw_stock_setup_default(double volume_l)
{
    return (sw_stock_setup){
        .factor = 100, .volume_l = volume_l, .temperature_c = 20, .cold_c = 5};
}

/* Litres of feed from a full tank. */
static double feed_of(const sw_stock *stock, int tank)
{
    return stock->tanks[tank].volume_l * stock->tanks[tank].ratio;
}

double sw_dose_stock_share(const sw_stock *stock)
{
    double share = 0;
    for (int t = 0; t < SW_TANKS; t++)
        if (stock->tanks[t].volume_l > 0)
            share += 1 / stock->tanks[t].ratio;
    return share;
}

double sw_dose_l_per_g(const sw_product *product)
{
    return isnan(product->density_g_per_ml) ? 0.6e-3
                                            : 1e-3 / product->density_g_per_ml;
}

double sw_bucket_l(const sw_product *product, double g, double reservoir_l)
{
    return isnan(product->density_g_per_ml)
               ? fmax(fmin(1, 1e-3 * reservoir_l), 1e-2 * g)
               : g * sw_dose_l_per_g(product);
}

static sw_status check_temperature(double c, const char *name, sw_error *error)
{
    if (c >= 0 && c <= 50)
        return SW_OK;
    return sw_fail(error, SW_BAD_STOCK_TEMPERATURE, name, c);
}

sw_status sw_dose_check(const sw_stock_setup *setup, sw_error *error)
{
    for (int t = 0; t < SW_TANKS; t++) {
        double volume_l = sw_stock_volume_l(setup, (sw_tank)t);
        if (!(volume_l > 0 && isfinite(volume_l)))
            return sw_fail(error, SW_BAD_STOCK_TANK_VOLUME, volume_l);
        double ratio = sw_stock_ratio(setup, (sw_tank)t);
        if (!(ratio >= SW_LEAST_FACTOR && ratio <= SW_MOST_FACTOR))
            return sw_fail(error, SW_BAD_STOCK_FACTOR, ratio);
    }
    sw_status status = check_temperature(setup->temperature_c, "in use", error);
    return status ? status
                  : check_temperature(setup->cold_c, "in store", error);
}

void sw_dose_tanks(const sw_stock_setup *setup, sw_stock *stock)
{
    for (int t = 0; t < SW_TANKS; t++) {
        sw_tank_report *tank = &stock->tanks[t];
        double g = 0;
        for (size_t j = 0; j < stock->count; j++)
            g += stock->placements[j].g[t];
        tank->volume_l = g > 0 ? sw_stock_volume_l(setup, (sw_tank)t) : 0;
        tank->ratio = sw_stock_ratio(setup, (sw_tank)t);
    }
}

void sw_dose_tank(const sw_shelf *shelf, const sw_stock *stock, sw_tank tank,
                  sw_content *salts, double *g_per_l)
{
    *salts = (sw_content){{0}};
    *g_per_l = 0;
    for (size_t j = 0; j < stock->count; j++) {
        double g = stock->placements[j].g[tank] / stock->tanks[tank].volume_l;
        sw_content_add(salts, g, &shelf->products[j].per_g);
        *g_per_l += g;
    }
}

static double cost_of_fill(const sw_shelf *shelf, const sw_stock *stock,
                           sw_tank tank)
{
    double cost = 0;
    for (size_t j = 0; j < stock->count; j++) {
        double kg = stock->placements[j].g[tank] / 1000;
        if (kg > 0)
            cost += kg * shelf->products[j].price_per_kg;
    }
    return cost;
}

void sw_dose_finish(const sw_mix *mix, const sw_stock_setup *setup,
                    sw_stock *stock)
{
    double made_up = sw_dose_stock_share(stock);
    stock->water_share = setup->make_up ? 1 - made_up : 1;
    stock->finished = (sw_content){{0}};
    sw_content_add(&stock->finished, stock->water_share, mix->water);
    if (setup->make_up)
        sw_content_add(&stock->finished, made_up, setup->make_up);
    stock->feed_l = INFINITY;
    stock->cost_per_m3 = stock->cost_per_fill = 0;
    for (int t = 0; t < SW_TANKS; t++) {
        const sw_tank_report *tank = &stock->tanks[t];
        if (!(tank->volume_l > 0))
            continue;
        sw_content salts;
        double g_per_l;
        sw_dose_tank(mix->shelf, stock, (sw_tank)t, &salts, &g_per_l);
        sw_content_add(&stock->finished, 1 / tank->ratio, &salts);
        double feed_l = feed_of(stock, t);
        double cost = cost_of_fill(mix->shelf, stock, (sw_tank)t);
        stock->feed_l = fmin(stock->feed_l, feed_l);
        stock->cost_per_fill += cost;
        stock->cost_per_m3 += cost / feed_l * 1000;
    }
    if (isinf(stock->feed_l))
        stock->feed_l = 0;
}

/* ---- In use ---------------------------------------------------------------
 */

/*
 * An injector is set by volume and found out by EC, both for one at a time:
 * with all of them running, one that draws too much can hide another that draws
 * too little.
 */
sw_status sw_stock_head(const sw_mix *mix, const sw_stock *stock,
                        const sw_stock_setup *setup, sw_tank tank,
                        sw_head *head, sw_error *error)
{
    SW_REQUIRE(error, sw_whole_mix(mix), stock, setup, head);
    if ((unsigned)tank >= SW_TANKS || !(stock->tanks[tank].volume_l > 0))
        return sw_fail(error, SW_BAD_TANK_UNUSED);
    sw_content water = {{0}};
    double part = 1.0 / stock->tanks[tank].ratio;
    *head = (sw_head){.tank = tank, .ratio = stock->tanks[tank].ratio};
    for (size_t j = 0; j < stock->count; j++)
        sw_content_add(&head->brings,
                       stock->placements[j].g[tank] / feed_of(stock, (int)tank),
                       &mix->shelf->products[j].per_g);
    sw_content_add(&water, setup->make_up ? 1.0 - part : 1.0, mix->water);
    if (setup->make_up)
        sw_content_add(&water, part, setup->make_up);
    sw_content feed = water;
    sw_content_add(&feed, 1.0, &head->brings);
    sw_status status = sw_equilibrate_briefly(
        &feed, &mix->conditions, SW_CARBONATE_KEPT, &head->alone, error);
    if (status == SW_OK)
        sw_ec_bound(&water, &feed, &head->alone);
    return status;
}

sw_purchase sw_stock_purchase(const sw_stock *stock, const sw_shelf *shelf,
                              size_t product, double batches)
{
    const sw_product *p = &shelf->products[product];
    sw_purchase out = {0.0, (double)NAN, (double)NAN};
    for (int t = 0; t < SW_TANKS; t++)
        out.g += batches * stock->placements[product].g[t];
    if (p->pack_g > 0.0)
        out.packs = ceil(out.g / p->pack_g - 1e-9);
    out.cost = (p->pack_g > 0.0 ? out.packs * p->pack_g : out.g) / 1000.0 *
               p->price_per_kg;
    return out;
}

/* A row for each tank that holds some of the product; what it gives a litre of
 * feed is its part of the recipe's amount. */
static void take_apart(const sw_mix *mix, const sw_stock *stock, size_t product,
                       sw_apart *out)
{
    double sum = 0.0;
    for (int t = 0; t < SW_TANKS; t++)
        if (stock->placements[product].g[t] > 0.0)
            sum += stock->placements[product].g[t] / feed_of(stock, t);
    for (int t = 0; t < SW_TANKS; t++) {
        double g = stock->placements[product].g[t];
        if (!(g > 0.0))
            continue;
        size_t row = out->recipe.count++;
        out->shelf.products[row] = mix->shelf->products[product];
        out->recipe.g_per_l[row] =
            mix->recipe->g_per_l[product] * (g / feed_of(stock, t)) / sum;
        out->head[row] = t;
        out->product[row] = product;
    }
    out->shelf.count = out->recipe.count;
}

sw_status sw_stock_apart(const sw_mix *mix, const sw_stock *stock,
                         sw_apart **apart, sw_error *error)
{
    SW_REQUIRE_FOR(apart, error, mix, stock);
    SW_REQUIRE(error, mix->shelf, mix->recipe);
    size_t room = mix->recipe->count * SW_TANKS + 1;
    sw_apart *out = *apart = calloc(1, sizeof *out);
    if (!out)
        return sw_fail_memory(error);
    out->shelf.products = calloc(room, sizeof *out->shelf.products);
    out->recipe.g_per_l = calloc(room, sizeof *out->recipe.g_per_l);
    out->head = calloc(room, sizeof *out->head);
    out->product = calloc(room, sizeof *out->product);
    if (!out->shelf.products || !out->recipe.g_per_l || !out->head ||
        !out->product) {
        sw_apart_free(out);
        *apart = NULL;
        return sw_fail_memory(error);
    }
    for (size_t j = 0; j < mix->recipe->count; j++)
        take_apart(mix, stock, j, out);
    out->mix = *mix;
    out->mix.shelf = &out->shelf;
    out->mix.recipe = &out->recipe;
    return SW_OK;
}

void sw_apart_free(sw_apart *apart)
{
    if (apart)
        SW_FREE(apart->shelf.products, apart->recipe.g_per_l, apart->head,
                apart->product, apart);
}

sw_pouring sw_stock_pouring(const sw_stock *stock, size_t product)
{
    const double *g = stock->placements[product].g;
    sw_tank most = SW_TANK_A;
    for (int t = 0; t < SW_TANKS; t++)
        if (g[t] > g[most])
            most = (sw_tank)t;
    if (!(g[most] > 0))
        return (sw_pouring){.tank = ""};
    const sw_tank_report *tank = &stock->tanks[most];
    return (sw_pouring){.feed_l = tank->volume_l * tank->ratio,
                        .tank = sw_tank_text(most),
                        .held_g = g[most]};
}
