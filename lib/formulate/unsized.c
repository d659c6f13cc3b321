/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Acid or base is not sized on an alkalinity that nobody knows, nor on a charge
 * that labels leave open.  Of what the solve poured, as if what labels leave
 * out were neutral, the recipe keeps what is needed whatever the labels hide;
 * the rest becomes the most there may be.  Method: reference/methods.md,
 * Formulate.
 */
#include "formulate/settle.h"

#include "assess/label_gaps.h"
#include "quantity/notes.h"

#include "table_words.h"

#include <math.h>
#include <stdlib.h>

bool sw_is_undetermined(const sw_setting *none, const sw_problem *problem)
{
    sw_content all = sw_problem_water(problem);
    bool kept = false;
    for (size_t i = 0; i < none->aims; i++)
        kept = kept || !none->aim[i].row->aired;
    return kept ? !sw_co2_is_known(&all) : !sw_alkalinity_is_known(&all);
}

sw_status sw_note_undetermined(const sw_problem *problem, sw_notes *notes)
{
    sw_content all = sw_problem_water(problem);
    return sw_alkalinity_is_known(&all)
               ? sw_notes_add(notes, SW_SAY_UNDETERMINED_CO2)
               : sw_notes_add(notes, SW_SAY_UNDETERMINED);
}

typedef struct charges {
    double open_acid, open_base; /* of labels, meq/L */
    double poured;               /* by what is free to vary, of either sign */
    sw_ph_role role;             /* SW_PH_ACID or SW_PH_BASE */
} charges;

static bool is_free_agent(const sw_attempt *a, size_t j, sw_ph_role role)
{
    return a->setting.role[j] == role &&
           sw_ph_can_vary(&a->model.problem->shelf->products[j]);
}

static charges charges_of(const sw_attempt *a, const sw_recipe *recipe)
{
    charges c = {.role =
                     a->setting.allowed == SW_BASES ? SW_PH_BASE : SW_PH_ACID};
    for (size_t j = 0; j < recipe->count; j++) {
        const sw_product *product = &a->model.problem->shelf->products[j];
        double g_per_l = recipe->g_per_l[j];
        c.open_acid += g_per_l * product->open_acid_meq_per_g;
        c.open_base += g_per_l * product->open_base_meq_per_g;
        if (is_free_agent(a, j, c.role))
            c.poured += g_per_l * fmax(0, sw_agent_meq_per_g(product, c.role));
    }
    return c;
}

sw_status sw_leave_unsized(const sw_attempt *a, sw_recipe *recipe,
                           sw_notes *notes)
{
    charges c = charges_of(a, recipe);
    if (c.poured <= 0 || sw_is_sized(c.poured, c.open_acid, c.open_base))
        return SW_OK;
    double spared = c.role == SW_PH_ACID ? c.open_acid : c.open_base;
    double needed = fmax(0, 1 - spared / c.poured);
    recipe->most_g_per_l = calloc(recipe->count, sizeof(double));
    if (!recipe->most_g_per_l)
        return SW_ERR_MEMORY;
    for (size_t j = 0; j < recipe->count; j++) {
        double *g_per_l = &recipe->g_per_l[j];
        if (!(*g_per_l > 0) || !is_free_agent(a, j, c.role))
            continue;
        double least =
            fmax(0, a->model.problem->shelf->products[j].min_g_per_l);
        recipe->most_g_per_l[j] = *g_per_l;
        *g_per_l = fmin(*g_per_l, fmax(needed * *g_per_l, least));
    }
    return sw_notes_add(notes, SW_SAY_NOT_SIZED,
                        c.role == SW_PH_ACID ? "acid" : "base");
}
