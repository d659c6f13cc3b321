/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * One answer to what is an acid, a base, a carbonate or a source of a trace
 * element, for advice, plans and choices alike.  Thresholds are conventions of
 * this program: reference/methods.md, Formulate.
 */
#include "assess/agent.h"

#include "quantity/components.h"
#include "quantity/label_claims.h"
#include "quantity/notes.h"

#include <math.h>
#include <string.h>

static const double carbonate_mmol_per_g = 1.0;

static double alkalinity_of(const sw_product *product)
{
    return product->per_g.amount[SW_ALKALINITY];
}

bool sw_is_acid(const sw_product *product)
{
    double alkalinity = alkalinity_of(product);
    bool citric = product->per_g.amount[SW_CITRATE] >= SW_AGENT_MEQ_PER_G;
    return alkalinity <= -SW_AGENT_MEQ_PER_G ||
           (citric && alkalinity < SW_AGENT_MEQ_PER_G);
}

bool sw_is_agent(const sw_product *product)
{
    return sw_is_acid(product) || alkalinity_of(product) >= SW_AGENT_MEQ_PER_G;
}

const char *sw_amount_per_m3(const sw_product *product, double g_per_l,
                             char text[SW_AMOUNT_BYTES])
{
    char figure[SW_FIGURE_BYTES];
    bool liquid = !isnan(product->density_g_per_ml);
    double per_m3 = 1000 * g_per_l / (liquid ? product->density_g_per_ml : 1);
    snprintf(text, SW_AMOUNT_BYTES, "%s %s", sw_figure(per_m3, figure),
             liquid ? "mL" : "g");
    return text;
}

bool sw_is_carbonate(const sw_product *product)
{
    return product->per_g.amount[SW_CARBON] >= carbonate_mmol_per_g;
}

bool sw_is_trace_source(const sw_product *product)
{
    for (int c = 0; c < SW_COMPONENT_COUNT; c++)
        if (sw_component_is((sw_component)c, SW_IS_TRACE) &&
            sw_is_source(product, (sw_component)c))
            return true;
    return false;
}

/* ---- Chelates ------------------------------------------------------------ */

const sw_chelates_row *sw_chelate_of(sw_chelator chelator, const char *metal)
{
    for (size_t i = 0; i < sw_chelates_count; i++)
        if (!strcmp(sw_chelates_table[i].chelator,
                    sw_chelator_word(chelator)) &&
            !strcmp(sw_chelates_table[i].metal, metal))
            return &sw_chelates_table[i];
    return NULL;
}

sw_chelate_range sw_chelate_range_of(const sw_product *p)
{
    sw_chelate_range range = {-INFINITY, INFINITY, INFINITY};
    for (int c = 0; c < SW_COMPONENT_COUNT; c++) {
        sw_component held = sw_chelated_part((sw_component)c);
        if (held >= SW_CARRIED_COUNT || !(p->per_g.amount[held] > 0))
            continue;
        const sw_chelates_row *row =
            sw_chelate_of(p->chelator, sw_component_name((sw_component)c));
        if (!row)
            continue;
        range.low = fmax(range.low, row->ph_low); /* NaN: no lowest */
        range.doubtful = fmin(range.doubtful, row->ph_doubtful);
        range.high = fmin(range.high, row->ph_high);
    }
    return range;
}
