/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is let out of a tank and what fills it up. */
#include "parts.h"

static cli_value *unreached(const sw_renewal *renewal)
{
    cli_value *out = value_array();
    for (size_t i = 0; i < renewal->unreached_count; i++) {
        const sw_unreached *u = &renewal->unreached[i];
        cli_value *item = value_object();
        value_put_text(item, "limit", u->name);
        value_put_text(item, "end", u->is_max ? "max" : "min");
        VALUE_PUT(item, {"bound", u->bound}, {"finished", u->finished});
        value_put_text(item, "reason", u->reason);
        value_append(out, item);
    }
    return out;
}

cli_value *doc_renewal(const cli_report *report)
{
    cli_turnover turnover = report_turnover(report);
    cli_value *out = value_object();
    value_put_text(out, "outcome", sw_outcome_text(report->renewal->outcome));
    VALUE_PUT(out, {"holds_l", report->holds_l},
              {"let_out_share", report->renewal->let_out},
              {"let_out_l", turnover.let_out_l}, {"kept_l", turnover.kept_l},
              {"fresh_l", turnover.fresh_l});
    if (report->renewal->unreached_count)
        value_put(out, "unreached", unreached(report->renewal));
    return out;
}
