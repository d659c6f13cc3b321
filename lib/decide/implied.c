/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The target a recipe implies: what it gives in water with nothing in it.
 *
 * A straight is there for its metal: whoever corrects a recipe for hard water
 * takes the water's calcium off the calcium nitrate and its magnesium off the
 * Epsom salt, then its sulfur off whichever sulfate leaves magnesium and
 * potassium where they are, and sees to nitrogen afterwards (common practice,
 * no source).  So each outweighs by far what comes after it.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "quantity/status.h"
#include "records/targets.h"
#include "table_refusals.h"

/* Deviations count squared: S gives up a thousandth of what nitrogen does, and
 * a metal a thousandth of that.  Small, since a proof's gap is a share of what
 * is left open, which is in the lightest rows. */
static const double metal_weight = 100.0, sulfur_weight = 0.1, weight = 1e-4;
/* Of what a premix whose rate is free brings but for this, none is leading. */
static const double least_share = 0.05;
/* Na and Cl are told where they are this much: nobody wants more of them. */
static const double least_salt_mg_per_l = 10.0;
static const double least_mg_per_l = 1e-4;
/* A recipe in pure water has hardly a buffer and may be more acid than a feed
 * is kept at; what is usual then is sought (common practice, no source). */
static const double least_ph = 5.5;

/* A milligram of nitrogen counts the same in whatever form, and as a share of
 * all of it: of a form there is next to nothing of, none is too much else. */
static double share_in_nitrogen(const sw_content *per_l, sw_component c)
{
    return sw_component_is(c, SW_IS_FORM)
               ? per_l->amount[c] / per_l->amount[SW_N]
               : 1.0;
}

static double weight_of(const sw_shelf *shelf, const sw_recipe *recipe,
                        const sw_content *per_l, sw_component c)
{
    double loose = 0.0, all = 0.0;
    double share = share_in_nitrogen(per_l, c);
    for (size_t j = 0; j < recipe->count; j++) {
        const sw_product *p = &shelf->products[j];
        double part = recipe->g_per_l[j] * p->per_g.amount[c];
        all += part;
        loose += sw_is_premix(p) && isnan(p->fixed_g_per_l) ? part : 0.0;
    }
    if (sw_component_is(c, SW_IS_SALT))
        return 0.0;
    if (loose > (1.0 - least_share) * all)
        return weight * share * share;
    return c == SW_CA || c == SW_MG || c == SW_K ? metal_weight
           : c == SW_S                           ? sulfur_weight
                                                 : weight * share * share;
}

static bool add_row(sw_target *target, sw_target_kind kind, sw_component c,
                    double value, double counts)
{
    return sw_target_add(
        target, &(sw_target_row){.kind = kind,
                                 .component = c,
                                 .other = c,
                                 .name = kind == SW_TARGET_PH
                                             ? (char *)"pH"
                                             : (char *)sw_component_name(c),
                                 .target = value,
                                 .min = NAN,
                                 .max = NAN,
                                 .weight = counts});
}

static bool add_contents(sw_target *target, const sw_shelf *shelf,
                         const sw_recipe *recipe, const sw_content *per_l)
{
    for (int c = 0; c < SW_N; c++) {
        bool salt = sw_component_is((sw_component)c, SW_IS_SALT);
        double amount = per_l->amount[c];
        if (amount < (salt ? least_salt_mg_per_l : least_mg_per_l) || c == SW_F)
            continue;
        if (!add_row(target, SW_TARGET_COMPONENT, (sw_component)c, amount,
                     weight_of(shelf, recipe, per_l, (sw_component)c)))
            return false;
    }
    return !(per_l->amount[SW_N] > least_mg_per_l) ||
           add_row(target, SW_TARGET_COMPONENT, SW_N, per_l->amount[SW_N], 0.0);
}

static sw_status add_ph(sw_target *target, const sw_content *per_l,
                        const sw_conditions *conditions, sw_error *error)
{
    sw_chemistry chemistry;
    sw_status status =
        sw_equilibrate(per_l, conditions, SW_CARBONATE_KEPT, &chemistry, error);
    if (status)
        return status;
    return add_row(target, SW_TARGET_PH, SW_NO3_N, fmax(least_ph, chemistry.ph),
                   weight)
               ? SW_OK
               : sw_fail_memory(error);
}

static sw_status fill(sw_target *target, const sw_shelf *shelf,
                      const sw_recipe *recipe, const sw_conditions *conditions,
                      sw_error *error)
{
    sw_content per_l = {{0}};
    sw_content_add_recipe(&per_l, 1.0, shelf, recipe);
    target->name = strdup("what the recipe gives in pure water");
    if (!target->name || !add_contents(target, shelf, recipe, &per_l))
        return sw_fail_memory(error);
    if (!target->count)
        return sw_fail(error, SW_BAD_RECIPE_EMPTY);
    return add_ph(target, &per_l, conditions, error);
}

sw_status sw_target_implied(const sw_shelf *shelf, const sw_recipe *recipe,
                            const sw_conditions *conditions, sw_target **target,
                            sw_error *error)
{
    SW_REQUIRE_FOR(target, error, shelf, recipe, conditions);
    sw_target *made = calloc(1, sizeof *made);
    sw_status status = made ? fill(made, shelf, recipe, conditions, error)
                            : sw_fail_memory(error);
    if (status)
        sw_target_free(made);
    else
        *target = made;
    return status;
}
