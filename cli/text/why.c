/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Why this recipe: where the misfit lies, what each limit costs, what each
 * product is there for, and what the shelf lacks.
 */
#include "text/parts.h"

#include <math.h>
#include <string.h>

#include "text/addition.h"
#include "text/figure.h"
#include "text/table.h"

enum { ADDITIONS_SHOWN = 5 };
/* A sum of squares below it is rounding; a gain below it is no reason to buy:
 * 1 % of the misfit. */
static const double exact = 1e-12, worth_showing = 0.01;
/* A step that would take more than this off has left its price behind. */
static const double most_at_once = 0.5;

static const char *measure_of(const cli_report *report)
{
    static const char *const words[] = {[SW_CLOSEST] = "distance",
                                        [SW_EVEN] = "worst deviation",
                                        [SW_CHEAPEST] = "cost"};
    return words[report->solution->objective];
}

static cli_figure percent(double share)
{
    cli_figure out = figure_short(100.0 * share);
    size_t used = strlen(out.text);
    snprintf(out.text + used, sizeof out.text - used, " %%");
    return out;
}

static void put_misses(const cli_page *page, const cli_report *report)
{
    static const cli_table_column columns[] = {{"target", "", false},
                                               {"off by", "", true},
                                               {"of the distance", "", true}};
    const sw_why *why = report->why;
    cli_table table = table_new(columns, 3);
    for (size_t i = 0; i < why->miss_count; i++) {
        const sw_miss *miss = &why->misses[i];
        cli_figure off = figure_signed(100.0 * miss->deviation, 1);
        cli_figure share = figure_fixed(100.0 * miss->share, FIGURE_WHOLE);
        snprintf(off.text + strlen(off.text), 4, " %%");
        snprintf(share.text + strlen(share.text), 4, " %%");
        const char *cells[] = {report->inputs->target->rows[miss->row].name,
                               off.text, share.text};
        if (miss->share >= worth_showing)
            table_add(&table, cells);
    }
    page_paragraph(page, 2, 2,
                   "Where the distance from the target lies (sum of weighted "
                   "squared relative "
                   "deviations, %.4g):",
                   why->objective);
    table_print(page, &table);
    table_free(&table);
}

/* A round step, a fiftieth to a fifth of the bound: 1 of 45, 0.01 of 0.5. */
static double step_of(double bound)
{
    return bound > 0.0 ? pow(10.0, floor(log10(bound / 5.0))) : 1.0;
}

static double share_of(const cli_report *report, const sw_priced_limit *limit,
                       double step)
{
    return fabs(limit->limit.price) * step / report->why->objective;
}

/* "; holds from 52.1 to 63.4 mg/L", or "". */
static void put_range(const sw_priced_limit *limit, char *words, size_t size)
{
    words[0] = '\0';
    if (isnan(limit->low))
        return;
    if (isinf(limit->high))
        snprintf(words, size, "; holds from %s%s%s up",
                 figure_short(limit->low).text, limit->unit[0] ? " " : "",
                 limit->unit);
    else
        snprintf(words, size, "; holds from %s to %s%s%s",
                 figure_short(limit->low).text, figure_short(limit->high).text,
                 limit->unit[0] ? " " : "", limit->unit);
}

/* Loosening gains, whichever way that is; a fixed amount may go either. */
static void put_limit(const cli_page *page, const cli_report *report,
                      const sw_priced_limit *limit)
{
    double step = step_of(limit->limit.bound);
    char range[160];
    while (share_of(report, limit, step) > most_at_once)
        step /= 10.0;
    put_range(limit, range, sizeof range);
    page_paragraph(
        page, 2, 4, "- %s: the first %s%s%s %s takes %s off the %s%s",
        limit->limit.name, figure_short(step).text, limit->unit[0] ? " " : "",
        limit->unit, limit->limit.price < 0.0 ? "more" : "less",
        percent(share_of(report, limit, step)).text, measure_of(report), range);
}

/* A pH that is missed has a price of its own, which the limits' leave out. */
static bool misses_ph(const sw_assessment *a)
{
    bool missed = false;
    for (size_t i = 0; i < a->measure_count; i++)
        missed = missed || (a->measures[i].kind == SW_TARGET_PH &&
                            a->measures[i].verdict != SW_MET);
    return missed;
}

static void put_limits(const cli_page *page, const cli_report *report)
{
    const sw_why *why = report->why;
    const char *but = misses_ph(report->assessment)
                          ? ", apart from what they do to the pH"
                          : "";
    if (why->miss_count)
        fputc('\n', page->out);
    if (!why->limit_count) {
        page_paragraph(page, 2, 2,
                       "No limit stands in the way: moving one changes "
                       "nothing%s.",
                       but);
        return;
    }
    page_paragraph(page, 2, 2, "What the limits that bind cost%s:", but);
    for (size_t i = 0; i < why->limit_count; i++)
        put_limit(page, report, &why->limits[i]);
    page_paragraph(page, 2, 2,
                   "A price holds, changing steadily, while the same products "
                   "are in use and the same limits bind.");
}

static cli_figure without(const cli_report *report, const sw_worth *worth)
{
    if (isnan(worth->objective))
        return (cli_figure){"no recipe"};
    return report->solution->objective == SW_CHEAPEST
               ? figure_fixed(worth->objective, FIGURE_COST)
               : figure_plain(worth->objective);
}

