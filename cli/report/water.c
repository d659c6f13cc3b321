/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The source water: as its reports give it, as blended, and its charges. */
#include <math.h>
#include <string.h>

#include "report/blocks.h"
#include "io/figure.h"
#include "io/memory.h"
#include "sentences_text.h"

static void put_contents(doc_record *out, const sw_content *per_l,
                         const bool *known)
{
    doc_block *components = doc_add(out, "components");
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        if (known[i])
            doc_entry(components, sw_component_name((sw_component)i),
                      per_l->amount[i]);
}

static void put_source(doc_record *out, const cli_source *source, double share)
{
    const sw_water *water = source->water;
    bool named = strcmp(water->sample, water->file) != 0;
    doc_text(out, "sample", water->sample);
    doc_text(out, "file", water->file);
    doc_text(out, "from", water->sample);
    if (named)
        doc_reads(out, "from", "%s (%s)", water->sample, water->file);
    DOC_NUMBERS(out, {"share", share},
                {"alkalinity_meq_per_l",
                 water->alkalinity_reported ? water->per_l.amount[SW_ALKALINITY]
                                            : (double)NAN},
                {"ph", water->ph}, {"ec_ms_per_cm", water->ec_ms_per_cm});
    put_contents(out, &water->per_l, water->reported);
}

void report_water(doc_record *record, const char *key, const cli_source *source,
                  double share)
{
    put_source(doc_part(record, key), source, share);
}

static void put_blend(doc_record *record, const sw_assessment *assessment)
{
    bool known[SW_COMPONENT_COUNT];
    sw_content water = assessment->water;
    doc_block *block = doc_add(record, "water");
    doc_record *out = doc_row(block);
    doc_show_block(block, DOC_DATA);
    for (int i = 0; i < SW_COMPONENT_COUNT; i++) {
        known[i] = report_water_known(&assessment->rows[i]);
        water.amount[i] = assessment->rows[i].water_mg_per_l;
    }
    doc_number(out, "alkalinity_meq_per_l", water.amount[SW_ALKALINITY]);
    put_contents(out, &water, known);
}

void report_waters(doc_record *record, const cli_report *report)
{
    const cli_sources *waters = &report->inputs->waters;
    if (waters->count == 1) {
        doc_block *one = doc_add(record, "water");
        doc_show_block(one, DOC_DATA);
        put_source(doc_row(one), &waters->items[0], (double)NAN);
        return;
    }
    if (report->assessment)
        put_blend(record, report->assessment);
    doc_block *block = doc_add(record, "waters");
    doc_show_block(block, DOC_DATA);
    for (size_t i = 0; i < waters->count; i++) {
        double share = report_share(report, i);
        doc_record *row = doc_row(block);
        put_source(row, &waters->items[i], share);
        doc_number(row, "volume_l", share * report->settings->volume_l);
    }
}

/* ---- A blend, for who pours it ------------------------------------------- */

/* How many of the waters before `end` there are. */
static size_t count_poured(const cli_report *report, size_t end)
{
    size_t count = 0;
    for (size_t i = 0; i < end; i++)
        count += report_pours(report, i);
    return count;
}

/* A renewed tank, of old solution and fresh water, is none. */
bool report_is_blend(const cli_report *report)
{
    return !report->renewal && report->inputs->waters.count > 1 &&
           count_poured(report, report->inputs->waters.count) > 0;
}

report_sentence report_shares(const cli_report *report)
{
    const cli_sources *waters = &report->inputs->waters;
    report_sentence out = {""};
    for (size_t i = 0; i < waters->count; i++)
        if (report_pours(report, i))
            text_join(out.text, sizeof out.text, ", ", "%s %.60s",
                      report_share_words(report, i).text,
                      waters->items[i].water->sample);
    return out;
}

