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
#include "sentences_text.h"

/* One result on its way to its file, in steps that can be taken back: each
 * returns false with errno set where it fails. */
typedef struct placing {
    const char *file; /* as given; NULL: standard output */
    char *text;       /* owned */
    size_t size;
    char *place; /* the file, links followed */
    char *fresh; /* a name beside it, for the new one */
    char *aside; /* and for the old one, while it can still come back */
    bool is_fresh, is_aside; /* there are files of these names */
    bool is_taken;           /* the new one is in its place */
    bool is_poured;          /* it was written as it came */
    int handle;              /* what is written to as it is, or -1 */
    char *old;               /* what a file that is written over held; owned */
    size_t old_size;
} placing;

/* A name in the folder of `place`, however long that of the file is. */
static char *name_beside(const char *place)
{
    static const char beside[] = ".saltwright.XXXXXX";
    const char *slash = strrchr(place, '/');
    size_t folder = slash ? (size_t)(slash - place) + 1 : 0;
    char *name = memory_array(folder + sizeof beside, 1);
    memcpy(name, place, folder);
    memcpy(name + folder, beside, sizeof beside);
    return name;
}

/* All memory is taken before the first file is made. */
static bool name_placing(placing *p)
{
    if (!p->file || p->is_poured)
        return true;
    p->place = file_behind_links(p->file);
    if (!p->place)
        return false;
    p->fresh = name_beside(p->place);
    p->aside = name_beside(p->place);
    return true;
}

static bool write_text(int handle, const char *text, size_t size)
{
    while (size > 0) {
        ssize_t taken = write(handle, text, size);
        if (taken < 0 && errno != EINTR)
            return false;
        if (taken > 0) {
            text += taken;
            size -= (size_t)taken;
        }
    }
    return true;
}

/* Closes, and keeps the errno of what failed first. */
static bool close_after(int handle, bool whole)
{
    int cause = errno;
    if (close(handle) != 0 && whole)
        return false;
    errno = cause;
    return whole;
}

/* Gives the new file the owner and the mode of the `old` one, or of a file
 * that is new. */
static bool take_after(int handle, const struct stat *old)
{
    struct stat now;
    mode_t mask = umask(0);
    umask(mask);
    if (!old)
        return fchmod(handle, 0666 & ~mask) == 0;
    bool same = fstat(handle, &now) == 0 && now.st_uid == old->st_uid &&
                now.st_gid == old->st_gid;
    return (same || fchown(handle, old->st_uid, old->st_gid) == 0) &&
           fchmod(handle, old->st_mode & 0777) == 0;
}

static bool remove_fresh(placing *p)
{
    bool gone = !p->is_fresh || unlink(p->fresh) == 0;
    p->is_fresh = !gone;
    return gone;
}

/* A second name that its folder does not let go is told of. */
static void tell_left(const placing *p, const char *name)
{
    complain_file(name, SAY_COPY_STAYS, p->file, strerror(errno));
}

static void drop_fresh(placing *p)
{
    if (!remove_fresh(p))
        tell_left(p, p->fresh);
    p->is_fresh = false;
}

/* The new file, to be written to; -1 for none.  Where `old` is to be replaced
 * but none of its owner can be made, there is none, and *over. */
static int open_fresh(placing *p, const struct stat *old, bool *over)
{
    int handle = mkstemp(p->fresh);
    p->is_fresh = handle >= 0;
    *over = false;
    if (handle >= 0 && take_after(handle, old))
        return handle;
    *over = old && (errno == EPERM || errno == EACCES);
    if (handle >= 0)
        (void)close_after(handle, false);
    *over = *over && remove_fresh(p);
    return -1;
}

static bool write_fresh(placing *p, const struct stat *old, bool *over)
{
    int handle = open_fresh(p, old, over);
    return handle >= 0 &&
           close_after(handle, write_text(handle, p->text, p->size) &&
                                   fsync(handle) == 0);
}

/* What a file held that is written over, since no other may take its place. */
static bool keep_old(placing *p)
{
    struct stat info;
    p->handle = open(p->place, O_RDWR | O_CLOEXEC);
    if (p->handle < 0 || fstat(p->handle, &info) != 0)
        return false;
    p->old = malloc((size_t)info.st_size + 1);
    while (p->old && p->old_size < (size_t)info.st_size) {
        ssize_t got = read(p->handle, p->old + p->old_size,
                           (size_t)info.st_size - p->old_size);
        if (got == 0)
            return true;
        if (got < 0 && errno != EINTR)
            return false;
        p->old_size += got > 0 ? (size_t)got : 0;
    }
    return p->old != NULL;
}

