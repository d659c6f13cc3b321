/* SPDX-License-Identifier: GPL-3.0-or-later */
/* saltwright audit: is this lab report believable, and the water fit? */
#include "io/command.h"
#include "io/complain.h"
#include "io/output.h"
#include "report/blocks.h"
#include "command/show.h"

static exit_code run(const cli_options *options)
{
    cli_settings settings;
    cli_audit audit;
    exit_code code = settings_read(options, &settings);
    if (code != EXIT_DONE)
        return code;
    code = audit_run(options, &settings, &audit);
    if (code == EXIT_DONE)
        code = show_report(audit.archive ? report_archive(&audit)
                                         : report_audit(&audit),
                           &settings, audit_exit_code(&audit));
    /* The others are worth having where a sample was left out. */
    if (code <= EXIT_UNMET && audit_refused(&audit))
        code =
            output_settle(EXIT_DONE) == EXIT_DONE ? EXIT_INPUT : EXIT_INTERNAL;
    audit_free(&audit);
    return code;
}

static const option_id required[] = {OPT_COUNT};

static const option_id taken[] = {OPTIONS_WATER,  OPT_SOLUTION,    OPT_FEED,
                                  OPT_DRAINED,    OPTIONS_TARGET,  OPT_READ_AS,
                                  OPT_PURIFIED,   OPT_TEMPERATURE, OPT_METER_AT,
                                  OPTIONS_RESULT, OPT_COUNT};

const cli_command command_audit = {
    .name = "audit",
    .summary = "is this lab report believable, and the water fit for use?",
    .operands = "",
    .explanation =
        "Checks whether a lab report is consistent (charge, EC, dissolved "
        "solids, hardness, pH), proposes what may have been misread where it "
        "is not, and compares the water with published limits. With --solution "
        "it is a feed, drain or tank sample, judged as one: against --target, "
        "and against --feed for what the crop takes up faster or slower than "
        "water. It ends with 1 when a check disagrees, the water is unsuitable "
        "for some use or the solution misses its target. Of a file of many "
        "samples each that can be read is judged; what is wrong with the "
        "others is told, and it ends with 3.",
    .example = "saltwright audit --water examples/well.csv",
    .required = required,
    .options = taken,
    .run = run};
