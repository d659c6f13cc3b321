/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The files a command was given, read. */
#ifndef CLI_RUN_INPUTS_H
#define CLI_RUN_INPUTS_H

#include "saltwright.h"

#include "io/options.h"
#include "run/settings.h"
#include "run/sources.h"

typedef struct cli_inputs {
    sw_solver *solver; /* of every run of these inputs */
    sw_tables *tables; /* which the settings' conditions borrow */
    cli_sources waters;
    sw_content *contents; /* completed, one per water */
    double *fractions;    /* given shares, sum 1; NULL: free */
    double *most_share;   /* then the most of each; NULL: any */
    sw_target *target;
    const char *stage; /* that --stage has taken; or NULL */
    sw_shelf *shelf;
    bool shelf_assumed;                   /* nobody named one */
    bool two_tanks;                       /* it is for stocks in A and B */
    const char *target_from, *shelf_from; /* where they were found; NULL: */
    const char *water_from;               /* where they were said to be */
    sw_recipe *bag;                       /* of --target-of; NULL without */
    bool *bag_freed;                      /* of each product of it: --adjust */
    bool bag_alone;        /* nothing else on the shelf joins in */
    sw_recipe *recipe;     /* of --recipe and --dose; NULL without */
    sw_placement *mixed;   /* of --stocks; NULL without */
    size_t *best_set;      /* of each product of it; see doses.h; or NULL */
    sw_premix_rate *best;  /* rates found for them; or NULL */
    size_t best_count;     /* of both */
    sw_notes assumptions;  /* of completing the waters, and of those rates */
    sw_strength *strength; /* with --to-ec; NULL without */
    bool recipe_scaled;    /* by it, instead of the target */
} cli_inputs;

/*
 * Reads every file the options name, complaining on standard error about what
 * is wrong, which ends the program, and what is odd, and prepares the settings'
 * conditions.  The inputs are kept.
 */
cli_inputs *inputs_read(const cli_options *options, cli_settings *settings);
/*
 * For commands of many runs: the target, the shelf and every sample of every
 * water; nothing is completed.
 */
cli_inputs *inputs_read_shared(const cli_options *options,
                               cli_settings *settings);
/* The same without the waters, of which `waters` is what came: anything but
 * EXIT_DONE ends the program, but not before these are complained about. */
cli_inputs *inputs_read_aim(const cli_options *options, cli_settings *settings,
                            exit_code waters);
/* Of completed waters to be mixed freely: finds most_share, if it is not
 * there. */
void inputs_find_most_share(cli_inputs *inputs);
/* The target alone, of one stage. */
cli_inputs *inputs_read_target(const cli_options *options);
/* That recipe of theirs in that water. */
sw_mix inputs_mix(const cli_inputs *inputs, const cli_settings *settings,
                  const sw_content *water, const sw_recipe *recipe);
/* The target that --target would name: a file, or built in. */
exit_code inputs_find_target(const char *command, const char *name,
                             sw_target **target);

/*
 * --dose PRODUCT=RATE.  Adds the doses' products to `shelf` and makes *recipe
 * of them, where any are given; a recipe that is there already cannot be joined
 * by doses.  *best_set, of each product: 0, or the set in which its best rate
 * is to be found, as sw_premix_fit takes it; the caller frees it.
 */
exit_code doses_read(const cli_options *options, sw_shelf *shelf,
                     sw_recipe **recipe, size_t **best_set);

/* ---- --target-of: a recipe for pure water, corrected for this one -------- */

/*
 * With the shelf read (a whole catalogue where none was named, of which it
 * keeps what the recipe uses): reads the recipe, makes its target, and gives
 * each product its role: a premix stays at its rate, straights give way.
 */
exit_code implied_read(const cli_options *options, const cli_settings *settings,
                       cli_inputs *inputs);

#endif
