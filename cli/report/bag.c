/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A recipe for pure water beside what this water makes of it, --target-of; and
 * what a premix is beside what is wanted. */
#include <math.h>

#include "io/figure.h"
#include "report/blocks.h"
#include "run/report.h"
#include "sentences_text.h"

/* Of what is off by less nothing is told; of Na and Cl, of less mg/L. */
static const double told_share = 0.01, least_mg_per_l = 0.5,
                    salt_mg_per_l = 10.0, held_share = 1e-3;

static void put_product(doc_block *block, const cli_report *report, size_t j)
{
    const sw_recipe *bag = report->inputs->bag;
    double given = j < bag->count ? bag->g_per_l[j] : 0.0;
    double now = report->recipe->g_per_l[j];
    if (!(given > 0.0) && now <= report_least_g_per_l())
        return;
    doc_record *row = doc_row(block);
    doc_text(row, "product", report->inputs->shelf->products[j].name);
    doc_shown(row, "given_g_per_l", given,
              figure_mass_metric(1000.0 * given).text);
    doc_shown(row, "now_g_per_l", now, figure_mass_metric(1000.0 * now).text);
    doc_number(row, "change_g_per_m3", 1000.0 * (now - given));
}

/* What else a product is there for, most of it first. */
static sw_component other_of(const sw_product *product, sw_component c)
{
    sw_component most = c;
    for (int i = 0; i < SW_N; i++)
        if (i != (int)c &&
            sw_component_is((sw_component)i, SW_IS_MAIN | SW_IS_FORM) &&
            (most == c ||
             product->per_g.amount[i] > product->per_g.amount[most]))
            most = (sw_component)i;
    return most;
}

/* The product that brings most of what the water brings too much of. */
static void say_carrier(char *text, size_t size, const cli_report *report,
                        sw_component c)
{
    const sw_product *carrier = NULL;
    double most = least_mg_per_l;
    for (size_t j = 0; c < SW_N && j < report->recipe->count; j++) {
        const sw_product *p = &report->inputs->shelf->products[j];
        double brings = report->recipe->g_per_l[j] * p->per_g.amount[c];
        if (brings > most) {
            most = brings;
            carrier = p;
        }
    }
    if (!carrier)
        return;
    text_join(text, size, "", " %s brings another %s mg/L, ", carrier->name,
              figure_short(most).text);
    if (isnan(carrier->fixed_g_per_l))
        text_join(text, size, "", SAY_BAG_SOURCE,
                  sw_component_name(other_of(carrier, c)),
                  sw_component_name(c));
    else
        text_join(text, size, "", "at the rate it is kept at.");
}

/* What keeps sulfur where it is: something would leave its accepted range. */
static void say_stop(char *text, size_t size, const cli_report *report,
                     double off)
{
    const sw_target *target = report->inputs->target;
    text[0] = '\0';
    for (size_t i = 0; i < target->count && !text[0]; i++) {
        const sw_target_row *row = &target->rows[i];
        double end = off > 0.0 ? row->held_high : row->held_low;
        if (end > 0.0 &&
            fabs(report->assessment->rows[row->component].finished_mg_per_l -
                 end) < held_share * end)
            text_join(text, size, "", SAY_BAG_SULFUR_HELD,
                      off > 0.0 ? "less" : "more", row->name,
                      off > 0.0 ? "go above" : "fall below",
                      figure_short(end).text);
    }
}

static void say_component(doc_block *block, const cli_report *report,
                          const sw_component_row *row, double given)
{
    double off = row->finished_mg_per_l - given;
    const char *name = sw_component_name(row->component);
    char carrier[256] = "", stop[128] = "";
    if (fabs(off) < fmax(told_share * given, least_mg_per_l))
        return;
    if (row->component == SW_S)
        say_stop(stop, sizeof stop, report, off);
    if (off > 0.0 && !stop[0])
        say_carrier(carrier, sizeof carrier, report, row->component);
    if (off > 0.0 && 2.0 * row->water_mg_per_l < off)
        doc_say(block, DOC_PLAIN, SAY_BAG_RISES_ABOVE, name,
                figure_short(off).text, stop);
    else if (off > 0.0)
        doc_say(block, DOC_PLAIN, SAY_BAG_STAYS_ABOVE, name,
                figure_short(off).text, figure_short(row->water_mg_per_l).text,
                carrier, stop);
    else if (row->verdict == SW_MET || stop[0])
        doc_say(block, DOC_PLAIN, SAY_BAG_FALLS_BY_PLAN, name,
                figure_short(-off).text,
                stop[0] ? stop : " It stays within its accepted range.");
    else
        doc_say(block, DOC_BAD, SAY_BAG_FALLS_SHORT, name,
                figure_short(-off).text,
                row->component == SW_N
                    ? " Where the water is alkaline, nitric acid does both: it "
                      "brings nitrogen and lowers the pH."
                    : "");
}

