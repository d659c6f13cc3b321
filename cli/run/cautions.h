/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What can hurt while a recipe is being weighed and mixed. */
#ifndef CLI_RUN_CAUTIONS_H
#define CLI_RUN_CAUTIONS_H

#include "run/report.h"

/* Who mixes some recipes handles these; start from {0}. */
typedef struct cli_handled {
    const sw_product *items[SW_MAX_PRODUCTS]; /* each once */
    size_t count;
    bool stocks; /* concentrates in tanks */
} cli_handled;

/* Adds the products that a recipe uses; nothing without one. */
void cautions_add(cli_handled *to, const cli_report *report);
/* Adds those of others. */
void cautions_join(cli_handled *to, const cli_handled *more);
/* What to wear for them: "Wear goggles and chemical-resistant gloves." */
void cautions_gear(const cli_handled *handled, char *text, size_t size);
/* That and all the cautions; release with sw_notes_free. */
void cautions_find(const cli_handled *handled, sw_notes *cautions);
/* Those of one report; release as above. */
void cautions_of(const cli_report *report, sw_notes *cautions);

#endif
