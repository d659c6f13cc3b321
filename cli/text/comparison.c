/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Several runs side by side: recipes and finished solutions, what differs
 * first.  What does not fit on 80 columns follows below in another block.
 */
#include "text/parts.h"

#include <string.h>

#include "cautions.h"
#include "text/safe.h"
#include "text/table.h"

enum { RUNS_A_BLOCK = 4, RUN_COLUMNS = 12, NAME_BYTES = 256 };

/* The columns from `first` on that stand beside each other. */
typedef struct run_block {
    const cli_comparison *all;
    size_t first;
    size_t count;
    char names[RUNS_A_BLOCK][NAME_BYTES];
    cli_table_column columns[RUNS_A_BLOCK + 2];
    bool asked; /* a column beside the names says what is asked for */
} run_block;

/* A table whose first column names things, the others being the block's. */
static cli_table block_table(run_block *block, const char *head)
{
    size_t before = block->asked ? 2 : 1;
    block->columns[0] = (cli_table_column){head, "", false};
    block->columns[1] = (cli_table_column){"target", "", true};
    for (size_t i = 0; i < block->count; i++) {
        char *name = block->names[i];
        text_safe(name, NAME_BYTES, block->all->names[block->first + i]);
        name[text_fit(name, RUN_COLUMNS)] = '\0';
        block->columns[i + before] = (cli_table_column){name, "", true};
    }
    return table_new(block->columns, block->count + before);
}

typedef cli_figure cli_cell_of(const cli_comparison *comparison, size_t column,
                               size_t index);

/* A row of figures behind its name, and behind `asked` where the block has it.
 */
static void add_row_asked(cli_table *table, const run_block *block,
                          const char *cells[TABLE_MAX_COLUMNS],
                          cli_cell_of *figure, size_t index)
{
    cli_figure figures[RUNS_A_BLOCK];
    size_t before = block->asked ? 2 : 1;
    for (size_t i = 0; i < block->count; i++) {
        figures[i] = figure(block->all, block->first + i, index);
        cells[i + before] = figures[i].text;
    }
    table_add(table, cells);
}

static void add_row(cli_table *table, const run_block *block, const char *name,
                    cli_cell_of *figure, size_t index)
{
    const char *cells[TABLE_MAX_COLUMNS] = {name};
    add_row_asked(table, block, cells, figure, index);
}

static void add_break(cli_table *table, const cli_order *order, size_t at)
{
    static const char *const cells[TABLE_MAX_COLUMNS] = {"(< 10 % apart)"};
    if (at == order->differing && at > 0)
        table_add(table, cells);
}

static cli_figure value_of(const cli_comparison *comparison, size_t column,
                           size_t criterion)
{
    return comparison_value(comparison, column, (sw_criterion)criterion);
}

static void put_decides(const cli_page *page, run_block *block)
{
    cli_table table = block_table(block, "");
    const sw_criterion *c = block->all->choice->order + 1;
    for (; *c != SW_CRITERION_COUNT; c++)
        add_row(&table, block, comparison_criterion(block->all, *c), value_of,
                *c);
    page_title(page, "Criteria, most important first (lower is better)");
    table_print(page, &table);
    table_free(&table);
    char margins[512];
    comparison_margins(margins, sizeof margins);
    page_paragraph(page, 2, 2, "%s", margins);
}

static void put_recipes(const cli_page *page, run_block *block)
{
    cli_order order = comparison_products(block->all);
    cli_table table = block_table(block, "product");
    cli_handled handled = comparison_handled(block->all);
    page_title(page, "Measure out for %s", comparison_volume(block->all).text);
    part_gear(page, &handled);
    for (size_t i = 0; i < order.count; i++) {
        add_break(&table, &order, i);
        add_row(&table, block,
                block->all->shared->shelf->products[order.items[i]].name,
                comparison_amount, order.items[i]);
    }
    table_print(page, &table);
    table_free(&table);
    comparison_order_free(&order);
}

static const char *component_name(size_t row)
{
    return sw_component_name((sw_component)(row == 0 ? SW_N : row - 1));
}

/* Ratios, pH and EC that have a target; in the block's columns. */
static void put_measures(const cli_page *page, run_block *block)
{
    cli_table table = block_table(block, "ratio, pH, EC");
    const char *name;
    for (size_t m = 0; (name = comparison_measure_name(block->all, m)); m++) {
        cli_figure asked = comparison_asked_measure(block->all, m);
        const char *cells[TABLE_MAX_COLUMNS] = {name, asked.text};
        add_row_asked(&table, block, cells, comparison_measure, m);
    }
    if (table.row_count) {
        fputc('\n', page->out);
        table_print(page, &table);
    }
    table_free(&table);
}

static void put_finished(const cli_page *page, run_block *block)
{
    cli_order order = comparison_components(block->all);
    block->asked = block->all->choice != NULL;
    cli_table table = block_table(block, "mg/L");
    for (size_t i = 0; i < order.count; i++) {
        add_break(&table, &order, i);
        cli_figure asked = comparison_asked(block->all, order.items[i]);
        const char *cells[TABLE_MAX_COLUMNS] = {component_name(order.items[i]),
                                                asked.text};
        add_row_asked(&table, block, cells, comparison_content, order.items[i]);
    }
    if (table.row_count) {
        page_title(page, "What the crop gets");
        table_print(page, &table);
    }
    table_free(&table);
    comparison_order_free(&order);
    put_measures(page, block);
    block->asked = false;
}

static cli_figure fact_of(const cli_comparison *comparison, size_t column,
                          size_t fact)
{
    return comparison_fact(comparison, column, (cli_fact)fact);
}

static void put_solution(const cli_page *page, run_block *block)
{
    cli_table table = block_table(block, "estimated");
    for (int fact = 0; fact < FACT_COUNT; fact++)
        if (comparison_has_fact(block->all, (cli_fact)fact))
            add_row(&table, block, comparison_fact_name((cli_fact)fact),
                    fact_of, (size_t)fact);
    page_title(page, "The finished solutions");
    table_print(page, &table);
    table_free(&table);
}

/* What may come out, where something may. */
static void put_deposits(const cli_page *page, const cli_comparison *comparison)
{
    for (size_t i = 0; i < comparison->count; i++) {
        char solids[256];
        comparison_deposits(comparison, i, solids, sizeof solids);
        if (solids[0])
            page_paragraph(page, 2, 4, "May precipitate in %s: %s.",
                           comparison->names[i], solids);
    }
}

void part_comparison(const cli_page *page, const cli_comparison *comparison)
{
    cli_handled handled = comparison_handled(comparison);
    if (comparison->choice)
        part_choice(page, comparison);
    else
        part_stages(page, comparison);
    for (size_t first = 0; first < comparison->count; first += RUNS_A_BLOCK) {
        size_t left = comparison->count - first;
        run_block block = {.all = comparison,
                           .first = first,
                           .count = left < RUNS_A_BLOCK ? left : RUNS_A_BLOCK};
        if (comparison->choice)
            put_decides(page, &block);
        put_recipes(page, &block);
        put_finished(page, &block);
        put_solution(page, &block);
    }
    put_deposits(page, comparison);
    if (!comparison->choice)
        part_stage_notes(page, comparison);
    fputc('\n', page->out);
    page_paragraph(page, 2, 2,
                   "Notes and proof of each: saltwright formulate with %s.",
                   comparison->choice
                       ? "that water as --water; of a mix, with each of its "
                         "waters"
                       : "that --stage");
    part_cautions(page, &handled);
}
