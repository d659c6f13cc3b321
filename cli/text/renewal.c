/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to do with a tank whose solution goes round, before the additions. */
#include "text/parts.h"

#include <math.h>

#include "text/figure.h"

enum { TERM_COLUMNS = 8, MOST_STEPS = 5, MOST_NAME = 50 };
/* Less than this share of what is held is none. */
static const double nothing = 1e-3;

/* "134 L (35.4 gal)", the unit that was asked for first. */
static cli_figure litres(const cli_report *report, double volume_l)
{
    cli_figure out;
    cli_figure metric = figure_liquid_metric(1000.0 * volume_l);
    cli_figure us = figure_liquid_us(1000.0 * volume_l);
    bool first = report->settings->volume_system == SW_US;
    snprintf(out.text, sizeof out.text, "%.20s (%.20s)",
             first ? us.text : metric.text, first ? metric.text : us.text);
    return out;
}

static void put_let_out(const cli_page *page, const cli_report *report)
{
    const sw_renewal *renewal = report->renewal;
    bool all = renewal->outcome != SW_CONFLICT;
    if (!all && !renewal->unreached_count)
        page_entry(page, TERM_COLUMNS, "drain",
                   "nothing: no share of this fresh water meets every target, "
                   "so what follows is the closest");
    else if (renewal->let_out <= 0.0)
        page_entry(page, TERM_COLUMNS, "drain",
                   "nothing: every target%s can be met with all of it",
                   renewal->unreached_count ? " but those missed" : "");
    else
        page_entry(
            page, TERM_COLUMNS, "drain",
            "at least %s of the %s it holds (%.1f %%): with more of the old "
            "solution some target%s cannot be met, as follows",
            litres(report, report_turnover(report).let_out_l).text,
            litres(report, report->holds_l).text, 100.0 * renewal->let_out,
            renewal->unreached_count ? " beside those missed" : "");
}

/* "nothing", or so many litres. */
static cli_figure let_out(const cli_report *report, double share)
{
    double volume_l = share * report->holds_l;
    return share < nothing ? (cli_figure){"nothing"} : litres(report, volume_l);
}

typedef struct clause {
    char text[128];
} clause;

/* ", and Cu is 0.09 mg/L or more", what the waters bring; or "". */
static clause brought(const cli_report *report, const sw_forcing *forcing)
{
    clause out = {""};
    if (!isnan(forcing->brought))
        snprintf(out.text, sizeof out.text, ", and %.40s is %s mg/L or more",
                 report->inputs->target->rows[forcing->row].name,
                 figure_short(forcing->brought).text);
    return out;
}

static void put_alone(const cli_page *page, const cli_report *report,
                      const char *term, const sw_forcing *forcing)
{
    double saved = report->renewal->let_out - forcing->let_out_alone;
    if (saved < nothing)
        page_entry(page, TERM_COLUMNS, term,
                   "%s: without this limit no less is drained", forcing->name);
    else
        page_entry(page, TERM_COLUMNS, term,
                   "%s: without this limit %s is drained, %s less%s",
                   forcing->name, let_out(report, forcing->let_out_alone).text,
                   litres(report, saved * report->holds_l).text,
                   brought(report, forcing).text);
}

static void put_further(const cli_page *page, const cli_report *report,
                        const sw_forcing *forcing)
{
    page_entry(page, TERM_COLUMNS, "then",
               "%s: without this and the ones above, %s is drained%s",
               forcing->name, let_out(report, forcing->let_out_together).text,
               brought(report, forcing).text);
}

/* The way to letting out nothing, then what else gains alone. */
static void put_forcing(const cli_page *page, const cli_report *report)
{
    const sw_renewal *renewal = report->renewal;
    size_t way = 0;
    while (way < renewal->forcing_count &&
           !isnan(renewal->forcing[way].let_out_together))
        way++;
    for (size_t i = 0; i < way && i < MOST_STEPS; i++)
        if (i == 0)
            put_alone(page, report, "because", &renewal->forcing[i]);
        else
            put_further(page, report, &renewal->forcing[i]);
    if (way > MOST_STEPS)
        page_entry(page, TERM_COLUMNS, "then", "%zu more before nothing is",
                   way - MOST_STEPS);
    for (size_t i = way; i < renewal->forcing_count; i++)
        put_alone(page, report, "or", &renewal->forcing[i]);
}

/* "Cu, B", those whose max, or min, is only the band of the verdict. */
static bool list_bands(const cli_report *report, char *names, size_t size)
{
    const sw_renewal *renewal = report->renewal;
    size_t used = 0;
    names[0] = '\0';
    for (size_t i = 0; i < renewal->forcing_count; i++) {
        const sw_forcing *forcing = &renewal->forcing[i];
        if (forcing->by_band && used + MOST_NAME < size)
            used += (size_t)snprintf(
                names + used, size - used, "%s%.40s %s", used ? ", " : "",
                report->inputs->target->rows[forcing->row].name,
                forcing->is_max ? "max" : "min");
    }
    return used > 0;
}

static void put_bands(const cli_page *page, const cli_report *report)
{
    char names[512];
    if (list_bands(report, names, sizeof names))
        page_paragraph(
            page, 2, 2,
            "No limit is given in the target file for: %s. The "
            "accepted range is used, 10 %% of the target or 0.5 of "
            "a pH either way (common practice), and nothing is "
            "drained for an excess above it of less than 10 %%, which a "
            "laboratory cannot tell (it is off by about 5 %%: "
            "common practice). Where the crop is known to bear "
            "more, a limit of your own in column max or min takes "
            "its place, and less is drained.",
            names);
}

/* What neither letting out nor adding can do, and why. */
static void put_unreached(const cli_page *page, const cli_report *report)
{
    const sw_renewal *renewal = report->renewal;
    for (size_t i = 0; i < renewal->unreached_count; i++) {
        const sw_unreached *u = &renewal->unreached[i];
        sw_target_kind kind = report->inputs->target->rows[u->row].kind;
        page_entry(page, TERM_COLUMNS, i ? "" : "missed", "%s: %s; it is %s%s",
                   u->name, u->reason, figure_short(u->finished).text,
                   kind == SW_TARGET_COMPONENT ? " mg/L" : "");
    }
}

void part_renewal(const cli_page *page, const cli_report *report)
{
    cli_turnover turnover = report_turnover(report);
    page_title(page, "The tank");
    put_let_out(page, report);
    put_forcing(page, report);
    put_unreached(page, report);
    page_entry(page, TERM_COLUMNS, "top up", "to %s with %s of fresh water",
               figure_volume_both(report->settings->volume_l,
                                  report->settings->volume_system)
                   .text,
               litres(report, turnover.fresh_l).text);
    page_entry(page, TERM_COLUMNS, "add",
               "what follows, dissolved, a product at a time; then stir, and "
               "measure");
    put_bands(page, report);
    if (report->renewal->let_out > 0.0)
        page_paragraph(page, 2, 2,
                       "What is drained still feeds plants and algae: where it "
                       "may go, the local rules say.");
}
