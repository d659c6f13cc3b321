/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Each component with a target as a bar: what the water brings, what is
 * added, and where the band lies.  Every row has its own scale, the target (or
 * the only limit) standing at the same column, so that a look down the page
 * finds the bar that ends in the wrong place.
 */
#include "text/parts.h"

#include <math.h>
#include <string.h>

#include "text/safe.h"

enum { BAR_COLUMNS = 60, TARGET_COLUMN = 40, NAME_COLUMNS = 9 };

static size_t column_of(double value, double scale)
{
    double column = floor(value / scale * TARGET_COLUMN + 0.5);
    if (!(column > 0.0))
        return 0;
    return column < BAR_COLUMNS ? (size_t)column : BAR_COLUMNS;
}

static void mark(char bar[BAR_COLUMNS + 2], double value, double scale,
                 char sign)
{
    if (!isnan(value) && column_of(value, scale) < BAR_COLUMNS)
        bar[column_of(value, scale)] = sign;
}

static void draw(char bar[BAR_COLUMNS + 2], const sw_component_row *row)
{
    double scale = report_bar_scale(row);
    size_t water = column_of(row->water_mg_per_l, scale);
    size_t finished = column_of(row->finished_mg_per_l, scale);
    memset(bar, ' ', BAR_COLUMNS + 1);
    memset(bar, '#', finished);
    memset(bar, '~', water < finished ? water : finished);
    mark(bar, row->low_mg_per_l, scale, '[');
    mark(bar, row->high_mg_per_l, scale, ']');
    mark(bar, row->target_mg_per_l, scale, '|');
    if (row->finished_mg_per_l / scale * TARGET_COLUMN > BAR_COLUMNS)
        bar[BAR_COLUMNS - 1] = '>';
    bar[BAR_COLUMNS] = '\0';
}

static void put_bar(const cli_page *page, const sw_component_row *row)
{
    char bar[BAR_COLUMNS + 2];
    const char *name = sw_component_name(row->component);
    draw(bar, row);
    fprintf(page->out, "  %s", name);
    page_pad(page, text_width(name), NAME_COLUMNS);
    fprintf(page->out, "%s ", bar);
    page_word(page, part_verdict_tone(row->verdict),
              sw_verdict_text(row->verdict));
    fputc('\n', page->out);
}

static void put_scale(const cli_page *page)
{
    page_pad(page, 0, 2 + NAME_COLUMNS);
    fprintf(page->out, "0%*s%*s%*s\n", TARGET_COLUMN / 2, "half",
            TARGET_COLUMN / 2, "target", BAR_COLUMNS - TARGET_COLUMN - 1,
            "1.5 x");
}

void part_bars(const cli_page *page, const cli_report *report)
{
    bool any = false;
    for (size_t i = 0; i < SW_COMPONENT_COUNT; i++)
        any = any || report_has_bar(report_row(report, i));
    if (!any)
        return;
    page_title(page, "The same as bars");
    page_paragraph(page, 2, 2,
                   "~ from the water   # added   [ ] band   | target   "
                   "> beyond the scale");
    put_scale(page);
    for (size_t i = 0; i < SW_COMPONENT_COUNT; i++)
        if (report_has_bar(report_row(report, i)))
            put_bar(page, report_row(report, i));
}
