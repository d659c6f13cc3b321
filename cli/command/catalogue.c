/* SPDX-License-Identifier: GPL-3.0-or-later */
/* saltwright catalogue: what is built in, with composition and source. */
#include "io/command.h"
#include "io/complain.h"
#include "io/memory.h"
#include "report/blocks.h"
#include "command/show.h"
#include "sentences_text.h"

static exit_code run(const cli_options *options)
{
    cli_settings settings;
    const char *name = options->operand_count ? options->operands[0] : NULL;
    settings_read(options, &settings);
    if (options->operand_count > 1)
        leave(complain_usage("catalogue", SAY_ONE_NAME));
    return show_report(options_has(options, OPT_TARGETS)
                           ? report_crops(crops_read(name))
                           : report_catalogue(catalogue_read(name)),
                       &settings, EXIT_DONE);
}

static const option_id taken[] = {OPT_TARGETS, OPT_ONLY, OPT_SHEET,
                                  OPTIONS_DATA, OPT_COUNT};

const cli_task command_catalogue = {
    .required = requires_nothing, .options = taken, .run = run};
