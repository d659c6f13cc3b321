/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Amounts rounded so that who pours what is printed gets every verdict. */
#ifndef CLI_RUN_PRINTED_H
#define CLI_RUN_PRINTED_H

#include "io/exit_code.h"
#include "io/figure.h"

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
exit_code printed_find(cli_report *report);
void printed_free(cli_printed *printed);

/* `g` of a product, which the recipe or a tank takes, as printed; of any other
 * amount, or without printed_find, its usual figures. */
cli_figure printed_amount(const cli_report *report, size_t product, double g,
                          cli_way way);
/* The same in g or mL, for programs; as exact as it is where nothing was
 * rounded. */
double printed_g(const cli_report *report, size_t product, double g);
double printed_ml(const cli_report *report, size_t product, double g);

#endif
