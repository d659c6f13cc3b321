/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Completion of three shells, from the list of options.  Each of the scripts
 * asks `saltwright help --words` for names that only the program knows:
 * products, targets, and the stages of the target given.
 */
#include "io/shells.h"

#include <string.h>

/* What the value of an option is completed with. */
typedef enum value_kind {
    VALUE_ANY,
    VALUE_FILE,
    VALUE_WORDS,
    VALUE_TARGET, /* a file too */
    VALUE_STAGE,
    VALUE_PRODUCT,
    VALUE_SOURCE /* of --doubt: a word and = */
} value_kind;

static const char doubts[] =
    "lab= lab-ph= label= scale= fine-scale= fill= injector= meter-ec= "
    "meter-ph=";

static value_kind kind_of(option_id id)
{
    const cli_option_spec *spec = option_spec_of(id);
    switch (id) {
    case OPT_TARGET:
        return VALUE_TARGET;
    case OPT_STAGE:
        return VALUE_STAGE;
    case OPT_ADJUST:
        return VALUE_PRODUCT;
    case OPT_DOUBT:
        return VALUE_SOURCE;
    default:
        return spec->values[0]                  ? VALUE_WORDS
               : strstr(spec->argument, "FILE") ? VALUE_FILE
                                                : VALUE_ANY;
    }
}

static void put_commands(FILE *out, const char *end)
{
    for (const cli_command *const *c = commands; *c; c++)
        fprintf(out, "%s%s", c == commands ? "" : " ", (*c)->name);
    fputs(end, out);
}

static void put_options(FILE *out, const cli_command *command)
{
    for (int id = 0; id < OPT_COUNT; id++)
        if (command_takes(command, (option_id)id))
            fprintf(out, " --%s", option_spec_of((option_id)id)->name);
}

/* `text` with `mark` before each of the characters in `marked`. */
static void put_marked(FILE *out, const char *text, const char *marked,
                       const char *mark)
{
    for (; *text; text++)
        fprintf(out, "%s%c", strchr(marked, *text) ? mark : "", *text);
}

/* ---- bash --------------------------------------------------------------- */

/* "--water | --shelf) ": the options of a kind as a case of the shell. */
static void put_case(FILE *out, value_kind kind)
{
    bool any = false;
    for (int id = 0; id < OPT_COUNT; id++)
        if (option_takes_value((option_id)id) &&
            kind_of((option_id)id) == kind) {
            fprintf(out, "%s--%s", any ? " | " : "    ",
                    option_spec_of((option_id)id)->name);
            any = true;
        }
    fputs(")\n", out);
}

/* A case for each option of words, which calls `offer` with them. */
static void put_words(FILE *out, const char *offer, const char *end)
{
    for (int id = 0; id < OPT_COUNT; id++)
        if (kind_of((option_id)id) == VALUE_WORDS)
            fprintf(out, "    --%s) %s%s%s ;;\n",
                    option_spec_of((option_id)id)->name, offer,
                    option_spec_of((option_id)id)->values, end);
}

static const char bash_head[] =
    "# Completion of saltwright for bash: saltwright help --completion bash\n"
    "_saltwright()\n{\n"
    "    local word=${COMP_WORDS[COMP_CWORD]} "
    "before=${COMP_WORDS[COMP_CWORD - 1]}\n"
    "    local command=${COMP_WORDS[1]} names= target= i\n"
    "    local program=${COMP_WORDS[0]}\n"
    "    COMPREPLY=()\n";

static const char bash_files[] =
    "        compopt -o filenames 2>/dev/null\n"
    "        mapfile -t COMPREPLY < <(compgen -f -W \"$names\" -- \"$word\")\n"
    "        return\n        ;;\n";

static const char bash_names[] =
    "        mapfile -t COMPREPLY < <(\"$program\" help --words %s 2>/dev/null "
    "|\n"
    "            grep -i -- \"^${word//\\\\/}\" | sed "
    "'s/[^A-Za-z0-9%%.=-]/\\\\&/"
    "g')\n"
    "        return\n        ;;\n";

