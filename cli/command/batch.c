/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * saltwright batch: many waters in, one row each out, as they come.
 *
 * Waters are taken in lots.  A lot is solved and its rows are written, into
 * memory, by one thread; lots go out in the order of the waters.  So what is
 * held does not grow with their number, and no number of threads changes a
 * byte of the result.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "io/command.h"
#include "io/complain.h"
#include "io/files.h"
#include "io/interrupt.h"
#include "io/memory.h"
#include "io/ordered.h"
#include "io/output.h"
#include "io/progress.h"
#include "report/batch.h"
#include "report/blocks.h"
#include "run/flow.h"
#include "run/run.h"
#include "command/show.h"
#include "run/settings.h"
#include "sentences_text.h"

enum {
    LOT = 256,
    TOLD_WATERS = 200, /* that cannot be used; the rows say it of the others */
    TOLD_NOTES = 200
};

/* What is written meanwhile, in memory. */
typedef struct text_file {
    FILE *stream;
    char *text;
    size_t size;
} text_file;

typedef struct batch_lot {
    cli_part *part;
    report_batch found;
    text_file rows, said;
    size_t done, failed;
    exit_code worst;
    bool cut; /* it ends before its last water */
} batch_lot;

typedef struct batch_run {
    const cli_settings *settings;
    const cli_inputs *shared;
    sw_content purified; /* that may be mixed in */
    cli_flow *flow;
    sw_solver **solvers; /* one for each thread */
    report_batch all;
    cli_output output;
    text_file ending;  /* what kept the flow from going on, */
    exit_code reading; /* and what is to be said of it */
    size_t done, failed, notes;
    exit_code worst;
    bool broken_off; /* what was read ahead, the first lot, is all there is */
    bool begun;      /* it is taken */
    bool ended;      /* nothing more goes out */
} batch_run;

static void open_text(text_file *file)
{
    file->stream = memory_stream(&file->text, &file->size);
}

static void close_text(text_file *file)
{
    memory_close(file->stream, &file->text);
}

static void worsen(exit_code *worst, exit_code code)
{
    if (code > *worst)
        *worst = code;
}

/* ---- A water ------------------------------------------------------------*/

/* The share of purified water that would meet what the recipe misses; NaN for
 * none. */
static exit_code find_purified(const batch_run *batch, const cli_run *run,
                               double *share)
{
    sw_error error = {0};
    const cli_report *report = &run->report;
    *share = (double)NAN;
    if (report->assessment && report->assessment->all_met)
        return EXIT_DONE;
    sw_problem problem = run_problem_asked(report->inputs, batch->settings);
    return sw_purified_least(report->inputs->solver, &problem, &batch->purified,
                             share, &error) == SW_OK
               ? EXIT_DONE
               : complain_error(&error);
}

/* NULL of its text: memory ran out, which closing it tells. */
static size_t said_so_far(const batch_lot *lot)
{
    (void)fflush(lot->said.stream);
    return lot->said.size;
}

/* A water that cannot be used has its row, with the first thing that is wrong;
 * `before`: where complaints of it begin. */
static void fail_water(batch_lot *lot, const sw_water *water, size_t before)
{
    static const char mark[] = "error: ";
    size_t after = said_so_far(lot);
    char *reason = memory_text(
        lot->said.text && after > before ? lot->said.text + before : "");
    char *at = strstr(reason, mark);
    if (at)
        memmove(at, at + sizeof mark - 1, strlen(at) - sizeof mark + 2);
    reason[strcspn(reason, "\n")] = '\0';
    report_batch_failed(&lot->found, water->sample, reason);
    free(reason);
    lot->failed++;
}

/* What reading it found, where reading its lot warned of anything. */
static exit_code take_notes(const batch_lot *lot, cli_source *source)
{
    sw_error error = {0};
    const sw_waters *waters = lot->part->waters;
    bool warns = !waters;
    for (size_t i = 0; waters && i < waters->notes.count && !warns; i++)
        warns = waters->notes.items[i].severity >= SW_WARNING;
    return !warns || sw_water_notes(source->water, &source->notes, &error) ==
                         SW_OK
               ? EXIT_DONE
               : complain_error(&error);
}