static bool write_over(int handle, const char *text, size_t size)
{
    return lseek(handle, 0, SEEK_SET) == 0 && write_text(handle, text, size) &&
           ftruncate(handle, (off_t)size) == 0 && fsync(handle) == 0;
}

/* A pipe may make it wait, and a signal then ends the program. */
static bool open_special(placing *p)
{
    interrupt_release();
    p->handle = open(p->file, O_WRONLY | O_CLOEXEC);
    interrupt_hold();
    return p->handle >= 0;
}

static bool prepare_placing(placing *p)
{
    struct stat info;
    bool over;
    if (!p->file || p->is_poured)
        return true;
    bool there = stat(p->file, &info) == 0;
    if (there && !S_ISREG(info.st_mode))
        return open_special(p);
    /* Renaming asks the folder only; who guards a file means it. */
    if (there && access(p->file, W_OK) != 0)
        return false;
    return write_fresh(p, there ? &info : NULL, &over) || (over && keep_old(p));
}

/* To a device or pipe, which no renaming can replace; it may make it wait. */
static bool pour_placing(placing *p)
{
    if (p->handle < 0 || p->old)
        return true;
    int handle = p->handle;
    p->handle = -1;
    interrupt_release();
    bool whole = close_after(handle, write_text(handle, p->text, p->size));
    interrupt_hold();
    return whole;
}

/* What is held back would be so in a pager too. */
static bool show_placing(placing *p)
{
    if (p->file)
        return true;
    interrupt_release();
    bool whole =
        (pager_is_wanted() && pager_show(p->text, p->size)) ||
        (fflush(stdout) == 0 && write_text(STDOUT_FILENO, p->text, p->size));
    interrupt_hold();
    return whole;
}

/* Gives the old file a second name, or where the file system has no such thing
 * that name alone. */
static bool put_aside(placing *p)
{
    struct stat info;
    if (lstat(p->place, &info) != 0)
        return errno == ENOENT;
    int handle = mkstemp(p->aside);
    if (handle < 0)
        return false;
    bool empty = !close_after(handle, true) || unlink(p->aside) != 0;
    p->is_aside = !empty && (link(p->place, p->aside) == 0 ||
                             rename(p->place, p->aside) == 0);
    if (empty && unlink(p->aside) != 0)
        tell_left(p, p->aside);
    return p->is_aside;
}

static bool take_placing(placing *p)
{
    if (p->old) {
        p->is_taken = true;
        return write_over(p->handle, p->text, p->size);
    }
    if (!p->is_fresh)
        return true;
    if (!put_aside(p) || rename(p->fresh, p->place) != 0)
        return false;
    p->is_taken = true;
    p->is_fresh = false;
    return true;
}

/* From here on there is no way back. */
static bool keep_placing(placing *p)
{
    if (p->is_aside && unlink(p->aside) != 0)
        tell_left(p, p->aside);
    p->is_aside = p->is_taken = false;
    return true;
}

static void undo_placing(placing *p)
{
    drop_fresh(p);
    if (p->old && p->is_taken) {
        if (!write_over(p->handle, p->old, p->old_size))
            complain_file(p->file, SAY_NOT_BROUGHT_BACK, strerror(errno));
    } else if (p->is_aside) { /* two names of one file are left by rename */
        if (rename(p->aside, p->place) != 0 ||
            (unlink(p->aside) != 0 && errno != ENOENT))
            tell_left(p, p->aside);
    } else if (p->is_taken && unlink(p->place) != 0)
        tell_left(p, p->place);
}

static void end_placing(placing *p)
{
    drop_fresh(p);
    if (p->handle >= 0)
        close(p->handle);
    free(p->old);
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
    output->stream = memory_stream(&output->text, &output->size);
}

void output_drop(cli_output *output)
{
    fclose(output->stream);
    free(output->text);
}

/* What a signal does before it ends the program while it waits for a reader,
 * when no file has taken its place yet, or all have. */
