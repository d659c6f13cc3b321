/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * After a conflict: the limits that cannot hold together, what alone would
 * resolve it, and how little has to give way in all.
 */
#include <math.h>
#include <stdio.h>

#include "report/blocks.h"
#include "io/figure.h"
#include "io/memory.h"
#include "sentences_text.h"

/* Products named on screen; the others are in the data. */
enum { PRODUCTS_SHOWN = 3 };

/* Less of it in the finished solution is not worth a word. */
static const double least_mg_per_l = 1.0, least_trace_mg_per_l = 0.02;

static bool is_named(const sw_target *target, sw_component component)
{
    bool nitrogen = sw_component_is(component, SW_IS_FORM);
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        if (row->kind == SW_TARGET_COMPONENT &&
            (row->component == component ||
             (nitrogen && row->component == SW_N)))
            return true;
    }
    return false;
}

static double least_of(sw_component component)
{
    return sw_component_is(component, SW_IS_TRACE) ? least_trace_mg_per_l
                                                   : least_mg_per_l;
}

/* A product that closes a gap can open another: what it brings that the target
 * does not name counts for nothing in the solve, and is said. */
static void list_open(doc_record *row, const sw_addition *addition,
                      const sw_product *product, const sw_target *target,
                      char *words, size_t size)
{
    doc_block *left_open = doc_add(row, "left_open");
    char list[256] = "";
    for (int c = 0; c < SW_N; c++) {
        double brings = addition->g_per_l * product->per_g.amount[c];
        if (brings < least_of((sw_component)c) ||
            is_named(target, (sw_component)c))
            continue;
        doc_entry(left_open, sw_component_name((sw_component)c), brings);
        text_join(list, sizeof list, ", ", "%s %s mg/L",
                  sw_component_name((sw_component)c),
                  figure_plain(brings).text);
    }
    if (list[0])
        text_join(words, size, "; ", SAY_LEAVES_OPEN, list);
}

doc_record *report_addition(doc_block *block, const cli_report *report,
                            const sw_addition *addition, const char *first)
{
    char words[640];
    double g = addition->g_per_l * report->settings->volume_l;
    sw_product *product;
    doc_record *row = doc_row(block);
    doc_text(row, "product", addition->name);
    DOC_NUMBERS(row, {"g_per_l", addition->g_per_l},
                {"measure_out", g > 0.0 ? g : (double)NAN},
                {"objective", addition->objective}, {"price", addition->price});
    doc_words(row, "measure_out", figure_mass_metric(g).text);
    snprintf(words, sizeof words, "%s", first);
    if (addition->corrosive)
        text_join(words, sizeof words, "; ", "corrosive");
    if (!memory_had(sw_catalogue_get(addition->index, &product, NULL))) {
        if (sw_has_hazard(product, "H272"))
            text_join(words, sizeof words, "; ", "an oxidiser");
        list_open(row, addition, product, report->inputs->target, words,
                  sizeof words);
        sw_product_free(product);
    }
    doc_text(row, "remark", words);
    return row;
}

/* "raise it to 61.3 mg/L": rounded away from the limit, and tried so. */
static void put_easing(doc_block *block, const sw_easing *easing)
{
    bool up = easing->reached > easing->limit.bound;
    doc_record *row = doc_row(block);
    doc_text(row, "limit", easing->limit.name);
    DOC_NUMBERS(row, {"bound", easing->limit.bound},
                {"reached", easing->reached}, {"share", easing->share});
    doc_text(row, "unit", easing->limit.unit);
    if (!isnan(easing->reached))
        doc_print(row, "change", "%s it to %s%s%s", up ? "raise" : "lower",
                  figure_outward(easing->reached, up).text,
                  easing->limit.unit[0] ? " " : "", easing->limit.unit);
}

static size_t count_alone(const sw_conflict *conflict)
{
    size_t count = conflict->addition_count;
    for (size_t i = 0; i < conflict->member_count; i++)
        count += isnan(conflict->members[i].reached) ? 0 : 1;
    return count + (isnan(conflict->purified_share) ? 0 : 1);
}

/* One list wherever they are named, for there may be several such sets: the one
 * that was explained, if any was. */
static size_t count_members(const cli_report *report)
{
    const sw_solution *solution = report->solution;
    return report->conflict                   ? report->conflict->member_count
           : solution->outcome == SW_CONFLICT ? solution->limit_count
                                              : solution->conflict_count;
}

static sw_easing member_at(const cli_report *report, size_t index)
{
    const sw_solution *solution = report->solution;
    bool none = solution->outcome == SW_CONFLICT;
    const sw_limit *limits = none ? solution->limits : solution->conflict;
    return report->conflict
               ? report->conflict->members[index]
               : (sw_easing){.limit = limits[index], .reached = (double)NAN};
}

static void put_members(doc_record *out, const cli_report *report)
{
    const sw_conflict *conflict = report->conflict;
    size_t count = count_members(report);
    doc_block *block = doc_add(out, "members");
    doc_title(block, count == 1 ? "The limit that cannot be kept"
                                : "Limits in conflict");
    for (size_t i = 0; i < count; i++) {
        const sw_easing member = member_at(report, i);
        put_easing(block, &member);
    }
    if (count > 1)
        doc_before(block, SAY_CONFLICT_SET);
    if (conflict && !count_alone(conflict))
        doc_after(block, SAY_CONFLICT_ALONE);
}