/* False where the run is to end for it. */
static bool solve_water(const batch_run *batch, const cli_inputs *inputs,
                        batch_lot *lot, size_t index)
{
    double purified;
    cli_run run = {.solution = NULL};
    size_t before = said_so_far(lot);
    run_begin(&run, "batch", inputs, batch->settings);
    exit_code code = part_is_sound(lot->part, index)
                         ? run_water(&run, inputs, index, true)
                         : EXIT_INPUT;
    if (code == EXIT_DONE)
        code = run_judge(&run, &run.solution->water, true);
    if (code == EXIT_DONE)
        code = find_purified(batch, &run, &purified);
    if (code == EXIT_DONE)
        code = take_notes(lot, &inputs->waters.items[index]);
    if (code == EXIT_DONE) {
        report_batch_row(&lot->found, &run.report, purified);
        code = report_exit_code(&run.report);
    } else if (!batch->settings->strict) {
        fail_water(lot, inputs->waters.items[index].water, before);
    }
    worsen(&lot->worst, code);
    sw_notes_free(&inputs->waters.items[index].notes);
    sw_notes_free(&inputs->waters.items[index].doubts);
    run_free(&run);
    return code <= EXIT_UNMET || !batch->settings->strict;
}

/* ---- A lot --------------------------------------------------------------*/

static void *take_lot(void *context)
{
    cli_part *part;
    batch_run *batch = context;
    if (interrupt_asked() || (batch->broken_off && batch->begun))
        return NULL;
    batch->begun = true;
    FILE *before = complain_hold(batch->ending.stream);
    batch->reading = flow_next(batch->flow, LOT, &part);
    complain_hold(before);
    if (!part)
        return NULL;
    batch_lot *taken = memory_array(1, sizeof *taken);
    taken->part = part;
    return taken;
}

static void solve_lot(void *context, size_t worker, void *piece)
{
    batch_lot *lot = piece;
    const batch_run *batch = context;
    cli_inputs inputs = *batch->shared;
    inputs.solver = batch->solvers[worker];
    inputs.waters = lot->part->sources;
    open_text(&lot->rows);
    open_text(&lot->said);
    FILE *before = complain_hold(lot->said.stream);
    report_batch_begin(&lot->found, batch->shared, batch->settings);
    while (lot->done < inputs.waters.count && !lot->cut) {
        lot->cut =
            interrupt_asked() || !solve_water(batch, &inputs, lot, lot->done);
        lot->done += !lot->cut;
    }
    if (lot->done)
        show_lines(lot->found.report, batch->settings, lot->rows.stream);
    complain_hold(before);
    close_text(&lot->rows);
    close_text(&lot->said);
}

static void free_lot(batch_lot *lot)
{
    report_batch_free(&lot->found);
    part_free(lot->part);
    free(lot->rows.text);
    free(lot->said.text);
    free(lot);
}

/* What is worth saying of its waters, as long as somebody will read it. */
static void say_notes(batch_run *batch, const cli_part *part)
{
    sw_notes notes = part->waters ? part->waters->notes : (sw_notes){0};
    size_t all = notes.count;
    size_t room = batch->notes < TOLD_NOTES ? TOLD_NOTES - batch->notes : 0;
    notes.count = all < room ? all : room;
    batch->notes += all;
    complain_notes(file_shown_name(part->file), &notes);
}

static void pass_on(batch_run *batch, const batch_lot *lot)
{
    bool passed = true;
    say_notes(batch, lot->part);
    if (batch->failed < TOLD_WATERS)
        complain_held(lot->said.text);
    if (lot->done) {
        if (batch->done)
            show_between(batch->settings, batch->output.stream);
        passed = output_pass(&batch->output, lot->rows.text, lot->rows.size);
    }
    report_batch_add(&batch->all, &lot->found);
    batch->done += lot->done;
    batch->failed += lot->failed;
    batch->ended = lot->cut || !passed;
    worsen(&batch->worst, lot->worst);
    progress_flow(batch->done, lot->part->share);
}

static bool give_lot(void *context, void *piece)
{
    batch_run *batch = context;
    if (!batch->ended)
        pass_on(batch, piece);
    free_lot(piece);
    return !batch->ended;
}

/* ---- All ----------------------------------------------------------------*/

