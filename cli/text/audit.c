/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The audit of a lab report, for a person. */
#include "text/parts.h"

#include <math.h>
#include <string.h>

#include "text/figure.h"
#include "text/table.h"

static void put_belief(const cli_page *page, const cli_audit *audit)
{
    size_t agree = audit_count_checks(audit, SW_AGREES);
    size_t missing = audit_count_checks(audit, SW_NOT_CHECKED);
    size_t made = audit->report->check_count - missing;
    size_t wrong = audit_count_checks(audit, SW_DISAGREES);
    if (made == 0)
        page_paragraph(page, 2, 2,
                       "Nothing in this report can be held against anything "
                       "else in it.");
    else
        page_paragraph(page, 2, 2, "The report %s: %zu of %zu checks hold%s.",
                       wrong           ? "contradicts itself"
                       : agree == made ? "agrees with itself"
                                       : "is doubtful",
                       agree, made, missing ? "; the others lack a value" : "");
}

static void put_use(const cli_page *page, const cli_audit *audit)
{
    size_t unfit = audit_count_limits(audit, SW_UNFIT);
    size_t care = audit_count_limits(audit, SW_CARE);
    size_t all = audit->report->fitness_count;
    char words[64] = "";
    size_t used = 0;
    if (care)
        used += (size_t)snprintf(words, sizeof words, "; %zu %s for care", care,
                                 care > 1 ? "ask" : "asks");
    if (unfit)
        snprintf(words + used, sizeof words - used,
                 "; %zu %s it unfit for a use", unfit,
                 unfit > 1 ? "make" : "makes");
    if (unfit + care == 0)
        page_paragraph(page, 2, 2, "The water keeps all %zu limits.", all);
    else
        page_paragraph(page, 2, 2,
                       "Of %zu published limits the water keeps %zu%s.", all,
                       all - care - unfit, words);
}

static void put_danger(const cli_page *page, const cli_audit *audit)
{
    const sw_notes *notes = &audit->report->notes;
    size_t i = 0;
    while (i < notes->count && notes->items[i].severity != SW_DANGER)
        i++;
    if (i < notes->count)
        page_paragraph(page, 2, 2,
                       "Danger: do not use this water as it stands; the notes "
                       "below say why.");
}

static cli_figure allowed(const sw_check_row *row)
{
    cli_figure out = {"-"};
    if (!isnan(row->low) && !isnan(row->high))
        snprintf(out.text, sizeof out.text, "%.20s to %.20s",
                 figure_fixed(row->low, 2).text,
                 figure_fixed(row->high, 2).text);
    else if (!isnan(row->high))
        snprintf(out.text, sizeof out.text, "up to %.20s",
                 figure_fixed(row->high, 2).text);
    else if (!isnan(row->low))
        snprintf(out.text, sizeof out.text, "from %.20s",
                 figure_fixed(row->low, 2).text);
    return out;
}

/* "reported / reckoned: 0.788 and 0.785 mS/cm; too few anions" */
static void remark(const sw_check_row *row, char *text, size_t size)
{
    char pair[160] = "";
    if (!isnan(row->reported) && !isnan(row->reckoned))
        snprintf(pair, sizeof pair, "%s: %s and %s%s%s", row->measure,
                 figure_plain(row->reported).text,
                 figure_plain(row->reckoned).text, row->unit[0] ? " " : "",
                 row->unit);
    else if (row->finding != SW_NOT_CHECKED)
        snprintf(pair, sizeof pair, "%s", row->measure);
    snprintf(text, size, "%s%s%s", pair, pair[0] && row->reason[0] ? "; " : "",
             row->reason);
}

static cli_tone finding_tone(sw_finding finding)
{
    if (finding == SW_AGREES)
        return TONE_GOOD;
    return finding == SW_NOT_CHECKED ? TONE_PLAIN : TONE_BAD;
}

static void add_check(cli_table *table, const sw_check_row *row)
{
    char below[400];
    cli_figure value = figure_fixed(row->value, 2);
    cli_figure range = allowed(row);
    bool checked = row->finding != SW_NOT_CHECKED;
    const char *cells[] = {row->name, checked ? value.text : "",
                           checked ? range.text : "",
                           sw_finding_text(row->finding)};
    table_add(table, cells)->tone = finding_tone(row->finding);
    remark(row, below, sizeof below);
    if (below[0])
        table_remark(table, below);
}

static void put_checks(const cli_page *page, const cli_audit *audit)
{
    static const cli_table_column columns[] = {{"check", "", false},
                                               {"value", "", true},
                                               {"allowed", "", true},
                                               {"finding", "", false}};
    const sw_audit_report *report = audit->report;
    cli_table table = table_new(columns, sizeof columns / sizeof columns[0]);
    table.remark_indent = 4;
    page_title(page, "Does the report agree with itself?");
    for (size_t i = 0; i < report->check_count; i++)
        add_check(&table, &report->checks[i]);
    table_print(page, &table);
    table_free(&table);
}

