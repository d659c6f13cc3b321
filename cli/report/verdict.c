/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What came of it, in sentences, and what was asked. */
#include <math.h>
#include <string.h>

#include "report/blocks.h"
#include "run/cautions.h"
#include "io/figure.h"
#include "report/words.h"
#include "sentences_text.h"

void report_stop(doc_record *record, const cli_report *report)
{
    if (!stop_is_asked(report))
        return;
    const sw_note *reason;
    cli_note_walk walk = {0};
    const char *changes[STOP_MOST_CHANGES];
    size_t count = stop_changes(report, changes);
    doc_block *block = doc_add(record, "stop");
    doc_record *out = doc_row(block);
    doc_before(block, "Danger: %s", stop_words);
    doc_block *to = doc_add(out, "reasons");
    while ((reason = stop_next_reason(report, &walk)))
        doc_say(to, DOC_BAD, "%s", reason->text);
    to = doc_add(out, "changes");
    for (size_t i = 0; i < count; i++)
        doc_say(to, DOC_PLAIN, "%s", changes[i]);
}

/* What was measured of this mix, its danger first, before the result. */
static void say_measured(doc_block *block, const cli_report *report)
{
    const sw_diagnosis *diagnosis = report->diagnosis;
    for (size_t i = 0; diagnosis && i < diagnosis->notes.count; i++)
        if (diagnosis->notes.items[i].severity == SW_DANGER)
            doc_say(block, DOC_BAD, "Danger: %s",
                    diagnosis->notes.items[i].text);
    report_say_readings(block, report);
}

/* What the proof allows to say where not every target is met. */
static const char *claim_of(const cli_report *report)
{
    const sw_solution *solution = report->solution;
    bool steps = report_in_steps(report);
    if (solution && sw_notes_find(&solution->notes, "ratio-not-sought"))
        return "; ratios that others would be missed for were not sought";
    if (!solution)
        return " by this recipe in this water";
    if (solution->outcome != SW_OPTIMAL || report_cut_short(report) ||
        sw_objective_facts_of(solution->objective)->kind == SW_OF_AMOUNTS)
        return "";
    if (steps && report->weighed->equal)
        return report->weighed->of_steps
                   ? "; as good as the closest the scale can weigh of these "
                     "products"
                   : "; as good as the closest this shelf can come";
    if (solution->fewer.closest.count && !steps)
        return "; as good as the closest this shelf can come";
    return steps
               ? "; nothing the scale can weigh of these products comes closer"
               : "; no recipe within the limits comes closer as a whole";
}

/* "12 of 14 targets are met. 2 remarks: see Notes." */
static void say_count(doc_block *block, const cli_report *report,
                      const char *claim, report_sentence remarks,
                      unsigned places)
{
    size_t met;
    size_t all;
    report_sentence words;
    double limit;
    bool off = report_readings_are_off(report) ||
               report_readings_are_doubted(report) ||
               report_read_ph_is_off(report, &limit);
    bool open = report->diagnosis && report->diagnosis->or_else;
    const char *lead = report_spoils(report) ? "Counted so:"
                       : off || open || report_readings_harm(report)
                           ? "On paper:"
                           : "";
    sw_count_met(report->assessment, &met, &all);
    doc_tone tone = met == all && !off && !report_is_dangerous(report)
                        ? DOC_PLAIN
                        : DOC_BAD;
    if (met == all)
        words = report_words("%s %zu %s met.",
                             *lead      ? lead
                             : all == 1 ? "The"
                                        : "All",
                             all, all == 1 ? "target is" : "targets are");
    else
        words = report_words(SAY_VERDICT_MET, lead, *lead ? " " : "", met, all,
                             claim);
    doc_show_row(doc_say(block, tone, "%s%s", words.text, remarks.text),
                 places);
}

static report_sentence remarks_words(size_t count, const char *where)
{
    if (!count)
        return (report_sentence){""};
    return report_words(" " SAY_VERDICT_REMARKS, count, count == 1 ? "" : "s",
                        where);
}

/* Whoever reads the result alone is sent on to the remarks. */
static void say_met(doc_block *block, const cli_report *report,
                    report_remarks remarks)
{
    say_count(block, report, report->solution ? claim_of(report) : "",
              remarks_words(remarks.brief, "without --brief"), DOC_BRIEF);
    say_count(block, report, claim_of(report),
              remarks_words(remarks.full, "see Notes"),
              DOC_SCREEN | DOC_CLIENT | DOC_DATA);
}

/* "Short: K, Fe." */
static void say_unmet(doc_block *block, const cli_report *report)
{
    char list[1024], holding[640];
    words_holding(report, holding, sizeof holding);
    bool held = false;
    for (size_t i = 0; i < WORDS_UNMET_KINDS; i++)
        if (words_of_missed(report, words_unmet_kinds[i].verdict, list,
                            sizeof list)) {
            doc_say(block, DOC_BAD, "%s: %s.", words_unmet_kinds[i].word, list);
            held = holding[0] != '\0';
        }
    if (held)
        doc_say(block, DOC_BAD, SAY_BEFORE_HOLDING, holding);
}

/* Of the recipe that a solution shows. */
static double value_of(const sw_solution *solution)
{
    return report_sum(solution->fewer.closest.count
                          ? solution->fewer.objective
                          : solution->certificate.objective);
}

