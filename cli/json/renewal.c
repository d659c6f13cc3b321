/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is let out of a tank and what fills it up. */
#include "parts.h"

cli_value *doc_renewal(const cli_report *report)
{
    cli_turnover turnover = report_turnover(report);
    cli_value *out = value_object();
    value_put_text(out, "outcome", sw_outcome_text(report->renewal->outcome));
    VALUE_PUT(out, {"holds_l", report->holds_l},
              {"let_out_share", report->renewal->let_out},
              {"let_out_l", turnover.let_out_l}, {"kept_l", turnover.kept_l},
              {"fresh_l", turnover.fresh_l});
    return out;
}
