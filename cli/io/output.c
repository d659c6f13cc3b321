/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A recipe cut off in the middle is worse than none, and so is the sheet of
 * one run beside the result of another.  Results wait in memory until the run
 * is over and are then placed together; every write is checked.
 */
#include "io/output.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "io/complain.h"
#include "io/placing.h"

/* What one run writes: its result, a sheet, a curve. */
enum { MOST_RESULTS = 4 };

/* A run has one outbox, and its commands need not know of it. */
static cli_placing outbox[MOST_RESULTS];
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
        (cli_placing){.file = file && strcmp(file, "-") != 0 ? file : NULL,
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
static bool place_all(const cli_placing **failed)
{
    static bool (*const steps[])(cli_placing *) = {placing_prepare,
                                                   placing_pour, placing_take};
    for (size_t s = 0; s < sizeof steps / sizeof steps[0]; s++)
        for (size_t i = 0; i < waiting; i++)
            if (!steps[s](&outbox[i])) {
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
    const cli_placing *failed;
    const struct sigaction wait = {.sa_handler = SIG_IGN};
    struct sigaction usual;
    struct sigaction large;
    sigaction(SIGPIPE, &wait, &usual);
    sigaction(SIGXFSZ, &wait, &large);
    bool done = place_all(&failed);
    int cause = errno;
    for (size_t i = waiting; !done && i-- > 0;)
        placing_undo(&outbox[i]);
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
    if (code <= EXIT_UNMET)
        code = place_or_undo(code);
    while (waiting > 0)
        placing_end(&outbox[--waiting]);
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