/* "--keep-ranges gives a recipe that meets all 16, ...": less close by the
 * digits shown, or as close; then it is the steps that miss, if there are any.
 */
static void say_in_range(doc_block *block, const cli_report *report)
{
    size_t met, all;
    char would[32], is[32];
    if (!report->in_range)
        return;
    bool steps = report_in_steps(report);
    double further = value_of(report->in_range),
           now = value_of(report->solution);
    snprintf(would, sizeof would, "%.4g", further);
    snprintf(is, sizeof is, "%.4g", now);
    bool less_close = further > now && strcmp(would, is) != 0;
    const char *measure =
        sw_objective_facts_of(report->solution->objective)->value;
    sw_count_met(report->assessment, &met, &all);
    if (less_close)
        doc_say(block, DOC_PLAIN, SAY_VERDICT_IN_RANGE, all, measure, would, is,
                steps ? ", before amounts are whole steps" : "");
    else if (!steps)
        doc_say(block, DOC_PLAIN, SAY_VERDICT_AS_CLOSE, all);
}

static void say_where_set(doc_block *block, doc_tone tone, const char *text)
{
    if (text && *text)
        doc_say(block, tone, "%s", text);
}

static void say_result(doc_block *block, const cli_report *report)
{
    char drift[240];
    if (report_cut_short(report))
        doc_say(block, DOC_BAD, SAY_VERDICT_CUT_SHORT);
    if (report_spoils(report))
        doc_say(block, DOC_BAD, SAY_VERDICT_TANKS, report->stock->limit);
    say_met(block, report, report_say_before(block, report));
    say_unmet(block, report);
    say_in_range(block, report);
    report_say_reasons(block, report);
    say_where_set(block, DOC_PLAIN, words_best_is_nothing(report));
    words_drift(report, drift, sizeof drift);
    say_where_set(block, DOC_PLAIN, drift);
    if (report->assessment->undeclared.text[0])
        report_reads_poured(
            doc_say(block, DOC_BAD, "%s", report->assessment->undeclared.text),
            "text", report);
    for (int t = 0; report->stock && t < SW_TANKS; t++)
        say_where_set(block, DOC_BAD, report->stock->tanks[t].chelate_lost);
    if (report_lacks_tanks(report))
        doc_say(block, DOC_BAD, SAY_VERDICT_NO_STOCK);
}

/* Which of the waters need not wait for what is to be measured of others. */
static void say_without(doc_block *block, const cli_report *report)
{
    const cli_inputs *inputs = report->inputs;
    char open[400] = "", sound[400] = "";
    for (size_t i = 0; i < inputs->waters.count; i++) {
        bool known = sw_co2_is_known(&inputs->contents[i]);
        text_join(known ? sound : open, sizeof sound, ", ", "%.60s",
                  inputs->waters.items[i].water->sample);
    }
    if (*sound && *open && !report->renewal)
        doc_say(block, DOC_PLAIN, SAY_WITHOUT_OPEN, open, sound);
}

void report_verdict(doc_record *record, const cli_report *report)
{
    doc_block *block = doc_add(record, "verdict");
    say_measured(block, report);
    if (report->assessment) {
        say_result(block, report);
        return;
    }
    doc_title(block, "No recipe");
    report_say_before(block, report);
    if (report_is_undetermined(report)) {
        say_without(block, report);
        return;
    }
    if (report->solution->outcome == SW_CONFLICT)
        report_say_conflict(block, report);
    else
        doc_say(block, DOC_BAD, SAY_VERDICT_CUT_BEFORE);
}

/* "30 % well (examples/well.csv); 70 % ..."; of samples that each stand alone
 * "january; february (examples/seasons.csv)". */
static void put_waters(doc_record *out, const cli_report *report)
{
    const cli_sources *waters = &report->inputs->waters;
    char list[2048] = "";
    for (size_t i = 0; i < waters->count; i++) {
        const sw_water *water = waters->items[i].water;
        double share = report_share(report, i);
        bool shared = waters->count > 1 && !isnan(share);
        bool again = isnan(share) && i + 1 < waters->count &&
                     !strcmp(water->file, waters->items[i + 1].water->file);
        bool named = !again && strcmp(water->sample, water->file) != 0;
        text_join(list, sizeof list, "; ", "%s%s%s%s%s%s",
                  shared ? report_share_words(report, i).text : "",
                  shared ? " " : "", water->sample, named ? " (" : "",
                  named ? water->file : "", named ? ")" : "");
    }
    if (report->inputs->water_from)
        text_join(list, sizeof list, "; ", "%s", report->inputs->water_from);
    doc_text(out, "water", list);
}

void report_asked(doc_record *record, const cli_report *report)
{
    const cli_settings *settings = report->settings;
    const cli_inputs *inputs = report->inputs;
    char strength[128];
    doc_record *out = doc_part(record, "asked");
    words_strength(inputs, strength, sizeof strength);
    doc_text(out, "for", settings->audience);
    put_waters(out, report);
    report_target(out, inputs);
    doc_text(out, "stage", inputs->stage);
    doc_text(out, "to_ec", strength);
    if (report->solution)
        doc_text(out, "aim",
                 sw_objective_facts_of(report->solution->objective)->aim);
    report_shelf(out, inputs);
    doc_print(
        out, "volume", "%s of finished solution",
        figure_volume_both(settings->volume_l, settings->volume_system).text);
}
