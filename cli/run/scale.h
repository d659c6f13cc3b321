/* SPDX-License-Identifier: GPL-3.0-or-later */
/* --scale-step and its like: amounts that the scale at hand can weigh. */
#ifndef CLI_RUN_SCALE_H
#define CLI_RUN_SCALE_H

#include "run/report.h"
#include "io/figure.h"

/*
 * Takes the report's solution to whole steps where they were asked for:
 * report->weighed, to be freed with sw_weighed_free, and the recipe of it. With
 * `stock`, full tanks are taken to them, and *stock replaced.
 */
exit_code scale_weigh(cli_report *report, const sw_problem *problem,
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

/* The component that whole steps moved most, by share of its target; the
 * number of components when none has a target. */
sw_component scale_most_moved(const cli_report *report, double *without,
                              double *with);

#endif
