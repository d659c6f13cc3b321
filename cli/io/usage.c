/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What --help and a bare `saltwright` say; and the manual page of a command in
 * the same words.  What the options do at length, and the files, stand in
 * saltwright(1).
 */
#include "io/command.h"

#include <ctype.h>
#include <string.h>

#include "io/output.h"
#include "io/page.h"
#include "io/shells.h"
#include "sentences_text.h"

/* The command's next option under a heading, in the order of the list; from 0
 * on; OPT_COUNT: there is none. */
static option_id next_under(const cli_command *command, option_heading heading,
                            int from)
{
    while (from < OPT_COUNT &&
           (option_spec_of((option_id)from)->heading != heading ||
            !command_takes(command, (option_id)from)))
        from++;
    return (option_id)from;
}

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

static void put_options(cli_page *page, const cli_command *command,
                        option_heading heading)
{
    option_id id = next_under(command, heading, 0);
    if (id != OPT_COUNT)
        page_title(page, "%s", option_heading_text(heading));
    for (; id != OPT_COUNT; id = next_under(command, heading, (int)id + 1)) {
        const cli_option_spec *spec = option_spec_of(id);
        char term[64];
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

/* ---- The manual page ------------------------------------------------------
 */

/* Text of ours on lines of its own: no line of it may look like a request. */
static void put_text(FILE *out, const char *text)
{
    char before = '\0';
    for (; *text; text++) {
        if (*text == '\\')
            fputs("\\e", out);
        else if (*text == ' ' && (text[1] == '.' || text[1] == '\''))
            fputs(" \\&", out);
        else if (*text == ' ' && before == '.' &&
                 isupper((unsigned char)text[1]))
            fputc('\n', out); /* a sentence begins a line */
        else
            fputc(*text, out);
        before = *text;
    }
    fputc('\n', out);
}

/* "\-water Ar FILE" */
static void put_flag(FILE *out, option_id id)
{
    const cli_option_spec *spec = option_spec_of(id);
    fprintf(out, "Fl \\-%s", spec->name);
    if (option_takes_value(id))
        fprintf(out, " Ar \"%s\"", spec->argument);
    fputc('\n', out);
}

static void put_heading(FILE *out, const cli_command *command,
                        option_heading heading)
{
    option_id id = next_under(command, heading, 0);
    if (id == OPT_COUNT)
        return;
    fprintf(out, ".Ss %s\n.Bl -tag -width Ds\n", option_heading_text(heading));
    for (; id != OPT_COUNT; id = next_under(command, heading, (int)id + 1)) {
        fputs(".It ", out);
        put_flag(out, id);
        put_text(out, option_spec_of(id)->help);
    }
    fputs(".El\n", out);
}

static void put_manual_synopsis(FILE *out, const cli_command *command)
{
    fprintf(out, SAY_MANUAL_SYNOPSIS, command->name);
    for (const option_id *id = command->task->required; *id != OPT_COUNT;
         id++) {
        fputc('.', out);
        put_flag(out, *id);
    }
    fputs(".Op Ar option ...\n", out);
    if (command->operands[0])
        fprintf(out, ".Ar \"%s\"\n", command->operands);
}

void manual_page(FILE *out, const cli_command *command)
{
    char title[40];
    snprintf(title, sizeof title, "SALTWRIGHT-%s", command->name);
    for (char *at = title; *at; at++)
        *at = (char)toupper((unsigned char)*at);
    fprintf(out, SAY_MANUAL_HEAD, command->name, title, command->name,
            command->summary);
    put_manual_synopsis(out, command);
    fputs(".Sh DESCRIPTION\n", out);
    put_text(out, command->explanation);
    fputs(SAY_MANUAL_MEASURE, out);
    for (int heading = 0; heading < HEADING_COUNT; heading++)
        put_heading(out, command, (option_heading)heading);
    fputs(SAY_MANUAL_EXIT, out);
    put_text(out, command->example);
    fputs(SAY_MANUAL_SEE_ALSO, out);
}
