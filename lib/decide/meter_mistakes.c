/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Candidates: each product left out (of acids and bases half of it too, since
 * they are poured in portions), doubled, or taken in another form of the
 * catalogue (other crystal water, other strength); one head, or the fill, off;
 * nothing put in yet; and, no mistake, some or all of the CO2 gone.
 * Beliefs before any reading: reference/methods.md, Decide.  The same drawn
 * waters, weights and fills are mixed once without a mistake and once with
 * each, so that candidates differ by their mistake alone.
 */
#include "assess/agent.h"
#include "chemistry/equilibrate.h"
#include "decide/draw.h"
#include "decide/meter.h"
#include "quantity/status.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { FORMS_MOST = 4 };
/* The first of a list are no mistakes: nothing wrong, and CO2 gone. */
enum { AT_NOTHING, AT_CO2_LEFT, AS_MEANT };

/* Half for "nothing wrong", with all its CO2 or not; the kinds of mistakes
 * share the other evenly, and so do the mistakes of a kind. */
static const double belief_in_nothing = 0.5;
/* Nearer to 1 than this a head is in order, or two forms are one. */
static const double head_in_order = 0.15, same_form = 0.03;
/* Contents in proportion to this are one salt. */
static const double same_salt = 0.02, nothing_per_g = 0.2;
static const double half = 0.5;
static const double most_head = 2.0, least_fill = 0.5, most_fill = 2.0,
                    fill_in_order = 1.1;

SW_TEXTS(sw_mistake_text, sw_mistake_kind, NULL, SW_MISTAKE_LIST(SW_LIST_TEXT))

static void append(sw_mistakes *m, sw_mistake mistake)
{
    m->items[m->count++] = mistake;
}

/* ---- Other forms -------------------------------------------------------- */

/* Whether amount `c` of `other` is `times` that of `product`. */
static bool in_proportion(const sw_product *product, const sw_product *other,
                          int c, double times)
{
    double wanted = times * product->per_g.amount[c];
    return fabs(other->per_g.amount[c] - wanted) <=
           same_salt * fabs(wanted) + nothing_per_g;
}

/* What a gram of `other` carries times that of `product`; NaN: not in
 * proportion. */
static double strength(const sw_product *product, const sw_product *other)
{
    int most = 0;
    for (int c = 1; c < SW_N; c++)
        if (product->per_g.amount[c] > product->per_g.amount[most])
            most = c;
    double times = other->per_g.amount[most] / product->per_g.amount[most];
    for (int c = 0; c < SW_CARRIED_COUNT; c++)
        if (!in_proportion(product, other, c, times))
            return (double)NAN;
    return times > 0.0 ? times : (double)NAN;
}

/* The factor when `other` is taken by the same measure; NaN: no other form. */
static double form_factor(const sw_product *product, const sw_product *other)
{
    bool liquid = product->density_g_per_ml > 0.0;
    if (liquid != (other->density_g_per_ml > 0.0))
        return (double)NAN;
    double factor = strength(product, other);
    if (liquid)
        factor *= other->density_g_per_ml / product->density_g_per_ml;
    return fabs(factor - 1.0) > same_form ? factor : (double)NAN;
}

/* Whether the form is a new one, and one of not too many. */
static bool is_new_form(const sw_mistakes *m, size_t product, double factor)
{
    int forms = 0;
    for (size_t i = 0; i < m->count; i++) {
        const sw_mistake *known = &m->items[i];
        if (known->kind != SW_OTHER_FORM || known->product != product)
            continue;
        if (fabs(known->factor / factor - 1.0) <= same_form)
            return false;
        forms++;
    }
    return forms < FORMS_MOST;
}

/* Adds `other` to each product of the recipe that it could be taken for. */
static void add_form(const sw_mix *mix, const sw_product *other, sw_mistakes *m)
{
    for (size_t j = 0; j < mix->recipe->count; j++) {
        double factor = form_factor(&mix->shelf->products[j], other);
        if (!(mix->recipe->g_per_l[j] > 0.0) || isnan(factor) ||
            !is_new_form(m, j, factor))
            continue;
        sw_mistake mistake = {
            .kind = SW_OTHER_FORM, .product = j, .factor = factor};
        strncpy(mistake.form, other->name, sizeof mistake.form - 1);
        append(m, mistake);
    }
}

static sw_status add_forms(const sw_mix *mix, sw_mistakes *m, sw_error *error)
{
    for (size_t i = 0; i < sw_catalogue_count(); i++) {
        sw_product *other;
        sw_status status = sw_catalogue_get(i, &other, error);
        if (status != SW_OK)
            return status;
        add_form(mix, other, m);
        sw_product_free(other);
    }
    return SW_OK;
}

/* ---- The list ----------------------------------------------------------- */

static void add_amounts(const sw_mix *mix, sw_mistakes *m)
{
    for (size_t j = 0; j < mix->recipe->count; j++) {
        if (!(mix->recipe->g_per_l[j] > 0.0))
            continue;
        append(m, (sw_mistake){.kind = SW_LEFT_OUT, .product = j});
        if (sw_is_agent(&mix->shelf->products[j]))
            append(m, (sw_mistake){
                          .kind = SW_LEFT_OUT, .product = j, .factor = half});
        append(m,
               (sw_mistake){.kind = SW_DOUBLED, .product = j, .factor = 2.0});
    }
}

