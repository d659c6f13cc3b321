/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Amounts in whole steps of the scale. */
#include "parts.h"

#include "../scale.h"
#include "line.h"

static void put_product(const cli_lines *out, const cli_report *report,
                        size_t index)
{
    const sw_weighing *w = &report->weighed->items[index];
    const char *name = report->inputs->shelf->products[index].name;
    line_number(out, (cli_cell){"weighed", name, "mass"}, w->amount_g, "g");
    line_number(out, (cli_cell){"weighed", name, "step"}, w->step_g, "g");
    line_number(out, (cli_cell){"weighed", name, "in its solution"},
                w->concentrate_g, "g");
    line_number(out, (cli_cell){"weighed", name, "volume of its solution"},
                w->concentrate_l, "L");
    if (scale_has_solution(report, index))
        line_number(out, (cli_cell){"weighed", name, "dose of its solution"},
                    scale_dose_ml(report, index, w->amount_g), "mL");
}

void lines_weighed(const cli_lines *out, const cli_report *report)
{
    const sw_weighed *row = report->weighed;
    line_word(out, (cli_cell){"weighed", "", "outcome"},
              sw_outcome_text(row->outcome));
    if (!row->recipe.count)
        return;
    line_number(out, (cli_cell){"weighed", "", "objective"},
                row->certificate.objective, "");
    line_number(out, (cli_cell){"weighed", "", "lower bound"},
                row->certificate.lower_bound, "");
    line_number(out, (cli_cell){"weighed", "", "objective without steps"},
                row->continuous, "");
    if (row->equal) {
        line_word(out, (cli_cell){"weighed", "", "equal to"},
                  row->of_steps ? "closest steps" : "closest recipe");
        line_number(out, (cli_cell){"weighed", "", "moved"}, (double)row->moved,
                    "");
        line_number(out, (cli_cell){"weighed", "", "most moved"},
                    row->most_moved, "");
    }
    for (size_t i = 0; i < row->recipe.count; i++)
        if (row->items[i].amount_g > 0.0)
            put_product(out, report, i);
}
