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
