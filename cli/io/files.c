/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A directory can be opened but not read, and says so only later and
 * obscurely; it is refused here.
 */
#include "io/files.h"

#include <errno.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "io/complain.h"
#include "io/memory.h"
#include "sentences_text.h"

exit_code file_open(option_id id, const char *file, FILE **stream)
{
    const char *option = option_spec_of(id)->name;
    const char *kind = id == OPT_LABEL ? "text" : "CSV";
    struct stat info;
    *stream = strcmp(file, "-") == 0 ? stdin : fopen(file, "rb");
    if (!*stream && errno == ENOMEM)
        return complain_memory();
    if (!*stream)
        return complain_file(file, SAY_CANNOT_OPEN, strerror(errno), kind,
                             option);
    if (fstat(fileno(*stream), &info) == 0 && S_ISDIR(info.st_mode)) {
        file_close(*stream);
        return complain_file(file_shown_name(file), SAY_IS_DIRECTORY, kind,
                             option);
    }
    return EXIT_DONE;
}

void file_close(FILE *stream)
{
    if (stream != stdin)
        fclose(stream);
}

/* The name that a link holds, from the folder the link is in. */
static char *follow(const char *link, const char *held)
{
    const char *slash = *held == '/' ? NULL : strrchr(link, '/');
    size_t folder = slash ? (size_t)(slash - link) + 1 : 0;
    char *name = memory_array(folder + strlen(held) + 1, 1);
    memcpy(name, link, folder);
    memcpy(name + folder, held, strlen(held) + 1);
    return name;
}

char *file_resolved(const char *name)
{
    char *resolved = realpath(name, NULL);
    if (!resolved && errno == ENOMEM)
        exit((int)complain_memory());
    return resolved;
}

char *file_behind_links(const char *file)
{
    enum { MOST_LINKS = 40 }; /* as Linux follows */
    char held[PATH_MAX];
    char *name = file_resolved(file);
    if (name)
        return name;
    name = memory_text(file);
    for (int i = 0; i < MOST_LINKS; i++) {
        ssize_t length = readlink(name, held, sizeof held - 1);
        if (length < 0)
            return name;
        held[length] = '\0';
        char *next = follow(name, held);
        free(name);
        name = next;
    }
    free(name);
    errno = ELOOP;
    return NULL;
}

void file_put_cell(FILE *out, const char *text, size_t length)
{
    fputc('"', out);
    for (size_t i = 0; i < length; i++) {
        if (text[i] == '"')
            fputc('"', out);
        fputc(text[i], out);
    }
    fputc('"', out);
}

const char *file_shown_name(const char *file)
{
    return strcmp(file, "-") == 0 ? "standard input" : file;
}

exit_code file_conclude(const char *file, sw_status status,
                        const sw_notes *notes, const sw_error *error)
{
    if (status != SW_OK)
        return complain_error(error);
    if (notes)
        complain_notes(file_shown_name(file), notes);
    return EXIT_DONE;
}

exit_code file_read(option_id id, const char *file, file_reader *read,
                    void *context)
{
    sw_error error = {0};
    FILE *stream;
    const sw_notes *notes = NULL;
    exit_code code = file_open(id, file, &stream);
    if (code != EXIT_DONE)
        return code;
    sw_status status =
        read(stream, file_shown_name(file), context, &notes, &error);
    file_close(stream);
    return file_conclude(file, status, notes, &error);
}