/* All in the unit and the decimals of the whole, which they add up to. */
static cli_figure part_of(const cli_report *report, double share,
                          double volume_l)
{
    double ml = 1000.0 * volume_l;
    figure_unit unit =
        figure_liquid_unit(ml, report->settings->volume_system == SW_US);
    return figure_amount(
        figure_kept(share * ml / unit.size, figure_decimals(ml / unit.size)),
        unit.name);
}

cli_figure report_litres(const cli_report *report, double volume_l)
{
    return report->settings->volume_system == SW_US
               ? figure_liquid_us(1000.0 * volume_l)
               : figure_liquid_metric(1000.0 * volume_l);
}

report_sentence report_blend(const cli_report *report, double volume_l)
{
    const cli_sources *waters = &report->inputs->waters;
    size_t count = count_poured(report, waters->count);
    report_sentence out = {""};
    for (size_t i = 0; i < waters->count; i++) {
        double share = report_share(report, i);
        bool last = count_poured(report, i) + 1 == count;
        if (report_pours(report, i))
            text_join(out.text, sizeof out.text, last ? " and " : ", ",
                      "%s of %.60s", part_of(report, share, volume_l).text,
                      waters->items[i].water->sample);
    }
    return out;
}

void report_say_blend(doc_block *block, const cli_report *report)
{
    double feed_l =
        report->stock ? report->stock->feed_l : report->settings->volume_l;
    if (!report_is_blend(report))
        return;
    if (report->stock)
        doc_before(block, SAY_BLEND_OF_FEED, report_shares(report).text,
                   figure_volume(feed_l, report->settings->volume_system).text,
                   report_blend(report, feed_l).text,
                   report->make_up ? "" : SAY_BLEND_IN_TANKS);
    else
        doc_before(block, SAY_BLEND_OF_MIX, report_shares(report).text,
                   report_blend(report, feed_l).text);
}

/* ---- How the report was read -------------------------------------------- */

/* What an amount of that kind is in. */
static const char *unit_read(const sw_reading *r)
{
    switch (r->kind) {
    case SW_READS_ALKALINITY:
    case SW_READS_HARDNESS:
    case SW_READS_CA_HARDNESS:
        return " meq/L";
    case SW_READS_PH:
        return "";
    case SW_READS_EC:
        return " mS/cm";
    case SW_READS_TEMPERATURE:
        return " °C";
    default:
        return " mg/L";
    }
}

/* "NO3-N 3.21 mg/L", "Fe below 0.05 mg/L, taken as 0". */
static report_sentence words_read(const sw_reading *r)
{
    const char *name = r->kind == SW_READS_COMPONENT
                           ? sw_component_name(r->component)
                       : r->kind == SW_READS_EC ? "EC"
                                                : r->name;
    const cli_figure amount = figure_short(r->amount);
    const char *unit = unit_read(r);
    if (isnan(r->amount))
        return report_words(SAY_READ_AS_WORD, name);
    if (r->limit_assumed)
        return report_words(SAY_READ_AS_ZERO, name, amount.text, unit);
    if (r->below_detection)
        return report_words("%s taken as 0; below %s%s", name, amount.text,
                            unit);
    if (r->kind == SW_READS_OTHER)
        return report_words("%s %s, in no balance", name, amount.text);
    return report_words("%s %s%s", name, amount.text, unit);
}

static void put_reading(doc_block *block, const sw_reading *r)
{
    doc_record *out = doc_row(block);
    const char *sign = r->below_detection ? "<" : "";
    DOC_NUMBERS(out, {"line", (double)r->line}, {"column", (double)r->column});
    doc_text(out, "written",
             r->limit_assumed || isnan(r->value)
                 ? report_words("%s %s", r->parameter, r->unit).text
                 : report_words("%s %s%s %s", r->parameter, sign,
                                figure_given(r->value).text, r->unit)
                       .text);
    doc_text(out, "taken_as", words_read(r).text);
}

/* The place of the water among those of its file, perhaps since read anew. */
static size_t place_of(const cli_source *source)
{
    size_t place = 0;
    const sw_waters *waters = source->all;
    while (place < waters->count &&
           strcmp(waters->items[place].sample, source->water->sample) != 0)
        place++;
    return place;
}

