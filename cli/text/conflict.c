/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * After a conflict: the limits that cannot hold together, what alone would
 * resolve it, and how little has to give way in all.
 */
#include "text/parts.h"

#include <math.h>
#include <string.h>

#include "text/addition.h"
#include "text/figure.h"

/* Products named on screen; the others are in the JSON. */
enum { PRODUCTS_SHOWN = 3 };

static void put_limits(const cli_page *page, const sw_limit *limits,
                       size_t count)
{
    page_title(page, count == 1 ? "The limit that cannot hold"
                                : "Limits in conflict");
    for (size_t i = 0; i < count; i++)
        page_paragraph(page, 2, 4, "- %s", limits[i].name);
    if (count > 1)
        page_paragraph(page, 2, 2,
                       "No recipe keeps all of them; leaving out any one, some "
                       "recipe keeps the others.");
}

static void put_easing(const cli_page *page, const sw_easing *easing)
{
    bool up = easing->reached > easing->limit.bound;
    page_paragraph(page, 2, 4, "- %s: %s it to %s%s%s", easing->limit.name,
                   up ? "raise" : "lower",
                   figure_outward(easing->reached, up).text,
                   easing->unit[0] ? " " : "", easing->unit);
}

/* "potassium sulfate (0.310 g/L)" after what is there already. */
static void add_product(const cli_report *report, const sw_addition *addition,
                        char *words, size_t size)
{
    size_t used = strlen(words);
    char remark[512];
    addition_words(addition, report->inputs->target, remark, sizeof remark);
    snprintf(words + used, size - used, "%s%s (%s g/L%s%s)", used ? ", " : "",
             addition->name, figure_plain(addition->g_per_l).text,
             remark[0] ? "; " : "", remark);
}

static void put_products(const cli_page *page, const cli_report *report)
{
    const sw_conflict *conflict = report->conflict;
    char words[1024] = "";
    size_t count = conflict->addition_count;
    size_t shown = count < PRODUCTS_SHOWN ? count : PRODUCTS_SHOWN;
    for (size_t i = 0; i < shown; i++)
        add_product(report, &conflict->additions[i], words, sizeof words);
    if (count == 1)
        page_paragraph(page, 2, 4, "- put on the shelf: %s", words);
    else if (count > 1)
        page_paragraph(page, 2, 4,
                       "- put on the shelf one of %zu products of the "
                       "catalogue, closest to the target first: %s%s",
                       count, words, count > shown ? ", ..." : "");
}

static size_t count_alone(const sw_conflict *conflict)
{
    size_t count = conflict->addition_count;
    for (size_t i = 0; i < conflict->member_count; i++)
        count += isnan(conflict->members[i].reached) ? 0 : 1;
    return count + (isnan(conflict->purified_share) ? 0 : 1);
}

static void put_remedies(const cli_page *page, const cli_report *report)
{
    const sw_conflict *conflict = report->conflict;
    size_t count = count_alone(conflict);
    page_title(page, "What would resolve it");
    if (!count) {
        page_paragraph(page, 2, 2,
                       "Nothing on its own: no limit of these moved alone, no "
                       "share of purified water, no product of the catalogue.");
        return;
    }
    page_paragraph(page, 2, 2, "%s, with every other limit kept:",
                   count == 1 ? "This" : "Any one of these");
    for (size_t i = 0; i < conflict->member_count; i++)
        if (!isnan(conflict->members[i].reached))
            put_easing(page, &conflict->members[i]);
    put_products(page, report);
    if (!isnan(conflict->purified_share))
        page_paragraph(
            page, 2, 4,
            "- make %s %% of the water purified water (taken to hold "
            "nothing)",
            figure_outward(100.0 * conflict->purified_share, true).text);
}

/* One limit that gives way by the least was named above. */
static void put_least(const cli_page *page, const sw_conflict *conflict)
{
    bool told = conflict->least_count == 1 && conflict->member_count == 1;
    if (!conflict->least_count || told)
        return;
    page_title(page, "The least that has to give way");
    const char *rates =
        conflict->keeps_rates ? ", fixed and least rates of products kept" : "";
    if (conflict->least_count == 1)
        page_paragraph(page, 2, 2, "This one%s:", rates);
    else
        page_paragraph(page, 2, 2, "All of these, together %s %% of a limit%s:",
                       figure_plain(100.0 * conflict->total).text, rates);
    for (size_t i = 0; i < conflict->least_count; i++)
        put_easing(page, &conflict->least[i]);
}

void part_conflict(const cli_page *page, const cli_report *report)
{
    const sw_solution *solution = report->solution;
    if (solution->outcome == SW_CONFLICT && solution->limit_count)
        put_limits(page, solution->limits, solution->limit_count);
    else if (solution->conflict_count)
        put_limits(page, solution->conflict, solution->conflict_count);
    if (!report->conflict)
        return;
    put_remedies(page, report);
    put_least(page, report->conflict);
}
