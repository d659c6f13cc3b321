/* SPDX-License-Identifier: GPL-3.0-or-later */
/* saltwright help: of the program, of a command, and what is made of it. */
#include <string.h>

#include "io/command.h"
#include "io/complain.h"
#include "io/output.h"
#include "io/shells.h"
#include "run/inputs.h"
#include "sentences_text.h"

static exit_code put_command(FILE *out, const cli_options *options)
{
    const char *name = options->operands[0];
    const cli_command *command = command_named(name);
    if (!command)
        return command_refuse(name);
    if (options_has(options, OPT_MANUAL))
        manual_page(out, command);
    else
        usage_of_command(out, command);
    return EXIT_DONE;
}

static exit_code put_stages(FILE *out, const char *name)
{
    sw_target *target = NULL;
    const char *stage;
    exit_code code = inputs_find_target("help", name, &target);
    for (size_t i = 0;
         code == EXIT_DONE && (stage = sw_target_stage_name(target, i)); i++)
        fprintf(out, "%s\n", stage);
    sw_target_free(target);
    return code;
}

static exit_code put_products(FILE *out)
{
    sw_error error = {0};
    sw_shelf *shelf;
    if (sw_shelf_catalogue(&shelf, &error) != SW_OK)
        return complain_error(&error);
    for (size_t j = 0; j < shelf->count; j++)
        fprintf(out, "%s\n", shelf->products[j].name);
    sw_shelf_free(shelf);
    return EXIT_DONE;
}

static exit_code put_names(FILE *out, const cli_options *options)
{
    const char *kind = options_value(options, OPT_WORDS, 0);
    bool stages = strcmp(kind, "stages") == 0;
    if (stages && options->operand_count == 1)
        return put_stages(out, options->operands[0]);
    if (options->operand_count)
        return complain_usage("help", SAY_WORDS_ONE_OF);
    if (strcmp(kind, "products") == 0)
        return put_products(out);
    for (size_t i = 0;
         strcmp(kind, "targets") == 0 && i < sw_target_set_count(); i++)
        fprintf(out, "%s\n", sw_target_set_at(i).name);
    return stages || strcmp(kind, "targets") == 0
               ? EXIT_DONE
               : complain_usage("help", SAY_WORDS_KINDS, kind);
}

static exit_code put_help(FILE *out, const cli_options *options)
{
    const char *shell = options_value(options, OPT_COMPLETION, 0);
    if (shell)
        return shell_completion(out, shell)
                   ? EXIT_DONE
                   : complain_usage("help", SAY_COMPLETION_SHELLS, shell);
    if (options_has(options, OPT_WORDS))
        return put_names(out, options);
    if (options->operand_count > 1)
        return complain_usage("help", SAY_HELP_ONE_COMMAND);
    if (options->operand_count)
        return put_command(out, options);
    if (options_has(options, OPT_MANUAL))
        return complain_usage("help", SAY_MANUAL_NEEDS_COMMAND);
    usage_of_program(out);
    return EXIT_DONE;
}

static exit_code run(const cli_options *options)
{
    cli_output output;
    output_open(&output);
    exit_code code = put_help(output.stream, options);
    if (code == EXIT_DONE)
        return output_deliver(&output, options_value(options, OPT_OUTPUT, 0));
    output_drop(&output);
    return code;
}

static const option_id taken[] = {OPT_COMPLETION, OPT_MANUAL, OPT_WORDS,
                                  OPT_OUTPUT,     OPT_HELP,   OPT_COUNT};

const cli_task command_help = {
    .required = requires_nothing, .options = taken, .run = run};