void report_read_as(doc_record *record, const cli_source *source)
{
    const sw_water *water = source->water;
    const sw_waters *waters = source->all;
    if (!waters || water->reading_count == 0 || !water->readings[0].line)
        return;
    doc_block *block = doc_add(record, "readings");
    for (size_t i = 0; i < water->reading_count; i++)
        put_reading(block, &water->readings[i]);
    for (size_t i = 0; i < waters->remark_count; i++) {
        const sw_water_remark *r = &waters->remarks[i];
        if (r->sample != SW_WHOLE_FILE && r->sample != place_of(source))
            continue;
        doc_record *out = doc_row(block);
        DOC_NUMBERS(out, {"line", r->line ? (double)r->line : (double)NAN},
                    {"column", r->column ? (double)r->column : (double)NAN});
        doc_text(out, "written", r->written);
        doc_text(out, "taken_as", r->taken_as);
    }
}

/* ---- Charges ----------------------------------------------------------- */

typedef struct carrier {
    const char *name;
    sw_component component;
} carrier;

static const carrier carriers[2][6] = {{{"Ca", SW_CA},
                                        {"Mg", SW_MG},
                                        {"Na", SW_NA},
                                        {"K", SW_K},
                                        {"NH4", SW_NH4_N}},
                                       {{"HCO3", SW_ALKALINITY},
                                        {"SO4", SW_S},
                                        {"Cl", SW_CL},
                                        {"NO3", SW_NO3_N},
                                        {"F", SW_F},
                                        {"PO4", SW_P}}};
/* What is less has no room in a chart and no weight in a balance. */
static const double least_meq_per_l = 0.005;

static void put_ion(doc_block *ions, const char *name, double meq_per_l,
                    char *list, size_t size)
{
    if (meq_per_l < least_meq_per_l)
        return;
    doc_record *out = doc_row(ions);
    doc_text(out, "ion", name);
    doc_number(out, "meq_per_l", meq_per_l);
    text_join(list, size, ", ", "%s %s", name,
              figure_fixed(meq_per_l, FIGURE_CHARGE).text);
}

/* One side, what is in none of its ions last as "other". */
static void put_side(doc_block *block, const sw_content *water, bool anions,
                     double sum)
{
    char list[256] = "";
    double rest = sum;
    doc_record *out = doc_row(block);
    doc_text(out, "side", anions ? "anions" : "cations");
    doc_number(out, "meq_per_l", sum);
    doc_block *ions = doc_add(out, "ions");
    for (const carrier *c = carriers[anions];
         c < carriers[anions] + 6 && c->name; c++) {
        double meq_per_l =
            water->amount[c->component] *
            (c->component == SW_ALKALINITY ? 1.0 : sw_meq_per_mg(c->component));
        put_ion(ions, c->name, meq_per_l, list, sizeof list);
        rest -= meq_per_l < least_meq_per_l ? 0.0 : meq_per_l;
    }
    put_ion(ions, "other", rest, list, sizeof list);
    doc_text(out, "of", list);
}

void report_charges(doc_record *record, const cli_report *report)
{
    sw_chemistry as_found;
    const sw_content *water = &report->assessment->water;
    doc_block *block = doc_add(record, "charges");
    /* The same water was brought to equilibrium before, with more in it. */
    if (memory_had(sw_equilibrate(water, &report->settings->conditions,
                                  SW_CARBONATE_KEPT, &as_found, NULL)))
        return;
    double plus = as_found.cations_meq_per_l;
    double minus = as_found.anions_meq_per_l;
    put_side(block, water, false, plus);
    put_side(block, water, true, minus);
    if (plus + minus <= 0.0)
        doc_after(block, SAY_WATER_UNCHARGED);
    else
        doc_after(block, SAY_WATER_CHARGE,
                  100.0 * fabs(plus - minus) / (plus + minus),
                  report_as_caco3(water->amount[SW_ALKALINITY]));
}
