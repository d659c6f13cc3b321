/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the crop gets, against the target. */
#include <math.h>
#include <string.h>

#include "report/blocks.h"
#include "io/figure.h"
#include "sentences_text.h"

/* mg/L; less is rounding. */
static const double least_residual = 1e-9;

static doc_tone tone_of(sw_verdict verdict)
{
    if (verdict == SW_MET)
        return DOC_GOOD;
    return verdict == SW_VERDICT_NONE ? DOC_PLAIN : DOC_BAD;
}

/* "<0.05": of what is below detection. */
static void put_water(doc_record *out, const sw_component_row *row)
{
    doc_number(out, "water_mg_per_l", report_water_part(row));
    doc_number(out, "water_unseen_mg_per_l", report_water_unseen(row));
    if (row->water_unseen_mg_per_l > 0.0 && row->water_mg_per_l <= 0.0)
        doc_reads(out, "water_mg_per_l", "<%s",
                  figure_short(row->water_unseen_mg_per_l).text);
}

/* "water 104, a 36.2" */
typedef struct origins {
    char text[1024];
    int decimals;
} origins;

static void add_origin(origins *list, const char *from, double mg_per_l)
{
    if (mg_per_l >= 0.5 * pow(10.0, -list->decimals))
        text_join(list->text, sizeof list->text, ", ", "%s %s", from,
                  figure_fixed(mg_per_l, list->decimals).text);
}

static void put_origins(doc_record *out, const cli_report *report,
                        const sw_component_row *row)
{
    const sw_shelf *shelf = report->inputs->shelf;
    origins list = {.decimals = report_row_decimals(row)};
    doc_block *block = doc_add(out, "products");
    add_origin(&list, "water", row->water_mg_per_l);
    for (size_t i = 0; i < shelf->count; i++) {
        double mg_per_l = report->recipe->g_per_l[i] *
                          shelf->products[i].per_g.amount[row->component];
        if (!(mg_per_l > 0.0))
            continue;
        cli_figure letter = report_letter(report, i);
        doc_record *piece = doc_row(block);
        doc_text(piece, "product", shelf->products[i].name);
        doc_text(piece, "letter", letter.text);
        doc_number(piece, "mg_per_l", mg_per_l);
        add_origin(&list, letter.text, mg_per_l);
    }
    doc_text(out, "from", list.text);
}

/* What is judged, where that is not what is there; and a miss of less than the
 * digits show. */
static void put_remark(doc_record *out, const sw_component_row *row,
                       double counted, int decimals)
{
    char words[160] = "";
    cli_figure judged = figure_fixed(counted, decimals);
    if (strcmp(judged.text,
               figure_fixed(row->finished_mg_per_l, decimals).text) != 0)
        text_join(words, sizeof words, "", SAY_COUNTED, judged.text);
    if (!row->reason[0] && tone_of(row->verdict) == DOC_BAD &&
        report_is_hidden(row->finished_mg_per_l, row->low_mg_per_l,
                         row->high_mg_per_l, decimals))
        text_join(words, sizeof words, "; ", "%s", report_hidden);
    doc_text(out, "remark", words);
}

static void put_component(doc_block *block, const cli_report *report,
                          const sw_component_row *row)
{
    doc_record *out = doc_row(block);
    int decimals = report_row_decimals(row);
    double counted = report_counted(report, row);
    doc_decimals(out, decimals);
    doc_text(out, "component", sw_component_name(row->component));
    put_water(out, row);
    DOC_NUMBERS(out,
                {"water_counted_mg_per_l",
                 report_water_part(row) - row->finished_mg_per_l + counted},
                {"added_mg_per_l", row->added_mg_per_l},
                {"finished_mg_per_l", row->finished_mg_per_l},
                {"counted_mg_per_l", counted},
                {"target_mg_per_l", row->target_mg_per_l},
                {"min_mg_per_l", row->min_mg_per_l},
                {"max_mg_per_l", row->max_mg_per_l},
                {"low_mg_per_l", row->low_mg_per_l},
                {"high_mg_per_l", row->high_mg_per_l});
    report_range(out, "range", row->low_mg_per_l, row->high_mg_per_l, decimals);
    double residual = row->residual_mg_per_l;
    doc_number(out, "residual_mg_per_l",
               fabs(residual) < least_residual ? 0.0 : residual);
    doc_text(out, "verdict", sw_verdict_text(row->verdict));
    put_origins(out, report, row);
    doc_text(out, "reason", row->reason);
    put_remark(out, row, counted, decimals);
    doc_colour(out, tone_of(row->verdict));
    doc_show_row(out, report_shows(row) ? 0 : DOC_DATA);
}

/* Names of components nobody measured in the water; or not in `one` of the
 * waters of a blend that holds them. */
static void list_unreported(const cli_report *report, const sw_water *one,
                            char *list, size_t size)
{
    for (int i = 0; i < SW_N; i++) {
        const sw_component_row *row = &report->assessment->rows[i];
        bool lacks = one ? !one->reported[i] : !report_water_known(row);
        if (lacks && !row->water_reported && report_shows(row) &&
            (!one || report_water_known(row)))
            text_join(list, size, ", ", "%s",
                      sw_component_name((sw_component)i));
    }
}

static void put_unreported(doc_block *block, const cli_report *report)
{
    const cli_sources *waters = &report->inputs->waters;
    char list[256] = "";
    list_unreported(report, NULL, list, sizeof list);
    if (list[0])
        doc_after(block, SAY_ASSUMED_ZERO, list);
    for (size_t k = 0; k < waters->count; k++) {
        list[0] = '\0';
        if (report_share(report, k) > 0.0)
            list_unreported(report, waters->items[k].water, list, sizeof list);
        if (list[0])
            doc_after(block, SAY_ASSUMED_ZERO_IN,
                      waters->items[k].water->sample, list);
    }
}

void report_components(doc_record *record, const cli_report *report)
{
    doc_block *block = doc_add(record, "components");
    for (size_t i = 0; i < SW_COMPONENT_COUNT; i++)
        put_component(block, report, report_row(report, i));
    put_unreported(block, report);
}

static void put_measure(doc_block *block, const sw_assessment *assessment,
                        const sw_row *row)
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
    if (row->kind == SW_TARGET_PH)
        report_put_open_ph(out, "finished", assessment, row->aired);
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
    const sw_assessment *assessment = report->assessment;
    for (size_t i = 0; i < assessment->measure_count; i++)
        put_measure(block, assessment, &assessment->measures[i]);
}
