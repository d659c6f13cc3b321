/* SPDX-License-Identifier: GPL-3.0-or-later */
/* saltwright audit: is this lab report believable, and the water fit? */
#include "io/command.h"
#include "io/output.h"
#include "report/blocks.h"
#include "command/show.h"

static exit_code run(const cli_options *options)
{
    cli_settings settings;
    settings_read(options, &settings);
    const cli_audit *audit = audit_run(options, &settings);
    exit_code code = show_report(audit->archive ? report_archive(audit)
                                                : report_audit(audit),
                                 &settings, audit_exit_code(audit));
    /* The others are worth having where a sample was left out. */
    if (code > EXIT_UNMET || !audit_refused(audit))
        return code;
    return output_settle(EXIT_DONE) == EXIT_DONE ? EXIT_INPUT : EXIT_INTERNAL;
}

static const option_id taken[] = {OPTIONS_WATER,  OPT_SOLUTION,    OPT_FEED,
                                  OPT_DRAINED,    OPTIONS_TARGET,  OPT_READ_AS,
                                  OPT_PURIFIED,   OPT_TEMPERATURE, OPT_METER_AT,
                                  OPTIONS_RESULT, OPT_COUNT};

const cli_task command_audit = {
    .required = requires_nothing, .options = taken, .run = run};
