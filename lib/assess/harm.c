/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What no crop should get, whatever brings it: what the target asks for, what
 * the products add, what the water holds, the EC, chlorine and heavy metals.
 * And trace elements and salt past what feeds usually hold, where the target
 * does not name them or allows less.  Figures: reference/components.csv,
 * harm.csv.
 */
#include "assess/advice.h"

#include "assess/guidelines.h"
#include "assess/verdict.h"
#include "quantity/notes.h"
#include "records/targets.h"
#include "records/feed_limits.h"
#include "table_words.h"

#include <math.h>
#include <stdlib.h>

static const double slack = 1 + 1e-6;

/* More than this many times what the target allows, and what feeds usually
 * hold, is no small overdose: bagged fertilisers for all bring half as much
 * again of some; a target this many times what feeds usually hold is worth a
 * second look; a point that slipped makes 10 or 100 times the target, within a
 * quarter (common practice, no source). */
static const double times_allowed = 2, times_usual = 2, near_slip = 1.25;

static const char not_for_a_crop[] = " Do not give this to a crop.";

/* A component against its row of the table. */
typedef struct sw_held {
    const sw_component_row *row;
    const char *name;
    sw_feed_limit limit;
    double judged; /* mg/L: of salt what products add, else all */
} sw_held;

/* A limit itself is not passed. */
static bool is_past(double mg_per_l, double limit)
{
    return mg_per_l > limit * slack;
}

/* What makes it a danger: the limit it is past, or how far it is past what the
 * target allows; "" of a warning. */
typedef struct harm_words {
    char text[320];
} harm_words;

static harm_words words_of_harm(const sw_held *held, bool harmful)
{
    harm_words words = {""};
    char limit[SW_FIGURE_BYTES], basis[192];
    if (!harmful)
        return words;
    if (is_past(held->row->finished_mg_per_l, held->limit.danger))
        snprintf(words.text, sizeof words.text,
                 " No crop should get more than %s (%s).%s",
                 sw_figure(held->limit.danger, limit),
                 sw_basis(held->limit.source, true, basis), not_for_a_crop);
    else
        snprintf(words.text, sizeof words.text,
                 " That is more than %g times what the target allows, and "
                 "what feeds usually hold.%s",
                 times_allowed, not_for_a_crop);
    return words;
}

static void advise_unnamed(const sw_held *held, sw_assessment *a)
{
    const sw_component_row *row = held->row;
    double added = row->added_mg_per_l, usual = held->limit.usual;
    bool harmful = is_past(row->finished_mg_per_l, held->limit.danger);
    unsigned kind = (harmful ? SW_DANGER : SW_WARNING) | SW_ABOUT_UNASKED;
    harm_words why = words_of_harm(held, harmful);
    if (!harmful && !is_past(held->judged, usual))
        return;
    if (is_past(added, harmful ? held->limit.danger : usual))
        sw_notes_add(&a->notes, kind, "unasked", SW_SAY_UNASKED_ADDED, added,
                     held->name, usual, why.text, held->name);
    else
        sw_notes_add(&a->notes, kind, "unasked", SW_SAY_UNASKED_FINISHED,
                     row->finished_mg_per_l, held->name, row->water_mg_per_l,
                     usual, why.text);
}

/* What brings most of a component: a product, or NULL for the water. */
static const sw_product *chief_source(const sw_mix *mix, sw_component component,
                                      double *mg_per_l)
{
    const sw_product *chief = NULL;
    *mg_per_l = mix->water->amount[component];
    for (size_t j = 0; j < mix->recipe->count; j++) {
        const sw_product *product = &mix->shelf->products[j];
        double brought =
            mix->recipe->g_per_l[j] * product->per_g.amount[component];
        if (brought > *mg_per_l) {
            *mg_per_l = brought;
            chief = product;
        }
    }
    return chief;
}

static bool is_slip(double times)
{
    double off = fabs(log(times / 10));
    return fmin(off, fabs(log(times / 100))) < log(near_slip);
}

