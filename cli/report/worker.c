/* SPDX-License-Identifier: GPL-3.0-or-later */
/* All that a worker needs on one page: what it is for, what to wear, the list
 * to weigh from and mix by, what the meters must show, and who did it. */
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "report/blocks.h"
#include "run/cautions.h"
#include "report/words.h"
#include "sentences_text.h"

/* "lettuce (Takatsuji 1997)" of a built-in set; false: it is none. */
static bool read_set(const char *name, char *words, size_t size)
{
    for (size_t i = 0; i < sw_target_set_count(); i++) {
        char built_in[80];
        sw_target_set set = sw_target_set_at(i);
        snprintf(built_in, sizeof built_in, "%.36s (%.36s)", set.name,
                 set.cited);
        if (strcmp(name, built_in) != 0)
            continue;
        snprintf(words, size, "%s (%s)", set.crop, set.cited);
        return true;
    }
    return false;
}

/* That, or "basil" of "examples/basil.csv", or the name as it is. */
static void read_crop(const cli_inputs *inputs, char *words, size_t size)
{
    const char *name = inputs->target->name;
    const char *slash = strrchr(name, '/');
    const char *own = slash ? slash + 1 : name;
    size_t length = strlen(own);
    const char *end = length > 4 && strcmp(own + length - 4, ".csv") == 0
                          ? own + length - 4
                          : own + length;
    if (!read_set(name, words, size))
        snprintf(words, size, "%.*s", (int)(end - own), own);
    if (inputs->stage)
        text_join(words, size, ", ", "%.120s", inputs->stage);
}

static void put_waters(doc_record *job, const cli_report *report)
{
    const cli_sources *waters = &report->inputs->waters;
    char words[1024] = "";
    for (size_t i = 0; i < waters->count; i++)
        text_join(words, sizeof words, ", ", "%s%s%s",
                  waters->count > 1 ? report_share_words(report, i).text : "",
                  waters->count > 1 ? " " : "", waters->items[i].water->sample);
    doc_text(job, "water", words);
}

/* FNV-1a (Fowler, Noll and Vo), so that another amount is another code. */
static uint32_t mixed_in(uint32_t hash, const char *text)
{
    for (; *text; text++)
        hash = (hash ^ (unsigned char)*text) * UINT32_C(16777619);
    return hash;
}

/* How much of which water. */
static uint32_t mixed_in_waters(uint32_t hash, const cli_report *report)
{
    if (report_is_blend(report))
        return mixed_in(hash, report_shares(report).text);
    if (!report->renewal)
        return hash;
    cli_turnover turnover = report_turnover(report);
    hash = mixed_in(hash, report_litres(report, turnover.drained_l).text);
    return mixed_in(hash, report_litres(report, turnover.fresh_l).text);
}

/* "1A2B-3C4D", of the waters, the amounts and where they go. */
static void read_code(const cli_report *report, char *words, size_t size)
{
    uint32_t hash = mixed_in_waters(UINT32_C(2166136261), report);
    for (size_t i = 0; i < report->steps->count; i++) {
        const sw_step *step = &report->steps->items[i];
        if (step->kind != SW_STEP_ADD)
            continue;
        hash =
            mixed_in(hash, report->inputs->shelf->products[step->product].name);
        hash = mixed_in(hash, report_tank_name(step->tank));
        hash = mixed_in(
            hash, report_amounts_of(report, step->product, step->g).first.text);
    }
    snprintf(words, size, "%04X-%04X", (unsigned)(hash >> 16),
             (unsigned)(hash & 0xFFFF));
}

static void put_job(doc_record *record, const cli_report *report)
{
    sw_unit_system system = report->settings->volume_system;
    doc_record *job = doc_part(record, "job");
    char words[512];
    doc_text(job, "client", report->settings->audience);
    read_crop(report->inputs, words, sizeof words);
    doc_text(job, "crop", words);
    put_waters(job, report);
    doc_print(job, "makes", "%s of feed%s",
              figure_volume(report->settings->volume_l, system).text,
              report->stock ? ", as stock" : "");
    read_code(report, words, sizeof words);
    doc_text(job, "recipe", words);
    if (report->inputs->shelf_assumed)
        doc_text(job, "shelf", SAY_STRAIGHTS_ASSUMED);
}

