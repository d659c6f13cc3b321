/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What --help and a bare `saltwright` say. */
#include "io/command.h"

#include <string.h>

#include "io/output.h"
#include "io/page.h"
#include "sentences_text.h"

void usage_of_program(FILE *out)
{
    cli_page page = {.out = out};
    fputs(SAY_WHAT_IT_DOES, out);
    fputs(SAY_USAGE_LINE, out);
    page_title(&page, "Commands");
    for (const cli_command *c = commands; c->name; c++)
        page_entry(&page, 10, c->name, "%s", c->summary);
    page_title(&page, "More");
    page_entry(&page, 25, "saltwright help COMMAND",
               "one command; or "
               "COMMAND -h");
    page_entry(&page, 25, "saltwright -V, --version", "the version");
    page_entry(&page, 25, "man saltwright", "files, formats, exit codes");
}

void usage_first_step(FILE *out)
{
    fputs(SAY_FIRST_STEP, out);
}

/* "saltwright check --water FILE..." wrapped under itself. */
static void put_synopsis(const cli_page *page, const cli_command *command)
{
    char required[200] = "";
    for (const option_id *id = command->task->required; *id != OPT_COUNT;
         id++) {
        const cli_option_spec *spec = option_spec_of(*id);
        size_t used = strlen(required);
        snprintf(required + used, sizeof required - used, " --%s %s",
                 spec->name, spec->argument);
    }
    page_paragraph(page, 0, 4, SAY_USAGE_COMMAND, command->name, required,
                   command->operands[0] ? " " : "", command->operands);
}

/* The command's options under one heading, in the order of the list. */
static void put_options(cli_page *page, const cli_command *command,
                        option_heading heading)
{
    bool titled = false;
    for (int id = 0; id < OPT_COUNT; id++) {
        const cli_option_spec *spec = option_spec_of((option_id)id);
        char term[64];
        if (spec->heading != heading || !command_takes(command, (option_id)id))
            continue;
        if (!titled)
            page_title(page, "%s", option_heading_text(heading));
        titled = true;
        snprintf(term, sizeof term, "--%s%s%s", spec->name,
                 spec->argument[0] ? " " : "", spec->argument);
        page_entry(page, 23, term, "%s", spec->help);
    }
}

void usage_of_command(FILE *out, const cli_command *command)
{
    cli_page page = {.out = out};
    put_synopsis(&page, command);
    fputc('\n', out);
    page_paragraph(&page, 0, 0, "%s", command->explanation);
    for (int heading = 0; heading < HEADING_COUNT; heading++)
        put_options(&page, command, (option_heading)heading);
    page_title(&page, "Example");
    fprintf(out, "  %s\n", command->example);
}

exit_code usage_shown(const cli_command *command)
{
    cli_output output;
    output_open(&output);
    usage_of_command(output.stream, command);
    return output_deliver(&output, NULL);
}
