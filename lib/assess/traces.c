/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Trace elements and salt that the target does not name, where the products
 * add more of them than feeds usually get, or the water brings it.
 */
#include "assess/advice.h"

#include "quantity/notes.h"

/* From here on it is no matter of taste (common practice, no source). */
static const double times_harmful = 5;

static const double slack = 1 + 1e-6;

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

sw_status sw_advise_traces(const sw_mix *mix, sw_assessment *assessment)
{
    sw_status status = SW_OK;
    for (size_t i = 0; i < mix->target->count && status == SW_OK; i++)
        if (mix->target->rows[i].assumed)
            status = advise_trace(&mix->target->rows[i], assessment);
    return status;
}
