/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Trace elements and salt that the target does not name, where the products
 * add more of them than feeds usually get, or the water brings it; and trace
 * elements that it names, past both what it allows and what feeds get.
 */
#include "assess/advice.h"

#include "assess/figures.h"
#include "assess/verdict.h"
#include "quantity/notes.h"
#include "records/ceilings.h"

#include <math.h>

/* From here on it is no matter of taste (common practice, no source). */
static const double times_harmful = 5;

static const double slack = 1 + 1e-6;

/* More than this many times what the target allows is no small overdose; a
 * point that slipped makes 10 or 100 times the target, within a quarter
 * (common practice, no source). */
static const double times_allowed = 2, near_slip = 1.25;

static const char not_for_a_crop[] = " Do not give this to a crop.";

static sw_status advise_added(const sw_target_row *row, bool harmful,
                              sw_assessment *a)
{
    return sw_notes_add(
        &a->notes, harmful ? SW_DANGER : SW_WARNING, "unasked",
        "The products add %.3g mg/L of %s, which the target does not name; "
        "feeds usually get at most %.3g mg/L.%s Name %s in the target.",
        a->rows[row->component].added_mg_per_l, row->name, row->max,
        harmful ? not_for_a_crop : "", row->name);
}

static sw_status advise_finished(const sw_target_row *row, bool harmful,
                                 sw_assessment *a)
{
    const sw_component_row *held = &a->rows[row->component];
    return sw_notes_add(
        &a->notes, harmful ? SW_DANGER : SW_WARNING, "unasked",
        "The solution holds %.3g mg/L of %s, which the target does not name, "
        "%.3g of it from the water; feeds usually get at most %.3g mg/L.%s",
        held->finished_mg_per_l, row->name, held->water_mg_per_l, row->max,
        harmful ? not_for_a_crop : "");
}

/* Na and Cl of the water have their rows among the guidelines. */
static sw_status advise_trace(const sw_target_row *row, sw_assessment *a)
{
    const sw_component_row *held = &a->rows[row->component];
    bool salt = row->component == SW_NA || row->component == SW_CL;
    double judged = salt ? held->added_mg_per_l : held->finished_mg_per_l;
    bool harmful = judged > times_harmful * row->max;
    bool by_products = held->added_mg_per_l > row->max * slack;
    bool worse = harmful && !(held->added_mg_per_l > times_harmful * row->max);
    if (!(judged > row->max * slack))
        return SW_OK;
    return by_products && !worse ? advise_added(row, harmful, a)
                                 : advise_finished(row, harmful, a);
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

static sw_status say_overdose(const sw_target_row *row, double allowed,
                              const sw_mix *mix, sw_assessment *a)
{
    char text[4][SW_FIGURE_BYTES];
    double brought, held = a->rows[row->component].finished_mg_per_l;
    double aim = isnan(row->target) ? allowed : row->target;
    const sw_product *chief = chief_source(mix, row->component, &brought);
    bool harmful = held > times_allowed * allowed;
    return sw_notes_add(
        &a->notes, harmful ? SW_DANGER : SW_WARNING, "trace-overdose",
        "The solution holds %s mg/L of %s; the target %s %s and feeds usually "
        "get at most %s. %s%.60s brings %s of it.%s%s",
        sw_figure(held, text[0]), row->name,
        isnan(row->target) ? "allows" : "is", sw_figure(aim, text[1]),
        sw_figure(sw_feed_ceiling_mg_per_l(row->component), text[2]),
        chief ? "" : "The ", chief ? chief->name : "water",
        sw_figure(brought, text[3]),
        chief && is_slip(held / aim) ? " A slipped decimal point?" : "",
        harmful ? not_for_a_crop : "");
}

/* Salt has its rows among the guidelines, and iron of the water, which does
 * not stay dissolved, a note of its own. */
static sw_status advise_named(const sw_target_row *row, const sw_mix *mix,
                              sw_assessment *a)
{
    bool salt = row->component == SW_NA || row->component == SW_CL;
    double ceiling = sw_feed_ceiling_mg_per_l(row->component);
    const sw_component_row *held = &a->rows[row->component];
    double judged = row->component == SW_FE ? held->added_mg_per_l
                                            : held->finished_mg_per_l;
    double allowed = sw_band_of(row).high;
    if (salt || !(judged > ceiling * slack) || !(judged > allowed * slack))
        return SW_OK;
    return say_overdose(row, allowed, mix, a);
}

sw_status sw_advise_traces(const sw_mix *mix, sw_assessment *assessment)
{
    sw_status status = SW_OK;
    for (size_t i = 0; i < mix->target->count && status == SW_OK; i++) {
        const sw_target_row *row = &mix->target->rows[i];
        if (row->assumed)
            status = advise_trace(row, assessment);
        else if (row->kind == SW_TARGET_COMPONENT)
            status = advise_named(row, mix, assessment);
    }
    return status;
}
