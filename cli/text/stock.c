/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Concentrates: what goes into which tank, and whether it stays dissolved. */
#include "text/parts.h"

#include <math.h>
#include <string.h>

#include "buying.h"
#include "scale.h"
#include "stop.h"
#include "tanks.h"
#include "text/figure.h"
#include "text/table.h"

static const char *const heads[SW_TANKS + 1] = {"tank A", "tank B", "tank C",
                                                "at the tanks"};

static bool in_use(const sw_stock *stock, int tank)
{
    return stock->tanks[tank].volume_l > 0.0;
}

static bool all_in_use(const sw_stock *stock)
{
    return in_use(stock, SW_TANK_A) && in_use(stock, SW_TANK_B) &&
           in_use(stock, SW_TANK_C);
}

/* An amount in one unit and, where both are asked for, in the other. */
typedef struct tank_figures {
    cli_figure first;
    cli_figure also; /* "" for none */
} tank_figures;

static tank_figures tank_amounts(const cli_report *report, size_t product,
                                 double g)
{
    cli_amounts asked = report->settings->amounts;
    cli_figure us = scale_amount(report, product, g, true);
    cli_figure metric = scale_amount(report, product, g, false);
    /* what the scale shows comes first */
    bool metric_first =
        asked == AMOUNTS_METRIC || (asked == AMOUNTS_BOTH && report->weighed &&
                                    !report->settings->steps_are_us);
    if (g <= 0.0)
        return (tank_figures){{"-"}, {""}};
    if (asked != AMOUNTS_BOTH || strcmp(us.text, metric.text) == 0)
        return (tank_figures){metric_first ? metric : us, {""}};
    return metric_first ? (tank_figures){metric, us}
                        : (tank_figures){us, metric};
}

/* "27.7 lb (12.56 kg)" */
static cli_figure tank_amount(const cli_report *report, size_t product,
                              double g)
{
    tank_figures amounts = tank_amounts(report, product, g);
    cli_figure both;
    if (!amounts.also.text[0])
        return amounts.first;
    snprintf(both.text, sizeof both.text, "%.22s (%.22s)", amounts.first.text,
             amounts.also.text);
    return both;
}

/* Three tanks leave no room for two units in a cell: the other one below. */
static void add_below(cli_table *table, const cli_report *report, size_t index)
{
    const char *cells[TABLE_MAX_COLUMNS] = {""};
    cli_figure figures[SW_TANKS];
    bool any = false;
    for (size_t t = 0; t < SW_TANKS; t++) {
        double g = report->stock->placements[index].g[t];
        tank_figures amounts = tank_amounts(report, index, g);
        figures[t] = (cli_figure){""};
        if (amounts.also.text[0]) {
            snprintf(figures[t].text, sizeof figures[t].text, "(%.40s)",
                     amounts.also.text);
            any = true;
        }
        cells[t + 1] = figures[t].text;
    }
    if (any)
        table_add(table, cells);
}

static void add_product(cli_table *table, const cli_report *report,
                        size_t index)
{
    const sw_stock *stock = report->stock;
    const sw_product *product = &report->inputs->shelf->products[index];
    const char *cells[TABLE_MAX_COLUMNS] = {product->name};
    cli_figure figures[SW_TANKS];
    bool apart = all_in_use(stock);
    size_t count = 1;
    for (int t = 0; t < SW_TANKS; t++) {
        double g = stock->placements[index].g[t];
        if (!in_use(stock, t))
            continue;
        figures[t] = apart ? tank_amounts(report, index, g).first
                           : tank_amount(report, index, g);
        cells[count++] = figures[t].text;
    }
    table_add(table, cells);
    if (apart)
        add_below(table, report, index);
    part_solution_remark(table, report, index);
    if (!scale_has_solution(report, index) &&
        stock->placements[index].reason[0])
        table_remark(table, stock->placements[index].reason);
}

static void put_products(const cli_page *page, const cli_report *report)
{
    const sw_stock *stock = report->stock;
    cli_table_column columns[SW_TANKS + 1] = {{"product", "", false}};
    size_t count = 1;
    for (int t = 0; t < SW_TANKS; t++)
        if (in_use(stock, t))
            columns[count++] = (cli_table_column){heads[t], "", true};
    cli_table table = table_new(columns, count);
    table.remark_indent = 4;
    part_report_gear(page, report);
    for (size_t i = 0; i < stock->count; i++)
        if (report_uses(report, i))
            add_product(&table, report, i);
    table_print(page, &table);
    table_free(&table);
}