static void say_overdose(const sw_held *held, const sw_target_row *row,
                         const sw_mix *mix, sw_assessment *a)
{
    char text[4][SW_FIGURE_BYTES];
    double brought, allowed = sw_band_of(row).high;
    double aim = isnan(row->target) ? allowed : row->target;
    const sw_product *chief = chief_source(mix, row->component, &brought);
    bool harmful =
        held->judged > times_allowed * fmax(allowed, held->limit.usual) ||
        is_past(held->judged, held->limit.danger);
    sw_notes_add(&a->notes,
                 (harmful ? SW_DANGER : SW_WARNING) | SW_ABOUT_OVERDOSE,
                 "trace-overdose", SW_SAY_TRACE_OVERDOSE,
                 sw_figure(held->row->finished_mg_per_l, text[0]), row->name,
                 isnan(row->target) ? "allows" : "is", sw_figure(aim, text[1]),
                 sw_figure(held->limit.usual, text[2]), chief ? "" : "The ",
                 chief ? chief->name : "water", sw_figure(brought, text[3]),
                 chief && is_slip(held->row->finished_mg_per_l / aim)
                     ? " A slipped decimal point?"
                     : "",
                 words_of_harm(held, harmful).text);
}

/* Past what feeds hold, though the target allows it. */
static void say_allowed(const sw_held *held, sw_assessment *a)
{
    char text[2][SW_FIGURE_BYTES], basis[192];
    bool harmful = is_past(held->row->finished_mg_per_l, held->limit.danger);
    sw_notes_add(
        &a->notes, (harmful ? SW_DANGER : SW_WARNING) | SW_ABOUT_FEED,
        harmful ? "feed-harmful" : "feed-unusual", SW_SAY_HARMFUL_FINISHED,
        sw_figure(held->row->finished_mg_per_l, text[0]), held->name,
        harmful ? "no crop should get" : "feeds seldom hold",
        sw_figure(harmful ? held->limit.danger : held->limit.usual, text[1]),
        sw_basis(held->limit.source, harmful, basis),
        harmful ? not_for_a_crop : "");
}

/* Of a solution to which nothing is added: where it came from is not known. */
static void advise_held(const sw_held *held, sw_assessment *a)
{
    if (is_past(held->row->finished_mg_per_l, held->limit.danger) ||
        is_past(held->judged, held->limit.usual))
        say_allowed(held, a);
}

/* Salt up to its danger has its rows among the guidelines, and iron of the
 * water, which does not stay dissolved, a note of its own. */
static void advise_named(const sw_held *held, const sw_target_row *row,
                         const sw_mix *mix, sw_assessment *a)
{
    bool salt = sw_component_is(row->component, SW_IS_SALT);
    double unusual =
        (sw_component_is(row->component, SW_IS_CAPPED) ? times_usual : 1) *
        held->limit.usual;
    if (!salt && sw_component_is(row->component, SW_IS_CAPPED) &&
        is_past(held->judged, held->limit.usual) &&
        is_past(held->judged, sw_band_of(row).high))
        say_overdose(held, row, mix, a);
    else if (is_past(held->row->finished_mg_per_l, held->limit.danger) ||
             (!salt && is_past(held->judged, unusual)))
        say_allowed(held, a);
}

/* What the row asks for at least (of a pH from below: at most), if no crop
 * should get that; NaN if it may. */
static double asked_harm(const sw_target_row *row, bool below,
                         sw_feed_limit *limit)
{
    double end = below ? row->max : row->min;
    double asked = isnan(row->target) ? end : row->target;
    double sign = below ? -1 : 1;
    if (row->assumed || row->kind == SW_TARGET_RATIO ||
        !sw_feed_limit_of(row->kind, row->component, below, limit) ||
        !(sign * asked > sign * limit->danger))
        return NAN;
    return asked;
}

