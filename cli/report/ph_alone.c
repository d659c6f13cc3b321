/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Acid or base for a pH alone: each product that does it, for a closed and an
 * open tank, with what it brings along. */
#include <math.h>
#include <string.h>

#include "run/cautions.h"
#include "run/report.h"
#include "report/blocks.h"
#include "io/figure.h"
#include "sentences_text.h"

/* Less of a component is not worth a word. */
static const double least_mg_per_l = 0.05;

static const char *const keys[SW_PH_TANKS] = {
    [SW_CARBONATE_KEPT] = "closed", [SW_CARBONATE_AIRED] = "open"};

static const char *const titles[SW_PH_TANKS] = {
    [SW_CARBONATE_KEPT] = "Closed tank or feed line: CO2 stays in",
    [SW_CARBONATE_AIRED] = "Open or aerated tank: CO2 leaves"};

/* ---- The result --------------------------------------------------------- */

static void say_need(doc_block *verdict, const sw_ph_need *need,
                     const char *tank)
{
    double meq = fabs(need->acid_meq_per_l);
    if (!need->asked)
        return;
    if (!need->needed) {
        doc_say(verdict, DOC_GOOD, SAY_PH_NOTHING_NEEDED, tank,
                figure_fixed(need->ph, FIGURE_MEASURE).text);
        return;
    }
    doc_say(verdict, DOC_PLAIN, SAY_PH_DOSE, tank, figure_short(meq).text,
            need->acid_meq_per_l > 0 ? "acid" : "base",
            figure_short(report_as_caco3(meq)).text,
            need->acid_meq_per_l > 0 ? "lowers" : "raises",
            figure_fixed(need->ph, FIGURE_MEASURE).text,
            figure_fixed(need->wanted, FIGURE_MEASURE).text);
}

/* A pH and no more asks the same of either tank: which amount is whose. */
static void say_which(doc_block *verdict, const cli_ph_alone *alone)
{
    const sw_ph_need *need = alone->options->need;
    if (alone->inputs->target->count == 1 && need[SW_CARBONATE_KEPT].asked &&
        (need[SW_CARBONATE_KEPT].needed || need[SW_CARBONATE_AIRED].needed)) {
        doc_show_row(doc_say(verdict, DOC_PLAIN, SAY_PH_TWO_ANSWERS),
                     ~(unsigned)DOC_BRIEF);
        doc_show_row(doc_say(verdict, DOC_PLAIN, SAY_PH_TWO_ANSWERS_SHORT),
                     DOC_BRIEF);
    }
}

static void say_stop(doc_block *verdict, const sw_notes *dangers)
{
    if (!dangers->count)
        return;
    doc_say(verdict, DOC_BAD, "STOP. Danger: %s", stop_words);
    for (size_t i = 0; i < dangers->count; i++)
        doc_say(verdict, DOC_BAD, "%s", dangers->items[i].text);
    doc_say(verdict, DOC_PLAIN, SAY_PH_OF_NO_USE);
}

static void put_verdict(doc_record *report, const cli_ph_alone *alone)
{
    const sw_ph_options *o = alone->options;
    doc_block *verdict = doc_add(report, "verdict");
    say_stop(verdict, &alone->dangers);
    report_say_before_water(verdict, alone->inputs);
    if (!o) {
        bool known = !alone->dangers.count;
        for (size_t k = 0; k < alone->inputs->waters.count; k++)
            known =
                known && sw_alkalinity_is_known(&alone->inputs->contents[k]);
        if (known)
            doc_say(verdict, DOC_BAD, SAY_PH_UNKNOWN);
        return;
    }
    for (size_t i = 0; i < alone->doubts.count; i++)
        doc_say(verdict, DOC_BAD, "%s", alone->doubts.items[i].text);
    say_need(verdict, &o->need[SW_CARBONATE_KEPT], "a closed");
    say_need(verdict, &o->need[SW_CARBONATE_AIRED], "an open");
    say_which(verdict, alone);
    for (int t = 0; t < SW_PH_TANKS; t++)
        if (!o->need[t].sized) {
            doc_say(verdict, DOC_BAD, SAY_PH_FIXED_RATES);
            break;
        }
    if (o->catalogue)
        doc_say(verdict, DOC_PLAIN, SAY_PH_BUILT_IN);
}