static void add_tank(cli_table *table, sw_tank tank, const sw_tank_report *row)
{
    cli_figure salts = figure_fixed(row->salts_g_per_l, FIGURE_WHOLE);
    cli_figure ph = figure_fixed(row->ph, FIGURE_PH);
    cli_figure warm = figure_percent(row->saturation);
    cli_figure cold = figure_percent(row->saturation_cold);
    cli_figure most = figure_fixed(
        row->highest_factor >= 1.0 ? row->highest_factor : (double)NAN,
        FIGURE_WHOLE);
    bool fails = row->saturation_cold > 1.0 || row->saturation > 1.0;
    const char *cells[] = {sw_tank_text(tank),
                           salts.text,
                           ph.text,
                           warm.text,
                           cold.text,
                           most.text,
                           row->solid_cold[0] ? row->solid_cold : row->solid};
    char words[320];
    table_add(table, cells)->tone = fails ? TONE_BAD : TONE_PLAIN;
    if (row->no_ph[0]) {
        snprintf(words, sizeof words, "pH not estimated: %s", row->no_ph);
        table_remark(table, words);
    }
    if (row->no_data[0]) {
        snprintf(words, sizeof words, "no data on the solubility of %s",
                 row->no_data);
        table_remark(table, words);
    }
    if (fails && !isnan(row->coldest_c))
        snprintf(words, sizeof words, "keep it above %.0f °C: %s comes out",
                 ceil(row->coldest_c), row->solid_cold);
    else if (row->missing[0])
        snprintf(words, sizeof words,
                 "no data on %s together; bounded by the pure salts",
                 row->missing);
    else
        return;
    table_remark(table, words);
}

static void put_tanks(const cli_page *page, const cli_report *report)
{
    static const cli_table_column columns[] = {
        {"tank", "", false},
        {"salts", "g/L", true},
        {"pH", "", true},
        {"saturation", "in use", true},
        {"saturation", "cold", true},
        {"highest", "factor", true},
        {"first to come out", "", false}};
    cli_table table = table_new(columns, sizeof columns / sizeof columns[0]);
    table.remark_indent = 4;
    page_title(page, "Do they stay dissolved? In use %.4g °C, cold %.4g °C",
               report->setup->temperature_c, report->setup->cold_c);
    for (int t = 0; t < SW_TANKS; t++)
        if (in_use(report->stock, t))
            add_tank(&table, (sw_tank)t, &report->stock->tanks[t]);
    table_print(page, &table);
    table_free(&table);
}

/* The number of the earlier step of the same tank that has said the same; 0
 * when none has. */
static size_t is_said(const sw_steps *steps, size_t index, bool caution)
{
    const sw_step *step = &steps->items[index];
    const char *words = caution ? step->safety : step->text;
    for (size_t i = 0; i < index; i++) {
        const sw_step *other = &steps->items[i];
        if (other->tank == step->tank &&
            strcmp(caution ? other->safety : other->text, words) == 0)
            return i + 1;
    }
    return 0;
}

/* "50 gal", "200 L" */
static cli_figure volume(const cli_report *report, double volume_l)
{
    return figure_volume(volume_l, report->settings->volume_system);
}

static void put_step(const cli_page *page, const cli_report *report,
                     size_t index)
{
    const sw_step *step = &report->steps->items[index];
    bool said = is_said(report->steps, index, false) > 0;
    if (step->kind == SW_STEP_ADD) {
        const sw_product *product =
            &report->inputs->shelf->products[step->product];
        cli_figure much = tank_amount(report, step->product, step->g);
        bool dosed = scale_has_solution(report, step->product);
        page_paragraph(page, 2, 6, "%2zu. Add %s of %s%s.%s%s", index + 1,
                       much.text, dosed ? "the solution of " : "",
                       product->name, said ? "" : " ", said ? "" : step->text);
    } else if (step->g > 0.0) {
        page_paragraph(
            page, 2, 6, "%2zu. The solution of %s: %s in %s. %s", index + 1,
            report->inputs->shelf->products[step->product].name,
            scale_solution(report, step->product).text,
            scale_solution_volume(report, step->product).text, step->text);
    } else if (step->volume_l > 0.0) {
        page_paragraph(page, 2, 6, "%2zu. %s That is %s.", index + 1,
                       step->text, volume(report, step->volume_l).text);
    } else {
        page_paragraph(page, 2, 6, "%2zu. %s", index + 1, step->text);
    }
    size_t before = is_said(report->steps, index, true);
    if (step->safety[0] && before)
        page_paragraph(page, 6, 6, "Safety: as in step %zu.", before);
    else if (step->safety[0])
        page_paragraph(page, 6, 6, "Safety: %s", step->safety);
}

