/* SPDX-License-Identifier: GPL-3.0-or-later */
/* saltwright catalogue: what is built in, with composition and source. */
#include "command.h"
#include "complain.h"
#include "report/blocks.h"
#include "run/show.h"

static exit_code choose(cli_catalogue *catalogue, const char *name)
{
    sw_error error;
    if (catalogue_choose(catalogue, name, &error) == SW_OK)
        return EXIT_DONE;
    return error.status == SW_ERR_NAME
               ? complain_usage("catalogue", "%s", error.message)
               : complain_error(&error);
}

static exit_code run(const cli_options *options)
{
    cli_settings settings;
    cli_catalogue catalogue;
    sw_error error;
    exit_code code = settings_read(options, &settings);
    if (code != EXIT_DONE)
        return code;
    if (options->operand_count > 1)
        return complain_usage("catalogue",
                              "one product at a time; put a name of several "
                              "words in quotes");
    if (catalogue_read(&catalogue, &error) != SW_OK)
        code = complain_error(&error);
    else if (options->operand_count)
        code = choose(&catalogue, options->operands[0]);
    if (code == EXIT_DONE)
        code = show_report(report_catalogue(&catalogue), &settings, EXIT_DONE);
    catalogue_free(&catalogue);
    return code;
}

static const option_id required[] = {OPT_COUNT};

static const option_id taken[] = {OPT_FORMAT, OPT_ONLY, OPT_OUTPUT, OPT_HELP,
                                  OPT_COUNT};

const cli_command command_catalogue = {
    .name = "catalogue",
    .summary = "the products that are built in, with their sources",
    .operands = "[PRODUCT]",
    .explanation =
        "Lists the built-in products with what they carry. With the name of a "
        "PRODUCT it shows that one in full: composition, hazards, source, and "
        "how much of another hydrate does the same work.",
    .example = "saltwright catalogue \"magnesium sulfate heptahydrate\"",
    .required = required,
    .options = taken,
    .run = run};