static void put_rereadings(const cli_page *page, const cli_audit *audit)
{
    const sw_audit_report *report = audit->report;
    if (!report->rereading_count)
        return;
    page_title(page, "What may have been misread");
    for (size_t i = 0; i < report->rereading_count; i++) {
        const sw_rereading *row = &report->rereadings[i];
        page_paragraph(page, 2, 4, "- %s (%s of belief: --read-as \"%s\")",
                       row->text, figure_percent(row->share).text,
                       row->read_as);
    }
    page_paragraph(page, 2, 2,
                   "Ask the laboratory before you believe any of them.");
}

/* ">0.7", or of a limit that bounds from below "<6.5". */
static cli_figure bound_of(const sw_guideline_row *row, double limit)
{
    cli_figure number = figure_short(limit);
    cli_figure words = number;
    if (!isnan(limit))
        snprintf(words.text, sizeof words.text, "%s%.16s",
                 row->below ? "<" : ">", number.text);
    return words;
}

static void add_limit(cli_table *table, const sw_guideline_row *row)
{
    char purified[32] = "";
    cli_figure value = figure_plain(row->value);
    cli_figure caution = bound_of(row, row->caution);
    cli_figure severe = bound_of(row, row->severe);
    if (!isnan(row->purified_share))
        snprintf(purified, sizeof purified, "%.0f %%",
                 ceil(100.0 * row->purified_share));
    const char *cells[] = {
        row->use,    row->name, value.text, caution.text,
        severe.text, row->unit, purified,   sw_fitness_text(row->fitness)};
    table_add(table, cells)->tone = TONE_BAD;
    table_remark(table, row->source);
}

/* Whether row `index` tells nothing that a row before it has not told. */
static bool is_repeated(const sw_audit_report *report, size_t index,
                        bool by_name)
{
    const sw_guideline_row *row = &report->fitness[index];
    for (size_t i = 0; i < index; i++) {
        const sw_guideline_row *other = &report->fitness[i];
        if (other->fitness == SW_FIT && strcmp(other->use, row->use) == 0 &&
            (!by_name || strcmp(other->name, row->name) == 0))
            return true;
    }
    return false;
}

/* Whether another limit of the same name and use is not kept. */
static bool is_broken(const sw_audit_report *report,
                      const sw_guideline_row *row)
{
    for (size_t i = 0; i < report->fitness_count; i++) {
        const sw_guideline_row *other = &report->fitness[i];
        if (other->fitness != SW_FIT && strcmp(other->use, row->use) == 0 &&
            strcmp(other->name, row->name) == 0)
            return true;
    }
    return false;
}

/* The names of limits kept for the use of row `first`. */
static void put_fit_use(const cli_page *page, const sw_audit_report *report,
                        size_t first)
{
    char list[512] = "";
    size_t used = 0;
    for (size_t i = first; i < report->fitness_count; i++) {
        const sw_guideline_row *row = &report->fitness[i];
        if (row->fitness != SW_FIT || used >= sizeof list ||
            strcmp(row->use, report->fitness[first].use) != 0 ||
            is_repeated(report, i, true) || is_broken(report, row))
            continue;
        int n = snprintf(list + used, sizeof list - used, "%s%s",
                         used ? ", " : "", row->name);
        used += n > 0 ? (size_t)n : 0;
    }
    if (used)
        page_entry(page, 17, report->fitness[first].use, "%s", list);
}

static void put_fit(const cli_page *page, const cli_audit *audit)
{
    const sw_audit_report *report = audit->report;
    bool begun = false;
    for (size_t i = 0; i < report->fitness_count; i++) {
        if (report->fitness[i].fitness != SW_FIT ||
            is_repeated(report, i, false))
            continue;
        if (!begun)
            page_title(page, "Limits it keeps");
        begun = true;
        put_fit_use(page, report, i);
    }
}

static void put_limits(const cli_page *page, const cli_audit *audit)
{
    static const cli_table_column columns[] = {
        {"for", "", false},          {"", "", false},       {"water", "", true},
        {"care", "if", true},        {"unfit", "if", true}, {"unit", "", false},
        {"purified", "share", true}, {"verdict", "", false}};
    const sw_audit_report *report = audit->report;
    cli_table table = table_new(columns, sizeof columns / sizeof columns[0]);
    for (size_t i = 0; i < report->fitness_count; i++)
        if (report->fitness[i].fitness != SW_FIT)
            add_limit(&table, &report->fitness[i]);
    if (table.row_count) {
        page_title(page, "Limits it does not keep");
        table_print(page, &table);
    }
    table_free(&table);
    put_fit(page, audit);
}

void part_audit(const cli_page *page, const cli_audit *audit)
{
    page_word(page, TONE_TITLE, "Result");
    fputc('\n', page->out);
    put_belief(page, audit);
    put_use(page, audit);
    put_danger(page, audit);
    fputc('\n', page->out);
    part_water_name(page, "water", "", audit->source->water);
    if (!isnan(audit->read_ms_per_cm))
        page_entry(page, 6, "meter",
                   "EC %s mS/cm without compensation, at %.4g °C; reckoned to "
                   "25 °C in what follows",
                   figure_plain(audit->read_ms_per_cm).text, audit->meter_c);
    put_checks(page, audit);
    put_rereadings(page, audit);
    put_limits(page, audit);
    part_note_list(page, &audit->report->notes);
}
