/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Renaming replaces a file at once, so that it is never half new; the old one
 * keeps a second name until every other result has its place.
 */
#include "io/placing.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "io/memory.h"

/* A name beside `file` that mkstemp can complete. */
static char *name_beside(const char *file)
{
    size_t size = strlen(file) + 8;
    char *name = memory_array(size, 1);
    snprintf(name, size, "%s.XXXXXX", file);
    return name;
}

static bool write_text(FILE *stream, const cli_placing *placing)
{
    return fwrite(placing->text, 1, placing->size, stream) == placing->size &&
           fflush(stream) == 0;
}

/* Closes, and keeps the errno of what failed first. */
static bool close_after(FILE *stream, bool whole)
{
    int cause = errno;
    if (fclose(stream) != 0 && whole)
        return false;
    errno = cause;
    return whole;
}

/* The mode of the file to be replaced, or that of a new file. */
static mode_t mode_for(const char *file)
{
    struct stat info;
    if (stat(file, &info) == 0)
        return info.st_mode & 0777;
    mode_t mask = umask(0);
    umask(mask);
    return 0666 & ~mask;
}

static bool write_fresh(cli_placing *placing)
{
    placing->fresh = name_beside(placing->place);
    int handle = mkstemp(placing->fresh);
    if (handle < 0) {
        free(placing->fresh);
        placing->fresh = NULL;
        return false;
    }
    FILE *stream = fdopen(handle, "w");
    if (!stream) {
        close(handle);
        return false;
    }
    bool whole = fchmod(handle, mode_for(placing->place)) == 0 &&
                 write_text(stream, placing) && fsync(handle) == 0;
    return close_after(stream, whole);
}

bool placing_prepare(cli_placing *placing)
{
    struct stat info;
    if (!placing->file)
        return true;
    if (stat(placing->file, &info) != 0) {
        placing->place = memory_text(placing->file);
    } else if (S_ISREG(info.st_mode)) {
        /* Renaming asks the folder only; who guards a file means it. */
        if (access(placing->file, W_OK) != 0)
            return false;
        /* A link stays one: what it leads to is replaced. */
        placing->place = realpath(placing->file, NULL);
    } else {
        placing->special = fopen(placing->file, "w");
        return placing->special != NULL;
    }
    return placing->place && write_fresh(placing);
}

bool placing_pour(cli_placing *placing)
{
    if (!placing->file)
        return write_text(stdout, placing);
    if (!placing->special)
        return true;
    FILE *stream = placing->special;
    placing->special = NULL;
    return close_after(stream, write_text(stream, placing));
}

/* Gives the old file a second name, or where the file system has no such thing
 * that name alone. */
static bool put_aside(cli_placing *placing)
{
    struct stat info;
    if (lstat(placing->place, &info) != 0)
        return errno == ENOENT;
    char *aside = name_beside(placing->place);
    int handle = mkstemp(aside);
    bool done = handle >= 0 && close(handle) == 0 && unlink(aside) == 0 &&
                (link(placing->place, aside) == 0 ||
                 rename(placing->place, aside) == 0);
    if (done)
        placing->aside = aside;
    else
        free(aside);
    return done;
}

bool placing_take(cli_placing *placing)
{
    if (!placing->place)
        return true;
    if (!put_aside(placing) || rename(placing->fresh, placing->place) != 0)
        return false;
    placing->taken = true;
    free(placing->fresh);
    placing->fresh = NULL;
    return true;
}

void placing_undo(cli_placing *placing)
{
    if (placing->special)
        fclose(placing->special);
    placing->special = NULL;
    if (placing->fresh)
        unlink(placing->fresh);
    /* Two names of one file are left as they are by rename. */
    if (placing->aside && rename(placing->aside, placing->place) == 0)
        unlink(placing->aside);
    else if (placing->taken && !placing->aside)
        unlink(placing->place);
    free(placing->aside);
    placing->aside = NULL;
}

void placing_end(cli_placing *placing)
{
    if (placing->aside)
        unlink(placing->aside);
    free(placing->aside);
    free(placing->fresh);
    free(placing->place);
    free(placing->text);
    *placing = (cli_placing){0};
}
