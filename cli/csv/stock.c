/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Stock tanks: what is in them, the heads that dose them, the steps of mixing
 * and what to buy. */
#include "parts.h"

#include "../buying.h"

static void put_tank(const cli_lines *out, const cli_report *report, int tank)
{
    const sw_stock *stock = report->stock;
    const sw_tank_report *row = &stock->tanks[tank];
    char name[32];
    snprintf(name, sizeof name, "tank %s", sw_tank_text((sw_tank)tank));
    LINE_NUMBERS(out, "stock", name, {"volume", row->volume_l, "L"},
                 {"salts", row->salts_g_per_l, "g/L"}, {"pH", row->ph, ""},
                 {"ammonia in air", row->ammonia_ppm, "ppm"},
                 {"saturation", row->saturation, ""},
                 {"saturation cold", row->saturation_cold, ""},
                 {"coldest", row->coldest_c, "degC"},
                 {"highest factor", row->highest_factor, ""});
    line_word(out, (cli_cell){"stock", name, "solid"}, row->solid);
    line_word(out, (cli_cell){"stock", name, "solid cold"}, row->solid_cold);
    line_word(out, (cli_cell){"stock", name, "no data"}, row->no_data);
    line_word(out, (cli_cell){"stock", name, "missing"}, row->missing);
    line_word(out, (cli_cell){"stock", name, "no pH"}, row->no_ph);
    for (size_t i = 0; i < stock->count; i++) {
        const char *product = report->inputs->shelf->products[i].name;
        if (!(stock->placements[i].g[tank] > 0.0))
            continue;
        line_number(out, (cli_cell){name, product, "mass"},
                    printed_g(report, i, stock->placements[i].g[tank]), "g");
        line_word(out, (cli_cell){name, product, "reason"},
                  stock->placements[i].reason);
    }
}

static void put_head(const cli_lines *out, const cli_head *head)
{
    const char *name = sw_tank_text(head->tank);
    LINE_NUMBERS(out, "head", name, {"ratio", head->ratio, ""},
                 {"draws", 1000.0 / head->ratio, "mL/L"},
                 {"EC alone", head->ec_ms_per_cm, "mS/cm"},
                 {"EC alone low", head->ec_low_ms_per_cm, "mS/cm"},
                 {"EC alone high", head->ec_high_ms_per_cm, "mS/cm"},
                 {"pH alone", head->ph, ""});
    for (int c = 0; c < SW_COMPONENT_COUNT; c++) {
        char quantity[48];
        snprintf(quantity, sizeof quantity, "brings %s",
                 sw_component_name((sw_component)c));
        if (head->brings.amount[c] > 0.0)
            line_number(out, (cli_cell){"head", name, quantity},
                        head->brings.amount[c], "mg/L");
    }
}

static void put_step(const cli_lines *out, const cli_report *report,
                     size_t index)
{
    const sw_step *step = &report->steps->items[index];
    char name[24];
    snprintf(name, sizeof name, "%zu", index + 1);
    line_word(out, (cli_cell){"step", name, "kind"}, sw_step_text(step->kind));
    if (step->tank < SW_TANKS)
        line_word(out, (cli_cell){"step", name, "tank"},
                  sw_tank_text(step->tank));
    if (step->g > 0.0) {
        line_word(out, (cli_cell){"step", name, "product"},
                  report->inputs->shelf->products[step->product].name);
        line_number(out, (cli_cell){"step", name, "mass"},
                    printed_g(report, step->product, step->g), "g");
    }
    if (step->volume_l > 0.0)
        line_number(out, (cli_cell){"step", name, "volume"}, step->volume_l,
                    "L");
    line_word(out, (cli_cell){"step", name, "clouds"}, step->clouds);
    line_word(out, (cli_cell){"step", name, "text"}, step->text);
    line_word(out, (cli_cell){"step", name, "safety"}, step->safety);
}

static void put_purchases(const cli_lines *out, const cli_report *report)
{
    for (size_t i = 0; i < report->stock->count; i++) {
        const sw_product *product = &report->inputs->shelf->products[i];
        cli_purchase bought = buying_of(report, i);
        if (bought.g > 0.0)
            LINE_NUMBERS(out, "to buy", product->name, {"mass", bought.g, "g"},
                         {"packs", bought.packs, ""},
                         {"pack", product->pack_g, "g"},
                         {"cost", bought.cost, ""});
    }
    LINE_NUMBERS(out, "to buy", "", {"fills", report->settings->fills, ""},
                 {"cost", buying_cost(report), ""});
}

void lines_stock(const cli_lines *out, const cli_report *report)
{
    const sw_stock *stock = report->stock;
    line_word(out, (cli_cell){"stock", "", "outcome"},
              sw_outcome_text(stock->outcome));
    line_number(out, (cli_cell){"stock", "", "factor"}, report->setup->factor,
                "");
    line_number(out, (cli_cell){"stock", "", "highest factor"},
                stock->highest_factor, "");
    if (report->make_up)
        line_word(out, (cli_cell){"stock", "", "make-up"},
                  report->make_up->sample);
    line_word(out, (cli_cell){"stock", "", "limit"}, stock->limit);
    for (size_t i = 0; i < stock->remedy_count; i++)
        line_word(out,
                  (cli_cell){"stock", "remedy",
                             sw_remedy_text(stock->remedies[i].kind)},
                  stock->remedies[i].text);
    if (report_lacks_tanks(report))
        return;
    LINE_NUMBERS(out, "stock", "", {"feed", stock->feed_l, "L"},
                 {"days", buying_days(report), "d"},
                 {"cost of a fill", stock->cost_per_fill, ""},
                 {"cost of 1000 L", stock->cost_per_m3, ""});
    for (int t = 0; t < SW_TANKS; t++)
        if (stock->tanks[t].volume_l > 0.0)
            put_tank(out, report, t);
    for (size_t i = 0; i < report->heads.count; i++)
        put_head(out, &report->heads.items[i]);
    for (size_t i = 0; report->steps && i < report->steps->count; i++)
        put_step(out, report, i);
    put_purchases(out, report);
}
