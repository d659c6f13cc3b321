/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Several runs of one shelf: waters compared or with recipes in common, or the
 * stages of a crop. */
#ifndef CLI_RUN_SEVERAL_H
#define CLI_RUN_SEVERAL_H

#include "run/cautions.h"
#include "run/run.h"

typedef struct cli_several {
    const cli_settings *settings;
    const cli_inputs *shared;
    cli_run *runs;
    const cli_report **reports; /* theirs */
    char **names;               /* each its own */
    size_t count;               /* of runs that are there */
    bool one_target;            /* of all; else each has that of its stage */
    sw_choice *choice;          /* between waters; NULL: stages of a crop */
    sw_blend *blend;            /* its run is the last; NULL: none */
    double *water_price;        /* per 1000 L, by water; NULL: none given */
} cli_several;

/* Room for `most` runs; several_free releases it, and what is in it.  Here,
 * too, a failure ends the program after a complaint. */
void several_new(cli_several *several, size_t most, const cli_inputs *shared,
                 const cli_settings *settings);
/* The next run; its name is copied. */
cli_run *several_add(cli_several *several, const char *name);
void several_free(void *several);

/* "closest mix", as the objective is; the name of its run. */
cli_figure several_mix_name(const cli_settings *settings);
/* "35 % well, 65 % town" where a run mixes several waters, or "". */
void several_say_shares(const cli_several *several, size_t run, char *text,
                        size_t size);
/* What whoever mixes any of them handles. */
cli_handled several_handled(const cli_several *several);
/* Of the water to use; EXIT_UNMET where none is to be used.  Of stages, the
 * worst of all. */
exit_code several_exit_code(const cli_several *several);

/*
 * Takes the stage that --stage names; without it, refuses a target of several
 * where the command is not one that runs them all.
 */
exit_code stages_choose(const cli_options *options, cli_inputs *inputs);

/* Whether the target still holds several stages. */
bool stages_remain(const cli_inputs *inputs);

/* Formulates each stage; kept. */
cli_several *stages_run(const cli_options *options, const cli_inputs *shared,
                        const cli_settings *settings);

/* Waters side by side, those that are purified last; kept. */
cli_several *compare_run(const cli_options *options, cli_settings *settings);

#endif
