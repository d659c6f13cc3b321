/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The injector heads that dose the stocks: what each draws and brings. */
#ifndef CLI_HEADS_H
#define CLI_HEADS_H

#include "report.h"
#include "text/figure.h"

/*
 * The heads of the tanks in use; none without stocks, or with stocks that must
 * not be used.  EC and pH are those of the water with one head running alone.
 * SW_ERR_* of sw_equilibrate are complained about.
 */
exit_code heads_find(const cli_report *report, cli_heads *out);

/* How to find out what a head draws, and what it brings; in whole sentences. */
extern const char heads_draw_words[], heads_ec_words[];

/* What a head must draw from a jug: "32.0 fl oz (946 mL)", or "1.000 L"; while
 * so many litres of feed pass, round in the unit of the tanks. */
cli_figure heads_draw(const cli_report *report, const cli_head *head);
double heads_test_l(const cli_report *report);
/* "1.05 (0.96 to 1.21)", mS/cm */
cli_figure heads_ec(const cli_head *head);
/* "N 94, K 190, Ca 118, Fe 2.00": what it brings to the feed, mg/L. */
void heads_say_brings(const cli_report *report, const cli_head *head,
                      char *list, size_t size);

#endif
