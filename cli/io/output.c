/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A recipe cut off in the middle is worse than none, and so is the sheet of
 * one run beside the result of another.  Results wait in memory until the run
 * is over and are then placed together; every write is checked.
 *
 * Renaming replaces a file at once, so that it is never half new; the old one
 * keeps a second name until every other result has its place.
 */
#include "io/output.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>
#include <unistd.h>

#include "io/complain.h"
#include "io/files.h"
#include "io/interrupt.h"
#include "io/memory.h"
#include "io/pager.h"
#include "io/progress.h"

/* One result on its way to its file, in steps that can be taken back: each
 * returns false with errno set where it fails. */
typedef struct placing {
    const char *file; /* as given; NULL: standard output */
    char *text;       /* owned */
    size_t size;
    char *place;   /* the file to be replaced, links followed; NULL: none is */
    char *fresh;   /* the new one beside it, until it takes its place */
    char *aside;   /* the old one, while it can still come back */
    FILE *special; /* a device or pipe, which no renaming can replace */
    bool taken;    /* the new one is in its place */
} placing;

/* A name beside `file` that mkstemp can complete. */
static char *name_beside(const char *file)
{
    size_t size = strlen(file) + 8;
    char *name = memory_array(size, 1);
    snprintf(name, size, "%s.XXXXXX", file);
    return name;
}

