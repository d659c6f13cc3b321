/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Safety, of several recipes together. */
#include "text/parts.h"

#include "cautions.h"

void part_gear(const cli_page *page, const cli_handled *handled)
{
    char text[256];
    cautions_gear(handled, text, sizeof text);
    page_paragraph(page, 2, 2, "%s", text);
}

void part_cautions(const cli_page *page, const cli_handled *handled)
{
    static const char *const words[] = {
        [SW_INFO] = "", [SW_WARNING] = "Warning: ", [SW_DANGER] = "Danger: "};
    sw_notes cautions;
    cautions_find(handled, &cautions);
    page_title(page, "Safety");
    for (size_t i = 0; i < cautions.count; i++)
        if (!cautions_is_gear(&cautions.items[i]))
            page_paragraph(page, 2, 4, "- %s%s",
                           words[cautions.items[i].severity],
                           cautions.items[i].text);
    sw_notes_free(&cautions);
}
