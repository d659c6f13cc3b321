/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Several runs side by side: what every format shows of them. */
#ifndef CLI_COMPARISON_H
#define CLI_COMPARISON_H

#include "cautions.h"
#include "report.h"
#include "text/figure.h"

/* Runs of one shelf, a column each. */
typedef struct cli_comparison {
    const cli_report *const *reports;
    const char *const *names;
    size_t count;
    const cli_inputs *shared;
    const cli_settings *settings;
    const sw_choice *choice;   /* between waters; NULL: stages of a crop */
    const sw_blend *blend;     /* its run is the last; NULL: none */
    const double *water_price; /* per 1000 L, by water; NULL: none given */
} cli_comparison;

/* Rows of a table: those that differ between the columns come first. */
typedef struct cli_order {
    size_t *items;
    size_t count;
    size_t differing;
} cli_order;

/* Products that any run uses; release with comparison_order_free. */
cli_order comparison_products(const cli_comparison *comparison);
/* Components worth a row, as report_row counts them. */
cli_order comparison_components(const cli_comparison *comparison);
void comparison_order_free(cli_order *order);

/* Figures of column `column`; "-" where there is none. */
cli_figure comparison_amount(const cli_comparison *comparison, size_t column,
                             size_t product);
/* What the amounts are for: "1000 L", or "400 gal (1510 L)". */
cli_figure comparison_volume(const cli_comparison *comparison);
/* "276 over"; met is left unsaid. */
cli_figure comparison_content(const cli_comparison *comparison, size_t column,
                              size_t row);
cli_figure comparison_measure(const cli_comparison *comparison, size_t column,
                              size_t measure);
/* The name of a ratio, pH or EC with a target in some column; NULL from the
 * last on. */
const char *comparison_measure_name(const cli_comparison *comparison,
                                    size_t measure);
/* "185", "max 60", "5.50 to 6.20": what row `row`, or measure `measure`, should
 * be; "-" where nothing is asked for. */
cli_figure comparison_asked(const cli_comparison *comparison, size_t row);
cli_figure comparison_asked_measure(const cli_comparison *comparison,
                                    size_t measure);
/* What is decided by; the criterion in words with its unit. */
const char *comparison_criterion(const cli_comparison *comparison,
                                 sw_criterion criterion);
cli_figure comparison_value(const cli_comparison *comparison, size_t column,
                            sw_criterion criterion);
/* The margins of what is decided by, in a sentence. */
void comparison_margins(char *text, size_t size);

/* Estimates of the finished solutions, one after the other. */
typedef enum cli_fact {
    FACT_EC,
    FACT_EC_RANGE, /* in which it lies 9 times in 10 */
    FACT_PH_MIXED,
    FACT_PH_AIRED,
    FACT_ALKALINITY,
    FACT_OSMOTIC,
    FACT_COST, /* where nothing is chosen by it */
    FACT_COUNT
} cli_fact;
const char *comparison_fact_name(cli_fact fact);
bool comparison_has_fact(const cli_comparison *comparison, cli_fact fact);
cli_figure comparison_fact(const cli_comparison *comparison, size_t column,
                           cli_fact fact);

/* "gypsum; after airing calcite": what may come out in that column; "" for
 * nothing. */
void comparison_deposits(const cli_comparison *comparison, size_t column,
                         char *text, size_t size);
/* "closest mix", as the objective is; the name of its column. */
const char *comparison_mix_name(const cli_comparison *comparison);
/* "60 %" of water `water` in the mix; "-" where there is no mix. */
cli_figure comparison_share(const cli_comparison *comparison, size_t water);
/* The water that the mix consists of alone; NULL where it is a mix. */
const char *comparison_alone(const cli_comparison *comparison);
/* "12 to 60 %" of water `water`; "-" where no mix meets every target. */
cli_figure comparison_range(const cli_comparison *comparison, size_t water);
/* What must be in the mix: "at least 14 % of purified"; "" for nothing. */
void comparison_say_needed(const cli_comparison *comparison, char *text,
                           size_t size);
/* "35 % well, 65 % town" where column `column` mixes several waters, or "". */
void comparison_say_shares(const cli_comparison *comparison, size_t column,
                           char *text, size_t size);
/* What whoever mixes any of them handles. */
cli_handled comparison_handled(const cli_comparison *comparison);
/* "seedling, full crop": the columns with a note of danger; "" for none. */
void comparison_say_dangerous(const cli_comparison *comparison, char *text,
                              size_t size);
/* Whether a column is the mix. */
bool comparison_is_mix(const cli_comparison *comparison, size_t column);
/* Of the water to use; EXIT_UNMET where none is to be used.  Of stages, the
 * worst of all. */
exit_code comparison_exit_code(const cli_comparison *comparison);

#endif