static void put_products(doc_record *out, const cli_report *report)
{
    const sw_conflict *conflict = report->conflict;
    size_t count = conflict->addition_count;
    doc_block *block = doc_add(out, "products");
    for (size_t i = 0; i < count; i++)
        doc_show_row(
            report_addition(block, report, &conflict->additions[i], ""),
            i < PRODUCTS_SHOWN ? 0 : DOC_DATA);
    if (count == 1)
        doc_before(block, SAY_CONFLICT_PRODUCT);
    else if (count > 1)
        doc_before(block, SAY_CONFLICT_PRODUCTS, count,
                   count > PRODUCTS_SHOWN ? "three of them," : "the");
    if (!isnan(conflict->purified_share))
        doc_after(block, SAY_CONFLICT_DILUTE,
                  count_alone(conflict) > 1
                      ? "Or"
                      : "This resolves it with every limit kept",
                  figure_outward(100.0 * conflict->purified_share, true).text);
}

/* One limit that gives way by the least is named above already. */
static void put_least(doc_record *out, const sw_conflict *conflict)
{
    doc_block *block = doc_add(out, "least");
    bool told = conflict->least_count == 1 && conflict->member_count == 1;
    const char *rates =
        conflict->keeps_rates ? ", fixed and least rates of products kept" : "";
    doc_title(block, SAY_RELAX_SET);
    for (size_t i = 0; i < conflict->least_count; i++)
        put_easing(block, &conflict->least[i]);
    if (told)
        doc_show_block(block, DOC_DATA);
    else if (conflict->least_count == 1)
        doc_before(block, "This one%s:", rates);
    else if (conflict->least_count)
        doc_before(block, SAY_RELAX_SUM,
                   figure_plain(100.0 * conflict->total).text, rates);
}

void report_conflict(doc_record *record, const cli_report *report)
{
    const sw_solution *solution = report->solution;
    const sw_conflict *conflict = report->conflict;
    if (!solution ||
        (solution->outcome != SW_CONFLICT && !solution->conflict_count))
        return;
    doc_record *out = doc_part(record, "conflict");
    put_members(out, report);
    if (!conflict)
        return;
    put_products(out, report);
    put_least(out, conflict);
    DOC_NUMBERS(out, {"least_total", conflict->total},
                {"purified_share", conflict->purified_share});
    if (conflict->keeps_rates)
        doc_flag(out, "least_keeps_rates", true);
}

/* ---- In a sentence, where the blocks above are not shown ------------------
 */

void report_limits_words(const sw_solution *solution, char *words, size_t size)
{
    for (size_t i = 0; i < solution->limit_count; i++)
        text_join(words, size, "; ", "%s", solution->limits[i].name);
}

static void add_easing(const sw_easing *easing, char *list, size_t size)
{
    bool up = easing->reached > easing->limit.bound;
    const char *unit = easing->limit.unit;
    if (!isnan(easing->reached))
        text_join(list, size, "; ", "%s %s to %s%s%s", up ? "raise" : "lower",
                  easing->limit.name, figure_outward(easing->reached, up).text,
                  *unit ? " " : "", unit);
}

/* Each of them alone. */
static void list_helps(const sw_conflict *conflict, char *list, size_t size)
{
    size_t count = conflict->addition_count;
    if (!isnan(conflict->purified_share))
        text_join(list, size, "; ", SAY_HELP_PURIFIED,
                  figure_outward(100.0 * conflict->purified_share, true).text);
    if (count)
        text_join(list, size, "; ", SAY_HELP_PRODUCT,
                  conflict->additions[0].name,
                  count > 1 ? " or another that the full screen names" : "");
    for (size_t i = 0; i < conflict->member_count; i++)
        add_easing(&conflict->members[i], list, size);
}

void report_members_words(const cli_report *report, char *words, size_t size)
{
    for (size_t i = 0; i < count_members(report); i++)
        text_join(words, size, "; ", "%s", member_at(report, i).limit.name);
}

void report_help_words(const cli_report *report, char *words, size_t size)
{
    char list[2048] = "";
    const sw_conflict *conflict = report->conflict;
    *words = '\0';
    if (!conflict)
        return;
    list_helps(conflict, list, sizeof list);
    bool alone = *list;
    for (size_t i = 0; i < conflict->least_count && !alone; i++)
        add_easing(&conflict->least[i], list, sizeof list);
    bool one =
        count_alone(conflict) == 1 || (!alone && conflict->least_count == 1);
    if (*list)
        snprintf(words, size, "%s: %s.",
                 one     ? SAY_HELP_ONE
                 : alone ? SAY_HELP_ANY
                         : SAY_HELP_ALL,
                 list);
}

/* Tanks are solved with every limit kept, so why another command gives amounts
 * is said. */
void report_say_conflict(doc_block *verdict, const cli_report *report)
{
    char limits[2048] = "", helps[2400];
    report_members_words(report, limits, sizeof limits);
    report_help_words(report, helps, sizeof helps);
    doc_say(verdict, DOC_BAD, SAY_VERDICT_CONFLICT,
            count_members(report) > 1 ? "all of these limits" : "this limit",
            limits);
    if (*helps)
        doc_show_row(doc_say(verdict, DOC_PLAIN, "%s", helps), DOC_BRIEF);
    if (report->setup)
        doc_say(verdict, DOC_PLAIN, SAY_VERDICT_NEAREST);
}
