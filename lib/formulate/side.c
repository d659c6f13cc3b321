/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Limits in the words of whoever set them, and what they cost.  A price of a
 * scaled bound becomes one per unit of the user's bound; for a bound that
 * sits in a coefficient (ratio, pH) by the envelope theorem: the objective
 * changes by - price * d(row)/d(bound).
 */
#include "formulate/model.h"

#include "quantity/text.h"

#include <math.h>

/* Below this a price is rounding: columns, rows and terms are near 1. */
static const double price_tolerance = 1e-9;

static const char *word_of(sw_side_end end, bool of_product)
{
    switch (end) {
    case SW_SIDE_MIN:
        return "min";
    case SW_SIDE_MAX:
        return "max";
    default:
        return of_product ? "fixed" : "at";
    }
}

static const char *rule_of(sw_origin origin)
{
    static const char *const rules[] = {
        [SW_GIVEN] = "",
        [SW_BY_RANGE] = "accepted range of its target",
        [SW_OWN_CEILING] = "our ceiling: the target does not name it",
        [SW_OWN_CAP] = "our limit: target + 10 % while a pH is sought",
        [SW_GAVE_WAY] = "gave way to there",
        [SW_OWN_RANGE] = "our limit: as far as acid or base serve",
        [SW_OWN_LITRE] = "our limit: no litre holds more of it",
        [SW_BY_LAB] = "accepted range of its target + 10 %, lab error",
    };
    return rules[origin];
}

const char *sw_side_unit(const sw_side *side)
{
    if (side->kind == SW_SIDE_PRODUCT)
        return "g/L";
    return side->kind == SW_SIDE_COMPONENT ? "mg/L" : "";
}

void sw_side_text(const sw_model *model, const sw_side *side, char *text,
                  size_t size)
{
    bool of_product = side->product != NULL;
    if (side->kind == SW_SIDE_COST) {
        snprintf(text, size, "cost max %.6g per m3", side->bound);
        return;
    }
    const char *unit = sw_side_unit(side);
    const char *file =
        of_product ? model->problem->shelf->name : model->problem->target->name;
    unsigned long line = of_product ? side->product->line : side->target->line;
    const char *rule = rule_of(side->origin);
    char place[192] = "";
    if (line && file)
        snprintf(place, sizeof place, " (%s%s%.60s line %lu)", rule,
                 *rule ? ", " : "", file, line);
    else if (*rule)
        snprintf(place, sizeof place, " (%s)", rule);
    snprintf(text, size, "%.48s%s %s %.6g%s%s%s",
             of_product ? side->product->name : side->target->name,
             side->origin == SW_OWN_CEILING ? " from products" : "",
             word_of(side->end, of_product), side->bound, *unit ? " " : "",
             unit, place);
}

static double price_of(const sw_side *side, const sw_point *point)
{
    return side->kind == SW_SIDE_PRODUCT ? point->column_price[side->index]
                                         : point->row_price[side->index];
}

bool sw_side_binds(const sw_side *side, const sw_point *point)
{
    double price = price_of(side, point);
    if (side->end == SW_SIDE_MIN)
        return price > price_tolerance;
    if (side->end == SW_SIDE_MAX)
        return price < -price_tolerance;
    return fabs(price) > price_tolerance;
}

/* d(objective)/d(bound) over the price of the scaled row or column. */
static double per_bound(const sw_model *model, const sw_side *side,
                        const sw_point *point)
{
    if (side->kind == SW_SIDE_PRODUCT)
        return 1 / model->unit[side->index];
    double unit = model->row_unit[side->index];
    if (side->kind == SW_SIDE_COMPONENT || side->kind == SW_SIDE_COST)
        return 1 / unit;
    sw_content finished;
    sw_model_content(model, point->y, &finished);
    if (side->kind == SW_SIDE_RATIO)
        return finished.amount[side->target->other] / unit;
    return -sw_model_ph_slope(model, side, &finished) / unit;
}

sw_limit sw_side_limit(const sw_model *model, const sw_side *side,
                       const sw_point *point)
{
    sw_limit limit = {.bound = side->bound,
                      .origin = side->origin,
                      .binds = point && sw_side_binds(side, point),
                      .of_cost = side->kind == SW_SIDE_COST};
    if (side->product)
        limit.line = side->product->line;
    else if (!limit.of_cost)
        limit.line = side->target->line;
    sw_side_text(model, side, limit.name, sizeof limit.name);
    sw_text_mend(limit.name);
    if (point)
        limit.price = price_of(side, point) * per_bound(model, side, point);
    return limit;
}
