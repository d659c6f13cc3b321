/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Complaints on standard error.  File names and cells come from outside, so
 * every message passes through text_safe: a product name cannot move the
 * cursor or turn the line around.
 */
#include "io/complain.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "io/progress.h"
#include "io/safe.h"

enum { MESSAGE_BYTES = 2048, PLACE_BYTES = 512 };

/* Of a thread whose complaints wait for their turn; NULL: nobody's do. */
static _Thread_local FILE *held;

FILE *complain_hold(FILE *to)
{
    FILE *before = held;
    held = to;
    return before;
}

static void put_safe(FILE *out, const char *text)
{
    char safe[4 * MESSAGE_BYTES];
    text_safe(safe, sizeof safe, text);
    fputs(safe, out);
}

static void put_line(const char *place, const char *severity,
                     const char *message)
{
    char short_place[PLACE_BYTES];
    FILE *out = held ? held : stderr;
    if (!held)
        progress_clear();
    snprintf(short_place, sizeof short_place, "%s", place);
    put_safe(out, short_place);
    fprintf(out, ": %s: ", severity);
    put_safe(out, message);
    fputc('\n', out);
}

void complain_held(const char *text)
{
    progress_clear();
    fputs(text, stderr);
}

static void put_words(const char *place, const char *severity,
                      const char *format, va_list list)
{
    char message[MESSAGE_BYTES];
    vsnprintf(message, sizeof message, format, list);
    put_line(place, severity, message);
}

void complain_lack(const char *format, ...)
{
    va_list list;
    va_start(list, format);
    put_words("saltwright", "error", format, list);
    va_end(list);
}

exit_code complain_try(const char *command, bool lays_out)
{
    fprintf(stderr, "Try: %ssaltwright %s%s--help\n",
            lays_out ? "saltwright start FOLDER, which lays out the files to "
                       "fill in; or "
                     : "",
            command ? command : "", command ? " " : "");
    return EXIT_USAGE;
}

exit_code complain_usage(const char *command, const char *format, ...)
{
    va_list list;
    va_start(list, format);
    put_words("saltwright", "error", format, list);
    va_end(list);
    return complain_try(command, false);
}

exit_code complain_file(const char *file, const char *format, ...)
{
    va_list list;
    va_start(list, format);
    put_words(file, "error", format, list);
    va_end(list);
    return EXIT_INPUT;
}

near_words complain_near(const char *word, const char *const *words,
                         size_t count)
{
    near_words out = {""};
    const char *near = sw_nearest_word(word, words, count);
    if (near)
        snprintf(out.text, sizeof out.text, "; did you mean %.100s?", near);
    return out;
}

/* Whether the fault lies in what was given rather than in the program. */
static bool input_is_at_fault(sw_status status)
{
    return status != SW_ERR_MEMORY && status != SW_ERR_NUMERIC &&
           status != SW_ERR_SOLVER;
}

exit_code complain_error(const sw_error *error)
{
    char place[sizeof error->file + 64];
    const char *file = error->file[0] ? error->file : "saltwright";
    if (error->file[0] && error->line && error->column)
        snprintf(place, sizeof place, "%s:%lu:%lu", file, error->line,
                 error->column);
    else if (error->file[0] && error->line)
        snprintf(place, sizeof place, "%s:%lu", file, error->line);
    else
        snprintf(place, sizeof place, "%s", file);
    put_line(place, "error", error->message);
    return input_is_at_fault(error->status) ? EXIT_INPUT : EXIT_INTERNAL;
}

exit_code complain_option(const char *option, const sw_error *error)
{
    if (!input_is_at_fault(error->status))
        return complain_error(error);
    return complain_usage(NULL, "--%s: %s", option, error->message);
}

void complain_warn(const char *format, ...)
{
    va_list list;
    va_start(list, format);
    put_words("saltwright", "warning", format, list);
    va_end(list);
}

exit_code complain_memory(void)
{
    fputs("saltwright: error: out of memory\n", stderr);
    return EXIT_INTERNAL;
}

/* The note without the name of the file that stands before it. */
static void strip_file(const char *file, char *text)
{
    char beside[300];
    size_t length = strlen(file);
    (void)snprintf(beside, sizeof beside, " (%s)", file);
    char *at = strstr(text, beside);
    if (at)
        memmove(at, at + strlen(beside), strlen(at + strlen(beside)) + 1);
    if (!strncmp(text, file, length) && !strncmp(text + length, ": ", 2))
        memmove(text, text + length + 2, strlen(text + length + 2) + 1);
}

void complain_notes(const char *file, const sw_notes *notes)
{
    for (size_t i = 0; i < notes->count; i++) {
        sw_note note = notes->items[i];
        strip_file(file, note.text);
        put_line(file, note.severity == SW_INFO ? "note" : "warning",
                 note.text);
    }
}
