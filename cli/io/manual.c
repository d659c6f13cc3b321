/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The manual page of a command, in the words of its help; what the options do
 * at length, and the files, stand in saltwright(1). */
#include <ctype.h>
#include <string.h>

#include "io/shells.h"
#include "sentences_text.h"

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
    bool open = false;
    for (int id = 0; id < OPT_COUNT; id++) {
        if (option_spec_of((option_id)id)->heading != heading ||
            !command_takes(command, (option_id)id))
            continue;
        if (!open)
            fprintf(out, ".Ss %s\n.Bl -tag -width Ds\n",
                    option_heading_text(heading));
        open = true;
        fputs(".It ", out);
        put_flag(out, (option_id)id);
        put_text(out, option_spec_of((option_id)id)->help);
    }
    if (open)
        fputs(".El\n", out);
}

static void put_synopsis(FILE *out, const cli_command *command)
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
    put_synopsis(out, command);
    fputs(".Sh DESCRIPTION\n", out);
    put_text(out, command->explanation);
    fputs(SAY_MANUAL_MEASURE, out);
    for (int heading = 0; heading < HEADING_COUNT; heading++)
        put_heading(out, command, (option_heading)heading);
    fputs(SAY_MANUAL_EXIT, out);
    put_text(out, command->example);
    fputs(SAY_MANUAL_SEE_ALSO, out);
}
