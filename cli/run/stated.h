/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a report of a water leaves open, as --units and --read-as state it. */
#ifndef CLI_RUN_STATED_H
#define CLI_RUN_STATED_H

#include "io/options.h"
#include "saltwright.h"

/* For sw_waters_gather; free it. */
char *stated_of(const cli_options *options);
/* The error of a defect, and what of --read-as would settle it. */
sw_error stated_asks(const cli_options *options, const sw_water_defect *defect);

#endif