static void add_heads(const sw_mix *mix, const int *head, sw_mistakes *m)
{
    for (int h = 0; h < SW_HEADS; h++) {
        bool used = false;
        for (size_t j = 0; j < mix->recipe->count; j++)
            used = used || (head[j] == h && mix->recipe->g_per_l[j] > 0.0);
        if (used) {
            append(m, (sw_mistake){.kind = SW_HEAD_OFF, .head = h});
            append(m, (sw_mistake){
                          .kind = SW_HEAD_OFF, .head = h, .factor = most_head});
        }
    }
}

static void add_fills(sw_mistakes *m)
{
    append(m, (sw_mistake){.kind = SW_FILL_OFF, .factor = least_fill});
    append(m, (sw_mistake){.kind = SW_FILL_OFF, .factor = most_fill});
}

static void set_beliefs(sw_mistakes *m)
{
    size_t of_kind[SW_MISTAKE_KINDS] = {0};
    int kinds = 0;
    for (size_t i = 0; i < m->count; i++)
        kinds += of_kind[m->items[i].kind]++ == 0 && i >= AS_MEANT;
    for (size_t i = 0; i < m->count; i++)
        m->items[i].belief = i < AS_MEANT
                                 ? belief_in_nothing / AS_MEANT
                                 : (1.0 - belief_in_nothing) / kinds /
                                       (double)of_kind[m->items[i].kind];
}

/* Every candidate of the mix, heads and fill once for too little and once for
 * too much, `factor` their far end; `head` as in sw_tolerances.  SW_ERR_MEMORY.
 * Release the items with free. */
static sw_status list_mistakes(const sw_mix *mix, const int *head,
                               sw_mistakes *mistakes, sw_error *error)
{
    size_t room =
        1 + AS_MEANT + 2 * SW_HEADS + mix->recipe->count * (3 + FORMS_MOST);
    *mistakes = (sw_mistakes){calloc(room, sizeof(sw_mistake)), 0};
    if (!mistakes->items)
        return sw_fail_memory(error);
    append(mistakes, (sw_mistake){.kind = SW_NOTHING_WRONG, .factor = 1.0});
    append(mistakes, (sw_mistake){.kind = SW_CO2_LEFT, .factor = 1.0});
    add_amounts(mix, mistakes);
    if (head)
        add_heads(mix, head, mistakes);
    else
        add_fills(mistakes);
    append(mistakes, (sw_mistake){.kind = SW_NOTHING_IN});
    sw_status status = add_forms(mix, mistakes, error);
    set_beliefs(mistakes);
    return status;
}

/* ---- What a mistake does ------------------------------------------------ */

double sw_mistake_factor(const sw_mistake *mistake, double u)
{
    double end = mistake->factor;
    double in_order;
    switch (mistake->kind) {
    case SW_HEAD_OFF:
        in_order = end < 1.0 ? 1.0 - head_in_order : 1.0 + head_in_order;
        return end + u * (in_order - end);
    case SW_FILL_OFF:
        in_order = end < 1.0 ? 1.0 / fill_in_order : fill_in_order;
        return end * pow(in_order / end, u);
    case SW_CO2_LEFT:
        return u;
    default:
        return end;
    }
}

double sw_mistake_times(const sw_mistake *mistake, double factor,
                        size_t product, int head)
{
    switch (mistake->kind) {
    case SW_LEFT_OUT:
    case SW_DOUBLED:
    case SW_OTHER_FORM:
        return mistake->product == product ? factor : 1.0;
    case SW_HEAD_OFF:
        return mistake->head == head ? factor : 1.0;
    case SW_FILL_OFF:
        return 1.0 / factor;
    case SW_NOTHING_IN:
        return 0.0;
    default:
        return 1.0;
    }
}

/* ---- What is to be expected with each ----------------------------------- */

/* The golden ratio's fraction: its multiples spread evenly (Weyl 1916). */
static const double golden = 0.6180339887498949;

double sw_outlook_factor(const sw_outlook *outlook, size_t mistake, int draw)
{
    double u = ((double)draw + 0.5) * golden;
    return sw_mistake_factor(&outlook->mistakes.items[mistake], u - floor(u));
}

void sw_outlook_finished(const sw_outlook *outlook, size_t mistake, int draw,
                         sw_content *finished)
{
    const sw_mix *mix = outlook->mix;
    const sw_mistake *what = &outlook->mistakes.items[mistake];
    double factor = sw_outlook_factor(outlook, mistake, draw);
    size_t count = mix->recipe->count;
    const double *g_per_l = outlook->g_per_l + (size_t)draw * count;
    *finished = outlook->water[draw];
    for (size_t j = 0; j < count; j++) {
        int head = outlook->head ? outlook->head[j] : 0;
        sw_content_add(finished,
                       g_per_l[j] * sw_mistake_times(what, factor, j, head),
                       &mix->shelf->products[j].per_g);
    }
}

