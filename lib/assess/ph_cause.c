/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A basic or acid product in the recipe, and the pH as it were with the same
 * nutrients from a neutral one: its alkalinity, carbon and citrate taken out
 * of the finished solution.  Method: reference/methods.md, Assess.
 */
#include "assess/ph_cause.h"

#include "assess/agent.h"
#include "chemistry/equilibrate.h"
#include "quantity/notes.h"
#include "quantity/status.h"

#include <math.h>

/* A product that moves the pH by less is not worth naming. */
static const double move_worth_saying = 0.3;

typedef enum side { SIDE_FINE, SIDE_LOW, SIDE_HIGH } side;

static side side_of(const sw_assessment *a)
{
    bool asked = false;
    for (size_t i = 0; i < a->measure_count; i++) {
        const sw_measure_row *row = &a->measures[i];
        asked = asked || row->kind == SW_TARGET_PH;
        if (row->kind == SW_TARGET_PH && row->verdict != SW_MET)
            return row->verdict == SW_SHORT ? SIDE_LOW : SIDE_HIGH;
    }
    if (asked)
        return SIDE_FINE;
    return a->mixed.ph < SW_USUAL_PH_LOW    ? SIDE_LOW
           : a->mixed.ph > SW_USUAL_PH_HIGH ? SIDE_HIGH
                                            : SIDE_FINE;
}

/* The pH with the nutrients of the product and without the rest of it. */
static sw_status ph_without(const sw_mix *mix, size_t j, const sw_assessment *a,
                            double *ph)
{
    static const sw_component taken[] = {SW_ALKALINITY, SW_CARBON, SW_CITRATE};
    sw_chemistry chemistry;
    sw_content rest = a->finished;
    for (size_t k = 0; k < sizeof taken / sizeof *taken; k++)
        rest.amount[taken[k]] -= mix->recipe->g_per_l[j] *
                                 mix->shelf->products[j].per_g.amount[taken[k]];
    rest.amount[SW_CARBON] = fmax(rest.amount[SW_CARBON], 0);
    rest.amount[SW_CITRATE] = fmax(rest.amount[SW_CITRATE], 0);
    sw_status status = sw_equilibrate_briefly(
        &rest, &mix->conditions, SW_CARBONATE_KEPT, &chemistry, NULL);
    *ph = chemistry.ph;
    return status;
}

/* What brings the same and leaves the pH alone. */
static const char *instead_of(const sw_product *product, bool basic)
{
    const double *a = product->per_g.amount;
    if (!basic)
        return "Salts bring the same and leave the pH alone; of acid, only as "
               "much as the alkalinity takes.";
    if (a[SW_P] > 0)
        return "Monopotassium phosphate brings the phosphorus and leaves the "
               "pH low.";
    if (a[SW_SI] > 0)
        return "Silicates always take acid beside them.";
    if (a[SW_K] > 0)
        return "Potassium nitrate or sulfate bring the potassium and leave the "
               "pH alone.";
    return "Use less of it.";
}

/* A mixture without it that has no pH gives no advice. */
static sw_status say_product(const sw_mix *mix, size_t j, sw_assessment *a)
{
    const sw_product *product = &mix->shelf->products[j];
    double without;
    sw_status status = ph_without(mix, j, a, &without);
    if (status != SW_OK)
        return status == SW_ERR_MEMORY ? status : SW_OK;
    double moved = a->mixed.ph - without;
    bool basic = moved > 0;
    if (fabs(moved) < move_worth_saying || basic != (side_of(a) == SIDE_HIGH))
        return SW_OK;
    return sw_notes_add(&a->notes, SW_WARNING,
                        basic ? "basic-product" : "acid-product",
                        "%.60s %s the pH from %.1f to %.1f. %s", product->name,
                        basic ? "raises" : "lowers", without, a->mixed.ph,
                        instead_of(product, basic));
}

/* Both in use: the carbonate, or NULL. */
static const sw_product *carbonate_with_acid(const sw_mix *mix)
{
    const sw_product *carbonate = NULL;
    bool acid = false;
    for (size_t j = 0; j < mix->recipe->count; j++) {
        const sw_product *product = &mix->shelf->products[j];
        if (!(mix->recipe->g_per_l[j] > 0))
            continue;
        if (sw_is_carbonate(product))
            carbonate = product;
        acid = acid || sw_is_acid(product);
    }
    return acid ? carbonate : NULL;
}

static sw_status say_foam(const sw_mix *mix, sw_assessment *a)
{
    const sw_product *carbonate = carbonate_with_acid(mix);
    if (!carbonate)
        return SW_OK;
    return sw_notes_add(&a->notes, SW_WARNING, "carbonate-and-acid",
                        "%.60s meets acid: they use each other up and foam "
                        "with CO2. Never join them undiluted; add the "
                        "carbonate a little at a time, with room above and "
                        "moving air.",
                        carbonate->name);
}

sw_status sw_advise_ph_cause(const sw_mix *mix, sw_assessment *assessment,
                             sw_error *error)
{
    sw_status status = SW_OK;
    bool outside = side_of(assessment) != SIDE_FINE;
    for (size_t j = 0; outside && status == SW_OK && j < mix->recipe->count;
         j++)
        if (mix->recipe->g_per_l[j] > 0 &&
            sw_is_agent(&mix->shelf->products[j]))
            status = say_product(mix, j, assessment);
    if (status == SW_OK)
        status = say_foam(mix, assessment);
    return status == SW_ERR_MEMORY ? sw_fail_memory(error) : status;
}