static void put_bash(FILE *out)
{
    fputs(bash_head, out);
    fputs("    if [ \"$COMP_CWORD\" -eq 1 ]; then\n        names=\"", out);
    put_commands(out, " --help --version\"\n");
    fputs("        mapfile -t COMPREPLY < <(compgen -W \"$names\" -- "
          "\"$word\")\n        return\n    fi\n    case $before in\n",
          out);
    put_words(out, "names=\"", "\"");
    put_case(out, VALUE_TARGET);
    fputs("        names=$(\"$program\" help --words targets 2>/dev/null)\n",
          out);
    fputs(bash_files, out);
    put_case(out, VALUE_FILE);
    fputs(bash_files, out);
    put_case(out, VALUE_STAGE);
    fputs("        for ((i = 1; i < COMP_CWORD; i++)); do\n"
          "            [ \"${COMP_WORDS[i]}\" = --target ] && "
          "target=${COMP_WORDS[i + 1]}\n"
          "        done\n",
          out);
    fprintf(out, bash_names, "stages \"$target\"");
    put_case(out, VALUE_PRODUCT);
    fprintf(out, bash_names, "products");
    put_case(out, VALUE_SOURCE);
    fprintf(out,
            "        names=\"%s\"\n"
            "        compopt -o nospace 2>/dev/null\n        ;;\n",
            doubts);
    put_case(out, VALUE_ANY);
    fputs("        return\n        ;;\n    *)\n        case $command in\n",
          out);
    for (const cli_command *const *c = commands; *c; c++) {
        fprintf(out, "        %s) names=\"", (*c)->name);
        put_options(out, *c);
        fputs("\" ;;\n", out);
    }
    fputs("        esac\n", out);
    fputs("        [ \"$command\" != help ] || names=\"$names ", out);
    put_commands(out, "\"\n        ;;\n    esac\n");
    fputs(
        "    if [[ $command = catalogue && $word != -* && $before != -* ]]; "
        "then\n"
        "        mapfile -t COMPREPLY < <(\"$program\" help --words products "
        "2>/dev/null |\n"
        "            grep -i -- \"^${word//\\\\/}\" | sed 's/[^A-Za-z0-9%.=-]/"
        "\\\\&/g')\n"
        "        [ -z \"$word\" ] || return\n    fi\n",
        out);
    fputs("    mapfile -t COMPREPLY < <(compgen -W \"$names\" -- \"$word\")\n"
          "}\n\ncomplete -F _saltwright saltwright\n",
          out);
}

/* ---- zsh ---------------------------------------------------------------- */

/* "'--water:lab report'" of each option. */
static void put_described(FILE *out, const cli_command *command)
{
    for (int id = 0; id < OPT_COUNT; id++) {
        const cli_option_spec *spec = option_spec_of((option_id)id);
        if (!command_takes(command, (option_id)id))
            continue;
        fprintf(out, "            '--%s:", spec->name);
        for (const char *at = spec->help; *at; at++)
            fprintf(out,
                    *at == '\''  ? "'\\''"
                    : *at == ':' ? "\\:"
                                 : "%c",
                    *at);
        fputs("'\n", out);
    }
}

