/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A pH that could not be had, acid or base that was held back or left out. */
#include "formulate/settle.h"

#include "assess/agent.h"
#include "quantity/notes.h"
#include "quantity/text.h"

#include "table_words.h"

#include <math.h>
#include <string.h>

/* Whether more of the product, an acid or base of that role, meets the limit:
 * one on what it brings, or its own. */
static bool stops(const sw_side *side, const sw_product *product)
{
    if (side->kind == SW_SIDE_PRODUCT)
        return side->product == product;
    return side->end == SW_SIDE_MAX &&
           (side->kind == SW_SIDE_COST ||
            product->per_g.amount[side->target->component] > 0);
}

static bool binds(const sw_attempt *a, const sw_side *side)
{
    return side->kind != SW_SIDE_PH &&
           sw_side_binds(side,
                         a->reached.is_held ? &a->reached.held : &a->fit.point);
}

static bool is_stopped(const sw_attempt *a, size_t product)
{
    for (size_t i = 0; i < a->model.side_count; i++)
        if (binds(a, &a->model.sides[i]) &&
            stops(&a->model.sides[i],
                  &a->model.problem->shelf->products[product]))
            return true;
    return false;
}

/* A fixed or least amount of what an acid, or a base, has to make up for. */
static bool opposes(const sw_attempt *a, const sw_side *side, sw_ph_role role)
{
    sw_ph_role other = role == SW_PH_ACID ? SW_PH_BASE : SW_PH_ACID;
    return side->kind == SW_SIDE_PRODUCT && side->end != SW_SIDE_MAX &&
           a->setting.role[a->model.shelf_index[side->index]] == other;
}

static bool may_serve(const sw_attempt *a, size_t product, sw_ph_role role)
{
    sw_left_out out = a->setting.shut[product];
    return a->setting.role[product] == role && out < SW_LEFT_TRACE &&
           sw_ph_can_vary(&a->model.problem->shelf->products[product]);
}

/* What stops acid or base: limits that it meets, or only the other targets. */
static void say_stop(const sw_attempt *a, sw_ph_role role, char *words,
                     size_t size)
{
    const sw_shelf *shelf = a->model.problem->shelf;
    bool others = false;
    words[0] = '\0';
    for (size_t i = 0; i < a->model.side_count; i++) {
        const sw_side *side = &a->model.sides[i];
        char name[128];
        bool named = binds(a, side) && opposes(a, side, role);
        for (size_t j = 0; j < shelf->count && binds(a, side); j++)
            named |= may_serve(a, j, role) && stops(side, &shelf->products[j]);
        if (!named)
            continue;
        sw_side_text(&a->model, side, name, sizeof name);
        if (strlen(words) + strlen(name) + 3 < size)
            sw_text_join(words, size, ", ", "%s", name);
    }
    for (size_t j = 0; j < shelf->count; j++)
        if (a->setting.shut[j] == SW_LEFT_WATER && a->setting.role[j] == role)
            sw_text_join(words, size, ", ", "%.60s is left out, as %s",
                         shelf->products[j].name, SW_SAY_LEFT_WATER);
    for (size_t j = 0; j < shelf->count; j++)
        others |= may_serve(a, j, role) && !is_stopped(a, j);
    if (others || !*words)
        sw_text_join(words, size, " and ", SW_SAY_STOPPED_BY_TARGETS);
}