static void say_end(const batch_run *batch, bool stopped)
{
    if (!batch->broken_off)
        complain_held(batch->ending.text);
    if (batch->reading != EXIT_DONE && !batch->broken_off)
        complain_warn(SAY_BATCH_CUT, batch->done);
    if (batch->notes > TOLD_NOTES)
        complain_warn(SAY_BATCH_NOTES_LEFT_OUT, batch->notes - TOLD_NOTES);
    if (batch->failed)
        complain_warn(SAY_BATCH_UNUSABLE, batch->failed, batch->done);
    if (stopped)
        complain_warn(SAY_BATCH_STOPPED, batch->done);
}

static void solve_all(batch_run *batch)
{
    const ordered_work work = {take_lot, solve_lot, give_lot, batch};
    size_t jobs = batch->settings->jobs > 0.0 ? (size_t)batch->settings->jobs
                                              : ordered_processors();
    sw_error error = {0};
    batch->solvers = memory_array(jobs, sizeof(sw_solver *));
    for (size_t i = 0; i < jobs; i++)
        if (sw_solver_new(&batch->solvers[i], &error) != SW_OK)
            exit((int)complain_memory());
    open_text(&batch->ending);
    (void)interrupt_wait();
    ordered_run(&work, jobs);
    bool stopped = interrupt_end() || batch->broken_off;
    if (!batch->broken_off)
        worsen(&batch->worst, batch->reading);
    close_text(&batch->ending);
    say_end(batch, stopped);
    if (stopped)
        worsen(&batch->worst, EXIT_UNMET);
    free(batch->ending.text);
    for (size_t i = 0; i < jobs; i++)
        sw_solver_free(batch->solvers[i]);
    free(batch->solvers);
}

/* Rows leave no room for it. */
static void say_assumed(const cli_inputs *shared)
{
    sw_note note = {.severity = SW_INFO, .text = "assumed: "};
    const sw_shelf *shelf = shared->shelf;
    for (size_t j = 0; shared->shelf_assumed && j < shelf->count; j++)
        text_join(note.text, sizeof note.text, j ? ", " : "", "%s",
                  shelf->products[j].name);
    if (shared->shelf_assumed)
        complain_notes(shelf->name, &(sw_notes){&note, 1});
}

static void take_purified(const cli_options *options, batch_run *batch)
{
    cli_sources sources;
    sw_notes notes = {0};
    exit_code code = sources_read_purified(options, &sources);
    if (code == EXIT_DONE)
        code = source_complete(&sources.items[0], &batch->settings->conditions,
                               &batch->purified, &notes);
    if (code == EXIT_DONE && !sw_alkalinity_is_known(&batch->purified))
        complain_notes(file_shown_name(sources.items[0].file), &notes);
    sw_notes_free(&notes);
    sources_free(&sources);
    leave_unless_done(code);
}

static exit_code show_all(batch_run *batch)
{
    const cli_settings *settings = batch->settings;
    say_assumed(batch->shared);
    output_stream(&batch->output, settings->output);
    report_batch_begin(&batch->all, batch->shared, settings);
    show_head(batch->all.report, settings, batch->output.stream);
    solve_all(batch);
    report_batch_end(&batch->all);
    show_end(batch->all.report, settings, batch->all.mixed > 0,
             batch->output.stream);
    report_batch_free(&batch->all);
    exit_code code = output_deliver(&batch->output, settings->output);
    /* The rows are worth having even where waters could not be used. */
    if (code == EXIT_DONE)
        code = output_settle(EXIT_DONE);
    return code == EXIT_DONE ? batch->worst : code;
}

static exit_code run(const cli_options *options)
{
    cli_settings settings;
    batch_run batch = {.settings = &settings};
    settings_read(options, &settings);
    (void)interrupt_wait(); /* a slow pipe may not have filled a block */
    interrupt_reading(true);
    exit_code code = flow_open(options, &batch.flow);
    batch.broken_off = interrupt_end();
    batch.shared = inputs_read_aim(options, &settings, code);
    take_purified(options, &batch);
    return show_all(&batch);
}

static const option_id taken[] = {
    OPTIONS_WATER,     OPT_PURIFIED,    OPTIONS_TARGET, OPTIONS_SHELF,
    OPTIONS_CLOSENESS, OPT_TEMPERATURE, OPT_STRICT,     OPT_JOBS,
    OPTIONS_DATA,      OPT_COUNT};

const cli_task command_batch = {
    .required = requires_aim, .options = taken, .run = run};
