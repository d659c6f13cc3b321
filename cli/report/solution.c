/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The finished solution.  Nothing here is measured: all of it is calculated,
 * and EC carries the interval it deserves. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "report/blocks.h"
#include "io/figure.h"
#include "run/cautions.h"
#include "sentences_text.h"

static void put_ec(doc_record *out, const cli_report *report)
{
    const sw_chemistry *mixed = &report->assessment->mixed;
    cli_range range = report_ec_range(report);
    cli_figure ec = figure_fixed(mixed->ec_ms_per_cm, FIGURE_EC);
    DOC_NUMBERS(out, {"ec_ms_per_cm", mixed->ec_ms_per_cm},
                {"ec_low_ms_per_cm", mixed->ec_low_ms_per_cm},
                {"ec_high_ms_per_cm", mixed->ec_high_ms_per_cm});
    doc_reads(out, "ec_ms_per_cm", SAY_EC_RANGE_OF, ec.text,
              figure_fixed(mixed->ec_low_ms_per_cm, FIGURE_EC).text,
              figure_fixed(mixed->ec_high_ms_per_cm, FIGURE_EC).text);
    doc_print(out, "ec_in_all", SAY_EC_RANGE, ec.text,
              report->spread ? "" : " of the estimate",
              figure_fixed(range.low, FIGURE_EC).text,
              figure_fixed(range.high, FIGURE_EC).text);
    doc_text(out, "ec_method", "estimated from the ions");
}

static void put_meter(doc_record *out, const cli_report *report)
{
    cli_meter meter;
    if (!report_meter(report, &meter))
        return;
    DOC_NUMBERS(out, {"meter_bare_ms_per_cm", meter.bare_ms_per_cm},
                {"meter_temperature_c", report->settings->meter_c},
                {"meter_to_25_c", meter.to_25},
                {"meter_two_percent_ms_per_cm", meter.two_percent_ms_per_cm});
    doc_reads(out, "meter_bare_ms_per_cm", SAY_EC_BARE,
              figure_fixed(meter.bare_ms_per_cm, FIGURE_EC).text,
              report_degrees(report, report->settings->meter_c).text,
              figure_fixed(meter.to_25, 2).text,
              figure_fixed(meter.two_percent_ms_per_cm, FIGURE_EC).text);
}

void report_put_open_ph(doc_record *out, const char *key,
                        const sw_assessment *assessment, bool aired)
{
    if (report_ph_is_open(assessment))
        doc_words(out, key,
                  aired ? report_ph_aired(assessment, FIGURE_MEASURE).text
                        : report_ph(assessment, FIGURE_MEASURE).text);
}

void report_put_phs(doc_record *row, const sw_assessment *assessment)
{
    DOC_NUMBERS(row, {"ph_mixed", assessment->mixed.ph},
                {"ph_aired", assessment->aired.ph});
    report_put_open_ph(row, "ph_mixed", assessment, false);
    report_put_open_ph(row, "ph_aired", assessment, true);
}

/* Where labels leave it open what is counted is no more than one of both ends.
 */
static void put_ph(doc_record *out, const sw_assessment *assessment)
{
    report_put_phs(out, assessment);
    for (size_t i = 0; i < assessment->measure_count; i++)
        if (assessment->measures[i].aired)
            doc_text(out, "ph_aired_asked",
                     report_ph_aired(assessment, FIGURE_PH).text);
    cli_figure poured = report_ph_poured(assessment, FIGURE_PH);
    if (!report_ph_is_open(assessment))
        return;
    if (*poured.text) {
        doc_reads(out, "ph_mixed", SAY_PH_POURED, poured.text,
                  report_ph(assessment, FIGURE_PH).text);
        return;
    }
    doc_reads(out, "ph_mixed", SAY_PH_OPEN,
              report_ph(assessment, FIGURE_PH).text,
              figure_fixed(assessment->mixed.ph, FIGURE_PH).text);
    doc_reads(out, "ph_aired", SAY_PH_OPEN_AIRED,
              figure_fixed(assessment->aired.ph, FIGURE_PH).text);
}

static void put_alkalinity(doc_record *out, double meq_per_l)
{
    double caco3 = report_as_caco3(meq_per_l);
    if (isnan(meq_per_l))
        return;
    DOC_NUMBERS(out, {"alkalinity_meq_per_l", meq_per_l},
                {"alkalinity_mg_caco3_per_l", caco3});
    doc_reads(out, "alkalinity_meq_per_l", "%s meq/L = %s mg/L CaCO3",
              figure_fixed(meq_per_l, FIGURE_CHARGE).text,
              figure_fixed(caco3, FIGURE_WHOLE).text);
}

