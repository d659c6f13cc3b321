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
