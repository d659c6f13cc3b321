/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reads a lab report, takes its EC to 25 degC where it was read elsewhere, and
 * audits it. */
#include "run/audit.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "io/complain.h"
#include "io/memory.h"

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

/* The water with its EC, read by a bare meter, taken to 25 degC; what else it
 * holds stays the original's. */
static exit_code take_to_25(const sw_water *water, const cli_settings *settings,
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

/* What the purified water carries; no content: nothing is known of it. */
static exit_code hold_against_limits(const sw_water *water,
                                     const cli_settings *settings,
                                     cli_audit *out)
{
    sw_error error;
    sw_content clean;
    sw_notes notes = {0};
    bool blends = out->purified.count > 0;
    exit_code code = EXIT_DONE;
    if (blends)
        code = source_complete(&out->purified.items[0], &settings->conditions,
                               &clean, &notes);
    sw_notes_free(&notes);
    if (code == EXIT_DONE &&
        sw_audit(water, blends ? &clean : NULL, &settings->conditions,
                 &out->report, &error) != SW_OK)
        code = complain_error(&error);
    return code;
}

static exit_code audit_water(const cli_settings *settings, cli_audit *out)
{
    sw_water water;
    out->source = &out->waters.items[0];
    out->meter_c = settings->meter_c;
    out->read_ms_per_cm = isnan(settings->meter_c)
                              ? (double)NAN
                              : out->source->water->ec_ms_per_cm;
    exit_code code = take_to_25(out->source->water, settings, &water);
    if (code == EXIT_DONE)
        code = hold_against_limits(&water, settings, out);
    free(water.readings);
    return code;
}

exit_code audit_run(const cli_options *options, const cli_settings *settings,
                    cli_audit *out)
{
    *out = (cli_audit){.report = NULL};
    exit_code code = sources_read(options, OPT_WATER, &out->waters);
    if (code == EXIT_DONE)
        code = sources_read(options, OPT_PURIFIED, &out->purified);
    return code == EXIT_DONE ? audit_water(settings, out) : code;
}

void audit_free(cli_audit *audit)
{
    sw_audit_report_free(audit->report);
    sources_free(&audit->waters);
    sources_free(&audit->purified);
}