static void put_zsh(FILE *out)
{
    fputs("#compdef saltwright\n"
          "# Completion of saltwright for zsh: saltwright help --completion "
          "zsh\n"
          "_saltwright()\n{\n    local -a rows names\n"
          "    local before=$words[CURRENT-1]\n"
          "    if (( CURRENT == 2 )); then\n        rows=(\n",
          out);
    for (const cli_command *const *c = commands; *c; c++) {
        fprintf(out, "            '%s:", (*c)->name);
        put_marked(out, (*c)->summary, ":", "\\");
        fputs("'\n", out);
    }
    fputs("        )\n        _describe command rows\n        return\n    fi\n"
          "    case $before in\n",
          out);
    put_words(out, "compadd -- ", "; return");
    put_case(out, VALUE_TARGET);
    fputs("        names=(${(f)\"$($words[1] help --words targets "
          "2>/dev/null)\"})\n"
          "        compadd -a names; _files; return ;;\n",
          out);
    put_case(out, VALUE_FILE);
    fputs("        _files; return ;;\n", out);
    put_case(out, VALUE_STAGE);
    fputs("        names=(${(f)\"$($words[1] help --words stages "
          "\"$words[$words[(i)--target]+1]\" 2>/dev/null)\"})\n"
          "        compadd -a names; return ;;\n",
          out);
    put_case(out, VALUE_PRODUCT);
    fputs("        names=(${(f)\"$($words[1] help --words products "
          "2>/dev/null)\"})\n"
          "        compadd -a names; return ;;\n",
          out);
    put_case(out, VALUE_SOURCE);
    fprintf(out, "        compadd -S '' -- %s; return ;;\n", doubts);
    put_case(out, VALUE_ANY);
    fputs("        return ;;\n    esac\n    rows=()\n    case $words[2] in\n",
          out);
    for (const cli_command *const *c = commands; *c; c++) {
        fprintf(out, "    %s)\n        rows=(\n", (*c)->name);
        put_described(out, *c);
        fputs("        ) ;;\n", out);
    }
    fputs("    esac\n"
          "    if [[ $words[2] == catalogue && $PREFIX != -* ]]; then\n"
          "        names=(${(f)\"$($words[1] help --words products "
          "2>/dev/null)\"})\n"
          "        compadd -a names\n    fi\n"
          "    _describe -o option rows\n}\n\n_saltwright \"$@\"\n",
          out);
}

/* ---- fish --------------------------------------------------------------- */

static void put_fish_option(FILE *out, const char *command, option_id id)
{
    const cli_option_spec *spec = option_spec_of(id);
    fprintf(out,
            "complete -c saltwright -n '__fish_seen_subcommand_from %s' -l %s",
            command, spec->name);
    switch (option_takes_value(id) ? kind_of(id) : VALUE_ANY) {
    case VALUE_FILE:
        fputs(" -r -F", out);
        break;
    case VALUE_WORDS:
        fprintf(out, " -x -a '%s'", spec->values);
        break;
    case VALUE_TARGET:
        fputs(" -r -F -a '(saltwright help --words targets 2>/dev/null)'", out);
        break;
    case VALUE_STAGE:
        fputs(" -x -a '(saltwright help --words stages (string match -r -- "
              "\"(?<=--target )\\S+\" (commandline -p)) 2>/dev/null)'",
              out);
        break;
    case VALUE_PRODUCT:
        fputs(" -x -a '(saltwright help --words products)'", out);
        break;
    case VALUE_SOURCE:
        fprintf(out, " -x -a '%s'", doubts);
        break;
    case VALUE_ANY:
        fputs(option_takes_value(id) ? " -x" : "", out);
    }
    fputs(" -d '", out);
    put_marked(out, spec->help, "'\\", "\\");
    fputs("'\n", out);
}

static void put_fish(FILE *out)
{
    fputs("# Completion of saltwright for fish: saltwright help --completion "
          "fish\ncomplete -c saltwright -f\n",
          out);
    for (const cli_command *const *c = commands; *c; c++) {
        fprintf(out,
                "complete -c saltwright -n __fish_use_subcommand -a %s -d '",
                (*c)->name);
        put_marked(out, (*c)->summary, "'\\", "\\");
        fputs("'\n", out);
        for (int id = 0; id < OPT_COUNT; id++)
            if (command_takes(*c, (option_id)id))
                put_fish_option(out, (*c)->name, (option_id)id);
    }
    fputs("complete -c saltwright -n '__fish_seen_subcommand_from catalogue' "
          "-a '(saltwright help --words products)'\n",
          out);
    fputs("complete -c saltwright -n '__fish_seen_subcommand_from help' -a '",
          out);
    put_commands(out, "'\n");
}

bool shell_completion(FILE *out, const char *shell)
{
    static const struct {
        const char *name;
        void (*put)(FILE *out);
    } shells[] = {{"bash", put_bash}, {"zsh", put_zsh}, {"fish", put_fish}};
    for (size_t i = 0; i < sizeof shells / sizeof shells[0]; i++)
        if (strcmp(shell, shells[i].name) == 0) {
            shells[i].put(out);
            return true;
        }
    return false;
}