/* The target's accepted range of what is mixed. */
static void put_wanted(doc_record *row, const cli_report *report,
                       sw_target_kind kind, bool aired, int decimals)
{
    const sw_assessment *assessment = report->assessment;
    const sw_row *found = NULL;
    for (size_t i = 0; i < assessment->measure_count; i++) {
        const sw_row *measure = &assessment->measures[i];
        if (measure->kind == kind && measure->aired == aired)
            found = measure;
    }
    if (!found)
        return;
    report_range(row, "range", found->low, found->high, decimals);
    DOC_NUMBERS(row, {"range_low", found->low}, {"range_high", found->high});
}

static doc_record *add_reading(doc_block *block, const char *measure,
                               double expected, cli_range between, int decimals)
{
    doc_record *row = doc_row(block);
    doc_text(row, "measure", measure);
    doc_shown(row, "expected", expected, figure_fixed(expected, decimals).text);
    report_range(row, "between", between.low, between.high, decimals);
    DOC_NUMBERS(row, {"between_low", between.low},
                {"between_high", between.high});
    return row;
}

static void put_ec(doc_block *block, const cli_report *report)
{
    double ec = report->assessment->mixed.ec_ms_per_cm;
    cli_range range = report_ec_range(report);
    cli_meter meter;
    char words[64];
    put_wanted(add_reading(block, "EC, mS/cm at 25 °C", ec, range, FIGURE_EC),
               report, SW_TARGET_EC, false, FIGURE_EC);
    if (!report_meter(report, &meter))
        return;
    snprintf(words, sizeof words, SAY_EC_AT,
             report_degrees(report, report->settings->meter_c).text);
    range.low /= meter.to_25;
    range.high /= meter.to_25;
    add_reading(block, words, meter.bare_ms_per_cm, range, FIGURE_EC);
}

static void put_readings(doc_record *record, const cli_report *report)
{
    const sw_assessment *assessment = report->assessment;
    doc_block *block = doc_add(record, "readings");
    char words[320];
    cli_figure poured = report_ph_poured(assessment, FIGURE_PH);
    if (report->stock)
        doc_title(block, SAY_METERS_BEHIND);
    put_ec(block, report);
    doc_record *ph = add_reading(block, "pH as mixed", assessment->mixed.ph,
                                 report_ph_range(report), FIGURE_PH);
    if (report_ph_is_open(assessment)) {
        doc_words(ph, "expected", *poured.text ? poured.text : "not known");
        doc_words(ph, "between", report_ph(assessment, FIGURE_PH).text);
    }
    put_wanted(ph, report, SW_TARGET_PH, false, FIGURE_PH);
    words_standing(report, words, sizeof words);
    doc_text(ph, "remark", words);
    if (!report_ph_is_open(assessment))
        put_wanted(add_reading(block, "pH after airing", assessment->aired.ph,
                               report_ph_aired_range(report), FIGURE_PH),
                   report, SW_TARGET_PH, true, FIGURE_PH);
}

static bool has_page(const cli_report *report)
{
    return report->spread && report->steps && !stop_withholds(report);
}

void report_title(doc_record *record, const cli_report *report)
{
    char crop[512], code[32], about[600];
    read_crop(report->inputs, crop, sizeof crop);
    if (!has_page(report)) {
        doc_head(record, "Not a mixing sheet", crop);
        return;
    }
    read_code(report, code, sizeof code);
    snprintf(about, sizeof about, "%s, recipe %s", crop, code);
    doc_head(record, "Mixing sheet", about);
}

void report_worker(doc_record *record, const cli_report *report)
{
    if (has_page(report)) {
        report_before(record, report);
        put_job(record, report);
    }
    report_steps(record, report);
    if (!has_page(report))
        return;
    put_readings(record, report);
    doc_part(record, "sign");
}
