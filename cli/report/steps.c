/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to weigh out and what to do with it, step by step: the list that is
 * taken to the scale and the tanks. */
#include <stdio.h>
#include <string.h>

#include "run/cautions.h"
#include "report/blocks.h"
#include "sentences_text.h"

bool report_is_us(const cli_report *report)
{
    const cli_settings *settings = report->settings;
    if (settings->amounts != AMOUNTS_BOTH)
        return settings->amounts == AMOUNTS_US;
    return report->weighed ? settings->steps_are_us
                           : settings->volume_system == SW_US;
}

/* Two figures, or the first alone. */
static cli_figure joined(cli_figure first, cli_figure second,
                         const char *between, const char *end)
{
    cli_figure out = first;
    if (*second.text)
        snprintf(out.text, sizeof out.text, "%.20s%s%.20s%s", first.text,
                 between, second.text, end);
    return out;
}

report_amounts report_amounts_of(const cli_report *report, size_t product,
                                 double g)
{
    bool us = report_is_us(report);
    double density = report->inputs->shelf->products[product].density_g_per_ml;
    report_amounts out = {scale_amount(report, product, g, us), {""}};
    cli_figure mass = printed_amount(report, product, g,
                                     (cli_way){.us = us, .by_mass = true});
    cli_figure also = scale_amount(report, product, g, !us);
    bool both = report->settings->amounts == AMOUNTS_BOTH &&
                strcmp(also.text, out.first.text) != 0;
    if (!(density > 0.0))
        mass = (cli_figure){""};
    if (both)
        out.also = joined(also, mass, ", ", "");
    else
        out.first = joined(out.first, mass, " (", ")");
    return out;
}

void report_put_amounts(doc_record *row, const cli_report *report,
                        size_t product, double g)
{
    report_amounts amounts = report_amounts_of(report, product, g);
    doc_shown(row, "measure_out", g, amounts.first.text);
    if (*amounts.also.text)
        doc_shown(row, "or", g, amounts.also.text);
}

void report_solution_words(doc_record *row, const char *key,
                           const cli_report *report, size_t product)
{
    if (scale_has_solution(report, product))
        doc_print(row, key, SAY_DISSOLVE_FIRST,
                  scale_solution(report, product).text,
                  scale_solution_volume(report, product).text);
}

report_sentence report_gear(const cli_report *report)
{
    cli_handled handled = {.count = 0};
    report_sentence out;
    cautions_add(&handled, report);
    cautions_gear(&handled, out.text, sizeof out.text);
    return out;
}

const char *report_tank_name(sw_tank tank)
{
    static const char *const names[] = {[SW_TANK_A] = "Tank A",
                                        [SW_TANK_B] = "Tank B",
                                        [SW_TANK_C] = "Tank C",
                                        [SW_TANKS] = "Reservoir"};
    return names[tank];
}

/* Whether it pours more of a product, by measuring. */
static bool pours_more(const sw_step *step)
{
    return step->kind == SW_STEP_MEASURE && *step->safety;
}

/* The number of the first step of the same tank that says the same; of more of
 * a product that of the product. */
static size_t first_saying(const sw_steps *steps, size_t index, bool safety)
{
    const sw_step *step = &steps->items[index];
    size_t i = 0;
    for (; safety && pours_more(step) && i < index; i++)
        if (steps->items[i].kind == SW_STEP_ADD &&
            steps->items[i].product == step->product)
            return i + 1;
    i = 0;
    while (steps->items[i].tank != step->tank ||
           strcmp(safety ? steps->items[i].safety : steps->items[i].text,
                  safety ? step->safety : step->text) != 0)
        i++;
    return i + 1;
}

/* "Tank A: 50 gal, injector 1 to 100" */
static void put_where(doc_record *row, const cli_report *report,
                      const sw_step *step)
{
    const sw_stock *stock = report->stock;
    sw_unit_system system = report->settings->volume_system;
    if (stock && step->tank < SW_TANKS)
        doc_print(row, "where", "%s: %s, injector 1 to %s",
                  report_tank_name(step->tank),
                  figure_volume(stock->tanks[step->tank].volume_l, system).text,
                  figure_given(stock->tanks[step->tank].ratio).text);
    else if (step->kind != SW_STEP_PREPARE && stock)
        doc_text(row, "where", "At the tanks");
    else if (step->kind != SW_STEP_PREPARE)
        doc_print(row, "where", "%s: %s", report_tank_name(SW_TANKS),
                  figure_volume(report->settings->volume_l, system).text);
}

