/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * STOP, before everything else.
 */
#include "text/parts.h"

#include <string.h>

#include "stop.h"

void part_water_name(const cli_page *page, const char *term, const char *share,
                     const sw_water *water)
{
    if (strcmp(water->sample, water->file) == 0)
        page_entry(page, 6, term, "%s%s", share, water->file);
    else
        page_entry(page, 6, term, "%s%s (%s)", share, water->sample,
                   water->file);
}

static void put_reason(void *context, const sw_note *note)
{
    page_paragraph(context, 2, 4, "- Danger: %s", note->text);
}

static void put_change(void *context, const char *change)
{
    page_paragraph(context, 2, 4, "- %s", change);
}

void part_stop(const cli_page *page, const char *words)
{
    page_word(page, TONE_BAD, "STOP. Danger: ");
    page_word(page, TONE_BAD, words);
    fputc('\n', page->out);
}

void part_opening(const cli_page *page, const cli_report *report)
{
    cli_page own = *page;
    if (!stop_is_asked(report))
        return;
    part_stop(page, stop_words);
    stop_visit_reasons(report, put_reason, &own);
    page_title(page, "What to change");
    stop_visit_changes(report, put_change, &own);
    fputc('\n', page->out);
}
