/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Trace elements and salt that the target does not name, where the products
 * add more of them than feeds usually get.
 */
#include "assess/advice.h"

#include "quantity/notes.h"

/* From here on it is no matter of taste (common practice, no source). */
static const double times_harmful = 5;

static const double slack = 1 + 1e-6;

static sw_status advise_trace(const sw_target_row *row, sw_assessment *a)
{
    double added = a->rows[row->component].added_mg_per_l;
    bool harmful = added > times_harmful * row->max;
    if (!(added > row->max * slack))
        return SW_OK;
    return sw_notes_add(
        &a->notes, harmful ? SW_DANGER : SW_WARNING, "unasked",
        "The products add %.3g mg/L of %s, which the target does not name; "
        "feeds usually get at most %.3g mg/L.%s Name %s in the target.",
        added, row->name, row->max,
        harmful ? " Do not give this to a crop." : "", row->name);
}

sw_status sw_advise_traces(const sw_mix *mix, sw_assessment *assessment)
{
    sw_status status = SW_OK;
    for (size_t i = 0; i < mix->target->count && status == SW_OK; i++)
        if (mix->target->rows[i].assumed)
            status = advise_trace(&mix->target->rows[i], assessment);
    return status;
}
