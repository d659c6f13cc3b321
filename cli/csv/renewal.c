/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is let out of a tank and what fills it up. */
#include "parts.h"

#include "line.h"

static void put_forcing(const cli_lines *out, const cli_report *report)
{
    const sw_renewal *renewal = report->renewal;
    for (size_t i = 0; i < renewal->forcing_count; i++) {
        const sw_forcing *f = &renewal->forcing[i];
        line_word(out, (cli_cell){"renewal forced by", f->name, "limit"},
                  f->by_band ? "band" : "given");
        line_number(out,
                    (cli_cell){"renewal forced by", f->name, "drained without"},
                    f->let_out_alone * report->holds_l, "L");
        line_number(out,
                    (cli_cell){"renewal forced by", f->name,
                               "drained without those before too"},
                    f->let_out_together * report->holds_l, "L");
        line_number(out, (cli_cell){"renewal forced by", f->name, "brought"},
                    f->brought, "mg/L");
    }
}

void lines_renewal(const cli_lines *out, const cli_report *report)
{
    cli_turnover turnover = report_turnover(report);
    line_word(out, (cli_cell){"renewal", "", "outcome"},
              sw_outcome_text(report->renewal->outcome));
    line_number(out, (cli_cell){"renewal", "", "holds"}, report->holds_l, "L");
    line_number(out, (cli_cell){"renewal", "", "share drained"},
                report->renewal->let_out, "");
    line_number(out, (cli_cell){"renewal", "", "drained"}, turnover.let_out_l,
                "L");
    line_number(out, (cli_cell){"renewal", "", "kept"}, turnover.kept_l, "L");
    line_number(out, (cli_cell){"renewal", "", "fresh"}, turnover.fresh_l, "L");
    put_forcing(out, report);
    for (size_t i = 0; i < report->renewal->unreached_count; i++) {
        const sw_unreached *u = &report->renewal->unreached[i];
        sw_target_kind kind = report->inputs->target->rows[u->row].kind;
        line_word(out, (cli_cell){"renewal", u->name, "missed"}, u->reason);
        line_number(out, (cli_cell){"renewal", u->name, "finished"},
                    u->finished, kind == SW_TARGET_COMPONENT ? "mg/L" : "");
    }
}
