/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to do with a tank whose solution goes round, before the additions. */
#include "text/parts.h"

#include "text/figure.h"

enum { TERM_COLUMNS = 8 };

/* "134 L (35.4 gal)", the unit that was asked for first. */
static cli_figure litres(const cli_report *report, double volume_l)
{
    cli_figure out;
    cli_figure metric = figure_liquid_metric(1000.0 * volume_l);
    cli_figure us = figure_liquid_us(1000.0 * volume_l);
    bool first = report->settings->volume_system == SW_US;
    snprintf(out.text, sizeof out.text, "%.20s (%.20s)",
             first ? us.text : metric.text, first ? metric.text : us.text);
    return out;
}

static void put_let_out(const cli_page *page, const cli_report *report)
{
    const sw_renewal *renewal = report->renewal;
    bool all = renewal->outcome != SW_CONFLICT;
    if (!all && !renewal->unreached_count)
        page_entry(page, TERM_COLUMNS, "let out",
                   "nothing: no share of this fresh water meets every target, "
                   "so what follows is the closest");
    else if (renewal->let_out <= 0.0)
        page_entry(page, TERM_COLUMNS, "let out",
                   "nothing: every target%s can be met with all of it",
                   all ? "" : " but those missed");
    else
        page_entry(
            page, TERM_COLUMNS, "let out",
            "at least %s of the %s it holds (%.1f %%): with more of the old "
            "solution some target%s cannot be met",
            litres(report, report_turnover(report).let_out_l).text,
            litres(report, report->holds_l).text, 100.0 * renewal->let_out,
            all ? "" : " beside those missed");
}

/* What neither letting out nor adding can do, and why. */
static void put_unreached(const cli_page *page, const cli_report *report)
{
    const sw_renewal *renewal = report->renewal;
    for (size_t i = 0; i < renewal->unreached_count; i++) {
        const sw_unreached *u = &renewal->unreached[i];
        sw_target_kind kind = report->inputs->target->rows[u->row].kind;
        page_entry(page, TERM_COLUMNS, i ? "" : "missed", "%s: %s; it is %s%s",
                   u->name, u->reason, figure_short(u->finished).text,
                   kind == SW_TARGET_COMPONENT ? " mg/L" : "");
    }
}

void part_renewal(const cli_page *page, const cli_report *report)
{
    cli_turnover turnover = report_turnover(report);
    page_title(page, "The tank");
    put_let_out(page, report);
    put_unreached(page, report);
    page_entry(page, TERM_COLUMNS, "fill up", "to %s with %s of fresh water",
               litres(report, report->settings->volume_l).text,
               litres(report, turnover.fresh_l).text);
    page_entry(page, TERM_COLUMNS, "add",
               "what follows, dissolved, a product at a time; then stir, and "
               "measure");
    if (report->renewal->let_out > 0.0)
        page_paragraph(page, 2, 2,
                       "What is let out still feeds plants and algae: where it "
                       "may go, the local rules say.");
}
