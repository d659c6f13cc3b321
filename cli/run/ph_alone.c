/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The water, what the shelf fixes in it, and what brings it to its pH. */
#include "run/ph_alone.h"

#include <math.h>
#include <stdlib.h>

#include "run/cautions.h"
#include "run/run.h"
#include "io/complain.h"
#include "io/memory.h"
#include "sentences_text.h"

/* Options about a recipe say nothing of acid alone. */
static void check_options(const cli_options *options)
{
    static const option_id of_recipe[] = {
        OPT_SCALE_STEP,  OPT_FINE_STEP,   OPT_TRACE_SOLUTION,
        OPT_WHOLE_PACKS, OPT_SEARCH_TIME, OPT_OBJECTIVE,
        OPT_EQUAL,       OPT_KEEP_RANGES, OPT_TO_EC,
        OPT_METER_AT,    OPT_AMOUNTS,     OPT_WHY,
        OPT_TRADE_OFF,   OPT_CURVE,       OPT_HOW_SURE,
        OPT_MEASURED_EC, OPT_MEASURED_PH, OPT_DOUBT,
        OPT_FOR,         OPT_COUNT};
    const char *stray = options_any(options, of_recipe);
    if (stray)
        leave(complain_usage("formulate", SAY_NOT_OF_PH, stray));
}

static double amount_fixed(const sw_product *product)
{
    return isnan(product->fixed_g_per_l) ? fmax(0.0, product->min_g_per_l)
                                         : product->fixed_g_per_l;
}

static void find_cautions(cli_ph_alone *out)
{
    cli_handled handled = {.count = 0};
    for (size_t i = 0;
         i < out->options->count && handled.count < SW_MAX_PRODUCTS; i++)
        handled.items[handled.count++] = out->options->items[i].product;
    if (handled.count)
        cautions_find(&handled, &out->cautions);
}

static void keep(sw_notes *notes, const sw_note *note)
{
    notes->items = memory_grow(notes->items, notes->count + 1, sizeof *note);
    notes->items[notes->count++] = *note;
}

/* What no acid or base makes good, and what makes its amount doubtful. */
static void keep_notes(const sw_notes *found, cli_ph_alone *out)
{
    for (size_t i = 0; i < found->count; i++) {
        const sw_note *note = &found->items[i];
        if (note->severity == SW_DANGER && !(note->about & SW_ABOUT_PH))
            keep(&out->dangers, note);
        else if (note->about & (SW_ABOUT_DOUBT | SW_ABOUT_GAS))
            keep(&out->doubts, note);
    }
}

/* Of the waters, by their reports, with what the shelf fixes in them. */
static sw_status find_notes(sw_mix mix, cli_ph_alone *out, sw_error *error)
{
    sw_assessment *found;
    const cli_inputs *inputs = out->inputs;
    const cli_sources *waters = &inputs->waters;
    static const double whole = 1;
    const sw_water **reports =
        memory_array(waters->count, sizeof(const sw_water *));
    for (size_t k = 0; k < waters->count; k++)
        reports[k] = waters->items[k].water;
    mix.reports = reports;
    mix.shares = inputs->fractions ? inputs->fractions : &whole;
    mix.report_count = waters->count;
    mix.brief = true;
    sw_status status = sw_assess(&mix, &found, error);
    free(reports);
    if (status != SW_OK)
        return status;
    for (size_t k = 0; k < waters->count; k++)
        if (mix.shares[k] > 0.0)
            keep_notes(&waters->items[k].doubts, out);
    keep_notes(&found->notes, out);
    sw_assessment_free(found);
    return SW_OK;
}

static void find(const cli_settings *settings, const sw_content *water,
                 const sw_shelf *shelf, cli_ph_alone *out)
{
    sw_error error = {0};
    sw_recipe recipe = {.count = shelf->count};
    recipe.g_per_l = memory_array(shelf->count + 1, sizeof(double));
    for (size_t j = 0; j < shelf->count; j++)
        recipe.g_per_l[j] = amount_fixed(&shelf->products[j]);
    sw_mix mix = inputs_mix(out->inputs, settings, water, &recipe);
    mix.shelf = shelf;
    sw_status status = find_notes(mix, out, &error);
    if (status == SW_OK && !out->dangers.count)
        status = sw_ph_options_find(&mix, &out->options, &error);
    free(recipe.g_per_l);
    expect_ok(status, &error);
    if (out->options)
        find_cautions(out);
}

static void free_ph_alone(void *thing)
{
    cli_ph_alone *alone = thing;
    sw_ph_options_free(alone->options);
    sw_notes_free(&alone->dangers);
    sw_notes_free(&alone->doubts);
    sw_notes_free(&alone->cautions);
}

cli_ph_alone *ph_alone_run(const cli_options *options,
                           const cli_settings *settings, cli_inputs *inputs)
{
    static const sw_shelf none;
    sw_content water;
    bool asked = options_has(options, OPT_VOLUME);
    cli_ph_alone *out = memory_kept(sizeof *out, free_ph_alone);
    out->inputs = inputs;
    out->volume_l = asked ? settings->volume_l : (double)NAN;
    out->system = settings->volume_system;
    check_options(options);
    if (inputs->waters.count > 1 && !inputs->fractions)
        leave(complain_usage("formulate", SAY_PH_NEEDS_SHARE));
    run_blend(inputs, &water);
    bool given = options_has(options, OPT_SHELF);
    find(settings, &water, given ? inputs->shelf : &none, out);
    return out;
}

exit_code ph_alone_exit_code(const cli_ph_alone *alone)
{
    const sw_ph_options *o = alone->options;
    if (!o || alone->doubts.count)
        return EXIT_UNMET;
    for (int t = 0; t < SW_PH_TANKS; t++) {
        bool reached = !o->need[t].needed;
        for (size_t i = 0; i < o->count; i++)
            reached = reached || !isnan(o->items[i].amount[t].g_per_l);
        if (!reached)
            return EXIT_UNMET;
    }
    return EXIT_DONE;
}
