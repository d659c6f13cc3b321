/* SPDX-License-Identifier: GPL-3.0-or-later */
/* saltwright audit: is this lab report believable, and the water fit? */
#include "audit.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "command.h"
#include "complain.h"
#include "memory.h"
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

/* EC at 25 degC over what a bare meter shows of this water. */
static sw_status find_factor(const sw_water *water,
                             const cli_settings *settings, double *factor,
                             sw_error *error)
{
    sw_content per_l;
    sw_chemistry chemistry;
    double bare = 1.0;
    sw_notes notes = {0};
    const sw_conditions *conditions = &settings->conditions;
    sw_status status =
        sw_water_complete(water, conditions, &per_l, &notes, error);
    sw_notes_free(&notes);
    if (status == SW_OK)
        status = sw_equilibrate(&per_l, conditions, SW_CARBONATE_KEPT,
                                &chemistry, error);
    if (status == SW_OK)
        status = sw_ec_at(&per_l, conditions, settings->meter_c, &bare, error);
    if (status == SW_OK)
        *factor = chemistry.ec_ms_per_cm / bare;
    return status;
}

/* The water with its EC, read by a bare meter, reckoned to 25 degC; what else
 * it holds stays the original's. */
static exit_code reckon_ec(const sw_water *water, const cli_settings *settings,
                           sw_water *out)
{
    sw_error error;
    double factor = 1.0;
    *out = *water;
    out->readings = memory_array(water->reading_count, sizeof *out->readings);
    memcpy(out->readings, water->readings,
           water->reading_count * sizeof *out->readings);
    if (isnan(settings->meter_c))
        return EXIT_DONE;
    if (isnan(water->ec_ms_per_cm))
        return complain_usage("audit", "--meter-temperature is of an EC, and "
                                       "the report gives none");
    if (find_factor(water, settings, &factor, &error) != SW_OK)
        return complain_error(&error);
    out->ec_ms_per_cm *= factor;
    for (size_t i = 0; i < out->reading_count; i++)
        if (out->readings[i].kind == SW_READS_EC)
            out->readings[i].value *= factor;
    return EXIT_DONE;
}

/* What the purified water carries; NULL: nothing is known of it. */
static exit_code audit_reckoned(const cli_source *source,
                                const sw_water *reckoned,
                                const cli_sources *purified,
                                const cli_settings *settings)
{
    sw_error error;
    sw_content clean;
    sw_notes notes = {0};
    sw_audit_report *report = NULL;
    const sw_content *blend_with = purified->count ? &clean : NULL;
    exit_code code = EXIT_DONE;
    if (purified->count)
        code = source_complete(&purified->items[0], &settings->conditions,
                               &clean, &notes);
    sw_notes_free(&notes);
    if (code != EXIT_DONE)
        return code;
    if (sw_audit(reckoned, blend_with, &settings->conditions, &report,
                 &error) != SW_OK)
        return complain_error(&error);
    bool read = !isnan(settings->meter_c);
    cli_audit audit = {source, report,
                       read ? source->water->ec_ms_per_cm : (double)NAN,
                       settings->meter_c};
    code = show(&audit, settings);
    sw_audit_report_free(report);
    return code;
}

static exit_code audit_water(const cli_source *source,
                             const cli_sources *purified,
                             const cli_settings *settings)
{
    sw_water reckoned;
    exit_code code = reckon_ec(source->water, settings, &reckoned);
    if (code == EXIT_DONE)
        code = audit_reckoned(source, &reckoned, purified, settings);
    free(reckoned.readings);
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
    cli_settings settings;
    exit_code code = settings_read(options, &settings);
    if (code != EXIT_DONE)
        return code;
    if (options_count(options, OPT_WATER) > 1)
        return complain_usage("audit", "one --water at a time");
    return audit_all(options, &settings);
}

static const option_id required[] = {OPT_WATER, OPT_COUNT};

static const option_id taken[] = {OPT_WATER,       OPT_READ_AS,  OPT_PURIFIED,
                                  OPT_TEMPERATURE, OPT_METER_AT, OPT_FORMAT,
                                  OPT_OUTPUT,      OPT_HELP,     OPT_COUNT};

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
    .required = required,
    .options = taken,
    .run = run};
