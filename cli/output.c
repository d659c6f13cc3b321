/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A recipe cut off in the middle is worse than none.  The result is complete
 * in memory before its first byte is written, and every write is checked.
 */
#include "output.h"

#include <errno.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "complain.h"
#include "memory.h"

void output_open(cli_output *output)
{
    *output = (struct cli_output){0};
    output->stream = open_memstream(&output->text, &output->size);
    if (!output->stream)
        exit((int)complain_memory());
}

static exit_code cannot_write(const char *file)
{
    complain_file(file, "cannot write: %s", strerror(errno));
    return EXIT_INTERNAL;
}

/* Writes and closes; false with errno set when a byte is lost. */
static bool write_all(FILE *stream, const cli_output *output, bool keep)
{
    bool whole =
        fwrite(output->text, 1, output->size, stream) == output->size &&
        fflush(stream) == 0 && (!keep || fsync(fileno(stream)) == 0);
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

static exit_code write_regular(const cli_output *output, const char *file)
{
    size_t size = strlen(file) + 8;
    char *fresh = memory_array(size, 1);
    snprintf(fresh, size, "%s.XXXXXX", file);
    int handle = mkstemp(fresh);
    FILE *stream = handle < 0 ? NULL : fdopen(handle, "w");
    bool done = stream && fchmod(handle, mode_for(file)) == 0;
    if (stream)
        done = write_all(stream, output, true) && done;
    done = done && rename(fresh, file) == 0;
    exit_code code = done ? EXIT_DONE : cannot_write(file);
    if (!done && handle >= 0)
        unlink(fresh);
    free(fresh);
    return code;
}

/* A device or pipe that is there already cannot be replaced by renaming. */
static exit_code write_special(const cli_output *output, const char *file)
{
    FILE *stream = fopen(file, "w");
    if (!stream || !write_all(stream, output, false))
        return cannot_write(file);
    return EXIT_DONE;
}

static exit_code write_file(const cli_output *output, const char *file)
{
    struct stat info;
    if (stat(file, &info) != 0)
        return write_regular(output, file);
    if (!S_ISREG(info.st_mode))
        return write_special(output, file);
    /* A link stays one: what it leads to is replaced. */
    char *target = realpath(file, NULL);
    exit_code code =
        target ? write_regular(output, target) : cannot_write(file);
    free(target);
    return code;
}

exit_code output_deliver(cli_output *output, const char *file)
{
    exit_code code = EXIT_DONE;
    bool failed = ferror(output->stream) != 0;
    failed = fclose(output->stream) != 0 || failed;
    if (failed)
        code = complain_memory();
    else if (file && strcmp(file, "-") != 0)
        code = write_file(output, file);
    else
        fwrite(output->text, 1, output->size, stdout);
    free(output->text);
    return code;
}

void output_drop(cli_output *output)
{
    fclose(output->stream);
    free(output->text);
}

exit_code output_close_standard(exit_code code)
{
    bool failed = ferror(stdout) != 0;
    if (fflush(stdout) != 0 || failed || fclose(stdout) != 0) {
        complain_file("standard output", "cannot write: %s", strerror(errno));
        return EXIT_INTERNAL;
    }
    return code;
}
