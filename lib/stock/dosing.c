/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Stocks in use: what an injector brings, what batches of stock take, and the
 * recipe tank by tank.  An injector is set by volume and found out by EC, both
 * for one at a time: with all of them running, one that draws too much can
 * hide another that draws too little.
 */
#include "quantity/status.h"

#include <math.h>
#include <stdlib.h>

/* Litres of feed from a full tank. */
static double feed_of(const sw_stock *stock, int tank)
{
    return stock->tanks[tank].volume_l * stock->tanks[tank].ratio;
}

sw_status sw_stock_head(const sw_mix *mix, const sw_stock *stock,
                        const sw_stock_setup *setup, sw_tank tank,
                        sw_head *head, sw_error *error)
{
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
    sw_status status = sw_equilibrate(&feed, &mix->conditions,
                                      SW_CARBONATE_KEPT, &head->alone, error);
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
    if (!apart)
        return;
    free(apart->shelf.products);
    free(apart->recipe.g_per_l);
    free(apart->head);
    free(apart->product);
    free(apart);
}