static sw_carbonate carbonate_of(bool aired)
{
    return aired ? SW_CARBONATE_AIRED : SW_CARBONATE_KEPT;
}

/* From one end, fresh or aired, to as far from fresh as CO2 has left; the other
 * end is that of nothing wrong. */
static void take_part_way(sw_outlook *o)
{
    const size_t all = AT_NOTHING * SW_OUTLOOK_DRAWS;
    const size_t left = AT_CO2_LEFT * SW_OUTLOOK_DRAWS;
    for (size_t k = 0; k < SW_OUTLOOK_DRAWS; k++) {
        double gone = sw_outlook_factor(o, AT_CO2_LEFT, (int)k);
        double way = o->aired ? 1.0 - gone : gone;
        double *ec = &o->ln_ec[left + k], *ph = &o->ph[left + k];
        *ec = o->ln_ec[all + k] + way * (*ec - o->ln_ec[all + k]);
        *ph = o->ph[all + k] + way * (*ph - o->ph[all + k]);
    }
}

static sw_status measure_all(sw_outlook *o, sw_error *error)
{
    sw_status status = SW_OK;
    sw_content finished[SW_OUTLOOK_DRAWS];
    for (size_t i = 0; i < o->mistakes.count && status == SW_OK; i++) {
        double *ln_ec = &o->ln_ec[i * SW_OUTLOOK_DRAWS];
        for (int k = 0; k < SW_OUTLOOK_DRAWS; k++)
            sw_outlook_finished(o, i, k, &finished[k]);
        status = sw_read_meters(finished, SW_OUTLOOK_DRAWS, &o->mix->conditions,
                                carbonate_of(o->aired != (i == AT_CO2_LEFT)),
                                ln_ec, &o->ph[i * SW_OUTLOOK_DRAWS], error);
        for (int k = 0; k < SW_OUTLOOK_DRAWS; k++)
            ln_ec[k] = log(ln_ec[k]);
    }
    take_part_way(o);
    return status;
}

static sw_status measure_paper(sw_outlook *o, sw_error *error)
{
    sw_content finished = *o->mix->water;
    sw_content_add_recipe(&finished, 1, o->mix->shelf, o->mix->recipe);
    sw_status status =
        sw_read_meters(&finished, 1, &o->mix->conditions, SW_CARBONATE_AIRED,
                       &o->paper_ec, &o->paper_ph_aired, error);
    return status == SW_OK ? sw_read_meters(&finished, 1, &o->mix->conditions,
                                            carbonate_of(o->aired),
                                            &o->paper_ec, &o->paper_ph, error)
                           : status;
}

static sw_status draw_all(sw_outlook *o, const sw_tolerances *tolerances,
                          sw_error *error)
{
    sw_draw *draw;
    sw_status status =
        sw_draw_new(o->mix, tolerances, SW_DOUBT_ALL, &draw, error);
    size_t count = o->mix->recipe->count;
    for (size_t k = 0; k < SW_OUTLOOK_DRAWS && status == SW_OK; k++)
        memcpy(o->g_per_l + k * count, sw_draw_next(draw, &o->water[k]),
               count * sizeof *o->g_per_l);
    sw_draw_free(draw);
    return status;
}

static sw_status fill(sw_outlook *o, const sw_tolerances *tolerances,
                      sw_error *error)
{
    sw_status status = list_mistakes(o->mix, o->head, &o->mistakes, error);
    if (status != SW_OK)
        return status;
    size_t points = o->mistakes.count * SW_OUTLOOK_DRAWS;
    size_t parts = o->mix->recipe->count * SW_OUTLOOK_DRAWS;
    o->g_per_l = calloc(parts + 1, sizeof *o->g_per_l);
    o->ln_ec = calloc(points + 1, sizeof *o->ln_ec);
    o->ph = calloc(points + 1, sizeof *o->ph);
    if (!o->g_per_l || !o->ln_ec || !o->ph)
        return sw_fail_memory(error);
    status = draw_all(o, tolerances, error);
    if (status == SW_OK)
        status = measure_paper(o, error);
    return status == SW_OK ? measure_all(o, error) : status;
}

sw_status sw_outlook_find(const sw_mix *mix, const sw_tolerances *tolerances,
                          sw_outlook **outlook, sw_error *error)
{
    *outlook = NULL;
    sw_status status = sw_tolerances_check(mix, tolerances, error);
    if (status != SW_OK)
        return status;
    *outlook = calloc(1, sizeof **outlook);
    if (!*outlook)
        return sw_fail_memory(error);
    (*outlook)->mix = mix;
    (*outlook)->head = tolerances->head;
    const sw_target_row *ph = sw_target_ph(mix->target);
    (*outlook)->aired = ph && ph->aired;
    return fill(*outlook, tolerances, error);
}

void sw_outlook_free(sw_outlook *outlook)
{
    if (outlook)
        SW_FREE(outlook->mistakes.items, outlook->g_per_l, outlook->ln_ec,
                outlook->ph, outlook);
}
