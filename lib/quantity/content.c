/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The linear operations on contents, and the charges of a product. */
#include <math.h>

#include "quantity/components.h"
#include "quantity/content.h"
#include "quantity/label.h"

void sw_content_add(sw_content *to, double factor, const sw_content *from)
{
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        to->amount[i] += factor * from->amount[i];
}

void sw_content_add_waters(sw_content *to, const sw_content *waters,
                           const double *fractions, size_t count)
{
    for (size_t i = 0; i < count; i++)
        sw_content_add(to, fractions ? fractions[i] : 1.0, &waters[i]);
}

bool sw_alkalinity_is_known(const sw_content *per_l)
{
    return !(per_l->amount[SW_UNKNOWN_WATER] > 0);
}

bool sw_co2_is_known(const sw_content *per_l)
{
    return sw_alkalinity_is_known(per_l) &&
           !(per_l->amount[SW_UNKNOWN_CO2] > 0);
}

double sw_content_charge_gap(const sw_content *per_g)
{
    double gap = -per_g->amount[SW_CHELATE_CHARGE];
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        gap += sw_unchelated_mg(per_g, (sw_component)i) *
               sw_charge_per_mg((sw_component)i);
    return gap;
}

int sw_content_elements(const sw_content *per_g)
{
    int elements = 0;
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        elements += !sw_component_is((sw_component)i, SW_IS_FORM) &&
                    per_g->amount[i] > 0;
    return elements;
}

double sw_content_charges(const sw_content *per_g)
{
    double charges = per_g->amount[SW_CHELATE_CHARGE];
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        charges += fabs(sw_unchelated_mg(per_g, (sw_component)i) *
                        sw_charge_per_mg((sw_component)i));
    return charges;
}

double sw_content_imbalance(const sw_content *per_g)
{
    double charges = sw_content_charges(per_g);
    double share = charges > 0 ? per_g->amount[SW_ALKALINITY] / charges : 0;
    return fmax(-1, fmin(1, share));
}

/* Formulas of one salt differ by roundings alone. */
static const double same_share = 0.02;

double sw_content_times(const sw_content *a, const sw_content *b)
{
    int most = 0;
    for (int i = 0; i <= SW_CITRATE; i++)
        if (b->amount[i] > b->amount[most])
            most = i;
    double factor =
        b->amount[most] > 0 ? a->amount[most] / b->amount[most] : 1.0;
    for (int i = 0; i <= SW_CITRATE; i++) {
        double one = a->amount[i];
        double other = factor * b->amount[i];
        if (!(fabs(one - other) <=
              same_share * (fabs(one) + fabs(other)) + 1e-6))
            return NAN;
    }
    return factor;
}

bool sw_content_is_same(const sw_content *a, const sw_content *b)
{
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        if (a->amount[i] != b->amount[i])
            return false;
    return true;
}

bool sw_content_is_finite(const sw_content *content)
{
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        if (!isfinite(content->amount[i]))
            return false;
    return true;
}

sw_sparse sw_sparse_of(const double *coefficient)
{
    sw_sparse made = {.coefficient = coefficient};
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        if (coefficient[i] != 0)
            made.of[made.count++] = i;
    return made;
}

double sw_sparse_sum(const sw_sparse *by, const sw_content *content)
{
    double sum = 0;
    for (int k = 0; k < by->count; k++)
        sum += by->coefficient[by->of[k]] * content->amount[by->of[k]];
    return sum;
}