static void say_rest(doc_record *record, const cli_report *report)
{
    doc_block *block = doc_add(record, "uncorrected");
    sw_content given = {{0}};
    sw_content_add_recipe(&given, 1.0, report->inputs->shelf,
                          report->inputs->bag);
    for (size_t c = 0; c < SW_COMPONENT_COUNT; c++) {
        const sw_component_row *row = &report->assessment->rows[c];
        bool salt = sw_component_is(row->component, SW_IS_SALT);
        if (salt ? row->water_mg_per_l >= salt_mg_per_l
                 : sw_component_is(row->component, SW_IS_MAIN))
            say_component(block, report, row, given.amount[row->component]);
    }
}

void report_bag(doc_record *record, const cli_report *report)
{
    if (!report->inputs->bag || !report->recipe || !report->assessment)
        return;
    doc_block *block = doc_add(record, "bag");
    for (size_t j = 0; j < report->recipe->count; j++)
        put_product(block, report, j);
    say_rest(record, report);
}

/* ---- Premixes ------------------------------------------------------- */

static void put_row(doc_block *block, const sw_premix_row *row)
{
    doc_record *out = doc_row(block);
    doc_text(out, "component", sw_component_name(row->component));
    doc_flag(out, "declared", row->declared);
    DOC_NUMBERS(out, {"brought_mg_per_l", row->brought_mg_per_l},
                {"wanted_mg_per_l", row->wanted_mg_per_l},
                {"ratio", row->ratio}, {"wanted_ratio", row->wanted_ratio});
    if (!row->declared) {
        doc_words(out, "brought_mg_per_l", "undeclared");
        doc_words(out, "ratio", "-");
    } else if (row->wanted_mg_per_l > 0.0) {
        doc_number(out, "covered_share",
                   row->brought_mg_per_l / row->wanted_mg_per_l);
    }
}

static void put_rows(doc_record *out, const cli_report *report,
                     const sw_premix *premix, const sw_premix_rate *rate)
{
    doc_block *block = doc_add(out, "components");
    doc_title(block, "The premix: %.100s at %s g/L",
              report->inputs->shelf->products[premix->product].name,
              figure_plain(premix->g_per_l).text);
    if (rate)
        doc_before(block, SAY_BEST_RATE,
                   rate->held_by[0] ? " within the limits" : "",
                   rate->held_by[0] ? "; the notes say what limits it" : "");
    for (size_t i = 0; i < premix->row_count; i++)
        put_row(block, &premix->rows[i]);
    doc_after(block, SAY_SET_WANTED,
              premix->base < SW_COMPONENT_COUNT ? ", to 1 of " : "",
              premix->base < SW_COMPONENT_COUNT
                  ? sw_component_name(premix->base)
                  : "");
    if (!isnan(premix->urea_share))
        doc_after(block, SAY_SET_NITROGEN, 100.0 * premix->ammonium_share,
                  100.0 * premix->urea_share);
}

static void put_premix(doc_block *block, const cli_report *report,
                       const sw_premix *premix)
{
    const sw_premix_rate *rate = premix_best(report->inputs, premix->product);
    doc_record *out = doc_row(block);
    doc_text(out, "product",
             report->inputs->shelf->products[premix->product].name);
    doc_flag(out, "best_fit", rate != NULL);
    if (rate && rate->held_by[0]) {
        doc_text(out, "held_by", rate->held_by);
        doc_number(out, "best_without_limits_g_per_l", rate->free_g_per_l);
    }
    if (premix->base < SW_COMPONENT_COUNT)
        doc_text(out, "ratios_to", sw_component_name(premix->base));
    DOC_NUMBERS(out, {"g_per_l", premix->g_per_l},
                {"ammonium_share_of_n", premix->ammonium_share},
                {"urea_share_of_n", premix->urea_share});
    put_rows(out, report, premix, rate);
    doc_block *notes = doc_add(out, "notes");
    doc_title(notes, "%s", ""); /* they belong to it */
    report_notes(notes, &premix->notes, 0);
}

void report_premixes(doc_record *record, const cli_report *report)
{
    if (!report->premixes.count)
        return;
    doc_block *block = doc_add(record, "premixes");
    for (size_t i = 0; i < report->premixes.count; i++)
        put_premix(block, report, report->premixes.items[i]);
}