static void put_steps(const cli_page *page, const cli_report *report)
{
    sw_tank tank = SW_TANKS;
    page_title(page, "In this order");
    for (size_t i = 0; i < report->steps->count; i++) {
        sw_tank next = report->steps->items[i].tank;
        if (next != tank)
            page_paragraph(page, 2, 2, "%s", heads[next]);
        tank = next;
        put_step(page, report, i);
    }
    if (scale_has_solutions(report))
        page_paragraph(page, 2, 6, "%2zu. %s", report->steps->count + 1,
                       scale_leftover_words);
}

static void put_failure(const cli_page *page, const cli_report *report)
{
    const sw_stock *stock = report->stock;
    page_title(page, "No stock at factor %.4g", report->setup->factor);
    if (stock->limit[0])
        page_paragraph(page, 2, 2, "%s.", stock->limit);
    page_paragraph(page, 2, 2, "%s",
                   stock->remedy_count > 1 ? "Any one of these helps:"
                   : stock->remedy_count   ? "This helps:"
                                           : stop_no_remedy);
    for (size_t i = 0; i < stock->remedy_count; i++)
        page_paragraph(page, 2, 4, "- %s", stock->remedies[i].text);
}

static void put_heading(const cli_page *page, const cli_report *report)
{
    const sw_stock_setup *setup = report->setup;
    if (tanks_differ(setup, report->stock)) {
        page_title(page, "Tanks");
        for (int t = 0; t < SW_TANKS; t++)
            if (in_use(report->stock, t))
                page_paragraph(
                    page, 2, 4, "%s: %s, 1 to %.4g", heads[t],
                    volume(report, report->stock->tanks[t].volume_l).text,
                    report->stock->tanks[t].ratio);
        return;
    }
    for (int t = 0; t < SW_TANKS; t++)
        if (in_use(report->stock, t)) {
            page_title(
                page, "Tanks of %s, 1 to %.4g",
                volume(report, sw_stock_volume_l(setup, (sw_tank)t)).text,
                sw_stock_ratio(setup, (sw_tank)t));
            return;
        }
    page_title(page, "Tanks");
}

static void put_feed(const cli_page *page, const cli_report *report)
{
    const sw_stock *stock = report->stock;
    cli_figure feed = volume(report, stock->feed_l);
    if (!report->solution)
        page_paragraph(page, 2, 2, "As mixed: enough for %s of feed.",
                       feed.text);
    else if (tanks_differ(report->setup, stock))
        page_paragraph(page, 2, 2,
                       "Fill each to its mark: enough for %s of feed, when "
                       "the first is empty.",
                       feed.text);
    else
        page_paragraph(page, 2, 2, "Fill each to %s: enough for %s of feed.",
                       volume(report, report->setup->volume_l).text, feed.text);
}

void part_stock(const cli_page *page, const cli_report *report)
{
    const sw_stock *stock = report->stock;
    if (report_lacks_tanks(report)) {
        put_failure(page, report);
        part_recipe(page, report);
        return;
    }
    if (stop_is_asked(report)) {
        put_tanks(page, report);
        return;
    }
    put_heading(page, report);
    if (report->make_up)
        page_paragraph(page, 2, 2, "Made up with %s, not the source water.",
                       report->make_up->sample);
    put_products(page, report);
    put_feed(page, report);
    if (!isnan(buying_days(report)))
        page_paragraph(page, 2, 2, "At %s a day a fill lasts %s days.",
                       volume(report, report->settings->per_day_l).text,
                       figure_short(buying_days(report)).text);
    if (!isnan(stock->cost_per_fill))
        page_paragraph(page, 2, 2,
                       "A fill costs %s, or %s per 1000 L of feed, in the "
                       "currency of the shelf's prices.",
                       figure_fixed(stock->cost_per_fill, FIGURE_COST).text,
                       figure_fixed(stock->cost_per_m3, FIGURE_COST).text);
    if (buying_shows(report))
        part_buying(page, report);
    if (report->heads.count)
        part_heads(page, report, heads);
    put_tanks(page, report);
    if (report->steps && report->steps->count)
        put_steps(page, report);
}
