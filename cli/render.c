/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which renderer, and whether in colour (https://no-color.org). */
#include "render.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

const cli_renderer *renderer_of(cli_format format)
{
    static const cli_renderer *const renderers[] = {
        [FORMAT_TEXT] = &render_text,
        [FORMAT_JSON] = &render_json,
        [FORMAT_CSV] = &render_csv};
    return renderers[format];
}

bool render_in_colour(const cli_settings *settings)
{
    const char *refused = getenv("NO_COLOR");
    const char *terminal = getenv("TERM");
    bool capable = terminal && strcmp(terminal, "dumb") != 0;
    return settings->format == FORMAT_TEXT && !settings->output && capable &&
           !(refused && *refused) && isatty(STDOUT_FILENO);
}
