/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A command of the program, and the list of them all. */
#ifndef CLI_IO_COMMAND_H
#define CLI_IO_COMMAND_H

#include <stdio.h>

#include "commands_text.h"
#include "io/options.h"

/* What a file of command/ says of its command. */
typedef struct cli_task {
    const option_id *required; /* ended by OPT_COUNT; among: */
    const option_id *options;  /* in any order, ended by OPT_COUNT */
    exit_code (*run)(const cli_options *options);
} cli_task;
/* Of most commands: none, or a water and a target. */
extern const option_id requires_nothing[], requires_aim[];
#define COMMAND_EXTERN(task, ...) extern const cli_task task;
COMMAND_LIST(COMMAND_EXTERN)
#undef COMMAND_EXTERN

typedef struct cli_command {
    const cli_task *task;
    const char *name;
    const char *summary;     /* half a line */
    const char *operands;    /* as shown in the synopsis; "" for none */
    const char *example;     /* one command line */
    const char *explanation; /* a paragraph */
} cli_command;

/* Every command, in the order of command/commands.csv and of the help; the last
 * has no name. */
extern const cli_command commands[];

/* NULL where there is none of that name, which the other one refuses. */
const cli_command *command_named(const char *name);
exit_code command_refuse(const char *name);
bool command_takes(const cli_command *command, option_id id);

void usage_of_program(FILE *out);
void usage_first_step(FILE *out);
void usage_of_command(FILE *out, const cli_command *command);
/* The same to standard output, once the run has ended. */
exit_code usage_shown(const cli_command *command);

#endif