/* ---- The brief screen -----------------------------------------------------
 */

/* Of a product as its liquid or by weight. */
static double per_1000_l(const sw_ph_option *option, int tank)
{
    const sw_ph_amount *amount = &option->amount[tank];
    bool liquid = !isnan(option->product->density_g_per_ml);
    return 1000.0 * (liquid ? amount->ml_per_l : amount->g_per_l);
}

/* The volume asked for, or 1000 L. */
static cli_figure volume_words(const cli_ph_alone *alone)
{
    return isnan(alone->volume_l)
               ? (cli_figure){"1000 L"}
               : figure_volume(alone->volume_l, alone->system);
}

static double for_volume(const cli_ph_alone *alone, const sw_ph_option *option,
                         int tank)
{
    double volume_l = isnan(alone->volume_l) ? 1000.0 : alone->volume_l;
    return per_1000_l(option, tank) * volume_l / 1000.0;
}

static const char *unit_of(const sw_ph_option *option)
{
    return isnan(option->product->density_g_per_ml) ? "g" : "mL";
}

/* Whether it is of the answer: what nothing is needed of is of none. */
static bool is_told(const sw_ph_options *o, const sw_ph_option *option,
                    int tank)
{
    return o->need[tank].asked && o->need[tank].needed &&
           !isnan(option->amount[tank].g_per_l);
}

static void put_short_row(doc_block *block, const cli_ph_alone *alone,
                          const sw_ph_option *option)
{
    const sw_hazards *hazards = &option->product->hazards;
    doc_record *row = doc_row(block);
    doc_text(row, "product", option->product->name);
    doc_text(row, "unit", unit_of(option));
    for (int t = 0; t < SW_PH_TANKS; t++)
        if (is_told(alone->options, option, t))
            doc_number(row, keys[t], for_volume(alone, option, t));
    if (hazards->count)
        doc_print(row, "hazard", "%s %s",
                  sw_signal_text(hazards->items[0].signal),
                  hazards->items[0].code);
}

/* "nitric acid" of "nitric acid 38 %": its first two words. */
static size_t kind_length(const char *name)
{
    size_t first = strcspn(name, " ");
    return first + (name[first] ? 1 + strcspn(name + first + 1, " ") : 0);
}

/* Of what nobody has on a shelf another strength, or hydrate, of one before. */
static bool is_another_strength(const sw_ph_options *o, size_t index)
{
    const char *name = o->items[index].product->name;
    size_t length = kind_length(name);
    for (size_t i = 0; i < index && !o->items[index].on_shelf; i++) {
        const char *before = o->items[i].product->name;
        if (kind_length(before) == length && !strncmp(before, name, length))
            return true;
    }
    return false;
}

/* The pH that the other tank would show, lowest and highest. */
static bool find_other(const sw_ph_options *o, int tank, double *low,
                       double *high)
{
    *low = INFINITY;
    *high = -INFINITY;
    for (size_t i = 0; i < o->count; i++) {
        const sw_ph_amount *amount = &o->items[i].amount[tank];
        double ph =
            tank == SW_CARBONATE_KEPT ? amount->ph_aired : amount->ph_mixed;
        *low = fmin(*low, ph);
        *high = fmax(*high, ph);
    }
    return *low <= *high;
}

/* "5.8", or "4.6 to 4.8". */
static cli_figure range_words(double low, double high)
{
    cli_figure out = figure_fixed(low, FIGURE_PH);
    const cli_figure to = figure_fixed(high, FIGURE_PH);
    if (strcmp(out.text, to.text) != 0)
        text_join(out.text, sizeof out.text, " to ", "%s", to.text);
    return out;
}