/* What a scale of 0.01 g shows, not what of it goes in. */
static void put_little(doc_record *row, const cli_report *report,
                       const sw_step *step)
{
    doc_shown(row, "measure_out", step->concentrate_g,
              figure_amount(figure_fixed(step->concentrate_g, 2), "g").text);
    doc_shown(row, "or", step->g,
              report_words(
                  "for %s",
                  report_amounts_of(report, step->product, step->g).first.text)
                  .text);
    doc_reads(row, "product", SAY_LITTLE_OF_IT,
              report->inputs->shelf->products[step->product].name,
              figure_given(step->concentrate_l).text,
              figure_short(step->dose_ml).text);
}

static void put_product(doc_record *row, const cli_report *report,
                        const sw_step *step)
{
    const char *name = report->inputs->shelf->products[step->product].name;
    bool adds = step->kind == SW_STEP_ADD;
    doc_number(row, "g", printed_g(report, step->product, step->g));
    if (adds) {
        if (!(step->concentrate_g > 0.0))
            report_put_amounts(row, report, step->product, step->g);
        doc_text(row, "letter", report_letter(report, step->product).text);
    } else {
        doc_shown(row, "measure_out", step->g,
                  scale_solution(report, step->product).text);
    }
    doc_text(row, "product", name);
    if (scale_has_solution(report, step->product))
        doc_reads(
            row, "product", "%s%s%s", name, adds ? " (its solution)" : " in ",
            adds ? "" : scale_solution_volume(report, step->product).text);
    if (step->concentrate_g > 0.0)
        put_little(row, report, step);
}

/* Less water than that is none. */
static const double least_poured_l = 1e-3;

/* What the vessel of a step holds, full; and what water it has at first. */
static double whole_of(const cli_report *report, const sw_step *step)
{
    return report->stock && step->tank < SW_TANKS
               ? report->stock->tanks[step->tank].volume_l
               : report->settings->volume_l;
}

static double filled_l(const cli_report *report, sw_tank tank)
{
    const sw_steps *steps = report->steps;
    for (size_t i = 0; i < steps->count; i++)
        if (steps->items[i].kind == SW_STEP_FILL &&
            steps->items[i].tank == tank)
            return steps->items[i].volume_l;
    return 0.0;
}

/* Where the vessel is filled to. */
static void put_mark(doc_record *row, const cli_report *report,
                     const sw_step *step)
{
    bool us = report->settings->volume_system == SW_US;
    double l =
        step->kind == SW_STEP_TOP_UP ? whole_of(report, step) : step->volume_l;
    if (!(l > 0.0))
        return;
    cli_figure metric = figure_amount(figure_plain(l), "L");
    doc_shown(row, "measure_out", l,
              us ? figure_amount(figure_plain(l / figure_l_per_gal), "gal").text
                 : metric.text);
    if (us)
        doc_shown(row, "or", l, metric.text);
}

/* What is drained, however little. */
static void put_drained(doc_record *row, const cli_report *report)
{
    double l = report_turnover(report).drained_l;
    doc_shown(row, "measure_out", l, report_litres(report, l).text);
    if (report->settings->volume_system == SW_US)
        doc_shown(row, "or", l, figure_liquid_metric(1000.0 * l).text);
}

/* "Danger. Causes serious eye damage. Pour the acid into water.": without codes
 * and gear, which the page says in other places. */
static void put_hazard(doc_record *row, const cli_report *report,
                       const sw_step *step)
{
    const sw_hazards *hazards =
        step->g > 0.0 || pours_more(step)
            ? &report->inputs->shelf->products[step->product].hazards
            : NULL; /* a step without a product */
    char words[1600] = "";
    if (hazards && hazards->count)
        text_join(words, sizeof words, "", "%s",
                  sw_signal_text(hazards->items[0].signal));
    for (size_t i = 0; hazards && i < hazards->count; i++)
        text_join(words, sizeof words, ". ", "%s", hazards->items[i].statement);
    text_join(words, sizeof words, ". ", "%s", step->advice);
    doc_text(row, "hazard", words);
}

/* Whether a blend of waters stands in the vessel of a step. */
static bool has_blend(const cli_report *report, const sw_step *step)
{
    bool other =
        report->stock && step->tank < SW_TANKS &&
        (report->make_up || report->stock->tanks[step->tank].makes_lime);
    return report_is_blend(report) && !other;
}

/* Of several waters how much of each, so that the blend is right before the
 * mark too. */