static sw_status say_missed(const sw_attempt *a, const sw_ph_aim *aim,
                            double ph, bool acid, sw_notes *notes)
{
    char stop[400];
    const char *what = acid ? "acid" : "base";
    const char *name = aim->row->aired ? "pH aired" : "pH";
    sw_band range = sw_band_of(aim->row);
    double wanted = acid ? range.high : range.low;
    if (!isnan(aim->row->target))
        wanted = aim->row->target;
    bool lacks = acid ? !a->setting.has_acid : !a->setting.has_base;
    sw_agents_list_fixed(a->model.problem->shelf, a->setting.role, stop,
                         sizeof stop);
    if (lacks && *stop)
        return sw_notes_add(notes, SW_SAY_AGENT_FIXED, name, ph, wanted, stop);
    if (lacks)
        return sw_notes_add(notes, SW_WARNING | SW_ABOUT_CURE | SW_ABOUT_LACK,
                            acid ? "no-acid" : "no-base", SW_SAY_NO_AGENT, name,
                            ph, what, wanted);
    say_stop(a, acid ? SW_PH_ACID : SW_PH_BASE, stop, sizeof stop);
    return sw_notes_add(notes, SW_WARNING | SW_ABOUT_CURE | SW_ABOUT_LACK,
                        acid ? "acid-short" : "base-short", SW_SAY_AGENT_SHORT,
                        name, ph, wanted, what, stop);
}

/* Whether a limit of that origin at that end holds the recipe back. */
static bool is_held(const sw_attempt *a, const sw_ph_aim *aim, sw_side_end end,
                    sw_origin origin)
{
    for (size_t i = 0; i < a->model.side_count; i++) {
        const sw_side *side = &a->model.sides[i];
        if (side->aim && side->aim->row == aim->row && side->end == end &&
            side->origin == origin && sw_side_binds(side, &a->fit.point))
            return true;
    }
    return false;
}

/* Nobody adds base to a water that has this much of it, meq/L (common practice,
 * no source). */
static const double base_enough = 0.5;

static bool has_base_itself(const sw_problem *problem)
{
    for (size_t k = 0; k < problem->water_count; k++)
        if ((!problem->fractions || problem->fractions[k] > 0) &&
            problem->waters[k].amount[SW_ALKALINITY] > base_enough)
            return true;
    return false;
}

sw_status sw_say_ph(sw_attempt *a, const sw_ph_aim *aim, double ph)
{
    sw_status status = SW_OK;
    sw_band range = sw_band_of(aim->row);
    bool missed =
        ph > range.high + SW_PH_MISSED || ph < range.low - SW_PH_MISSED;
    a->misses_ph |= missed;
    if (missed)
        status = say_missed(a, aim, ph, ph > range.high, &a->model.notes);
    for (int acid = 0; acid < 2 && status == SW_OK; acid++) {
        sw_side_end end = acid ? SW_SIDE_MAX : SW_SIDE_MIN;
        if (is_held(a, aim, end, SW_OWN_RANGE))
            status = sw_notes_add(
                &a->model.notes, SW_WARNING | SW_ABOUT_CURE,
                acid ? "base-held-back" : "acid-held-back",
                SW_SAY_AGENT_HELD_BACK, acid ? "base" : "acid",
                acid ? "highest" : "least", acid ? aim->high : aim->low);
        else if (!missed &&
                 !(acid ? a->setting.has_acid
                        : a->setting.has_base ||
                              has_base_itself(a->model.problem)) &&
                 is_held(a, aim, end, SW_GIVEN))
            /* kept by what moves the pH beside its work as a nutrient */
            status = sw_notes_add(
                &a->model.notes, SW_WARNING | SW_ABOUT_CURE | SW_ABOUT_LACK,
                acid ? "no-acid" : "no-base", SW_SAY_NO_AGENT_KEPT,
                acid ? aim->high : aim->low, acid ? "acid" : "base");
    }
    return status;
}

sw_status sw_say_left_out(const sw_attempt *a, const sw_content *finished,
                          sw_notes *notes)
{
    const sw_problem *problem = a->model.problem;
    sw_status status = SW_OK;
    for (size_t j = 0; status == SW_OK && j < problem->shelf->count; j++) {
        const sw_product *product = &problem->shelf->products[j];
        bool left = (a->setting.shut[j] == SW_LEFT_ACID ||
                     a->setting.shut[j] == SW_LEFT_BASE) &&
                    sw_ph_can_vary(product);
        const sw_target_row *row =
            left ? sw_short_row_of(problem->target, product, finished) : NULL;
        if (row)
            status = sw_notes_add(notes, SW_SAY_AGENT_LEFT_OUT, product->name,
                                  row->name);
    }
    return status;
}