static void remove_all_fresh(void)
{
    for (size_t i = 0; i < waiting; i++)
        (void)remove_fresh(&outbox[i]);
}

static void drop_all_fresh(void)
{
    for (size_t i = 0; i < waiting; i++)
        drop_fresh(&outbox[i]);
}

/* ---- What goes out as it comes ------------------------------------------ */

/* The new file, or a device or pipe; NULL where it has to be gathered. */
static FILE *open_poured(placing *p)
{
    struct stat info;
    bool over;
    bool there = stat(p->file, &info) == 0;
    if (there && !S_ISREG(info.st_mode))
        return fopen(p->file, "w");
    if ((there && access(p->file, W_OK) != 0) || !name_placing(p))
        return NULL;
    interrupt_hold();
    int handle = open_fresh(p, there ? &info : NULL, &over);
    interrupt_release();
    return handle >= 0 ? fdopen(handle, "w") : NULL;
}

/* From here on whatever ends the program removes the new file first. */
static bool pour_to(const char *file, FILE **stream)
{
    const struct sigaction told = {.sa_handler = SIG_IGN};
    placing *p = &outbox[waiting];
    *p = (placing){.file = file, .handle = -1};
    waiting++;
    if (atexit(drop_all_fresh) != 0)
        exit((int)complain_memory());
    interrupt_tidy(remove_all_fresh);
    sigaction(SIGXFSZ, &told, NULL);
    *stream = open_poured(p);
    p->is_poured = *stream != NULL;
    if (!p->is_poured)
        end_placing(&outbox[--waiting]);
    return p->is_poured;
}

void output_stream(cli_output *output, const char *file)
{
    bool standard = !file || strcmp(file, "-") == 0;
    *output = (cli_output){.stream = stdout, .is_stream = true};
    if (standard ? pager_is_wanted() : !pour_to(file, &output->stream))
        output_open(output);
}

bool output_pass(cli_output *output, const char *text, size_t size)
{
    errno = 0;
    if (fwrite(text, 1, size, output->stream) == size &&
        fflush(output->stream) == 0)
        return true;
    output->cause = errno;
    return false;
}

static exit_code end_stream(cli_output *output, const char *file)
{
    FILE *stream = output->stream;
    bool whole = output_pass(output, "", 0) && !ferror(stream);
    if (stream != stdout) {
        whole = whole && (fsync(fileno(stream)) == 0 || errno == EINVAL);
        whole = fclose(stream) == 0 && whole;
    }
    if (whole)
        return EXIT_DONE;
    complain_file(stream == stdout ? "standard output" : file,
                  "cannot write: %s",
                  strerror(output->cause ? output->cause : EIO));
    return EXIT_INTERNAL;
}

exit_code output_deliver(cli_output *output, const char *file)
{
    if (output->is_stream)
        return end_stream(output, file);
    memory_close(output->stream, &output->text);
    if (waiting == MOST_RESULTS) {
        free(output->text);
        return complain_memory();
    }
    outbox[waiting++] =
        (placing){.file = file && strcmp(file, "-") != 0 ? file : NULL,
                  .text = output->text,
                  .size = output->size,
                  .handle = -1};
    return EXIT_DONE;
}

/* ---- At once ------------------------------------------------------------ */

/* Takes every step of all results, each step of all before the next; the one
 * that fails is *failed, with errno set. */
static bool place_all(const placing **failed)
{
    enum { STEPS = 6 };
    typedef bool (*const step)(placing *);
    static step steps[STEPS] = {name_placing, prepare_placing, pour_placing,
                                show_placing, take_placing,    keep_placing};
    /* Files are there before somebody reads in a pager. */
    static step paged[STEPS] = {name_placing, prepare_placing, pour_placing,
                                take_placing, keep_placing,    show_placing};
    step *take = pager_is_wanted() ? paged : steps;
    for (size_t s = 0; s < STEPS; s++)
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
    sigaction(SIGPIPE, &wait, &usual);
    sigaction(SIGXFSZ, &wait, NULL);
    interrupt_tidy(remove_all_fresh);
    interrupt_hold();
    bool done = place_all(&failed);
    int cause = errno;
    for (size_t i = waiting; !done && i-- > 0;)
        undo_placing(&outbox[i]);
    interrupt_release();
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
