/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Several waters, the choice between them and the best mix; or several stages
 * of a crop. */
#include "parts.h"

static cli_value *values(const sw_ranking *ranking)
{
    cli_value *object = value_object();
    VALUE_PUT(object, {"targets_clearly_missed", ranking->value[SW_BY_MISSES]},
              {"harm_limits_passed", ranking->value[SW_BY_HARM]},
              {"solids_past_saturation", ranking->value[SW_BY_DEPOSITS]},
              {"off_target_percent", ranking->value[SW_BY_DISTANCE]},
              {"ph_past_band_aired", ranking->value[SW_BY_DRIFT]},
              {"acid_and_base_meq_per_l", ranking->value[SW_BY_ACID]},
              {"cost_per_m3", ranking->value[SW_BY_COST]});
    return object;
}

static cli_value *candidate(const cli_comparison *comparison, size_t column)
{
    const sw_ranking *ranking = &comparison->choice->rankings[column];
    cli_value *object = value_object();
    value_put_text(object, "name", comparison->names[column]);
    value_put_text(object, "reason", ranking->reason);
    if (ranking->out_by < SW_CRITERION_COUNT)
        value_put_text(object, "out_by", sw_criterion_text(ranking->out_by));
    value_put_flag(object, "dangerous", ranking->dangerous);
    VALUE_PUT(object, {"pays_below_per_m3", ranking->pays_below_per_m3});
    value_put(object, "values", values(ranking));
    return object;
}

static cli_value *choice(const cli_comparison *comparison)
{
    cli_value *object = value_object();
    cli_value *order = value_array();
    cli_value *candidates = value_array();
    const sw_choice *made = comparison->choice;
    if (made->chosen < made->count)
        value_put_text(object, made->usable ? "use" : "least_harmful",
                       comparison->names[made->chosen]);
    value_put_text(object, "verdict", made->verdict);
    value_put_flag(object, "priced", made->priced);
    for (const sw_criterion *c = made->order; *c != SW_CRITERION_COUNT; c++)
        value_append(order, value_text(sw_criterion_text(*c)));
    for (size_t i = 0; i < made->count; i++)
        value_append(candidates, candidate(comparison, i));
    value_put(object, "criteria", order);
    value_put(object, "candidates", candidates);
    return object;
}

static cli_value *blend(const cli_comparison *comparison)
{
    cli_value *object = value_object();
    cli_value *shares = value_array();
    const sw_blend *found = comparison->blend;
    const sw_solution *best =
        comparison->reports[comparison->count - 1]->solution;
    value_put_text(object, "outcome", sw_outcome_text(best->outcome));
    value_put_text(object, "range", sw_outcome_text(found->range));
    for (size_t k = 0; k < found->water_count; k++) {
        cli_value *share = value_add_object(shares);
        value_put_text(share, "water", comparison->names[k]);
        if (best->fractions)
            value_put_number(share, "share", best->fractions[k]);
        VALUE_PUT(share, {"lowest_share", found->lowest[k]},
                  {"highest_share", found->highest[k]});
    }
    value_put(object, "waters", shares);
    return object;
}

/* Each run under its name. */
static cli_value *runs(const cli_comparison *comparison)
{
    cli_value *array = value_array();
    for (size_t i = 0; i < comparison->count; i++) {
        cli_value *run = value_add_object(array);
        value_put_text(run, "name", comparison->names[i]);
        doc_put_report(run, comparison->reports[i]);
    }
    return array;
}

void doc_show_comparison(const cli_canvas *canvas,
                         const cli_comparison *comparison)
{
    bool chooses = comparison->choice != NULL;
    cli_value *root = doc_run(chooses ? "compare" : "formulate");
    if (chooses)
        value_put(root, "choice", choice(comparison));
    if (comparison->blend)
        value_put(root, "blend", blend(comparison));
    value_put(root, chooses ? "runs" : "stages", runs(comparison));
    value_write(root, canvas->out);
}
