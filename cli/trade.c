/* SPDX-License-Identifier: GPL-3.0-or-later */
/* --trade-off: the front of fit against cost, or against fewer products. */
#include "trade.h"

#include <string.h>

#include "command.h"
#include "complain.h"
#include "mixing_problem.h"
#include "sheet/curve.h"
#include "sheet/name.h"

/* Points of a curve, four for each row of its table; numbers of products. */
enum { CURVE_POINTS = 33, FEWEST_POINTS = 7 };

static exit_code read_trade(const cli_options *options, const char *given,
                            cli_settings *out)
{
    out->trade_off = true;
    out->trade = strcmp(given, "products") ? SW_TRADE_COST : SW_TRADE_PRODUCTS;
    if (out->trade == SW_TRADE_COST && strcmp(given, "cost") != 0)
        return complain_usage(options->command->name,
                              "--trade-off %.80s: expected cost or products",
                              given);
    if (out->objective != SW_CLOSEST)
        return complain_usage(options->command->name,
                              "--trade-off begins at the recipe that comes "
                              "closest; leave out --objective %s",
                              sw_objective_text(out->objective));
    return EXIT_DONE;
}

exit_code trade_read(const cli_options *options, cli_settings *out)
{
    const char *given = options_value(options, OPT_TRADE_OFF, 0);
    out->curve = options_value(options, OPT_CURVE, 0);
    if (out->curve && !given)
        return complain_usage(options->command->name,
                              "--curve needs --trade-off cost or products");
    if (out->curve && !sheet_is_chart(out->curve))
        return complain_usage(options->command->name,
                              "--curve %.80s: expected a name in .svg",
                              out->curve);
    return given ? read_trade(options, given, out) : EXIT_DONE;
}

exit_code trade_find(const cli_report *report, sw_front **front)
{
    sw_error error;
    const cli_settings *settings = report->settings;
    sw_problem problem = mixing_problem(report->inputs, settings);
    size_t count =
        settings->trade == SW_TRADE_COST ? CURVE_POINTS : FEWEST_POINTS;
    if (sw_front_find(&problem, settings->trade, count, front, &error) != SW_OK)
        return complain_error(&error);
    if (!*front) {
        complain_file(
            report->inputs->target->name,
            "no trade-off: no recipe from this shelf keeps the ranges "
            "of all targets; --objective cheapest says why");
        return EXIT_DONE;
    }
    return settings->curve ? curve_write(*front, settings->curve) : EXIT_DONE;
}
