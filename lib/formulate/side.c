/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Limits in the words of whoever set them, and what they cost.  A price of a
 * scaled bound becomes one per unit of the user's bound; for a bound that
 * sits in a coefficient (ratio, pH) by the envelope theorem: the objective
 * changes by - price * d(row)/d(bound).
 */
#include "formulate/model.h"

#include "quantity/text.h"
#include "records/targets.h"

#include <math.h>

/* Below this a price is rounding: columns, rows and terms are near 1. */
static const double price_tolerance = 1e-9;

static const char *const ends[] = {
    [SW_SIDE_MIN] = "min", [SW_SIDE_MAX] = "max", [SW_SIDE_FIXED] = "fixed"};

void sw_side_put(const sw_model *model, const sw_side *side, bool in_force,
                 const sw_form *form)
{
    const sw_form *own = &model->form;
    size_t at = side->index;
    if (side->kind == SW_SIDE_PRODUCT) {
        double freed = sw_model_is_shut(model, at)
                           ? own->high[at]
                           : SW_ANY_G_PER_L / model->unit[at];
        if (side->end != SW_SIDE_MAX)
            form->low[at] = in_force ? own->low[at] : 0;
        if (side->end != SW_SIDE_MIN)
            form->high[at] = in_force ? own->high[at] : freed;
        return;
    }
    if (side->end != SW_SIDE_MAX)
        form->row_low[at] = in_force ? own->row_low[at] : -INFINITY;
    if (side->end != SW_SIDE_MIN)
        form->row_high[at] = in_force ? own->row_high[at] : INFINITY;
}

double sw_side_unit_size(const sw_model *model, const sw_side *side)
{
    return side->kind == SW_SIDE_PRODUCT ? model->unit[side->index]
                                         : model->row_unit[side->index];
}

double sw_side_bound(const sw_model *model, const sw_side *side)
{
    const sw_form *form = &model->form;
    bool low = side->end == SW_SIDE_MIN;
    if (side->kind == SW_SIDE_PRODUCT)
        return low ? form->low[side->index] : form->high[side->index];
    return low ? form->row_low[side->index] : form->row_high[side->index];
}

double sw_side_value(const sw_model *model, const sw_side *side,
                     const double *y)
{
    return side->kind == SW_SIDE_PRODUCT
               ? y[side->index]
               : sw_row_value(model->form.matrix, side->index,
                              model->form.columns, y);
}

double sw_side_stand(const sw_model *model, const sw_side *side,
                     const double *y)
{
    sw_seen seen;
    sw_content finished;
    sw_model_content(model, y, &finished);
    if (side->kind == SW_SIDE_RATIO)
        return finished.amount[side->target->component] /
               finished.amount[side->target->other];
    if (side->kind == SW_SIDE_PH) { /* NaN where it has no answer */
        sw_model_see(model, &finished, side->aim->row->aired, &seen, NULL);
        return seen.at.ph;
    }
    return side->bound +
           sw_side_unit_size(model, side) *
               (sw_side_value(model, side, y) - sw_side_bound(model, side));
}

/* Of the side's bound: "mg/L", "g/L", or "" (a ratio, a pH, a cost). */
static const char *unit_of(const sw_side *side)
{
    if (side->kind == SW_SIDE_PRODUCT)
        return "g/L";
    return side->kind == SW_SIDE_COMPONENT ? "mg/L" : "";
}

void sw_side_text(const sw_model *model, const sw_side *side, char *text,
                  size_t size)
{
    bool of_product = side->product != NULL;
    if (!of_product && !side->target) {
        snprintf(text, size, "cost max %.6g per m3", side->bound);
        return;
    }
    const char *unit = unit_of(side);
    const char *file =
        of_product ? model->problem->shelf->name : model->problem->target->name;
    unsigned long line = of_product ? side->product->line : side->target->line;
    const char *set = of_product ? NULL : side->target->set;
    const char *rule = sw_origin_rule(side->origin);
    if (side->origin == SW_OWN_CEILING && side->bound > side->target->max)
        rule = "our ceiling, raised to what fixed and least amounts bring: the "
               "target does not name it";
    char place[192] = "";
    sw_text_join(place, sizeof place, "", "%s", rule);
    if (set)
        sw_text_join(place, sizeof place, ", ", "%s",
                     sw_target_set_cited(set).text);
    else if (line && file)
        sw_text_join(place, sizeof place, ", ", "%.60s line %lu", file, line);
    snprintf(text, size, "%.48s%s %s %.6g%s%s%s%s%s",
             of_product ? side->product->name : side->target->name,
             side->origin == SW_OWN_CEILING ? " from products" : "",
             ends[side->end], side->bound, *unit ? " " : "", unit,
             *place ? " (" : "", place, *place ? ")" : "");
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
    if (side->kind == SW_SIDE_RATIO && side->target)
        return finished.amount[side->target->other] / unit;
    return -sw_model_ph_slope(model, side, &finished) / unit;
}

/* Which row of the target, or product, it is on. */
static size_t place_of(const sw_problem *problem, const sw_side *side)
{
    if (side->product)
        return (size_t)(side->product - problem->shelf->products);
    return sw_place_of(problem->target, side->target);
}

sw_limit sw_side_limit(const sw_model *model, const sw_side *side,
                       const sw_point *point)
{
    sw_limit limit = {.kind = side->kind,
                      .end = side->end,
                      .index = place_of(model->problem, side),
                      .bound = side->bound,
                      .unit = unit_of(side),
                      .origin = side->origin,
                      .binds = point && sw_side_binds(side, point)};
    if (side->product)
        limit.line = side->product->line;
    else if (side->target) {
        limit.line = side->target->line;
        limit.component = side->target->component;
    }
    sw_side_text(model, side, limit.name, sizeof limit.name);
    sw_text_mend(limit.name);
    double price = point ? price_of(side, point) : 0;
    if (point && price != 0) /* else no slope of a pH is needed */
        limit.price = price * per_bound(model, side, point);
    return limit;
}