static void say_other(doc_block *block, const sw_ph_options *o, int tank)
{
    double low, high;
    if (!find_other(o, tank, &low, &high))
        return;
    cli_figure range = range_words(low, high);
    if (tank == SW_CARBONATE_KEPT)
        doc_after(block, SAY_PH_AIRED, range.text);
    else
        doc_after(block, SAY_PH_FRESH, range.text);
}

/* A line a product, and of what can hurt the gear alone. */
static void put_short(doc_record *report, const cli_ph_alone *alone)
{
    const sw_ph_options *o = alone->options;
    doc_block *block = doc_add(report, "short");
    bool folded = false;
    doc_title(block, "One of these %s %s",
              isnan(alone->volume_l) ? "per" : "for", volume_words(alone).text);
    if (alone->cautions.count)
        doc_before(block, "%s", alone->cautions.items[0].text);
    for (size_t i = 0; i < o->count; i++) {
        bool another = is_another_strength(o, i);
        folded |= another;
        if (!another && (is_told(o, &o->items[i], SW_CARBONATE_KEPT) ||
                         is_told(o, &o->items[i], SW_CARBONATE_AIRED)))
            put_short_row(block, alone, &o->items[i]);
    }
    if (o->need[SW_CARBONATE_AIRED].asked && o->need[SW_CARBONATE_AIRED].needed)
        say_other(block, o, SW_CARBONATE_AIRED);
    if (o->count)
        doc_after(block, folded ? SAY_PH_SHORT_STRENGTHS : SAY_PH_SHORT_MORE);
}

/* ---- The tanks ---------------------------------------------------------- */

/* "N 67, S 16", of what is worth a word. */
static void put_brings(doc_record *row, const sw_product *product,
                       double g_per_l)
{
    static const sw_component shown[] = {SW_N,  SW_P, SW_K,  SW_CA,
                                         SW_MG, SW_S, SW_CL, SW_NA};
    char words[128] = "";
    doc_block *contents = doc_add(row, "contents");
    for (size_t i = 0; i < sizeof shown / sizeof *shown; i++) {
        double mg_per_l = g_per_l * product->per_g.amount[shown[i]];
        const char *name = sw_component_name(shown[i]);
        if (!(mg_per_l >= least_mg_per_l))
            continue;
        doc_entry(contents, name, mg_per_l);
        text_join(words, sizeof words, ", ", "%s %s", name,
                  figure_plain(mg_per_l).text);
    }
    doc_text(row, "brings", words);
}

/* "Danger H314 H290"; people read the strongest, and all of it under Safety. */
static void put_hazard(doc_record *row, const sw_hazards *hazards)
{
    char all[128] = "";
    if (!hazards->count)
        return;
    text_join(all, sizeof all, "", "%s",
              sw_signal_text(hazards->items[0].signal));
    for (size_t i = 0; i < hazards->count; i++)
        text_join(all, sizeof all, " ", "%s", hazards->items[i].code);
    doc_text(row, "hazard", all);
    doc_words(row, "hazard", hazards->items[0].code);
}

/* What speaks against it. */
static void put_remark(doc_record *row, const sw_ph_option *option,
                       const sw_ph_amount *amount)
{
    char words[200] = "";
    const char *of = amount->excess < SW_COMPONENT_COUNT
                         ? sw_component_name(amount->excess)
                         : "";
    bool none = isnan(amount->g_per_l);
    bool citric = option->product->per_g.amount[SW_CITRATE] > 0.0;
    if (none)
        text_join(words, sizeof words, "", "no amount of it gets there");
    else if (*of)
        text_join(words, sizeof words, "", SAY_PH_ABOVE_USUAL, of);
    if (amount->over_max)
        text_join(words, sizeof words, "; ", SAY_PH_ABOVE_MAX);
    if (citric)
        text_join(words, sizeof words, "; ", SAY_PH_MICROBES);
    doc_text(row, "remark", words);
}

