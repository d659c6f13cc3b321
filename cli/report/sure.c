/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How sure: between what bounds each quantity lies, and what that comes from.
 */
#include <math.h>
#include <stdio.h>

#include "report/blocks.h"
#include "io/figure.h"
#include "sentences_text.h"

/* A second source is named from this share on. */
static const double worth_naming = 0.15;

/* One quantity; `unit` is "" of a pH. */
typedef struct quantity {
    const char *name, *unit;
    const sw_spread *spread;
} quantity;

static int decimals_of(const quantity *of)
{
    return *of->unit ? figure_decimals(of->spread->p95) : 2;
}

/* The source with the largest share but `than`. */
static sw_doubt largest(const sw_spread *spread, sw_doubt than)
{
    sw_doubt best = SW_DOUBT_COUNT;
    for (int d = 0; d < SW_DOUBT_COUNT; d++)
        if (d != (int)than && spread->share[d] > 0.0 &&
            (best == SW_DOUBT_COUNT || spread->share[d] > spread->share[best]))
            best = (sw_doubt)d;
    return best;
}

/* "injectors 66 %, labels 24 %" */
static void put_sources(doc_record *row, const sw_spread *spread)
{
    static const char *const names[SW_DOUBT_COUNT] = {
        "lab report", "labels", "scale step", "fill", "injectors"};
    static const char *const keys[SW_DOUBT_COUNT] = {"lab", "label", "scale",
                                                     "fill", "injector"};
    sw_doubt first = largest(spread, SW_DOUBT_COUNT);
    sw_doubt second = largest(spread, first);
    doc_block *shares = doc_add(row, "variance_shares");
    for (int d = 0; d < SW_DOUBT_COUNT; d++)
        if (spread->share[d] > 0.0)
            doc_entry(shares, keys[d], spread->share[d]);
    if (second < SW_DOUBT_COUNT && spread->share[second] >= worth_naming)
        doc_print(row, "mainly_from", "%s %.0f %%, %s %.0f %%", names[first],
                  100.0 * spread->share[first], names[second],
                  100.0 * spread->share[second]);
    else if (first < SW_DOUBT_COUNT)
        doc_print(row, "mainly_from", "%s %.0f %%", names[first],
                  100.0 * spread->share[first]);
}

static void put_quantity(doc_block *block, quantity of)
{
    const sw_spread *spread = of.spread;
    double half = 0.5 * (spread->p95 - spread->p5);
    bool relative = *of.unit && spread->median > 0.0;
    doc_record *row = doc_row(block);
    doc_decimals(row, decimals_of(&of));
    doc_text(row, "quantity", of.name);
    DOC_NUMBERS(row, {"p5", spread->p5}, {"median", spread->median},
                {"p95", spread->p95});
    doc_text(row, "unit", of.unit);
    DOC_NUMBERS(row, {"half_width", half},
                {"half_width_share", relative ? half / spread->median : NAN},
                {"standard_deviation", spread->deviation});
    if (relative)
        doc_shown(
            row, "plus_minus", half,
            figure_amount(figure_fixed(100.0 * half / spread->median, 1), "%")
                .text);
    else
        doc_shown(row, "plus_minus", half, figure_fixed(half, 2).text);
    put_sources(row, spread);
}

static void say_tolerances(doc_block *block, const sw_tolerances *off)
{
    char injector[64] = "";
    if (off->injector > 0.0)
        snprintf(injector, sizeof injector, ", each injector %.3g %%",
                 100.0 * off->injector);
    doc_after(block, SAY_ASSUMED_ERRORS, 100.0 * off->lab, off->lab_ph,
              100.0 * off->label, 100.0 * off->fill, injector,
              figure_short(off->scale_step_g).text,
              figure_short(off->micro_step_g).text);
    doc_after(block, SAY_RANGES_ON_TOP);
}

static void say_open(doc_block *block, const sw_assessment *assessment)
{
    cli_figure poured = report_ph_poured(assessment, FIGURE_PH);
    if (!report_ph_is_open(assessment))
        return;
    if (*poured.text)
        doc_after(block, SAY_PH_RANGE_BEFORE, poured.text,
                  report_ph(assessment, FIGURE_PH).text);
    else
        doc_after(block, SAY_PH_RANGE_IF_NEUTRAL,
                  report_ph(assessment, FIGURE_PH).text);
}

static void put_quantities(doc_record *out, const cli_report *report)
{
    const sw_uncertainty *sure = report->sure;
    doc_block *block = doc_add(out, "quantities");
    for (size_t i = 0; i < SW_COMPONENT_COUNT; i++) {
        const sw_component_row *row = report_row(report, i);
        if (report_shows(row))
            put_quantity(block,
                         (quantity){sw_component_name(row->component), "mg/L",
                                    &sure->component[row->component]});
    }
    put_quantity(block, (quantity){"EC", "mS/cm", &sure->ec_ms_per_cm});
    put_quantity(block, (quantity){"pH", "", &sure->ph});
    say_tolerances(block, report->off);
    say_open(block, report->assessment);
}

void report_sure(doc_record *record, const cli_report *report)
{
    const sw_tolerances *off = report->off;
    if (!report->sure || !off)
        return;
    doc_record *out = doc_part(record, "how_sure");
    doc_number(out, "samples", (double)report->sure->samples);
    put_quantities(out, report);
    DOC_NUMBERS(doc_part(out, "tolerances"), {"lab", off->lab},
                {"lab_ph", off->lab_ph}, {"label", off->label},
                {"scale_g", off->scale_step_g},
                {"fine_scale_g", off->micro_step_g}, {"fill", off->fill},
                {"injector", off->injector});
}
