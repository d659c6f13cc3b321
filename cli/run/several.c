/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is asked of several runs at once. */
#include "run/several.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "io/memory.h"
#include "io/figure.h"

/* A share that shows as nothing. */
static const double least_share = 0.005;

void several_new(cli_several *several, size_t most, const cli_inputs *shared,
                 const cli_settings *settings)
{
    *several =
        (cli_several){.settings = settings,
                      .shared = shared,
                      .runs = memory_array(most, sizeof(cli_run)),
                      .reports = memory_array(most, sizeof(const cli_report *)),
                      .names = memory_array(most, sizeof(char *))};
}

cli_run *several_add(cli_several *several, const char *name)
{
    size_t index = several->count++;
    several->names[index] = memory_text(name);
    several->reports[index] = &several->runs[index].report;
    return &several->runs[index];
}

void several_free(cli_several *several)
{
    for (size_t i = 0; i < several->count; i++) {
        run_free(&several->runs[i]);
        free(several->names[i]);
    }
    free(several->runs);
    free(several->reports);
    free(several->names);
    free(several->water_price);
    sw_blend_free(several->blend);
    sw_choice_free(several->choice);
}

cli_figure several_mix_name(const cli_settings *settings)
{
    cli_figure out;
    snprintf(out.text, sizeof out.text, "%s mix",
             sw_objective_text(settings->objective));
    return out;
}

void several_say_shares(const cli_several *several, size_t run, char *text,
                        size_t size)
{
    const cli_report *report = several->reports[run];
    size_t count = report->inputs->waters.count;
    text[0] = '\0';
    for (size_t k = 0; count > 1 && k < count; k++) {
        size_t used = strlen(text);
        if (report_share(report, k) >= least_share)
            snprintf(text + used, size - used, "%s%s %.60s", used ? ", " : "",
                     figure_percent(report_share(report, k)).text,
                     report->inputs->waters.items[k].water->sample);
    }
}

cli_handled several_handled(const cli_several *several)
{
    cli_handled handled = {.count = 0};
    for (size_t i = 0; i < several->count; i++)
        cautions_add(&handled, several->reports[i]);
    return handled;
}

exit_code several_exit_code(const cli_several *several)
{
    const sw_choice *choice = several->choice;
    if (choice)
        return choice->usable
                   ? report_exit_code(several->reports[choice->chosen])
                   : EXIT_UNMET;
    for (size_t i = 0; i < several->count; i++)
        if (report_exit_code(several->reports[i]) != EXIT_DONE)
            return EXIT_UNMET;
    return EXIT_DONE;
}
