/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The manual page of a command, in the words of its help; what the options do
 * at length, and the files, stand in saltwright(1). */
#include <ctype.h>
#include <string.h>

#include "io/shells.h"

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
    fprintf(out, ".Sh SYNOPSIS\n.Nm saltwright Cm %s\n", command->name);
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
    fprintf(out,
            ".\\\" Made by saltwright help --manual %s\n.Dd November 29, "
            "2026\n.Dt %s 1\n.Os\n.Sh NAME\n.Nm saltwright-%s\n.Nd %s\n",
            command->name, title, command->name, command->summary);
    put_synopsis(out, command);
    fputs(".Sh DESCRIPTION\n", out);
    put_text(out, command->explanation);
    fputs(".Pp\nNothing it says is measured: measure the EC and the pH of what "
          "you mixed before\na crop gets it.\n"
          "The files, the result and each option at length are described in\n"
          ".Xr saltwright 1 .\n.Sh OPTIONS\n",
          out);
    for (int heading = 0; heading < HEADING_COUNT; heading++)
        put_heading(out, command, (option_heading)heading);
    fputs(".Sh EXIT STATUS\n0 done; 1 done, but not every target is met, or a "
          "danger is told;\n2 a mistake on the command line; 3 a file that "
          "cannot be used; 4 a failure.\n.Sh EXAMPLES\n.Bd -literal\n$ ",
          out);
    put_text(out, command->example);
    fputs(".Ed\n.Sh SEE ALSO\n.Xr saltwright 1\n", out);
}