static void put_option(doc_block *block, const cli_ph_alone *alone,
                       const sw_ph_option *option, int tank)
{
    const sw_ph_amount *amount = &option->amount[tank];
    double amount_1000 = per_1000_l(option, tank);
    bool asked = !isnan(alone->volume_l);
    doc_record *row = doc_row(block);
    doc_text(row, "product", option->product->name);
    doc_text(row, "unit", unit_of(option));
    DOC_NUMBERS(row, {"per_1000_l", amount_1000},
                {"per_100_gal", 0.1 * figure_l_per_gal * amount_1000},
                {"for_volume", asked ? for_volume(alone, option, tank) : NAN},
                {"ph_mixed", amount->ph_mixed}, {"ph_aired", amount->ph_aired});
    doc_flag(row, "on_shelf", option->on_shelf);
    put_brings(row, option->product, amount->g_per_l);
    put_hazard(row, &option->product->hazards);
    put_remark(row, option, amount);
}

/* "4.39 meq/L of acid" */
static void put_takes(doc_record *out, const sw_ph_need *need)
{
    double meq = need->acid_meq_per_l;
    doc_number(out, "acid_meq_per_l", meq);
    doc_reads(out, "acid_meq_per_l", "%s meq/L of %s",
              figure_short(fabs(meq)).text, meq > 0 ? "acid" : "base");
}

static void put_tank(doc_record *report, const cli_ph_alone *alone, int tank)
{
    const sw_ph_options *o = alone->options;
    const sw_ph_need *need = &o->need[tank];
    if (!need->asked)
        return;
    bool acid = need->acid_meq_per_l > 0;
    doc_block *part = doc_add(report, keys[tank]);
    doc_record *out = doc_row(part);
    doc_title(part, "%s", titles[tank]);
    DOC_NUMBERS(out, {"ph", need->ph}, {"ph_wanted", need->wanted});
    put_takes(out, need);
    if (!isnan(alone->volume_l))
        doc_shown(out, "volume_l", alone->volume_l, volume_words(alone).text);
    doc_flag(out, "sized", need->sized);
    doc_block *block = doc_add(out, "options");
    for (size_t i = 0; need->needed && i < o->count; i++)
        if (!isnan(o->items[i].amount[tank].g_per_l) ||
            o->items[i].is_acid == acid)
            put_option(block, alone, &o->items[i], tank);
    if (need->needed)
        say_other(block, o, tank);
}

static void put_safety(doc_record *report, const cli_ph_alone *alone)
{
    doc_block *safety = doc_add(report, "safety");
    doc_title(safety, "Safety");
    report_notes(safety, &alone->cautions, ~(unsigned)DOC_BRIEF);
}

static void put_waters(doc_record *report, const cli_inputs *inputs)
{
    const cli_source *items = inputs->waters.items;
    if (inputs->waters.count == 1) {
        report_water(report, "water", &items[0], (double)NAN);
        return;
    }
    doc_block *block = doc_add(report, "blend");
    for (size_t i = 0; i < inputs->waters.count; i++) {
        doc_record *row = doc_row(block);
        doc_text(row, "sample", items[i].water->sample);
        doc_number(row, "share", inputs->fractions[i]);
    }
}

doc_record *report_ph_alone(const cli_ph_alone *alone)
{
    doc_record *report = doc_new("ph_alone");
    const cli_inputs *inputs = alone->inputs;
    doc_text(report, "saltwright", sw_version());
    doc_text(report, "command", "formulate");
    put_verdict(report, alone);
    put_waters(report, inputs);
    doc_text(report, "target", inputs->target->name);
    if (alone->options) {
        put_short(report, alone);
        put_safety(report, alone);
        put_tank(report, alone, SW_CARBONATE_KEPT);
        put_tank(report, alone, SW_CARBONATE_AIRED);
    }
    doc_block *notes = doc_add(report, "notes");
    report_notes(notes, &alone->dangers, DOC_DATA);
    report_notes(notes, &alone->doubts, DOC_DATA);
    report_notes(notes, &inputs->assumptions, 0);
    return report;
}
