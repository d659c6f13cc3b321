/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whole packs are bought; what is left of them is the next fill's. */
#include "buying.h"

#include <math.h>
#include <stdlib.h>

#include "command.h"
#include "complain.h"
#include "quantities.h"

exit_code buying_read(const cli_options *options, cli_settings *out)
{
    cli_volume feed = {(double)NAN, SW_METRIC};
    char *end;
    exit_code code = EXIT_DONE;
    const char *day = options_value(options, OPT_PER_DAY, 0);
    const char *fills = options_value(options, OPT_FILLS, 0);
    if (day)
        code = volume_read(options, OPT_PER_DAY, day, day, &feed);
    out->per_day_l = feed.l;
    out->fills = 1.0;
    if (code != EXIT_DONE || !fills)
        return code;
    out->fills = (double)strtol(fills, &end, 10);
    if (end == fills || *end || !(out->fills >= 1.0 && out->fills <= 1000.0))
        return complain_usage(options->command->name,
                              "--fills %.80s: expected a whole number from 1 "
                              "to 1000, such as 4",
                              fills);
    return EXIT_DONE;
}

cli_purchase buying_of(const cli_report *report, size_t index)
{
    const sw_product *product = &report->inputs->shelf->products[index];
    cli_purchase out = {0.0, (double)NAN, (double)NAN};
    for (int t = 0; t < SW_TANKS; t++)
        out.g += report->stock->placements[index].g[t];
    out.g *= report->settings->fills;
    if (product->pack_g > 0.0)
        out.packs = ceil(out.g / product->pack_g - 1e-9);
    double g = isnan(out.packs) ? out.g : out.packs * product->pack_g;
    out.cost = g / 1000.0 * product->price_per_kg;
    return out;
}

static cli_figure amount(const cli_report *report, size_t index, double g)
{
    cli_way way = {.us = report->settings->amounts == AMOUNTS_US};
    return printed_amount(report, index, g, way);
}

cli_figure buying_needed(const cli_report *report, size_t index,
                         const cli_purchase *bought)
{
    return amount(report, index, bought->g);
}

cli_figure buying_packs(const cli_report *report, size_t index,
                        const cli_purchase *bought)
{
    cli_figure out = {"-"};
    double pack_g = report->inputs->shelf->products[index].pack_g;
    if (!isnan(bought->packs))
        snprintf(out.text, sizeof out.text, "%.0f x %.24s", bought->packs,
                 amount(report, index, pack_g).text);
    return out;
}

double buying_cost(const cli_report *report)
{
    double sum = 0.0;
    for (size_t i = 0; i < report->stock->count; i++) {
        cli_purchase bought = buying_of(report, i);
        sum += bought.g > 0.0 ? bought.cost : 0.0;
    }
    return sum;
}

bool buying_shows(const cli_report *report)
{
    bool packs = false;
    for (size_t i = 0; i < report->stock->count; i++) {
        cli_purchase bought = buying_of(report, i);
        packs = packs || (bought.g > 0.0 && !isnan(bought.packs));
    }
    return packs || report->settings->fills > 1.0;
}

double buying_days(const cli_report *report)
{
    return report->stock->feed_l / report->settings->per_day_l;
}
