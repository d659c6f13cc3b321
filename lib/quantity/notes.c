/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lists of notes: what a call found worth saying without failing. */
#include "quantity/notes.h"

#include "quantity/text.h"

#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

SW_TEXTS(sw_severity_text, sw_severity, "unknown", "info", "warning", "danger")

SW_TEXTS(sw_signal_text, sw_severity, "", "", "Warning", "Danger")

/* Where a list stands that memory ran out for: it stays empty. */
static const sw_note lost = {.code = "lost"};

static bool is_lost(const sw_notes *notes)
{
    return notes->items == &lost;
}

static void lose(sw_notes *notes)
{
    sw_notes_free(notes);
    notes->items = (sw_note *)&lost; /* never written to: the count stays 0 */
}

static sw_note *next_note(sw_notes *notes)
{
    size_t count = notes->count + 1;
    sw_note *items =
        is_lost(notes) ? NULL : realloc(notes->items, count * sizeof *items);
    if (!items) {
        lose(notes);
        return NULL;
    }
    notes->items = items;
    notes->count = count;
    return &items[count - 1];
}

bool sw_notes_found(sw_notes *notes, sw_status status)
{
    if (status == SW_ERR_MEMORY)
        lose(notes);
    return status == SW_OK;
}

sw_status sw_notes_add(sw_notes *notes, unsigned kind, const char *code,
                       const char *format, ...)
{
    static const char cut[] = "...";
    va_list args;
    sw_note *note = next_note(notes);
    if (!note)
        return SW_ERR_MEMORY;
    memset(note, 0, sizeof *note);
    note->severity = (sw_severity)(kind % SW_ABOUT_PH);
    note->about = kind - note->severity;
    snprintf(note->code, sizeof note->code, "%s", code);
    va_start(args, format);
    int length = vsnprintf(note->text, sizeof note->text, format, args);
    va_end(args);
    if (length >= (int)sizeof note->text)
        memcpy(note->text + sizeof note->text - sizeof cut, cut, sizeof cut);
    sw_text_mend(note->text);
    return SW_OK;
}

sw_status sw_notes_append(sw_notes *notes, const sw_notes *from)
{
    for (size_t i = 0; i < from->count; i++) {
        sw_note *note = next_note(notes);
        if (!note)
            return SW_ERR_MEMORY;
        *note = from->items[i];
    }
    return SW_OK;
}

const sw_note *sw_notes_find(const sw_notes *notes, const char *code)
{
    for (size_t i = 0; notes && code && i < notes->count; i++)
        if (!strcmp(notes->items[i].code, code))
            return &notes->items[i];
    return NULL;
}

bool sw_notes_are_about(const sw_notes *notes, size_t from, unsigned about)
{
    for (size_t i = from; i < notes->count; i++)
        if (notes->items[i].about & about)
            return true;
    return false;
}

size_t sw_notes_dangers(const sw_notes *notes)
{
    size_t count = 0;
    for (size_t i = 0; i < notes->count; i++)
        count += notes->items[i].severity == SW_DANGER;
    return count;
}

sw_status sw_notes_status(const sw_notes *notes, sw_error *error)
{
    return is_lost(notes) ? sw_fail_memory(error) : SW_OK;
}

void sw_notes_free(sw_notes *notes)
{
    if (!notes)
        return;
    if (!is_lost(notes))
        free(notes->items);
    *notes = (sw_notes){.items = NULL};
}

const char *sw_figure(double value, char text[SW_FIGURE_BYTES])
{
    double size = fabs(value);
    int decimals = size >= 99.95    ? 0
                   : size >= 9.995  ? 1
                   : size >= 0.9995 ? 2
                                    : 3;
    snprintf(text, SW_FIGURE_BYTES, "%.*f", decimals, value);
    return text;
}
