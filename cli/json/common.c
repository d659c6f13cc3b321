/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What several objects hold: certificate, water, guidelines, notes. */
#include "parts.h"

#include <math.h>

cli_value *doc_run(const char *command)
{
    cli_value *root = value_object();
    value_put_text(root, "saltwright", sw_version());
    value_put_text(root, "command", command);
    return root;
}

cli_value *doc_certificate(const sw_certificate *proof)
{
    cli_value *out = value_object();
    VALUE_PUT(out, {"objective", proof->objective},
              {"lower_bound", proof->lower_bound}, {"gap", proof->gap});
    return out;
}

cli_value *doc_reported(const sw_content *per_l, const bool *is_reported)
{
    cli_value *out = value_object();
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        if (is_reported[i])
            value_put_number(out, sw_component_name((sw_component)i),
                             per_l->amount[i]);
    return out;
}

cli_value *doc_source_water(const cli_source *source, double share)
{
    const sw_water *water = source->water;
    cli_value *out = value_object();
    value_put_text(out, "sample", water->sample);
    value_put_text(out, "file", water->file);
    value_put_number(out, "share", share);
    value_put(out, "components", doc_reported(&water->per_l, water->reported));
    if (water->alkalinity_reported)
        value_put_number(out, "alkalinity_meq_per_l",
                         water->per_l.amount[SW_ALKALINITY]);
    VALUE_PUT(out, {"ph", water->ph}, {"ec_ms_per_cm", water->ec_ms_per_cm});
    return out;
}

void doc_put_undeclared(cli_value *object, const sw_undeclared *undeclared)
{
    if (!(undeclared->anions_meq_per_l > 0) &&
        !(undeclared->cations_meq_per_l > 0) && !undeclared->text[0])
        return;
    cli_value *out = value_object();
    VALUE_PUT(out, {"anions_meq_per_l", undeclared->anions_meq_per_l},
              {"cations_meq_per_l", undeclared->cations_meq_per_l},
              {"open_acid_meq_per_l", undeclared->open_acid_meq_per_l},
              {"open_base_meq_per_l", undeclared->open_base_meq_per_l},
              {"ph_low", undeclared->ph_low}, {"ph_high", undeclared->ph_high},
              {"until_ph_low", undeclared->until_ph_low},
              {"until_ph_high", undeclared->until_ph_high},
              {"ec_low_ms_per_cm", undeclared->ec_low_ms_per_cm},
              {"ec_high_ms_per_cm", undeclared->ec_high_ms_per_cm},
              {"cl_up_to_mg_per_l", undeclared->cl_mg_per_l},
              {"na_up_to_mg_per_l", undeclared->na_mg_per_l});
    value_put_text(out, "text", undeclared->text);
    value_put(object, "undeclared", out);
}

cli_value *doc_guidelines(const sw_guideline_row *rows, size_t count)
{
    cli_value *out = value_array();
    for (size_t i = 0; i < count; i++) {
        const sw_guideline_row *row = &rows[i];
        cli_value *item = value_add_object(out);
        value_put_text(item, "guideline", row->name);
        value_put_text(item, "use", row->use);
        value_put_text(item, "unit", row->unit);
        VALUE_PUT(item, {"value", row->value}, {"caution", row->caution},
                  {"severe", row->severe}, {"danger", row->danger},
                  {"purified_share", row->purified_share});
        value_put_text(item, "verdict", sw_fitness_text(row->fitness));
        value_put_text(item, "source", row->source);
    }
    return out;
}

void doc_add_note(void *context, const sw_note *note)
{
    cli_value *item = value_add_object(context);
    value_put_text(item, "severity", sw_severity_text(note->severity));
    value_put_text(item, "code", note->code);
    value_put_text(item, "text", note->text);
}
