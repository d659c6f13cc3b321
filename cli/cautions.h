/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What can hurt while a recipe is being weighed and mixed. */
#ifndef CLI_CAUTIONS_H
#define CLI_CAUTIONS_H

#include "report.h"

/* Beside the bits of sw_hazard: concentrates in tanks. */
enum { CAUTION_STOCKS = 1 << 16 };

/* sw_hazard bits of the products a recipe uses; 0 without a recipe. */
unsigned cautions_hazards(const cli_report *report);
/* The cautions for these hazards; release with sw_notes_free. */
void cautions_find(unsigned hazards, sw_notes *cautions);

#endif
