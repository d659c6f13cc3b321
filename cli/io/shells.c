/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Completion of three shells: the scripts in cli/shells/, filled in from the
 * list of options.  Each of them asks `saltwright help --words` for names that
 * only the program knows: products, targets, and the stages of the target
 * given.
 *
 * In a script @NAME@ stands for what the list below calls so, and a line that
 * begins with "@command " is there for each command, with "@each KIND " for
 * each option of that kind, with "@taken KIND " for each that a command takes.
 */
#include "io/shells.h"

#include <string.h>

#include "shells_text.h"

/* What the value of an option is completed with; a target may be a file too,
 * and a source is a word and =. */
static const char *kind_of(option_id id)
{
    const cli_option_spec *spec = option_spec_of(id);
    switch (id) {
    case OPT_TARGET:
        return "target";
    case OPT_STAGE:
        return "stage";
    case OPT_ADJUST:
        return "product";
    case OPT_DOUBT:
        return "source";
    default:
        return !option_takes_value(id)          ? "flag"
               : spec->values[0]                ? "words"
               : strstr(spec->argument, "FILE") ? "file"
                                                : "any";
    }
}

/* How words are written between single quotes. */
typedef struct dialect {
    const char *shell;
    const char *quote;  /* for ' */
    const char *marked; /* what a backslash stands before */
} dialect;

/* Where in a script: the command and the option that its line is of. */
typedef struct line {
    FILE *out;
    const dialect *dialect;
    const cli_command *command; /* the first where it is of none */
    option_id option;
} line;

static void put_words(const line *at, const char *words)
{
    for (; *words; words++)
        if (*words == '\'')
            fputs(at->dialect->quote, at->out);
        else
            fprintf(at->out, "%s%c",
                    strchr(at->dialect->marked, *words) ? "\\" : "", *words);
}

static void put_commands(const line *at)
{
    for (const cli_command *c = commands; c->name; c++)
        fprintf(at->out, "%s%s", c == commands ? "" : " ", c->name);
}

static void put_options(const line *at)
{
    for (int id = 0; id < OPT_COUNT; id++)
        if (command_takes(at->command, (option_id)id))
            fprintf(at->out, " --%s", option_spec_of((option_id)id)->name);
}

/* "'--water:lab report'" of each option. */
static void put_described(const line *at)
{
    for (int id = 0; id < OPT_COUNT; id++) {
        if (!command_takes(at->command, (option_id)id))
            continue;
        fprintf(at->out, " '--%s:", option_spec_of((option_id)id)->name);
        put_words(at, option_spec_of((option_id)id)->help);
        fputc('\'', at->out);
    }
}

/* "--water | --shelf": the options of a kind as a case of the shell. */
static void put_case(const line *at, const char *kind)
{
    bool any = false;
    for (int id = 0; id < OPT_COUNT; id++)
        if (strcmp(kind_of((option_id)id), kind) == 0) {
            fprintf(at->out, "%s--%s", any ? " | " : "",
                    option_spec_of((option_id)id)->name);
            any = true;
        }
}

/* What a name stands for that is a text; NULL: it is none. */
static const char *text_named(const line *at, const char *name)
{
    static const cli_option_spec none = {.name = "", .values = "", .help = ""};
    const cli_option_spec *option =
        at->option < OPT_COUNT ? option_spec_of(at->option) : &none;
    const char *const texts[][2] = {
        {"name", at->command->name},
        {"summary", at->command->summary},
        {"option", option->name},
        {"values", option->values},
        {"help", option->help},
        {"doubts", "lab= lab-ph= label= scale= fine-scale= fill= injector= "
                   "meter-ec= meter-ph="}};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
        if (strcmp(texts[i][0], name) == 0)
            return texts[i][1];
    return NULL;
}

static bool put_named(const line *at, const char *name)
{
    const char *text = text_named(at, name);
    if (text)
        put_words(at, text);
    else if (strncmp(name, "of ", 3) == 0)
        put_case(at, name + 3);
    else if (strcmp(name, "commands") == 0)
        put_commands(at);
    else if (strcmp(name, "options") == 0)
        put_options(at);
    else if (strcmp(name, "described") == 0)
        put_described(at);
    else
        return false;
    return true;
}

/* The line up to its end, names filled in; what is no name stays. */
static void put_line(const line *at, const char *text)
{
    char name[20];
    for (; *text && *text != '\n'; text++) {
        int length = 0;
        if (sscanf(text, "@%19[a-z ]%n", name, &length) == 1 &&
            text[length] == '@' && put_named(at, name))
            text += length;
        else
            fputc(*text, at->out);
    }
    fputc('\n', at->out);
}

/* What follows `word` where the text begins with it, or NULL. */
static const char *after(const char *text, const char *word)
{
    size_t length = strlen(word);
    return strncmp(text, word, length) == 0 ? text + length : NULL;
}

/* "KIND ...": the rest for each option of that kind, or of those the line's
 * command takes. */
static void put_each(line at, const char *text, bool taken)
{
    size_t length = strcspn(text, " ");
    for (int id = 0; id < OPT_COUNT; id++) {
        const char *kind = kind_of((option_id)id);
        at.option = (option_id)id;
        if (strlen(kind) == length && strncmp(kind, text, length) == 0 &&
            (!taken || command_takes(at.command, at.option)))
            put_line(&at, text + length + 1);
    }
}

static void repeat_line(line at, const char *text)
{
    const char *each = after(text, "@each ");
    const char *command = after(text, "@command ");
    const char *taken = after(text, "@taken ");
    if (each)
        put_each(at, each, false);
    else if (!command && !taken)
        put_line(&at, text);
    for (const cli_command *c = commands; c->name && (command || taken); c++) {
        at.command = c;
        if (taken)
            put_each(at, taken, true);
        else
            put_line(&at, command);
    }
}

static const char *script_of(const char *shell)
{
    static const struct {
        const char *shell, *text;
    } scripts[] = {
#define SCRIPT(shell, text) {shell, text},
        SHELL_LIST(SCRIPT)
#undef SCRIPT
    };
    size_t i = 0;
    while (strcmp(scripts[i].shell, shell) != 0)
        i++;
    return scripts[i].text;
}

bool shell_completion(FILE *out, const char *shell)
{
    static const dialect dialects[] = {
        {"bash", "'", ""}, {"zsh", "'\\''", ":"}, {"fish", "\\'", "\\"}};
    for (size_t i = 0; i < sizeof dialects / sizeof dialects[0]; i++) {
        line at = {out, &dialects[i], commands, OPT_COUNT};
        if (strcmp(shell, dialects[i].shell) != 0)
            continue;
        for (const char *text = script_of(shell); *text;
             text += strcspn(text, "\n") + 1)
            repeat_line(at, text);
        return true;
    }
    return false;
}
