/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A head is set by volume and found out by EC.  Both are reckoned for one head
 * at a time: with all of them running, one that draws too much can hide
 * another that draws too little.
 */
#include "heads.h"

#include <math.h>

#include "complain.h"

const char heads_draw_words[] =
    "One that is more than 5 % off needs adjusting or repair (common practice, "
    "no source). Wear goggles and gloves: the line is wet with stock. The "
    "injector's manual and the local code come first.";

const char heads_ec_words[] =
    "EC and pH alone: of the water with that injector running and the others "
    "shut, estimated; in brackets the 90 % range. What one injector makes is "
    "not feed: catch it, keep it off the crop and dispose of it as the local "
    "code says.";

/* Round, and enough for a head of 1:2000 to draw what a small jug shows. */
static const double test_l = 100.0, test_gal = 25.0;

static void add_source(const cli_report *report, double share, sw_content *out)
{
    for (size_t i = 0; i < report->inputs->waters.count; i++)
        sw_content_add(out, share * report_share(report, i),
                       &report->inputs->contents[i]);
}

/* A litre of feed with this head alone. */
static sw_content feed_of(const cli_report *report, const cli_head *head)
{
    const sw_content *make_up = report->setup->make_up;
    double stock = 1.0 / head->ratio;
    sw_content out = {{0}};
    add_source(report, make_up ? 1.0 - stock : 1.0, &out);
    if (make_up)
        sw_content_add(&out, stock, make_up);
    sw_content_add(&out, 1.0, &head->brings);
    return out;
}

static sw_content brought_by(const cli_report *report, sw_tank tank)
{
    const sw_stock *stock = report->stock;
    const sw_tank_report *row = &stock->tanks[tank];
    sw_content out = {{0}};
    for (size_t i = 0; i < stock->count; i++)
        sw_content_add(
            &out, stock->placements[i].g[tank] / (row->volume_l * row->ratio),
            &report->inputs->shelf->products[i].per_g);
    return out;
}

static sw_status fill(const cli_report *report, sw_tank tank, cli_head *head,
                      sw_error *error)
{
    sw_chemistry alone;
    head->tank = tank;
    head->ratio = report->stock->tanks[tank].ratio;
    head->brings = brought_by(report, tank);
    sw_content feed = feed_of(report, head);
    sw_status status = sw_equilibrate(&feed, &report->settings->conditions,
                                      SW_CARBONATE_KEPT, &alone, error);
    if (status != SW_OK)
        return status;
    sw_content water = feed;
    sw_content_add(&water, -1, &head->brings);
    sw_ec_bound(&water, &feed, &alone);
    head->ec_ms_per_cm = alone.ec_ms_per_cm;
    head->ec_low_ms_per_cm = alone.ec_low_ms_per_cm;
    head->ec_high_ms_per_cm = alone.ec_high_ms_per_cm;
    head->ph = alone.ph;
    return SW_OK;
}

exit_code heads_find(const cli_report *report, cli_heads *out)
{
    sw_error error;
    *out = (cli_heads){.count = 0};
    if (!report->stock || report->stock->outcome == SW_CONFLICT)
        return EXIT_DONE;
    for (int t = 0; t < SW_TANKS; t++) {
        if (!(report->stock->tanks[t].volume_l > 0.0))
            continue;
        if (fill(report, (sw_tank)t, &out->items[out->count++], &error) !=
            SW_OK)
            return complain_error(&error);
    }
    return EXIT_DONE;
}

double heads_test_l(const cli_report *report)
{
    return report->settings->volume_system == SW_US
               ? test_gal * figure_l_per_gal
               : test_l;
}

cli_figure heads_draw(const cli_report *report, const cli_head *head)
{
    double ml = 1000.0 * heads_test_l(report) / head->ratio;
    cli_figure metric = figure_liquid_metric(ml);
    cli_figure out;
    if (report->settings->volume_system != SW_US)
        return metric;
    snprintf(out.text, sizeof out.text, "%.22s (%.22s)",
             figure_liquid_us(ml).text, metric.text);
    return out;
}

cli_figure heads_ec(const cli_head *head)
{
    cli_figure out;
    snprintf(out.text, sizeof out.text, "%.12s (%.12s to %.12s)",
             figure_fixed(head->ec_ms_per_cm, FIGURE_EC).text,
             figure_fixed(head->ec_low_ms_per_cm, FIGURE_EC).text,
             figure_fixed(head->ec_high_ms_per_cm, FIGURE_EC).text);
    return out;
}

/* The forms of nitrogen are told by their sum. */
static bool is_told(sw_component component)
{
    return !sw_component_is(component, SW_IS_FORM);
}

void heads_say_brings(const cli_report *report, const cli_head *head,
                      char *list, size_t size)
{
    size_t used = 0;
    list[0] = '\0';
    for (size_t i = 0; i < SW_COMPONENT_COUNT && used < size; i++) {
        const sw_component_row *row = report_row(report, i);
        double mg_per_l = head->brings.amount[row->component];
        int decimals = report_row_decimals(row);
        if (!is_told(row->component) || mg_per_l < 0.5 * pow(10.0, -decimals))
            continue;
        int n = snprintf(list + used, size - used, "%s%s %s", used ? ", " : "",
                         sw_component_name(row->component),
                         figure_fixed(mg_per_l, decimals).text);
        used += n > 0 ? (size_t)n : 0;
    }
}
