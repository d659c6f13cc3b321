/* SPDX-License-Identifier: GPL-3.0-or-later */
/* saltwright catalogue: what is built in, with composition and source. */
#include "io/command.h"
#include "io/complain.h"
#include "report/blocks.h"
#include "command/show.h"
#include "sentences_text.h"

static exit_code conclude(sw_status status, const sw_error *error)
{
    if (status == SW_OK)
        return EXIT_DONE;
    return status == SW_ERR_NAME
               ? complain_usage("catalogue", "%s", error->message)
               : complain_error(error);
}

static exit_code show_products(const char *name, const cli_settings *settings)
{
    cli_catalogue catalogue;
    sw_error error = {0};
    sw_status status = catalogue_read(&catalogue, &error);
    if (status == SW_OK && name)
        status = catalogue_choose(&catalogue, name, &error);
    exit_code code = conclude(status, &error);
    if (code == EXIT_DONE)
        code = show_report(report_catalogue(&catalogue), settings, EXIT_DONE);
    catalogue_free(&catalogue);
    return code;
}

static exit_code show_targets(const char *name, const cli_settings *settings)
{
    cli_crops crops;
    sw_error error = {0};
    exit_code code = conclude(crops_read(name, &crops, &error), &error);
    if (code == EXIT_DONE)
        code = show_report(report_crops(&crops), settings, EXIT_DONE);
    crops_free(&crops);
    return code;
}

static exit_code run(const cli_options *options)
{
    cli_settings settings;
    const char *name = options->operand_count ? options->operands[0] : NULL;
    exit_code code = settings_read(options, &settings);
    if (code != EXIT_DONE)
        return code;
    if (options->operand_count > 1)
        return complain_usage("catalogue", SAY_ONE_NAME);
    return options_has(options, OPT_TARGETS) ? show_targets(name, &settings)
                                             : show_products(name, &settings);
}

static const option_id required[] = {OPT_COUNT};

static const option_id taken[] = {OPT_TARGETS, OPT_ONLY, OPT_SHEET,
                                  OPTIONS_DATA, OPT_COUNT};

const cli_task command_catalogue = {
    .required = required, .options = taken, .run = run};
