/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A conflict explained. */
#include "parts.h"

static cli_value *easings(const sw_easing *items, size_t count)
{
    cli_value *out = value_array();
    for (size_t i = 0; i < count; i++) {
        cli_value *item = value_add_object(out);
        value_put_text(item, "limit", items[i].limit.name);
        VALUE_PUT(item, {"bound", items[i].limit.bound},
                  {"reached", items[i].reached}, {"share", items[i].share});
        value_put_text(item, "unit", items[i].unit);
    }
    return out;
}

static cli_value *products(const sw_conflict *conflict)
{
    cli_value *out = value_array();
    for (size_t i = 0; i < conflict->addition_count; i++) {
        const sw_addition *addition = &conflict->additions[i];
        cli_value *item = value_add_object(out);
        value_put_text(item, "product", addition->name);
        VALUE_PUT(item, {"g_per_l", addition->g_per_l},
                  {"objective", addition->objective});
    }
    return out;
}

cli_value *doc_conflict(const sw_conflict *conflict)
{
    cli_value *out = value_object();
    value_put(out, "members",
              easings(conflict->members, conflict->member_count));
    value_put(out, "least", easings(conflict->least, conflict->least_count));
    value_put_number(out, "least_total", conflict->total);
    if (conflict->keeps_rates)
        value_put_flag(out, "least_keeps_rates", true);
    value_put(out, "products", products(conflict));
    value_put_number(out, "purified_share", conflict->purified_share);
    return out;
}
