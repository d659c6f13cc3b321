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
        value_put_flag(item, "within_lab_error", u->within_error);
        value_put_text(item, "reason", u->reason);
        value_append(out, item);
    }
    return out;
}

static cli_value *forcing(const cli_report *report)
{
    const sw_renewal *renewal = report->renewal;
    cli_value *out = value_array();
    for (size_t i = 0; i < renewal->forcing_count; i++) {
        const sw_forcing *f = &renewal->forcing[i];
        cli_value *item = value_object();
        value_put_text(item, "limit", f->name);
        value_put_text(item, "end", f->is_max ? "max" : "min");
        value_put_flag(item, "by_band", f->by_band);
        VALUE_PUT(item, {"bound", f->bound},
                  {"let_out_l_without", f->let_out_alone * report->holds_l},
                  {"let_out_l_without_those_before",
                   f->let_out_together * report->holds_l},
                  {"brought_mg_per_l", f->brought});
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
    if (report->renewal->forcing_count)
        value_put(out, "forced_by", forcing(report));
    if (report->renewal->unreached_count)
        value_put(out, "unreached", unreached(report->renewal));
    return out;
}
