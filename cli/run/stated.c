/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a report of a water leaves open: stated by options, or asked for. */
#include "run/stated.h"

#include <stdlib.h>
#include <string.h>

#include "io/command.h"
#include "io/complain.h"
#include "io/memory.h"
#include "io/safe.h"
#include "sentences_text.h"

char *stated_of(const cli_options *options)
{
    size_t size = 0;
    char *text = NULL;
    FILE *out = memory_stream(&text, &size);
    if (options_has(options, OPT_UNITS))
        fputs(options_value(options, OPT_UNITS, 0), out);
    for (size_t i = 0; i < options_count(options, OPT_READ_AS); i++)
        if (strchr(options_value(options, OPT_READ_AS, i), '='))
            fprintf(out, ";%s", options_value(options, OPT_READ_AS, i));
    if (fclose(out) != 0)
        exit((int)complain_memory());
    return text;
}

sw_error stated_asks(const cli_options *options, const sw_water_defect *defect)
{
    sw_error asks = defect->error;
    size_t used = strlen(asks.message);
    char list[sizeof asks.message] = "";
    if (!command_takes(options->command, OPT_READ_AS))
        return asks;
    for (const char *at = defect->choices; *at;) {
        size_t length = strcspn(at, "|");
        text_join(list, sizeof list, " or ", "--read-as \"%.*s\"", (int)length,
                  at);
        at += length + (at[length] == '|');
    }
    if (*list && used + strlen(list) + 16 < sizeof asks.message)
        snprintf(asks.message + used, sizeof asks.message - used,
                 SAY_READ_AS_WHICH, list);
    return asks;
}
