/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Amounts in whole steps of the scale. */
#include "parts.h"

#include <math.h>

#include "../scale.h"

static cli_value *weighing(const cli_report *report, size_t index)
{
    const sw_weighing *w = &report->weighed->items[index];
    cli_value *out = value_object();
    value_put_text(out, "product", report->inputs->shelf->products[index].name);
    VALUE_PUT(out, {"amount_g", w->amount_g}, {"step_g", w->step_g},
              {"solution_g", w->concentrate_g},
              {"solution_l", w->concentrate_l});
    if (scale_has_solution(report, index))
        value_put_number(out, "dose_ml",
                         scale_dose_ml(report, index, w->amount_g));
    return out;
}

cli_value *doc_weighed(const cli_report *report)
{
    const sw_weighed *row = report->weighed;
    const sw_scale *scale = &report->settings->scale;
    cli_value *out = value_object();
    cli_value *items = value_array();
    bool found = row->recipe.count > 0;
    value_put_text(out, "outcome", sw_outcome_text(row->outcome));
    VALUE_PUT(out, {"scale_step_g", scale->step_g},
              {"fine_step_g", scale->micro_step_g});
    if (found)
        VALUE_PUT(out, {"objective", row->certificate.objective},
                  {"lower_bound", row->certificate.lower_bound},
                  {"gap", row->certificate.gap},
                  {"continuous_objective", row->continuous});
    if (found && row->equal) {
        value_put_text(out, "equal_to",
                       row->of_steps ? "closest steps" : "closest recipe");
        VALUE_PUT(out, {"moved", (double)row->moved},
                  {"most_moved_share", row->most_moved});
    }
    if (found && isfinite(row->rounded))
        value_put_number(out, "rounded_objective", row->rounded);
    for (size_t i = 0; i < row->recipe.count; i++)
        if (row->items[i].amount_g > 0.0)
            value_append(items, weighing(report, i));
    value_put(out, "products", items);
    return out;
}
