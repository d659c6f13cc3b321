/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One recipe for several waters, or the fewest that serve them. */
#ifndef CLI_RUN_MANY_H
#define CLI_RUN_MANY_H

#include "run/several.h"

/* A water of which nobody knows the acid that it takes. */
typedef struct cli_open_water {
    const char *sample;
    bool lacks_ph;        /* alone: its alkalinity is known */
    sw_notes notes;       /* borrowed of the inputs' */
    const sw_note *doubt; /* what may be misread, so too; or NULL */
} cli_open_water;

typedef struct cli_many {
    cli_inputs *shared; /* its contents are completed */
    size_t *noted; /* of each water, up to where the assumptions are its own */
    bool fewest;   /* asked for; else one recipe for all */
    sw_many *many; /* what is shown */
    sw_many *one;  /* one recipe for all, where more are fewest; or NULL */
    /* A run of each water: its amounts as printed, and what they give; none
     * where some water has no recipe. */
    cli_several several;
    /* Waters that are not to be mixed yet, with what is said of them; where
     * there are others, they are left out of `shared`, and kept here. */
    cli_open_water *open;
    size_t open_count;
    cli_sources left;
} cli_many;

/* Kept; a failure ends the program after a complaint. */
cli_many *many_run(const cli_options *options, cli_settings *settings);

/* What a target is missed by in a water, beyond its accepted range. */
typedef struct cli_miss {
    size_t water;
    char name[64];
    const char *unit;
    double by, share; /* in its unit; of the end of the range */
    sw_verdict verdict;
} cli_miss;

typedef struct cli_misses {
    cli_miss *items;
    size_t count;
} cli_misses;

/* Those of an assessment of water `water`, into memory to be freed. */
cli_misses many_misses(const sw_assessment *assessment, size_t water);
/* The one that is largest as a share, of one recipe for all, where those shown
 * do not miss the same; false: none. */
bool many_worst_of_one(const cli_many *many, cli_miss *worst);

/* No crop should get what the recipes give in some water; see stop.h. */
bool many_is_stopped(const cli_many *many);

exit_code many_exit_code(const cli_many *many);

#endif
