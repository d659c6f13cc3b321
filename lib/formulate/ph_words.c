/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A pH that could not be had, and acid or base that was held back. */
#include "formulate/ph_words.h"

#include "quantity/notes.h"

#include <math.h>

/* A target without limits is hit when the pH prints the same. */
static const double worth_saying = 0.05;

static bool is_missed(const sw_ph_plan *plan, double ph)
{
    if (!plan->open_low || !plan->open_high)
        return (!plan->open_low && ph < plan->low - worth_saying) ||
               (!plan->open_high && ph > plan->high + worth_saying);
    return fabs(ph - plan->row->target) > worth_saying;
}

sw_status sw_ph_say_miss(const sw_ph_plan *plan, double ph, sw_notes *notes)
{
    if (!is_missed(plan, ph))
        return SW_OK;
    double aim = sw_ph_plan_aim(plan, ph);
    bool acid = ph > aim;
    const char *what = acid ? "acid" : "base";
    if (acid ? !plan->acid_moves : !plan->base_moves)
        return sw_notes_add(notes, SW_WARNING, acid ? "no-acid" : "no-base",
                            "The pH is %.1f, and the shelf has no %s to take "
                            "it to %.1f. No nutrient was bent to that end.",
                            ph, what, aim);
    return sw_notes_add(
        notes, SW_WARNING, acid ? "acid-short" : "base-short",
        "The shelf's %s takes the pH to %.1f and not to %.1f%s%s. No nutrient "
        "was taken out of its band for the pH.",
        what, ph, aim, plan->stop[0] ? "; what stops it: " : "", plan->stop);
}

sw_status sw_ph_say_held_back(bool acid, double ph, const sw_ph_plan *plan,
                              sw_notes *notes)
{
    return sw_notes_add(
        notes, SW_WARNING, acid ? "acid-held-back" : "base-held-back",
        "For its nutrients alone the %s would take the pH to %.1f. The target "
        "names no pH, so it was held back at %.1f: give the target a pH to "
        "have another.",
        acid ? "acid" : "base", ph, acid ? plan->low : plan->high);
}
