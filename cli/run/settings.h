/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the options ask for, read into values. */
#ifndef CLI_RUN_SETTINGS_H
#define CLI_RUN_SETTINGS_H

#include "run/doubts.h"
#include "io/options.h"
#include "saltwright.h"

typedef enum cli_format {
    FORMAT_TEXT,
    FORMAT_JSON,
    FORMAT_CSV,
    FORMAT_NDJSON
} cli_format;

typedef enum cli_amounts {
    AMOUNTS_METRIC,
    AMOUNTS_US,
    AMOUNTS_BOTH
} cli_amounts;

typedef struct cli_settings {
    cli_format format;
    double volume_l;
    sw_unit_system volume_system;
    cli_amounts amounts;
    sw_conditions conditions;
    double meter_c; /* where an EC meter is read; NaN: not asked for */
    sw_objective objective;
    bool fills_vessel;      /* somebody said volume_l; else a mere measure */
    bool keep_ranges;       /* accepted ranges are limits */
    double equal_share;     /* what is equal to the closest; 0: nothing */
    double to_ec_ms_per_cm; /* NaN: as strong as the target */
    double drained;     /* of the feed, the share that drains; NaN: not said */
    double jobs;        /* threads; 0: one for each processor */
    const char *only;   /* keys of blocks; NULL: all */
    const char *output; /* NULL: standard output */
    const char *sheet;  /* file of the mixing sheet; NULL: none */
    const char *audience; /* whom the sheet is for; or NULL */
    bool brief;           /* no more on the screen than what counts */
    bool in_steps;        /* whole steps are asked for, of: */
    bool steps_are_us;    /* the step was given in oz or lb */
    bool fine_steps_are_us;
    sw_scale scale;
    bool strict;    /* the first water that cannot be used ends the run */
    bool why;       /* reasons for the recipe */
    bool trade_off; /* a front of fit against: */
    sw_trade trade;
    const char *curve; /* file of its curve; NULL: none */
    double per_day_l;  /* of feed; NaN: not said */
    double fills;      /* of the tanks, to buy for */
    bool how_sure;
    sw_readings readings; /* of the meters */
    bool measured;        /* there is one */
    cli_doubts doubts;
} cli_settings;

/* An option that makes no sense is complained about and ends the program. */
void settings_read(const cli_options *options, cli_settings *out);

#endif
