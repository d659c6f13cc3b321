/* SPDX-License-Identifier: GPL-3.0-or-later */
/* saltwright audit: is this lab report believable, and the water fit? */
#include "audit.h"
#include "command.h"
#include "complain.h"
#include "output.h"
#include "render.h"
#include "settings.h"

size_t audit_count_checks(const cli_audit *audit, sw_finding finding)
{
    size_t count = 0;
    for (size_t i = 0; i < audit->report->check_count; i++)
        count += audit->report->checks[i].finding == finding;
    return count;
}

size_t audit_count_limits(const cli_audit *audit, sw_fitness fitness)
{
    size_t count = 0;
    for (size_t i = 0; i < audit->report->fitness_count; i++)
        count += audit->report->fitness[i].fitness == fitness;
    return count;
}

exit_code audit_exit_code(const cli_audit *audit)
{
    bool sound = audit_count_checks(audit, SW_DISAGREES) == 0 &&
                 audit_count_limits(audit, SW_UNFIT) == 0;
    return sound ? EXIT_DONE : EXIT_UNMET;
}

static exit_code show(const cli_audit *audit, const cli_settings *settings)
{
    cli_output output;
    output_open(&output);
    cli_canvas canvas = {output.stream, render_in_colour(settings)};
    renderer_of(settings->format)->audit(&canvas, audit);
    exit_code code = output_deliver(&output, settings->output);
    return code == EXIT_DONE ? audit_exit_code(audit) : code;
}

/* What the purified water carries; NULL: nothing is known of it. */
static exit_code audit_water(const cli_source *source,
                             const cli_sources *purified,
                             const cli_settings *settings)
{
    sw_error error;
    sw_content clean;
    sw_notes notes = {0};
    sw_audit_report *report = NULL;
    const sw_content *blend_with = purified->count ? &clean : NULL;
    sw_status status = SW_OK;
    if (purified->count)
        status =
            sw_water_complete(purified->items[0].water, &settings->conditions,
                              &clean, &notes, &error);
    sw_notes_free(&notes);
    if (status == SW_OK)
        status = sw_audit(source->water, blend_with, &settings->conditions,
                          &report, &error);
    if (status != SW_OK)
        return complain_error(&error);
    cli_audit audit = {source, report};
    exit_code code = show(&audit, settings);
    sw_audit_report_free(report);
    return code;
}

static exit_code audit_all(const cli_options *options,
                           const cli_settings *settings)
{
    cli_sources waters;
    cli_sources purified = {0};
    exit_code code = sources_read(options, OPT_WATER, &waters);
    if (code == EXIT_DONE)
        code = sources_read(options, OPT_PURIFIED, &purified);
    if (code == EXIT_DONE)
        code = audit_water(&waters.items[0], &purified, settings);
    sources_free(&waters);
    sources_free(&purified);
    return code;
}

static exit_code run(const cli_options *options)
{
    static const option_id required[] = {OPT_WATER, OPT_COUNT};
    cli_settings settings;
    exit_code code = options_require(options, required);
    if (code == EXIT_DONE)
        code = settings_read(options, &settings);
    if (code != EXIT_DONE)
        return code;
    if (options_count(options, OPT_WATER) > 1)
        return complain_usage("audit", "one --water at a time");
    return audit_all(options, &settings);
}

static const option_id taken[] = {OPT_WATER,       OPT_READ_AS, OPT_PURIFIED,
                                  OPT_TEMPERATURE, OPT_FORMAT,  OPT_OUTPUT,
                                  OPT_HELP,        OPT_COUNT};

const cli_command command_audit = {
    .name = "audit",
    .summary = "is this lab report believable, and the water fit for use?",
    .operands = "",
    .explanation =
        "Holds a lab report against itself (charge, EC, dissolved solids, "
        "hardness, pH), proposes what may have been misread where it does not "
        "agree, and holds the water against published limits. It ends with 1 "
        "when a check disagrees or the water is unfit for some use.",
    .example = "saltwright audit --water examples/well.csv",
    .options = taken,
    .run = run};
