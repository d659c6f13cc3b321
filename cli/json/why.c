/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Why a recipe is as it is. */
#include "parts.h"

static cli_value *misses(const cli_report *report)
{
    cli_value *out = value_array();
    for (size_t i = 0; i < report->why->miss_count; i++) {
        const sw_miss *miss = &report->why->misses[i];
        cli_value *item = value_add_object(out);
        value_put_text(item, "target",
                       report->inputs->target->rows[miss->row].name);
        VALUE_PUT(item, {"deviation", miss->deviation}, {"share", miss->share});
    }
    return out;
}

static cli_value *limits(const sw_why *why)
{
    cli_value *out = value_array();
    for (size_t i = 0; i < why->limit_count; i++) {
        const sw_priced_limit *limit = &why->limits[i];
        cli_value *item = value_add_object(out);
        value_put_text(item, "limit", limit->limit.name);
        VALUE_PUT(item, {"bound", limit->limit.bound},
                  {"price", limit->limit.price}, {"low", limit->low},
                  {"high", limit->high});
        value_put_text(item, "unit", limit->unit);
    }
    return out;
}

static cli_value *products(const cli_report *report)
{
    cli_value *out = value_array();
    for (size_t i = 0; i < report->why->product_count; i++) {
        const sw_worth *worth = &report->why->products[i];
        cli_value *item = value_add_object(out);
        value_put_text(item, "product",
                       report->inputs->shelf->products[worth->product].name);
        value_put_number(item, "objective_without", worth->objective);
        value_put_flag(item, "loses_ph", worth->loses_ph);
        value_put_number(item, "largest_change", worth->change);
        value_put_flag(item, "can_be_left_out", worth->spare);
    }
    return out;
}

static cli_value *additions(const sw_why *why)
{
    cli_value *out = value_array();
    for (size_t i = 0; i < why->addition_count; i++) {
        const sw_addition *addition = &why->additions[i];
        cli_value *item = value_add_object(out);
        value_put_text(item, "product", addition->name);
        VALUE_PUT(item, {"g_per_l", addition->g_per_l},
                  {"objective", addition->objective},
                  {"price", addition->price});
        value_put_flag(item, "mends_ph", addition->mends_ph);
    }
    return out;
}

cli_value *doc_why(const cli_report *report)
{
    const sw_why *why = report->why;
    cli_value *out = value_object();
    cli_value *prices = value_object();
    for (int c = 0; c < SW_COMPONENT_COUNT; c++)
        value_put_number(prices, sw_component_name((sw_component)c),
                         why->price[c]);
    value_put_number(out, "objective", why->objective);
    value_put(out, "component_prices", prices);
    value_put(out, "misses", misses(report));
    value_put(out, "limits", limits(why));
    value_put(out, "products", products(report));
    value_put(out, "additions", additions(why));
    value_put_number(out, "tried", (double)why->tried);
    return out;
}
