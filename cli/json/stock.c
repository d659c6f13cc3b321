/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The stock tanks and the steps of mixing them. */
#include "parts.h"

#include <math.h>

#include "../buying.h"

static cli_value *tank_products(const cli_report *report, sw_tank tank)
{
    cli_value *out = value_array();
    for (size_t i = 0; i < report->stock->count; i++) {
        const sw_product *product = &report->inputs->shelf->products[i];
        const sw_placement *placement = &report->stock->placements[i];
        bool liquid = !isnan(product->density_g_per_ml);
        if (placement->g[tank] <= 0.0)
            continue;
        cli_value *item = value_add_object(out);
        value_put_text(item, "product", product->name);
        value_put_number(item, "amount",
                         liquid ? printed_ml(report, i, placement->g[tank])
                                : printed_g(report, i, placement->g[tank]));
        value_put_text(item, "amount_unit", liquid ? "mL" : "g");
        value_put_text(item, "reason", placement->reason);
    }
    return out;
}

static cli_value *tank(const cli_report *report, sw_tank index)
{
    const sw_tank_report *row = &report->stock->tanks[index];
    cli_value *out = value_object();
    cli_value *limits = value_object();
    value_put_text(out, "tank", sw_tank_text(index));
    VALUE_PUT(out, {"volume_l", row->volume_l}, {"ratio", row->ratio},
              {"salts_g_per_l", row->salts_g_per_l}, {"ph", row->ph},
              {"ammonia_ppm", row->ammonia_ppm});
    value_put_text(out, "no_ph", row->no_ph);
    value_put(out, "products", tank_products(report, index));
    VALUE_PUT(limits, {"saturation", row->saturation},
              {"saturation_cold", row->saturation_cold},
              {"coldest_c", row->coldest_c},
              {"highest_factor", row->highest_factor});
    value_put_text(limits, "solid", row->solid);
    value_put_text(limits, "solid_cold", row->solid_cold);
    value_put_text(limits, "no_data", row->no_data);
    value_put_text(limits, "missing", row->missing);
    value_put(out, "limits", limits);
    return out;
}

static cli_value *steps(const cli_report *report)
{
    cli_value *out = value_array();
    for (size_t i = 0; report->steps && i < report->steps->count; i++) {
        const sw_step *step = &report->steps->items[i];
        cli_value *item = value_add_object(out);
        value_put_text(item, "kind", sw_step_text(step->kind));
        if (step->tank < SW_TANKS)
            value_put_text(item, "tank", sw_tank_text(step->tank));
        if (step->g > 0.0) {
            value_put_text(item, "product",
                           report->inputs->shelf->products[step->product].name);
            value_put_number(item, "g",
                             printed_g(report, step->product, step->g));
        }
        if (step->volume_l > 0.0)
            value_put_number(item, "volume_l", step->volume_l);
        value_put_text(item, "clouds", step->clouds);
        value_put_text(item, "text", step->text);
        value_put_text(item, "safety", step->safety);
    }
    return out;
}

static cli_value *purchases(const cli_report *report)
{
    cli_value *out = value_array();
    for (size_t i = 0; i < report->stock->count; i++) {
        const sw_product *product = &report->inputs->shelf->products[i];
        cli_purchase bought = buying_of(report, i);
        if (!(bought.g > 0.0))
            continue;
        cli_value *item = value_add_object(out);
        value_put_text(item, "product", product->name);
        VALUE_PUT(item, {"fills", report->settings->fills}, {"g", bought.g},
                  {"packs", bought.packs}, {"pack_g", product->pack_g},
                  {"cost", bought.cost});
    }
    return out;
}

static cli_value *heads(const cli_report *report)
{
    cli_value *out = value_array();
    for (size_t i = 0; i < report->heads.count; i++) {
        const cli_head *head = &report->heads.items[i];
        cli_value *item = value_add_object(out);
        cli_value *brings = value_object();
        value_put_text(item, "tank", sw_tank_text(head->tank));
        VALUE_PUT(item, {"ratio", head->ratio},
                  {"draws_ml_per_l", 1000.0 / head->ratio},
                  {"ec_alone_ms_per_cm", head->ec_ms_per_cm},
                  {"ec_alone_low_ms_per_cm", head->ec_low_ms_per_cm},
                  {"ec_alone_high_ms_per_cm", head->ec_high_ms_per_cm},
                  {"ph_alone", head->ph});
        for (int c = 0; c < SW_COMPONENT_COUNT; c++)
            if (head->brings.amount[c] > 0.0)
                value_put_number(brings, sw_component_name((sw_component)c),
                                 head->brings.amount[c]);
        value_put(item, "brings_mg_per_l", brings);
    }
    return out;
}

static cli_value *remedies(const cli_report *report)
{
    const sw_stock *stock = report->stock;
    const sw_shelf *shelf = report->inputs->shelf;
    cli_value *out = value_array();
    for (size_t i = 0; i < stock->remedy_count; i++) {
        const sw_remedy *row = &stock->remedies[i];
        cli_value *item = value_add_object(out);
        value_put_text(item, "kind", sw_remedy_text(row->kind));
        value_put_number(item, "factor", row->factor);
        if (row->product < shelf->count)
            value_put_text(item, "product", shelf->products[row->product].name);
        if (row->tank < SW_TANKS)
            value_put_text(item, "tank", sw_tank_text(row->tank));
        value_put_text(item, "text", row->text);
    }
    return out;
}

cli_value *doc_stock(const cli_report *report)
{
    const sw_stock *row = report->stock;
    cli_value *out = value_object();
    cli_value *tanks = value_array();
    value_put_text(out, "outcome", sw_outcome_text(row->outcome));
    VALUE_PUT(out, {"factor", report->setup->factor},
              {"highest_factor", row->highest_factor});
    if (!report_lacks_tanks(report))
        VALUE_PUT(out, {"feed_l", row->feed_l},
                  {"cost_per_fill", row->cost_per_fill},
                  {"cost_per_m3", row->cost_per_m3},
                  {"days_per_fill", buying_days(report)});
    if (report->make_up)
        value_put_text(out, "make_up", report->make_up->sample);
    value_put_text(out, "limit", row->limit);
    if (row->outcome == SW_CONFLICT)
        value_put(out, "remedies", remedies(report));
    for (int i = 0; i < SW_TANKS; i++)
        if (row->tanks[i].volume_l > 0.0)
            value_append(tanks, tank(report, (sw_tank)i));
    value_put(out, "tanks", tanks);
    if (report->heads.count)
        value_put(out, "heads", heads(report));
    value_put(out, "steps", steps(report));
    if (!report_lacks_tanks(report)) {
        value_put(out, "purchases", purchases(report));
        value_put_number(out, "purchase_cost", buying_cost(report));
    }
    return out;
}
