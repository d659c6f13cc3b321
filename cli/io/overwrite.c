/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files are the same when the system says so, whatever they are called. */
#include "io/overwrite.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "io/command.h"
#include "io/complain.h"
#include "io/files.h"
#include "io/memory.h"
#include "sentences_text.h"

static const option_id outputs[] = {OPT_OUTPUT, OPT_SHEET, OPT_CURVE};

static bool is_output(option_id id)
{
    for (size_t i = 0; i < sizeof outputs / sizeof outputs[0]; i++)
        if (outputs[i] == id)
            return true;
    return false;
}

/* By the list of options, so that none is forgotten: FILE, FILE[:SAMPLE],
 * [PRODUCT=]FILE ... */
static bool is_input(option_id id)
{
    return strstr(option_spec_of(id)->argument, "FILE") && !is_output(id);
}

static bool is_file(const char *name, const struct stat *file)
{
    struct stat info;
    return stat(name, &info) == 0 && info.st_dev == file->st_dev &&
           info.st_ino == file->st_ino;
}

static bool is_input_stream(const struct stat *file)
{
    struct stat info;
    return fstat(STDIN_FILENO, &info) == 0 && info.st_dev == file->st_dev &&
           info.st_ino == file->st_ino;
}

/* Whether `value` is the name of `file`, or of it and a sample in it, or has
 * that after the "=" of a product's name. */
static bool names_file(const char *value, const struct stat *file)
{
    const char *equals = strchr(value, '=');
    if (equals && names_file(equals + 1, file))
        return true;
    if (strcmp(value, "-") == 0 || strncmp(value, "-:", 2) == 0)
        return is_input_stream(file);
    char *text = memory_text(value);
    bool found = is_file(text, file);
    for (char *colon = strchr(text, ':'); colon && !found;
         colon = strchr(colon + 1, ':')) {
        *colon = '\0';
        found = is_file(text, file);
        *colon = ':';
    }
    free(text);
    return found;
}

/* The option that reads `file`, NULL when none does. */
static const char *reader_of(const cli_options *options,
                             const struct stat *file)
{
    for (size_t i = 0; i < options->given_count; i++)
        if (is_input(options->given[i].id) &&
            names_file(options->given[i].value, file))
            return option_spec_of(options->given[i].id)->name;
    return NULL;
}

/* The path with its folder resolved, whether the file is there or not; NULL
 * where the folder is not.  Free it. */
static char *whole_path(const char *given)
{
    char *name = file_behind_links(given);
    if (!name)
        return NULL;
    const char *slash = strrchr(name, '/');
    size_t length = slash ? (size_t)(slash - name) + 1 : 0;
    char *folder = memory_array(length + 2, 1);
    memcpy(folder, name, length);
    folder[length] = '.'; /* after a slash: nothing but a folder will do */
    char *resolved = file_resolved(folder);
    const char *base = slash ? slash + 1 : name;
    char *whole = NULL;
    if (resolved) {
        size_t size = strlen(resolved) + strlen(base) + 2;
        whole = memory_array(size, 1);
        snprintf(whole, size, "%s/%s", resolved, base);
    }
    free(name);
    free(folder);
    free(resolved);
    return whole;
}

/* Where no file can be written under the name, whatever the run brings. */
static void refuse_place(const cli_options *options, option_id id,
                         const char *name)
{
    struct stat info;
    const char *option = option_spec_of(id)->name;
    bool there = stat(name, &info) == 0;
    if (strcmp(name, "-") == 0 && id == OPT_OUTPUT)
        return;
    if (there && S_ISDIR(info.st_mode))
        leave(complain_usage(options->command->name, SAY_OUTPUT_DIRECTORY,
                             option, name));
    char *whole = whole_path(name);
    if (!there && !whole)
        leave(complain_usage(options->command->name, SAY_OUTPUT_NO_FOLDER,
                             option, name));
    free(whole);
}

static bool is_same_output(const char *one, const char *other)
{
    struct stat file;
    if (stat(one, &file) == 0 && is_file(other, &file))
        return S_ISREG(file.st_mode);
    char *a = whole_path(one);
    char *b = whole_path(other);
    bool same = a && b && strcmp(a, b) == 0;
    free(a);
    free(b);
    return same;
}

static void refuse_twice(const cli_options *options)
{
    for (size_t i = 0; i < options->given_count; i++)
        for (size_t k = 0; k < i; k++)
            if (is_output(options->given[i].id) &&
                is_output(options->given[k].id) &&
                is_same_output(options->given[i].value,
                               options->given[k].value))
                leave(
                    complain_usage(options->command->name, SAY_OUTPUT_SAME,
                                   option_spec_of(options->given[k].id)->name,
                                   option_spec_of(options->given[i].id)->name));
}

void overwrite_refuse(const cli_options *options)
{
    for (size_t i = 0; i < options->given_count; i++) {
        struct stat file;
        const char *name = options->given[i].value;
        option_id id = options->given[i].id;
        if (!is_output(id))
            continue;
        refuse_place(options, id, name);
        if (stat(name, &file) != 0 || !S_ISREG(file.st_mode))
            continue;
        const char *reader = reader_of(options, &file);
        if (reader)
            leave(complain_usage(options->command->name, SAY_OUTPUT_OVER_INPUT,
                                 option_spec_of(id)->name, name, reader));
    }
    refuse_twice(options);
}
