/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Finds the command and hands over; see command.h for the rest. */
#include <stdio.h>
#include <string.h>

#include "io/command.h"
#include "io/complain.h"
#include "io/memory.h"
#include "io/output.h"
#include "io/overwrite.h"
#include "io/progress.h"
#include "saltwright.h"
#include "io/safe.h"
#include "sentences_text.h"

enum { MOST_WORDS = 16 };

const option_id requires_nothing[] = {OPT_COUNT};
const option_id requires_aim[] = {OPT_WATER, OPT_TARGET, OPT_COUNT};

const cli_command commands[] = {
#define COMMAND(task, ...) {&task, __VA_ARGS__},
    COMMAND_LIST(COMMAND)
#undef COMMAND
        {0}};

const cli_command *command_named(const char *name)
{
    for (const cli_command *c = commands; c->name; c++)
        if (strcmp(name, c->name) == 0)
            return c;
    return NULL;
}

exit_code command_refuse(const char *word)
{
    const char *names[MOST_WORDS];
    size_t count = 0;
    for (; commands[count].name; count++)
        names[count] = commands[count].name;
    names[count++] = "--help";
    names[count++] = "--version";
    const char *near = sw_nearest_word(word, names, count);
    if (near)
        return complain_usage(NULL, SAY_COMMAND_MISSPELT, word, near);
    return complain_usage(NULL, SAY_COMMAND_UNKNOWN, word);
}

static exit_code run_command(const cli_command *command, int argc, char **argv)
{
    static char doing[40];
    cli_options *options = options_read(command, argc, argv);
    if (options_has(options, OPT_HELP))
        return output_settle(usage_shown(command));
    options_find(options);
    options_require(options);
    overwrite_refuse(options);
    snprintf(doing, sizeof doing, "saltwright %s", command->name);
    progress_begin(doing);
    return output_settle(command->task->run(options));
}

static exit_code dispatch(int argc, char **argv)
{
    if (argc < 2) {
        usage_first_step(stderr);
        return EXIT_USAGE;
    }
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0)
        return run_command(command_named("help"), 1, argv);
    if (strcmp(argv[1], "--version") == 0 || strcmp(argv[1], "-V") == 0) {
        printf("saltwright %s\n", sw_version());
        return EXIT_DONE;
    }
    const cli_command *command = command_named(argv[1]);
    return command ? run_command(command, argc - 1, argv + 1)
                   : command_refuse(argv[1]);
}

int main(int argc, char **argv)
{
    output_keep_streams();
    exit_code code = text_use_utf8() ? dispatch(argc, argv) : complain_memory();
    memory_release();
    return (int)output_close_standard(code);
}
