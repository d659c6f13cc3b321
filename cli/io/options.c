/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * getopt_long reads the command line; this file gives it the options a command
 * takes and turns what it refuses into a complaint with a suggestion.
 */
#include "io/options.h"

#include <getopt.h>
#include <stdlib.h>
#include <string.h>

#include "io/command.h"
#include "io/complain.h"
#include "io/memory.h"
#include "io/suggest.h"

/* getopt_long's return for option `id` is FIRST_OPTION + id. */
enum { FIRST_OPTION = 256 };

const cli_option_spec *option_spec_of(option_id id)
{
    static const cli_option_spec specs[] = {
#define OPTION_SPEC(id, ...) {__VA_ARGS__},
        OPTION_LIST(OPTION_SPEC)
#undef OPTION_SPEC
    };
    return &specs[id];
}

bool option_takes_value(option_id id)
{
    return option_spec_of(id)->argument[0];
}

const char *option_heading_text(option_heading heading)
{
    static const char *const texts[HEADING_COUNT] = {
        "Inputs", "What to find", "Tanks", "Accuracy", "Output"};
    return texts[heading];
}

bool command_takes(const cli_command *command, option_id id)
{
    const option_id *taken = command->options;
    while (*taken != OPT_COUNT && *taken != id)
        taken++;
    return *taken == id;
}

/* Fills `table` for the command, ended by zeros; with a former name, still
 * taken. */
static void list_options(const cli_command *command,
                         struct option table[OPT_COUNT + 2])
{
    size_t n = 0;
    for (const option_id *id = command->options; *id != OPT_COUNT; id++) {
        const cli_option_spec *spec = option_spec_of(*id);
        table[n++] = (struct option){spec->name,
                                     option_takes_value(*id) ? required_argument
                                                             : no_argument,
                                     NULL, FIRST_OPTION + (int)*id};
        if (*id == OPT_THIRD_TANK)
            table[n++] = (struct option){"acid-tank", no_argument, NULL,
                                         FIRST_OPTION + (int)*id};
    }
    table[n] = (struct option){0};
}

/* "--taget=x" -> "taget" */
static void bare_name(char *name, size_t size, const char *word)
{
    while (*word == '-')
        word++;
    snprintf(name, size, "%.*s", (int)strcspn(word, "="), word);
}

/* The beginning of several options; false where it is that of none. */
static bool refuse_ambiguous(const cli_command *command, const char *name)
{
    char list[300] = "";
    size_t length = strlen(name);
    for (const option_id *id = command->options; length && *id != OPT_COUNT;
         id++) {
        size_t used = strlen(list);
        if (strncmp(option_spec_of(*id)->name, name, length) == 0)
            snprintf(list + used, sizeof list - used, "%s--%s",
                     used ? ", " : "", option_spec_of(*id)->name);
    }
    if (list[0])
        complain_usage(command->name,
                       "--%s could be several: expected one of "
                       "%s",
                       name, list);
    return list[0];
}

static exit_code refuse_unknown(const cli_command *command, const char *word)
{
    const char *names[OPT_COUNT];
    size_t count = 0;
    char name[64];
    for (const option_id *id = command->options; *id != OPT_COUNT; id++)
        names[count++] = option_spec_of(*id)->name;
    bare_name(name, sizeof name, word);
    if (refuse_ambiguous(command, name))
        return EXIT_USAGE;
    const char *near = suggest(name, names, count);
    if (near)
        return complain_usage(
            command->name, "%.80s is not an option of %s; did you mean --%s?",
            word, command->name, near);
    return complain_usage(command->name, "%.80s is not an option of %s", word,
                          command->name);
}

static exit_code refuse_empty(const cli_command *command,
                              const cli_option_spec *spec)
{
    return complain_usage(command->name, "--%s needs %s: %s", spec->name,
                          spec->argument, spec->help);
}

