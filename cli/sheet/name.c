/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a file is to hold is said by the end of its name. */
#include "sheet/name.h"

#include <string.h>
#include <strings.h>

static bool ends_in(const char *file, const char *suffix)
{
    size_t length = strlen(file);
    size_t tail = strlen(suffix);
    return length > tail && strcasecmp(file + length - tail, suffix) == 0;
}

bool sheet_is_chart(const char *file)
{
    return ends_in(file, ".svg");
}

bool sheet_is_name(const char *file)
{
    return ends_in(file, ".html") || ends_in(file, ".htm") ||
           sheet_is_chart(file);
}