static void add_product(cli_table *table, const cli_report *report,
                        const sw_worth *worth)
{
    double before = report->why->objective;
    cli_figure now = without(report, worth);
    cli_figure times = figure_short(worth->objective / before);
    const char *cells[] = {report->inputs->shelf->products[worth->product].name,
                           now.text, before > exact ? times.text : "-"};
    table_add(table, cells);
    if (worth->loses_ph)
        table_remark(table, "and the pH is missed");
    if (worth->spare)
        table_remark(table, "can be left out: nothing that the target names "
                            "moves by more than 0.1 %");
}

static void put_products(const cli_page *page, const cli_report *report)
{
    const cli_table_column columns[] = {{"left out", "", false},
                                        {measure_of(report), "", true},
                                        {"times", "", true}};
    const sw_why *why = report->why;
    cli_table table = table_new(columns, 3);
    size_t spare = 0;
    table.remark_indent = 4;
    for (size_t i = 0; i < why->product_count; i++) {
        add_product(&table, report, &why->products[i]);
        spare += why->products[i].spare;
    }
    if (why->product_count) {
        fputc('\n', page->out);
        page_paragraph(page, 2, 2,
                       "What the %s is when a product is left out, and how "
                       "many times what it is now:",
                       measure_of(report));
        table_print(page, &table);
    }
    if (spare > 1)
        page_paragraph(page, 2, 2,
                       "Of those that can be left out leave out one, and ask "
                       "again: each may stand in for another.");
    table_free(&table);
}

static double gain_of(const cli_report *report, const sw_addition *addition)
{
    double before = report->why->objective;
    return isnan(addition->objective) ? addition->price
                                      : 1.0 - addition->objective / before;
}

static void add_addition(cli_table *table, const cli_report *report,
                         const sw_addition *addition)
{
    bool cheapest = report->solution->objective == SW_CHEAPEST;
    double gain = gain_of(report, addition);
    double g = addition->g_per_l * report->settings->volume_l;
    cli_figure amount = figure_mass_metric(g);
    cli_figure closes = cheapest ? figure_fixed(gain, FIGURE_COST)
                                 : figure_fixed(100.0 * gain, FIGURE_WHOLE);
    char words[512];
    char remark[640];
    if (!cheapest)
        snprintf(closes.text + strlen(closes.text), 4, " %%");
    const char *cells[] = {addition->name, cheapest ? closes.text : amount.text,
                           closes.text};
    table_add(table, cells);
    addition_words(addition, report->inputs->target, words, sizeof words);
    snprintf(remark, sizeof remark, "%s%s%s",
             addition->mends_ph ? "brings the pH to where it is asked for" : "",
             addition->mends_ph && words[0] ? "; " : "", words);
    if (remark[0])
        table_remark(table, remark);
}

static cli_table additions_of(const cli_report *report)
{
    static const cli_table_column closest[] = {{"product", "", false},
                                               {"measure out", "", true},
                                               {"closes", "", true}};
    static const cli_table_column cheapest[] = {{"product", "", false},
                                                {"worth per kg", "", true}};
    const sw_why *why = report->why;
    bool priced = report->solution->objective == SW_CHEAPEST;
    cli_table table = table_new(priced ? cheapest : closest, priced ? 2 : 3);
    table.remark_indent = 4;
    for (size_t i = 0; i < why->addition_count; i++) {
        const sw_addition *addition = &why->additions[i];
        bool counts =
            addition->mends_ph || gain_of(report, addition) >= worth_showing;
        if (counts && table.row_count < ADDITIONS_SHOWN)
            add_addition(&table, report, addition);
    }
    return table;
}

/* Who asked for the cheapest may still want it cheaper. */
static bool is_enough(const cli_report *report)
{
    return report->assessment->all_met &&
           report->solution->objective != SW_CHEAPEST;
}

static void put_enough(const cli_page *page)
{
    page_title(page, "What the shelf lacks");
    page_paragraph(page, 2, 2, "Nothing is needed: every target is met.");
}

static void put_additions(const cli_page *page, const cli_report *report)
{
    cli_table table = additions_of(report);
    page_title(page, "What the shelf lacks");
    if (!table.row_count)
        page_paragraph(page, 2, 2,
                       "Nothing: none of %zu other products of the catalogue, "
                       "added alone, takes 1 %% off the %s.",
                       report->why->tried, measure_of(report));
    else if (report->solution->objective == SW_CHEAPEST)
        page_paragraph(page, 2, 2,
                       "Of %zu other products of the catalogue these would "
                       "save most; below this price they are worth buying:",
                       report->why->tried);
    else
        page_paragraph(page, 2, 2,
                       "Of %zu other products of the catalogue, each added "
                       "alone and solved again, these help most; what each "
                       "closes is of the %s:",
                       report->why->tried, measure_of(report));
    if (table.row_count)
        table_print(page, &table);
    table_free(&table);
}

void part_why(const cli_page *page, const cli_report *report)
{
    page_title(page, "Why this recipe");
    if (report->why->objective <= exact) {
        page_paragraph(page, 2, 2,
                       "Nothing holds it back: its %s is 0, and no limit or "
                       "product could better that.",
                       measure_of(report));
        put_products(page, report);
        return;
    }
    if (report->why->miss_count)
        put_misses(page, report);
    put_limits(page, report);
    put_products(page, report);
    if (is_enough(report))
        put_enough(page);
    else
        put_additions(page, report);
}