/* "8.00 mg/L of Cu", "a pH of 4.20" */
static void say_asked(const sw_target_row *row, double asked, char text[96])
{
    char figure[SW_FIGURE_BYTES];
    bool component = row->kind == SW_TARGET_COMPONENT;
    sw_figure(asked, figure);
    if (component)
        snprintf(text, 96, "%s mg/L of %.40s", figure, row->name);
    else
        snprintf(text, 96, "%s of %s",
                 row->kind == SW_TARGET_PH ? "a pH" : "an EC", figure);
}

/* Of pH and EC, where the solution itself is not said to be harmful. */
static bool is_reached(const sw_target_row *row, const sw_assessment *a)
{
    return (row->kind == SW_TARGET_PH || row->kind == SW_TARGET_EC) &&
           sw_feed_harms(row->kind, row->component, sw_finished_of(row, a));
}

static void advise_asked(const sw_target_row *row, sw_assessment *a)
{
    for (int below = 0; below < 2; below++) {
        sw_feed_limit limit = {0};
        char text[96], end[SW_FIGURE_BYTES], basis[192];
        double asked = asked_harm(row, below, &limit);
        if (isnan(asked) || is_reached(row, a))
            continue;
        say_asked(row, asked, text);
        sw_notes_add(&a->notes, SW_SAY_TARGET_HARMFUL, text,
                     below ? "less" : "more", sw_figure(limit.danger, end),
                     sw_basis(limit.source, true, basis), not_for_a_crop);
        return;
    }
}

static void advise_component(const sw_mix *mix, sw_component component,
                             sw_assessment *a)
{
    const sw_component_row *row = &a->rows[component];
    const sw_target_row *asked = sw_target_row_of(mix->target, component);
    bool salt = sw_component_is(component, SW_IS_SALT);
    sw_held held = {.row = row, .name = sw_component_name(component)};
    if (!sw_feed_limit_of(SW_TARGET_COMPONENT, component, false, &held.limit))
        return;
    held.judged = salt || (asked && component == SW_FE)
                      ? row->added_mg_per_l
                      : row->finished_mg_per_l;
    if (sw_is_sample(mix))
        advise_held(&held, a);
    else if (!asked)
        advise_unnamed(&held, a);
    else if (isnan(asked_harm(asked, false, &held.limit)) ||
             is_past(held.judged, sw_band_of(asked).high))
        /* else what is asked for is said to be harmful */
        advise_named(&held, asked, mix, a);
}

static void advise_ec(sw_assessment *a)
{
    char text[2][SW_FIGURE_BYTES], basis[192];
    sw_feed_limit limit;
    double ec = a->mixed.ec_ms_per_cm;
    if (!sw_feed_limit_of(SW_TARGET_EC, SW_COMPONENT_COUNT, false, &limit) ||
        !(ec > limit.usual))
        return;
    bool harmful = ec > limit.danger;
    sw_notes_add(
        &a->notes, (harmful ? SW_DANGER : SW_WARNING) | SW_ABOUT_STRENGTH,
        "ec-harmful", SW_SAY_EC_HARMFUL, sw_figure(ec, text[0]),
        harmful ? "burns roots" : "is high",
        harmful ? "no crop should get" : "few crops are fed",
        sw_figure(harmful ? limit.danger : limit.usual, text[1]),
        sw_basis(limit.source, harmful, basis), harmful ? not_for_a_crop : "");
}

/* Of harm nothing may be lost without a word. */
static void advise_readings(const sw_mix *mix, sw_assessment *a)
{
    sw_guideline_rows rows;
    sw_status status = sw_guidelines_hold_reports(mix, &rows, NULL);
    if (sw_notes_found(&a->notes, status ? SW_ERR_MEMORY : SW_OK))
        sw_guidelines_warn(&rows, mix, &a->notes);
    free(rows.items);
}

void sw_advise_harm(const sw_mix *mix, sw_assessment *assessment)
{
    if (mix->unguarded)
        return;
    for (size_t i = 0; i < mix->target->count; i++)
        advise_asked(&mix->target->rows[i], assessment);
    for (int c = 0; c < SW_COMPONENT_COUNT; c++)
        advise_component(mix, (sw_component)c, assessment);
    advise_ec(assessment);
    advise_readings(mix, assessment);
}
