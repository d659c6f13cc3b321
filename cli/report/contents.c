/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the crop gets, against the target. */
#include <math.h>
#include <string.h>

#include "report/blocks.h"
#include "text/figure.h"

static doc_tone tone_of(sw_verdict verdict)
{
    if (verdict == SW_MET)
        return DOC_GOOD;
    return verdict == SW_VERDICT_NONE ? DOC_PLAIN : DOC_BAD;
}

static void put_measure(doc_block *block, const sw_measure_row *row)
{
    static const char *const kinds[] = {[SW_TARGET_COMPONENT] = "component",
                                        [SW_TARGET_RATIO] = "ratio",
                                        [SW_TARGET_PH] = "pH",
                                        [SW_TARGET_EC] = "EC"};
    doc_record *out = doc_row(block);
    int decimals = report_measure_decimals(row);
    doc_decimals(out, decimals);
    doc_text(out, "measure", row->name);
    doc_text(out, "kind", row->aired ? "pH aired" : kinds[row->kind]);
    DOC_NUMBERS(out, {"finished", row->finished}, {"target", row->target},
                {"min", row->min}, {"max", row->max}, {"low", row->low},
                {"high", row->high});
    report_range(out, "range", row->low, row->high, decimals);
    doc_text(out, "unit",
             row->kind == SW_TARGET_EC      ? "mS/cm at 25 °C"
             : row->kind == SW_TARGET_RATIO ? "by mass"
                                            : "");
    doc_text(out, "verdict", sw_verdict_text(row->verdict));
    if (tone_of(row->verdict) == DOC_BAD &&
        report_is_hidden(row->finished, row->low, row->high, decimals))
        doc_text(out, "remark", report_hidden);
    doc_colour(out, tone_of(row->verdict));
}

void report_measures(doc_record *record, const cli_report *report)
{
    doc_block *block = doc_add(record, "measures");
    for (size_t i = 0; i < report->assessment->measure_count; i++)
        put_measure(block, &report->assessment->measures[i]);
}
