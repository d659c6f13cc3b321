/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reads a lab report, takes its EC to 25 degC where it was read elsewhere, and
 * audits it. */
#include "run/audit.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "io/complain.h"
#include "io/files.h"
#include "io/memory.h"
#include "run/inputs.h"
#include "sentences_text.h"

size_t audit_count_checks(const cli_audit *audit, sw_finding finding)
{
    size_t count = 0;
    for (size_t i = 0; i < audit->report->check_count; i++)
        count += audit->report->checks[i].finding == finding;
    return count;
}

bool audit_doubts(const sw_note *note)
{
    return note->about & (SW_ABOUT_REPORT | SW_ABOUT_DOUBT);
}

bool audit_gives_gas(const sw_note *note)
{
    return note->about & SW_ABOUT_GAS;
}

static bool has_note(const sw_audit_report *report,
                     bool (*is)(const sw_note *note))
{
    for (size_t i = 0; i < report->notes.count; i++)
        if (is(&report->notes.items[i]))
            return true;
    return false;
}

size_t audit_count_limits(const cli_audit *audit, sw_fitness fitness)
{
    size_t count = 0;
    for (size_t i = 0; i < audit->report->fitness_count; i++)
        count += !audit->report->fitness[i].soil &&
                 audit->report->fitness[i].fitness == fitness;
    return count;
}

bool audit_is_of_solution(const cli_audit *audit)
{
    return audit->source->water->is_solution;
}

/* Limits for irrigation waters do not make a feed unfit. */
static bool is_as_wanted(const sw_audit_report *report)
{
    for (size_t i = 0; i < report->row_count; i++)
        if (sw_is_missed(report->rows[i].verdict))
            return false;
    for (size_t i = 0; i < report->notes.count; i++)
        if (report->notes.items[i].severity == SW_DANGER)
            return false;
    return true;
}

audit_use audit_use_of(const sw_sample_audit *sample)
{
    if (sample->danger)
        return USE_NONE;
    if (sample->finding == SW_DISAGREES || sample->doubtful)
        return USE_UNCLEAR;
    return sample->fitness == SW_UNFIT ? USE_UNSUITABLE
           : sample->fitness == SW_FIT ? USE_FREE
                                       : USE_RESTRICTED;
}

static exit_code archive_exit_code(const cli_audit *audit)
{
    const sw_archive *archive = audit->archive;
    audit_use most =
        audit_is_of_solution(audit) ? USE_UNSUITABLE : USE_RESTRICTED;
    for (size_t i = 0; i < archive->count; i++)
        if (audit_use_of(&archive->samples[i]) > most ||
            archive->samples[i].gas)
            return EXIT_UNMET;
    return EXIT_DONE;
}

/* One file at a time is audited: its first sample has all. */
const sw_waters *audit_refused(const cli_audit *audit)
{
    const cli_source *first = &audit->waters.items[0];
    return !first->asked && first->all->defect_count ? first->all : NULL;
}

