/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to measure out, and how it was rounded to what the scale can weigh. */
#include <math.h>
#include <string.h>

#include "report/blocks.h"
#include "run/cautions.h"
#include "sentences_text.h"

/* Per 1000 L or 100 gal, sizes a person can picture; beside that volume it
 * would say the same twice. */
static void put_rate(doc_record *row, const cli_report *report, size_t index)
{
    bool us = report->settings->amounts == AMOUNTS_US;
    const char *key = us ? "per_100_gal" : "per_1000_l";
    double volume_l = us ? 100.0 * figure_l_per_gal : 1000.0;
    double g = report->recipe->g_per_l[index] * volume_l;
    if (!us && report->settings->volume_l == volume_l)
        return;
    doc_shown(row, key, g,
              printed_amount(report, index, g, (cli_way){.us = us}).text);
}

void report_per_100(doc_record *row, const cli_report *report, size_t index,
                    double g_per_l)
{
    double of_gal = 100.0 * figure_l_per_gal * g_per_l;
    doc_shown(
        row, "in_100_l", 100.0 * g_per_l,
        printed_amount(report, index, 100.0 * g_per_l, (cli_way){0}).text);
    doc_shown(
        row, "in_100_gal", of_gal,
        printed_amount(report, index, of_gal, (cli_way){.us = true}).text);
}

report_sentence report_as_sized(const char *amount, double surely,
                                double most_g_per_l)
{
    if (!(most_g_per_l > 0))
        return report_words("%s", amount);
    return surely > 0 ? report_words("%s first", amount)
                      : report_words("by pH");
}

/* "8.64 mL first", or "by pH" where nothing is sure. */
static void put_first(doc_record *row, const report_amounts *surely, bool any)
{
    doc_words(row, "measure_out", "by pH");
    doc_words(row, "or", "");
    if (any)
        doc_reads(row, "measure_out", "%s first", surely->first.text);
    if (any && *surely->also.text)
        doc_reads(row, "or", "%s first", surely->also.text);
}

void report_put_unsized(doc_record *row, const cli_report *report, size_t index,
                        double batch_l)
{
    double density = report->inputs->shelf->products[index].density_g_per_ml;
    double g = batch_l * report->recipe->g_per_l[index];
    double most_g = batch_l * report_most_g_per_l(report, index);
    report_amounts surely = report_amounts_of(report, index, g);
    sw_mix mix = report_mix(report);
    char how[SW_UNSIZED_BYTES];
    if (!sw_unsized_text(&mix, index, how, sizeof how))
        return;
    doc_flag(row, "sized", false);
    doc_number(row, "most_amount", density > 0 ? most_g / density : most_g);
    doc_words(row, "in_100_l", "not sized");
    doc_words(row, "in_100_gal", "not sized");
    put_first(row, &surely, g > 0);
    doc_text(row, "how", how);
    report_reads_poured(row, "how", report);
}

/* What of it is poured at the most. */
static void put_most(doc_record *row, const cli_report *report, size_t index)
{
    double density = report->inputs->shelf->products[index].density_g_per_ml;
    double most_g_per_l = report_most_g_per_l(report, index);
    if (!(most_g_per_l > 0))
        return;
    DOC_NUMBERS(row, {"most_g_per_l", most_g_per_l},
                {"most_ml_per_l", most_g_per_l / density});
    doc_words(row, "per_1000_l", "not sized");
    doc_words(row, "per_100_gal", "not sized");
}

/* A rate that steps of the scale moved by no more is as given. */
static const double as_given = 0.001;

static void put_portion(doc_block *block, const cli_report *report,
                        size_t index)
{
    cli_portion portion = report_portion(report, index);
    bool liquid = !isnan(portion.ml);
    doc_record *row = doc_row(block);
    doc_text(row, "product", portion.product->name);
    double given = portion.product->fixed_g_per_l; /* NaN: it is not */
    if (report->solution && !isnan(given))
        doc_reads(row, "product", "%s (%s)", portion.product->name,
                  fabs(portion.g_per_l - given) <= as_given * given
                      ? "as given"
                      : "as given, to the scale");
    put_rate(row, report, index);
    report_put_amounts(row, report, index, portion.g);
    report_per_100(row, report, index, portion.g_per_l);
    DOC_NUMBERS(row, {"g_per_l", portion.g_per_l},
                {"ml_per_l", portion.ml_per_l},
                {"amount", liquid ? printed_ml(report, index, portion.g)
                                  : printed_g(report, index, portion.g)});
    doc_text(row, "amount_unit", liquid ? "mL" : "g");
    doc_number(row, "cost", portion.cost);
    doc_text(row, "tank", portion.product->tank);
    report_put_unsized(row, report, index, report->settings->volume_l);
    put_most(row, report, index);
    report_solution_words(row, "dosed", report, index);
}

report_sentence report_cost_words(const cli_report *report)
{
    const cli_settings *settings = report->settings;
    double per_m3 = report->assessment->cost_per_m3;
    report_sentence said =
        report_words("%s", figure_fixed(report_cost(report), FIGURE_COST).text);
    if (settings->amounts != AMOUNTS_US && settings->volume_l != 1000.0)
        said = report_words("%.30s, or %s per 1000 L,", said.text,
                            figure_fixed(per_m3, FIGURE_COST).text);
    if (settings->amounts != AMOUNTS_METRIC)
        said = report_words(
            "%.60s%s or %s per 1000 gal,", said.text,
            strchr(said.text, ',') ? "" : ",",
            figure_fixed(per_m3 * figure_l_per_gal, FIGURE_COST).text);
    return said;
}

