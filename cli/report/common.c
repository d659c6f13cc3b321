/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What several reports say in the same way. */
#include <math.h>
#include <string.h>

#include "report/blocks.h"
#include "text/figure.h"

doc_record *report_begin(const char *command)
{
    doc_record *report = doc_new(command);
    doc_text(report, "saltwright", sw_version());
    doc_text(report, "command", command);
    return report;
}

void report_water(doc_record *record, const char *key, const cli_source *source,
                  double share)
{
    const sw_water *water = source->water;
    doc_record *out = doc_part(record, key);
    char from[512];
    bool named = strcmp(water->sample, water->file) != 0;
    snprintf(from, sizeof from, named ? "%s (%s)" : "%s", water->sample,
             water->file);
    doc_text(out, "sample", water->sample);
    doc_text(out, "file", water->file);
    doc_text(out, "from", from);
    DOC_NUMBERS(out, {"share", share},
                {"alkalinity_meq_per_l",
                 water->alkalinity_reported ? water->per_l.amount[SW_ALKALINITY]
                                            : (double)NAN},
                {"ph", water->ph}, {"ec_ms_per_cm", water->ec_ms_per_cm});
    doc_block *components = doc_add(out, "components");
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        if (water->reported[i])
            doc_entry(components, sw_component_name((sw_component)i),
                      water->per_l.amount[i]);
}

void report_notes(doc_block *block, const sw_notes *notes, unsigned places)
{
    static const char *const signals[] = {
        [SW_INFO] = "", [SW_WARNING] = "Warning", [SW_DANGER] = "Danger"};
    for (size_t i = 0; i < notes->count; i++) {
        const sw_note *note = &notes->items[i];
        doc_record *row = doc_row(block);
        doc_text(row, "code", note->code);
        doc_text(row, "severity", sw_severity_text(note->severity));
        doc_words(row, "severity", signals[note->severity]);
        doc_text(row, "text", note->text);
        doc_colour(row, note->severity == SW_DANGER ? DOC_BAD : DOC_PLAIN);
        doc_show_row(row, places);
    }
}

void report_range(doc_record *record, const char *key, double low, double high,
                  int decimals)
{
    if (!isnan(low) || !isnan(high))
        doc_text(record, key, figure_band(low, high, decimals).text);
}

const char report_hidden[] = "by less than these digits show";

bool report_is_hidden(double value, double low, double high, int decimals)
{
    cli_figure shown = figure_fixed(value, decimals);
    cli_figure bound = figure_fixed(value > high ? high : low, decimals);
    return (value > high || value < low) && strcmp(shown.text, bound.text) == 0;
}

/* ">0.7", or of a limit that bounds from below "<6.5". */
static void put_bound(doc_record *record, const char *key, double limit,
                      bool below)
{
    char words[40];
    snprintf(words, sizeof words, "%s%.30s", below ? "<" : ">",
             figure_short(limit).text);
    doc_number(record, key, limit);
    doc_words(record, key, words);
}

void report_guidelines(doc_record *record, const sw_guideline_row *rows,
                       size_t count)
{
    doc_block *block = doc_add(record, "guidelines");
    for (size_t i = 0; i < count; i++) {
        const sw_guideline_row *row = &rows[i];
        bool fit = row->fitness == SW_FIT;
        doc_record *out = doc_row(block);
        doc_text(out, "use", row->use);
        doc_text(out, "guideline", row->name);
        doc_number(out, "value", row->value);
        put_bound(out, "restricted_at", row->caution, row->below);
        put_bound(out, "unsuitable_at", row->severe, row->below);
        put_bound(out, "danger_at", row->danger, row->below);
        doc_text(out, "unit", row->unit);
        doc_number(out, "purified_share", row->purified_share);
        doc_text(out, "verdict", sw_fitness_text(row->fitness));
        doc_text(out, "source", row->source);
        doc_colour(out, fit ? DOC_GOOD : DOC_BAD);
        doc_show_row(out, fit ? DOC_DATA : 0);
    }
}