exit_code audit_exit_code(const cli_audit *audit)
{
    if (audit->archive)
        return archive_exit_code(audit);
    bool sound = audit_count_checks(audit, SW_DISAGREES) == 0 &&
                 !has_note(audit->report, audit_doubts) &&
                 !has_note(audit->report, audit_gives_gas) &&
                 (audit_is_of_solution(audit)
                      ? is_as_wanted(audit->report)
                      : audit_count_limits(audit, SW_UNFIT) == 0);
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
static void take_to_25(const cli_settings *settings, cli_audit *audit)
{
    sw_error error = {0};
    double factor = 1.0;
    const sw_water *water = audit->source->water;
    sw_water *out = &audit->at_25;
    *out = *water;
    out->readings = memory_array(water->reading_count, sizeof *out->readings);
    memcpy(out->readings, water->readings,
           water->reading_count * sizeof *out->readings);
    if (isnan(settings->meter_c))
        return;
    if (isnan(water->ec_ms_per_cm))
        leave(complain_usage("audit", SAY_TEMPERATURE_WITHOUT_EC));
    expect_ok(find_factor(water, settings, &factor, &error), &error);
    out->ec_ms_per_cm *= factor;
    for (size_t i = 0; i < out->reading_count; i++)
        if (out->readings[i].kind == SW_READS_EC)
            out->readings[i].value *= factor;
}

/* What the purified water carries; no content: nothing is known of it. */
static void hold_against_limits(const cli_settings *settings, cli_audit *out)
{
    sw_error error = {0};
    sw_content clean;
    sw_notes notes = {0};
    bool blends = out->purified.count > 0;
    exit_code code = EXIT_DONE;
    if (blends)
        code = source_complete(&out->purified.items[0], &settings->conditions,
                               &clean, &notes);
    sw_notes_free(&notes);
    leave_unless_done(code);
    expect_ok(sw_audit(&out->at_25, blends ? &clean : NULL,
                       &settings->conditions, &out->report, &error),
              &error);
}

static void audit_solution(const cli_settings *settings, cli_audit *out)
{
    sw_error error = {0};
    sw_sampling sampling = {.sample = &out->at_25,
                            .feed = out->feeds.count ? out->feeds.items[0].water
                                                     : NULL,
                            .target = out->target,
                            .drained = settings->drained};
    expect_ok(sw_audit_solution(&sampling, &settings->conditions, &out->report,
                                &error),
              &error);
}

static void audit_sample(const cli_settings *settings, cli_audit *out)
{
    out->source = &out->waters.items[0];
    out->meter_c = settings->meter_c;
    out->drained = settings->drained;
    out->read_ms_per_cm = isnan(settings->meter_c)
                              ? (double)NAN
                              : out->source->water->ec_ms_per_cm;
    take_to_25(settings, out);
    if (audit_is_of_solution(out))
        audit_solution(settings, out);
    else
        hold_against_limits(settings, out);
}

/* What is asked of one sample. */
static void refuse_of_one(const cli_options *options,
                          const cli_sources *samples)
{
    static const option_id of_one[] = {OPT_FEED,     OPT_DRAINED,  OPT_TARGET,
                                       OPT_METER_AT, OPT_PURIFIED, OPT_COUNT};
    const cli_source *first = &samples->items[0];
    const char *from =
        options_has(options, OPT_SOLUTION) ? "solution" : "water";
    const char *asked = options_any(options, of_one);
    if (asked)
        leave(complain_usage("audit", SAY_ONE_SAMPLE, asked, from, first->file,
                             samples->count, from, first->file,
                             first->water->sample));
}

/* Of their file alone: samples have rows of their own here. */
static void say_of_file(const cli_source *first)
{
    for (size_t i = 0; i < first->notes.count; i++)
        if (first->notes.items[i].about & SW_ABOUT_FILE)
            complain_notes(file_shown_name(first->file),
                           &(sw_notes){&first->notes.items[i], 1});
}

static void audit_archive(const cli_options *options,
                          const cli_settings *settings, cli_audit *out)
{
    sw_error error = {0};
    size_t count = out->waters.count;
    refuse_of_one(options, &out->waters);
    say_of_file(&out->waters.items[0]);
    const sw_water **waters = memory_array(count, sizeof(const sw_water *));
    for (size_t i = 0; i < count; i++)
        waters[i] = out->waters.items[i].water;
    out->source = &out->waters.items[0];
    sw_status status = sw_audit_many(waters, count, &settings->conditions,
                                     &out->archive, &error);
    free(waters);
    expect_ok(status, &error);
}

static void check_options(const cli_options *options)
{
    static const option_id of_solution[] = {OPT_FEED, OPT_DRAINED, OPT_TARGET,
                                            OPT_STAGE, OPT_COUNT};
    static const option_id of_water[] = {OPT_PURIFIED, OPT_COUNT};
    bool solution = options_has(options, OPT_SOLUTION);
    if (solution == options_has(options, OPT_WATER))
        leave(complain_usage("audit", SAY_WATER_OR_SOLUTION));
    if (options_count(options, OPT_WATER) > 1)
        leave(complain_usage("audit", "one --water at a time"));
    if (solution && options_has(options, OPT_STAGE) &&
        !options_has(options, OPT_TARGET))
        leave(complain_usage("audit", SAY_STAGE_NEEDS_STAGES));
    if (solution && options_has(options, OPT_DRAINED) &&
        !options_has(options, OPT_FEED) && !options_has(options, OPT_TARGET))
        leave(complain_usage("audit", SAY_DRAINED_NEEDS_FEED));
    const char *stray = options_any(options, solution ? of_water : of_solution);
    if (stray)
        leave(complain_usage("audit", SAY_SAMPLE_BESIDE, stray,
                             solution ? "source water" : "nutrient solution",
                             solution ? "water" : "solution"));
}

static void free_audit(void *thing)
{
    cli_audit *audit = thing;
    sw_audit_report_free(audit->report);
    sw_archive_free(audit->archive);
    free(audit->at_25.readings);
    sources_free(&audit->waters);
    sources_free(&audit->purified);
    sources_free(&audit->feeds);
}

cli_audit *audit_run(const cli_options *options, const cli_settings *settings)
{
    bool solution = options_has(options, OPT_SOLUTION);
    cli_audit *out = memory_kept(sizeof *out, free_audit);
    check_options(options);
    leave_unless_done(sources_read_all(
        options, solution ? OPT_SOLUTION : OPT_WATER, true, &out->waters));
    leave_unless_done(sources_read(options, OPT_PURIFIED, &out->purified));
    leave_unless_done(sources_read(options, OPT_FEED, &out->feeds));
    if (options_has(options, OPT_TARGET))
        out->target = inputs_read_target(options)->target;
    if (out->waters.count > 1 || audit_refused(out)) {
        audit_archive(options, settings, out);
        return out;
    }
    sources_say(&out->waters);
    audit_sample(settings, out);
    return out;
}