void report_undeclared(doc_record *record, const sw_undeclared *u)
{
    if (!(u->anions_meq_per_l > 0) && !(u->cations_meq_per_l > 0) &&
        !u->text[0])
        return;
    doc_record *out = doc_part(record, "undeclared");
    DOC_NUMBERS(out, {"anions_meq_per_l", u->anions_meq_per_l},
                {"cations_meq_per_l", u->cations_meq_per_l},
                {"open_acid_meq_per_l", u->open_acid_meq_per_l},
                {"open_base_meq_per_l", u->open_base_meq_per_l},
                {"ph_low", u->ph_low}, {"ph_high", u->ph_high},
                {"until_ph_low", u->until_ph_low},
                {"until_ph_high", u->until_ph_high},
                {"ec_low_ms_per_cm", u->ec_low_ms_per_cm},
                {"ec_high_ms_per_cm", u->ec_high_ms_per_cm},
                {"cl_up_to_mg_per_l", u->cl_mg_per_l},
                {"na_up_to_mg_per_l", u->na_mg_per_l});
    doc_text(out, "text", u->text);
    report_mend_poured(out, "text");
}

static void put_solid(doc_block *block, sw_solid solid,
                      const sw_saturation *row)
{
    const char *verdict = report_saturation_verdict(solid, row);
    bool dissolved = strcmp(verdict, "dissolved") == 0;
    bool above = strcmp(verdict, "supersaturated") == 0;
    doc_record *out = doc_row(block);
    doc_text(out, "solid", sw_solid_name(solid));
    doc_text(out, "formula", sw_solid_formula(solid));
    DOC_NUMBERS(out, {"index", row->index}, {"ph_onset", row->ph_onset});
    doc_text(out, "verdict", verdict);
    if (above)
        doc_words(out, "verdict", "may precipitate");
    doc_colour(out, above ? DOC_BAD : DOC_PLAIN);
    doc_show_row(out, dissolved ? DOC_DATA : 0);
}

static void put_solids(doc_record *record, const sw_saturation *rows)
{
    doc_block *block = doc_add(record, "saturation");
    char list[512] = "";
    for (int i = 0; i < SW_SOLID_COUNT; i++) {
        sw_solid solid = (sw_solid)i;
        if (!rows[i].defined)
            continue;
        put_solid(block, solid, &rows[i]);
        if (!strcmp(report_saturation_verdict(solid, &rows[i]), "dissolved"))
            text_join(list, sizeof list, ", ", "%s", sw_solid_name(solid));
    }
    if (list[0])
        doc_after(block, "Stays dissolved as mixed: %s.", list);
}

/* For whoever pays; of stocks it is said with them. */
static void put_cost(doc_record *out, const cli_report *report)
{
    char words[160];
    if (isnan(report_cost(report)) || report->stock)
        return;
    snprintf(words, sizeof words, SAY_IN_CURRENCY,
             report_cost_words(report).text);
    doc_text(out, "cost", words);
}

void report_finished(doc_record *record, const cli_report *report)
{
    const sw_assessment *assessment = report->assessment;
    const sw_chemistry *mixed = &assessment->mixed;
    double temperature_c = report->settings->conditions.temperature_c;
    doc_block *block = doc_add(record, "finished");
    doc_record *out = doc_row(block);
    doc_title(block, SAY_FINISHED_AT,
              report_degrees(report, temperature_c).text,
              stop_is_asked(report) ? "" : SAY_FINISHED_MEASURE);
    put_ec(out, report);
    put_meter(out, report);
    put_ph(out, assessment);
    put_alkalinity(out, mixed->alkalinity_meq_per_l);
    DOC_NUMBERS(out, {"osmotic_pressure_kpa", mixed->osmotic_pressure_kpa},
                {"ionic_strength_mol_per_kg", mixed->ionic_strength_mol_per_kg},
                {"ammonia_n_mg_per_l", mixed->ammonia_n_mg_per_l},
                {"cations_meq_per_l", mixed->cations_meq_per_l},
                {"anions_meq_per_l", mixed->anions_meq_per_l},
                {"temperature_c", temperature_c});
    put_cost(out, report);
    report_undeclared(out, &assessment->undeclared);
    put_solids(out, mixed->saturation);
}

void report_assessed_limits(doc_record *record, const cli_report *report)
{
    report_limits(record, report->assessment->guidelines,
                  report->assessment->guideline_count);
}
