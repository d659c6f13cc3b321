/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Why this recipe: which targets are off, what each limit costs, what each
 * product is there for, and what the shelf lacks.
 */
#include <math.h>

#include "report/blocks.h"
#include "sentences_text.h"

enum { ADDITIONS_SHOWN = 5 };
/* A gain below it is no reason to buy: 1 % of the distance. */
static const double worth_showing = 0.01;

static const char *measure_of(const cli_report *report)
{
    return sw_objective_facts_of(report->solution->objective)->value;
}

static void put_prices(doc_record *out, const sw_why *why)
{
    doc_block *block = doc_add(out, "component_prices");
    for (int c = 0; c < SW_COMPONENT_COUNT; c++)
        doc_entry(block, sw_component_name((sw_component)c), why->price[c]);
}

static void put_misses(doc_record *out, const cli_report *report)
{
    const sw_why *why = report->why;
    doc_block *block = doc_add(out, "misses");
    if (why->miss_count && why->objective > report_exact)
        doc_before(block, SAY_WHY_MISSES, why->objective);
    for (size_t i = 0; i < why->miss_count; i++) {
        const sw_miss *miss = &why->misses[i];
        doc_record *row = doc_row(block);
        doc_text(row, "target", report->inputs->target->rows[miss->row].name);
        DOC_NUMBERS(row, {"deviation", miss->deviation},
                    {"share", miss->share});
        if (miss->share < worth_showing || why->objective <= report_exact)
            doc_show_row(row, DOC_DATA);
    }
}

static void put_limit(doc_block *block, const cli_report *report,
                      const sw_priced_limit *limit)
{
    double price = limit->limit.price;
    doc_record *row = doc_row(block);
    doc_text(row, "limit", limit->limit.name);
    DOC_NUMBERS(row, {"bound", limit->limit.bound}, {"price", price},
                {"low", limit->low}, {"high", limit->high});
    doc_text(row, "unit", limit->limit.unit);
    if (report->why->objective <= report_exact) {
        doc_show_row(row, DOC_DATA);
        return;
    }
    double before = report->why->objective;
    if (!isnan(limit->objective))
        DOC_NUMBERS(row, {"moved_by", limit->moved},
                    {"takes_off_share", 1.0 - limit->objective / before});
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

static void put_limits(doc_record *out, const cli_report *report)
{
    const sw_why *why = report->why;
    doc_block *block = doc_add(out, "limits");
    const char *but = misses_ph(report->assessment)
                          ? ", apart from what they do to the pH"
                          : "";
    for (size_t i = 0; i < why->limit_count; i++)
        put_limit(block, report, &why->limits[i]);
    if (why->objective <= report_exact)
        return;
    if (!why->limit_count) {
        doc_before(block, SAY_WHY_NO_LIMIT, but);
        return;
    }
    doc_before(block, SAY_WHY_LIMITS, but, measure_of(report));
    doc_after(block, SAY_WHY_PRICES_HOLD);
}

static void put_product(doc_block *block, const cli_report *report,
                        const sw_worth *worth)
{
    double before = report->why->objective;
    doc_record *row = doc_row(block);
    doc_text(row, "product",
             report->inputs->shelf->products[worth->product].name);
    DOC_NUMBERS(row, {"objective_without", worth->objective},
                {"times", before > report_exact ? worth->objective / before
                                                : (double)NAN},
                {"largest_change", worth->change});
    doc_flag(row, "loses_ph", worth->loses_ph);
    doc_flag(row, "can_be_left_out", worth->spare);
    if (isnan(worth->objective))
        doc_text(row, "remark", "then there is no recipe");
    if (worth->loses_ph)
        doc_text(row, "remark", "and the pH is missed");
    if (worth->spare)
        doc_text(row, "remark", SAY_WHY_SPARE);
}

static void put_products(doc_record *out, const cli_report *report)
{
    const sw_why *why = report->why;
    doc_block *block = doc_add(out, "products");
    size_t spare = 0;
    for (size_t i = 0; i < why->product_count; i++) {
        put_product(block, report, &why->products[i]);
        spare += why->products[i].spare;
    }
    if (why->product_count)
        doc_before(block, SAY_WHY_WITHOUT, measure_of(report));
    if (spare > 1)
        doc_after(block, SAY_WHY_SPARE_ONE);
}

static double gain_of(const cli_report *report, const sw_addition *addition)
{
    return 1.0 - addition->objective / report->why->objective;
}

static bool counts(const cli_report *report, const sw_addition *addition)
{
    double gain = isnan(addition->objective) ? addition->price
                                             : gain_of(report, addition);
    return addition->mends_ph || gain >= worth_showing;
}

/* Of the cheapest there is only what a kilogram would be worth. */
static void put_addition(doc_block *block, const cli_report *report,
                         const sw_addition *addition, unsigned places)
{
    bool cheapest = report->solution->objective == SW_CHEAPEST;
    doc_record *row = report_addition(
        block, report, addition,
        addition->mends_ph ? "brings the pH to where it is asked for" : "");
    doc_flag(row, "mends_ph", addition->mends_ph);
    doc_number(row, cheapest ? "worth" : "closes_share",
               cheapest ? addition->price : gain_of(report, addition));
    doc_show_row(row, places);
}

static void say_additions(doc_block *block, const cli_report *report, bool any)
{
    size_t tried = report->why->tried;
    if (report->assessment->all_met &&
        report->solution->objective != SW_CHEAPEST)
        doc_before(block, SAY_WHY_NOTHING_NEEDED);
    else if (!any)
        doc_before(block, SAY_WHY_NONE_HELPS, tried, measure_of(report));
    else if (report->solution->objective == SW_CHEAPEST)
        doc_before(block, SAY_WHY_SAVES, tried);
    else
        doc_before(block, SAY_WHY_HELPS, tried, measure_of(report));
}

/* Who asked for the cheapest may still want it cheaper. */
static void put_additions(doc_record *out, const cli_report *report)
{
    const sw_why *why = report->why;
    bool enough = why->objective <= report_exact ||
                  (report->assessment->all_met &&
                   report->solution->objective != SW_CHEAPEST);
    doc_block *block = doc_add(out, "additions");
    size_t shown = 0;
    doc_title(block, "What the shelf lacks");
    for (size_t i = 0; i < why->addition_count; i++) {
        bool shows = !enough && shown < ADDITIONS_SHOWN &&
                     counts(report, &why->additions[i]);
        put_addition(block, report, &why->additions[i], shows ? 0 : DOC_DATA);
        shown += shows;
    }
    if (why->objective > report_exact)
        say_additions(block, report, shown > 0);
}

void report_why(doc_record *record, const cli_report *report)
{
    const sw_why *why = report->why;
    if (!why || !report->assessment)
        return;
    doc_block *block = doc_add(record, "why");
    doc_record *out = doc_row(block);
    DOC_NUMBERS(out, {"objective", why->objective},
                {"tried", (double)why->tried});
    if (why->objective <= report_exact)
        doc_before(block, SAY_WHY_ZERO, measure_of(report));
    put_prices(out, why);
    put_misses(out, report);
    put_limits(out, report);
    put_products(out, report);
    put_additions(out, report);
}
