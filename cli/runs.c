/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A run borrows what all runs share, so that files are read once. */
#include "runs.h"

#include "cautions.h"
#include "complain.h"
#include "mixing.h"
#include "stop.h"
#include "sure.h"

static exit_code complete(const cli_settings *settings, cli_run *run)
{
    run->inputs.contents = &run->content;
    return source_complete(&run->inputs.waters.items[0], &settings->conditions,
                           &run->content, &run->inputs.assumptions);
}

exit_code run_judge(const char *command, const cli_settings *settings,
                    cli_run *out)
{
    exit_code code = EXIT_DONE;
    out->report = (cli_report){.command = command,
                               .settings = settings,
                               .inputs = &out->inputs,
                               .solution = out->solution,
                               .recipe = report_recipe_of(out->solution)};
    if (out->report.recipe)
        code = mixing_assess(&out->report, &out->solution->water,
                             &out->assessment);
    out->report.assessment = out->assessment;
    if (code == EXIT_DONE && out->assessment)
        code = printed_find(&out->report);
    if (out->report.recipe)
        cautions_of(&out->report, &out->report.cautions);
    return code;
}

exit_code run_solve(const char *command, const cli_inputs *shared,
                    const cli_settings *settings, sw_solver *solver,
                    size_t index, cli_run *out)
{
    *out = (cli_run){0};
    out->inputs.waters = (cli_sources){&shared->waters.items[index], 1};
    out->inputs.target = shared->target;
    out->inputs.shelf = shared->shelf;
    exit_code code = complete(settings, out);
    if (code == EXIT_DONE)
        code = mixing_formulate(solver, &out->inputs, settings, false,
                                &out->solution);
    return out->solution ? run_judge(command, settings, out) : code;
}

exit_code run_adopt(const char *command, const cli_inputs *shared,
                    const cli_settings *settings, sw_solution *solution,
                    cli_run *out)
{
    *out = (cli_run){.inputs = *shared, .solution = solution};
    out->inputs.assumptions = (sw_notes){0};
    return run_judge(command, settings, out);
}

exit_code run_prepare_page(cli_run *run)
{
    if (!run->assessment || stop_is_asked(&run->report))
        return EXIT_DONE;
    exit_code code = mixing_order(&run->report, &run->steps);
    run->report.steps = run->steps;
    if (code == EXIT_DONE)
        code = sure_find(&run->report, &run->off, &run->spread);
    run->report.spread = &run->spread;
    return code;
}

void run_free(cli_run *run)
{
    sw_steps_free(run->steps);
    sw_notes_free(&run->inputs.assumptions);
    sw_notes_free(&run->report.cautions);
    printed_free(&run->report.printed);
    sw_solution_free(run->solution);
    sw_assessment_free(run->assessment);
    sw_conflict_free(run->conflict);
}
