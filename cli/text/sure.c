/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How sure: between what bounds each quantity lies, and who is to blame. */
#include "text/parts.h"

#include <math.h>
#include <string.h>

#include "sure.h"
#include "text/figure.h"
#include "text/table.h"

/* A second source is named from this share on. */
static const double worth_naming = 0.15;

static int decimals_of(const cli_spread *row)
{
    double size = row->spread->p95;
    if (!row->unit[0])
        return 2;
    if (size >= 100.0)
        return 0;
    if (size >= 10.0)
        return 1;
    return size >= 1.0 ? 2 : 3;
}

static const char *const short_words[SW_DOUBT_COUNT] = {
    "lab report", "labels", "scale step", "fill", "injectors"};

static void blame(const sw_spread *spread, char *words, size_t size)
{
    sw_doubt first = sure_largest(spread, SW_DOUBT_COUNT);
    sw_doubt second = sure_largest(spread, first);
    if (first == SW_DOUBT_COUNT)
        snprintf(words, size, "-");
    else if (second == SW_DOUBT_COUNT || spread->share[second] < worth_naming)
        snprintf(words, size, "%s %.0f %%", short_words[first],
                 100.0 * spread->share[first]);
    else
        snprintf(words, size, "%s %.0f %%, %s %.0f %%", short_words[first],
                 100.0 * spread->share[first], short_words[second],
                 100.0 * spread->share[second]);
}

/* "4.1 %" of the median; of a pH "0.12". */
static cli_figure half_width(const cli_spread *row)
{
    const sw_spread *spread = row->spread;
    double half = 0.5 * (spread->p95 - spread->p5);
    cli_figure out;
    if (!row->unit[0])
        snprintf(out.text, sizeof out.text, "%.2f", half);
    else
        snprintf(out.text, sizeof out.text, "%.1f %%",
                 spread->median > 0.0 ? 100.0 * half / spread->median : 0.0);
    return out;
}

static void add_row(cli_table *table, const cli_spread *row)
{
    char words[128];
    int decimals = decimals_of(row);
    cli_figure from = figure_fixed(row->spread->p5, decimals);
    cli_figure middle = figure_fixed(row->spread->median, decimals);
    cli_figure to = figure_fixed(row->spread->p95, decimals);
    cli_figure half = half_width(row);
    blame(row->spread, words, sizeof words);
    const char *cells[] = {row->name, from.text, middle.text, to.text,
                           row->unit, half.text, words};
    table_add(table, cells);
}

static void put_tolerances(const cli_page *page, const cli_report *report)
{
    const sw_tolerances *off = report->off;
    char injector[64] = "";
    if (off->injector > 0.0)
        snprintf(injector, sizeof injector, ", each injector's head %.3g %%",
                 100.0 * off->injector);
    page_paragraph(page, 2, 2,
                   "Assumed errors, as standard deviations: lab report %.3g %% "
                   "and its pH %.2g, labels %.3g %%, fill volume %.3g %%%s; "
                   "weights to the nearest %s g, of trace elements to the "
                   "nearest %s g. Say what yours are with --doubt.",
                   100.0 * off->lab, off->lab_ph, 100.0 * off->label,
                   100.0 * off->fill, injector,
                   figure_short(off->scale_step_g).text,
                   figure_short(off->micro_step_g).text);
    page_paragraph(page, 2, 2,
                   "EC and pH are those of the amounts; how well either can be "
                   "calculated from amounts comes on top.");
}

void part_sure(const cli_page *page, const cli_report *report)
{
    static const cli_table_column columns[] = {{"", "", false},
                                               {"from", "", true},
                                               {"middle", "", true},
                                               {"to", "", true},
                                               {"unit", "", false},
                                               {"+ or -", "", true},
                                               {"variance from", "", false}};
    cli_spread rows[SURE_ROWS];
    cli_table table = table_new(columns, sizeof columns / sizeof columns[0]);
    size_t count = sure_rows(report, rows);
    page_title(page, "How sure: 9 times in 10 it lies between these");
    for (size_t i = 0; i < count; i++)
        add_row(&table, &rows[i]);
    table_print(page, &table);
    table_free(&table);
    put_tolerances(page, report);
}
