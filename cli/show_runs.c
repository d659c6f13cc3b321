/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Several runs to the screen or a file, and to their sheet. */
#include "show_runs.h"

#include "output.h"
#include "render.h"

exit_code show_runs(const cli_comparison *comparison, cli_sheet_writer *sheet)
{
    const cli_settings *settings = comparison->settings;
    cli_output output;
    output_open(&output);
    cli_canvas canvas = {output.stream, render_in_colour(settings)};
    renderer_of(settings->format)->comparison(&canvas, comparison);
    exit_code code = output_deliver(&output, settings->output);
    if (code == EXIT_DONE)
        code = comparison_exit_code(comparison);
    exit_code written = settings->sheet ? sheet(comparison) : EXIT_DONE;
    return written > code ? written : code;
}
