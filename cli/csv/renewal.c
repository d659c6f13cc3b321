/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is let out of a tank and what fills it up. */
#include "parts.h"

#include "line.h"

void lines_renewal(const cli_lines *out, const cli_report *report)
{
    cli_turnover turnover = report_turnover(report);
    line_word(out, (cli_cell){"renewal", "", "outcome"},
              sw_outcome_text(report->renewal->outcome));
    line_number(out, (cli_cell){"renewal", "", "holds"}, report->holds_l, "L");
    line_number(out, (cli_cell){"renewal", "", "share let out"},
                report->renewal->let_out, "");
    line_number(out, (cli_cell){"renewal", "", "let out"}, turnover.let_out_l,
                "L");
    line_number(out, (cli_cell){"renewal", "", "kept"}, turnover.kept_l, "L");
    line_number(out, (cli_cell){"renewal", "", "fresh"}, turnover.fresh_l, "L");
}