static report_sentence words_of_blend(const cli_report *report,
                                      const sw_step *step)
{
    double first_l = filled_l(report, step->tank);
    if (step->kind == SW_STEP_FILL)
        return report_words(step->tank < SW_TANKS ? SAY_FILL_TAKES
                                                  : SAY_FILL_BLEND,
                            step->text, report_blend(report, first_l).text);
    return report_words(
        SAY_TOP_UP_BLEND, step->text,
        report_blend(report, whole_of(report, step) - first_l).text);
}

/* How much fresh water a renewed tank takes. */
static report_sentence words_of_fresh(const cli_report *report,
                                      const sw_step *step)
{
    double first_l = filled_l(report, step->tank);
    double kept_l = report_turnover(report).kept_l;
    if (step->kind == SW_STEP_TOP_UP)
        return report_words(
            SAY_TOP_UP_RENEWED, step->text,
            report_litres(report, whole_of(report, step) - first_l).text);
    return first_l - kept_l < least_poured_l
               ? report_words("%s", step->text)
               : report_words(SAY_FILL_TAKES, step->text,
                              report_litres(report, first_l - kept_l).text);
}

/* With what water is poured, and what runs through the injectors. */
static report_sentence words_of_step(const cli_report *report,
                                     const sw_step *step)
{
    bool pours = step->kind == SW_STEP_FILL || step->kind == SW_STEP_TOP_UP;
    if (pours && report->renewal)
        return words_of_fresh(report, step);
    if (pours && has_blend(report, step))
        return words_of_blend(report, step);
    if (report_is_blend(report) && report->stock && step->tank == SW_TANKS &&
        step->kind == SW_STEP_MEASURE)
        return report_words(SAY_INJECT_BLEND, report_shares(report).text,
                            step->text);
    return report_words("%s", step->text);
}

/* What a step says in the words of one before it, of safety too, it says by the
 * number of that. */
static void put_words(doc_record *row, const cli_report *report, size_t index)
{
    const sw_step *step = &report->steps->items[index];
    size_t first = first_saying(report->steps, index, true);
    size_t alike = first_saying(report->steps, index, false);
    doc_text(row, "text", words_of_step(report, step).text);
    if (step->kind == SW_STEP_MEASURE)
        report_reads_poured(row, "text", report);
    else
        report_reads_us(row, "text", report);
    if (step->kind == SW_STEP_ADD && alike <= index)
        doc_reads(row, "text", "As in step %zu.", alike);
    doc_text(row, "clouds", step->clouds);
    doc_text(row, "safety", step->safety);
    put_hazard(row, report, step);
    if (first <= index) {
        doc_reads(row, "safety", "as in step %zu.", first);
        doc_reads(row, "hazard", "Hazards as in step %zu.", first);
    }
}

static void put_step(doc_block *block, const cli_report *report, size_t index)
{
    const sw_step *step = &report->steps->items[index];
    doc_record *row = doc_row(block);
    put_where(row, report, step);
    doc_text(row, "kind", sw_step_text(step->kind));
    if (step->tank < SW_TANKS)
        doc_text(row, "tank", sw_tank_text(step->tank));
    if (step->g > 0.0)
        put_product(row, report, step);
    else if (step->kind == SW_STEP_DRAIN)
        put_drained(row, report);
    else
        put_mark(row, report, step);
    if (step->volume_l > 0.0)
        doc_number(row, "volume_l", step->volume_l);
    put_words(row, report, index);
}

static void put_leftovers(doc_block *block, const cli_report *report)
{
    static const sw_step last = {.kind = SW_STEP_STORE, .tank = SW_TANKS};
    doc_record *row = doc_row(block);
    put_where(row, report, &last);
    doc_text(row, "kind", sw_step_text(SW_STEP_STORE));
    doc_text(row, "text", scale_leftover_words);
}

void report_steps(doc_record *record, const cli_report *report)
{
    if (!report->steps || !report->steps->count)
        return;
    if (!stop_withholds(report))
        doc_say(doc_add(record, "gear"), DOC_BAD, "%s",
                report_gear(report).text);
    doc_block *block = doc_add(record, "steps");
    if (stop_withholds(report))
        doc_show_block(block, DOC_DATA);
    else if (!report->stock)
        doc_show_block(block, DOC_WORKER | DOC_DATA);
    for (size_t i = 0; i < report->steps->count; i++)
        put_step(block, report, i);
    if (scale_has_solutions(report))
        put_leftovers(block, report);
}
