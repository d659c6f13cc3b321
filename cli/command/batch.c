/* SPDX-License-Identifier: GPL-3.0-or-later */
/* saltwright batch: many waters in, one row each out. */
#include "io/command.h"
#include "io/complain.h"
#include "io/interrupt.h"
#include "io/output.h"
#include "io/progress.h"
#include "report/batch.h"
#include "report/blocks.h"
#include "run/run.h"
#include "command/show.h"
#include "run/settings.h"

/* A water that cannot be solved gets its row and costs the exit code only. */
static exit_code solve_all(const cli_inputs *shared,
                           const cli_settings *settings, report_batch *batch)
{
    exit_code worst = EXIT_DONE;
    size_t i = 0, count = shared->waters.count;
    const volatile int *stop = interrupt_wait();
    for (; i < count && !*stop; i++) {
        cli_run run = {.solution = NULL};
        run_begin(&run, "batch", shared, settings);
        exit_code code = run_water(&run, shared, i, RUN_JUDGED);
        if (code == EXIT_DONE)
            code = report_exit_code(&run.report);
        else
            complain_file(shared->waters.items[i].water->sample,
                          "this water is left out");
        report_batch_row(batch, shared->waters.items[i].water,
                         run.solution ? &run.report : NULL);
        if (code > worst)
            worst = code;
        run_free(&run);
        progress_step(i + 1, count);
    }
    interrupt_end();
    if (i == count)
        return worst;
    complain_stopped(i, count, "waters");
    return worst > EXIT_UNMET ? worst : EXIT_UNMET;
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

static exit_code batch(const cli_inputs *shared, const cli_settings *settings)
{
    report_batch batch;
    say_assumed(shared);
    report_batch_begin(&batch, shared, settings);
    exit_code worst = solve_all(shared, settings, &batch);
    exit_code code = show_report(report_batch_end(&batch), settings, EXIT_DONE);
    /* The rows are worth having even where a water was left out. */
    if (code == EXIT_DONE)
        code = output_settle(EXIT_DONE);
    return code == EXIT_DONE ? worst : code;
}

static exit_code run(const cli_options *options)
{
    cli_settings settings;
    cli_inputs shared;
    exit_code code = settings_read(options, &settings);
    if (code != EXIT_DONE)
        return code;
    code = inputs_read_shared(options, &settings, &shared);
    if (code == EXIT_DONE)
        code = batch(&shared, &settings);
    inputs_free(&shared);
    return code;
}

static const option_id required[] = {OPT_WATER, OPT_TARGET, OPT_COUNT};

static const option_id taken[] = {
    OPTIONS_WATER,   OPTIONS_TARGET, OPTIONS_SHELF, OPTIONS_CLOSENESS,
    OPT_TEMPERATURE, OPTIONS_DATA,   OPT_COUNT};

const cli_task command_batch = {
    .required = required, .options = taken, .run = run};
