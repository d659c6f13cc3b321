/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * STOP, before everything else.
 */
#include "text/parts.h"

#include <string.h>

void part_water_name(const cli_page *page, const char *term, const char *share,
                     const sw_water *water)
{
    if (strcmp(water->sample, water->file) == 0)
        page_entry(page, 6, term, "%s%s", share, water->file);
    else
        page_entry(page, 6, term, "%s%s (%s)", share, water->sample,
                   water->file);
}

void part_stop(const cli_page *page, const char *words)
{
    page_word(page, TONE_BAD, "STOP. Danger: ");
    page_word(page, TONE_BAD, words);
    fputc('\n', page->out);
}
