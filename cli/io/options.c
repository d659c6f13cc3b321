/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * getopt_long reads the command line; this file gives it the options a command
 * takes and turns what it refuses into a complaint with a suggestion.
 */
#include "io/options.h"

#include <errno.h>
#include <getopt.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "io/command.h"
#include "io/complain.h"
#include "io/memory.h"
#include "io/safe.h"
#include "sentences_text.h"

/* getopt_long's return for option `id` is FIRST_OPTION + id; inputs that may be
 * found. */
enum { FIRST_OPTION = 256, FOUND_INPUTS = 3 };

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

static bool is_among(option_id id, const option_id *ids)
{
    while (*ids != OPT_COUNT && *ids != id)
        ids++;
    return *ids == id;
}

bool command_takes(const cli_command *command, option_id id)
{
    return is_among(id, command->task->options);
}

/* Fills `table` for the command, ended by zeros; with a former name, still
 * taken. */
static void list_options(const cli_command *command,
                         struct option table[OPT_COUNT + 2])
{
    size_t n = 0;
    for (const option_id *id = command->task->options; *id != OPT_COUNT; id++) {
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

/* The beginning of several options. */
static void refuse_ambiguous(const cli_command *command, const char *name)
{
    char list[300] = "";
    size_t length = strlen(name);
    for (const option_id *id = command->task->options;
         length && *id != OPT_COUNT; id++)
        if (strncmp(option_spec_of(*id)->name, name, length) == 0)
            text_join(list, sizeof list, ", ", "--%s",
                      option_spec_of(*id)->name);
    if (list[0])
        leave(complain_usage(command->name, SAY_OPTION_UNCLEAR, name, list));
}

static _Noreturn void refuse_unknown(const cli_command *command,
                                     const char *word)
{
    const char *names[OPT_COUNT];
    size_t count = 0;
    char name[64];
    for (const option_id *id = command->task->options; *id != OPT_COUNT; id++)
        names[count++] = option_spec_of(*id)->name;
    bare_name(name, sizeof name, word);
    refuse_ambiguous(command, name);
    const char *near = sw_nearest_word(name, names, count);
    leave(near ? complain_usage(command->name, SAY_OPTION_UNKNOWN, word,
                                command->name, near)
               : complain_usage(command->name, "%.80s is not an option of %s",
                                word, command->name));
}

static _Noreturn void refuse_empty(const cli_command *command,
                                   const cli_option_spec *spec)
{
    leave(complain_usage(command->name, "--%s needs %s: %s", spec->name,
                         spec->argument, spec->help));
}

/* What getopt_long refused, told from what it left in argv. */
static _Noreturn void refuse(const cli_command *command, int code, char **argv)
{
    const cli_option_spec *spec =
        optopt >= FIRST_OPTION
            ? option_spec_of((option_id)(optopt - FIRST_OPTION))
            : NULL;
    if (spec && code == ':')
        refuse_empty(command, spec);
    if (spec)
        leave(complain_usage(command->name, "--%s takes no value", spec->name));
    if (optopt)
        leave(complain_usage(command->name, SAY_OPTION_ONE_LETTER, optopt,
                             option_spec_of(command->task->options[0])->name));
    refuse_unknown(command, argv[optind - 1]);
}

static void keep(cli_options *out, option_id id, const char *value)
{
    const cli_option_spec *spec = option_spec_of(id);
    if (!spec->repeats[0] && options_has(out, id))
        leave(complain_usage(out->command->name, SAY_OPTION_TWICE, spec->name));
    if (option_takes_value(id) && value[strspn(value, " \t")] == '\0')
        refuse_empty(out->command, spec);
    out->given[out->given_count].id = id;
    out->given[out->given_count++].value = value ? value : "";
}

/* Standard input can be read once only. */
static void check_standard_input(const cli_options *options)
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
    if (uses >= 2)
        leave(complain_usage(options->command->name, SAY_INPUT_TWICE));
}

static void free_options(void *thing)
{
    cli_options *options = thing;
    free(options->given);
    free(options->house_shelf);
}

cli_options *options_read(const cli_command *command, int argc, char **argv)
{
    struct option table[OPT_COUNT + 2];
    int found = 0;
    cli_options *out = memory_kept(sizeof *out, free_options);
    list_options(command, table);
    out->command = command;
    out->given = memory_array((size_t)argc + FOUND_INPUTS, sizeof *out->given);
    opterr = 0;
    optind = 1;
    while ((found = getopt_long(argc, argv, ":h", table, NULL)) != -1) {
        if (found == 'h')
            keep(out, OPT_HELP, NULL);
        else if (found < FIRST_OPTION)
            refuse(command, found, argv);
        else
            keep(out, (option_id)(found - FIRST_OPTION), optarg);
    }
    out->operands = argv + optind;
    out->operand_count = (size_t)(argc - optind);
    if (out->operand_count && !command->operands[0] &&
        !options_has(out, OPT_HELP))
        leave(complain_usage(command->name, SAY_OPTIONS_ONLY, out->operands[0],
                             command->name,
                             option_spec_of(command->task->options[0])->name));
    check_standard_input(out);
    return out;
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

const char *options_any(const cli_options *options, const option_id *ids)
{
    while (*ids != OPT_COUNT && !options_has(options, *ids))
        ids++;
    return *ids == OPT_COUNT ? NULL : option_spec_of(*ids)->name;
}

const char *options_from(const cli_options *options, option_id id)
{
    for (size_t i = 0; i < options->given_count; i++)
        if (options->given[i].id == id)
            return options->given[i].from;
    return NULL;
}

/* What nobody named must be a file, or not be there at all: of a link that
 * leads nowhere or a folder that is closed it is not known what it holds. */
static void find(cli_options *options, option_id id, const char *file,
                 const char *from)
{
    struct stat info;
    if (!command_takes(options->command, id) || options_has(options, id) ||
        (lstat(file, &info) != 0 && (errno == ENOENT || errno == ENOTDIR)))
        return;
    if (stat(file, &info) != 0)
        leave(complain_file(file, SAY_CANNOT_OPEN_OR, strerror(errno),
                            option_spec_of(id)->name));
    if (!S_ISREG(info.st_mode))
        leave(complain_file(file, SAY_NO_FILE_OR, option_spec_of(id)->name));
    size_t i = options->given_count++;
    options->given[i].id = id;
    options->given[i].value = file;
    options->given[i].from = from;
}

/* As the XDG Base Directory Specification 0.8 has it. */
static char *house_shelf_name(void)
{
    const char *settings = getenv("XDG_CONFIG_HOME");
    const char *home = getenv("HOME");
    bool own = settings && settings[0] == '/';
    bool at_home = home && home[0] == '/';
    char *name = NULL;
    size_t size = 0;
    FILE *out = own || at_home ? memory_stream(&name, &size) : NULL;
    if (!out)
        return NULL;
    fprintf(out, "%s%s/saltwright/shelf.csv", own ? settings : home,
            own ? "" : "/.config");
    memory_close(out, &name);
    return name;
}

/* A command that can do without a water finds one where no solution stands in
 * its place, and no target. */
void options_find(cli_options *options)
{
    static const char here[] = "found in this folder";
    bool needed = is_among(OPT_WATER, options->command->task->required);
    if (needed || !options_has(options, OPT_SOLUTION))
        find(options, OPT_WATER, "water.csv", here);
    if (needed && !options_has(options, OPT_TARGET_OF))
        find(options, OPT_TARGET, "target.csv", here);
    find(options, OPT_SHELF, "shelf.csv", here);
    options->house_shelf = house_shelf_name();
    if (options->house_shelf)
        find(options, OPT_SHELF, options->house_shelf, "house shelf");
}

static bool is_found(option_id id)
{
    return id == OPT_WATER || id == OPT_TARGET || id == OPT_SHELF;
}

void options_require(const cli_options *options)
{
    const cli_command *command = options->command;
    size_t lacking = 0, files = 0;
    for (const option_id *id = command->task->required; *id != OPT_COUNT;
         id++) {
        const cli_option_spec *spec = option_spec_of(*id);
        if (options_has(options, *id) ||
            (*id == OPT_TARGET && options_has(options, OPT_TARGET_OF)))
            continue;
        complain_lack("%s needs --%s %s: %s%s%s%s", command->name, spec->name,
                      spec->argument, spec->help,
                      is_found(*id) ? "; there is no " : "",
                      is_found(*id) ? spec->name : "",
                      is_found(*id) ? ".csv in this folder" : "");
        lacking++;
        files += is_found(*id);
    }
    if (lacking)
        leave(complain_try(command->name, files));
}