static bool write_text(FILE *stream, const placing *p)
{
    return fwrite(p->text, 1, p->size, stream) == p->size &&
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

static bool write_fresh(placing *p)
{
    p->fresh = name_beside(p->place);
    int handle = mkstemp(p->fresh);
    if (handle < 0) {
        free(p->fresh);
        p->fresh = NULL;
        return false;
    }
    FILE *stream = fdopen(handle, "w");
    if (!stream) {
        close(handle);
        return false;
    }
    bool whole = fchmod(handle, mode_for(p->place)) == 0 &&
                 write_text(stream, p) && fsync(handle) == 0;
    return close_after(stream, whole);
}

static bool prepare_placing(placing *p)
{
    struct stat info;
    if (!p->file)
        return true;
    bool there = stat(p->file, &info) == 0;
    if (!there || S_ISREG(info.st_mode)) {
        /* Renaming asks the folder only; who guards a file means it. */
        if (there && access(p->file, W_OK) != 0)
            return false;
        /* A link stays one: what it leads to is replaced. */
        p->place = file_behind_links(p->file);
    } else {
        p->special = fopen(p->file, "w");
        return p->special != NULL;
    }
    return p->place && write_fresh(p);
}

static bool pour_placing(placing *p)
{
    if (!p->file)
        return (pager_is_wanted() && pager_show(p->text, p->size)) ||
               write_text(stdout, p);
    if (!p->special)
        return true;
    FILE *stream = p->special;
    p->special = NULL;
    return close_after(stream, write_text(stream, p));
}

/* Gives the old file a second name, or where the file system has no such thing
 * that name alone. */
static bool put_aside(placing *p)
{
    struct stat info;
    if (lstat(p->place, &info) != 0)
        return errno == ENOENT;
    char *aside = name_beside(p->place);
    int handle = mkstemp(aside);
    bool done = handle >= 0 && close(handle) == 0 && unlink(aside) == 0 &&
                (link(p->place, aside) == 0 || rename(p->place, aside) == 0);
    if (done)
        p->aside = aside;
    else
        free(aside);
    return done;
}

static bool take_placing(placing *p)
{
    if (!p->place)
        return true;
    if (!put_aside(p) || rename(p->fresh, p->place) != 0)
        return false;
    p->taken = true;
    free(p->fresh);
    p->fresh = NULL;
    return true;
}

static void undo_placing(placing *p)
{
    if (p->special)
        fclose(p->special);
    p->special = NULL;
    if (p->fresh)
        unlink(p->fresh);
    /* Two names of one file are left as they are by rename. */
    if (p->aside && rename(p->aside, p->place) == 0)
        unlink(p->aside);
    else if (p->taken && !p->aside)
        unlink(p->place);
    free(p->aside);
    p->aside = NULL;
}

static void end_placing(placing *p)
{
    if (p->aside)
        unlink(p->aside);
    free(p->aside);
    free(p->fresh);
    free(p->place);
    free(p->text);
    *p = (placing){0};
}

/* ---- All of a run --------------------------------------------------------*/

/* What one run writes: its result, a sheet, a curve; a folder's files. */
enum { MOST_RESULTS = 8 };

/* A run has one outbox, and its commands need not know of it. */
static placing outbox[MOST_RESULTS];
static size_t waiting;

void output_open(cli_output *output)
{
    *output = (struct cli_output){0};
    output->stream = open_memstream(&output->text, &output->size);
    if (!output->stream)
        exit((int)complain_memory());
}

exit_code output_deliver(cli_output *output, const char *file)
{
    bool failed = ferror(output->stream) != 0;
    failed = fclose(output->stream) != 0 || failed;
    if (failed || waiting == MOST_RESULTS) {
        free(output->text);
        return complain_memory();
    }
    outbox[waiting++] =
        (placing){.file = file && strcmp(file, "-") != 0 ? file : NULL,
                  .text = output->text,
                  .size = output->size};
    return EXIT_DONE;
}

void output_drop(cli_output *output)
{
    fclose(output->stream);
    free(output->text);
}

/* Takes every step of all results, each step of all before the next; the one
 * that fails is *failed, with errno set. */
static bool place_all(const placing **failed)
{
    static bool (*const steps[])(placing *) = {prepare_placing, pour_placing,
                                               take_placing};
    /* Files are there before somebody reads in a pager. */
    static bool (*const paged[])(placing *) = {prepare_placing, take_placing,
                                               pour_placing};
    bool (*const *take)(placing *) = pager_is_wanted() ? paged : steps;
    for (size_t s = 0; s < sizeof steps / sizeof steps[0]; s++)
        for (size_t i = 0; i < waiting; i++)
            if (!take[s](&outbox[i])) {
                *failed = &outbox[i];
                return false;
            }
    return true;
}

/* A reader that has left ends the program as it ends any other, but not before
 * what was prepared is taken back: its signal waits.  That of a file grown too
 * large is told by the write as well. */
static exit_code place_or_undo(exit_code code)
{
    const placing *failed;
    const struct sigaction wait = {.sa_handler = SIG_IGN};
    struct sigaction usual;
    struct sigaction large;
    sigaction(SIGPIPE, &wait, &usual);
    sigaction(SIGXFSZ, &wait, &large);
    interrupt_hold();
    bool done = place_all(&failed);
    int cause = errno;
    for (size_t i = waiting; !done && i-- > 0;)
        undo_placing(&outbox[i]);
    interrupt_release();
    sigaction(SIGXFSZ, &large, NULL);
    sigaction(SIGPIPE, &usual, NULL);
    if (done)
        return code;
    if (cause == EPIPE)
        raise(SIGPIPE);
    complain_file(failed->file ? failed->file : "standard output",
                  "cannot write: %s", strerror(cause));
    return EXIT_INTERNAL;
}

exit_code output_settle(exit_code code)
{
    progress_end();
    if (code <= EXIT_UNMET)
        code = place_or_undo(code);
    while (waiting > 0)
        end_placing(&outbox[--waiting]);
    return code;
}

exit_code output_close_standard(exit_code code)
{
    if (code == EXIT_INTERNAL)
        return code;
    bool failed = ferror(stdout) != 0;
    if (fflush(stdout) != 0 || failed || fclose(stdout) != 0) {
        complain_file("standard output", "cannot write: %s", strerror(errno));
        return EXIT_INTERNAL;
    }
    return code;
}

void output_keep_streams(void)
{
    /* Opened the wrong way round, so that using it still fails. */
    static const int modes[] = {O_WRONLY, O_RDONLY, O_WRONLY};
    for (int handle = 0; handle < 3; handle++)
        if (fcntl(handle, F_GETFD) < 0)
            (void)open("/dev/null", modes[handle]);
}

/* What a file is to hold is said by the end of its name. */
static bool ends_in(const char *file, const char *suffix)
{
    size_t length = strlen(file);
    size_t tail = strlen(suffix);
    return length > tail && strcasecmp(file + length - tail, suffix) == 0;
}

bool output_is_chart(const char *file)
{
    return ends_in(file, ".svg");
}

bool output_is_page(const char *file)
{
    return ends_in(file, ".html") || ends_in(file, ".htm") ||
           output_is_chart(file);
}
