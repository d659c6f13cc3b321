/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tables with a column a run: amounts, contents, estimates. */
#include "write/escape.h"
#include "sheet/waters.h"

typedef cli_figure cli_cell_of(const cli_comparison *comparison, size_t column,
                               size_t index);

static void open_table(FILE *out, const cli_comparison *comparison,
                       const char *caption)
{
    fprintf(out,
            "<div class=\"scroll\" role=\"group\" tabindex=\"0\" "
            "aria-label=\"%s\">\n<table class=\"dense side\">\n<caption>%s"
            "</caption>\n<thead><tr><td></td>",
            caption, caption);
    for (size_t i = 0; i < comparison->count; i++) {
        fputs("<th scope=\"col\" class=\"number\">", out);
        fprintf(out, "<i class=\"key\">%zu</i> ", i + 1);
        escape_name(out, comparison->names[i]);
        fputs("</th>", out);
    }
    fputs("</tr></thead>\n<tbody>\n", out);
}

static void close_table(FILE *out)
{
    fputs("</tbody>\n</table>\n</div>\n", out);
}

static void put_row(FILE *out, const cli_comparison *comparison,
                    const char *name, cli_cell_of *figure, size_t index)
{
    fputs("<tr><th scope=\"row\">", out);
    escape_name(out, name);
    fputs("</th>", out);
    for (size_t i = 0; i < comparison->count; i++)
        fprintf(out, "<td class=\"number\">%s</td>",
                figure(comparison, i, index).text);
    fputs("</tr>\n", out);
}

/* Before the first row that is alike in all columns. */
static void put_break(FILE *out, const cli_comparison *comparison,
                      const cli_order *order, size_t at)
{
    if (at == order->differing && at > 0)
        fprintf(out,
                "<tr><td colspan=\"%zu\"><small>less than 10 %% apart"
                "</small></td></tr>\n",
                comparison->count + 1);
}

void sheet_side_amounts(FILE *out, const cli_comparison *comparison)
{
    cli_order order = comparison_products(comparison);
    char caption[96];
    snprintf(caption, sizeof caption, "Measure out for %s",
             comparison_volume(comparison).text);
    open_table(out, comparison, caption);
    for (size_t i = 0; i < order.count; i++) {
        put_break(out, comparison, &order, i);
        put_row(out, comparison,
                comparison->shared->shelf->products[order.items[i]].name,
                comparison_amount, order.items[i]);
    }
    close_table(out);
    comparison_order_free(&order);
}

void sheet_side_contents(FILE *out, const cli_comparison *comparison)
{
    cli_order order = comparison_components(comparison);
    open_table(out, comparison, "Finished solutions, mg/L");
    for (size_t m = 0; comparison_measure_name(comparison, m); m++)
        put_row(out, comparison, comparison_measure_name(comparison, m),
                comparison_measure, m);
    for (size_t i = 0; i < order.count; i++) {
        size_t row = order.items[i];
        put_break(out, comparison, &order, i);
        put_row(out, comparison,
                sw_component_name((sw_component)(row ? row - 1 : SW_N)),
                comparison_content, row);
    }
    close_table(out);
    comparison_order_free(&order);
}

static cli_figure fact_of(const cli_comparison *comparison, size_t column,
                          size_t fact)
{
    return comparison_fact(comparison, column, (cli_fact)fact);
}

static cli_figure value_of(const cli_comparison *comparison, size_t column,
                           size_t criterion)
{
    return comparison_value(comparison, column, (sw_criterion)criterion);
}

void sheet_side_facts(FILE *out, const cli_comparison *comparison)
{
    open_table(out, comparison, "In short");
    const sw_criterion *c =
        comparison->choice ? comparison->choice->order + 1 : NULL;
    for (; c && *c != SW_CRITERION_COUNT; c++)
        put_row(out, comparison, comparison_criterion(comparison, *c), value_of,
                *c);
    for (int fact = 0; fact < FACT_COUNT; fact++)
        if (comparison_has_fact(comparison, (cli_fact)fact))
            put_row(out, comparison, comparison_fact_name((cli_fact)fact),
                    fact_of, (size_t)fact);
    close_table(out);
}