static void put_total(doc_block *block, const cli_report *report, bool priced)
{
    double total = report_cost(report);
    if (priced && isnan(total))
        doc_after(block, SAY_COST_UNKNOWN);
    else if (priced)
        doc_after(block, SAY_COST_TOTAL, report_cost_words(report).text);
}

/* Of what is not to be mixed, and of tanks, there is nothing to weigh here. */
void report_recipe(doc_record *record, const cli_report *report)
{
    bool tanks = report->stock && !report_lacks_tanks(report);
    bool priced = false;
    bool any = false;
    doc_block *block = doc_add(record, "recipe");
    doc_title(block, "Recipe for %s",
              figure_volume(report->settings->volume_l,
                            report->settings->volume_system)
                  .text);
    if (stop_withholds(report) || tanks)
        doc_show_block(block, DOC_DATA);
    for (size_t i = 0; i < report->recipe->count; i++) {
        if (!report_uses(report, i))
            continue;
        put_portion(block, report, i);
        any = true;
        priced =
            priced || !isnan(report->inputs->shelf->products[i].price_per_kg);
    }
    report_say_blend(block, report);
    doc_before(block, "%s",
               any ? report_gear(report).text
                   : "Nothing to add: the water as it is.");
    put_total(block, report, priced);
}

/* "10 g", or "0.5 oz". */
static cli_figure step_words(double step_g, bool us)
{
    return us ? figure_amount(figure_short(step_g / figure_g_per_oz), "oz")
              : figure_amount(figure_short(step_g), "g");
}

/* The component that whole steps moved most, by share of its target; the number
 * of components when none has a target. */
static sw_component most_moved(const cli_report *report, double *without,
                               double *with)
{
    const sw_assessment *assessment = report->assessment;
    sw_content before = assessment->water;
    sw_component most = SW_COMPONENT_COUNT;
    double worst = 0.0;
    sw_content_add_recipe(&before, 1.0, report->inputs->shelf,
                          &report->solution->recipe);
    for (int i = 0; i < SW_COMPONENT_COUNT; i++) {
        double target = assessment->rows[i].target_mg_per_l;
        double change = assessment->finished.amount[i] - before.amount[i];
        if (!(target > 0.0) || !(fabs(change) / target > worst))
            continue;
        worst = fabs(change) / target;
        most = (sw_component)i;
        *without = before.amount[i];
        *with = assessment->finished.amount[i];
    }
    return most;
}

static void say_moved(doc_block *block, const cli_report *report)
{
    double without, with;
    sw_component most = most_moved(report, &without, &with);
    if (most == SW_COMPONENT_COUNT)
        return;
    double target = report->assessment->rows[most].target_mg_per_l;
    doc_before(block, SAY_MOVED_MOST, sw_component_name(most),
               figure_plain(without).text, figure_plain(with).text,
               figure_signed(100.0 * (with - without) / target, 1).text);
}

static void say_rounded(doc_block *block, const cli_report *report)
{
    const cli_settings *settings = report->settings;
    double before = report->solution->certificate.objective;
    doc_before(
        block, SAY_WEIGHED_TO,
        step_words(settings->scale.step_g, settings->steps_are_us).text,
        step_words(settings->scale.micro_step_g, settings->fine_steps_are_us)
            .text,
        settings->scale.whole_packs ? ", whole packs where known" : "");
    if (!report_in_steps(report)) {
        doc_before(block, SAY_STEPS_NOT_FOUND);
        return;
    }
    doc_before(block, SAY_DEVIATIONS_ROUNDED,
               report_sum(report->weighed->certificate.objective),
               report_sum(before));
    say_moved(block, report);
    if (scale_has_solutions(report) && !report->stock)
        doc_before(block, "%s", scale_leftover_words);
}

static void put_weighing(doc_block *block, const cli_report *report,
                         size_t index)
{
    const sw_weighing *weighing = &report->weighed->items[index];
    doc_record *row = doc_row(block);
    doc_text(row, "product", report->inputs->shelf->products[index].name);
    DOC_NUMBERS(row, {"amount_g", weighing->amount_g},
                {"step_g", weighing->step_g},
                {"solution_g", weighing->concentrate_g},
                {"solution_l", weighing->concentrate_l});
    if (scale_has_solution(report, index))
        doc_number(row, "dose_ml",
                   scale_dose_ml(report, index, weighing->amount_g));
}

void report_weighed(doc_record *record, const cli_report *report)
{
    const sw_weighed *weighed = report->weighed;
    if (!weighed)
        return;
    doc_block *block = doc_add(record, "weighed");
    doc_record *out = doc_row(block);
    say_rounded(block, report);
    doc_text(out, "outcome", sw_outcome_text(weighed->outcome));
    DOC_NUMBERS(out, {"scale_step_g", report->settings->scale.step_g},
                {"fine_step_g", report->settings->scale.micro_step_g});
    doc_block *products = doc_add(out, "products");
    if (!weighed->recipe.count)
        return;
    DOC_NUMBERS(out, {"objective", report_sum(weighed->certificate.objective)},
                {"lower_bound", report_sum(weighed->certificate.lower_bound)},
                {"gap", report_sum(weighed->certificate.gap)},
                {"continuous_objective", weighed->continuous},
                {"rounded_objective", weighed->rounded});
    if (weighed->equal) {
        doc_text(out, "equal_to",
                 weighed->of_steps ? "closest steps" : "recipe before");
        DOC_NUMBERS(out, {"moved", (double)weighed->moved},
                    {"most_moved_share", weighed->most_moved});
    }
    for (size_t i = 0; i < weighed->recipe.count; i++)
        if (weighed->items[i].amount_g > 0.0)
            put_weighing(products, report, i);
}
