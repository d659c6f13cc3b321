/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Status codes, their texts, and the one way an sw_error is filled.  Codes
 * and texts come from SW_STATUS_LIST in the public header.
 */
#include "quantity/status.h"

#include "quantity/text.h"

#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

const char *sw_version(void)
{
    return SW_VERSION;
}

const char *sw_status_text(sw_status status)
{
    switch (status) {
#define STATUS_TEXT(code, text)                                                \
    case code:                                                                 \
        return text;
        SW_STATUS_LIST(STATUS_TEXT)
#undef STATUS_TEXT
    }
    return "unknown status";
}

static void fill(sw_error *error, sw_status status, const sw_place *place,
                 const char *format, va_list args)
{
    if (!error)
        return;
    memset(error, 0, sizeof *error);
    error->status = status;
    vsnprintf(error->message, sizeof error->message, format, args);
    sw_text_mend(error->message);
    if (place) {
        snprintf(error->file, sizeof error->file, "%s",
                 place->file ? place->file : "");
        error->line = place->line;
        error->column = place->column;
    }
}

sw_status sw_fail(sw_error *error, sw_status status, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    fill(error, status, NULL, format, args);
    va_end(args);
    return status;
}

sw_status sw_fail_at(sw_error *error, const sw_place *place, sw_status status,
                     const char *format, ...)
{
    va_list args;
    va_start(args, format);
    fill(error, status, place, format, args);
    va_end(args);
    return status;
}

sw_status sw_fail_memory(sw_error *error)
{
    return sw_fail(error, SW_ERR_MEMORY, "out of memory");
}

sw_status sw_of_trial(sw_status status)
{
    return status == SW_ERR_MEMORY ? status : SW_OK;
}

void sw_free_all(void *const *blocks, size_t count)
{
    for (size_t i = 0; i < count; i++)
        free(blocks[i]);
}

void *sw_grow(void *items, size_t count, size_t size)
{
    enum { LEAST = 8 };
    bool fills = count >= LEAST && (count & (count - 1)) == 0;
    if (count && !fills)
        return items;
    return realloc(items, (count ? 2 * count : LEAST) * size);
}

bool sw_any_missing(const void *const *given, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (!given[i])
            return true;
    return false;
}

const sw_mix *sw_whole_mix(const sw_mix *mix)
{
    return mix && mix->water && mix->shelf && mix->recipe ? mix : NULL;
}

const sw_mix *sw_aimed_mix(const sw_mix *mix)
{
    return sw_whole_mix(mix) && mix->target ? mix : NULL;
}

const sw_problem *sw_whole_problem(const sw_problem *problem)
{
    bool whole =
        problem && problem->waters && problem->target && problem->shelf;
    return whole ? problem : NULL;
}