/* What getopt_long refused, told from what it left in argv. */
static exit_code refuse(const cli_command *command, int code, char **argv)
{
    const char *word = argv[optind - 1];
    if (code == ':' && optopt >= FIRST_OPTION) {
        const cli_option_spec *spec =
            option_spec_of((option_id)(optopt - FIRST_OPTION));
        return refuse_empty(command, spec);
    }
    if (optopt >= FIRST_OPTION)
        return complain_usage(
            command->name, "--%s takes no value",
            option_spec_of((option_id)(optopt - FIRST_OPTION))->name);
    if (optopt)
        return complain_usage(command->name,
                              "-%c is not an option: options are whole words, "
                              "such as --%s%s",
                              optopt, option_spec_of(command->options[0])->name,
                              optopt == 'h' ? "; did you mean --help?" : "");
    return refuse_unknown(command, word);
}

static exit_code keep(cli_options *out, option_id id, const char *value)
{
    const cli_option_spec *spec = option_spec_of(id);
    if (!spec->repeats[0] && options_has(out, id))
        return complain_usage(out->command->name,
                              "--%s is given twice, expected once", spec->name);
    if (option_takes_value(id) && value[strspn(value, " \t")] == '\0')
        return refuse_empty(out->command, spec);
    out->given[out->given_count].id = id;
    out->given[out->given_count++].value = value ? value : "";
    return EXIT_DONE;
}

/* Standard input can be read once only. */
static exit_code check_standard_input(const cli_options *options)
{
    size_t uses = 0;
    size_t water = 0; /* one file, however many samples */
    for (size_t i = 0; i < options->given_count; i++) {
        const char *value = options->given[i].value;
        option_id id = options->given[i].id;
        bool here = strcmp(value, "-") == 0 || strncmp(value, "-:", 2) == 0;
        if (here && id != OPT_OUTPUT && id != OPT_FOR &&
            !(id == OPT_WATER && water++))
            uses++;
    }
    return uses < 2 ? EXIT_DONE
                    : complain_usage(options->command->name,
                                     "- stands for standard input, which can "
                                     "be given for one file only; expected "
                                     "the name of another");
}

exit_code options_read(const cli_command *command, int argc, char **argv,
                       cli_options *out)
{
    struct option table[OPT_COUNT + 2];
    exit_code code = EXIT_DONE;
    int found = 0;
    list_options(command, table);
    *out = (cli_options){.command = command};
    out->given = memory_array((size_t)argc, sizeof *out->given);
    opterr = 0;
    optind = 1;
    while (code == EXIT_DONE &&
           (found = getopt_long(argc, argv, ":", table, NULL)) != -1) {
        if (found < FIRST_OPTION)
            code = refuse(command, found, argv);
        else
            code = keep(out, (option_id)(found - FIRST_OPTION), optarg);
    }
    out->operands = argv + optind;
    out->operand_count = (size_t)(argc - optind);
    if (code == EXIT_DONE && out->operand_count && !command->operands[0] &&
        !options_has(out, OPT_HELP))
        code = complain_usage(command->name,
                              "'%.80s': %s takes options only, such as --%s",
                              out->operands[0], command->name,
                              option_spec_of(command->options[0])->name);
    if (code == EXIT_DONE)
        code = check_standard_input(out);
    if (code != EXIT_DONE)
        options_free(out);
    return code;
}

void options_free(cli_options *options)
{
    free(options->given);
    options->given = NULL;
    options->given_count = 0;
}

size_t options_count(const cli_options *options, option_id id)
{
    size_t count = 0;
    for (size_t i = 0; i < options->given_count; i++)
        count += options->given[i].id == id;
    return count;
}

const char *options_value(const cli_options *options, option_id id, size_t nth)
{
    for (size_t i = 0; i < options->given_count; i++)
        if (options->given[i].id == id && nth-- == 0)
            return options->given[i].value;
    return NULL;
}

bool options_has(const cli_options *options, option_id id)
{
    return options_value(options, id, 0) != NULL;
}

exit_code options_need(const cli_options *options, option_id id)
{
    const char *command = options->command->name;
    const cli_option_spec *spec = option_spec_of(id);
    return options_has(options, id)
               ? EXIT_DONE
               : complain_usage(command, "%s needs --%s %s: %s", command,
                                spec->name, spec->argument, spec->help);
}

exit_code options_require(const cli_options *options)
{
    const option_id *id = options->command->required;
    exit_code code = EXIT_DONE;
    for (; code == EXIT_DONE && *id != OPT_COUNT; id++)
        code = options_need(options, *id);
    return code;
}
