/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Amounts as shown: rounded so that who pours what is printed gets every
 * verdict, or such as the scale at hand can weigh (--scale-step and its like).
 */
#ifndef CLI_RUN_AMOUNTS_H
#define CLI_RUN_AMOUNTS_H

#include "io/figure.h"
#include "saltwright.h"

typedef struct cli_report cli_report;

/* One amount in one unit. */
typedef struct cli_printed_item {
    sw_printed amount;
    double g; /* exact, as asked for */
    bool us, by_mass;
    figure_unit unit;
} cli_printed_item;

typedef struct cli_printed {
    cli_printed_item *items;
    size_t count;
} cli_printed;

/* How a report prints an amount of a product: a liquid by volume unless
 * `by_mass` is set. */
typedef struct cli_way {
    bool us, by_mass;
} cli_way;

/* One more amount to be rounded, of a batch. */
const cli_printed_item *printed_add(cli_report *report, size_t product,
                                    double g_per_l, double batch_l,
                                    cli_way way);

/* Rounds every amount that the assessed report may print, column by column;
 * released with printed_free. */
void printed_find(cli_report *report);
void printed_free(cli_printed *printed);

/* `g` of a product, which the recipe or a tank takes, as printed; of any other
 * amount, or without printed_find, its usual figures. */
cli_figure printed_amount(const cli_report *report, size_t product, double g,
                          cli_way way);
/* The same in g or mL, for programs; as exact as it is where nothing was
 * rounded. */
double printed_g(const cli_report *report, size_t product, double g);
double printed_ml(const cli_report *report, size_t product, double g);

/*
 * Takes the report's solution to whole steps where they were asked for:
 * report->weighed, to be freed with sw_weighed_free, and the recipe of it. With
 * `stock`, full tanks are taken to them, and *stock replaced.
 */
void scale_weigh(cli_report *report, const sw_problem *problem,
                 sw_stock **stock);

/* Whether a product is dosed from a solution of its own. */
bool scale_has_solution(const cli_report *report, size_t product);
/* The product to weigh for that solution, in whole steps of the fine scale. */
cli_figure scale_solution(const cli_report *report, size_t product);
/* What that is made up to: "1 L", or "1 L (33.8 fl oz)". */
cli_figure scale_solution_volume(const cli_report *report, size_t product);
/* Whether any product is; and what to do with what is left then. */
bool scale_has_solutions(const cli_report *report);
extern const char scale_leftover_words[];
/* Of that solution, what `g` of the product are, mL. */
double scale_dose_ml(const cli_report *report, size_t product, double g);

/*
 * `g` of a product as the scale or the jug shows it: in whole steps where they
 * were asked for, "37 mL" of its solution; else rounded.
 */
cli_figure scale_amount(const cli_report *report, size_t product, double g,
                        bool us);

#endif
