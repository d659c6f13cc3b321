/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How long a fill of the tanks lasts, and what to buy for so many. */
#ifndef CLI_BUYING_H
#define CLI_BUYING_H

#include "report.h"
#include "text/figure.h"

/* --per-day and --fills.  EXIT_USAGE with a complaint. */
exit_code buying_read(const cli_options *options, cli_settings *out);

typedef struct cli_purchase {
    double g;     /* of the product, for all fills */
    double packs; /* whole ones; NaN where the shelf names no pack, as below */
    double cost;  /* of the packs, or else of what is needed */
} cli_purchase;

/* Of product `index` of the shelf; g is 0 where no tank takes it. */
cli_purchase buying_of(const cli_report *report, size_t index);
/* What is needed of it: "78.8 kg", or the volume of a liquid. */
cli_figure buying_needed(const cli_report *report, size_t index,
                         const cli_purchase *bought);
/* "4 x 25.0 kg"; "-" where the shelf names no pack. */
cli_figure buying_packs(const cli_report *report, size_t index,
                        const cli_purchase *bought);
/* Of all of them; NaN where a price is missing. */
double buying_cost(const cli_report *report);
/* Whether there is more to say than the tanks do: packs, or several fills. */
bool buying_shows(const cli_report *report);
/* Days until the first tank is empty; NaN when nobody said what a day takes. */
double buying_days(const cli_report *report);

#endif
